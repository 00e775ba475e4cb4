//! The parts of a vehicle: their names on both sides of the ocean, the system
//! they usually belong to, whether they come off or are undone, and whether only
//! the manual's figure counts.
//!
//! The table is `parts.txt`. It knows kinds of parts and nothing of a journal; what
//! a record says always comes first.

use std::collections::HashMap;
use std::sync::OnceLock;

use super::restricted::field;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Position, Side};
use crate::vocabulary::words::fold;

/// A kind of part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnownPart {
    /// Its names, folded, the first the usual one.
    pub names: Vec<&'static str>,
    /// The system it usually belongs to; `suspension` is said without its end.
    pub system: &'static str,
    /// Whether the table says that only the manual's figure counts.
    marked_manual: bool,
    /// Whether it is undone and stays in place more often than it comes off.
    pub comes_undone: bool,
    /// Whether it is separated and stays on one of the parts that it joins.
    pub is_joint: bool,
}

impl KnownPart {
    /// Whether only the manual's figure counts for its hardware: the table says so, or
    /// its name is of a restricted field.
    #[must_use]
    pub fn only_manual(&self) -> bool {
        let restricted = |name: &&str| field(name, "").is_some();
        self.marked_manual || self.names.first().is_some_and(restricted)
    }

    /// Whether it is more often undone or separated than taken off.
    #[must_use]
    pub fn stays_in_place(&self) -> bool {
        self.comes_undone || self.is_joint
    }
}

/// All kinds of parts, in the order of the table.
#[must_use]
pub fn parts() -> &'static [KnownPart] {
    static PARTS: OnceLock<Vec<KnownPart>> = OnceLock::new();
    PARTS.get_or_init(|| read_table(include_str!("parts.txt")))
}

/// Words in the longest name of the table; a test counts them.
const LONGEST_NAME: usize = 6;

/// The kind of part that a name means: the one of this name, else the one at the
/// end of it ("the wide bench seat"), the longest first. Nothing is guessed from
/// words at its beginning: a wiper bracket is no wiper.
#[must_use]
pub fn known_part(name: &str) -> Option<&'static KnownPart> {
    let folded = fold(name).replace(['-', '/'], " ");
    let words: Vec<&str> = folded.split_whitespace().collect();
    (words.len().saturating_sub(LONGEST_NAME)..words.len()).find_map(|from| {
        let key = Name::new(&words[from..].join(" "));
        by_key().get(key.key()).copied()
    })
}

/// Whether two names, as names are compared, are two words for one kind of part.
#[must_use]
pub fn mean_one_part(one: &str, other: &str) -> bool {
    let part = |key: &str| by_key().get(key).copied();
    part(one).is_some_and(|part_of_one| {
        part(other).is_some_and(|part_of_other| std::ptr::eq(part_of_one, part_of_other))
    })
}

/// The system that a part of this name usually belongs to, in the words of the
/// journal's own list; `None` where the list has none such.
#[must_use]
pub fn usual_system<'s>(name: &str, at: &Position, systems: &'s [String]) -> Option<&'s str> {
    let usual = known_part(name)?.system;
    let end = |side: Side, word: &str| {
        at.sides()
            .contains(&side)
            .then(|| format!("{word} {usual}"))
    };
    [
        Some(usual.to_owned()),
        end(Side::Front, "front"),
        end(Side::Rear, "rear"),
    ]
    .into_iter()
    .flatten()
    .find_map(|wanted| {
        let same = |system: &&String| fold(system) == wanted;
        systems.iter().find(same).map(String::as_str)
    })
}

fn by_key() -> &'static HashMap<String, &'static KnownPart> {
    static BY_KEY: OnceLock<HashMap<String, &'static KnownPart>> = OnceLock::new();
    BY_KEY.get_or_init(|| {
        let mut by_key = HashMap::new();
        for part in parts() {
            for name in &part.names {
                let key = Name::new(name).key().to_owned();
                by_key.entry(key).or_insert(part);
            }
        }
        by_key
    })
}

