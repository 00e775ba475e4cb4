//! What the search of a book looks in: every page with its title, and which words stand
//! on which page.
//!
//! Words are cut as `find` cuts them. The file assigns its data, as a page that was
//! opened from a disk may load a script beside it and nothing else. How a question is
//! answered is in `book.js`.

use std::collections::{HashMap, HashSet};

use serde::{Deserialize, Serialize};
use serde_json::json;

use super::inputs::Inputs;
use super::lists::shelves;
use super::system::systems;
use super::{Book, BookPage, BookPart, entry, names};
use crate::entry::Entry;
use crate::index::word_forms;
use crate::presentation::bags::words::state_words;
use crate::presentation::find::standing_words;
use crate::presentation::text::shown;
use crate::reports::bags::Bag;
use crate::vocabulary::words::{is_stop_word, stem, stop_words};

/// The kinds of pages, in the order in which equally good ones are shown.
const KINDS: [&str; 5] = ["part", "bag", "system", "shelf", "entry"];

/// A page that can be found.
struct Found {
    kind: usize,
    title: String,
    about: String,
    path: String,
    /// The words of the title, and all others.
    text: String,
}

/// A word with its stem.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct KnownWord {
    word: String,
    stem: String,
}

/// The numbers of the words of a page: those of its title, and all others.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
struct PageWords {
    title: Vec<usize>,
    text: Vec<usize>,
}

/// The words of pages that were cut before, by the sum of their title and text.
#[derive(Debug, Default, Serialize, Deserialize)]
pub struct KnownWords {
    words: Vec<KnownWord>,
    pages: HashMap<u64, PageWords>,
}

impl KnownWords {
    /// Cuts the pages that are not known, and forgets the others; the words of these, in
    /// their order.
    fn of(&mut self, pages: &[Found]) -> Vec<PageWords> {
        let known = std::mem::take(self);
        // Word → its new number, and the old numbers' new ones.
        let mut numbers: HashMap<String, usize> = HashMap::new();
        let mut renumbered: Vec<Option<usize>> = vec![None; known.words.len()];
        let mut all = Vec::with_capacity(pages.len());
        for page in pages {
            let mut sum = Inputs::default();
            sum.add(&(&page.title, &page.text));
            let sum = sum.sum();
            let own = match known.pages.get(&sum) {
                Some(before) => {
                    let mut number = |old: &usize| {
                        *renumbered[*old].get_or_insert_with(|| {
                            let known = &known.words[*old];
                            let new = || self.add(&known.word, || known.stem.clone());
                            *numbers.entry(known.word.clone()).or_insert_with(new)
                        })
                    };
                    PageWords {
                        title: before.title.iter().map(&mut number).collect(),
                        text: before.text.iter().map(&mut number).collect(),
                    }
                }
                None => {
                    let mut cut = |text: &str| {
                        let mut own = Vec::new();
                        word_forms(text, |word| {
                            if is_stop_word(word) {
                                return;
                            }
                            own.push(match numbers.get(word) {
                                Some(number) => *number,
                                None => {
                                    let new = self.add(word, || stem(word));
                                    numbers.insert(word.to_owned(), new);
                                    new
                                }
                            });
                        });
                        own.sort_unstable();
                        own.dedup();
                        own
                    };
                    PageWords {
                        title: cut(&page.title),
                        text: cut(&page.text),
                    }
                }
            };
            self.pages.insert(sum, own.clone());
            all.push(own);
        }
        all
    }

    /// Adds a word that is not there yet; its number.
    fn add(&mut self, word: &str, stem: impl FnOnce() -> String) -> usize {
        self.words.push(KnownWord {
            word: word.to_owned(),
            stem: stem(),
        });
        self.words.len() - 1
    }
}

/// The search's data, as a script.
pub(super) fn index(book: &Book<'_>, known: &mut KnownWords) -> BookPage {
    let pages = all(book);
    let mut sum = Inputs::default();
    for page in &pages {
        sum.add(&(page.kind, &page.title, &page.about, &page.path, &page.text));
    }
    book.unless_it_stands(names::SEARCH, sum.sum(), || made(book, &pages, known))
}

