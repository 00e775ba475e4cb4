//! An episode's file: front matter and text.
//!
//! What has been told is a list of records in it, one a line, so that a person
//! can strike one out. What the next episode says is not decided here.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::front;
use crate::entry::{Context, Entry, Fact, images, private_bytes, without_private};
use crate::problem::{Problem, Spot};
use crate::vocabulary::day::read_date;
use crate::vocabulary::record_name::{RecordName, SESSION};
use crate::vocabulary::words::{fold, words};

/// How far an episode has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Written, not recorded.
    Draft,
    /// Filmed, or said into a microphone.
    Recorded,
    /// Out.
    Published,
}

impl State {
    /// All of them, in their order.
    pub const ALL: [State; 3] = [State::Draft, State::Recorded, State::Published];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            State::Draft => "draft",
            State::Recorded => "recorded",
            State::Published => "published",
        }
    }
}

/// One told instalment, or one about to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Episode {
    /// Its file, inside the journal.
    pub path: String,
    /// Which one it is.
    pub number: Option<u32>,
    /// What it is called.
    pub title: Option<String>,
    /// The vehicle, as written.
    pub vehicle: Option<String>,
    /// The first day it tells of.
    pub from: Option<Date>,
    /// The last day it tells of.
    pub to: Option<Date>,
    /// How far it has come.
    pub state: State,
    /// The day it came out.
    pub published: Option<Date>,
    /// Where it can be seen.
    pub link: Option<String>,
    /// The records it tells.
    pub told: Vec<RecordName>,
    /// Its text, as it was edited.
    pub text: String,
}

/// Words of an episode that are private in the journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldPrivate {
    /// The line of the episode.
    pub line: u32,
    /// The first words.
    pub words: String,
}

impl Episode {
    /// Reads `episodes/NN-slug.md`.
    #[must_use]
    pub fn read(path: &str, text: &str) -> (Episode, Vec<Problem>) {
        let (fields, mut problems) = front::read(path, text);
        let said = |key: &str| fields.get(key).filter(|value| !value.trim().is_empty());
        let mut wrong = |key: &str, message: String, hint: &str| {
            problems.push(Problem::warning(front::spot(path, text, key), message).hint(hint));
        };
        let mut day = |key: &str| {
            let text = said(key)?;
            let day = read_date(&text);
            if day.is_none() {
                wrong(key, format!("`{text}` is no day"), "write it as 2026-03-14");
            }
            day
        };
        let (from, to, published) = (day("from"), day("to"), day("published"));
        let number = said("number").and_then(|number| {
            let read = number.trim().parse().ok();
            if read.is_none() {
                wrong(
                    "number",
                    format!("`{number}` is no number of an episode"),
                    "write a whole number: `number: 7`",
                );
            }
            read
        });
        let state = match said("state") {
            None => State::Draft,
            Some(word) => State::ALL
                .into_iter()
                .find(|state| state.word() == fold(&word))
                .unwrap_or_else(|| {
                    wrong(
                        "state",
                        format!("`{word}` is no state of an episode; it was taken for a draft"),
                        "write `draft`, `recorded` or `published`",
                    );
                    State::Draft
                }),
        };
        let mut told = Vec::new();
        for record in fields.list("told") {
            match RecordName::read(&record) {
                Some(name) => told.push(name),
                None => wrong(
                    "told",
                    format!("`{record}` names no entry"),
                    "write the entry's path and the part: `entries/2026/2026-03-14-tank.md, fuel tank`",
                ),
            }
        }
        let episode = Episode {
            path: path.to_owned(),
            number,
            title: said("title"),
            vehicle: said("vehicle"),
            from,
            to,
            state,
            published,
            link: said("link"),
            told,
            text: text.to_owned(),
        };
        (episode, problems)
    }
}

impl Episode {
    /// Whether it tells this record of `vehicle`, which stands in `entry`. A
    /// name that two vehicles have there means that of the episode's own.
    #[must_use]
    pub fn tells(
        &self,
        record: &RecordName,
        vehicle: &str,
        entry: &Entry,
        context: &Context,
    ) -> bool {
        let own = self.vehicle.as_deref();
        let own = own.and_then(|own| context.vehicle(own));
        let is_of_another = |told: &RecordName| {
            own.is_some_and(|own| own.slug != vehicle && names(entry, &own.slug, told))
        };
        self.told
            .iter()
            .any(|told| told.means(record) && !(told.part.is_some() && is_of_another(told)))
    }
}

/// Words in a row that two texts must share before it counts as no accident.
const IN_A_ROW: usize = 5;

/// Fewer words than this say nothing by themselves.
const LEAST: usize = 3;

impl Episode {
    /// Where the episode holds words that these entries mark as private: five in a row,
    /// or all of a shorter paragraph, that stand nowhere in what is not private; or a
    /// picture that nothing else names.
    #[must_use]
    pub fn holds_private(&self, entries: &[Entry], context: &Context) -> Vec<HeldPrivate> {
        held(&self.text, &PrivateContent::of(entries, context))
    }
}

/// What is private and nothing else.
#[derive(Default)]
struct PrivateContent {
    rows: BTreeSet<Vec<String>>,
    pictures: BTreeSet<String>,
}

