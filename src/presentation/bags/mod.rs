//! Bags and what to buy, for a terminal.

mod one;
pub(super) mod words;

use unicode_width::UnicodeWidthStr;

use one::one;
pub(super) use words::counted_pieces;
use words::sums;

use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, brief, counted, plain};
use crate::ledger::by_label;
use crate::reports::bags::{Bag, BagPart, BagsReport, Loose};
use crate::vocabulary::words::fold;

/// Bags that were asked for.
#[derive(Clone, Copy, Debug)]
pub enum BagsAnswer<'a> {
    /// These bags.
    All {
        /// All that is known of bags.
        answer: &'a BagsReport,
        /// Those that are meant.
        shown: &'a [&'a Bag],
        /// Whether they were named: then each is shown in full.
        named: bool,
        /// As of when, if not now.
        as_of: Option<&'a str>,
        /// Whether the vehicle has to be said.
        several_vehicles: bool,
    },
    /// No bag has this label.
    Unknown {
        /// The label.
        label: &'a str,
        /// The bags that there are.
        bags: &'a [Bag],
    },
}

impl Exporter<BagsAnswer<'_>> for Terminal {
    fn export(&self, answer: &BagsAnswer<'_>) -> Document {
        match *answer {
            BagsAnswer::All {
                answer,
                named: false,
                as_of,
                several_vehicles,
                ..
            } => self.document(&overview(answer, as_of, several_vehicles, self.width)),
            BagsAnswer::All { shown, as_of, .. } => {
                let each = shown.iter().map(|bag| one(bag, as_of, self.width));
                let texts: Vec<String> = each.map(|text| text.render(self.colours)).collect();
                Document::text(texts.join("\n"))
            }
            BagsAnswer::Unknown { label, bags } => self.document(&unknown(label, bags, self.width)),
        }
    }
}

/// All bags: first what does not add up, then those with something in them.
fn overview(answer: &BagsReport, as_of: Option<&str>, several: bool, width: usize) -> Text {
    let mut text = Text::new(width);
    if answer.bags.is_empty() && answer.loose.is_empty() {
        text.line(0, TextStyle::Plain, "no bags, and no hardware without one");
        return text;
    }
    if let Some(as_of) = as_of {
        text.line(0, TextStyle::Note, as_of);
    }
    let (waiting, empty): (Vec<&Bag>, Vec<&Bag>) =
        answer.bags.iter().partition(|bag| bag.emptied.is_none());
    text.line(
        0,
        TextStyle::Title,
        &summary(answer, waiting.len(), empty.len()),
    );
    odd(&mut text, answer);
    text.gap();
    let labels = waiting.iter().map(|bag| bag.label.width());
    let column_width = labels
        .filter(|width| *width <= 16)
        .max()
        .unwrap_or(2)
        .max(2);
    for bag in waiting {
        one_of_many(&mut text, bag, several, column_width);
    }
    if !empty.is_empty() {
        let labels: Vec<String> = empty.iter().map(|bag| brief(&bag.label)).collect();
        text.gap();
        text.wrapped(
            0,
            2,
            &[
                (TextStyle::Title, "empty again: ".into()),
                plain(labels.join(", ")),
            ],
        );
    }
    loose(&mut text, &answer.loose, several);
    text
}

/// "61 bags: 36 with hardware, 25 empty again; 1 piece short, 1 left over"; what there
/// is none of is not said.
fn summary(answer: &BagsReport, waiting: usize, empty: usize) -> String {
    let all = answer.bags.len();
    let kinds: Vec<String> = [(waiting, "with hardware"), (empty, "empty again")]
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    let mut words = counted(all, "bag", "bags");
    if !kinds.is_empty() {
        words.push_str(&format!(": {}", kinds.join(", ")));
    }
    let fillings = || answer.bags.iter().flat_map(every_filling);
    let short: u64 = fillings()
        .flat_map(|bag| &bag.pieces)
        .map(|piece| piece.short)
        .sum();
    let over: u64 = fillings()
        .filter(|bag| bag.emptied.is_some())
        .map(|bag| sums(bag).1)
        .sum();
    if short > 0 || over > 0 {
        words.push_str(&format!(
            "; {} short, {over} left over",
            counted_pieces(short)
        ));
    }
    words
}

fn every_filling(bag: &Bag) -> impl Iterator<Item = &Bag> {
    bag.earlier.iter().chain([bag])
}

/// What is short or left over, and what cannot be.
fn odd(text: &mut Text, answer: &BagsReport) {
    for bag in answer.bags.iter().flat_map(every_filling) {
        for piece in &bag.pieces {
            let mut say = |label: TextStyle, word: &str, count: u64| {
                let words = [
                    (label, format!("{word}: ")),
                    plain(format!("{count} {}, ", piece.words())),
                    plain(format!("bag {}", bag.label)),
                    (TextStyle::Faint, format!(" ({})", whose(bag, 3, false))),
                ];
                text.wrapped(2, 4, &words);
            };
            if piece.short > 0 {
                say(TextStyle::Warning, "short", piece.short);
            }
            if bag.emptied.is_some() && piece.left > 0 {
                say(TextStyle::Note, "left over", piece.left);
            }
        }
    }
    for problem in &answer.problems {
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Warning, "look again: ".into()),
                plain(format!("{} ", problem.message)),
                (
                    TextStyle::Faint,
                    format!("({}:{})", problem.spot.file, problem.spot.line),
                ),
            ],
        );
    }
}

