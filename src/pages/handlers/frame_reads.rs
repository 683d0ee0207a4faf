//! What somebody filled in of a frame's record, read back.
use super::filled::Filled;
use super::frame_form::{ENDS, FANNED, FROM, METHODS, PIECES, SIDES, SOURCES, SPORTS, UNITS, Words, YES_NO};
use crate::craft::frame::{
    CutRecord, FrameRecord, FrameSource, HoleRef, InsideSize, Pattern, Positions, TensionRange, hole_words,
};
use crate::desk::{DeskError, DeskResult, MemberFault};

/// What is read off a form, and everything that cannot be read.
struct Reader<'a> {
    form: &'a Filled,
    faults: Vec<MemberFault>,
}

impl Reader<'_> {
    fn wrong(&mut self, name: &str, detail: impl Into<String>) {
        self.faults
            .push(MemberFault::at(format!("/{name}"), "invalid_value", detail));
    }

    fn holes(&mut self, name: &str) -> Vec<HoleRef> {
        hole_words::read(self.form.get(name)).unwrap_or_else(|detail| {
            self.wrong(name, detail);
            Vec::new()
        })
    }

    fn count(&mut self, name: &str) -> Option<u16> {
        let text = self.form.some(name)?;
        let read = text.parse().ok();
        if read.is_none() {
            self.wrong(
                name,
                format!("\"{text}\" is no whole number; count it on the frame."),
            );
        }
        read
    }

    fn number(&mut self, name: &str) -> Option<f64> {
        let text = self.form.some(name)?;
        let read = text.replace(',', ".").parse::<f64>().ok();
        let read = read.filter(|number| number.is_finite() && *number > 0.0);
        if read.is_none() {
            self.wrong(
                name,
                format!("\"{text}\" is no length; give a number such as 6.5."),
            );
        }
        read
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a length of string, at most 100 m"
    )]
    fn millimetres(&mut self, name: &str) -> Option<u32> {
        let metres = self.number(name)?;
        if metres > 100.0 {
            self.wrong(
                name,
                format!("{metres} m is no length of a string; give metres such as 6.5."),
            );
            return None;
        }
        Some((metres * 1000.0).round() as u32)
    }

    fn one_of<T: Clone>(&self, name: &str, all: &[Words<T>]) -> Option<T> {
        let chosen = self.form.get(name);
        let known = all.iter().find(|(_, value, _)| *value == chosen);
        known.map(|(one, ..)| one.clone())
    }

    fn range(&mut self) -> Option<TensionRange> {
        let text = |name: &str| self.form.some(name).map(|text| text.replace(',', "."));
        let unit = self.one_of("range_unit", &UNITS);
        match (text("range_min"), text("range_max"), unit) {
            (Some(min), Some(max), Some(unit)) => Some(TensionRange { min, max, unit }),
            (None, None, _) => None,
            (_, _, None) => {
                self.wrong("range_unit", "Choose the unit of the range.");
                None
            }
            _ => {
                self.wrong("range_max", "Give both ends of the range, or none.");
                None
            }
        }
    }

    fn pattern(&mut self) -> Pattern {
        Pattern {
            known: self.form.has("known", "yes"),
            mains_skip: self.holes("mains_skip"),
            crosses_skip: self.holes("crosses_skip"),
            tie_off_mains: self.holes("tie_off_mains"),
            tie_off_crosses: self.holes("tie_off_crosses"),
            shared_holes: self.holes("shared_holes"),
            start_cross: self.count("start_cross"),
            crosses_from: self.one_of("crosses_from", &FROM),
            loop_end: self.one_of("loop_end", &ENDS),
            short_side: self.one_of("short_side", &SIDES),
            cross_start_side: self.one_of("cross_start_side", &SIDES),
            max_mains_ahead: self.count("max_mains_ahead"),
            pulls_towards_head: self.one_of("pulls_towards_head", &YES_NO),
            bridge_holes_per_side: self.count("bridge_holes_per_side"),
            one_piece: self.one_of("one_piece", &PIECES),
            methods: METHODS
                .into_iter()
                .filter(|method| self.form.has("methods", method.name()))
                .collect(),
        }
    }

    /// Length and width of the same thing: `inside` or `overall`.
    fn size(&mut self, of: &str) -> Option<InsideSize> {
        let [length, width] = ["length", "width"].map(|side| format!("{of}_{side}_mm"));
        match (self.number(&length), self.number(&width)) {
            (Some(length), Some(width)) => Some(InsideSize { length, width }),
            (None, None) => None,
            _ => {
                self.wrong(&width, "Give length and width, or neither.");
                None
            }
        }
    }

    /// Places along a line, in mm: "8.5; 17; 26".
    fn places(&mut self, name: &str) -> Vec<f64> {
        let text = self.form.get(name).to_owned();
        let mut places = Vec::new();
        for one in text.split([';', ' ']).filter(|one| !one.is_empty()) {
            let read = one.replace(',', ".").replace('−', "-").parse::<f64>().ok();
            match read.filter(|number| number.is_finite()) {
                Some(number) => places.push(number),
                None => {
                    self.wrong(
                        name,
                        format!("\"{one}\" is no place; write them such as 8.5; 17; 26."),
                    );
                    return Vec::new();
                }
            }
        }
        places
    }

    fn positions(&mut self) -> Option<Positions> {
        let places = Positions {
            mains_x: self.places("mains_x"),
            crosses_y: self.places("crosses_y"),
        };
        (places != Positions::default()).then_some(places)
    }
}

