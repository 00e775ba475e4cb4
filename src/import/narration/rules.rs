//! The rules of `rules.txt`, read once.
//!
//! Whether what a rule matched really happened is for `happened`.

use std::sync::OnceLock;

use super::heard::Tier;
use super::pattern::{Classes, Pattern};

/// What a rule says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RuleKind {
    /// It came off, or was undone if it is a part that is.
    Off,
    /// What is being worked on came off.
    Done,
    /// It was left alone.
    Stays,
    /// It was undone and stays.
    Undone,
    /// It went on.
    Fitted,
    /// In which condition it was found.
    Found,
    /// What it needs, or that one is needed.
    Needs,
    /// It broke.
    Broken,
    /// It was cut.
    Cut,
    /// Something was done to it.
    Treated,
    /// It was put somewhere.
    Stored,
    /// What can hurt or go wrong.
    Caution,
    /// What is worth knowing the next time.
    Lesson,
}

/// A rule.
#[derive(Clone, Debug)]
pub struct Rule {
    /// What it says.
    pub kind: RuleKind,
    /// How sure it says so.
    pub tier: Tier,
    /// What it matches.
    pub pattern: Pattern,
}

/// All rules, in the order of the table.
///
/// # Panics
/// When the table cannot be read, which a test would show.
#[must_use]
pub fn rules() -> &'static [Rule] {
    static RULES: OnceLock<Vec<Rule>> = OnceLock::new();
    RULES.get_or_init(|| {
        read_rules(include_str!("rules.txt"))
            .into_iter()
            .map(|(rule, _)| rule)
            .collect()
    })
}

/// Lines of examples: whether the rule must match, and the words.
type Examples = Vec<(bool, &'static str)>;

fn read_rules(text: &'static str) -> Vec<(Rule, Examples)> {
    let mut classes = Classes::new();
    for line in text.lines() {
        if let Some((name, words)) = line.split_once(" = ")
            && name.chars().all(|c| c.is_uppercase() || c == '_')
        {
            classes.insert(name, words.split_whitespace().collect());
        }
    }
    let mut rules: Vec<(Rule, Examples)> = Vec::new();
    for line in text.lines() {
        if let Some(example) = line.strip_prefix("  ") {
            if let (Some((_, examples)), Some((sign, words))) =
                (rules.last_mut(), example.split_once(' '))
            {
                examples.push((sign == "+", words));
            }
            continue;
        }
        let Some((head, pattern)) = line.split_once(": ") else {
            continue;
        };
        let Some((kind, tier)) = head.split_once(' ') else {
            continue;
        };
        let (Some(kind), Ok(pattern)) = (kind_of(kind), Pattern::read(pattern, &classes)) else {
            continue;
        };
        let rule = Rule {
            kind,
            tier: match tier {
                "sure" => Tier::Sure,
                "asked" => Tier::Asked,
                _ => Tier::Inferred,
            },
            pattern,
        };
        rules.push((rule, Vec::new()));
    }
    rules
}

fn kind_of(word: &str) -> Option<RuleKind> {
    Some(match word {
        "off" => RuleKind::Off,
        "done" => RuleKind::Done,
        "stays" => RuleKind::Stays,
        "undone" => RuleKind::Undone,
        "fitted" => RuleKind::Fitted,
        "found" => RuleKind::Found,
        "needs" => RuleKind::Needs,
        "broken" => RuleKind::Broken,
        "cut" => RuleKind::Cut,
        "treated" => RuleKind::Treated,
        "stored" => RuleKind::Stored,
        "caution" => RuleKind::Caution,
        "lesson" => RuleKind::Lesson,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::super::cues::Cue;
    use super::super::items::items;
    use super::super::lexicon::Lexicon;
    use super::super::mentions::mentions;
    use super::super::speech;
    use super::*;

    #[test]
    fn every_line_of_the_table_is_a_rule() {
        let text = include_str!("rules.txt");
        let lines = text.lines().filter(|line| {
            !line.starts_with("//") && !line.starts_with(' ') && line.contains(": ")
        });
        assert_eq!(rules().len(), lines.count());
    }

    #[test]
    fn rules_match_their_examples_and_nothing_else() {
        let lexicon = Lexicon::new(&[]);
        let mut wrong = Vec::new();
        for (number, (rule, examples)) in read_rules(include_str!("rules.txt"))
            .into_iter()
            .enumerate()
        {
            for (must, text) in examples {
                let cue = Cue {
                    start: 0,
                    end: 0,
                    text: text.to_owned(),
                };
                let words = speech::words(&[cue]);
                let named = mentions(&words, &lexicon);
                let does = speech::clauses(&words).into_iter().any(|clause| {
                    let items = items(&words, &named, clause.words);
                    !rule.pattern.matches(&items, &named).is_empty()
                });
                if does != must {
                    wrong.push(format!("rule {number} ({:?}): {text}", rule.kind));
                }
            }
        }
        assert!(wrong.is_empty(), "{wrong:#?}");
    }
}
