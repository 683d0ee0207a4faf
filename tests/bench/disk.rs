//! The baseline of everything durable: what the disk does when nothing but a page is written and synced.
use std::fs::File;
use std::io::{Seek, Write};
use std::path::Path;
use std::time::{Duration, Instant};

const FOR: Duration = Duration::from_secs(3);
/// One page of a SQLite log: the smallest thing the store itself can make durable.
pub(crate) const PAGE_BYTES: usize = 4096;
/// After so many pages SQLite starts its log again from the front (its default).
const LOG_PAGES: u32 = 1000;

/// Writes round and round a file that has its size already, as SQLite's log does once it has
/// grown: a file that grows at each write must have its size made durable too.
pub(crate) fn bare_syncs_per_s(path: &Path) -> f64 {
    let mut file = File::create(path).expect("a file");
    let page = [7_u8; PAGE_BYTES];
    for _ in 0..LOG_PAGES {
        file.write_all(&page).expect("the page is written");
    }
    file.sync_all().expect("the disk has it");
    let (began, mut done) = (Instant::now(), 0_u32);
    while began.elapsed() < FOR {
        if done.is_multiple_of(LOG_PAGES) {
            file.rewind().expect("the file's start");
        }
        file.write_all(&page).expect("the page is written");
        file.sync_data().expect("the disk has it");
        done += 1;
    }
    f64::from(done) / began.elapsed().as_secs_f64()
}
