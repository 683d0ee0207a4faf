//! Paper as it leaves the printer: the page is printed to PDF, the PDF is drawn, and the drawing is measured.
//!
//! Chromium makes the PDF; poppler (`pdftoppm`, `pdftotext`) draws and reads it; rqrr reads its QR codes.
use std::path::Path;
use std::process::Command;

use base64::Engine as _;
use serde_json::json;

use crate::screen::Screen;
use crate::{dev_tools, pictures};

/// Dots per inch of the drawing: a usual label printer has 300.
const DOTS_PER_INCH: u32 = 300;
/// An inch, exactly (international yard and pound agreement, 1959).
const MM_PER_INCH: f64 = 25.4;
/// A PDF's unit of length is the point, 1/72 inch (ISO 32000).
const POINTS_PER_INCH: f64 = 72.0;
/// Darker than this is ink.
const INK_BELOW: u8 = 128;
/// Channels of one dot further apart than this are a colour.
const COLOUR_FROM: u8 = 12;

/// What is printed: the first page drawn, the words of all.
pub(crate) struct Sheet {
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    pub(crate) pages: usize,
    /// Whether black, white and greys are all there is, on every page.
    pub(crate) grey: bool,
    /// Everything that is written on it.
    pub(crate) text: String,
    dots: Dots,
    words: Vec<Vec<Word>>,
}

/// Brightness, row by row.
struct Dots {
    width: usize,
    height: usize,
    brightness: Vec<u8>,
}

struct Word {
    text: String,
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

impl Sheet {
    /// Prints what the screen shows, without backgrounds, as browsers print unless told otherwise.
    /// A picture of it stays among the screens under this name.
    pub(crate) async fn of(screen: &Screen, name: &str) -> Self {
        let wishes = json!({"preferCSSPageSize": true, "printBackground": false});
        let printed = dev_tools::command(screen.client(), "Page.printToPDF", wishes).await;
        let data = printed["data"].as_str().expect("a PDF");
        let pdf = base64::engine::general_purpose::STANDARD
            .decode(data)
            .expect("base64");
        Self::read(&pdf, name)
    }

    fn read(pdf: &[u8], name: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("printed.pdf");
        std::fs::write(&file, pdf).expect("the PDF is kept");
        let picture = poppler("pdftoppm", &["-r", "150", "-png", "-singlefile"], &file);
        pictures::keep(name, &picture);
        let bounds = poppler("pdftotext", &["-bbox"], &file);
        let bounds = String::from_utf8(bounds).expect("text");
        let pages: Vec<&str> = bounds.split("<page ").skip(1).collect();
        for page in 2..=pages.len() {
            let number = page.to_string();
            let picture = poppler(
                "pdftoppm",
                &["-r", "150", "-png", "-singlefile", "-f", &number],
                &file,
            );
            pictures::keep(&format!("{name}-{page}"), &picture);
        }
        let (mut drawn, mut grey) = (None, true);
        for page in 1..=pages.len() {
            let (dots, free_of_colour) = drawn_page(&file, page);
            grey &= free_of_colour;
            drawn.get_or_insert(dots);
        }
        let size = |name: &str| millimetres(attribute(pages[0], name));
        Self {
            width_mm: size("width"),
            height_mm: size("height"),
            pages: pages.len(),
            grey,
            text: words_in_a_row(&poppler("pdftotext", &["-raw"], &file)),
            dots: drawn.expect("a page"),
            words: pages.iter().map(|page| words_of(page)).collect(),
        }
    }

    /// What the QR codes on it say.
    pub(crate) fn qr_codes(&self) -> Vec<String> {
        let dots = &self.dots;
        let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(dots.width, dots.height, |x, y| {
            dots.brightness[y * dots.width + x]
        });
        let grids = prepared.detect_grids();
        let read = grids
            .iter()
            .map(|grid| grid.decode().expect("a readable QR code").1);
        read.collect()
    }

    /// How high the ink of this word is, from its highest dot down to the first line without any.
    pub(crate) fn ink_height_mm(&self, word: &str) -> f64 {
        let found = self.words[0].iter().find(|one| one.text == word);
        let found = found.unwrap_or_else(|| panic!("{word} is not printed: {}", self.text));
        let rows = dot(found.top)..dot(found.bottom).min(self.dots.height);
        let columns = dot(found.left)..dot(found.right).min(self.dots.width);
        let inked = |row: &usize| {
            let start = row * self.dots.width;
            self.dots.brightness[start + columns.start..start + columns.end]
                .iter()
                .any(|one| *one < INK_BELOW)
        };
        // the word's box is higher than its letters and may reach into what stands below it
        let height = rows.skip_while(|row| !inked(row)).take_while(inked).count();
        let dots = u32::try_from(height).expect("a page's rows");
        f64::from(dots) * MM_PER_INCH / f64::from(DOTS_PER_INCH)
    }

    /// Words that reach into the margin, mm, or beyond the page: the printer cuts them off.
    pub(crate) fn in_the_margin(&self, margin_mm: f64) -> Vec<String> {
        let (wide, high) = (self.width_mm - margin_mm, self.height_mm - margin_mm);
        let inside = |word: &&Word| {
            let (top, bottom) = word.letters();
            let [left, top, right, bottom] = [word.left, top, word.right, bottom].map(millimetres);
            left < margin_mm || top < margin_mm || right > wide || bottom > high
        };
        let beyond = self.words.iter().flatten().filter(inside);
        beyond.map(|word| word.text.clone()).collect()
    }

    /// Words that lie on one another, as where a cell of a table is too narrow for what stands in it.
    pub(crate) fn on_one_another(&self) -> Vec<String> {
        let mut found = Vec::new();
        for page in &self.words {
            for (place, one) in page.iter().enumerate() {
                let on = |other: &&Word| one.covers(other);
                let covered = page[place + 1..].iter().filter(on);
                found.extend(covered.map(|other| format!("{} on {}", other.text, one.text)));
            }
        }
        found
    }

