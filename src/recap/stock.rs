//! The draft of an episode, and the outline to choose from: collect, rank, choose,
//! write.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::choose::{Choice, MomentSelection};
use super::compose::{ComposeContext, compose};
use super::draft::{EpisodeDraft, seconds};
use super::frame::Frame;
use super::material::{Material, material};
use super::moments::Voice;
use super::outline::{Outline, OutlineRow, Untold, untold};
use super::people::introductions;
use super::ranking::Ranking;
use super::request::Request;
use super::source::RecapSource;
use super::ties::ties;
use crate::entry::{Context, Entry};
use crate::ledger::Ledger;
use crate::parallel;

/// All that can be told of a vehicle.
pub struct UntoldStock<'s> {
    /// What there is.
    pub material: Material<'s>,
    entries: &'s [Entry],
    context: &'s Context,
}

/// A draft with the outline that it was chosen from.
pub struct Drafted<'s> {
    /// The draft.
    pub draft: EpisodeDraft,
    /// The moments that may be told, those that the draft tells ticked.
    pub outline: Outline<'s>,
    /// Ticked moments for which there was no room.
    pub too_much: Vec<OutlineRow<'s>>,
    /// Ticked moments without one that they need.
    pub alone: Vec<(OutlineRow<'s>, OutlineRow<'s>)>,
    /// How long all that is ticked would take.
    pub wanted: u64,
}

