//! How much string is dragged through the bed while the crosses go in, and what that wears.
//!
//! The moving length of cross j is the whole length of string that passes the hole by
//! which cross j enters the bed. Lengths in mm; crosses are numbered from 1 at the head.
use crate::bed::Bed;
use crate::crimp::Crimp;
use crate::friction::pinch;
use crate::weave_method::WeaveMethod;

/// Paths of the crosses and what is pulled after them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moving<'a> {
    /// Paths of the crosses from the head down, mm.
    pub cross_paths_mm: &'a [f64],
    /// Wraps between consecutive crosses, mm; one fewer.
    pub cross_wraps_mm: &'a [f64],
    /// What the tension head needs beyond the last hole, mm.
    pub pulled_end_mm: f64,
    /// The outermost main's path, which `around` runs up after the last cross, mm; 0 leaves it out.
    pub outer_main_path_mm: f64,
}

impl Moving<'_> {
    /// Crosses `first` to `last` with the wraps between them and the pulled end, mm.
    fn length_mm(&self, first: usize, last: usize) -> f64 {
        if first > last {
            return self.pulled_end_mm;
        }
        let paths: f64 = self.cross_paths_mm[first - 1..last].iter().sum();
        let wraps: f64 = self.cross_wraps_mm[first - 1..last - 1].iter().sum();
        paths + wraps + self.pulled_end_mm
    }

    /// The moving length of every cross, mm, cross 1 first.
    ///
    /// `start_cross` matters to the two methods that begin there. Wraps before the first
    /// cross of a string and `around`'s arcs to and from its outer main are left out.
    #[must_use]
    pub fn lengths_mm(&self, method: WeaveMethod, start_cross: usize) -> Vec<f64> {
        let last = self.cross_paths_mm.len();
        let start_cross = start_cross.min(last);
        (1..=last)
            .map(|cross| match method {
                WeaveMethod::HeadDown => self.length_mm(cross, last),
                WeaveMethod::StartCrossBack | WeaveMethod::TopsOnShortSide => {
                    if cross <= start_cross {
                        self.length_mm(1, cross)
                    } else {
                        self.length_mm(cross, last)
                    }
                }
                WeaveMethod::ThroatUp => self.length_mm(1, cross),
                WeaveMethod::Around => {
                    if cross == last {
                        self.cross_paths_mm[last - 1] + self.outer_main_path_mm + self.length_mm(1, last - 1)
                    } else {
                        self.length_mm(cross, last - 1)
                    }
                }
            })
            .collect()
    }

    /// The long end that `tops_on_short_side` drags once past one crossing at the start cross, mm.
    ///
    /// 0 for every other method.
    #[must_use]
    pub fn long_end_mm(&self, method: WeaveMethod, start_cross: usize) -> f64 {
        if method == WeaveMethod::TopsOnShortSide {
            self.length_mm(start_cross + 1, self.cross_paths_mm.len())
        } else {
            0.0
        }
    }
}

/// Drag in the shoulder zone, crosses 1 to the start cross.
#[derive(Debug, Clone, PartialEq)]
pub struct ShoulderDrag {
    /// Moving lengths of the crosses 1 to the start cross, mm.
    pub moving_mm: Vec<f64>,
    /// The longest of them, mm.
    pub worst_pull_mm: f64,
    /// Their sum, mm.
    pub sum_mm: f64,
    /// Metres of string times crossings they pass.
    pub crossing_metres: f64,
}

impl ShoulderDrag {
    /// Drag of a method; `crossings` are the mains met by each cross, from cross 1.
    #[must_use]
    pub fn of(moving: &Moving<'_>, method: WeaveMethod, start_cross: usize, crossings: &[usize]) -> Self {
        let mut moving_mm = moving.lengths_mm(method, start_cross);
        moving_mm.truncate(start_cross);
        let passed_mm: f64 = crossings
            .iter()
            .zip(&moving_mm)
            .map(|(met, length_mm)| crate::spacing::number(*met) * length_mm)
            .sum();
        Self {
            worst_pull_mm: moving_mm.iter().copied().fold(0.0, f64::max),
            sum_mm: moving_mm.iter().sum(),
            crossing_metres: (passed_mm + moving.long_end_mm(method, start_cross)) / 1000.0,
            moving_mm,
        }
    }
}

/// Rubbing in the shoulder zone: moving length times wrap angle times pinch, mm rad.
///
/// The cross lies slack between tight mains, so its crest height is the whole sum of
/// the diameters. Relative only: compare one method with another on the same bed.
#[must_use]
pub fn shoulder_wear(
    bed: &Bed,
    moving: &Moving<'_>,
    method: WeaveMethod,
    start_cross: usize,
    sum_of_diameters_mm: f64,
) -> f64 {
    let lengths_mm = moving.lengths_mm(method, start_cross);
    let crosses = bed.crosses_y_mm().iter().zip(&lengths_mm).take(start_cross);
    let mut wear: f64 = crosses
        .map(|(y_mm, length_mm)| length_mm * rubbing_rad(bed, *y_mm, sum_of_diameters_mm))
        .sum();
    if let Some(y_mm) = start_cross
        .checked_sub(1)
        .and_then(|index| bed.crosses_y_mm().get(index))
    {
        let outer = bed.mains_x_mm().len();
        wear +=
            moving.long_end_mm(method, start_cross) * rubbing_at_rad(bed, outer, *y_mm, sum_of_diameters_mm);
    }
    wear
}

/// Sum of wrap times pinch over the mains that a cross meets, rad.
fn rubbing_rad(bed: &Bed, y_mm: f64, sum_of_diameters_mm: f64) -> f64 {
    let half_width = bed.inside().half_width_mm(y_mm);
    let met = bed.mains_x_mm().iter().take_while(|x| **x < half_width).count();
    let sides: f64 = (1..=met)
        .map(|main| 2.0 * rubbing_at_rad(bed, main, y_mm, sum_of_diameters_mm))
        .sum();
    let middle = if bed.centre_main() {
        rubbing_at_rad(bed, 0, y_mm, sum_of_diameters_mm)
    } else {
        0.0
    };
    sides + middle
}

/// Wrap times pinch at one main (0 is the one on the centre line), rad; 0 where they do not meet.
fn rubbing_at_rad(bed: &Bed, main: usize, y_mm: f64, sum_of_diameters_mm: f64) -> f64 {
    let x_mm = match main.checked_sub(1) {
        Some(index) => bed.mains_x_mm()[index],
        None => 0.0,
    };
    let (above, below) = (
        bed.inside().y_top_mm(x_mm) - y_mm,
        y_mm - bed.inside().y_bottom_mm(x_mm),
    );
    if above <= 0.0 || below <= 0.0 {
        return 0.0;
    }
    let spacing_mm = inner_gap_mm(bed, main).max(sum_of_diameters_mm);
    let wrap = Crimp::of(spacing_mm, sum_of_diameters_mm, sum_of_diameters_mm).wrap_rad;
    wrap * pinch(above, below)
}

/// Gap between a main and the next one towards the centre, mm.
fn inner_gap_mm(bed: &Bed, main: usize) -> f64 {
    let x = bed.mains_x_mm();
    match main {
        0 => x[0],
        1 if bed.centre_main() => x[0],
        1 => 2.0 * x[0],
        _ => x[main - 1] - x[main - 2],
    }
}
