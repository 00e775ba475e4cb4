//! The names of parts as they are found in a stream of words: those of the journal
//! first, then the handbook's, then heads that any word may go before.
//!
//! What is said of them, and which words around a name belong to it, is in `mentions`.

use std::collections::{HashMap, HashSet};

use crate::handbook::parts::parts;
use crate::vocabulary::name::singular;
use crate::vocabulary::words::fold;

/// What kind of thing a name names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    /// A part that the journal or the handbook knows.
    Part,
    /// A thing named by its last word only.
    Head,
    /// Hardware that is told of as a part.
    Pin,
    /// Hardware that is counted.
    Fastener,
}

/// A name that is known.
#[derive(Clone, Copy, Debug)]
pub struct KnownThing {
    /// What it names.
    pub thing: Thing,
    /// Whether it is undone and stays more often than it comes off.
    pub comes_undone: bool,
    /// The system it usually belongs to; empty if it has none.
    pub system: &'static str,
    /// Whether the journal has a part of this name.
    pub in_journal: bool,
}

/// All names, ready to be found.
#[derive(Debug)]
pub struct Lexicon {
    names: HashMap<String, KnownThing>,
    /// Single words that names are made of.
    pieces: HashSet<String>,
    /// Each piece of five letters and more with one letter left out.
    slips: HashMap<String, Vec<String>>,
    /// Words that are heard for a piece.
    heard: HashMap<&'static str, &'static str>,
    /// Single words that are no part by themselves.
    other: HashSet<&'static str>,
}

/// The longest name, in words.
const MOST_WORDS: usize = 4;

/// Words that end the name of a fastener.
const FASTENER_HEADS: [&str; 9] = [
    "nut", "bolt", "screw", "stud", "clip", "washer", "rivet", "nipple", "clamp",
];

impl Lexicon {
    /// The handbook's names and those of a journal.
    #[must_use]
    pub fn new(of_journal: &[String]) -> Lexicon {
        let mut lexicon = Lexicon {
            names: HashMap::new(),
            pieces: HashSet::new(),
            slips: HashMap::new(),
            heard: HashMap::new(),
            other: HashSet::new(),
        };
        for name in of_journal {
            let known = crate::handbook::parts::known_part(name);
            lexicon.add(
                name,
                KnownThing {
                    thing: thing_of(name, Thing::Part),
                    comes_undone: known.is_some_and(|part| part.comes_undone),
                    system: known.map_or("", |part| part.system),
                    in_journal: true,
                },
            );
        }
        for part in parts() {
            for name in &part.names {
                let known = KnownThing {
                    thing: thing_of(name, Thing::Part),
                    comes_undone: part.comes_undone,
                    system: part.system,
                    in_journal: false,
                };
                lexicon.add(name, known);
            }
        }
        lexicon.add_spoken(include_str!("names.txt"));
        for line in include_str!("mishearings.txt").lines() {
            if let Some((heard, meant)) = line.split_once(" = ")
                && !line.starts_with('/')
            {
                lexicon.heard.insert(heard, meant);
            }
        }
        for piece in lexicon.pieces.iter().filter(|piece| piece.len() >= 5) {
            for short in one_left_out(piece) {
                lexicon.slips.entry(short).or_default().push(piece.clone());
            }
        }
        lexicon
    }

    fn add_spoken(&mut self, text: &'static str) {
        let mut kind = "";
        for line in text.lines() {
            if line.is_empty() || line.starts_with('/') {
                continue;
            }
            if let Some(name) = line.strip_prefix('[') {
                kind = name.trim_end_matches(']');
                continue;
            }
            let (names, mark) = line.split_once(" (").unwrap_or((line, ""));
            for name in names.split(" = ") {
                let thing = match kind {
                    "head" => Thing::Head,
                    "pin" => Thing::Pin,
                    "fastener" => Thing::Fastener,
                    _ => {
                        self.other.insert(name);
                        continue;
                    }
                };
                let known = KnownThing {
                    thing,
                    comes_undone: mark == "undone)",
                    system: "",
                    in_journal: false,
                };
                if thing == Thing::Head
                    && let Some(known) = self.names.get_mut(&key_of(name))
                {
                    // "cylinder" by itself is of no system.
                    known.system = "";
                }
                if thing == Thing::Pin || thing == Thing::Fastener {
                    // What the handbook has as a part is hardware all the same.
                    if let Some(known) = self.names.get_mut(&key_of(name)) {
                        known.thing = thing;
                    }
                }
                self.add(name, known);
            }
        }
    }

    fn add(&mut self, name: &str, known: KnownThing) {
        let key = key_of(name);
        let count = key.split(' ').count();
        if key.is_empty() || count > MOST_WORDS {
            return;
        }
        for piece in key.split(' ') {
            self.pieces.insert(piece.to_owned());
        }
        // "kick starter", "kickstarter"
        if count == 2 {
            self.names.entry(key.replace(' ', "")).or_insert(known);
        }
        self.names.entry(key).or_insert(known);
    }

