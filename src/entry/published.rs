//! Entries as others may read them: without what is private, and for the public also
//! without money and without people who have not agreed yet.
//!
//! What may not be read is taken out of the text, and the entry is read anew from what
//! is left: nothing that follows from it can hold more. Lines stay where they are.

use std::ops::Range;

use super::context::Context;
use super::fact::Fact;
use super::key::Key;
use super::key_words::key_meant;
use super::model::Entry;
use super::paragraphs::paragraphs;
use super::read_file;
use super::stated::Stated;
use super::telling::private_bytes;
use crate::vocabulary::currency_words::{currency_sign, named_currency};
use crate::vocabulary::money::Currency;
use crate::vocabulary::words::words;

/// Who reads it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Readers {
    /// Those in the shop: everything but what is private.
    Shop,
    /// Anybody.
    Public,
}

/// What may be read of some entries.
#[derive(Debug, Default)]
pub struct PublishedEntries {
    /// The entries.
    pub entries: Vec<Entry>,
    /// How many of them, or of their records and paragraphs, were left out.
    pub left_out: usize,
}

/// These entries as `readers` may read them.
#[must_use]
pub fn published(entries: Vec<Entry>, context: &Context, readers: Readers) -> PublishedEntries {
    let asked = match readers {
        Readers::Shop => Vec::new(),
        Readers::Public => people(&entries),
    };
    let mut published = PublishedEntries::default();
    for entry in entries {
        let hidden = hidden(&entry, readers, &asked);
        published.left_out += hidden.len();
        if hidden.contains(&(0..entry.text.len())) {
            continue;
        }
        let amounts = match readers {
            Readers::Shop => Vec::new(),
            Readers::Public => amounts(&entry.text, context.currency),
        };
        if hidden.is_empty() && amounts.is_empty() {
            published.entries.push(entry);
            continue;
        }
        let text = without(&entry.text, &hidden, &amounts);
        let (mut entry, _) = read_file(&entry.path, &text, context);
        entry
            .helpers
            .retain(|name| !asked.iter().any(|asked| says(name, asked)));
        published.entries.push(entry);
    }
    published
}

/// These entries without what is private in them; `None` if nothing is.
#[must_use]
pub fn without_private(entries: &[Entry], context: &Context) -> Option<Vec<Entry>> {
    let is_private = |entry: &Entry| !private_bytes(entry).is_empty();
    let is_any = entries.iter().any(is_private);
    is_any.then(|| published(entries.to_vec(), context, Readers::Shop).entries)
}

/// Everybody who must be asked first, as words.
fn people(entries: &[Entry]) -> Vec<Vec<String>> {
    let records = entries.iter().flat_map(|entry| &entry.records);
    let of_records = records.flat_map(|record| &record.facts);
    let all = entries
        .iter()
        .flat_map(|entry| &entry.facts)
        .chain(of_records);
    let names = all.filter_map(|stated| {
        if let Fact::Ask(name) = &stated.fact {
            Some(words(name).collect())
        } else {
            None
        }
    });
    let mut names: Vec<Vec<String>> = names
        .filter(|name: &Vec<String>| !name.is_empty())
        .collect();
    names.sort();
    names.dedup();
    names
}

/// Whether a text says these words in a row.
fn says(text: &str, name: &[String]) -> bool {
    let said: Vec<String> = words(text).collect();
    said.windows(name.len()).any(|row| row == name)
}

fn asks(facts: &[Stated]) -> bool {
    facts
        .iter()
        .any(|stated| matches!(stated.fact, Fact::Ask(_)))
}

