//! What a heading names: the part, and where it sits.
//!
//! Words of position stand anywhere in a heading; those that belong to the
//! part's name stay in it. Nothing is settled here that the words do not say:
//! what has two readings comes back as a remark.

mod kept_names;
mod left_in_name;
mod phrase;

use crate::vocabulary::name::{Name, singular};
use crate::vocabulary::position::{Driven, Position, Side};
use crate::vocabulary::position_words::PlaceTerm;
use crate::vocabulary::reference::{Reference, without_note};
use left_in_name::{counted, loose_word};
use phrase::{HeadingPiece, HeadingWord, WordUse, phrases};

/// A part with its places, as a heading says it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heading {
    /// The name, without words of position.
    pub name: String,
    /// The places; empty where none is said.
    pub at: Vec<Position>,
    /// What has to be said about the reading.
    pub remarks: Vec<PlaceRemark>,
}

/// What has to be said about the reading of a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlaceRemark {
    /// A word was read as another, one slip away.
    Slip {
        /// As written.
        said: String,
        /// What it was read as.
        read: &'static str,
    },
    /// A side that only the vehicle file could settle, or none can.
    Unsettled {
        /// As written.
        said: String,
    },
    /// Two readings.
    Ambiguous {
        /// As written.
        said: String,
        /// Both readings, in words.
        readings: String,
    },
    /// A word of position that was left in the name.
    LeftInName {
        /// As written.
        said: String,
    },
    /// A word in the middle of a name that was read as a place.
    Inside {
        /// As written.
        said: String,
    },
}

/// Reads a heading.
#[must_use]
pub fn read_heading(text: &str, driven: Driven) -> Heading {
    let text = text.trim();
    let mut phrases = phrases(text, driven);
    let mut remarks = Vec::new();
    let places = places(&mut phrases, &mut remarks);
    let name = name(text, &phrases);
    if name.is_empty() {
        // A name that would be nothing but a position keeps all its words.
        return Heading {
            name: text.to_owned(),
            ..Heading::default()
        };
    }
    if let Some(count) = counted(&name) {
        remarks.push(PlaceRemark::Ambiguous {
            said: count,
            readings: "so many of one place, or of several".to_owned(),
        });
    }
    let left_over = phrases
        .iter()
        .flat_map(|phrase| &phrase.words)
        .filter(|word| word.left_over);
    remarks.extend(left_over.map(|word| PlaceRemark::LeftInName {
        said: word.text.clone(),
    }));
    if let Some(word) = loose_word(&name, !places.is_empty()) {
        remarks.push(PlaceRemark::Ambiguous {
            said: word.to_owned(),
            readings: "part of the name, or of what is said about its place".to_owned(),
        });
    }
    // Each of several places has one of them.
    let name = match places.len() {
        0 | 1 => name,
        _ => singular(&name).to_owned(),
    };
    Heading {
        name,
        at: places,
        remarks,
    }
}

/// The part's name and its place, where only one can be meant: what the places
/// of a heading have in common.
#[must_use]
pub fn split_name(text: &str, driven: Driven) -> (String, Position) {
    let heading = read_heading(text, driven);
    (heading.name, in_common(&heading.at))
}

/// Reads a part named in someone else's record: "wheel cylinder, left front".
#[must_use]
pub fn read_reference(text: &str, driven: Driven) -> Reference {
    let (name, at) = split_name(without_note(text), driven);
    Reference {
        name: Name::new(&name),
        at,
        vehicle: None,
    }
}

/// The places that the value of `at:` says; free words are one place.
#[must_use]
pub fn read_places(text: &str, driven: Driven) -> (Vec<Position>, Vec<PlaceRemark>) {
    let mut phrases = phrases(text, driven);
    let is_term = |word: &HeadingWord| !matches!(word.used, WordUse::Name | WordUse::Kept);
    for phrase in &mut phrases {
        phrase.accept_weak();
    }
    if phrases
        .iter()
        .all(|phrase| phrase.words.iter().all(is_term))
    {
        let mut remarks = Vec::new();
        let places = places(&mut phrases, &mut remarks);
        if !places.is_empty() {
            return (places, remarks);
        }
    }
    (vec![Position::free(text, driven)], Vec::new())
}

fn in_common(places: &[Position]) -> Position {
    let Some((first, others)) = places.split_first() else {
        return Position::default();
    };
    if others.is_empty() {
        return first.clone();
    }
    let shared = |side: &&Side| others.iter().all(|at| at.sides().contains(side));
    let sides: Vec<Side> = first.sides().iter().filter(shared).copied().collect();
    Position::new(&sides, "")
}

