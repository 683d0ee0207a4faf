//! A block lies within one window; nothing is interrupted.
use crate::dispatch::problem::Window;

/// Stable code.
pub const CODE: &str = "outside_windows";
/// Stable code of two blocks at once on one station.
pub const OVERLAP_CODE: &str = "blocks_overlap";

/// Where a block stands in the first window that holds it: its end, and the window's index.
///
/// Looks from window `first` on. Where no window holds it, it stands behind the
/// last one and the index is the number of windows: not feasible, but an order
/// in which a search can still see what is better.
#[inline]
#[must_use]
pub fn place(windows: &[Window], first: usize, from: i64, length: i64) -> (i64, usize) {
    let mut index = first;
    while let Some(window) = windows.get(index) {
        let start = if from > window.from { from } else { window.from };
        if start + length <= window.to {
            return (start + length, index);
        }
        index += 1;
    }
    let behind = windows.last().map_or(from, |window| window.to.max(from));
    (behind + length, windows.len())
}
