//! The format held against texts and parsers of others, and against its own
//! promises: no text makes the reader fail, none is changed by reading, and
//! every way of folding comes to the same.

mod amounts;
mod any_text;
mod bags;
mod commonmark;
mod fresh_or_kept;
mod growth;
mod heavy;
mod ledger;
mod yaml;

use matchmark::entry::{Context, Entry, Vehicle, decode, read, write};
use matchmark::problem::Problem;
use matchmark::vocabulary::money::Currency;
use matchmark::vocabulary::position::Driven;

/// A journal of two vehicles with a few systems.
pub fn context() -> Context {
    let vehicle = |slug: &str, name: &str, driven: Driven| Vehicle {
        slug: slug.to_owned(),
        name: name.to_owned(),
        driven,
    };
    Context {
        systems: ["brakes", "fuel", "body"].map(str::to_owned).to_vec(),
        vehicles: vec![
            vehicle("wren", "Brindle Wren", Driven::Right),
            vehicle("pavetta", "Pavetta 125", Driven::Unsaid),
        ],
        currency: Currency::EUR,
    }
}

/// Reads bytes and says what of the promises about any text is not kept.
fn broken_promises(bytes: &[u8]) -> Vec<String> {
    let mut broken = Vec::new();
    let decoded = decode(bytes.to_vec());
    if decoded.faithful && decoded.text.as_bytes() != bytes {
        broken.push("decoding says it is faithful, and is not".to_owned());
    }
    let (entry, problems) = read(&decoded.text, &context());
    if write(&entry) != decoded.text {
        broken.push("writing gives another text".to_owned());
    }
    pieces(&entry, &mut broken);
    let spots = problems.iter().chain(&decoded.problems);
    broken.extend(spots.filter_map(|problem| outside(problem, &decoded.text)));
    let (again, same) = read(&decoded.text, &context());
    if format!("{entry:?}") != format!("{again:?}") || problems != same {
        broken.push("reading twice gives two answers".to_owned());
    }
    broken
}

/// Pieces of the text that do not lie side by side, or are cut through a
/// character.
fn pieces(entry: &Entry, broken: &mut Vec<String>) {
    let mut end = 0;
    let mut next = |range: &std::ops::Range<usize>| {
        if range.start != end || range.end < range.start {
            broken.push(format!("a gap or overlap at byte {end}"));
        }
        end = range.end;
    };
    next(&entry.front);
    for section in &entry.outline {
        next(&section.heading);
        next(&section.body);
    }
    if end != entry.text.len() {
        broken.push(format!("the pieces end at byte {end}"));
    }
    let passages = entry
        .records
        .iter()
        .map(|record| &record.passage)
        .chain(entry.bags.iter().map(|bag| &bag.passage))
        .chain(&entry.prose);
    for passage in passages {
        let whole = entry.text.get(passage.bytes.clone());
        let prose = entry.text.get(passage.prose..);
        if whole.is_none() || prose.is_none() {
            broken.push(format!("{passage:?} is no piece of the text"));
        }
    }
}

/// A problem that points outside its text.
fn outside(problem: &Problem, text: &str) -> Option<String> {
    let lines = lines(text);
    let spot = &problem.spot;
    let inside = usize::try_from(spot.line)
        .ok()
        .and_then(|line| lines.get(line.checked_sub(1)?))
        .is_some_and(|line| {
            let last = spot.column as usize + spot.width as usize - 1;
            // A spot may stand behind the last character: there something
            // is missing.
            spot.column >= 1 && spot.width >= 1 && last <= line.chars().count() + 1
        });
    (!inside).then(|| format!("outside the text: {problem:?}"))
}

/// The lines of a text without their ends, as an editor counts them.
fn lines(text: &str) -> Vec<&str> {
    let mut lines = Vec::new();
    let mut rest = text;
    while let Some(end) = rest.find(['\n', '\r']) {
        lines.push(&rest[..end]);
        let end_len = if rest[end..].starts_with("\r\n") {
            2
        } else {
            1
        };
        rest = &rest[end + end_len..];
    }
    lines.push(rest);
    lines
}