/// `before` with what was filled in; what the form has no field for stays.
///
/// # Errors
/// [`DeskError::Invalid`] with everything that cannot be read.
pub fn corrected(form: &Filled, before: &FrameRecord) -> DeskResult<FrameRecord> {
    let mut read = Reader {
        form,
        faults: Vec::new(),
    };
    let cut = CutRecord {
        mains: read.millimetres("cut_mains_m"),
        crosses: read.millimetres("cut_crosses_m"),
        one_piece: read.millimetres("cut_one_piece_m"),
        short_side: read.millimetres("cut_short_side_m"),
    };
    let mut record = FrameRecord {
        tension_range: read.range(),
        pattern: read.pattern(),
        cut_mm: (cut != CutRecord::default()).then_some(cut),
        inside_mm: read.size("inside"),
        overall_mm: read.size("overall"),
        positions_mm: read.positions(),
        fanned_mains: read.one_of("fanned_mains", &FANNED),
        wall_mm: read.number("wall_mm"),
        head_area_in2: read.number("head_area_in2"),
        name: form.get("name").to_owned(),
        sport: read.one_of("sport", &SPORTS).unwrap_or(before.sport),
        ..before.clone()
    };
    for (name, kept) in [("mains", &mut record.mains), ("crosses", &mut record.crosses)] {
        match read.count(name) {
            Some(count) => *kept = count,
            None => read.wrong(name, format!("Count the {name} and give a whole number.")),
        }
    }
    let Some(source) = read.one_of("source", &SOURCES) else {
        read.wrong("source", "Say where you looked it up.");
        return Err(DeskError::Invalid(read.faults));
    };
    if !read.faults.is_empty() {
        return Err(DeskError::Invalid(read.faults));
    }
    note_sources(&mut record, before, source);
    Ok(record)
}

/// What has changed comes from `source`; the rest keeps where it came from.
fn note_sources(record: &mut FrameRecord, before: &FrameRecord, source: FrameSource) {
    let holes = |pattern: &Pattern| Pattern {
        start_cross: None,
        crosses_from: None,
        loop_end: None,
        ..pattern.clone()
    };
    let changed = [
        ("mains", record.mains != before.mains),
        ("crosses", record.crosses != before.crosses),
        ("tension_range", record.tension_range != before.tension_range),
        ("pattern", holes(&record.pattern) != holes(&before.pattern)),
        (
            "start_cross",
            record.pattern.start_cross != before.pattern.start_cross,
        ),
        (
            "crosses_from",
            record.pattern.crosses_from != before.pattern.crosses_from,
        ),
        ("loop_end", record.pattern.loop_end != before.pattern.loop_end),
        ("cut_mm", record.cut_mm != before.cut_mm),
        ("inside_mm", record.inside_mm != before.inside_mm),
        ("head_area_in2", record.head_area_in2 != before.head_area_in2),
        ("positions_mm", record.positions_mm != before.positions_mm),
        ("fanned_mains", record.fanned_mains != before.fanned_mains),
        ("wall_mm", record.wall_mm != before.wall_mm),
        ("overall_mm", record.overall_mm != before.overall_mm),
    ];
    for (field, _) in changed.iter().filter(|(_, changed)| *changed) {
        record.sources.insert((*field).to_owned(), source);
    }
}

