//! What the project promises about its own text: walls, sizes, words.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
mod sizes;
mod source;
mod walls;
mod words;
