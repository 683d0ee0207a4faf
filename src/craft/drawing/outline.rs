//! Where hoop, mains and crosses stand on the drawing, mm from mid length on the centre line.
use crate::craft::frame::FrameRecord;
use crate::craft::sport::GAP_POWER;

/// The picture's geometry.
pub(super) struct Outline {
    pub(super) length: f64,
    pub(super) width: f64,
    pub(super) wall: f64,
    widest_y: f64,
    exponent_head: f64,
    exponent_throat: f64,
    /// Mains of one side, from the centre.
    pub(super) mains_x: Vec<f64>,
    /// Crosses from the head.
    pub(super) crosses_y: Vec<f64>,
}

impl Outline {
    /// Measured where the record has it, else as on an ordinary frame of the sport.
    pub(super) fn of(frame: &FrameRecord) -> Self {
        let usual = frame.sport.defaults();
        let (length, width) = frame.inside_mm.map_or_else(
            || {
                // a size for drawing alone: ordinary heads of the three sports, from memory
                let width = match frame.sport {
                    crate::craft::sport::Sport::Tennis => 245.0,
                    crate::craft::sport::Sport::Badminton => 186.0,
                    crate::craft::sport::Sport::Squash => 190.0,
                };
                (width * usual.length_over_width, width)
            },
            |inside| (inside.length, inside.width),
        );
        let measured = frame.positions_mm.as_ref();
        let mains_x = measured
            .map(|positions| positions.mains_x.clone())
            .filter(|xs| !xs.is_empty())
            .unwrap_or_else(|| {
                let outer = usual.outer_main_over_half_width * width / 2.0;
                usual_mains(frame.mains_per_side(), outer, usual.main_edge_over_centre_gap)
            });
        let crosses_y = measured
            .map(|positions| positions.crosses_y.clone())
            .filter(|ys| !ys.is_empty())
            .unwrap_or_else(|| {
                let first = length * (0.5 - usual.head_offset_over_length);
                let last = length * (usual.throat_offset_over_length - 0.5);
                usual_crosses(
                    usize::from(frame.crosses),
                    first,
                    last,
                    usual.cross_edge_over_centre_gap,
                )
            });
        Self {
            length,
            width,
            wall: frame.wall_mm.unwrap_or(usual.wall_mm),
            widest_y: usual.widest_y_over_length * length,
            exponent_head: usual.exponent_head,
            exponent_throat: usual.exponent_throat,
            mains_x,
            crosses_y,
        }
    }

    /// Height of the hoop's head end at `x`.
    pub(super) fn head_y(&self, x: f64) -> f64 {
        self.widest_y
            + arc(
                x,
                self.width / 2.0,
                self.length / 2.0 - self.widest_y,
                self.exponent_head,
            )
    }

    /// Height of the hoop's throat end at `x`.
    pub(super) fn throat_y(&self, x: f64) -> f64 {
        self.widest_y
            - arc(
                x,
                self.width / 2.0,
                self.length / 2.0 + self.widest_y,
                self.exponent_throat,
            )
    }

    /// Half the hoop's width at height `y`.
    pub(super) fn half_width(&self, y: f64) -> f64 {
        let above = y >= self.widest_y;
        let (height, exponent) = if above {
            (self.length / 2.0 - self.widest_y, self.exponent_head)
        } else {
            (self.length / 2.0 + self.widest_y, self.exponent_throat)
        };
        arc(y - self.widest_y, height, self.width / 2.0, exponent)
    }
}

/// The other coordinate of a superellipse with these half axes.
fn arc(along: f64, half_along: f64, half_across: f64, exponent: f64) -> f64 {
    let rest = 1.0 - (along.abs() / half_along).min(1.0).powf(exponent);
    half_across * rest.powf(1.0 / exponent)
}

/// Gaps that widen outwards; the outermost main stands at `outer`.
fn usual_mains(per_side: usize, outer: f64, edge_over_centre: f64) -> Vec<f64> {
    let gaps: Vec<f64> = (0..per_side)
        .map(|gap| {
            let along = count(gap) / count(per_side.saturating_sub(1).max(1));
            1.0 + (edge_over_centre - 1.0) * along.powf(GAP_POWER)
        })
        .collect();
    let mut at = 0.0;
    let places: Vec<f64> = gaps
        .iter()
        .enumerate()
        .map(|(index, gap)| {
            at += if index == 0 { gap / 2.0 } else { *gap };
            at
        })
        .collect();
    places.iter().map(|place| place / at * outer).collect()
}

/// Gaps that widen towards both ends.
fn usual_crosses(crosses: usize, first: f64, last: f64, edge_over_centre: f64) -> Vec<f64> {
    let gaps: Vec<f64> = (0..crosses.saturating_sub(1))
        .map(|gap| {
            let along = count(gap) / count(crosses.saturating_sub(2).max(1));
            1.0 + (edge_over_centre - 1.0) * ((along - 0.5).abs() * 2.0).powf(GAP_POWER)
        })
        .collect();
    let whole: f64 = gaps.iter().sum();
    let mut at = 0.0;
    let mut places = vec![first];
    for gap in gaps {
        at += gap;
        places.push(first + (last - first) * at / whole);
    }
    places
}

fn count(number: usize) -> f64 {
    u32::try_from(number).map_or(0.0, f64::from)
}