fn read_table(text: &'static str) -> Vec<KnownPart> {
    let mut parts = Vec::new();
    let mut system = "";
    let mut all_manual = false;
    for line in text.lines() {
        if line.is_empty() || line.starts_with(['#', '/']) {
            continue;
        }
        if let Some((name, mark)) = line.strip_prefix('[').and_then(|rest| rest.split_once(']')) {
            system = name;
            all_manual = mark.trim() == "manual";
            continue;
        }
        let (line, mark) = match line.split_once(" (") {
            Some((line, mark)) => (line, mark.trim_end_matches(')')),
            None => (line, ""),
        };
        let names = names(line);
        parts.push(KnownPart {
            names,
            system,
            marked_manual: all_manual || mark == "manual",
            comes_undone: mark == "undone",
            is_joint: mark == "joint",
        });
    }
    parts
}

/// The names in "bonnet = hood".
pub(super) fn names(line: &'static str) -> Vec<&'static str> {
    line.split(['=', ','])
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_is_longer_than_the_longest() {
        let words = |name: &&str| {
            fold(name)
                .replace(['-', '/'], " ")
                .split_whitespace()
                .count()
        };
        let longest = parts().iter().flat_map(|part| &part.names).map(words).max();
        assert!(
            longest.is_some_and(|longest| longest <= LONGEST_NAME),
            "{longest:?}"
        );
    }

    #[test]
    fn a_part_is_known_by_any_of_its_names() {
        for (name, system) in [
            ("Bonnet", "body"),
            ("hoods", "body"),
            ("Brake drums", "brakes"),
            ("wiper-motor", "electrics"),
            ("wide bench seat", "trim"),
            ("shock absorber", "suspension"),
            ("LH wing", "body"),
        ] {
            assert_eq!(
                known_part(name).map(|part| part.system),
                Some(system),
                "{name}"
            );
        }
        assert!(known_part("brake hose").is_some_and(|part| part.comes_undone));
        assert!(known_part("lower ball joint").is_some_and(|part| part.is_joint));
        assert!(known_part("ball joint gaiter").is_some_and(|part| !part.is_joint));
        assert!(known_part("drag link").is_some_and(KnownPart::only_manual));
        assert!(known_part("connecting rod").is_some_and(KnownPart::only_manual));
    }

    #[test]
    fn a_word_at_the_beginning_names_no_part() {
        for name in ["wiper motor knob thing", "story", "", "wing commander"] {
            assert_eq!(known_part(name), None, "{name}");
        }
        assert!(known_part("bonnet").is_some_and(|part| !part.only_manual() && !part.comes_undone));
    }

    #[test]
    fn the_system_is_one_of_the_journal() {
        let systems: Vec<String> = ["front suspension", "rear suspension", "brakes"]
            .map(str::to_owned)
            .to_vec();
        let front = Position::new(&[Side::Front], "");
        assert_eq!(
            usual_system("spring shackle", &front, &systems),
            Some("front suspension")
        );
        assert_eq!(
            usual_system("spring shackle", &Position::default(), &systems),
            None
        );
        assert_eq!(usual_system("brake drum", &front, &systems), Some("brakes"));
        assert_eq!(usual_system("bonnet", &front, &systems), None);
    }

    #[test]
    fn the_table_is_large_folded_and_says_nothing_twice() {
        assert!(parts().len() >= 600, "{}", parts().len());
        let mut seen = HashMap::new();
        for part in parts() {
            assert!(!part.system.is_empty());
            for name in &part.names {
                assert_eq!(fold(name), **name);
                let key = Name::new(name).key().to_owned();
                let first = *seen.entry(key).or_insert(&part.names);
                assert_eq!(*first, part.names, "{name} stands twice");
            }
        }
    }
}
