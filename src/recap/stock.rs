//! The draft of an episode, and the outline to choose from: collect, rank, choose,
//! write.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::choose::{Choice, MomentSelection};
use super::compose::{ComposeContext, compose};
use super::draft::EpisodeDraft;
use super::frame::{Frame, frame};
use super::material::{Material, RecapSource, material};
use super::moments::Voice;
use super::outline::{Outline, OutlineRow};
use super::people::introductions;
use super::ranking::Ranking;
use super::request::{Extent, Request};
use super::ties::ties;
use super::untold::{Untold, untold};
use crate::entry::{Context, Entry};
use crate::ledger::Ledger;
use crate::parallel;

/// All that can be told of a vehicle.
pub struct UntoldStock<'s> {
    /// What there is.
    pub material: Material,
    entries: &'s [Entry],
    context: &'s Context,
}

/// A draft with the outline that it was chosen from.
pub struct Drafted {
    /// The draft.
    pub draft: EpisodeDraft,
    /// The moments that may be told, those that the draft tells ticked.
    pub outline: Outline,
    /// Ticked moments for which there was no room.
    pub too_much: Vec<OutlineRow>,
    /// Ticked moments without one that they need.
    pub alone: Vec<(OutlineRow, OutlineRow)>,
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

    /// The last day on which one of these sources happened.
    #[must_use]
    pub fn last_day(&self, which: &dyn Fn(&RecapSource) -> bool) -> Option<Date> {
        let sources = self.material.sources.iter();
        let days = sources.filter(|source| which(source));
        days.map(|source| source.when.date).max()
    }

    /// The moments by the ids that an outline gives them.
    #[must_use]
    pub fn by_id(&self) -> BTreeMap<&str, usize> {
        let moments = self.material.moments.iter().enumerate();
        moments
            .map(|(index, moment)| (moment.id.as_str(), index))
            .collect()
    }