impl PrivateContent {
    fn of(entries: &[Entry], context: &Context) -> PrivateContent {
        let Some(open) = without_private(entries, context) else {
            return PrivateContent::default();
        };
        let open = photos(&open);
        let pictures = photos(entries)
            .into_iter()
            .filter(|path| !open.contains(path));
        PrivateContent {
            rows: private_rows(entries),
            pictures: pictures.map(str::to_owned).collect(),
        }
    }
}

/// The pictures that entries name.
fn photos(entries: &[Entry]) -> BTreeSet<&str> {
    let records = entries.iter().flat_map(|entry| &entry.records);
    let facts = records.flat_map(|record| &record.facts);
    let facts = facts.chain(entries.iter().flat_map(|entry| &entry.facts));
    let named = facts.filter_map(|stated| {
        let Fact::Photo(picture) = &stated.fact else {
            return None;
        };
        Some(picture.path.as_str())
    });
    named.collect()
}

/// The rows of words that are private and nothing else.
fn private_rows(entries: &[Entry]) -> BTreeSet<Vec<String>> {
    let mut private: BTreeSet<Vec<String>> = BTreeSet::new();
    let mut public: Vec<String> = Vec::new();
    for entry in entries {
        let hidden = private_bytes(entry);
        if hidden.is_empty() {
            continue;
        }
        let mut open = entry.text.clone();
        for range in hidden.into_iter().rev() {
            let text = entry.text.get(range.clone()).unwrap_or_default();
            private.extend(rows(text));
            let blanks: String = text.bytes().map(|_| ' ').collect();
            if open.get(range.clone()).is_some() {
                open.replace_range(range, &blanks);
            }
        }
        public.push(open);
    }
    if private.is_empty() {
        return private;
    }
    let others = entries
        .iter()
        .filter(|entry| private_bytes(entry).is_empty());
    let others = others.map(|entry| entry.text.as_str());
    for text in public.iter().map(String::as_str).chain(others) {
        for row in rows(text) {
            private.remove(&row);
        }
    }
    private
}

/// Each five words in a row of a text; of a shorter paragraph, all of it.
fn rows(text: &str) -> Vec<Vec<String>> {
    let paragraphs = text.split("\n\n").map(|one| words(one).collect::<Vec<_>>());
    let rows = paragraphs.flat_map(|words| {
        let length = words.len().min(IN_A_ROW);
        match length < LEAST {
            true => Vec::new(),
            false => words.windows(length).map(<[String]>::to_vec).collect(),
        }
    });
    rows.collect()
}

fn held(text: &str, private: &PrivateContent) -> Vec<HeldPrivate> {
    let mut found = held_words(text, &private.rows);
    if !private.pictures.is_empty() {
        let images = images(text).into_iter();
        let own = images.filter(|(picture, _)| private.pictures.contains(&picture.path));
        found.extend(own.map(|(picture, bytes)| {
            let above = text.get(..bytes.start).unwrap_or_default();
            HeldPrivate {
                line: u32::try_from(above.matches('\n').count() + 1).unwrap_or(u32::MAX),
                words: format!("the picture {}", picture.path),
            }
        }));
    }
    found
}

fn held_words(text: &str, private: &BTreeSet<Vec<String>>) -> Vec<HeldPrivate> {
    if private.is_empty() {
        return Vec::new();
    }
    let lines = text.lines().zip(1_u32..);
    let all: Vec<(u32, String)> = lines
        .flat_map(|(line, number)| words(line).map(move |word| (number, word)))
        .collect();
    let mut found: Vec<HeldPrivate> = Vec::new();
    let mut after = 0;
    for at in 0..all.len() {
        let lengths = (LEAST..=IN_A_ROW)
            .rev()
            .filter(|length| at + length <= all.len());
        let row = |length: usize| -> Vec<String> {
            all[at..at + length]
                .iter()
                .map(|(_, word)| word.clone())
                .collect()
        };
        let Some(row) = lengths.map(row).find(|row| private.contains(row)) else {
            continue;
        };
        // One passage is one problem.
        if at >= after {
            found.push(HeldPrivate {
                line: all[at].0,
                words: row.join(" "),
            });
        }
        after = at + row.len() + 1;
    }
    found
}