fn made(book: &Book<'_>, pages: &[Found], known: &mut KnownWords) -> BookPage {
    let of_pages = known.of(pages);
    // Word → pages, each with whether the word stands in its title.
    let mut stands: Vec<Vec<(usize, bool)>> = vec![Vec::new(); known.words.len()];
    for (page, own) in of_pages.iter().enumerate() {
        let title = own.title.iter().map(|word| (*word, true));
        let text = own.text.iter().map(|word| (*word, false));
        // The title comes first, so that a word of both counts for the title.
        for (word, in_title) in title.chain(text) {
            let pages = &mut stands[word];
            if pages.last().is_none_or(|(last, _)| *last != page) {
                pages.push((page, in_title));
            }
        }
    }
    let words = known.words.iter().zip(&stands);
    let mut words: Vec<(&KnownWord, &Vec<(usize, bool)>)> = words.collect();
    words.sort_unstable_by(|one, other| one.0.word.cmp(&other.0.word));
    let stems: Vec<&str> = words.iter().map(|(own, _)| own.stem.as_str()).collect();
    let listed: Vec<&str> = words.iter().map(|(own, _)| own.word.as_str()).collect();
    let places: Vec<String> = words.iter().map(|(_, pages)| packed(pages)).collect();
    let rows: Vec<_> = pages
        .iter()
        .map(|page| json!([page.kind, shown(&page.title), shown(&page.about), page.path]))
        .collect();
    let data = json!({
        "kinds": KINDS,
        "pages": rows,
        "words": listed.join(" "),
        "stems": numbered(&stems),
        "places": places.join(" "),
        "same": same(book, &stems),
        "skip": stop_words().join(" "),
    });
    BookPage::new(names::SEARCH, format!("var bookSearch = {data};\n"))
}

/// Page numbers as steps from one to the next, twice as large and one more where the
/// word stands in the title, in base 36.
fn packed(pages: &[(usize, bool)]) -> String {
    let mut last = 0;
    let steps: Vec<String> = pages
        .iter()
        .map(|(number, in_title)| {
            let step = (number - last) * 2 + usize::from(*in_title);
            last = *number;
            base_36(step)
        })
        .collect();
    steps.join(",")
}

fn base_36(mut number: usize) -> String {
    const DIGITS: &[u8; 36] = b"0123456789abcdefghijklmnopqrstuvwxyz";
    let mut digits = Vec::new();
    loop {
        digits.push(DIGITS[number % 36]);
        number /= 36;
        if number == 0 {
            break;
        }
    }
    digits.reverse();
    digits.into_iter().map(char::from).collect()
}

/// For the stem of each word a number that it shares with the others of its stem; 0 for a
/// word whose stem no other has.
fn numbered(stems: &[&str]) -> Vec<usize> {
    let mut counts: HashMap<&str, usize> = HashMap::new();
    for stem in stems {
        *counts.entry(*stem).or_default() += 1;
    }
    let mut numbers: HashMap<&str, usize> = HashMap::new();
    stems
        .iter()
        .map(|stem| {
            if counts[*stem] < 2 {
                return 0;
            }
            let next = numbers.len() + 1;
            *numbers.entry(*stem).or_insert(next)
        })
        .collect()
}

/// Groups of words for one thing of which at least one stands on a page.
fn same<'b>(book: &'b Book<'_>, stems: &[&str]) -> Vec<&'b Vec<&'static str>> {
    let stems: HashSet<&str> = stems.iter().copied().collect();
    let stands = |phrase: &&str| {
        let mut words = phrase.split(' ');
        words.all(|word| stems.contains(stem(word).as_str()))
    };
    let groups = book.contents.same_words.iter();
    groups.filter(|group| group.iter().any(stands)).collect()
}

