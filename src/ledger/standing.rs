//! Where a part stands after a record that gives it no status.
//!
//! What a status does is in `fold`; that a silent piece stands where its assembly
//! does is decided in `fitting`.

use super::event::PlaceRecord;
use super::state::PlaceState;
use crate::entry::{Fact, Key, Stated};
use crate::problem::Problem;
use crate::vocabulary::status::Status;

impl PlaceState {
    /// Takes a part that was never placed as removed where the record gives it a bag
    /// or a shelf, and asks where it does not fit what was said before. Comes after
    /// the record's facts and before its moment.
    pub(super) fn without_status(&mut self, record: &PlaceRecord) {
        let is_piece = self.relations.iter().any(|said| said.key == Key::Of);
        if is_piece || record.facts.iter().any(|stated| places(&stated.fact)) {
            return;
        }
        let put_away = record.facts.iter().find_map(put_away);
        let label = self.label();
        let problem = if self.is_silent() {
            if let Some((what, stated)) = put_away {
                self.set(Status::Removed, false);
                let text = format!("{label} has {what} and no status, so it was taken as removed");
                Problem::note(stated.spot.clone(), text)
                    .hint("add `- status: removed`; if it is on, add `- status: fitted`")
            } else if let Some(status) = record.status_not_taken {
                not_taken(record, &label, status)
            } else if self.timeline.is_empty() && says_only_what_was_found(record) {
                let text = format!("nobody has said where {label} stands, so it counts as fitted");
                Problem::note(record.spot.clone(), text)
                    .hint("add `- status: removed` if it is off; if it is on, all is well")
            } else {
                return;
            }
        } else if self.is_on() {
            if let Some((what, stated)) = put_away {
                let last = self.timeline.last().map(|moment| {
                    let spot = &moment.spot;
                    format!(" ({}, {}:{})", moment.when.date, spot.file, spot.line)
                });
                let text = format!(
                    "{label} has {what}, but it was on the vehicle{}",
                    last.unwrap_or_default()
                );
                Problem::warning(stated.spot.clone(), text)
                    .hint("add `- status: removed` if it came off; if it is on, delete this")
            } else if let Some(status) = record.status_not_taken {
                not_taken(record, &label, status)
            } else {
                return;
            }
        } else {
            return;
        };
        self.problems.push(problem);
    }
}

/// A status of the front matter that the record shows no sign of.
fn not_taken(record: &PlaceRecord, label: &str, status: Status) -> Problem {
    let word = status.word();
    let text = format!(
        "`status: {word}` of the front matter does not count for {label}: nothing here shows that it came off"
    );
    Problem::note(record.spot.clone(), text).hint(format!(
        "add `- status: {word}` if it counts; else all is well"
    ))
}

/// Whether a fact says where the part stands, or that the work was on it or its
/// surface, wherever it stands.
fn places(fact: &Fact) -> bool {
    matches!(
        fact,
        Fact::Status(_)
            | Fact::SentTo(_)
            | Fact::ReplacedBy(_)
            | Fact::Done(_)
            | Fact::Surface(_)
            | Fact::HoldsUp(_)
            | Fact::Leftover(_)
            | Fact::Short(_)
    )
}

/// Where the record itself puts the part or its hardware, in words.
fn put_away(stated: &Stated) -> Option<(&'static str, &Stated)> {
    if stated.inherited {
        return None;
    }
    let what = if let Fact::Stored(_) = stated.fact {
        "a shelf"
    } else {
        stated.fact.bag().map(|_| "a bag")?
    };
    Some((what, stated))
}

/// Whether a record says how a part was found, and nothing of what was done to it.
fn says_only_what_was_found(record: &PlaceRecord) -> bool {
    let is_found = |fact: &Fact| matches!(fact, Fact::Found(_));
    record.facts.iter().any(|stated| is_found(&stated.fact))
        && record.facts.iter().all(|stated| {
            is_found(&stated.fact)
                || matches!(
                    stated.fact,
                    Fact::Photo(_)
                        | Fact::Footage(_)
                        | Fact::Number(_)
                        | Fact::Also(_)
                        | Fact::System(_)
                )
        })
}