/// The field that a pointer of the frame's record is about.
pub fn field_of(pointer: &str) -> String {
    let path = pointer.trim_start_matches('/').trim_start_matches("pattern/");
    let mut parts = path.split('/');
    let (first, second) = (parts.next().unwrap_or_default(), parts.next().unwrap_or_default());
    match first {
        "tension_range" if second.is_empty() => "range_min".to_owned(),
        "tension_range" => format!("range_{second}"),
        "cut_mm" => format!("cut_{second}_m"),
        "inside_mm" if second.is_empty() => "inside_length_mm".to_owned(),
        "inside_mm" => format!("inside_{second}_mm"),
        "overall_mm" if second.is_empty() => "overall_length_mm".to_owned(),
        "overall_mm" => format!("overall_{second}_mm"),
        "positions_mm" if second.is_empty() => "mains_x".to_owned(),
        "positions_mm" => second.to_owned(),
        // the reason of an override is its only box
        other => other.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::frame_form;
    use super::*;

    fn record() -> FrameRecord {
        let plan: serde_json::Value =
            serde_json::from_str(include_str!("../../../api/examples/plan-tennis-16x19.json")).unwrap();
        serde_json::from_value(plan["frame"].clone()).unwrap()
    }

    #[test]
    fn what_nobody_changes_stays_as_it_is_with_its_sources() {
        let mut form = frame_form::filled(&record());
        form.put("source", "measured");
        assert_eq!(corrected(&form, &record()).unwrap(), record());
    }

    #[test]
    fn what_is_read_off_the_frame_is_on_record_with_where_it_was_looked_up() {
        let mut form = frame_form::filled(&record());
        form.put("mains_skip", "head 7, 9; throat 7, 9");
        form.put("known", "yes");
        form.put("cut_crosses_m", "5,45");
        form.put("source", "measured");
        let after = corrected(&form, &record()).unwrap();
        assert_eq!(after.pattern.mains_skip.len(), 4);
        assert_eq!(after.cut_mm.as_ref().unwrap().crosses, Some(5450));
        assert_eq!(after.source_of("cut_mm"), FrameSource::Measured);
        assert_eq!(
            after.source_of("tension_range"),
            record().source_of("tension_range")
        );
    }

    #[test]
    fn places_methods_and_the_name_are_read_back_and_a_word_among_places_is_named() {
        let mut form = frame_form::filled(&record());
        for (name, value) in [
            ("name", "F-16x19 B"),
            ("mains_x", "8,5; 17 26"),
            ("crosses_y", "120; 0; −110.5"),
            ("methods", "throat_up"),
            ("wall_mm", "4"),
            ("source", "maker_sheet"),
        ] {
            form.put(name, value);
        }
        let after = corrected(&form, &record()).unwrap();
        let places = after.positions_mm.clone().unwrap();
        assert_eq!(
            (places.mains_x, places.crosses_y),
            (vec![8.5, 17.0, 26.0], vec![120.0, 0.0, -110.5])
        );
        assert!(
            after
                .pattern
                .methods
                .contains(&crate::craft::weave_method::WeaveMethod::ThroatUp)
        );
        assert_eq!((after.name.as_str(), after.wall_mm), ("F-16x19 B", Some(4.0)));
        assert_eq!(after.source_of("positions_mm"), FrameSource::MakerSheet);
        form.put("mains_x", "8.5; then 17");
        assert!(
            matches!(corrected(&form, &record()), Err(DeskError::Invalid(faults)) if faults[0].pointer == "/mains_x")
        );
    }

    #[test]
    fn all_that_cannot_be_read_is_named_at_its_field() {
        let mut form = frame_form::filled(&record());
        for (name, value) in [
            ("mains_skip", "7, 9"),
            ("start_cross", "third"),
            ("cut_mains_m", "6500"),
        ] {
            form.put(name, value);
        }
        form.put("source", "measured");
        let DeskError::Invalid(faults) = corrected(&form, &record()).unwrap_err() else {
            panic!("what cannot be read");
        };
        let mut fields: Vec<String> = faults.iter().map(|fault| field_of(&fault.pointer)).collect();
        fields.sort();
        assert_eq!(fields, ["cut_mains_m", "mains_skip", "start_cross"]);
    }

    #[test]
    fn pointers_of_the_record_lead_to_its_fields() {
        for (pointer, field) in [
            ("/pattern/tie_off_mains/0", "tie_off_mains"),
            ("/cut_mm/short_side", "cut_short_side_m"),
            ("/inside_mm", "inside_length_mm"),
            ("/tension_range/min", "range_min"),
            ("/positions_mm/crosses_y/3", "crosses_y"),
            ("/overall_mm/width", "overall_width_mm"),
            ("/mains", "mains"),
        ] {
            assert_eq!(field_of(pointer), field);
        }
    }
}
