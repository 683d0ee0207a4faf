//! The JSON door from outside: one binary, one file per subject.
#![expect(clippy::expect_used, reason = "a test that cannot set up should stop")]
mod contract;
mod wire;
