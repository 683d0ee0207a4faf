//! Where hoop, mains and crosses stand on the drawing, from mid length on the centre line, in units of the sheet.
use crate::frame::FrameRecord;
use crate::frame::shape;
use crate::hoop::Hoop;

use super::{HOOP_UP_TO, HOOP_WITHIN};

/// The picture's geometry: the same hoop and places that the plan reckons with.
pub(super) struct Outline {
    pub(super) length: f64,
    pub(super) width: f64,
    pub(super) wall: f64,
    hoop: Hoop,
    /// Units of the sheet in a millimetre of the racket.
    per_mm: f64,
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
        let wall_mm = frame.wall_mm.unwrap_or(frame.sport.defaults().wall_mm);
        let in_width = HOOP_WITHIN / (hoop.width_mm() / 2.0 + wall_mm);
        let in_length = HOOP_UP_TO / (hoop.length_mm() / 2.0 + wall_mm);
        let per_mm = in_width.min(in_length);
        let on_sheet = |all_mm: &[f64]| all_mm.iter().map(|mm| mm * per_mm).collect();
        Some(Self {
            length: hoop.length_mm() * per_mm,
            width: hoop.width_mm() * per_mm,
            wall: wall_mm * per_mm,
            mains_x: on_sheet(bed.mains_x_mm()),
            centre_main: bed.centre_main(),
            crosses_y: on_sheet(bed.crosses_y_mm()),
            hoop,
            per_mm,
        })
    }

    /// Height of the hoop's head end at `x`.
    pub(super) fn head_y(&self, x: f64) -> f64 {
        self.hoop.y_top_mm(x / self.per_mm) * self.per_mm
    }

    /// Height of the hoop's throat end at `x`.
    pub(super) fn throat_y(&self, x: f64) -> f64 {
        self.hoop.y_bottom_mm(x / self.per_mm) * self.per_mm
    }

    /// Half the hoop's width at height `y`.
    pub(super) fn half_width(&self, y: f64) -> f64 {
        self.hoop.half_width_mm(y / self.per_mm) * self.per_mm
    }
}