/// The bytes of an entry that these readers do not see.
fn hidden(entry: &Entry, readers: Readers, asked: &[Vec<String>]) -> Vec<Range<usize>> {
    let mut hidden = private_bytes(entry);
    if readers == Readers::Shop {
        return hidden;
    }
    if asks(&entry.facts) {
        return std::iter::once(0..entry.text.len()).collect();
    }
    let of_records = entry.records.iter().filter(|record| asks(&record.facts));
    hidden.extend(of_records.map(|record| record.passage.bytes.clone()));
    let names = |text: &str| asked.iter().any(|name| says(text, name));
    if names(&entry.text) {
        let passages = entry.records.iter().map(|record| &record.passage);
        let passages = passages.chain(entry.bags.iter().map(|bag| &bag.passage));
        for passage in passages.filter(|passage| names(&passage.title)) {
            hidden.push(passage.bytes.clone());
        }
        let below = entry.front.end..entry.text.len();
        let prose = paragraphs(&entry.text, below).into_iter();
        hidden.extend(prose.filter(|one| names(&one.text)).map(|one| one.bytes));
    }
    // Lists of helpers lose the name alone.
    let mut is_money = None;
    for (line, bytes) in lines(&entry.text) {
        let key = line
            .trim_start_matches([' ', '\t', '-', '*', '+'])
            .split_once(':');
        let key = key.and_then(|(key, _)| key_meant(key));
        let indent = line.len() - line.trim_start().len();
        // What stands deeper below a cost belongs to it.
        is_money = match key {
            Some(Key::Cost) => Some(indent),
            Some(_) | None => is_money.filter(|above| indent > *above && !line.trim().is_empty()),
        };
        if is_money.is_some() || key != Some(Key::Helpers) && names(line) {
            hidden.push(bytes);
        }
    }
    hidden.sort_by_key(|range| (range.start, range.end));
    hidden.dedup();
    hidden
}

/// The lines of a text without their ends, with their bytes.
fn lines(text: &str) -> impl Iterator<Item = (&str, Range<usize>)> {
    let mut start = 0;
    text.split_inclusive('\n').map(move |whole| {
        let line = whole.trim_end_matches(['\n', '\r']);
        let bytes = start..start + line.len();
        start += whole.len();
        (line, bytes)
    })
}

/// The bytes of all amounts of money that a text names: a figure beside a currency.
fn amounts(text: &str, usual: Currency) -> Vec<Range<usize>> {
    const AROUND: [char; 12] = ['(', ')', '[', ']', ',', ';', ':', '!', '?', '"', '*', '~'];
    let tokens: Vec<(&str, usize)> = text
        .split(char::is_whitespace)
        .map(|token| {
            let start = token.as_ptr() as usize - text.as_ptr() as usize;
            let bare = token.trim_start_matches(AROUND);
            let start = start + token.len() - bare.len();
            (bare.trim_end_matches(AROUND).trim_end_matches('.'), start)
        })
        .filter(|(token, _)| !token.is_empty())
        .collect();
    let is_figure = |token: &str| {
        token.starts_with(|c: char| c.is_ascii_digit() || c == '-')
            && token.bytes().any(|b| b.is_ascii_digit())
            && token
                .bytes()
                .all(|b| b.is_ascii_digit() || b".,'-".contains(&b))
    };
    // A length in feet is likelier than forints.
    let is_currency = |token: &str| token != "ft" && named_currency(token, usual).is_some();
    let mut found: Vec<Range<usize>> = Vec::new();
    for (at, (token, start)) in tokens.iter().enumerate() {
        let end = start + token.len();
        let figures = token.trim_start_matches(|c: char| !c.is_ascii_digit());
        let unit = figures.trim_start_matches(|c: char| c.is_ascii_digit() || ".,'-".contains(c));
        let has_sign = || {
            token
                .char_indices()
                .any(|(at, _)| currency_sign(&token[at..]).is_some())
        };
        if !figures.is_empty() && (has_sign() || !unit.is_empty() && is_currency(unit)) {
            found.push(*start..end);
        } else if is_currency(token) {
            let before = at.checked_sub(1).and_then(|at| tokens.get(at));
            let before = before.filter(|(token, _)| is_figure(token));
            let after = tokens.get(at + 1).filter(|(token, _)| is_figure(token));
            if let Some((_, start)) = before {
                found.push(*start..end);
            } else if let Some((after, start_of_figure)) = after {
                found.push(*start..start_of_figure + after.len());
            }
        }
    }
    found
}

