//! What was understood of an entry, one short line a record, for a terminal.
//!
//! It shows what was read and judges nothing; problems stand beside it.

use std::collections::BTreeMap;

use super::text::{Label, Piece, Text, brief, counted, plain};
use crate::entry::{BagFilling, Fact};
use crate::reports::understood::{Novelty, Understood, UnderstoodRecord};
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::label::Label as BagLabel;

/// More lines than these are summed up: nobody reads a wall of them.
pub const MOST_LINES: usize = 20;

/// The most columns that a record takes: two lines of a usual terminal, so that
/// ten records fit on its screen.
const LONGEST: usize = 150;

/// One line for each record and each bag; a sum where those were too many.
#[must_use]
pub fn render(understood: &Understood<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    let count = understood.records.len() + understood.bags.len();
    if count == 0 {
        text.line(0, Label::Faint, "nothing about a part was understood");
    } else if count > MOST_LINES {
        summed(&mut text, understood);
    } else {
        for record in &understood.records {
            text.wrapped(0, 4, &line(record));
        }
        for (bag, novelty) in &understood.bags {
            text.wrapped(0, 4, &bag_line(bag, novelty));
        }
    }
    text
}

/// What a record says: the part, then status, hardware, shelf, what is to do.
fn line(understood: &UnderstoodRecord) -> Vec<Piece> {
    let record = &understood.record;
    let mut name = record.name.written().to_owned();
    if !record.at.is_empty() {
        name.push_str(&format!(", {}", record.at));
    }
    let mut pieces = vec![(Label::Part, brief(&name))];
    pieces.extend(marked(&understood.part));
    pieces.push(plain(": "));
    let said = cut_short(said(understood));
    pieces.push(plain(said.join("; ")));
    pieces
}

/// As many of these as a record may take, with how many more there are.
fn cut_short(mut said: Vec<String>) -> Vec<String> {
    if said.is_empty() {
        said.push("no fact".to_owned());
    }
    let mut columns = 0;
    let fits = said
        .iter()
        .take_while(|one| {
            columns += one.chars().count() + 2;
            columns <= LONGEST
        })
        .count();
    let left = said.len() - fits.max(1);
    said.truncate(fits.max(1));
    if left > 0 {
        said.push(format!("and {left} more"));
    }
    said
}

fn marked(novelty: &Novelty) -> Option<Piece> {
    match novelty {
        Novelty::Known => None,
        Novelty::New => Some((Label::Note, " (new)".to_owned())),
        Novelty::Near(known) => Some((Label::Warning, format!(" (new? near: {})", brief(known)))),
    }
}

fn mark_words(novelty: Option<&Novelty>) -> String {
    novelty
        .and_then(marked)
        .map(|(_, words)| words)
        .unwrap_or_default()
}

/// What is said of a part, the most telling first.
fn said(understood: &UnderstoodRecord) -> Vec<String> {
    let facts = || understood.record.facts.iter().map(|stated| &stated.fact);
    let mut said = Vec::new();
    for fact in facts() {
        if let Fact::Status(status) = fact {
            said.push(status.word().to_owned());
        } else if let Fact::Surface(surface) = fact {
            said.push(surface.word().to_owned());
        } else if let Fact::SentTo(sent) = fact {
            let back = sent.back_by.map(|day| format!(", back by {day}"));
            said.push(format!(
                "sent to {}{}",
                brief(&sent.to),
                back.unwrap_or_default()
            ));
        }
    }
    said.extend(hardware(understood));
    let mut others = 0;
    for fact in facts() {
        if let Fact::Stored(shelf) = fact {
            let mark = mark_words(understood.new_shelves.get(shelf));
            said.push(format!("on {}{mark}", brief(shelf)));
        } else if let Fact::Needs(need) = fact {
            let by = need.by.map(|day| format!(" by {day}")).unwrap_or_default();
            let word = if need.is_purchase() { "" } else { "to do: " };
            said.push(format!("{word}{}{by}", brief(&need.text)));
        } else if let Fact::Done(work) = fact {
            said.push(format!("done: {}", brief(work)));
        } else if let Fact::ReplacedBy(new) = fact {
            let kind = new.kind.map(|kind| kind.word()).unwrap_or_default();
            let what = [kind, &new.what].join(" ");
            said.push(format!("replaced by {}", brief(what.trim())));
        } else if let Fact::Cost(cost) = fact {
            let money = cost.money;
            said.push(format!("{} {}", money.currency.code(), money.amount()));
        } else if let Fact::Hours(minutes) = fact {
            said.push(format!("{minutes} hours"));
        } else if let Fact::After(part) = fact {
            said.push(format!("after {}", brief(&part.written())));
        } else if let Fact::RefitAfter(part) = fact {
            said.push(format!("goes back after {}", brief(&part.written())));
        } else if let Fact::Found(words) = fact {
            said.push(format!("found: {}", brief(words)));
        } else if !matches!(
            fact,
            Fact::Status(_)
                | Fact::Surface(_)
                | Fact::SentTo(_)
                | Fact::Hardware(_)
                | Fact::Bag(_)
                | Fact::Footage(_)
        ) {
            others += 1;
        }
    }
    if others > 0 {
        said.push(counted(others, "other fact", "other facts"));
    }
    said
}

