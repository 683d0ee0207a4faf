//! A frame's record as fields to fill in.
use super::filled::Filled;
use crate::craft::frame::hole_words;
use crate::craft::frame::{CrossesFrom, FrameRecord, FrameSource, OnePieceRule, SideRule};
use crate::craft::racket_end::RacketEnd;
use crate::craft::sport::Sport;
use crate::craft::tension::TensionUnit;
use crate::craft::weave_method::WeaveMethod;
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::frame_record::FrameFields;

/// A value that stands in a list, and what people call it.
pub(super) type Words<T> = (T, &'static str, &'static str);

pub(super) const ENDS: [Words<RacketEnd>; 2] = [
    (RacketEnd::Head, "head", "head"),
    (RacketEnd::Throat, "throat", "throat"),
];
pub(super) const FROM: [Words<CrossesFrom>; 3] = [
    (CrossesFrom::Head, "head", "from the head alone"),
    (CrossesFrom::Throat, "throat", "from the throat alone"),
    (CrossesFrom::Either, "either", "from either end"),
];
pub(super) const PIECES: [Words<OnePieceRule>; 3] = [
    (OnePieceRule::Allowed, "allowed", "allowed"),
    (OnePieceRule::Required, "required", "one piece alone"),
    (OnePieceRule::Forbidden, "forbidden", "two pieces alone"),
];
pub(super) const SIDES: [Words<SideRule>; 3] = [
    (SideRule::A, "a", "A"),
    (SideRule::B, "b", "B"),
    (SideRule::Either, "either", "left open"),
];
pub(super) const YES_NO: [Words<bool>; 2] = [(true, "yes", "allowed"), (false, "no", "not allowed")];
pub(super) const FANNED: [Words<bool>; 2] = [(true, "yes", "fanned out"), (false, "no", "side by side")];
pub(super) const SPORTS: [Words<Sport>; 3] = [
    (Sport::Tennis, "tennis", "tennis"),
    (Sport::Badminton, "badminton", "badminton"),
    (Sport::Squash, "squash", "squash"),
];
pub(super) const METHODS: [WeaveMethod; 5] = [
    WeaveMethod::HeadDown,
    WeaveMethod::StartCrossBack,
    WeaveMethod::TopsOnShortSide,
    WeaveMethod::Around,
    WeaveMethod::ThroatUp,
];
pub(super) const UNITS: [Words<TensionUnit>; 2] =
    [(TensionUnit::Kg, "kg", "kg"), (TensionUnit::Lb, "lb", "lb")];
pub(super) const SOURCES: [Words<FrameSource>; 3] = [
    (FrameSource::Measured, "measured", "on the frame, here"),
    (FrameSource::MakerSheet, "maker_sheet", "the maker's sheet"),
    (FrameSource::Reported, "reported", "somebody said so"),
];

/// The record as the fields of its form.
pub fn filled(record: &FrameRecord) -> Filled {
    let pattern = &record.pattern;
    let mut form = Filled::default();
    form.put("name", record.name.clone());
    form.put("sport", value_of(&SPORTS, Some(record.sport)));
    form.put("mains", record.mains.to_string());
    form.put("crosses", record.crosses.to_string());
    if let Some(range) = &record.tension_range {
        form.put("range_min", range.min.clone());
        form.put("range_max", range.max.clone());
        form.put("range_unit", value_of(&UNITS, Some(range.unit)));
    }
    for (name, holes) in [
        ("mains_skip", &pattern.mains_skip),
        ("crosses_skip", &pattern.crosses_skip),
        ("tie_off_mains", &pattern.tie_off_mains),
        ("tie_off_crosses", &pattern.tie_off_crosses),
        ("shared_holes", &pattern.shared_holes),
    ] {
        form.put(name, hole_words::write(holes));
    }
    form.put("known", if pattern.known { "yes" } else { "" });
    form.put("loop_end", value_of(&ENDS, pattern.loop_end));
    form.put("crosses_from", value_of(&FROM, pattern.crosses_from));
    form.put("one_piece", value_of(&PIECES, pattern.one_piece));
    form.put("short_side", value_of(&SIDES, pattern.short_side));
    form.put("cross_start_side", value_of(&SIDES, pattern.cross_start_side));
    form.put(
        "pulls_towards_head",
        value_of(&YES_NO, pattern.pulls_towards_head),
    );
    let count = |value: Option<u16>| value.map_or_else(String::new, |number| number.to_string());
    form.put("start_cross", count(pattern.start_cross));
    form.put("max_mains_ahead", count(pattern.max_mains_ahead));
    form.put("bridge_holes_per_side", count(pattern.bridge_holes_per_side));
    let cut = record.cut_mm.clone().unwrap_or_default();
    for (name, length_mm) in [
        ("cut_mains_m", cut.mains),
        ("cut_crosses_m", cut.crosses),
        ("cut_one_piece_m", cut.one_piece),
        ("cut_short_side_m", cut.short_side),
    ] {
        let metres = |mm: u32| (f64::from(mm) / 1000.0).to_string();
        form.put(name, length_mm.map_or_else(String::new, metres));
    }
    sizes(record, &mut form);
    for method in &pattern.methods {
        form.put("methods", method.name());
    }
    form
}