/// A bag in two lines: whose, and what.
fn one_of_many(text: &mut Text, bag: &Bag, several: bool, width: usize) {
    let mut head: Vec<StyledText> = vec![(TextStyle::Part, whose(bag, 4, several))];
    let again = if bag.filling > 1 {
        format!(", filling {}", bag.filling)
    } else {
        String::new()
    };
    if let Some(since) = bag.since {
        head.push((TextStyle::Faint, format!(", since {since}{again}")));
    }
    if let Some(shelf) = &bag.stored {
        head.push((TextStyle::Standing, format!(", {}", brief(shelf))));
    }
    text.pair(0, width, (TextStyle::Title, bag.label.clone()), &head);
    let contents = contents(bag);
    text.wrapped(width + 2, width + 2, &[plain(contents)]);
}

/// Whose hardware it is; as many parts as help.
fn whose(bag: &Bag, most: usize, vehicles: bool) -> String {
    if bag.parts.is_empty() {
        return "for no part".to_owned();
    }
    let one = |part: &BagPart| {
        let off_or_on = part.on_since.is_some() && bag.emptied.is_none();
        let on = if off_or_on { " (on again)" } else { "" };
        format!("{}{on}", brief(&part.label()))
    };
    let mut words: Vec<String> = bag.parts.iter().take(most).map(one).collect();
    if bag.parts.len() > most {
        words.push(format!("{} more", bag.parts.len() - most));
    }
    let mut whose = words.join("; ");
    if vehicles || bag.vehicles.len() > 1 {
        whose.push_str(&format!(" ({})", bag.vehicles.join(" and ")));
    }
    whose
}

/// What is in a bag, in a line.
#[must_use]
pub fn contents(bag: &Bag) -> String {
    let mut words: Vec<String> = bag
        .pieces
        .iter()
        .filter(|piece| piece.left > 0)
        .map(|piece| {
            if piece.left == piece.put_in {
                format!("{} {}", piece.left, piece.words())
            } else {
                format!("{} of {} {}", piece.left, piece.put_in, piece.words())
            }
        })
        .collect();
    if words.is_empty() {
        let (put_in, _) = sums(bag);
        let said = if put_in == 0 {
            "nothing counted"
        } else {
            "nothing left"
        };
        words.push(said.to_owned());
    }
    words.join("; ")
}

/// Hardware that is in no bag.
fn loose(text: &mut Text, loose: &[Loose], several: bool) {
    if loose.is_empty() {
        return;
    }
    text.gap();
    text.line(0, TextStyle::Title, "in no bag:");
    let mut at = 0;
    while let Some(first) = loose.get(at) {
        let same: Vec<&Loose> = loose[at..]
            .iter()
            .take_while(|other| other.part == first.part && other.entry == first.entry)
            .collect();
        let words: Vec<String> = same
            .iter()
            .map(|loose| format!("{} {}", loose.pieces, loose.kind))
            .collect();
        let vehicle = if several {
            format!(" ({})", first.part.vehicle)
        } else {
            String::new()
        };
        let over = if first.part.on_since.is_some() {
            " left over"
        } else {
            ""
        };
        text.wrapped(
            2,
            4,
            &[
                (
                    TextStyle::Part,
                    format!("{}{vehicle}: ", brief(&first.part.label())),
                ),
                plain(format!("{}{over} ", words.join("; "))),
                (
                    TextStyle::Faint,
                    format!("({}:{})", first.entry, first.line),
                ),
            ],
        );
        at += same.len();
    }
}

/// What is said when no bag has this label: those that are near.
fn unknown(label: &str, bags: &[Bag], width: usize) -> Text {
    let mut text = Text::new(width);
    text.line(
        0,
        TextStyle::Plain,
        &format!("there is no bag `{}`", brief(label)),
    );
    let wanted = fold(label);
    let bare = wanted.trim_start_matches('0');
    let mut near: Vec<&str> = bags
        .iter()
        .filter(|bag| {
            let own = fold(&bag.label);
            own.contains(&wanted) || own.trim_start_matches('0') == bare && !bare.is_empty()
        })
        .map(|bag| bag.label.as_str())
        .collect();
    near.sort_by(|a, b| by_label(a, b));
    near.truncate(8);
    if near.is_empty() {
        text.line(2, TextStyle::Plain, "`matchmark bags` lists all bags");
    } else {
        text.line(
            2,
            TextStyle::Plain,
            &format!("near it: {}", near.join(", ")),
        );
    }
    text
}