/// The hardware of a record, by the bag it is in.
fn hardware(understood: &UnderstoodRecord) -> Vec<String> {
    let facts = &understood.record.facts;
    let mut own_bags: Vec<&BagLabel> = Vec::new();
    for stated in facts {
        if let Fact::Bag(bag) = &stated.fact {
            own_bags.push(bag);
        }
    }
    let mut by_bag: Vec<(Option<&BagLabel>, Vec<String>)> = own_bags
        .iter()
        .map(|bag| (Some(*bag), Vec::new()))
        .collect();
    for stated in facts {
        let Fact::Hardware(piece) = &stated.fact else {
            continue;
        };
        // Pieces that are not to be bought lie in the record's only bag.
        let bag = piece.bag.as_ref().or(match own_bags.as_slice() {
            [only] if !piece.to_buy() => Some(*only),
            _ => None,
        });
        let words = piece_words(piece);
        match by_bag.iter_mut().find(|(other, _)| *other == bag) {
            Some((_, pieces)) => pieces.push(words),
            None => by_bag.push((bag, vec![words])),
        }
    }
    let in_words = |(bag, pieces): (Option<&BagLabel>, Vec<String>)| {
        let pieces = pieces.join(", ");
        let Some(bag) = bag else {
            return pieces;
        };
        let mark = mark_words(understood.new_bags.get(bag.key()));
        let colon = if pieces.is_empty() { "" } else { ": " };
        format!("bag {}{mark}{colon}{pieces}", brief(bag.written()))
    };
    by_bag.into_iter().map(in_words).collect()
}

/// "4 bolt M8", "1 stud, sheared".
fn piece_words(piece: &Hardware) -> String {
    let mut words = match piece.quantity {
        Some(count) => format!("{count} {}", brief(&piece.fastener().to_string())),
        None => format!("? {}", brief(&piece.fastener().to_string())),
    };
    for mark in &piece.marks {
        words.push_str(&format!(" {}", mark.word()));
    }
    words
}

fn bag_line(bag: &BagFilling, novelty: &Novelty) -> Vec<Piece> {
    let mut said: Vec<String> = Vec::new();
    let pieces: Vec<String> = bag
        .hardware
        .iter()
        .map(|(one, _)| piece_words(one))
        .collect();
    if !pieces.is_empty() {
        said.push(pieces.join(", "));
    }
    if !bag.holds.is_empty() {
        let parts: Vec<String> = bag.holds.iter().map(|(part, _)| part.written()).collect();
        said.push(format!("of {}", brief(&parts.join(", "))));
    }
    said.extend(
        bag.stored
            .as_ref()
            .map(|shelf| format!("on {}", brief(shelf))),
    );
    let mut line = vec![(Label::Part, format!("Bag {}", brief(bag.label.written())))];
    line.extend(marked(novelty));
    line.push(plain(format!(": {}", cut_short(said).join("; "))));
    line
}

