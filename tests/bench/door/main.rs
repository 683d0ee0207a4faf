//! The running program from outside, in one run with its baselines: cold start and idle memory,
//! durable hand-ins against bare write + fdatasync, the board against the same bytes from memory.
//!
//! `cargo bench --bench door`
#![expect(clippy::expect_used, reason = "a benchmark that cannot set up should stop")]
#![expect(clippy::print_stdout, reason = "the figures are its output")]
mod board;
#[path = "../disk.rs"]
mod disk;
mod hand_ins;
mod http;
mod memory_handler;
mod served;
mod start;
#[path = "../../support/workshop.rs"]
mod workshop;

fn main() {
    // the handler that answers from memory is this program again, so that it too is a process of its own
    let mut arguments = std::env::args().skip(1);
    if arguments.next().as_deref() == Some(memory_handler::CALLED) {
        memory_handler::serve(&arguments.next().expect("a file"));
        return;
    }
    // beside the build, which is on a disk; the system's temporary folder may be memory
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder");
    start::measure(folder.path());
    hand_ins::measure(folder.path());
    board::measure(folder.path());
}

/// The value below which this share of them lies; sorts them.
pub(crate) fn quantile(values: &mut [f64], per_cent: usize) -> f64 {
    values.sort_by(f64::total_cmp);
    values[(values.len() * per_cent / 100).min(values.len() - 1)]
}