/// Sizes and places, as far as they are measured.
fn sizes(record: &FrameRecord, form: &mut Filled) {
    let number = |value: Option<f64>| value.map_or_else(String::new, |number| number.to_string());
    form.put(
        "inside_length_mm",
        number(record.inside_mm.map(|size| size.length)),
    );
    form.put("inside_width_mm", number(record.inside_mm.map(|size| size.width)));
    form.put("head_area_in2", number(record.head_area_in2));
    let overall = record.overall_mm;
    form.put("overall_length_mm", number(overall.map(|size| size.length)));
    form.put("overall_width_mm", number(overall.map(|size| size.width)));
    form.put("wall_mm", number(record.wall_mm));
    form.put("fanned_mains", value_of(&FANNED, record.fanned_mains));
    let places = record.positions_mm.clone().unwrap_or_default();
    form.put("mains_x", list(&places.mains_x));
    form.put("crosses_y", list(&places.crosses_y));
}

/// "8.5; 17; 26": a comma stays free for what some write instead of the point.
fn list(all_mm: &[f64]) -> String {
    let texts: Vec<String> = all_mm.iter().map(f64::to_string).collect();
    texts.join("; ")
}

/// The fields in their groups, with what stands in `form`.
pub fn groups(form: &Filled) -> Vec<FrameFields> {
    let counted = Entry(form);
    vec![
        FrameFields {
            title: "Counted, and the maker's range",
            hint: "",
            fields: vec![
                counted.text("name", "Name"),
                counted.list("sport", "Sport", &SPORTS),
                counted.number("mains", "Mains"),
                counted.number("crosses", "Crosses"),
                counted.number("range_min", "Range from"),
                counted.number("range_max", "Range to"),
                counted.list("range_unit", "Unit of the range", &UNITS),
            ],
        },
        holes(form),
        rules(form),
        places(form),
        FrameFields {
            title: "Lengths",
            hint: "What is on record goes before what is computed from the size.",
            fields: vec![
                counted.number("cut_mains_m", "Cut mains").unit("m"),
                counted.number("cut_crosses_m", "Cut crosses").unit("m"),
                counted.number("cut_one_piece_m", "Cut one piece").unit("m"),
                counted
                    .number("cut_short_side_m", "Short side, mains alone")
                    .unit("m"),
                counted.number("inside_length_mm", "Inside length").unit("mm"),
                counted.number("inside_width_mm", "Inside width").unit("mm"),
                counted
                    .number("head_area_in2", "Head area as printed")
                    .unit("in²"),
            ],
        },
    ]
}

fn holes(form: &Filled) -> FrameFields {
    let entry = Entry(form);
    FrameFields {
        title: "Holes",
        hint: "Count them from the centre line outwards, at the head and at the throat: head 7, 9; throat 8 A. A is \
               left with the head up and the mark of the butt cap towards you; without A or B it is both sides.",
        fields: vec![
            entry.text("mains_skip", "Mains pass by"),
            entry.text("crosses_skip", "Crosses pass by"),
            entry.text("tie_off_mains", "Tie-off of the mains"),
            entry.text("tie_off_crosses", "Tie-off of the crosses"),
            entry.text("shared_holes", "Shared by a main and a cross"),
            entry
                .field("known", "All holes were looked up", Control::Tick)
                .hint("Also where there is nothing to pass by."),
        ],
    }
}

