//! The edited outline read back.
//!
//! Only the box and the id of a line are read; lines may be moved or deleted. Reading
//! never fails: what is not understood is said. How it is
//! written is in `presentation/recap/outline_sheet.rs`.

use std::collections::BTreeMap;

use super::request::Surroundings;
use crate::vocabulary::tick_box::{boxed, is_tick};

/// What a sheet says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ticks {
    /// The vehicle it names.
    pub vehicle: Option<String>,
    /// The length it names.
    pub minutes: Option<u16>,
    /// The ids that are ticked, in the order of the lines, with these.
    pub ticked: Vec<(u32, String)>,
    /// What is said beside the moments.
    pub surroundings: Surroundings,
    /// What was not understood.
    pub said: Vec<String>,
}

impl Default for Ticks {
    fn default() -> Ticks {
        Ticks {
            vehicle: None,
            minutes: None,
            ticked: Vec::new(),
            surroundings: Surroundings::ALL,
            said: Vec::new(),
        }
    }
}

/// Reads an edited sheet.
#[must_use]
pub fn read_sheet(text: &str) -> Ticks {
    let mut ticks = Ticks::default();
    let mut seen: BTreeMap<String, (u32, bool)> = BTreeMap::new();
    for (line, number) in text.trim_start_matches('\u{feff}').lines().zip(1_u32..) {
        let own = line.trim();
        if own.is_empty() || own.starts_with('#') {
            continue;
        }
        if let Some((key, value)) = own.split_once(':') {
            let value = value.trim();
            match key.trim().to_lowercase().as_str() {
                "vehicle" => {
                    ticks.vehicle = Some(value.to_owned()).filter(|value| !value.is_empty());
                    continue;
                }
                "minutes" => {
                    ticks.minutes = value
                        .parse()
                        .ok()
                        .filter(|minutes| (1..=240).contains(minutes));
                    if ticks.minutes.is_none() {
                        ticks.said.push(format!(
                            "line {number}: `{value}` is no number of minutes from 1 to 240"
                        ));
                    }
                    continue;
                }
                _ => {}
            }
        }
        let Some((sign, rest)) = boxed(own) else {
            ticks.said.push(format!(
                "line {number}: no box `[x]` or `[ ]` before it, so it counts for nothing: {}",
                cut_short(own)
            ));
            continue;
        };
        let Some(id) = rest.split_whitespace().next() else {
            ticks.said.push(format!(
                "line {number}: a box without an id counts for nothing"
            ));
            continue;
        };
        let is_ticked = is_tick(sign).unwrap_or_else(|| {
            ticks.said.push(format!(
                "line {number}: is `[{sign}]` ticked or not? It was taken as not ticked"
            ));
            false
        });
        let id = id.to_lowercase();
        let mut beside = ticks.surroundings.named().into_iter();
        if let Some((_, tick)) = beside.find(|(name, _)| *name == id) {
            *tick = is_ticked;
            continue;
        }
        match seen.get(&id) {
            None => {
                seen.insert(id.clone(), (number, is_ticked));
                if is_ticked {
                    ticks.ticked.push((number, id));
                }
            }
            Some((first, before)) if *before != is_ticked => ticks.said.push(format!(
                "line {number}: `{id}` stands in line {first} as well, the other way; line {first} counts"
            )),
            Some(_) => {}
        }
    }
    ticks
}

fn cut_short(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().take(6).collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edited_sheet_is_read_as_it_was_meant() {
        let text = "\u{feff}# a heading\r\nvehicle: wren\r\nminutes: 4\r\n\r\n[x] aaaaaa 1 0:20 ...\r\n[ ] bbbbbb 2\n[X]cccccc\n- [*] dddddd gone\n> [ v ] EEEEEE\n[] ffffff\n[?] gggggg\nsome words\n[x] aaaaaa again\n[x] bbbbbb\n[✓] hhhhhh\n[x]\n[ ] numbers\n[x] next\n";
        let ticks = read_sheet(text);
        assert_eq!(ticks.vehicle.as_deref(), Some("wren"));
        assert_eq!(ticks.minutes, Some(4));
        let ids: Vec<&str> = ticks.ticked.iter().map(|(_, id)| id.as_str()).collect();
        assert_eq!(ids, ["aaaaaa", "cccccc", "dddddd", "eeeeee", "hhhhhh"]);
        assert!(!ticks.surroundings.numbers && ticks.surroundings.next);
        assert!(read_sheet("").surroundings == Surroundings::ALL);
        let said = ticks.said.join("\n");
        for part in [
            "line 11: is `[?]`",
            "line 12: no box",
            "line 14: `bbbbbb`",
            "line 16: a box",
        ] {
            assert!(said.contains(part), "{part}: {said}");
        }
        assert_eq!(ticks.said.len(), 4, "{said}");
    }
}
