//! Hits of a search, for a terminal.

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, brief, counted, plain};
use crate::index::SearchAnswer;
use crate::reports::parts::PartStanding;

/// Where one place of a hit stands now.
#[derive(Clone, Debug)]
pub struct CurrentPlace {
    /// Name and position of the part, where the hit is not about that part
    /// alone.
    pub name: Option<String>,
    /// The position; empty where there is only one.
    pub at: String,
    /// The unit.
    pub unit: u32,
    /// Where it stands.
    pub standing: PartStanding,
}

/// A hit with what the ledger adds to it.
#[derive(Clone, Debug)]
pub struct HitView<'a> {
    /// What the index found.
    pub hit: &'a crate::index::Hit,
    /// Where its places stand now.
    pub now: Vec<CurrentPlace>,
}

/// All that a search found.
#[derive(Clone, Copy, Debug)]
pub struct Hits<'a> {
    /// The words that were asked for.
    pub query: &'a str,
    /// What the index says of the search.
    pub answer: &'a SearchAnswer,
    /// The hits, best first.
    pub found: &'a [HitView<'a>],
    /// The best of what has only some of the words.
    pub also: &'a [HitView<'a>],
}

impl Exporter<Hits<'_>> for Terminal {
    fn export(&self, hits: &Hits<'_>) -> Document {
        let text = match hits.found.is_empty() && hits.also.is_empty() {
            true => nothing(hits, self.width),
            false => render(hits, self.width),
        };
        self.document(&text)
    }
}

fn nothing(hits: &Hits<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    let words = format!("nothing found for `{}`", hits.query);
    text.line(0, TextStyle::Plain, &words);
    let searched = &hits.answer.searched;
    if searched != hits.query && !searched.is_empty() {
        text.line(2, TextStyle::Plain, &format!("searched: {searched}"));
    }
    text
}

/// The hits, best first; apart from them those with only some of the words.
fn render(hits: &Hits<'_>, width: usize) -> Text {
    let answer = hits.answer;
    let mut text = Text::new(width);
    if let Some(said) = what_was_searched(answer) {
        text.line(0, TextStyle::Note, &said);
        text.gap();
    }
    for found in hits.found {
        hit(&mut text, found);
        text.gap();
    }
    if answer.total > 0 && !hits.also.is_empty() {
        text.line(0, TextStyle::Note, "with some of the words:");
        text.gap();
    }
    for found in hits.also {
        hit(&mut text, found);
        text.gap();
    }
    let shown = hits.found.len();
    let mut summary = if answer.total > shown {
        format!(
            "{} of {} shown; `--most 50` shows more",
            shown,
            counted(answer.total, "record", "records")
        )
    } else if answer.total > 0 || hits.also.is_empty() {
        counted(answer.total, "record", "records")
    } else {
        "no record".to_owned()
    };
    if !hits.also.is_empty() {
        summary.push_str(&format!(
            " with all the words, {} with some",
            hits.also.len()
        ));
    }
    text.line(0, TextStyle::Faint, &summary);
    text
}

/// What was searched instead of what was asked, if it was not the same.
#[must_use]
pub fn what_was_searched(answer: &SearchAnswer) -> Option<String> {
    let mut said: Vec<String> = answer.narrowed.iter().cloned().collect();
    for correction in &answer.corrected {
        said.push(format!(
            "`{}` was not found; searched `{}` instead",
            correction.from, correction.to
        ));
    }
    if answer.total == 0 && !answer.also.is_empty() {
        said.push("no record has all the words; these have some of them".to_owned());
    }
    (!said.is_empty()).then(|| said.join("; "))
}

fn hit(text: &mut Text, found: &HitView<'_>) {
    let hit = found.hit;
    let mut head: Vec<StyledText> = Vec::new();
    let name = match &hit.part {
        Some(part) if hit.at.is_empty() => brief(part),
        Some(part) => format!("{}, {}", brief(part), hit.at.join("; ")),
        None => brief(&hit.title),
    };
    head.push((TextStyle::Part, name));
    let mut aside = Vec::new();
    aside.extend(hit.vehicle.clone());
    aside.extend(hit.date.clone());
    aside.extend(hit.status.as_ref().map(|status| format!("{status} then")));
    if !aside.is_empty() {
        head.push((TextStyle::Faint, format!(" ({})", aside.join(", "))));
    }
    text.wrapped(0, 2, &head);
    for now in &found.now {
        text.wrapped(2, 4, &now_line(now, found.now.len() > 1));
    }
    if !hit.passage.is_empty() {
        text.wrapped(2, 2, &marked(&hit.passage, &hit.marks));
    }
    let mut place = format!("{}:{}", hit.entry, hit.line);
    if let Some(footage) = &hit.footage {
        place.push_str("  footage ");
        place.push_str(&brief(footage));
    }
    text.line(2, TextStyle::Faint, &place);
    for (path, caption) in &hit.pictures {
        let caption = caption.as_ref().map(|caption| format!(": {caption}"));
        let line = format!("picture {path}{}", caption.unwrap_or_default());
        text.line(2, TextStyle::Faint, &brief(&line));
    }
}

/// "now: removed, bag 31, on rack 2".
fn now_line(now: &CurrentPlace, several: bool) -> Vec<StyledText> {
    let mut words = Vec::new();
    if let Some(name) = &now.name {
        words.push((TextStyle::Faint, format!("{name} ")));
    } else if several && !now.at.is_empty() {
        words.push((TextStyle::Faint, format!("{} ", now.at)));
    }
    words.push((TextStyle::Faint, "now: ".to_owned()));
    words.push((TextStyle::Standing, standing_words(&now.standing)));
    if now.unit > 1 {
        words.push(plain(format!(" (unit {})", now.unit)));
    }
    words
}

/// A standing in words: status, bags, shelf, and what it follows.
#[must_use]
pub fn standing_words(standing: &PartStanding) -> String {
    let mut words = vec![standing.status.clone()];
    if let Some(assembly) = &standing.with {
        words[0] = format!("{} with the {}", standing.status, brief(assembly));
    }
    match &standing.bags[..] {
        [] => {}
        [bag] => words.push(format!("bag {}", brief(bag))),
        bags => {
            let bags: Vec<String> = bags.iter().map(|bag| brief(bag)).collect();
            words.push(format!("bags {}", bags.join(" and ")));
        }
    }
    if let Some(shelf) = &standing.stored {
        words.push(brief(shelf));
    }
    words.join(", ")
}

/// The passage with its marked words as pieces of their own.
fn marked(passage: &str, marks: &[(usize, usize)]) -> Vec<StyledText> {
    let chars: Vec<char> = passage.chars().collect();
    let part = |from: usize, until: usize| -> String {
        chars
            .get(from..until.min(chars.len()))
            .unwrap_or_default()
            .iter()
            .collect()
    };
    let mut pieces = Vec::new();
    let mut at = 0;
    for (from, until) in marks.iter().copied() {
        if from < at {
            continue;
        }
        pieces.push(plain(part(at, from)));
        pieces.push((TextStyle::Match, part(from, until)));
        at = until;
    }
    pieces.push(plain(part(at, chars.len())));
    pieces.retain(|(_, words)| !words.is_empty());
    pieces
}