/// Places that belong together: what a run of words says.
#[derive(Clone, Debug, Default)]
struct PlaceRun {
    groups: Vec<Vec<Side>>,
    joined: bool,
    both: bool,
    all_four: bool,
}

/// All places that the words of position say.
fn places(phrases: &mut [HeadingPiece], remarks: &mut Vec<PlaceRemark>) -> Vec<Position> {
    // "Left rear spring, front eye": a word that contradicts what was said
    // before, at the head of a piece of its own, belongs to that piece.
    let mut said: Vec<Side> = Vec::new();
    let mut other = Vec::new();
    let mut runs: Vec<PlaceRun> = Vec::new();
    let mut whole_before = false;
    for phrase in phrases.iter_mut() {
        if phrase.is_own_piece && contradicts(&said, &phrase.sides()) && phrase.has_name() {
            phrase.give_back();
        }
        let whole = !phrase.has_name();
        let mut run = runs.pop_if(|_| whole && whole_before).unwrap_or_default();
        let mut fresh = true;
        for word in &phrase.words {
            let WordUse::Place(term) = &word.used else {
                if !fresh && word.used != WordUse::Filler && run.says_something() {
                    runs.push(std::mem::take(&mut run));
                    fresh = true;
                }
                continue;
            };
            fresh = false;
            if let Some(read) = word.slip {
                remarks.push(PlaceRemark::Slip {
                    said: word.text.clone(),
                    read,
                });
            }
            if word.inside {
                remarks.push(PlaceRemark::Inside {
                    said: word.text.clone(),
                });
            }
            match term {
                PlaceTerm::Sides(sides) => {
                    run.add(sides);
                    add_new(&mut said, sides);
                }
                PlaceTerm::Unsettled => {
                    remarks.push(PlaceRemark::Unsettled {
                        said: word.text.clone(),
                    });
                    other.push(word.text.clone());
                }
                PlaceTerm::Ambiguous(readings) => {
                    remarks.push(PlaceRemark::Ambiguous {
                        said: word.text.clone(),
                        readings: (*readings).to_owned(),
                    });
                    other.push(word.text.clone());
                }
                PlaceTerm::Both => run.both = true,
                PlaceTerm::AllFour => run.all_four = true,
                PlaceTerm::And => run.joined = true,
                PlaceTerm::Or => {
                    remarks.push(PlaceRemark::Ambiguous {
                        said: word.text.clone(),
                        readings: "the one, or the other".to_owned(),
                    });
                }
            }
        }
        if run.says_something() {
            runs.push(run);
        }
        whole_before = whole;
    }
    let sides = united(&runs, phrases, remarks);
    let other = other.join(" ");
    let mut places: Vec<Position> = sides
        .into_iter()
        .map(|sides| Position::new(&sides, &other))
        .filter(|place| !place.is_empty())
        .collect();
    places.dedup();
    places
}

impl PlaceRun {
    fn says_something(&self) -> bool {
        self.both || self.all_four || !self.groups.is_empty()
    }

    /// Adds the sides of a word to the place under way, or begins another one.
    fn add(&mut self, sides: &[Side]) {
        let corner = |sides: &[Side]| sides.len() > 1;
        let Some(last) = self.groups.last_mut() else {
            self.joined = false;
            return self.groups.push(sides.to_vec());
        };
        if self.joined || (contradicts(last, sides) && corner(sides) && corner(last)) {
            self.joined = false;
            self.groups.push(sides.to_vec());
        } else if contradicts(last, sides) && corner(sides) && lateral(last) {
            // "LH RR": the second initial alone adds something.
            let ends = sides.iter().filter(|side| !is_lateral(**side));
            add_new(last, ends);
        } else {
            // "Left and right rear": what follows the last place holds for it.
            add_new(last, sides);
        }
    }
}

/// Adds the sides that are not there yet: there are only a few, however often a
/// heading says them.
fn add_new<'s>(to: &mut Vec<Side>, sides: impl IntoIterator<Item = &'s Side>) {
    for side in sides {
        if !to.contains(side) {
            to.push(*side);
        }
    }
}

fn is_lateral(side: Side) -> bool {
    matches!(side, Side::Left | Side::Right)
}

fn lateral(sides: &[Side]) -> bool {
    sides.iter().copied().any(is_lateral)
}

