//! The page of an entry: its text in its order, each record with its facts and a link
//! to its part.

use std::collections::BTreeSet;

use maud::{Markup, html};

use super::frame::{Part, link, page, up, words};
use super::inputs::Inputs;
use super::part::{address, prose, stated};
use super::{Book, BookPage, names};
use crate::entry::{Entry, Fact, Passage, Record, Stated};
use crate::ledger::{PlaceKey, key};
use crate::presentation::page::picture::figure;
use crate::presentation::text::shown;
use crate::recap::Photo;
use crate::vocabulary::position::places;

/// The page of an entry.
pub(super) fn page_of(book: &Book<'_>, entry: &Entry) -> BookPage {
    let path = names::entry(&entry.path);
    book.unless_it_stands(&path, inputs(book, entry), || made(book, entry))
}

/// The sum of all that the page of an entry is made from: what it says follows from its
/// text, but for what its links and pictures lead to.
fn inputs(book: &Book<'_>, entry: &Entry) -> u64 {
    let mut sum = Inputs::default();
    sum.add(&entry.path);
    sum.add(&entry.helpers);
    sum.add_prose(book, &entry.text);
    for record in &entry.records {
        for key in keys(book, record) {
            sum.add(&book.part(&key).is_some());
            sum.add(&key);
        }
    }
    let of_records = entry.records.iter().flat_map(|record| &record.facts);
    for stated in entry.facts.iter().chain(of_records) {
        if let Fact::Photo(picture) = &stated.fact {
            sum.add_picture(book, &picture.path);
        }
    }
    sum.sum()
}

fn made(book: &Book<'_>, entry: &Entry) -> BookPage {
    let path = names::entry(&entry.path);
    let up = up(&path);
    let title = title(entry);
    let vehicle = entry.vehicle.as_deref();
    let inside = html! {
        h1 { (shown(&title)) }
        p class="about" {
            @match entry.date {
                Some(date) => { (date) }
                None => { "no day is said: it counts for no part" }
            }
            @if let Some(vehicle) = vehicle {
                ", " (link(up, names::FRONT, book.vehicle_name(vehicle)))
            }
        }
        dl {
            @if !entry.helpers.is_empty() { (words("Helped", &entry.helpers)) }
            (facts(entry.facts.iter()))
        }
        @for piece in pieces(entry) { (piece_of(book, entry, &piece, up)) }
        (pictures(book, &entry.facts, up))
        p class="of" { "From " (shown(&entry.path)) }
    };
    page(book, &path, &title, Part::Entries, &inside)
}

/// What an entry is called.
pub(super) fn title(entry: &Entry) -> String {
    let named = entry.title.clone().filter(|title| !title.trim().is_empty());
    named
        .or_else(|| entry.date.map(|date| date.to_string()))
        .unwrap_or_else(|| entry.path.clone())
}

/// A stretch of the text with the records in it.
struct Piece<'e> {
    passage: &'e Passage,
    records: Vec<&'e Record>,
    /// The label, if it is a section about a bag.
    bag: Option<&'e str>,
}

/// The text of an entry in its order. The parts of a short form share their stretch.
fn pieces(entry: &Entry) -> Vec<Piece<'_>> {
    let mut pieces: Vec<Piece<'_>> = entry
        .prose
        .iter()
        .map(|passage| Piece {
            passage,
            records: Vec::new(),
            bag: None,
        })
        .collect();
    pieces.extend(entry.bags.iter().map(|bag| Piece {
        passage: &bag.passage,
        records: Vec::new(),
        bag: Some(bag.label.written()),
    }));
    pieces.extend(entry.records.iter().map(|record| Piece {
        passage: &record.passage,
        records: vec![record],
        bag: None,
    }));
    pieces.sort_by_key(|piece| piece.passage.bytes.start);
    let mut joined: Vec<Piece<'_>> = Vec::new();
    for piece in pieces {
        match joined.last_mut() {
            Some(last) if last.passage.bytes == piece.passage.bytes => {
                last.records.extend(piece.records);
            }
            Some(_) | None => joined.push(piece),
        }
    }
    joined
}

