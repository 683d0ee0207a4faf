//! An order of play as a table.
use super::sides::written as side;
use crate::craft::match_times::order::OrderOfPlay;
use crate::forms::csv::written;

const HEADER: &str = "day,court,seq,match_id,draw,round,format,start_rule,start_time,side1,side2,rest_min,after,note,discipline";

/// The order as a table with a header; [`super::read`] reads it back.
#[must_use]
pub fn csv(order: &OrderOfPlay) -> String {
    let mut text = format!("{HEADER}\r\n");
    let mut matches: Vec<_> = order.matches.iter().collect();
    matches.sort_by(|one, other| (&one.court, one.seq).cmp(&(&other.court, other.seq)));
    for played in matches {
        let format = played.format_name.clone();
        let cells = [
            order.day.to_string(),
            played.court.clone(),
            played.seq.to_string(),
            played.id.clone(),
            played.draw.clone(),
            played.round.clone(),
            format.unwrap_or_else(|| serde_json::to_string(&played.format).unwrap_or_default()),
            played.start.rule.as_str().to_owned(),
            played.start.time.map(|time| time.to_string()).unwrap_or_default(),
            side(&played.sides[0]),
            side(&played.sides[1]),
            played.rest_min.map(|rest| rest.to_string()).unwrap_or_default(),
            played.after.join(";"),
            played.note.clone(),
            super::to_json::discipline(played.sport).to_owned(),
        ];
        text += &cells.map(|cell| written(&cell)).join(",");
        text += "\r\n";
    }
    text
}
