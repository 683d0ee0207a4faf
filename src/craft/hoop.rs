//! The inside of a racket's hoop as two half-superellipses.
//!
//! `|x/b|^n + |(y-y0)/a|^n = 1`, joined at the widest height `y0` where the tangent is
//! vertical: b = W/2; above `y0` a = L/2-y0 with the head's exponent, below it
//! a = L/2+y0 with the throat's. The origin is mid inside length on the centre line,
//! x to the right, y towards the head; everything in mm. The family is our own
//! choice; within it every formula is exact.
use crate::quadrature::{gamma, integrate};

/// A hoop's inside, or the line outside it on which the string bears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hoop {
    length_mm: f64,
    width_mm: f64,
    exponent_head: f64,
    exponent_throat: f64,
    widest_y_mm: f64,
}

/// A point on the hoop's right half; the left half is its mirror image.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoopPoint {
    /// Distance from the centre line, mm, 0 to half the width.
    pub x_mm: f64,
    /// Height above mid length, mm.
    pub y_mm: f64,
}

/// Gauss nodes for an arc between two neighbouring holes.
const NODES_BETWEEN_HOLES: usize = 6;
/// Gauss nodes for half a quadrant.
const NODES_HALF_QUADRANT: usize = 16;

/// One half of the hoop: head or throat.
#[derive(Debug, Clone, Copy)]
struct Half {
    a_mm: f64,
    b_mm: f64,
    exponent: f64,
    y0_mm: f64,
    up: f64,
}

impl Half {
    /// The share left of 1 by a coordinate at `share` of its semi-axis; 0 outside.
    fn other(self, share: f64) -> f64 {
        let rest = 1.0 - share.abs().powf(self.exponent);
        if rest > 0.0 {
            rest.powf(1.0 / self.exponent)
        } else {
            0.0
        }
    }

    /// Slope of one share over the other at `share`, without its sign.
    fn slope(self, share: f64) -> f64 {
        let power = share.abs().powf(self.exponent - 1.0);
        let rest = 1.0 - power * share.abs();
        power * rest.powf(1.0 / self.exponent - 1.0)
    }

    /// The share of a semi-axis at which both coordinates hold the same share.
    fn shoulder_share(self) -> f64 {
        0.5_f64.powf(1.0 / self.exponent)
    }

    fn shoulder(self) -> HoopPoint {
        let share = self.shoulder_share();
        HoopPoint {
            x_mm: self.b_mm * share,
            y_mm: self.y0_mm + self.up * self.a_mm * share,
        }
    }

    /// Arc between two heights on the flank, where x is a smooth function of y.
    fn flank_arc_mm(self, from_y_mm: f64, to_y_mm: f64, nodes: usize) -> f64 {
        let share = |y_mm: f64| (y_mm - self.y0_mm).abs() / self.a_mm;
        let steep = self.b_mm / self.a_mm;
        let length = integrate(nodes, share(from_y_mm), share(to_y_mm), |v| {
            (1.0 + (steep * self.slope(v)).powi(2)).sqrt()
        });
        (length * self.a_mm).abs()
    }

    /// Arc between two widths on the cap, where y is a smooth function of x.
    fn cap_arc_mm(self, from_x_mm: f64, to_x_mm: f64, nodes: usize) -> f64 {
        let steep = self.a_mm / self.b_mm;
        let length = integrate(nodes, from_x_mm / self.b_mm, to_x_mm / self.b_mm, |u| {
            (1.0 + (steep * self.slope(u)).powi(2)).sqrt()
        });
        (length * self.b_mm).abs()
    }
}

impl Hoop {
    /// A hoop of this inside size.
    ///
    /// `exponent_head` and `exponent_throat` are 1 (a rhombus) to 10 (nearly a
    /// rectangle), 2 is an ellipse. None when a size is not positive or finite, an
    /// exponent is out of range, or the widest height lies outside the hoop.
    #[must_use]
    pub fn new(
        length_mm: f64,
        width_mm: f64,
        exponent_head: f64,
        exponent_throat: f64,
        widest_y_mm: f64,
    ) -> Option<Self> {
        let size = |mm: f64| mm.is_finite() && mm > 0.0;
        let shape = |exponent: f64| (1.0..=10.0).contains(&exponent);
        (size(length_mm)
            && size(width_mm)
            && shape(exponent_head)
            && shape(exponent_throat)
            && widest_y_mm.abs() < length_mm / 2.0)
            .then_some(Self {
                length_mm,
                width_mm,
                exponent_head,
                exponent_throat,
                widest_y_mm,
            })
    }

    /// The hoop of this head area, whose length over width and widest height over length are given.
    ///
    /// A printed head area does not tell length and width apart: the ratio has to be assumed.
    #[must_use]
    pub fn from_area(
        area_mm2: f64,
        length_over_width: f64,
        exponent_head: f64,
        exponent_throat: f64,
        widest_y_over_length: f64,
    ) -> Option<Self> {
        // the area of a hoop one mm wide, then scaled
        let unit = Self::new(
            length_over_width,
            1.0,
            exponent_head,
            exponent_throat,
            widest_y_over_length * length_over_width,
        )?;
        let width_mm = (area_mm2 / unit.area_mm2()).sqrt();
        let length_mm = length_over_width * width_mm;
        Self::new(
            length_mm,
            width_mm,
            exponent_head,
            exponent_throat,
            widest_y_over_length * length_mm,
        )
    }

    /// The line outside on which the string bears: the same family, `wall_mm` further out all round.
    #[must_use]
    pub fn outer(&self, wall_mm: f64) -> Self {
        Self {
            length_mm: self.length_mm + 2.0 * wall_mm,
            width_mm: self.width_mm + 2.0 * wall_mm,
            ..*self
        }
    }

