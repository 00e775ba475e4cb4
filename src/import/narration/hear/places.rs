//! Where things were put: on a shelf, in a bag, on the lawn.

use super::Ear;
use crate::import::narration::counted::bag_at;
use crate::import::narration::happened::TalkFrame;
use crate::import::narration::heard::{HeardKind, Tier};
use crate::import::narration::lexicon::Thing;
use crate::import::narration::scene::Scene;
use crate::import::narration::speech;

impl Ear<'_> {
    /// Where things were put: "bag five", "that can go on the bench".
    pub(super) fn stored(&mut self, clause: usize, frame: TalkFrame) {
        if frame != TalkFrame::Now {
            return;
        }
        let range = self.scene.clauses[clause].words.clone();
        let bag = range.clone().find_map(|at| bag_at(self.scene, at));
        let place = match &bag {
            Some(label) if label.contains(' ') => Some(label.clone()),
            Some(label) => Some(format!("bag {label}")),
            None => resting_place(self.scene, clause),
        };
        let Some(place) = place else { return };
        if let Some(label) = &bag
            && self.bag_counted(label, clause)
        {
            return;
        }
        let named: Vec<usize> = self
            .scene
            .mentions_of(clause)
            .filter(|number| {
                let mention = &self.scene.mentions[*number];
                !mention.is_beside && mention.known.thing != Thing::Fastener
            })
            .collect();
        let about = match &named[..] {
            [] => self
                .topics
                .iter()
                .filter(|topic| self.is_in_mind(topic, clause))
                .max_by_key(|topic| (topic.is_off, topic.clause))
                .map(|topic| topic.mention)
                .into_iter()
                .collect(),
            _ => named,
        };
        for number in about {
            let before = self.heard.len();
            self.add(
                number,
                HeardKind::Stored,
                Tier::Inferred,
                self.scene.clause_start(clause),
                clause,
            );
            if self.heard.len() > before
                && let Some(last) = self.heard.last_mut()
            {
                last.place = Some(place.clone());
            }
        }
    }

    /// Gives a bag to the hardware counted within a minute before; whether there is any.
    fn bag_counted(&mut self, label: &str, clause: usize) -> bool {
        let from = self.scene.clause_start(clause).saturating_sub(60_000);
        let mut is_there = false;
        for counted in &mut self.counted {
            let at = self.scene.clause_start(counted.clause);
            if counted.clause <= clause && at >= from {
                let bag = &mut counted.pieces.bag;
                is_there |= bag.get_or_insert_with(|| label.to_owned()) == label;
            }
        }
        is_there
    }
}

/// The words of a clause from its first "in" or "on" to its end; all of them if it has none.
pub(super) fn place_said(scene: &Scene, clause: usize) -> String {
    let range = scene.clauses[clause].words.clone();
    let from = range.clone().find(|at| {
        matches!(
            scene.words[*at].key.as_str(),
            "in" | "on" | "under" | "behind" | "against" | "into"
        )
    });
    speech::said(&scene.words, from.unwrap_or(range.start)..range.end)
        .trim_end_matches(['.', ',', '!', '?'])
        .to_owned()
}

/// "that can go on the bench": where, with its preposition.
fn resting_place(scene: &Scene, clause: usize) -> Option<String> {
    let range = scene.clauses[clause].words.clone();
    let key = |at: usize| match range.contains(&at) {
        true => scene.words[at].key.as_str(),
        false => "",
    };
    for at in range.clone() {
        let goes = match key(at) {
            "goes" | "going" | "go" | "lives" | "live" | "put" | "stored" => true,
            "is" | "'s" | "are" => {
                at > range.start
                    && matches!(key(at - 1), "that" | "it" | "they" | "those")
                    && !matches!(key(at + 1), "in" | "on" | "the")
            }
            _ => false,
        };
        if !goes {
            continue;
        }
        for to in at + 1..(at + 5).min(range.end) {
            if matches!(
                key(to),
                "in" | "on" | "under" | "behind" | "against" | "into"
            ) && matches!(
                key(to + 1),
                "the" | "a" | "my" | "that" | "our" | "your" | "its" | "an" | "rack" | "shelf"
            ) && to + 2 < range.end
            {
                let end = (to + 7).min(range.end);
                if (to..end).any(|at| key(at) == "list") {
                    return None;
                }
                return Some(
                    speech::said(&scene.words, to..end)
                        .trim_end_matches(['.', ',', '!', '?'])
                        .to_owned(),
                );
            }
        }
    }
    None
}