    /// Where the last word of the first page ends, mm from its top.
    pub(crate) fn lowest_word_mm(&self) -> f64 {
        let bottoms = self.words[0].iter().map(|word| millimetres(word.bottom));
        bottoms.fold(0.0, f64::max)
    }

    /// The longest line of ink across and down, mm.
    pub(crate) fn longest_ink_mm(&self) -> (f64, f64) {
        let (width, height) = (self.dots.width, self.dots.height);
        let inked = |row: usize, column: usize| self.dots.brightness[row * width + column] < INK_BELOW;
        let across = (0..height).map(|row| longest_run((0..width).map(|column| inked(row, column))));
        let down = (0..width).map(|column| longest_run((0..height).map(|row| inked(row, column))));
        let millimetres =
            |dots: Option<u32>| f64::from(dots.unwrap_or_default()) * MM_PER_INCH / f64::from(DOTS_PER_INCH);
        (millimetres(across.max()), millimetres(down.max()))
    }
}

impl Word {
    /// From where to where its letters reach, about. A font of Chinese and Japanese tells a box more than three times
    /// as high as its letters (measured: 13 mm where they are 4); they stand around the middle of it.
    fn letters(&self) -> (f64, f64) {
        const BOX_OF_LETTERS: f64 = 3.25;
        // the first sign of the radicals, with which the writings of East Asia begin
        if !self.text.contains(|letter: char| letter >= '\u{2e80}') {
            return (self.top, self.bottom);
        }
        let (middle, high) = (
            self.top.midpoint(self.bottom),
            (self.bottom - self.top) / BOX_OF_LETTERS,
        );
        (middle - high / 2.0, middle + high / 2.0)
    }

    /// On one line and in one place. Boxes of neighbouring lines may touch: those of some writings are high.
    fn covers(&self, other: &Self) -> bool {
        let across = self.right.min(other.right) - self.left.max(other.left);
        let apart = ((self.top + self.bottom) - (other.top + other.bottom)).abs() / 2.0;
        let high = (self.bottom - self.top).min(other.bottom - other.top);
        across > 1.0 && apart < high / 3.0
    }
}

fn drawn_page(file: &Path, page: usize) -> (Dots, bool) {
    let (dots_per_inch, page) = (DOTS_PER_INCH.to_string(), page.to_string());
    let options = ["-r", &dots_per_inch, "-f", &page, "-l", &page, "-singlefile"];
    Dots::read(&poppler("pdftoppm", &options, file))
}

fn longest_run(dots: impl Iterator<Item = bool>) -> u32 {
    let (mut run, mut longest) = (0, 0);
    for inked in dots {
        run = if inked { run + 1 } else { 0 };
        longest = longest.max(run);
    }
    longest
}

impl Dots {
    /// A binary portable pixmap (P6), and whether it is free of colour.
    fn read(file: &[u8]) -> (Self, bool) {
        let mut fields = file.splitn(5, |byte| byte.is_ascii_whitespace());
        let mut field = || {
            std::str::from_utf8(fields.next().expect("a header"))
                .expect("text")
                .to_owned()
        };
        assert_eq!(field(), "P6", "pdftoppm draws a pixmap");
        let mut number = || field().parse::<usize>().expect("a number");
        let (width, height, most) = (number(), number(), number());
        assert_eq!(most, 255);
        let pixels = &file[file.len() - width * height * 3..];
        let brightest = |dot: &[u8]| dot.iter().copied().max().unwrap_or_default();
        let darkest = |dot: &[u8]| dot.iter().copied().min().unwrap_or_default();
        let grey = pixels
            .chunks_exact(3)
            .all(|dot| brightest(dot) - darkest(dot) < COLOUR_FROM);
        let brightness = pixels.chunks_exact(3).map(darkest).collect();
        let dots = Self {
            width,
            height,
            brightness,
        };
        (dots, grey)
    }
}

/// A place in points as a row or column of dots.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "places on a page are small and not negative"
)]
fn dot(points: f64) -> usize {
    (points.max(0.0) / POINTS_PER_INCH * f64::from(DOTS_PER_INCH)).round() as usize
}

fn millimetres(points: f64) -> f64 {
    points / POINTS_PER_INCH * MM_PER_INCH
}

fn attribute(element: &str, name: &str) -> f64 {
    let value = element
        .split(&format!("{name}=\""))
        .nth(1)
        .expect("the attribute");
    let value = value.split('"').next().unwrap_or_default();
    value.parse().expect("a number")
}

fn words_of(page: &str) -> Vec<Word> {
    let word = |element: &str| Word {
        text: element
            .split_once('>')
            .and_then(|(_, rest)| rest.split("</word>").next())
            .unwrap_or_default()
            .to_owned(),
        left: attribute(element, "xMin"),
        top: attribute(element, "yMin"),
        right: attribute(element, "xMax"),
        bottom: attribute(element, "yMax"),
    };
    page.split("<word ").skip(1).map(word).collect()
}

/// The text without its lines: what wraps is still one saying.
fn words_in_a_row(text: &[u8]) -> String {
    let text = String::from_utf8_lossy(text);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Runs one of poppler's programs on the file; answers what it writes.
fn poppler(program: &str, options: &[&str], file: &Path) -> Vec<u8> {
    let mut command = Command::new(program);
    command.args(options).arg(file);
    if program == "pdftotext" {
        command.arg("-");
    }
    let output = command
        .output()
        .expect("poppler's programs are installed (Debian's package poppler-utils)");
    assert!(
        output.status.success(),
        "{program}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    output.stdout
}
