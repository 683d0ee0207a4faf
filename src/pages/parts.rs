//! Small pieces of markup that several screens print: chips, form seals, fields, error lists.
use askama::Template;
use askama::filters::HtmlSafe;

/// What a coloured chip says. The hue never stands alone: a glyph and a word go with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChipKind {
    Late,
    Risk,
    Rush,
    Held,
    Ready,
    Info,
    /// Without a hue: the ordinary case.
    Plain,
}

impl ChipKind {
    /// The class suffix in `base.css`.
    pub fn class(self) -> &'static str {
        match self {
            ChipKind::Late => "late",
            ChipKind::Risk => "risk",
            ChipKind::Rush => "rush",
            ChipKind::Held => "held",
            ChipKind::Ready => "ready",
            ChipKind::Info => "info",
            ChipKind::Plain => "plain",
        }
    }

    /// The shape that tells the kinds apart in a grey print.
    pub fn glyph(self) -> &'static str {
        match self {
            ChipKind::Late => "▲!",
            ChipKind::Risk => "△",
            ChipKind::Rush => "»",
            ChipKind::Held => "‖",
            ChipKind::Ready => "✓",
            ChipKind::Info => "i",
            ChipKind::Plain => "",
        }
    }
}

impl Default for Chip {
    /// Nothing out of the ordinary, and nothing said.
    fn default() -> Self {
        Self::new(ChipKind::Plain, "")
    }
}

/// One chip: hue, glyph and word.
#[derive(Clone, Debug, Template)]
#[template(path = "parts/chip.html", config = ".askama.toml")]
pub struct Chip {
    pub kind: ChipKind,
    pub word: String,
}
impl HtmlSafe for Chip {}

impl Chip {
    pub fn new(kind: ChipKind, word: impl Into<String>) -> Self {
        Chip {
            kind,
            word: word.into(),
        }
    }

    /// What minutes with a sign mean, for whoever points at them or hears them; nothing for other words.
    fn meaning(&self) -> Option<&'static str> {
        let last = self
            .word
            .split([' ', ','])
            .find(|word| word.starts_with(['+', '-']))?;
        let minutes: i64 = last.parse().ok()?;
        Some(if minutes < 0 {
            "minutes too few for the time we promised"
        } else {
            "minutes to spare before the time we promised"
        })
    }
}

/// The hidden field of every form: `once`, the key that makes a second sending harmless.
#[derive(Clone, Debug, Template)]
#[template(path = "parts/seal.html", config = ".askama.toml")]
pub struct Seal {
    pub once: String,
}
impl HtmlSafe for Seal {}

/// One thing wrong with what was sent: the words stand in the list on top and at the field.
#[derive(Clone, Debug)]
pub struct Fault {
    /// The `id` of the control to go to; empty when no field is at fault.
    pub field: String,
    pub words: String,
}

/// The list of what is wrong, on top of the page, focused when the page opens.
#[derive(Clone, Debug, Default, Template)]
#[template(path = "parts/problem.html", config = ".askama.toml")]
pub struct Problem {
    pub faults: Vec<Fault>,
    /// A short number to quote, only for faults of the server.
    pub reference: Option<String>,
}
impl HtmlSafe for Problem {}

/// What was just done, and a way to take it back or go on.
#[derive(Clone, Debug)]
pub struct Note {
    pub words: String,
    /// Label and address.
    pub links: Vec<(String, String)>,
}

/// One choice of a list.
#[derive(Clone, Debug)]
pub struct Choice {
    pub value: String,
    pub label: String,
    pub hint: String,
    pub chosen: bool,
}

impl Choice {
    pub fn new(value: impl Into<String>, label: impl Into<String>) -> Self {
        Choice {
            value: value.into(),
            label: label.into(),
            hint: String::new(),
            chosen: false,
        }
    }

    pub fn chosen(mut self, chosen: bool) -> Self {
        self.chosen = chosen;
        self
    }

    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }
}

/// How a field is filled in.
#[derive(Clone, Debug)]
pub enum Control {
    Text,
    Password,
    /// Digits that nobody else may read, with keys of our own for gloves (`keypad.js`).
    Pin,
    /// A number as text: a comma or a point is accepted, so the browser's number box is not used.
    Number,
    /// A time of day as text, "14:30": the browser's own box shows twelve hours in some languages.
    Time,
    LongText,
    /// A drop-down list.
    Select(Vec<Choice>),
    /// Tiles, one of them.
    One(Vec<Choice>),
    /// Tiles, any number of them; the field is repeated in the form.
    Many(Vec<Choice>),
    /// A photo: a tablet or phone opens its camera.
    Photo,
    /// One box with its label beside it; the value is `yes`.
    Tick,
}

/// One field of a form with its label, hint and fault.
#[derive(Clone, Debug, Template)]
#[template(path = "parts/field.html", config = ".askama.toml")]
pub struct Field {
    /// The name in the form and the `id` of the control.
    pub name: String,
    pub label: String,
    pub hint: String,
    pub value: String,
    pub control: Control,
    pub required: bool,
    /// Stands where nothing has to be filled in: then nothing is marked as optional.
    pub free: bool,
    /// The unit printed behind the box.
    pub unit: String,
    pub autocomplete: String,
    pub fault: Option<String>,
}
impl HtmlSafe for Field {}

impl Field {
    pub fn new(name: impl Into<String>, label: impl Into<String>, control: Control) -> Self {
        Field {
            name: name.into(),
            label: label.into(),
            hint: String::new(),
            value: String::new(),
            control,
            required: true,
            free: false,
            unit: String::new(),
            autocomplete: String::new(),
            fault: None,
        }
    }

    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    pub fn value(mut self, value: impl Into<String>) -> Self {
        self.value = value.into();
        self
    }

    pub fn unit(mut self, unit: impl Into<String>) -> Self {
        self.unit = unit.into();
        self
    }

    pub fn autocomplete(mut self, autocomplete: impl Into<String>) -> Self {
        self.autocomplete = autocomplete.into();
        self
    }

    pub fn optional(mut self) -> Self {
        self.required = false;
        self
    }

    /// May be left, among others that all may be.
    pub fn free(mut self) -> Self {
        self.free = true;
        self.optional()
    }

    pub fn fault(mut self, fault: Option<String>) -> Self {
        self.fault = fault;
        self
    }

    fn says_optional(&self) -> bool {
        !self.required && !self.free
    }

    /// A box for a number is no wider than one.
    fn is_short(&self) -> bool {
        !self.unit.is_empty() || matches!(self.control, Control::Pin)
    }

    /// What stands in it, as somebody reads it who may not change it.
    pub fn shown(&self) -> &str {
        match &self.control {
            Control::Select(choices) | Control::One(choices) => {
                let chosen = choices.iter().find(|one| one.chosen && !one.value.is_empty());
                chosen.map_or("", |one| one.label.as_str())
            }
            _ => &self.value,
        }
    }

    /// The ids that describe the control, for `aria-describedby`; empty when there are none.
    pub fn described_by(&self) -> String {
        let mut ids = Vec::new();
        if !self.hint.is_empty() {
            ids.push(format!("{}-hint", self.name));
        }
        if self.fault.is_some() {
            ids.push(format!("{}-fault", self.name));
        }
        ids.join(" ")
    }
}
