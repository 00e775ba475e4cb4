//! Learns how much each word speaks for a part coming off now, from the talks in
//! `tests/data/talks.csv` and what happened in them.

use std::collections::{BTreeMap, BTreeSet};

use matchmark::import::narration::cues::Cue;
use matchmark::import::narration::hear::weighed;

use crate::learned_weights::{Features, rows_of};

const HEADER: &str = "\
//! How much each word and each pair of words of a clause speaks for a part coming off, or
//! being undone, now, and after `=` what is known of the part, learned from
//! tests/data/talks.csv by tests/suite/talk_weights.rs, which writes this file. The weights
//! are in hundredths; first what every line begins with.
";

/// How far a line may be from what it tells, in milliseconds.
const NEAR: u32 = 30_000;

/// The same for what did not happen.
const AT_ONCE: u32 = 10_000;

/// How often a line counts that tells of what did not happen.
const TEMPTED: usize = 4;

/// Most weights are small where a penalty is on them.
const LEAST_HERE: f64 = 5.0;

/// Chosen with writers left out in turn.
const PENALTY: f64 = 10.0;

/// A talk: what was said, what came off or was undone, and what did not happen.
#[derive(Default)]
struct Talk {
    cues: Vec<Cue>,
    off: Vec<(u32, String)>,
    not: Vec<(u32, String)>,
}

fn talks() -> Vec<Talk> {
    let mut talks: BTreeMap<u32, Talk> = BTreeMap::new();
    for row in rows_of("talks.csv") {
        let number = row[0].parse().expect("the number of a talk");
        let talk = talks.entry(number).or_default();
        let at: u32 = row[2].parse().expect("a time");
        match &row[3] {
            "said" => talk.cues.push(Cue {
                start: at,
                end: at,
                text: row[6].to_owned(),
            }),
            "removed" | "undone" => talk.off.push((at, row[4].to_owned())),
            "not" => talk.not.push((at, row[4].to_owned())),
            _ => {}
        }
    }
    talks.into_values().collect()
}

/// What is seen of each line of a talk, and whether it is right: the nearest line of the
/// same kind of thing to each part that came off is, and the others near it are let be. What
/// did not happen counts several times.
fn labelled(talk: &Talk) -> Vec<(BTreeSet<String>, bool)> {
    let lines = weighed(&talk.cues);
    let mut pairs: Vec<(u32, usize, usize)> = Vec::new();
    for (event, (at, part)) in talk.off.iter().enumerate() {
        for (line, (start, name, _)) in lines.iter().enumerate() {
            let apart = at.abs_diff(*start);
            if apart <= NEAR && is_same_thing(part, name) {
                pairs.push((apart, event, line));
            }
        }
    }
    pairs.sort_unstable();
    let (mut events, mut right, mut near) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    for (_, event, line) in pairs {
        near.insert(line);
        if !events.contains(&event) && !right.contains(&line) {
            events.insert(event);
            right.insert(line);
        }
    }
    let mut samples = Vec::new();
    for (line, (start, name, seen)) in lines.into_iter().enumerate() {
        let is_right = right.contains(&line);
        if !is_right && near.contains(&line) {
            continue;
        }
        let is_tempting = talk
            .not
            .iter()
            .any(|(at, part)| at.abs_diff(start) <= AT_ONCE && is_same_thing(part, &name));
        let times = if is_tempting && !is_right { TEMPTED } else { 1 };
        samples.extend(std::iter::repeat_n((seen, is_right), times));
    }
    samples
}

/// Whether two names end in the same word, of however many.
fn is_same_thing(one: &str, other: &str) -> bool {
    let last = |name: &str| {
        let last = name.to_lowercase();
        let last = last.rsplit(' ').next().unwrap_or_default();
        last.trim_end_matches('s').to_owned()
    };
    last(one) == last(other)
}

#[test]
#[ignore = "writes src/import/narration/weights.txt"]
fn the_weights_of_what_is_said_are_learned() {
    let rows: Vec<(BTreeSet<String>, bool)> = talks().iter().flat_map(labelled).collect();
    let all = rows.iter().map(|(seen, _)| seen);
    let features = Features::of(3, all.map(|seen| seen.iter().map(String::as_str).collect()));
    let numbers = rows
        .iter()
        .map(|(seen, happens)| ([features.numbers(seen)], *happens));
    let numbers: Vec<([Vec<usize>; 1], bool)> = numbers.collect();
    let samples = numbers.iter().map(|(seen, happens)| (&seen[..], *happens));
    let samples: Vec<(&[Vec<usize>], bool)> = samples.collect();
    let weights = features.learned(&samples, PENALTY);
    features.write(
        "src/import/narration/weights.txt",
        HEADER,
        &[(0, weights)],
        LEAST_HERE,
    );
}
