//! The rules of `rules.txt`, read once.
//!
//! Which words raise which hazard stands there, as data; how a rule is laid
//! over a text is decided by `recognise`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::hazard::{ALL, Hazard};
use super::pattern::{PhraseList, PhraseLists};

/// The table, as text.
const TABLE: &str = include_str!("rules.txt");

/// Words in one sentence.
pub(super) struct WordRule {
    /// What they raise.
    pub hazard: Hazard,
    /// Each must stand in the sentence.
    pub all: Vec<PhraseGroup>,
    /// Phrases that speak of something else.
    pub unless: PhraseList,
}

/// Phrases of which one must stand in a sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PhraseGroup {
    /// One of these.
    Any(PhraseList),
    /// One of the first, and close behind it one of the second: "gearbox is back in".
    Near(PhraseList, PhraseList),
}

#[cfg(test)]
impl PhraseGroup {
    /// Its lists.
    pub(super) fn lists(self) -> Vec<PhraseList> {
        match self {
            PhraseGroup::Any(list) => vec![list],
            PhraseGroup::Near(first, second) => vec![first, second],
        }
    }
}

/// A part's name, together with what happens to the part.
pub(super) struct NameRule {
    /// What it raises.
    pub hazard: Hazard,
    /// The names, or the words in one.
    pub names: PhraseList,
    /// Words in a name that make it something else.
    pub unless: PhraseList,
    /// What has to happen.
    pub when: CautionTrigger,
}

/// What has to happen to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CautionTrigger {
    /// A record speaks of it.
    Named,
    /// It comes off.
    ComesOff,
    /// It comes off or goes on.
    Moves,
    /// It comes off or goes on, and belongs to a suspension.
    MovesInSuspension,
}

/// All rules, in the order of the table.
#[derive(Default)]
pub(super) struct Rules {
    pub words: Vec<WordRule>,
    pub names: Vec<NameRule>,
    /// All lists of phrases.
    pub lists: PhraseLists,
    /// Phrases of a sentence that tells of no work on this vehicle, each with phrases that
    /// say that it does all the same.
    pub elsewhere: Vec<(PhraseGroup, PhraseList)>,
    /// Phrases whose words mean something else and count for no rule.
    pub other_meanings: PhraseList,
}

/// The rules of the table.
pub(super) fn rules() -> &'static Rules {
    static RULES: OnceLock<Rules> = OnceLock::new();
    // A test reads the table without a fault; a line that could not be read
    // would be left out.
    RULES.get_or_init(|| read(TABLE).0)
}

/// Reads a table; the second list holds the lines that say nothing it knows.
fn read(table: &str) -> (Rules, Vec<String>) {
    let mut rules = Rules::default();
    let mut lists: BTreeMap<&str, &str> = BTreeMap::new();
    let mut faults = Vec::new();
    let whole = joined(table);
    for line in &whole {
        let read = match line.strip_prefix('@') {
            Some(list) => list.split_once(": ").map(|(name, words)| {
                lists.insert(name, words);
            }),
            None => rule(line, &lists, &mut rules),
        };
        if read.is_none() {
            faults.push(line.clone());
        }
    }
    (rules, faults)
}

/// The lines with those that go on, without remarks.
fn joined(table: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for line in table.lines() {
        let text = line.trim();
        if text.is_empty() || text.starts_with("//") {
            continue;
        }
        match lines.last_mut().filter(|_| line.starts_with(' ')) {
            Some(last) => {
                last.push(' ');
                last.push_str(text);
            }
            None => lines.push(text.to_owned()),
        }
    }
    lines
}

/// Reads one rule; `None` if it is none.
fn rule(line: &str, lists: &BTreeMap<&str, &str>, rules: &mut Rules) -> Option<()> {
    let (head, body) = line.split_once(": ")?;
    let (wanted, unless) = body.split_once(" - ").unwrap_or((body, ""));
    let unless = rules.lists.add(&phrases(unless, lists)?);
    if head == "elsewhere" {
        let elsewhere = group(wanted, lists, rules)?;
        rules.elsewhere.push((elsewhere, unless));
        return Some(());
    }
    if head == "other meanings" {
        rules.other_meanings = rules.lists.add(&phrases(wanted, lists)?);
        return Some(());
    }
    let (name, happens) = head.split_once(", part that ").unwrap_or((head, ""));
    let hazard = ALL.iter().find(|caution| caution.name == name)?.hazard;
    if happens.is_empty() {
        let all = wanted.split(" + ");
        let all = all.map(|words| group(words, lists, rules));
        let all = all.collect::<Option<_>>()?;
        rules.words.push(WordRule {
            hazard,
            all,
            unless,
        });
    } else {
        rules.names.push(NameRule {
            hazard,
            names: rules.lists.add(&phrases(wanted, lists)?),
            unless,
            when: match happens {
                "comes off" => CautionTrigger::ComesOff,
                "moves" => CautionTrigger::Moves,
                "moves in a suspension" => CautionTrigger::MovesInSuspension,
                "is named" => CautionTrigger::Named,
                _ => return None,
            },
        });
    }
    Some(())
}

/// One list of phrases, or two with `~` between them.
fn group(text: &str, lists: &BTreeMap<&str, &str>, rules: &mut Rules) -> Option<PhraseGroup> {
    let mut add = |words| Some(rules.lists.add(&phrases(words, lists)?));
    Some(match text.split_once(" ~ ") {
        Some((first, second)) => PhraseGroup::Near(add(first)?, add(second)?),
        None => PhraseGroup::Any(add(text)?),
    })
}

/// Phrases parted by commas; `@name` stands for those of a list.
fn phrases<'t>(text: &'t str, lists: &BTreeMap<&str, &'t str>) -> Option<Vec<&'t str>> {
    let mut all = Vec::new();
    for words in text.split(", ").filter(|words| !words.is_empty()) {
        match words.strip_prefix('@') {
            Some(list) => all.extend(phrases(lists.get(list)?, lists)?),
            None => all.push(words),
        }
    }
    Some(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_table_is_read() {
        let (rules, faults) = read(TABLE);
        assert_eq!(faults, Vec::<String>::new());
        for caution in ALL {
            let hazard = caution.hazard;
            assert!(
                rules.words.iter().any(|rule| rule.hazard == hazard),
                "no rule for {}",
                caution.name
            );
        }
        let groups = rules.words.iter().flat_map(|rule| &rule.all);
        for list in groups.flat_map(|group| group.lists()) {
            assert!(rules.lists.first(list).is_some());
        }
    }

    #[test]
    fn a_line_that_is_no_rule_is_said() {
        for line in [
            "no hazard: word",
            "lead",
            "lead: @nothing",
            "lead, part that flies: x",
        ] {
            assert_eq!(read(line).1, [line], "{line}");
        }
    }
}