/// What is wrong between episodes and entries: two with one number, records
/// that are not there.
#[must_use]
pub fn against(episodes: &[Episode], entries: &[Entry], context: &Context) -> Vec<Problem> {
    let mut problems = Vec::new();
    let private = if episodes.is_empty() {
        PrivateContent::default()
    } else {
        PrivateContent::of(entries, context)
    };
    let whole = |path: &str| Spot {
        file: path.to_owned(),
        ..Spot::default()
    };
    for (index, episode) in episodes.iter().enumerate() {
        let number = episode.number;
        let twin = episodes[..index]
            .iter()
            .find(|other| number.is_some() && other.number == number);
        if let (Some(twin), Some(number)) = (twin, number) {
            problems.push(
                Problem::warning(
                    whole(&episode.path),
                    format!("{} is episode {number} as well", twin.path),
                )
                .hint("give one of them another `number:`"),
            );
        }
        for held in held(&episode.text, &private) {
            let spot = Spot {
                line: held.line,
                column: 1,
                width: 1,
                ..whole(&episode.path)
            };
            problems.push(
                Problem::warning(
                    spot,
                    format!("this is private in the journal: {}", held.words),
                )
                .hint("take it out of the episode, or the mark out of the entry"),
            );
        }
        for name in &episode.told {
            let entry = entries.iter().find(|entry| entry.path == name.entry);
            let is_there = entry.is_some_and(|entry| has(entry, name));
            if !is_there {
                problems.push(
                    Problem::note(
                        whole(&episode.path),
                        format!("it tells `{}`, which no entry has", name.written()),
                    )
                    .hint("was the entry or the heading renamed? Mend the line under `told:`"),
                );
            }
        }
    }
    problems
}

fn has(entry: &Entry, name: &RecordName) -> bool {
    let session = RecordName {
        entry: entry.path.clone(),
        part: Some(SESSION.to_owned()),
        record: None,
    };
    let mut vehicles = entry.records.iter().map(|record| record.vehicle.as_deref());
    name.means(&session) || vehicles.any(|vehicle| names(entry, vehicle.unwrap_or_default(), name))
}

/// Whether a record of this vehicle in an entry is called so.
fn names(entry: &Entry, vehicle: &str, name: &RecordName) -> bool {
    let whole = RecordName {
        record: None,
        ..name.clone()
    };
    let own = entry.records.iter().filter(|record| {
        let label = RecordName {
            entry: entry.path.clone(),
            part: Some(record.label()),
            record: None,
        };
        record.vehicle.as_deref().unwrap_or_default() == vehicle && whole.means(&label)
    });
    let least = name.record.unwrap_or(1).max(1);
    u32::try_from(own.count()).is_ok_and(|count| count >= least)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Vehicle, read_file};
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;

    const TEXT: &str = "---\nnumber: 7\ntitle: The front end\nstate: Recorded\nfrom: 2026-03-14\nto: someday\ntold:\n  - entries/a.md, fuel tank\n  - 'entries/a.md, stub axle, left front and right front'\n  - entries/b.md\n  - the tank\n---\n\n# The front end\n";

    #[test]
    fn an_episode_says_what_it_tells() {
        let (episode, problems) = Episode::read("episodes/07-front-end.md", TEXT);
        assert_eq!((episode.number, episode.state), (Some(7), State::Recorded));
        let told: Vec<String> = episode.told.iter().map(RecordName::written).collect();
        assert_eq!(
            told,
            [
                "entries/a.md, fuel tank",
                "entries/a.md, stub axle, left front and right front",
                "entries/b.md"
            ]
        );
        let said: Vec<(u32, &str)> = problems
            .iter()
            .map(|problem| (problem.spot.line, problem.message.as_str()))
            .collect();
        assert_eq!(
            said,
            [(6, "`someday` is no day"), (7, "`the tank` names no entry")]
        );
    }

    #[test]
    fn what_it_tells_must_be_there() {
        let (episode, _) = Episode::read("episodes/07-front-end.md", TEXT);
        let text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A\n\n## Fuel tank\n\n- status: removed\n";
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        let (entry, _) = read_file("entries/a.md", text, &context);
        let twin = Episode {
            path: "episodes/07-b.md".into(),
            told: Vec::new(),
            ..episode.clone()
        };
        let said: Vec<String> = against(&[episode, twin], &[entry], &context)
            .into_iter()
            .map(|problem| problem.message)
            .collect();
        assert_eq!(said.len(), 3, "{said:?}");
        assert!(said[0].contains("stub axle") && said[1].contains("entries/b.md"));
        assert!(said[2].contains("episodes/07-front-end.md is episode 7"));
    }

    #[test]
    fn a_name_that_two_vehicles_have_means_that_of_the_episode() {
        let vehicle = |slug: &str| Vehicle {
            slug: slug.into(),
            name: slug.to_uppercase(),
            driven: Driven::Unsaid,
        };
        let context = Context {
            systems: Vec::new(),
            vehicles: vec![vehicle("wren"), vehicle("pavetta")],
            currency: Currency::EUR,
        };
        let text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A\n\n## Horn\n\n- status: removed\n\n## Horn\n\n- vehicle: pavetta\n- status: removed\n\n## Coil\n\n- vehicle: pavetta\n- status: removed\n";
        let (entry, _) = read_file("entries/a.md", text, &context);
        let front = "---\nnumber: 1\nvehicle: WREN\ntold:\n  - entries/a.md, horn\n  - entries/a.md, coil\n---\n";
        let (episode, _) = Episode::read("episodes/01-a.md", front);
        let tells = |part: &str, vehicle: &str| {
            let name = RecordName::read(&format!("entries/a.md, {part}")).expect("a name");
            episode.tells(&name, vehicle, &entry, &context)
        };
        assert!(tells("Horn", "wren") && !tells("Horn", "pavetta"));
        // The van has no coil there: the scooter's is meant.
        assert!(tells("Coil", "pavetta"));
    }
}