/// A text with blanks in place of what is hidden, and a sign in place of each amount.
fn without(text: &str, hidden: &[Range<usize>], amounts: &[Range<usize>]) -> String {
    let mut left = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        if hidden.iter().any(|range| range.contains(&at)) {
            left.push(if c == '\n' || c == '\r' { c } else { ' ' });
        } else if amounts.iter().any(|range| range.start == at) {
            left.push('…');
        } else if !amounts.iter().any(|range| range.contains(&at)) {
            left.push(c);
        }
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Vehicle, write};
    use crate::vocabulary::position::Driven;

    fn context() -> Context {
        Context {
            systems: vec!["brakes".into()],
            vehicles: vec![Vehicle {
                slug: "wren".into(),
                name: "Wren".into(),
                driven: Driven::Unsaid,
            }],
            currency: Currency::EUR,
        }
    }

    /// What is left of a text, without its front matter.
    fn left(below: &str, readers: Readers) -> (String, Vec<Entry>) {
        let text = format!("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A\n\n{below}");
        let entry = read_file("entries/a.md", &text, &context()).0;
        let published = published(vec![entry], &context(), readers).entries;
        let words = published.iter().map(write).collect::<String>();
        (words, published)
    }

    #[test]
    fn what_is_private_is_in_nothing_that_is_left() {
        let below = "One.\n\n~ Two,\n![three](photos/three.jpg)\n\n## Horn\n\n- tell: no\n- found: four\n\n## Coil\n\n- found: good\n- photo: photos/five.jpg\n\n~ Six ![seven](photos/seven.jpg) eight.\n";
        for readers in [Readers::Shop, Readers::Public] {
            let (words, entries) = left(below, readers);
            let everything = format!("{words} {entries:?}");
            for hidden in ["Two", "three", "Horn", "four", "Six", "seven", "eight"] {
                assert!(!everything.contains(hidden), "{hidden}: {everything}");
            }
            for shown in ["One.", "Coil", "five.jpg"] {
                assert!(everything.contains(shown), "{shown}: {everything}");
            }
        }
        let (words, _) = left(&format!("{below}\n"), Readers::Shop);
        assert_eq!(words.matches('\n').count(), below.matches('\n').count() + 8);
    }

    #[test]
    fn the_public_sees_no_money() {
        let below = "I paid €84.50 and 12 EUR, then 20 pounds for 12 ft of wire.\n\n## Horn\n\n- cost: 33 relay\n- needs: buy a coil, about 41.50 euros\n- replaced by: reproduction\n  - cost: 57.00\n  - from: a market\n\nIt cost $6.\n";
        let (words, entries) = left(below, Readers::Public);
        let everything = format!("{words} {entries:?}");
        for hidden in [
            "84.50",
            "12 EUR",
            "20 pounds",
            "33",
            "relay",
            "41.50",
            "57.00",
            "$6",
        ] {
            assert!(!everything.contains(hidden), "{hidden}: {everything}");
        }
        for shown in ["12 ft of wire", "buy a coil", "a market"] {
            assert!(everything.contains(shown), "{shown}: {everything}");
        }
        let (words, _) = left(below, Readers::Shop);
        assert!(words.contains("84.50") && words.contains("57.00"));
    }

    #[test]
    fn the_public_meets_nobody_who_was_not_asked() {
        let below = "Ann came by.\n\nBob held\nAnn Lee's lamp.\n\n## Horn\n\n- ask: Ann Lee\n- found: bent\n\n## Coil\n\n- found: Ann Lee says it is good\n- status: removed\n\nAnd Ann Lee again.\n\n## Bracket from Ann Lee\n\n- status: removed\n";
        let (words, entries) = left(below, Readers::Public);
        let everything = format!("{words} {entries:?}");
        for hidden in ["Ann Lee", "Horn", "bent", "Bracket"] {
            assert!(!everything.contains(hidden), "{hidden}: {everything}");
        }
        for shown in ["Ann came by", "Coil", "removed"] {
            assert!(everything.contains(shown), "{shown}: {everything}");
        }
        assert!(left(below, Readers::Shop).0.contains("Ann Lee again"));
        let whole = below
            .replace("One", "")
            .replacen("Ann came", "- ask: Ann\n\nAnn came", 1);
        assert!(left(&whole, Readers::Shop).0.contains("Coil"));
    }
}
