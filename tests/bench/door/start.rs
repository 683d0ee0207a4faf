//! Cold start to `/readyz`, and memory with nothing to do.
use std::path::Path;
use std::time::{Duration, Instant};

use crate::http::Connection;
use crate::served::Served;

/// When the program has done what a start brings.
const SETTLED: Duration = Duration::from_secs(5);

pub(crate) fn measure(folder: &Path) {
    let folder = folder.join("start");
    std::fs::create_dir(&folder).expect("a folder");
    for what in ["first start, tables to make", "second start"] {
        let (served, took) = start(&folder);
        println!(
            "{what:<28} /readyz after {:6.0} ms   (aim 3000)",
            took.as_secs_f64() * 1e3
        );
        std::thread::sleep(SETTLED);
        println!(
            "{what:<28} idle memory {:6.1} MiB    (aim 64)",
            served.memory_mib()
        );
    }
}

/// From the start of the process until it calls itself ready.
fn start(folder: &Path) -> (Served, Duration) {
    let began = Instant::now();
    let served = Served::start(folder);
    let mut connection = Connection::open(&served.address, "");
    while connection.get("/readyz").0 != 200 {
        std::thread::sleep(Duration::from_millis(5));
    }
    (served, began.elapsed())
}
