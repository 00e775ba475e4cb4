//! A section about a bag: its hardware, whose it is, where it lies.
//!
//! A bag named within a record is a fact of that record.

use super::words_only::passage;
use super::{Walk, heading_width};
use crate::entry::fact::Fact;
use crate::entry::model::BagFilling;
use crate::entry::outline::{List, Section};
use crate::problem::Problem;
use crate::vocabulary::bag_phrase::bag_phrase;
use crate::vocabulary::label::{BagLabel, behind_bag_word};
use crate::vocabulary::words::fold;

impl<'r, 'a> Walk<'r, 'a> {
    /// A list right under a part that is read as prose although it names a bag: who
    /// wrote it may have meant what is in it.
    pub(super) fn bags_in_prose(&mut self, section: &Section) {
        let list = section.list.iter().flat_map(|list| &list.items);
        let named = list.filter(|item| {
            bag_phrase(&item.whole()).is_some_and(|found| {
                let numbered =
                    |label: &BagLabel| label.written().starts_with(|c: char| c.is_ascii_digit());
                found.label.as_ref().is_some_and(numbered)
            })
        });
        for item in named {
            self.reader.warning(
                item.span.clone(),
                format!(
                    "`{}` is read as prose: no bag and no hardware counts",
                    item.whole()
                ),
                "write `bag: LABEL`, or `hardware:` with the pieces and their bag",
            );
        }
    }

    /// A section `## Bag 12`.
    pub(super) fn bag(&mut self, section: &Section, label: BagLabel, list: &List) {
        let heading = section.heading.start..section.heading.start + heading_width(self, section);
        if label.key().is_empty() {
            self.reader.error(
                heading,
                "this bag has no label",
                "write its number or words behind `## Bag`",
            );
            return self.prose(section, section.body.start);
        }
        let mut draft = self.draft(heading.clone());
        draft.items(self.reader, &list.items);
        let mut filling = BagFilling {
            label,
            vehicle: draft.vehicle.clone(),
            date: draft.date,
            holds: Vec::new(),
            hardware: Vec::new(),
            stored: None,
            passage: passage(section, list.prose, self.reader),
            spot: self.reader.lines.spot(heading.clone()),
        };
        for stated in draft.facts() {
            if let Fact::Holds(part) = &stated.fact {
                filling.holds.push((part.clone(), stated.spot.clone()));
            } else if let Fact::Hardware(item) = &stated.fact {
                filling.hardware.push((item.clone(), stated.spot.clone()));
            } else if let Fact::Stored(shelf) = &stated.fact {
                filling.stored = Some(shelf.clone());
            } else if stated.key.is_of_session()
                && !stated.key.is_for_sections()
                && !matches!(stated.fact, Fact::Hours(_))
            {
                // What a tin cost was still paid: it is of the evening.
                self.entry.facts.push(stated.clone());
            } else if !matches!(stated.fact, Fact::Footage(_) | Fact::Unknown(_)) {
                let problem = Problem::warning(
                    stated.spot.clone(),
                    format!(
                        "`{}` belongs to a part, and this is a bag",
                        stated.key.word()
                    ),
                );
                self.reader
                    .problems
                    .push(problem.hint("write it under a `## PART` heading"));
            }
        }
        if filling.holds.is_empty() && filling.hardware.is_empty() {
            self.reader.warning(
                heading,
                format!("bag {} is said to hold nothing", filling.label.written()),
                "add `- holds: PART; PART` or `- hardware: 4 hex nut 1/2-13`",
            );
        }
        self.entry.bags.push(filling);
    }
}

/// The label in a heading "Bag 12", "Sack 12"; an empty one for a mere "Bag".
pub(super) fn bag_label(title: &str) -> Option<BagLabel> {
    (fold(title) == "bag")
        .then(|| BagLabel::new(""))
        .or_else(|| behind_bag_word(title).map(BagLabel::new))
}
