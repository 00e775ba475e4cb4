//! The edited outline read back.
//!
//! Only the box and the id of a line are read; lines may be moved or deleted. Reading
//! never fails: what is not understood is said. How it is
//! written is in `presentation/recap/outline_sheet.rs`.

use std::collections::BTreeMap;

use super::request::Omitted;
use crate::vocabulary::tick_box::{boxed, is_tick};

/// What a sheet says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ticks {
    /// The vehicle it names.
    pub vehicle: Option<String>,
    /// The length it names.
    pub minutes: Option<u16>,
    /// The ids that are ticked, in the order of the lines, with these.
    pub ticked: Vec<(u32, String)>,
    /// What is not said beside the moments.
    pub omitted: Omitted,
    /// What was not understood.
    pub said: Vec<String>,
}

/// Reads an edited sheet.
#[must_use]
pub fn read_sheet(text: &str) -> Ticks {
    let mut ticks = Ticks::default();
    let mut seen: BTreeMap<String, (u32, bool)> = BTreeMap::new();
    for (line, number) in text.trim_start_matches('\u{feff}').lines().zip(1_u32..) {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(said) = ticks.read(line, number, &mut seen) {
            ticks.said.push(format!("line {number}: {said}"));
        }
    }
    ticks
}

impl Ticks {
    /// Reads a line; gives what is not understood in it.
    fn read(
        &mut self,
        line: &str,
        number: u32,
        seen: &mut BTreeMap<String, (u32, bool)>,
    ) -> Option<String> {
        let (key, value) = line.split_once(':').unwrap_or_default();
        let (key, value) = (key.trim().to_lowercase(), value.trim());
        if key == "vehicle" {
            self.vehicle = (!value.is_empty()).then(|| value.to_owned());
            return None;
        }
        if key == "minutes" {
            self.minutes = value.parse().ok().filter(|one| (1..=240).contains(one));
            let said = || format!("`{value}` is no number of minutes from 1 to 240");
            return self.minutes.is_none().then(said);
        }
        let Some((sign, rest)) = boxed(line) else {
            let words: Vec<&str> = line.split_whitespace().take(6).collect();
            let words = words.join(" ");
            let said = "no box `[x]` or `[ ]` before it, so it counts for nothing: ";
            return Some(said.to_owned() + &words);
        };
        let Some(id) = rest.split_whitespace().next().map(str::to_lowercase) else {
            return Some("a box without an id counts for nothing".to_owned());
        };
        let is_ticked = is_tick(sign).unwrap_or_default();
        let mut beside = self.omitted.named().into_iter();
        if let Some((_, is_omitted)) = beside.find(|(name, _)| *name == id) {
            *is_omitted = !is_ticked;
        } else if let Some((first, before)) = seen.get(&id) {
            let said = || {
                format!("`{id}` stands in line {first} as well, the other way; line {first} counts")
            };
            return (*before != is_ticked).then(said);
        } else {
            seen.insert(id.clone(), (number, is_ticked));
            if is_ticked {
                self.ticked.push((number, id));
            }
        }
        let said = || format!("is `[{sign}]` ticked or not? It was taken as not ticked");
        is_tick(sign).is_none().then(said)
    }
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
        assert!(ticks.omitted.numbers && !ticks.omitted.next);
        assert!(read_sheet("") == Ticks::default());
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