impl<'s> UntoldStock<'s> {
    /// Collects all that is said of a vehicle, told or not, in entries that anyone
    /// may read.
    #[must_use]
    pub fn new(
        vehicle: &str,
        entries: &'s [Entry],
        ledger: &Ledger,
        context: &'s Context,
    ) -> UntoldStock<'s> {
        UntoldStock {
            material: material(vehicle, entries, ledger, context),
            entries,
            context,
        }
    }

    /// The first and the last day on which one of these sources happened.
    #[must_use]
    pub fn days(&self, which: &dyn Fn(&RecapSource<'_>) -> bool) -> Option<(Date, Date)> {
        let sources = self.material.sources.iter();
        let days = sources
            .filter(|source| which(source))
            .map(|source| source.when.date);
        let days: BTreeSet<Date> = days.collect();
        days.first().copied().zip(days.last().copied())
    }

    /// The moments by the ids that an outline gives them.
    #[must_use]
    pub fn by_id(&self) -> BTreeMap<&str, usize> {
        let moments = self.material.moments.iter();
        moments.map(|moment| moment.id.as_str()).zip(0..).collect()
    }

    /// Whether no entry of any vehicle happened after this day.
    #[must_use]
    pub fn is_until(&self, day: Date) -> bool {
        let is_past = |date: Option<Date>| date.is_none_or(|date| date <= day);
        self.entries.iter().all(|entry| {
            is_past(entry.date) && entry.records.iter().all(|record| is_past(record.date))
        })
    }

    /// Whether there is anything to say of these sources.
    #[must_use]
    pub fn has_any(&self, which: &dyn Fn(&RecapSource<'_>) -> bool) -> bool {
        let moments = self.material.moments.iter();
        let mut sayable = moments.filter(|moment| moment.voice != Voice::Caution);
        sayable.any(|moment| which(&self.material.sources[moment.source]))
    }

    /// For each source, whether it is one of these.
    fn marked(&self, which: &dyn Fn(&RecapSource<'_>) -> bool) -> Vec<bool> {
        self.material.sources.iter().map(which).collect()
    }

    /// The records that are `wanted`, the most promising first.
    #[must_use]
    pub fn untold(&self, wanted: &dyn Fn(&RecapSource<'_>) -> bool) -> Vec<Untold<'_>> {
        let wanted = self.marked(wanted);
        let ranking = Ranking::of(&self.material, &wanted, &wanted);
        untold(&self.material, &ranking, &wanted)
    }

    /// The draft that was asked for: of what the program proposes, or of the moments
    /// that a person `ticked`, in their order.
    #[must_use]
    pub fn draft<'d>(
        &'d self,
        request: &Request<'d>,
        ledger: &Ledger,
        ticked: Option<&[usize]>,
    ) -> Drafted<'d> {
        let material = &self.material;
        let (asked, may) = (self.marked(request.asked), self.marked(request.may));
        // The figures know nothing of the moments.
        let ((ranking, needs), frame) = parallel::both(
            || {
                let ranking = Ranking::of(material, &asked, &may);
                let needs = ties(material, ledger, request.vehicle, &ranking);
                (ranking, needs)
            },
            || {
                let sources = material.sources.iter().zip(&asked);
                let sources =
                    sources.filter(|(one, asked)| **asked && request.has_day(one.when.date));
                let sessions: BTreeSet<&str> =
                    sources.map(|(one, _)| one.entry.path.as_str()).collect();
                Frame::new(request, self.context, sessions.len())
            },
        );
        let minutes = usize::try_from(request.minutes).unwrap_or(usize::MAX);
        let pace = usize::try_from(request.pace).unwrap_or(usize::MAX);
        let target = minutes.saturating_mul(pace);
        let people = match request.surroundings.people {
            true => introductions(material, &may),
            false => BTreeMap::new(),
        };
        let mut desk = ComposeContext {
            request,
            material,
            ranking: &ranking,
            needs: &needs,
            hazards: vec![OnceCell::new(); material.sources.len()],
            frame,
            people: &people,
            is_ordered: false,
            // A chapter that takes less than ten seconds (common practice, no source),
            // or very little of the whole, is none.
            least: (target / 24).max(pace.div_ceil(6) + 1),
        };
        let fit = |desk: &ComposeContext<'_>, ticked| {
            let choice = Choice {
                material,
                ranking: &ranking,
                needs: &needs,
                ticked,
                target,
                length: &|chosen| compose(desk, chosen).words(),
            };
            choice.fit()
        };
        let none = MomentSelection::default();
        while compose(&desk, &none).words() * 3 > target && desk.frame.shorten() {}
        let mut chosen = fit(&desk, None);
        let mut wanted = compose(&desk, &chosen).seconds();
        // What a person chose stands as it was chosen, and before figures; else it is
        // the proposal.
        if let Some(ticked) = ticked.filter(|ticked| *ticked != chosen.moments) {
            let all = MomentSelection {
                moments: ticked.to_vec(),
                cut: None,
            };
            desk.is_ordered = true;
            while compose(&desk, &all).words() > target && desk.frame.shorten() {}
            wanted = compose(&desk, &all).seconds();
            chosen = fit(&desk, Some(ticked));
        }
        let draft = compose(&desk, &chosen);
        let told: BTreeSet<usize> = chosen.moments.iter().copied().collect();
        let ticks: BTreeSet<usize> = ticked.unwrap_or(&chosen.moments).iter().copied().collect();
        let row = |index: usize| {
            let moment = &material.moments[index];
            let needs = needs[index].iter();
            OutlineRow {
                moment,
                source: &material.sources[moment.source],
                rank: ranking.rank[index],
                seconds: seconds(moment.words, request.pace),
                ticked: ticks.contains(&index),
                needs: needs
                    .map(|need| material.moments[*need].id.as_str())
                    .collect(),
            }
        };
        let mut order = ranking.order.clone();
        order.sort_unstable();
        let ticked = ticked.unwrap_or_default().iter().copied();
        let alone = chosen.moments.iter().flat_map(|moment| {
            let lacks = needs[*moment].iter().filter(|need| !told.contains(need));
            lacks.map(|need| (row(*moment), row(*need)))
        });
        Drafted {
            outline: Outline {
                vehicle: request.vehicle,
                vehicle_name: request.vehicle_name,
                days: request.days,
                minutes: request.minutes,
                seconds: draft.seconds(),
                beside: compose(&desk, &none).seconds(),
                surroundings: request.surroundings,
                rows: order.into_iter().map(row).collect(),
            },
            too_much: ticked
                .filter(|moment| !told.contains(moment))
                .map(row)
                .collect(),
            alone: alone.collect(),
            wanted,
            draft,
        }
    }
}
