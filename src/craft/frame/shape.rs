//! The hoop and the strings' places that a frame's record gives, filled up from an ordinary frame.
use crate::bed::{Bed, BedFault, ordinary_hoop, ordinary_hoop_of_area, ordinary_positions_mm};
use crate::frame::FrameRecord;
use crate::hoop::Hoop;
use crate::units::MM2_PER_SQ_INCH;

/// Where the size of a hoop comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeFrom {
    /// Inside length and width on record; the curve between is an ordinary frame's.
    Inside,
    /// The head area printed on the frame; proportions are an ordinary frame's.
    HeadArea,
    /// Nothing on record: the size is an ordinary frame's.
    Ordinary,
}

/// The hoop of `frame`, and where its size comes from.
///
/// `None` for sizes that make no hoop; a record without contradictions has one.
#[must_use]
pub fn hoop(frame: &FrameRecord) -> Option<(Hoop, SizeFrom)> {
    if let Some(inside) = frame.inside_mm {
        let hoop = ordinary_hoop(frame.sport, inside.length, inside.width)?;
        return Some((hoop, SizeFrom::Inside));
    }
    let (area_mm2, from) = match frame.head_area_in2 {
        Some(area_in2) => (area_in2 * MM2_PER_SQ_INCH, SizeFrom::HeadArea),
        None => (frame.sport.defaults().head_area_mm2, SizeFrom::Ordinary),
    };
    Some((ordinary_hoop_of_area(frame.sport, area_mm2)?, from))
}

/// The strings of `frame` in its `hoop`: measured where the record has them, else as on an ordinary frame.
///
/// # Errors
/// The [`BedFault`] of positions that do not fit the hoop.
pub fn bed(frame: &FrameRecord, hoop: Hoop) -> Result<Bed, BedFault> {
    let usual = frame.sport.defaults();
    let (mains, crosses) = (usize::from(frame.mains), usize::from(frame.crosses));
    let (mut mains_x, mut crosses_y) = ordinary_positions_mm(&hoop, mains, crosses, &usual);
    if let Some(measured) = &frame.positions_mm {
        if !measured.mains_x.is_empty() {
            mains_x.clone_from(&measured.mains_x);
        }
        if !measured.crosses_y.is_empty() {
            crosses_y.clone_from(&measured.crosses_y);
        }
    }
    let wall_mm = frame.wall_mm.unwrap_or(usual.wall_mm);
    Bed::new(hoop, wall_mm, !mains.is_multiple_of(2), mains_x, crosses_y)
}

/// The strings of `frame` in its `hoop`, all of them as on an ordinary frame.
#[must_use]
pub fn ordinary_bed(frame: &FrameRecord, hoop: Hoop) -> Option<Bed> {
    let usual = frame.sport.defaults();
    let wall_mm = frame.wall_mm.unwrap_or(usual.wall_mm);
    let (mains, crosses) = (usize::from(frame.mains), usize::from(frame.crosses));
    Bed::ordinary(hoop, wall_mm, mains, crosses, &usual).ok()
}