    /// Where a moment comes from.
    #[must_use]
    pub fn source(&self, moment: usize) -> &RecapSource {
        &self.material.sources[self.material.moments[moment].source]
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
    pub fn has_any(&self, which: &dyn Fn(&RecapSource) -> bool) -> bool {
        let moments = self.material.moments.iter();
        let mut sayable = moments.filter(|moment| moment.voice != Voice::Caution);
        sayable.any(|moment| which(&self.material.sources[moment.source]))
    }

    /// The records that are `wanted`, the most promising first.
    #[must_use]
    pub fn untold(&self, wanted: &dyn Fn(&RecapSource) -> bool) -> Vec<Untold> {
        let wanted: Vec<bool> = self.material.sources.iter().map(wanted).collect();
        let ranking = Ranking::of(&self.material, &wanted, &wanted);
        untold(&self.material, &ranking, &wanted)
    }

    /// The draft that was asked for: of what the program proposes, or of the moments
    /// that a person `ticked`, in their order.
    #[must_use]
    pub fn draft(
        &self,
        request: &Request<'_>,
        ledger: &Ledger,
        ticked: Option<&[usize]>,
    ) -> Drafted {
        let material = &self.material;
        let of = |which: &dyn Fn(&RecapSource) -> bool| -> Vec<bool> {
            material.sources.iter().map(which).collect()
        };
        let (asked, may) = (of(request.asked), of(request.may));
        // The figures know nothing of the moments.
        let ((ranking, needs), frame) = parallel::both(
            || {
                let ranking = Ranking::of(material, &asked, &may);
                let needs = ties(material, ledger, request.vehicle, &ranking);
                (ranking, needs)
            },
            || self.frame(request, &asked, &may),
        );
        let minutes = usize::try_from(request.minutes).unwrap_or(usize::MAX);
        let pace = usize::try_from(request.pace).unwrap_or(usize::MAX);
        let target = minutes.saturating_mul(pace);
        let entries = self
            .entries
            .iter()
            .map(|entry| (entry.path.as_str(), entry));
        let entries = entries.collect();
        let people = match request.surroundings.people {
            true => introductions(material, &may),
            false => BTreeMap::new(),
        };
        let mut desk = ComposeContext {
            material,
            ranking: &ranking,
            needs: &needs,
            entries: &entries,
            hazards: RefCell::new(BTreeMap::new()),
            frame,
            people: &people,
            is_ordered: false,
            // A chapter that takes less than ten seconds (common practice, no source),
            // or very little of the whole, is none.
            least: (target / 24).max(pace.div_ceil(6) + 1),
        };
        let none = MomentSelection::default();
        shorten(&mut desk, |desk| compose(desk, &none).words() * 3 > target);
        let cautions: Vec<usize> = (0..material.sources.len())
            .map(|source| {
                let own = material.moments[material.of_source(source)].iter();
                let own = own.filter(|moment| moment.voice == Voice::Caution);
                own.map(|moment| moment.words).sum()
            })
            .collect();
        let choice = |ticked| Choice {
            material,
            ranking: &ranking,
            needs: &needs,
            cautions: &cautions,
            ticked,
        };
        let mut chosen = choice(None).fit(target, &|chosen| compose(&desk, chosen).words());
        let mut wanted = compose(&desk, &chosen).seconds();
        // What a person chose stands as it was chosen, and before figures; else it is
        // the proposal.
        let own = ticked.filter(|ticked| *ticked != chosen.moments);
        if let Some(ticked) = own {
            let all = MomentSelection {
                moments: ticked.to_vec(),
                cut: None,
            };
            desk.is_ordered = true;
            let is_full = |desk: &ComposeContext<'_>| compose(desk, &all).words() > target;
            shorten(&mut desk, is_full);
            wanted = compose(&desk, &all).seconds();
            let length = |chosen: &MomentSelection| compose(&desk, chosen).words();
            chosen = choice(Some(ticked)).fit(target, &length);
        }
        let draft = compose(&desk, &chosen);
        let beside = compose(&desk, &none).seconds();
        let told: BTreeSet<usize> = chosen.moments.iter().copied().collect();
        let ticks: BTreeSet<usize> = ticked.unwrap_or(&chosen.moments).iter().copied().collect();
        let row = |moment: usize| self.row(moment, &ranking, &needs, &ticks, request.pace);
        let mut order = ranking.order.clone();
        order.sort_unstable();
        let ticked = ticked.unwrap_or_default();
        let too_much = ticked.iter().filter(|moment| !told.contains(moment));
        let alone = chosen.moments.iter().flat_map(|moment| {
            let lacks = needs[*moment].iter();
            let lacks = lacks.filter(|need| ranking.rank[**need] > 0 && !told.contains(need));
            lacks.map(|need| (row(*moment), row(*need)))
        });
        Drafted {
            outline: Outline {
                vehicle: request.vehicle.to_owned(),
                vehicle_name: request.vehicle_name.to_owned(),
                days: desk.frame.days,
                minutes: request.minutes,
                seconds: draft.seconds(),
                beside,
                surroundings: request.surroundings,
                rows: order.into_iter().map(row).collect(),
            },
            too_much: too_much.map(|moment| row(*moment)).collect(),
            alone: alone.collect(),
            wanted,
            draft,
        }
    }

    fn row(
        &self,
        moment: usize,
        ranking: &Ranking,
        needs: &[Vec<usize>],
        told: &BTreeSet<usize>,
        pace: u32,
    ) -> OutlineRow {
        let own = &self.material.moments[moment];
        let needs = needs[moment].iter().filter(|need| ranking.rank[**need] > 0);
        OutlineRow {
            id: own.id.clone(),
            rank: ranking.rank[moment],
            line: own.sentences.first().map_or(0, |sentence| sentence.line),
            seconds: super::draft::seconds(own.words, pace),
            ticked: told.contains(&moment),
            is_prose: own.voice == Voice::Prose,
            worth: own.worth,
            held_back: own.held_back,
            needs: needs
                .map(|need| self.material.moments[*need].id.clone())
                .collect(),
            text: own.text(),
            source: self.material.sources[own.source].clone(),
        }
    }

    /// Figures and what comes next; where something is private, only what is the same
    /// with and without it, so that no figure tells of it and each is the ledger's.
    fn frame(&self, request: &Request<'_>, asked: &[bool], may: &[bool]) -> Frame {
        let days = days(&self.material, may);
        let within = |date: Date| days.is_some_and(|(first, last)| date >= first && date <= last);
        let sources = self.material.sources.iter().zip(asked);
        let sessions: BTreeSet<&str> = sources
            .filter(|(source, asked)| **asked && within(source.when.date))
            .map(|(source, _)| source.when.entry.as_str())
            .collect();
        let minutes = usize::try_from(request.minutes).unwrap_or(usize::MAX);
        let extent = |entries| Extent {
            request,
            entries,
            context: self.context,
            days,
            sessions: sessions.len(),
            most: (minutes / 2).clamp(2, 8),
        };
        let (entries, ledger) = request.public;
        let mut own = frame(&extent(entries), ledger);
        if let Some((entries, ledger)) = request.all {
            let all = frame(&extent(entries), ledger);
            own.numbers.retain(|one| all.numbers.contains(one));
            own.next.retain(|one| all.next.contains(one));
        }
        if !request.surroundings.numbers {
            own.numbers.clear();
        }
        if !request.surroundings.next {
            own.next.clear();
        }
        own
    }
}

/// Leaves out what a draft can do without while it `is_full`: all but one of the needs
/// and figures, what the vehicle is, then those.
fn shorten<'d>(desk: &mut ComposeContext<'d>, is_full: impl Fn(&ComposeContext<'d>) -> bool) {
    while is_full(desk) {
        let frame = &mut desk.frame;
        if frame.next.len() > 1 {
            frame.next.pop();
        } else if frame.numbers.len() > 1 {
            frame.numbers.pop();
        } else if let Some(about) = frame
            .about
            .first_mut()
            .filter(|about| about.lines.len() > 1)
        {
            about.lines.truncate(1);
        } else if frame.next.pop().is_none() && frame.numbers.pop().is_none() {
            break;
        }
    }
}

/// The first and the last day of what may be told.
fn days(material: &Material, may: &[bool]) -> Option<(Date, Date)> {
    let sources = || material.sources.iter().zip(may).filter(|(_, may)| **may);
    let days = || sources().map(|(source, _)| source.when.date);
    Some((days().min()?, days().max()?))
}
