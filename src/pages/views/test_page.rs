//! A page to measure what a printer makes of each size of paper: rulers, a square to read, greys to tell apart.
use std::fmt::Write;

use askama::Template;

/// A size of paper that the desk prints on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TestPaper {
    /// Its name in the address and in `test_page.css`.
    pub name: &'static str,
    pub title: &'static str,
    /// Lengths of the two rulers, mm: they fit the part that is printed.
    pub across_mm: u32,
    pub down_mm: u32,
}

/// The sizes of tag, ticket, bench slip and story.
pub const TEST_PAPERS: [TestPaper; 4] = [
    TestPaper {
        name: "tag",
        title: "Tag, 70 × 25 mm",
        across_mm: 50,
        down_mm: 15,
    },
    TestPaper {
        name: "ticket",
        title: "Ticket, 80 mm roll",
        across_mm: 60,
        down_mm: 50,
    },
    TestPaper {
        name: "slip",
        title: "Bench slip, A6",
        across_mm: 70,
        down_mm: 60,
    },
    TestPaper {
        name: "story",
        title: "Racket Story, A4",
        across_mm: 150,
        down_mm: 100,
    },
];

/// The sheet.
#[derive(Debug, Template)]
#[template(path = "test_page.html", config = ".askama.toml")]
pub struct TestPage {
    pub paper: TestPaper,
    /// From [`crate::pages::qr::qr_svg`].
    pub qr_svg: String,
}

impl TestPage {
    fn across(&self) -> String {
        ruler(self.paper.across_mm, true)
    }

    fn down(&self) -> String {
        ruler(self.paper.down_mm, false)
    }
}

/// A ruler as SVG text: a line at each millimetre, a longer one at five, the longest and a number at ten.
fn ruler(length_mm: u32, across: bool) -> String {
    const WIDE_MM: u32 = 9;
    // half a millimetre before the first line, room for a number at the last one
    let long = length_mm + if across { 4 } else { 2 };
    let (width, height) = if across { (long, WIDE_MM) } else { (WIDE_MM, long) };
    let (left, top, x2, y2) = if across {
        ("-0.5", "0", length_mm, 0)
    } else {
        ("0", "-0.5", 0, length_mm)
    };
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"{left} {top} {width} {height}\" aria-hidden=\"true\">\
         <line x1=\"0\" y1=\"0\" x2=\"{x2}\" y2=\"{y2}\" stroke=\"#000000\" stroke-width=\"0.6\"/>"
    );
    for mm in 0..=length_mm {
        let line = match mm {
            ten if ten % 10 == 0 => 5,
            five if five % 5 == 0 => 4,
            _ => 2,
        };
        let (x2, y2) = if across { (mm, line) } else { (line, mm) };
        let (x1, y1) = if across { (mm, 0) } else { (0, mm) };
        // writing to a String does not fail
        let _ = write!(
            out,
            "<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" stroke=\"#000000\" stroke-width=\"0.2\"/>"
        );
        if mm % 10 == 0 && mm > 0 {
            let (x, y) = if across {
                (f64::from(mm), 8.3)
            } else {
                (7.0, f64::from(mm) + 1.0)
            };
            let _ = write!(
                out,
                "<text x=\"{x}\" y=\"{y}\" font-size=\"3\" text-anchor=\"middle\">{mm}</text>"
            );
        }
    }
    out.push_str("</svg>");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ruler_has_a_line_for_every_millimetre_and_both_ends() {
        for across in [true, false] {
            let svg = ruler(50, across);
            assert_eq!(svg.matches("<line").count(), 52, "and the edge");
            assert_eq!(svg.matches("<text").count(), 5, "10, 20, 30, 40 and 50");
            assert!(
                svg.contains(if across { "54mm" } else { "52mm" }) && svg.contains("\"9mm\""),
                "{svg}"
            );
        }
    }
}