/// How many stand where, what is new, and what is asked about.
fn summed(text: &mut Text, understood: &Understood<'_>) {
    let records = &understood.records;
    let mut standing: BTreeMap<&str, Vec<&UnderstoodRecord>> = BTreeMap::new();
    let mut needs = 0;
    let mut bags: Vec<&str> = Vec::new();
    for record in records {
        let mut word = "without a status";
        for stated in &record.record.facts {
            if let Fact::Status(status) = stated.fact {
                word = status.word();
            }
            needs += usize::from(matches!(stated.fact, Fact::Needs(_)));
            bags.extend(stated.fact.bag().map(BagLabel::written));
        }
        standing.entry(word).or_default().push(record);
    }
    bags.extend(understood.bags.iter().map(|(bag, _)| bag.label.written()));
    bags.sort_unstable();
    bags.dedup();
    for (word, records) in standing {
        let names: Vec<String> = records.iter().map(|record| place(record)).collect();
        let head = format!("{} {word}: ", records.len());
        text.wrapped(0, 4, &[(Label::Standing, head), plain(shortened(&names))]);
    }
    let is_new = |record: &&UnderstoodRecord| record.part != Novelty::Known;
    let new: Vec<String> = records.iter().filter(is_new).map(place).collect();
    if !new.is_empty() {
        let head = format!("{}: ", counted(new.len(), "new part", "new parts"));
        text.wrapped(0, 4, &[(Label::Note, head), plain(shortened(&new))]);
    }
    for record in records {
        if let Novelty::Near(known) = &record.part {
            let ask = format!("{}: new, or {}?", place(record), brief(known));
            text.wrapped(0, 4, &[(Label::Warning, ask)]);
        }
    }
    let counts = [
        counted(records.len(), "part", "parts"),
        counted(bags.len(), "bag", "bags"),
        format!("{needs} to do"),
    ];
    text.line(0, Label::Faint, &counts.join(", "));
}

fn place(record: &UnderstoodRecord) -> String {
    let name = brief(record.record.name.written());
    match record.record.at.is_empty() {
        true => name,
        false => format!("{name}, {}", record.record.at),
    }
}

/// Names up to some columns, and how many more there are.
fn shortened(names: &[String]) -> String {
    let mut shown: Vec<String> = Vec::new();
    let mut columns = 0;
    for name in names {
        columns += name.chars().count() + 2;
        if columns > LONGEST {
            break;
        }
        shown.push(name.clone());
    }
    let left = names.len() - shown.len();
    if left > 0 {
        shown.push(format!("and {left} more"));
    }
    shown.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, Entry, read};
    use crate::ledger::Aliases;
    use crate::presentation::export::Exporter;
    use crate::presentation::json::Json;
    use crate::reports::understood::{KnownNames, understood};
    use crate::vocabulary::money::Currency;

    fn entry(records: usize) -> Entry {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let mut text = "---\ndate: 2026-03-14\nvehicle: van\n---\n\n# Off\n".to_owned();
        for number in 0..records {
            text.push_str(&format!(
                "\n## Panel {number}, left front\n\n- status: removed\n- hardware: 4 bolt M8, bag {number}; 2 clip, new\n\
                 - stored: rack {number}\n- needs: beat it flat, by 2026-05-01\n- found: dented\n"
            ));
        }
        read(&text, &context).0
    }

    fn shown(entry: &Entry) -> String {
        let aliases = Aliases::default();
        let understood = understood(entry, KnownNames::default(), &aliases);
        render(&understood, 80).render(false)
    }

    #[test]
    fn ten_records_fit_a_screen() {
        let text = shown(&entry(10));
        assert!(text.lines().count() <= 23, "{text}");
        assert!(
            text.starts_with(
                "Panel 0, left front (new): removed; bag 0 (new): 4 bolt M8; 2 clip new; on rack"
            ),
            "{text}"
        );
    }

    #[test]
    fn more_lines_than_anyone_reads_are_summed_up() {
        let text = shown(&entry(30));
        assert!(text.lines().count() <= 12, "{text}");
        assert!(text.ends_with("30 parts, 30 bags, 30 to do\n"), "{text}");
    }

    #[test]
    fn a_program_gets_every_fact_with_its_meaning() {
        let entry = entry(1);
        let aliases = Aliases::default();
        let understood = understood(&entry, KnownNames::default(), &aliases);
        let document = Json.export(&(&understood, &[][..]));
        let value: serde_json::Value =
            serde_json::from_str(&document.sheets[0]).expect("what was written as JSON");
        let facts = &value["records"][0]["facts"];
        assert_eq!(value["records"][0]["at"], "left front");
        assert_eq!(facts[0]["status"], "removed");
        assert_eq!(facts[1]["pieces"][0]["bag"], "0");
        assert_eq!(facts[2]["pieces"][0]["marks"][0], "new");
        assert_eq!(facts[4]["by"], "2026-05-01");
    }
}
