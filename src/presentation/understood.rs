//! What was understood of an entry, one short line a record, for a terminal.
//!
//! It shows what was read and judges nothing; problems stand beside it.

use std::collections::BTreeMap;

use super::text::{StyledText, Text, TextStyle, brief, counted, plain};
use crate::entry::{BagFilling, Fact, Stated};
use crate::reports::known_names::Novelty;
use crate::reports::understood::{Understood, UnderstoodRecord};
use crate::vocabulary::hardware::Hardware;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::status::Status;

/// Most lines shown; longer reports are summarised.
pub const MOST_LINES: usize = 20;

/// The lines that a usual screen leaves beside the prompt and the verb's last words.
const SCREEN: usize = 20;

/// The most lines that a record takes, however few there are.
const LINES_A_RECORD: usize = 4;

/// The most near names that a sum asks about; `check` names them all.
const MOST_ASKED: usize = 5;

/// Names and labels in a sum may take this many columns.
const LONGEST_SUM: usize = 150;

/// One line for each session, record and bag; a sum where those were too many.
/// `taken` are the lines of the screen that something else fills: the more, the
/// shorter is what is said of each record.
#[must_use]
pub fn render(all: &[Understood<'_>], width: usize, taken: usize) -> Text {
    let count: usize = all.iter().map(Understood::count).sum();
    if count > MOST_LINES {
        let mut text = Text::new(width);
        summed(&mut text, all);
        see_all(&mut text, all);
        return text;
    }
    let room = SCREEN.saturating_sub(taken);
    let lengths = (2..=2 * LINES_A_RECORD).rev();
    let mut lengths = lengths.map(|halves| listed(all, width, halves * width / 2));
    let fits = |text: &Text| text.render(false).lines().count() <= room;
    lengths
        .find(fits)
        .unwrap_or_else(|| listed(all, width, width.saturating_sub(4)))
}

/// A line for each session, record and bag, of at most `longest` columns each.
fn listed(all: &[Understood<'_>], width: usize, longest: usize) -> Text {
    let mut text = Text::new(width);
    for understood in all {
        session_line(&mut text, understood, longest);
        for record in &understood.records {
            text.wrapped(0, 4, &line(record, longest));
        }
        for (bag, novelty) in &understood.bags {
            text.wrapped(0, 4, &bag_line(bag, novelty, longest));
        }
        prose_line(&mut text, understood);
    }
    if text.render(false).contains(LEFT_OUT) {
        see_all(&mut text, all);
    }
    text
}

/// Where all of it is shown.
fn see_all(text: &mut Text, all: &[Understood<'_>]) {
    let path = match all {
        [one] if !one.entry.path.is_empty() => one.entry.path.as_str(),
        _ => "ENTRY",
    };
    let words = format!("every fact: matchmark check {path} --facts");
    text.line(0, TextStyle::Faint, &words);
}

/// What is said of the session as a whole; nothing if only its parts are spoken of.
fn session_line(text: &mut Text, understood: &Understood<'_>, longest: usize) {
    let said: Vec<String> = understood
        .session
        .iter()
        .filter_map(|one| other(one))
        .collect();
    if !said.is_empty() {
        let head = (TextStyle::Part, "Session: ".to_owned());
        let said = said.into_iter().map(|words| (false, words)).collect();
        let said = cut_short(said, longest.saturating_sub(10));
        text.wrapped(0, 4, &[head, plain(said.join("; "))]);
    }
}

/// The headings under which no fact was read, all of them: each may have been meant as
/// a part.
fn prose_line(text: &mut Text, understood: &Understood<'_>) {
    let titles = understood.prose.iter();
    let titles: Vec<String> = titles.map(|passage| brief(&passage.title)).collect();
    if !titles.is_empty() {
        let head = (TextStyle::Faint, "Read as words only: ".to_owned());
        text.wrapped(0, 4, &[head, plain(titles.join("; "))]);
    }
}

/// What a record says: the part, then status, hardware, shelf, what is to do.
fn line(understood: &UnderstoodRecord, longest: usize) -> Vec<StyledText> {
    let record = &understood.record;
    let mut name = record.name.written().to_owned();
    if !record.at.is_empty() {
        name.push_str(&format!(", {}", record.at));
    }
    let mut pieces = vec![(TextStyle::Part, brief(&name))];
    pieces.extend(marked(&understood.part));
    pieces.push(plain(": "));
    let head: usize = pieces.iter().map(|(_, words)| words.chars().count()).sum();
    let said = cut_short(said(understood), longest.saturating_sub(head));
    pieces.push(plain(said.join("; ")));
    pieces
}

/// How it is said that facts were left out.
const LEFT_OUT: &str = "more as typed";

/// As many of these as a record may take, with how many more there are. Left out is
/// only what was read word for word (`true`); what may have been misread always stands.
fn cut_short(said: Vec<(bool, String)>, longest: usize) -> Vec<String> {
    if said.is_empty() {
        return vec!["no fact".to_owned()];
    }
    let columns = |one: &(bool, String)| one.1.chars().count() + 2;
    if said.iter().map(columns).sum::<usize>() <= longest + 2 {
        return said.into_iter().map(|(_, words)| words).collect();
    }
    let of_words: usize = said
        .iter()
        .filter(|(as_typed, _)| !as_typed)
        .map(columns)
        .sum();
    // Room is left for how many more there are.
    let mut left = longest
        .saturating_sub(of_words)
        .saturating_sub("; 99 ".len() + LEFT_OUT.len());
    let mut out = 0;
    let mut kept: Vec<String> = Vec::new();
    for one in said {
        let needed = columns(&one);
        if !one.0 {
            kept.push(one.1);
        } else if needed <= left {
            left -= needed;
            kept.push(one.1);
        } else {
            left = 0;
            out += 1;
        }
    }
    kept.push(format!("{out} {LEFT_OUT}"));
    kept.retain(|words| out > 0 || !words.ends_with(LEFT_OUT));
    kept
}

fn marked(novelty: &Novelty) -> Option<StyledText> {
    match novelty {
        Novelty::Known => None,
        Novelty::New => Some((TextStyle::Note, " (new)".to_owned())),
        Novelty::Near(known) => Some((
            TextStyle::Warning,
            format!(" (new? near: {})", brief(known)),
        )),
    }
}

fn mark_words(novelty: Option<&Novelty>) -> String {
    novelty
        .and_then(marked)
        .map(|(_, words)| words)
        .unwrap_or_default()
}

/// What is said of a part, the most telling first, and whether it was read word for
/// word under the key that was typed.
fn said(understood: &UnderstoodRecord) -> Vec<(bool, String)> {
    let facts = || understood.record.facts.iter().map(|stated| &stated.fact);
    let mut said = Vec::new();
    for fact in facts() {
        if let Fact::Status(status) = fact {
            said.push(status_words(*status).to_owned());
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
    let mut said: Vec<(bool, String)> = said.into_iter().map(|words| (false, words)).collect();
    let keyed = understood
        .keyed
        .iter()
        .copied()
        .chain(std::iter::repeat(false));
    for (stated, keyed) in understood.record.facts.iter().zip(keyed) {
        let as_typed = |words: &str| keyed && words.contains(stated.written.trim());
        if let Fact::Stored(shelf) = &stated.fact {
            let mark = mark_words(understood.new_shelves.get(shelf));
            // A near name is asked about.
            let asked = matches!(understood.new_shelves.get(shelf), Some(Novelty::Near(_)));
            let words = format!("on {}{mark}", brief(shelf));
            said.push((as_typed(&words) && !asked, words));
        } else if let Some(words) = other(stated) {
            // What took a part's place always stands: a price or a kind may be hidden in it.
            let is_new_unit = matches!(stated.fact, Fact::ReplacedBy(_));
            said.push((as_typed(&words) && !is_new_unit, words));
        }
    }
    let words = understood.words_only.iter();
    said.extend(words.map(|line| (false, format!("as words: {}", brief(line)))));
    said
}

/// A status so that a misreading shows: who types "out" of a door has sent it nowhere.
fn status_words(status: Status) -> &'static str {
    match status {
        Status::Out => "out (sent away)",
        Status::Undone => "undone (in place)",
        Status::Fitted
        | Status::Loose
        | Status::Removed
        | Status::Apart
        | Status::Ready
        | Status::LeftOff
        | Status::Replaced
        | Status::Scrapped
        | Status::Sold
        | Status::Missing => status.word(),
    }
}

/// A fact that is neither a standing nor hardware; `None` for those, and for what
/// tells nothing of the part. What has no short form of its own stands as it was typed,
/// a key added tomorrow among it.
fn other(stated: &Stated) -> Option<String> {
    if said_elsewhere(stated) {
        return None;
    }
    let as_typed = || format!("{}: {}", stated.key.word(), brief(&stated.written));
    Some(short_form(&stated.fact).unwrap_or_else(as_typed))
}

/// Whether it stands in the line's beginning or in a problem, or is no fact of the part.
/// A system that was taken from the front matter is said once there.
fn said_elsewhere(stated: &Stated) -> bool {
    let fact = &stated.fact;
    let at_the_beginning = matches!(
        fact,
        Fact::Status(_) | Fact::Surface(_) | Fact::SentTo(_) | Fact::Hardware(_) | Fact::Bag(_)
    );
    let of_the_telling = matches!(fact, Fact::Footage(_) | Fact::Tell(_) | Fact::Ask(_));
    let system_of_the_entry = matches!(fact, Fact::System(_)) && stated.inherited;
    let with_a_problem = matches!(fact, Fact::Unknown(_));
    at_the_beginning || of_the_telling || system_of_the_entry || with_a_problem
}

fn short_form(fact: &Fact) -> Option<String> {
    let words = if let Fact::Stored(shelf) = fact {
        format!("on {}", brief(shelf))
    } else if let Fact::Needs(need) = fact {
        let by = need.by.map(|day| format!(" by {day}")).unwrap_or_default();
        let word = if need.is_purchase() { "" } else { "to do: " };
        format!("{word}{}{by}", brief(&need.text))
    } else if let Fact::Done(work) = fact {
        format!("done: {}", brief(work))
    } else if let Fact::ReplacedBy(new) = fact {
        let kind = new.kind.map(|kind| kind.word()).unwrap_or_default();
        let what = match new.what.starts_with(kind) {
            true => new.what.clone(),
            false => format!("{kind} {}", new.what),
        };
        format!("replaced by {}", brief(what.trim()))
    } else if let Fact::Cost(cost) = fact {
        let money = cost.money;
        let words = format!(
            "{} {} {}",
            money.currency.code(),
            money.amount(),
            brief(&cost.text)
        );
        words.trim_end().to_owned()
    } else if let Fact::Hours(minutes) = fact {
        format!("{minutes} hours")
    } else if let Fact::After(part) = fact {
        format!("after {}", brief(&part.written()))
    } else if let Fact::RefitAfter(part) = fact {
        format!("goes back after {}", brief(&part.written()))
    } else {
        return None;
    };
    Some(words)
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

fn bag_line(bag: &BagFilling, novelty: &Novelty, longest: usize) -> Vec<StyledText> {
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
    let mut line = vec![(
        TextStyle::Part,
        format!("Bag {}", brief(bag.label.written())),
    )];
    line.extend(marked(novelty));
    line.push(plain(format!(
        ": {}",
        cut_short(
            said.into_iter().map(|words| (false, words)).collect(),
            longest.saturating_sub(12)
        )
        .join("; ")
    )));
    line
}

/// How many stand where, what is new, and what is asked about.
fn summed(text: &mut Text, all: &[Understood<'_>]) {
    let records = || all.iter().flat_map(|one| &one.records);
    let sections = || all.iter().flat_map(|one| &one.bags);
    let mut standing: BTreeMap<&str, Vec<&UnderstoodRecord>> = BTreeMap::new();
    let mut needs = 0;
    let mut bags: Vec<&str> = Vec::new();
    for record in records() {
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
    bags.extend(sections().map(|(bag, _)| bag.label.written()));
    bags.sort_unstable();
    bags.dedup();
    for (word, records) in standing {
        let names: Vec<String> = records.iter().map(|record| place(record)).collect();
        let head = format!("{} {word}: ", records.len());
        text.wrapped(
            0,
            4,
            &[(TextStyle::Standing, head), plain(shortened(&names))],
        );
    }
    let is_new = |record: &&UnderstoodRecord| record.part != Novelty::Known;
    let new: Vec<String> = records().filter(is_new).map(place).collect();
    if !new.is_empty() {
        let head = format!("{}: ", counted(new.len(), "new part", "new parts"));
        text.wrapped(0, 4, &[(TextStyle::Note, head), plain(shortened(&new))]);
    }
    let asked = records().filter(|record| matches!(record.part, Novelty::Near(_)));
    for record in asked.take(MOST_ASKED) {
        if let Novelty::Near(known) = &record.part {
            let ask = format!("{}: new, or {}?", place(record), brief(known));
            text.wrapped(0, 4, &[(TextStyle::Warning, ask)]);
        }
    }
    let counts = [
        counted(records().count(), "part", "parts"),
        counted(bags.len(), "bag", "bags"),
        format!("{needs} to do"),
    ];
    text.line(0, TextStyle::Faint, &counts.join(", "));
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
        if columns > LONGEST_SUM {
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
    use crate::reports::known_names::KnownNames;
    use crate::reports::understood::understood;
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
        let understood = understood(entry, &mut KnownNames::default(), &aliases);
        render(&[understood], 80, 0).render(false)
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

    /// Ten records with a fact in each that was guessed, and long ones beside it.
    fn with_misreadings() -> Entry {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let mut text = "---\ndate: 2026-03-14\nvehicle: van\n---\n\n# Off\n".to_owned();
        for number in 0..10 {
            text.push_str(&format!(
                "\n## Panel {number}, left front\n\n- status: removed\n- found: dented all along the lower edge and rusty\n\
                 - lesson: begin at the lower edge the next time, with two people\n- caution: sharp edges everywhere along it\n\
                 - foudn: planted {number}\n- cost: 12.50 paint\n- lost words {number}\n"
            ));
        }
        read(&text, &context).0
    }

    #[test]
    fn what_may_be_misread_is_never_left_out() {
        let text = shown(&with_misreadings());
        for number in 0..10 {
            for planted in [
                format!("planted {number}"),
                format!("as words: lost words {number}"),
            ] {
                assert!(text.contains(&planted), "{planted}\n{text}");
            }
        }
        assert!(text.contains("more as typed"), "{text}");
        assert!(text.contains("matchmark check ENTRY --facts"), "{text}");
        assert!(text.lines().count() <= 23, "{text}");
    }

    #[test]
    fn more_lines_than_anyone_reads_are_summed_up() {
        let text = shown(&entry(30));
        assert!(text.lines().count() <= 12, "{text}");
        assert!(text.contains("30 parts, 30 bags, 30 to do\n"), "{text}");
        assert!(
            text.ends_with("every fact: matchmark check ENTRY --facts\n"),
            "{text}"
        );
    }

    #[test]
    fn a_program_gets_every_fact_with_its_meaning() {
        let entry = entry(1);
        let aliases = Aliases::default();
        let understood = understood(&entry, &mut KnownNames::default(), &aliases);
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