fn contradicts(one: &[Side], other: &[Side]) -> bool {
    one.iter()
        .filter_map(|side| side.opposite())
        .any(|opposite| other.contains(&opposite))
}

/// The places of all runs taken together.
fn united(
    runs: &[PlaceRun],
    phrases: &[HeadingPiece],
    remarks: &mut Vec<PlaceRemark>,
) -> Vec<Vec<Side>> {
    let several: Vec<&PlaceRun> = runs.iter().filter(|run| run.groups.len() > 1).collect();
    let mut common: Vec<Side> = Vec::new();
    for run in runs.iter().filter(|run| run.groups.len() == 1) {
        add_new(&mut common, &run.groups[0]);
    }
    let own = contradicts(&common, &common);
    if own && runs.len() > 1 {
        // Front of the rear one: whose word is whose, nobody can know.
        remarks.push(PlaceRemark::Ambiguous {
            said: words_of(phrases),
            readings: readings(&common),
        });
        let clear = |side: &Side| side.opposite().is_none_or(|other| !common.contains(&other));
        return vec![common.iter().copied().filter(clear).collect()];
    }
    let both = runs.iter().any(|run| run.both);
    let all_four = runs.iter().any(|run| run.all_four);
    let multiply = |pairs: &[&[Side]]| -> Vec<Vec<Side>> {
        pairs.iter().map(|more| [*more, &common].concat()).collect()
    };
    if all_four {
        use Side::{Front, Left, Rear, Right};
        return multiply(&[
            &[Left, Front],
            &[Right, Front],
            &[Left, Rear],
            &[Right, Rear],
        ]);
    }
    let [] = several.as_slice() else {
        let [run] = several.as_slice() else {
            remarks.push(PlaceRemark::Ambiguous {
                said: words_of(phrases),
                readings: "which of them go together".to_owned(),
            });
            return vec![common];
        };
        return shared_out(&run.groups, &common);
    };
    if both && lateral(&common) {
        remarks.push(PlaceRemark::Ambiguous {
            said: words_of(phrases),
            readings: "both ends of that side, or two at one place".to_owned(),
        });
        return vec![common];
    }
    match both {
        true => multiply(&[&[Side::Left], &[Side::Right]]),
        false => vec![common],
    }
}

/// "Left and right front": what one place says and another leaves open holds
/// for both, and what stands apart from them for all.
fn shared_out(groups: &[Vec<Side>], common: &[Side]) -> Vec<Vec<Side>> {
    let all: Vec<Side> = groups.iter().flatten().copied().collect();
    let undisputed: Vec<Side> = all
        .iter()
        .copied()
        .filter(|side| side.opposite().is_none_or(|other| !all.contains(&other)))
        .collect();
    groups
        .iter()
        .map(|group| [group.as_slice(), &undisputed, common].concat())
        .collect()
}

fn words_of(phrases: &[HeadingPiece]) -> String {
    let places = phrases
        .iter()
        .flat_map(|phrase| &phrase.words)
        .filter(|word| matches!(word.used, WordUse::Place(_)));
    places
        .map(|word| word.text.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

/// "front, or rear".
fn readings(sides: &[Side]) -> String {
    let disputed = sides
        .iter()
        .filter(|side| side.opposite().is_some_and(|other| sides.contains(&other)));
    let mut words: Vec<&str> = disputed.map(|side| side.word()).collect();
    words.dedup();
    words.join(", or ")
}

/// The words that are left, as they were written.
fn name(text: &str, phrases: &[HeadingPiece]) -> String {
    let is_place = |word: &HeadingWord| !matches!(word.used, WordUse::Name | WordUse::Kept);
    if !phrases
        .iter()
        .flat_map(|phrase| &phrase.words)
        .any(is_place)
    {
        return text.to_owned();
    }
    let mut name = String::new();
    for phrase in phrases {
        let words: Vec<&str> = phrase
            .words
            .iter()
            .filter(|word| matches!(word.used, WordUse::Name | WordUse::Kept))
            .map(|word| word.text.as_str())
            .collect();
        if words.is_empty() {
            continue;
        }
        if !name.is_empty() {
            name.push_str(match phrase.begins_with_place {
                true => " ",
                false => &phrase.before,
            });
        }
        name.push_str(&words.join(" "));
        if phrase.before.ends_with('(') {
            name.push(')');
        }
    }
    name.trim_matches([' ', ',', '-', '–', '—', ':', '?'])
        .to_owned()
}

#[cfg(test)]
mod tests;