/// Every page that can be found, in the order of the kinds.
fn all(book: &Book<'_>) -> Vec<Found> {
    let mut pages: Vec<Found> = book.parts.iter().map(|own| part(book, own)).collect();
    pages.extend(book.bags.iter().map(bag));
    pages.extend(systems(book).iter().map(|own| {
        let vehicle = &book.contents.vehicles[own.vehicle];
        Found {
            kind: 2,
            title: own.title(),
            about: vehicle.name.clone(),
            path: names::system(&vehicle.slug, own.system),
            text: format!("system {}", vehicle.name),
        }
    }));
    pages.extend(shelves(book).values().map(|own| {
        let parts: Vec<String> = own.parts.iter().map(|part| part.state.label()).collect();
        Found {
            kind: 3,
            title: own.name.to_owned(),
            about: "shelf".to_owned(),
            path: names::shelf(own.name),
            text: format!("shelf {}", parts.join("\n")),
        }
    }));
    pages.extend(book.contents.entries.iter().map(|own| of_entry(book, own)));
    pages
}

fn part(book: &Book<'_>, own: &BookPart<'_>) -> Found {
    let state = own.state;
    let mut about = standing_words(&own.standing);
    if book.has_several_vehicles() {
        about.push_str(&format!(", {}", book.vehicle_name(&state.vehicle)));
    }
    let aliases = &book.ledger.aliases;
    let mut text: Vec<&str> = vec![&about, own.system.as_deref().unwrap_or_default()];
    text.push(book.vehicle_name(&state.vehicle));
    let also = aliases.others(&state.key.vehicle, &state.key.name);
    text.extend(also.iter().map(String::as_str));
    for moment in &state.timeline {
        for (key, value) in &moment.facts {
            text.extend([key.as_str(), value.as_str()]);
        }
        text.push(book.prose(&moment.spot.file, &moment.prose));
    }
    Found {
        kind: 0,
        title: state.label(),
        path: names::part(&state.key),
        text: text.join("\n"),
        about,
    }
}

fn bag(own: &Bag) -> Found {
    let parts = own.parts.iter().map(|part| part.label());
    let pieces = own.pieces.iter().map(|piece| piece.words());
    let text: Vec<String> = parts
        .clone()
        .chain(pieces)
        .chain(own.stored.clone())
        .collect();
    let mut about = vec![state_words(own)];
    about.extend(own.stored.clone());
    about.extend(parts.take(3));
    Found {
        kind: 1,
        title: format!("Bag {}", own.label),
        about: about.join(", "),
        path: names::bag(&own.label),
        text: text.join("\n"),
    }
}

/// An entry by its own words: what it says of parts is found on their pages.
fn of_entry(book: &Book<'_>, own: &Entry) -> Found {
    let mut about: Vec<String> = own.date.map(|date| date.to_string()).into_iter().collect();
    if let Some(vehicle) = own.vehicle.as_deref() {
        about.push(book.vehicle_name(vehicle).to_owned());
    }
    let mut text = about.clone();
    text.extend(own.helpers.clone());
    text.extend(own.facts.iter().map(|stated| stated.written.clone()));
    for passage in &own.prose {
        text.push(passage.title.clone());
        text.push(own.prose_text(passage).to_owned());
    }
    Found {
        kind: 4,
        title: entry::title(own),
        about: about.join(", "),
        path: names::entry(&own.path),
        text: text.join("\n"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_are_packed_as_steps() {
        assert_eq!(packed(&[(0, false), (1, true), (20, false)]), "0,3,12");
        assert_eq!(base_36(0), "0");
        assert_eq!(base_36(36 * 36 + 35), "10z");
    }

    #[test]
    fn words_of_one_stem_share_a_number() {
        let stems = ["bolt", "nut", "nuts", "paint", "painted", "7/16-20"].map(stem);
        let stems: Vec<&str> = stems.iter().map(String::as_str).collect();
        assert_eq!(numbered(&stems), [0, 1, 1, 2, 2, 0]);
    }
}
