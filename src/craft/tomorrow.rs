//! The rackets of a day of which only the order of play is known.
//!
//! Who may play brings rackets as they usually do ([`habits`]); each repetition draws the
//! matches, the rackets and when they come ([`draw`]), ready to be played by the dispatcher.
pub mod draw;
pub mod habits;

#[cfg(test)]
mod tests;