fn piece_of(book: &Book<'_>, entry: &Entry, piece: &Piece<'_>, up: &str) -> Markup {
    let own = prose(book, up, entry.prose_text(piece.passage));
    let lines: BTreeSet<u32> = piece
        .records
        .iter()
        .map(|record| record.spot.line)
        .collect();
    if let Some(bag) = piece.bag {
        let holds = entry.bags.iter();
        let holds = holds.filter(|own| own.passage.bytes == piece.passage.bytes);
        let mut parts = Vec::new();
        let mut hardware = Vec::new();
        for own in holds {
            parts.extend(own.holds.iter().map(|(part, _)| part.written()));
            let pieces = own.hardware.iter().map(|(pieces, _)| pieces);
            hardware.extend(pieces.map(|pieces| format!("{} {}", pieces.count(), pieces.what)));
        }
        return html! {
            section id=(names::anchor(piece.passage.line)) {
                h2 { (link(up, &names::bag(bag), &format!("Bag {bag}"))) }
                dl { (words("holds", &parts)) (words("hardware", &hardware)) }
                (own)
            }
        };
    }
    match &piece.records[..] {
        [] => html! {
            @let heading = shown(&piece.passage.title);
            @if !heading.is_empty() && heading != shown(&title(entry)) { h2 { (heading) } }
            (own)
        },
        [record] if record.short.is_none() => html! {
            section id=(names::anchor(record.spot.line)) {
                h2 { (part(book, record, up)) }
                dl { (facts(record.facts.iter().filter(|stated| !stated.inherited))) }
                (own)
                (pictures(book, &record.facts, up))
            }
        },
        records => html! {
            @for line in &lines {
                @let here = records.iter().filter(|record| record.spot.line == *line);
                ul class="rows" id=(names::anchor(*line)) {
                    @for record in here {
                        li {
                            (part(book, record, up))
                            span { (status(record)) }
                        }
                    }
                }
            }
            (own)
        },
    }
}

/// What a short form says of a part.
fn status(record: &Record) -> String {
    let written = record.facts.iter().map(|stated| {
        if let Fact::Status(status) = &stated.fact {
            status.word().to_owned()
        } else if let Fact::Surface(surface) = &stated.fact {
            surface.word().to_owned()
        } else {
            format!("{} {}", stated.key.word(), shown(&stated.written))
        }
    });
    written.collect::<Vec<_>>().join(", ")
}

/// The places of a record; none if nothing says of which vehicle they are.
fn keys(book: &Book<'_>, record: &Record) -> Vec<PlaceKey> {
    let Some(vehicle) = record.vehicle.as_deref() else {
        return Vec::new();
    };
    let places = places(&record.at);
    let keys = places
        .iter()
        .map(|at| key(vehicle, &record.name, at, &book.ledger.aliases));
    keys.collect()
}

/// The part of a record, with a link to each of its places.
fn part(book: &Book<'_>, record: &Record, up: &str) -> Markup {
    let keys = keys(book, record);
    let known: Vec<_> = keys.iter().filter_map(|key| book.part(key)).collect();
    match &known[..] {
        [] => html! { (shown(&record.label())) },
        [one] => link(up, &names::part(&one.state.key), &record.label()),
        several => html! {
            (shown(record.name.written()))
            @for one in several {
                ", " (link(up, &names::part(&one.state.key), &one.state.key.at))
            }
        },
    }
}

/// Facts in their order, those of a key together. Marks about telling are for the
/// person who keeps the journal, and pictures are shown below.
fn facts<'f>(stated: impl Iterator<Item = &'f Stated>) -> Markup {
    let mut grouped: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in stated {
        if matches!(one.fact, Fact::Tell(_) | Fact::Ask(_) | Fact::Photo(_)) {
            continue;
        }
        let known = !matches!(one.fact, Fact::Unknown(_));
        let key = if known { one.key.word() } else { "" };
        match grouped.last_mut() {
            Some((last, values)) if *last == key => values.push(&one.written),
            Some(_) | None => grouped.push((key, vec![&one.written])),
        }
    }
    html! { @for (key, values) in &grouped { (self::stated(key, values)) } }
}

/// The pictures among some facts.
fn pictures(book: &Book<'_>, facts: &[Stated], up: &str) -> Markup {
    let pictures = facts.iter().filter_map(|stated| {
        let Fact::Photo(picture) = &stated.fact else {
            return None;
        };
        let photo = Photo {
            path: picture.path.clone(),
            caption: picture.caption.clone().unwrap_or_default(),
        };
        figure(&photo, &address(book, up))
    });
    let pictures: Vec<Markup> = pictures.collect();
    html! { @for picture in &pictures { (picture) } }
}
