//! To which part counted hardware belongs, and what its being counted tells.

use super::{Ear, is_same_name};
use crate::import::narration::counted::CountedPieces;
use crate::import::narration::happened::{Verdict, happened};
use crate::import::narration::heard::{Heard, HeardKind, HeardPieces, Tier};
use crate::import::narration::lexicon::Thing;
use crate::import::narration::pattern::RuleSpan;
use crate::vocabulary::name::singular;

impl Ear<'_> {
    /// A part that was brought up and whose hardware was counted at once has come off,
    /// where nothing says that it stayed: "glovebox liner, four screws".
    pub(super) fn worked_on(&mut self) {
        for at in 0..self.counted.len() {
            let (mention, clause) = (self.counted[at].mention, self.counted[at].clause);
            let items = self.scene.items(clause);
            let before = self
                .scene
                .mentions_of(clause)
                .rev()
                .find(|number| *number < mention && self.holds(*number, mention));
            let earlier = (clause.saturating_sub(2)..clause).rev().find_map(|clause| {
                self.scene
                    .mentions_of(clause)
                    .find(|number| self.is_brought_up(*number))
            });
            // "Two screws. Armrest."
            let next = || {
                let only = self.only_thing(clause + 1)?;
                (self.scene.clauses[clause].words.len() <= 4).then_some(only)
            };
            let Some(number) = before.or(earlier).or_else(next) else {
                continue;
            };
            let start = self.scene.at(self.scene.mentions[number].words.start);
            let part = self.scene.mentions[number].name.clone();
            let is_told = self.heard.iter().any(|heard| {
                heard.start.abs_diff(start) <= 90_000
                    && heard.kind.is_off()
                    && heard.tier != Tier::Asked
                    && is_same_name(&heard.part, &part)
            });
            let is_left = self.left_out.iter().any(|left| {
                left.start.abs_diff(start) <= 60_000
                    && left.kind.is_off()
                    && is_same_name(&left.part, &part)
            });
            let matched = RuleSpan {
                from: 0,
                to: items.len(),
                thing: None,
            };
            let verdict = happened(&items, matched, self.scene.frames[clause]);
            if is_told || is_left || !matches!(verdict, Verdict::Yes | Verdict::Perhaps) {
                continue;
            }
            let kind = match self.scene.mentions[number].known.comes_undone {
                true => HeardKind::Undone,
                false => HeardKind::Removed,
            };
            self.add(
                number,
                kind,
                Tier::Inferred,
                self.scene.clause_start(clause),
                clause,
            );
        }
        self.heard.sort_by_key(|heard| (heard.start, heard.clause));
    }

    /// Whether counted hardware is of a part named before it: one that is brought up, or
    /// "the cowl's four screws".
    fn holds(&self, number: usize, pieces: usize) -> bool {
        let end = self.scene.mentions[number].words.end;
        let is_of = self
            .scene
            .words
            .get(end)
            .is_some_and(|word| word.key == "'s")
            && self.scene.mentions[pieces].words.start <= end + 4
            && self.scene.mentions[number].is_part();
        is_of && pieces == number + 1 || self.is_brought_up(number)
    }

    /// Gives counted hardware to the part that came off with it.
    pub(super) fn attach_hardware(&mut self) {
        let wanted = |heard: &Heard| matches!(heard.kind, HeardKind::Needs | HeardKind::Broken);
        let is_wanted = |counted: &CountedPieces, heard: &[Heard]| {
            heard.iter().any(|heard| {
                heard.clause == counted.clause
                    && wanted(heard)
                    && is_same_name(&heard.part, &counted.pieces.what)
            })
        };
        let mut pieces = std::mem::take(&mut self.counted);
        pieces.retain(|counted| !is_wanted(counted, &self.heard));
        self.counted = pieces;
        for heard in &mut self.heard {
            let is_pin = self.scene.mentions_of(heard.clause).any(|number| {
                let mention = &self.scene.mentions[number];
                mention.known.thing == Thing::Pin && mention.name == heard.part
            });
            if heard.kind == HeardKind::Removed && heard.tier != Tier::Asked && is_pin {
                heard.hardware.push(HeardPieces {
                    count: 1,
                    what: singular(&heard.part).to_owned(),
                    size: None,
                    bag: None,
                });
            }
        }
        for counted in &self.counted {
            let start = self
                .scene
                .at(self.scene.mentions[counted.mention].words.start);
            let own = singular(&self.scene.mentions[counted.mention].name).to_owned();
            let behind = |heard: &Heard| i64::from(heard.start) - i64::from(start);
            let fits = |heard: &Heard| {
                (-15_000..=40_000).contains(&behind(heard))
                    && (heard.kind.is_off() || heard.kind == HeardKind::Fitted)
            };
            // The part that was named just before, in this clause or the one before it.
            let of = (counted.clause.saturating_sub(1)..=counted.clause)
                .rev()
                .find_map(|clause| {
                    self.scene
                        .mentions_of(clause)
                        .rev()
                        .find(|number| *number < counted.mention && self.is_brought_up(*number))
                })
                .map(|number| self.scene.mentions[number].name.clone());
            // "Three ring screws, all in bag four": told once more, of the ring.
            let holder = counted
                .pieces
                .what
                .rsplit_once(' ')
                .map(|(holder, _)| holder);
            let recalled = holder.and_then(|holder| {
                self.heard.iter_mut().rev().find(|heard| {
                    (-180_000..=15_000).contains(&behind(heard))
                        && heard.kind.is_off()
                        && heard.part.ends_with(holder)
                })
            });
            if let Some(heard) = recalled {
                give(&counted.pieces, heard);
                continue;
            }
            let is_of = |heard: &Heard| {
                of.as_ref()
                    .is_some_and(|name| is_same_name(name, &heard.part))
            };
            // A pin that came off itself is its own hardware.
            let ticked = self
                .heard
                .iter_mut()
                .filter(|heard| fits(heard) && heard.tier != Tier::Asked)
                .min_by_key(|heard| {
                    let apart = behind(heard);
                    (
                        singular(&heard.part) != own,
                        !is_of(heard),
                        heard.kind == HeardKind::Fitted,
                        if apart < 0 { -apart * 3 } else { apart },
                    )
                });
            if let Some(heard) = ticked {
                give(&counted.pieces, heard);
            }
            // A person who ticks the part that was named with it need not type it.
            let to_tick = self
                .heard
                .iter_mut()
                .filter(|heard| fits(heard) && heard.tier == Tier::Asked)
                .filter(|heard| is_of(heard) || heard.clause == counted.clause)
                .min_by_key(|heard| (!is_of(heard), behind(heard).abs()));
            if let Some(heard) = to_tick {
                give(&counted.pieces, heard);
            }
        }
    }
}

/// What is told twice has the bag of both tellings.
fn give(pieces: &HeardPieces, heard: &mut Heard) {
    let is_same = |other: &&mut HeardPieces| {
        other.count == pieces.count && is_same_name(&other.what, &pieces.what)
    };
    match heard.hardware.iter_mut().find(is_same) {
        Some(other) if other.bag.is_none() => other.bag.clone_from(&pieces.bag),
        Some(_) => {}
        None => heard.hardware.push(pieces.clone()),
    }
}
