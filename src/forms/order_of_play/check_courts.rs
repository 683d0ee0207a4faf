//! Courts and draws of an order of play, from their cells.
use std::collections::BTreeMap;

use super::check::Checking;
use super::{Cells, Known, Raw};
use crate::craft::match_times::order::Court;
use crate::craft::match_times::order_faults::Refusal;
use crate::craft::match_times::players::PlayerMix;
use crate::craft::match_times::tempo::Surface;

impl Checking {
    pub(super) fn courts(&mut self, raw: &Raw, known: &Known<'_>) -> Vec<Court> {
        if raw.lists_courts {
            return raw.courts.iter().map(|cells| self.court(cells, "id")).collect();
        }
        if !known.courts.is_empty() {
            return known.courts.clone();
        }
        let mut courts: Vec<Court> = Vec::new();
        for cells in &raw.matches {
            let named = cells.get("court").map(|cell| cell.text.as_str());
            if named.is_some_and(|id| courts.iter().all(|court| court.id != id)) {
                courts.push(self.court(cells, "court"));
            }
        }
        courts
    }

    fn court(&mut self, cells: &Cells, id: &str) -> Court {
        let id = self.id(cells, id);
        let surface = match cells
            .get("surface")
            .map(|cell| (cell.text.parse::<Surface>(), cell.place.clone()))
        {
            Some((Err(why), place)) => {
                self.add(Refusal::NotAValue, place, why.to_string());
                Surface::Hard
            }
            Some((Ok(surface), _)) => surface,
            None => Surface::Hard,
        };
        let covered = match cells
            .get("covered")
            .map(|cell| (cell.text.as_str(), cell.place.clone()))
        {
            None | Some(("false" | "no", _)) => false,
            Some(("true" | "yes", _)) => true,
            Some((_, place)) => {
                self.add(Refusal::NotAValue, place, "must be true or false");
                false
            }
        };
        Court {
            label: cells
                .get("label")
                .map_or_else(|| id.clone(), |cell| cell.text.clone()),
            surface,
            covered,
            opens: self.time(cells, "opens"),
            closes: self.time(cells, "closes"),
            id,
        }
    }

    pub(super) fn mixes(&mut self, raw: &Raw) -> BTreeMap<String, PlayerMix> {
        let mut mixes = BTreeMap::new();
        for cells in &raw.draws {
            let id = self.id(cells, "id");
            mixes.extend(self.mix(cells).map(|mix| (id, mix)));
        }
        mixes
    }

    pub(super) fn mix(&mut self, cells: &Cells) -> Option<PlayerMix> {
        let cell = cells.get("mix")?;
        cell.text
            .parse()
            .map_err(|why: crate::craft::text_enum::UnknownText| {
                self.add(Refusal::NotAValue, cell.place.clone(), why.to_string());
            })
            .ok()
    }
}