    /// The longest name that these words begin with: how many words it has, the words
    /// as they were meant, and what it names.
    #[must_use]
    pub fn longest(&self, words: &[&str]) -> Option<(usize, String, KnownThing)> {
        let first = words.first()?;
        let pieces: Vec<String> = words
            .iter()
            .take(MOST_WORDS)
            .map(|word| one_of(word).to_owned())
            .collect();
        let exact = |count: usize| {
            let known = self.names.get(&pieces[..count].join(" "))?;
            Some((count, words[..count].join(" "), *known))
        };
        let joined = || {
            let [one, other, ..] = &pieces[..] else {
                return None;
            };
            let known = self.names.get(&format!("{one}{other}"))?;
            Some((2, words[..2].join(" "), *known))
        };
        if let Some(found) = (2..=pieces.len()).rev().find_map(exact).or_else(joined) {
            return Some(found);
        }
        // One word of several misheard or with a slip.
        for count in (2..=pieces.len()).rev() {
            for at in 0..count {
                for meant in self.meant(&pieces[at]) {
                    let mut changed = pieces[..count].to_vec();
                    changed[at] = meant;
                    let key = changed.join(" ");
                    if let Some(known) = self.names.get(&key) {
                        return Some((count, key, *known));
                    }
                }
            }
        }
        if let Some(found) = exact(1) {
            return Some(found);
        }
        // One long word by itself, where no other word is likelier.
        let alone = self.meant_alone(first, &pieces[0])?;
        let known = self.names.get(&alone)?;
        Some((1, alone, *known))
    }

    /// What a word may have been, by mishearing or by one slip.
    fn meant(&self, piece: &str) -> Vec<String> {
        let mut meant: Vec<String> = Vec::new();
        if let Some(heard) = self.heard.get(piece) {
            meant.push((*heard).to_owned());
        }
        if !self.pieces.contains(piece) {
            meant.extend(self.slipped(piece));
        }
        meant
    }

    fn meant_alone(&self, said: &str, piece: &str) -> Option<String> {
        const SURE: [&str; 14] = [
            "carp", "carps", "calibre", "caliber", "rota", "leaver", "petal", "peddle", "axel",
            "casket", "barings", "gator", "hob", "hoes",
        ];
        if SURE.contains(&said) {
            return self.heard.get(said).map(|meant| (*meant).to_owned());
        }
        if piece.len() < 7 || self.pieces.contains(piece) {
            return None;
        }
        let mut found = self.slipped(piece);
        found.retain(|word| word.len() >= 7);
        match &found[..] {
            [only] => Some(only.clone()),
            _ => None,
        }
    }

    /// Pieces one letter away that begin alike.
    fn slipped(&self, piece: &str) -> Vec<String> {
        if piece.len() < 5 || ends_like_a_verb(piece) {
            return Vec::new();
        }
        let mut found: Vec<String> = Vec::new();
        let first = piece.chars().next();
        let mut take = |word: &String| {
            if word.chars().next() == first && !found.contains(word) && word != piece {
                found.push(word.clone());
            }
        };
        if let Some(words) = self.slips.get(piece) {
            words.iter().for_each(&mut take);
        }
        for short in one_left_out(piece) {
            if let Some(word) = self.pieces.get(&short).filter(|word| word.len() >= 5) {
                take(word);
            }
            for word in self.slips.get(&short).into_iter().flatten() {
                if crate::vocabulary::words::one_slip(word, piece) {
                    take(word);
                }
            }
        }
        found
    }

    /// Whether names are made with this word.
    #[must_use]
    pub fn is_piece(&self, word: &str) -> bool {
        self.pieces.contains(singular(word))
    }

    /// Whether a single word means something else more often than a part.
    #[must_use]
    pub fn is_other(&self, word: &str) -> bool {
        self.other.contains(singular(word)) || self.other.contains(word)
    }
}

fn thing_of(name: &str, otherwise: Thing) -> Thing {
    let key = key_of(name);
    let last = key.rsplit(' ').next().unwrap_or_default();
    match FASTENER_HEADS.contains(&last) && !key.contains("bleed") {
        true => Thing::Fastener,
        false => otherwise,
    }
}

fn key_of(name: &str) -> String {
    let folded = fold(name).replace(['-', '/', '\'', ','], " ");
    let words: Vec<&str> = folded.split_whitespace().map(one_of).collect();
    words.join(" ")
}

/// A word for one piece; a lens is one.
fn one_of(word: &str) -> &str {
    match word {
        "lens" => word,
        _ => singular(word),
    }
}

fn one_left_out(word: &str) -> Vec<String> {
    word.char_indices()
        .map(|(at, c)| format!("{}{}", &word[..at], &word[at + c.len_utf8()..]))
        .collect()
}

/// A verb is no slip of a noun: "rubbed", "bolting".
fn ends_like_a_verb(word: &str) -> bool {
    word.ends_with("ed") || word.ends_with("ing") || word.ends_with("ly")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_name_is_found_with_one_slip_or_a_mishearing() {
        let lexicon = Lexicon::new(&["Loaf hatch".to_owned()]);
        for (text, expected) in [
            ("wheel cylinder is out", Some((2, "wheel cylinder"))),
            ("wheel cylinders", Some((2, "wheel cylinders"))),
            ("loaf hatch off", Some((2, "loaf hatch"))),
            ("starter plate", Some((2, "stator plate"))),
            ("break drum", Some((2, "brake drum"))),
            ("radiater off", Some((1, "radiator"))),
            ("carp upside", Some((1, "carb"))),
            ("lid of it", Some((1, "lid"))),
            ("story of it", None),
            ("showed me", None),
        ] {
            let words: Vec<&str> = text.split(' ').collect();
            let found = lexicon.longest(&words);
            let found = found
                .as_ref()
                .map(|(count, name, _)| (*count, name.as_str()));
            assert_eq!(found, expected, "{text}");
        }
    }

    #[test]
    fn hardware_is_no_part() {
        let lexicon = Lexicon::new(&[]);
        for (name, thing) in [
            ("wheel nut", Thing::Fastener),
            ("split pin", Thing::Fastener),
            ("circlip", Thing::Pin),
            ("kingpin", Thing::Part),
            ("lid", Thing::Head),
        ] {
            let words: Vec<&str> = name.split(' ').collect();
            let found = lexicon.longest(&words).map(|(_, _, known)| known.thing);
            assert_eq!(found, Some(thing), "{name}");
        }
    }
}
