//! The files of a book: each page has one name, made of what it is about and of nothing
//! else, so that a printed code still leads to it when others come and go.
//!
//! Names are in small letters, digits and hyphens, as every file system and every
//! address can hold them.

use crate::ledger::PlaceKey;
use crate::vocabulary::short_name::short_name;
use crate::vocabulary::words::fold;

/// The page that opens first.
pub const FRONT: &str = "index.html";
/// All open work.
pub const OPEN: &str = "open.html";
/// Everything to get.
pub const BUY: &str = "buy.html";
/// What each month brought.
pub const MONTHS: &str = "months.html";
/// The list of all parts.
pub const PARTS: &str = "parts/index.html";
/// The list of all bags.
pub const BAGS: &str = "bags/index.html";
/// The list of all systems.
pub const SYSTEMS: &str = "systems/index.html";
/// The list of all shelves.
pub const SHELVES: &str = "shelves/index.html";
/// The list of all entries.
pub const ENTRIES: &str = "entries/index.html";
/// The style of all pages.
pub const STYLE: &str = "book.css";
/// The program of all pages.
pub const PROGRAM: &str = "book.js";
/// What the search looks in.
pub const SEARCH: &str = "search.js";

/// The page of a part.
#[must_use]
pub fn part(key: &PlaceKey) -> String {
    page("parts/part", &[&key.vehicle, &key.name, &key.at])
}

/// The page of a bag, by its label or its key.
#[must_use]
pub fn bag(label: &str) -> String {
    page("bags/bag", &[&fold(label)])
}

/// The page of a system of a vehicle; `None` is what belongs to no system.
#[must_use]
pub fn system(vehicle: &str, system: Option<&str>) -> String {
    match system {
        Some(system) => page("systems/system", &[vehicle, &fold(system)]),
        None => page("systems/no-system", &[vehicle]),
    }
}

/// The page of a shelf.
#[must_use]
pub fn shelf(shelf: &str) -> String {
    page("shelves/shelf", &[&fold(shelf)])
}

/// The page of an entry, by its path inside the journal.
#[must_use]
pub fn entry(path: &str) -> String {
    let inside = path.strip_prefix("entries/").unwrap_or(path);
    let inside = inside.strip_suffix(".md").unwrap_or(inside);
    // Most lie in the folder of their year, and begin with their day.
    let usual = inside.split_once('/').filter(|(year, stem)| {
        let is_plain = |c: u8| c.is_ascii_lowercase() || c.is_ascii_digit() || c == b'-';
        year.len() == 4
            && stem.starts_with(&format!("{year}-"))
            && stem.len() <= LONGEST
            && stem.bytes().all(is_plain)
    });
    match usual {
        Some((_, stem)) => format!("entries/{stem}.html"),
        None => page("entries/entry", &[inside]),
    }
}

/// Where a record of an entry begins on its page.
#[must_use]
pub fn anchor(line: u32) -> String {
    format!("line-{line}")
}

/// The longest part of a name that is made of words.
const LONGEST: usize = 60;

/// A page named after a few texts. Where the name does not hold all that they say, a
/// short name of them stands behind a dot, so that no two pages share a name.
fn page(start: &str, texts: &[&str]) -> String {
    let plain = |text: &&&str| {
        let is_plain = |c: u8| c.is_ascii_lowercase() || c.is_ascii_digit();
        let mut words = text.split(' ');
        words.all(|word| !word.is_empty() && word.bytes().all(is_plain))
    };
    let said: Vec<&&str> = texts.iter().filter(|text| !text.is_empty()).collect();
    let joined = |text: &str| text.replace(' ', "-");
    let whole: Vec<String> = said.iter().map(|text| joined(text)).collect();
    let whole = whole.join("--");
    if said.iter().all(plain) && !said.is_empty() && whole.len() <= LONGEST {
        return format!("{start}-{whole}.html");
    }
    let words: Vec<String> = texts
        .iter()
        .flat_map(|text| {
            let folded = fold(&text.replace('ß', "ss"));
            let words = folded.split(|c: char| !c.is_ascii_alphanumeric());
            let words = words.filter(|word| !word.is_empty()).map(str::to_owned);
            words.collect::<Vec<_>>()
        })
        .collect();
    let mut words = words.join("-");
    words.truncate(LONGEST);
    let words = words.trim_end_matches('-');
    let dash = if words.is_empty() { "" } else { "-" };
    format!(
        "{start}{dash}{words}.{}{}.html",
        short_name(texts),
        short_name(&[&texts.concat(), "second"])
    )
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[test]
    fn names_are_those_that_one_would_write() {
        let key = PlaceKey {
            vehicle: "wren".into(),
            name: "brake drum".into(),
            at: "left front".into(),
        };
        assert_eq!(part(&key), "parts/part-wren--brake-drum--left-front.html");
        assert_eq!(bag("31"), "bags/bag-31.html");
        assert_eq!(bag("Coffee Tin"), "bags/bag-coffee-tin.html");
        assert_eq!(
            entry("entries/2026/2026-03-14-tank.md"),
            "entries/2026-03-14-tank.html"
        );
        assert_eq!(
            system("wren", Some("brakes")),
            "systems/system-wren--brakes.html"
        );
        assert_eq!(system("wren", None), "systems/no-system-wren.html");
    }

    /// What differs has another name, and the name is safe on every disk.
    #[test]
    fn no_two_pages_share_a_name() {
        let long = "very ".repeat(80);
        let labels = [
            "31",
            "031",
            "a b",
            "a-b",
            "a/b",
            "a\\b",
            "..",
            "../..",
            "a..b",
            "con",
            "ö",
            "o",
            "õ",
            "ß",
            "ss",
            "",
            " ",
            ".",
            "a.",
            "a b.",
            "日本",
            "日",
            "<b>",
            "%2e",
            "a:b",
            "a|b",
            "a?",
            &long,
            "very very",
        ];
        let mut all: BTreeMap<String, String> = BTreeMap::new();
        for label in labels {
            let name = bag(label);
            let file = name.strip_prefix("bags/").expect("a folder");
            assert!(file.len() < 100, "{file}");
            let safe =
                |c: u8| c.is_ascii_lowercase() || c.is_ascii_digit() || c == b'-' || c == b'.';
            assert!(file.bytes().all(safe) && !file.contains(".."), "{file}");
            let other = all.insert(name.clone(), fold(label));
            // Case and accents are no difference between two labels.
            assert!(other.is_none_or(|other| other == fold(label)), "{name}");
        }
        let keys = [("a", "b c", ""), ("a", "b", "c"), ("a b", "c", "")];
        let names: Vec<String> = keys
            .iter()
            .map(|(vehicle, name, at)| {
                part(&PlaceKey {
                    vehicle: (*vehicle).into(),
                    name: (*name).into(),
                    at: (*at).into(),
                })
            })
            .collect();
        assert_eq!(
            names
                .iter()
                .collect::<std::collections::BTreeSet<_>>()
                .len(),
            names.len()
        );
        for path in [
            "entries/2026/2026-x.md",
            "entries/2025/2026-x.md",
            "entries/2026-x.md",
        ] {
            let other = all.insert(entry(path), path.to_owned());
            assert!(other.is_none(), "{path}");
        }
    }
}