fn places(form: &Filled) -> FrameFields {
    let entry = Entry(form);
    FrameFields {
        title: "Places and sizes, measured",
        hint: "Places count from the middle of the frame inside, in mm, one after the other: 8.5; 17; 26. Mains of one \
               side from the centre outwards, crosses from the head down, those below the middle with a minus.",
        fields: vec![
            entry.text("mains_x", "Mains of one side"),
            entry.text("crosses_y", "Crosses from the head"),
            entry.list("fanned_mains", "The mains run", &FANNED),
            entry
                .number("wall_mm", "From the inside to where the string bears")
                .unit("mm"),
            entry.number("overall_length_mm", "Overall length").unit("mm"),
            entry.number("overall_width_mm", "Overall width").unit("mm"),
        ],
    }
}

fn rules(form: &Filled) -> FrameFields {
    let entry = Entry(form);
    FrameFields {
        title: "Ends and rules",
        hint: "",
        fields: vec![
            entry.list("loop_end", "Centre loop of the mains at", &ENDS),
            entry.number("bridge_holes_per_side", "Main holes a side in the throat bridge"),
            entry.number(
                "start_cross",
                "First cross below where the outer main leaves, from the head",
            ),
            entry.list("crosses_from", "Crosses may be strung", &FROM),
            entry.list("one_piece", "One piece", &PIECES),
            entry.list("short_side", "Short side of one piece", &SIDES),
            entry.list("cross_start_side", "Side where the crosses begin", &SIDES),
            entry.list(
                "pulls_towards_head",
                "Pulls from cross to cross towards the head",
                &YES_NO,
            ),
            entry.number("max_mains_ahead", "Most mains ahead on one side"),
            entry.methods(),
        ],
    }
}

/// Fields with what stands in a form, none of which has to be filled in.
struct Entry<'a>(&'a Filled);

impl Entry<'_> {
    fn field(&self, name: &str, label: &str, control: Control) -> Field {
        Field::new(name, label, control).value(self.0.get(name)).free()
    }

    fn text(&self, name: &str, label: &str) -> Field {
        self.field(name, label, Control::Text)
    }

    fn number(&self, name: &str, label: &str) -> Field {
        self.field(name, label, Control::Number)
    }

    fn list<T>(&self, name: &str, label: &str, all: &[Words<T>]) -> Field {
        let mut choices = vec![Choice::new("", "not known")];
        let known = all
            .iter()
            .map(|(_, value, words)| Choice::new(*value, *words).chosen(self.0.get(name) == *value));
        choices.extend(known);
        self.field(name, label, Control::Select(choices))
    }
}

impl Entry<'_> {
    /// The ways of weaving that the maker prescribes.
    fn methods(&self) -> Field {
        let choices = METHODS.map(|method| {
            let chosen = self.0.has("methods", method.name());
            Choice::new(method.name(), method.words()).chosen(chosen)
        });
        let said = choices.iter().filter(|one| one.chosen);
        let said: Vec<&str> = said.map(|one| one.label.as_str()).collect();
        Field::new(
            "methods",
            "Ways of weaving the maker prescribes",
            Control::Many(choices.to_vec()),
        )
        .hint("None where it leaves them open.")
        .value(said.join("; "))
        .free()
    }
}

/// Where what was filled in comes from.
pub fn source(form: &Filled) -> Field {
    let choices =
        SOURCES.map(|(_, value, label)| Choice::new(value, label).chosen(form.get("source") == value));
    Field::new(
        "source",
        "Where did you look it up?",
        Control::One(choices.into()),
    )
}

/// Why what is doubtful is meant so.
pub fn insist(form: &Filled) -> Field {
    Field::new("override", "All the same, because", Control::Text)
        .hint("Only where it is meant so; the reason is kept with it.")
        .value(form.get("override"))
        .free()
}

fn value_of<T: PartialEq>(all: &[Words<T>], value: Option<T>) -> &'static str {
    let known = all.iter().find(|(one, ..)| Some(one) == value.as_ref());
    known.map_or("", |(_, word, _)| word)
}
