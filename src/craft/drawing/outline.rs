//! Where hoop, mains and crosses stand on the drawing, mm from mid length on the centre line.
use crate::frame::FrameRecord;
use crate::frame::shape;
use crate::hoop::Hoop;

/// The picture's geometry: the same hoop and places that the plan reckons with.
pub(super) struct Outline {
    pub(super) length: f64,
    pub(super) width: f64,
    pub(super) wall: f64,
    hoop: Hoop,
    /// Mains of one side, from the centre; one on the centre line is not among them.
    pub(super) mains_x: Vec<f64>,
    /// Whether a main runs on the centre line.
    pub(super) centre_main: bool,
    /// Crosses from the head.
    pub(super) crosses_y: Vec<f64>,
}

impl Outline {
    /// Measured where the record has it, else as on an ordinary frame of the sport.
    ///
    /// `None` for sizes that make no hoop; a record that has a plan has one.
    pub(super) fn of(frame: &FrameRecord) -> Option<Self> {
        let (hoop, _) = shape::hoop(frame)?;
        let bed = shape::bed(frame, hoop)
            .ok()
            .or_else(|| shape::ordinary_bed(frame, hoop))?;
        Some(Self {
            length: hoop.length_mm(),
            width: hoop.width_mm(),
            wall: frame.wall_mm.unwrap_or(frame.sport.defaults().wall_mm),
            hoop,
            mains_x: bed.mains_x_mm().to_vec(),
            centre_main: bed.centre_main(),
            crosses_y: bed.crosses_y_mm().to_vec(),
        })
    }

    /// Height of the hoop's head end at `x`.
    pub(super) fn head_y(&self, x: f64) -> f64 {
        self.hoop.y_top_mm(x)
    }

    /// Height of the hoop's throat end at `x`.
    pub(super) fn throat_y(&self, x: f64) -> f64 {
        self.hoop.y_bottom_mm(x)
    }

    /// Half the hoop's width at height `y`.
    pub(super) fn half_width(&self, y: f64) -> f64 {
        self.hoop.half_width_mm(y)
    }
}