    /// Length along the shaft, mm.
    #[must_use]
    pub const fn length_mm(&self) -> f64 {
        self.length_mm
    }

    /// Width at the widest height, mm.
    #[must_use]
    pub const fn width_mm(&self) -> f64 {
        self.width_mm
    }

    fn head(&self) -> Half {
        Half {
            a_mm: self.length_mm / 2.0 - self.widest_y_mm,
            b_mm: self.width_mm / 2.0,
            exponent: self.exponent_head,
            y0_mm: self.widest_y_mm,
            up: 1.0,
        }
    }

    fn throat(&self) -> Half {
        Half {
            a_mm: self.length_mm / 2.0 + self.widest_y_mm,
            b_mm: self.width_mm / 2.0,
            exponent: self.exponent_throat,
            y0_mm: self.widest_y_mm,
            up: -1.0,
        }
    }

    fn half_at(&self, y_mm: f64) -> Half {
        if y_mm >= self.widest_y_mm {
            self.head()
        } else {
            self.throat()
        }
    }

    /// Half the width at a height, mm; 0 above the head and below the throat.
    #[must_use]
    pub fn half_width_mm(&self, y_mm: f64) -> f64 {
        let half = self.half_at(y_mm);
        half.b_mm * half.other((y_mm - half.y0_mm) / half.a_mm)
    }

    /// Height of the head's side of the hoop at a distance from the centre line, mm.
    #[must_use]
    pub fn y_top_mm(&self, x_mm: f64) -> f64 {
        let half = self.head();
        half.y0_mm + half.a_mm * half.other(x_mm / half.b_mm)
    }

    /// Height of the throat's side of the hoop at a distance from the centre line, mm.
    #[must_use]
    pub fn y_bottom_mm(&self, x_mm: f64) -> f64 {
        let half = self.throat();
        half.y0_mm - half.a_mm * half.other(x_mm / half.b_mm)
    }

    /// Length of a main at a distance from the centre line, from edge to edge, mm.
    #[must_use]
    pub fn main_chord_mm(&self, x_mm: f64) -> f64 {
        self.y_top_mm(x_mm) - self.y_bottom_mm(x_mm)
    }

    /// Length of a cross at a height, from edge to edge, mm.
    #[must_use]
    pub fn cross_chord_mm(&self, y_mm: f64) -> f64 {
        2.0 * self.half_width_mm(y_mm)
    }

    /// Area inside the hoop, mm2.
    ///
    /// A quadrant of semi-axes 1 has the area Gamma(1+1/n)^2 / Gamma(1+2/n).
    #[must_use]
    pub fn area_mm2(&self) -> f64 {
        let quadrant = |half: Half| {
            let n = half.exponent;
            half.a_mm * half.b_mm * gamma(1.0 + 1.0 / n).powi(2) / gamma(1.0 + 2.0 / n)
        };
        2.0 * (quadrant(self.head()) + quadrant(self.throat()))
    }

    /// Length of the whole curve, mm.
    #[must_use]
    pub fn perimeter_mm(&self) -> f64 {
        let quadrant = |half: Half| {
            let shoulder = half.shoulder();
            half.flank_arc_mm(half.y0_mm, shoulder.y_mm, NODES_HALF_QUADRANT)
                + half.cap_arc_mm(0.0, shoulder.x_mm, NODES_HALF_QUADRANT)
        };
        2.0 * (quadrant(self.head()) + quadrant(self.throat()))
    }

    /// The point on the right half at the head's side of a main.
    #[must_use]
    pub fn main_hole(&self, x_mm: f64, at_head: bool) -> HoopPoint {
        let y_mm = if at_head {
            self.y_top_mm(x_mm)
        } else {
            self.y_bottom_mm(x_mm)
        };
        HoopPoint { x_mm, y_mm }
    }

    /// The point on the right half at the end of a cross.
    #[must_use]
    pub fn cross_hole(&self, y_mm: f64) -> HoopPoint {
        HoopPoint {
            x_mm: self.half_width_mm(y_mm),
            y_mm,
        }
    }

    /// Arc along the right half between two of its points, mm; meant for neighbouring holes.
    ///
    /// Six Gauss nodes on each smooth stretch: on the flank x is integrated over y, on
    /// the cap y over x, and the arc is split where both shares are equal.
    #[must_use]
    pub fn arc_mm(&self, one: HoopPoint, two: HoopPoint) -> f64 {
        let (upper, lower) = if one.y_mm >= two.y_mm {
            (one, two)
        } else {
            (two, one)
        };
        let waist = HoopPoint {
            x_mm: self.width_mm / 2.0,
            y_mm: self.widest_y_mm,
        };
        let (head, throat) = (self.head(), self.throat());
        let (top, bottom) = (head.shoulder(), throat.shoulder());
        let mut arc_mm = 0.0;
        // the four stretches from the head's tip to the throat's
        if upper.y_mm > top.y_mm {
            let end = if lower.y_mm > top.y_mm { lower } else { top };
            arc_mm += head.cap_arc_mm(upper.x_mm, end.x_mm, NODES_BETWEEN_HOLES);
        }
        for (half, from, to) in [(head, top, waist), (throat, waist, bottom)] {
            let from_y = upper.y_mm.min(from.y_mm);
            let to_y = lower.y_mm.max(to.y_mm);
            if from_y > to_y {
                arc_mm += half.flank_arc_mm(from_y, to_y, NODES_BETWEEN_HOLES);
            }
        }
        if lower.y_mm < bottom.y_mm {
            let start = if upper.y_mm < bottom.y_mm { upper } else { bottom };
            arc_mm += throat.cap_arc_mm(start.x_mm, lower.x_mm, NODES_BETWEEN_HOLES);
        }
        arc_mm
    }
}
