//! Reading the board while nothing changes: the room's wall, and the list of jobs by the API.
use std::path::Path;
use std::time::{Duration, Instant};

use weftdesk::desk::hand_in::hand_in;
use weftdesk::desk::pull_job::pull_job;

use crate::http::Connection;
use crate::served::{Served, furnish, token};

const PLAYERS: usize = 30;
const CONNECTIONS: usize = 8;
const FOR: Duration = Duration::from_secs(3);
const BOARDS: [&str; 3] = ["/wall?for=room", "/wall?for=counter", "/v1/jobs?limit=50"];

pub(crate) fn measure(folder: &Path) {
    let folder = folder.join("board");
    std::fs::create_dir(&folder).expect("a folder");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let (desk, workshop) = furnish(&runtime, &folder, PLAYERS);
    for racket in &workshop.rackets {
        let one = workshop.hand_in(&desk, &racket.id);
        let taken = desk.write(&workshop.coordinator, move |tx| hand_in(tx, one));
        runtime.block_on(taken).expect("it is taken in");
    }
    for station in workshop.stations.clone() {
        let pulled = desk.write(&workshop.coordinator, move |tx| pull_job(tx, &station));
        runtime.block_on(pulled).expect("it is pulled");
    }
    drop(desk);
    let token = token(&folder, &workshop);
    let served = Served::start(&folder);
    for board in BOARDS {
        let (status, bytes) = Connection::open(&served.address, &token).get(board);
        assert_eq!(status, 200, "{board}: {}", String::from_utf8_lossy(&bytes));
        let file = folder.join("bytes");
        std::fs::write(&file, &bytes).expect("a file");
        let memory = Served::bytes_of(&file);
        let baseline = reads_per_s(&memory.address, &token, board);
        drop(memory);
        let ours = reads_per_s(&served.address, &token, board);
        println!(
            "{board:<20} {} bytes, {} jobs: {ours:7.0} reads/s, {:3.0} % of {baseline:.0} from memory (aim 50 %)",
            bytes.len(),
            workshop.rackets.len(),
            ours / baseline * 100.0
        );
    }
}

fn reads_per_s(address: &str, token: &str, path: &str) -> f64 {
    let began = Instant::now();
    let reads: u32 = std::thread::scope(|threads| {
        let running: Vec<_> = (0..CONNECTIONS)
            .map(|_| {
                threads.spawn(move || {
                    let mut connection = Connection::open(address, token);
                    let mut reads = 0;
                    while began.elapsed() < FOR {
                        assert_eq!(connection.get(path).0, 200);
                        reads += 1;
                    }
                    reads
                })
            })
            .collect();
        running.into_iter().map(|one| one.join().expect("a reader")).sum()
    });
    f64::from(reads) / began.elapsed().as_secs_f64()
}
