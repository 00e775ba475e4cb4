//! The draft of an episode from the journal's entries: collect, weigh, choose,
//! write.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::aims::aim;
use super::causes::{Cause, causes};
use super::choose::{Taken, choose, in_order_of_worth};
use super::compose::{Desk, compose};
use super::draft::{Draft, Origin};
use super::ends::{LAST_WORD, closing, known_first, openings};
use super::frame::{Extent, frame};
use super::material::{Material, Source, material};
use super::moments::Voice;
use super::often::often;
use super::people::introductions;
use super::presumed::Presumed;
use super::starts::Starts;
use super::weigh::{Worth, weigh};
use crate::entry::{Context, Entry};
use crate::ledger::Ledger;
use crate::reports::cautions::{Raised, of_record, of_session};

/// What is asked for.
pub struct Request<'r> {
    /// The vehicle's slug.
    pub vehicle: &'r str,
    /// The vehicle's name.
    pub vehicle_name: &'r str,
    /// The first paragraph of the vehicle's page, and where it stands.
    pub vehicle_about: Option<(&'r str, Origin)>,
    /// Only this system.
    pub system: Option<&'r str>,
    /// The part that was asked about, as it was typed.
    pub part: Option<&'r str>,
    /// Only these parts, by vehicle and label.
    pub parts: Option<&'r BTreeSet<(String, String)>>,
    /// All entries.
    pub entries: &'r [Entry],
    /// With what they are read.
    pub context: &'r Context,
    /// Which sources are asked about, told or not.
    pub asked: &'r dyn Fn(&Source) -> bool,
    /// Which of them may be told.
    pub may: &'r dyn Fn(&Source) -> bool,
    /// The day at whose end the figures are taken, as the ledger is.
    pub as_of: Date,
    /// How long the draft should be.
    pub minutes: u32,
    /// Words said in a minute.
    pub pace: u32,
}

/// Everything of a vehicle with its worth.
pub struct Weighed {
    /// What there is.
    pub material: Material,
    /// What each moment is worth.
    pub worths: Vec<Worth>,
    /// What each lesson was learned from.
    causes: BTreeMap<usize, Cause>,
    /// What each moment takes for known.
    presumed: Vec<Presumed>,
}

impl Weighed {
    /// Collects and weighs all that is said of a vehicle, told or not.
    #[must_use]
    pub fn new(vehicle: &str, entries: &[Entry], ledger: &Ledger, context: &Context) -> Weighed {
        let material = material(vehicle, entries, ledger, context);
        let causes = causes(&material);
        let (worths, presumed) = weigh(&material, &causes);
        Weighed {
            material,
            worths,
            causes,
            presumed,
        }
    }

    /// The last day on which one of these sources happened.
    #[must_use]
    pub fn last_day(&self, which: &dyn Fn(&Source) -> bool) -> Option<Date> {
        let sources = self.material.sources.iter();
        sources
            .filter(|source| which(source))
            .map(|source| source.when.date)
            .max()
    }

    /// The draft that was asked for, from the ledger at the end of `as_of`.
    #[must_use]
    pub fn draft(&self, request: &Request<'_>, ledger: &Ledger) -> Drafted {
        let material = &self.material;
        let may: Vec<bool> = material
            .sources
            .iter()
            .map(|source| (request.may)(source))
            .collect();
        let mut order = in_order_of_worth(material, &self.worths, &|source| may[source]);
        // Whatever else there is room for, one thing that was learned the hard way.
        if let Some(lesson) = order.iter().position(|moment| self.was_paid_for(*moment)) {
            order[..=lesson].rotate_right(1);
        }
        let starts = Starts::of(material, &self.worths, self.presumed.clone());
        let minutes = usize::try_from(request.minutes).unwrap_or(usize::MAX);
        let pace = usize::try_from(request.pace).unwrap_or(usize::MAX);
        let target = minutes.saturating_mul(pace);
        let fit = openings(material, &self.worths, &starts, &order);
        let openings = known_first(material, &fit);
        let opening = openings.first().copied();
        let aim = aim(material, &order, &may, opening);
        // A short draft ends with a paragraph.
        let room = LAST_WORD.max(target.saturating_sub(SHORT_DRAFT) / LAST_SHARE);
        let begun: Vec<usize> = opening.into_iter().chain(aim).collect();
        let mut desk = Desk {
            material,
            worths: &self.worths,
            causes: &self.causes,
            starts: &starts,
            people: &introductions(material, &may),
            hazards: &hazards(material, request.entries, &may),
            frame: frame(&self.extent(request, &may), ledger),
            opening,
            aim,
            closing: closing(material, &self.worths, (&fit, &begun), &may, room),
        };
        shorten(&mut desk, &openings, target);
        let words = |chosen: &BTreeSet<usize>| compose(&desk, chosen).words();
        let may_moment = |moment: usize| may[material.moments[moment].source];
        let story = |moment: usize| starts.whole(moment, may_moment);
        // Stories too long to begin at their beginning: better the middle of one than
        // silence.
        let glimpse = |moment: usize| vec![(starts.glimpse[moment], moment)];
        let choice = |order: &[usize]| {
            let none = Taken::none(material.moments.len());
            let taken = choose(material, (order, &story), target, none, &words);
            if words(&taken.moments) * 10 < target * 9 {
                choose(material, (order, &glimpse), target, taken, &words).moments
            } else {
                taken.moments
            }
        };
        let mut chosen = choice(&order);
        let idle = self.idle_lessons(&desk.with_ends(&chosen));
        if !idle.is_empty() {
            let rest: Vec<usize> = order
                .iter()
                .copied()
                .filter(|one| !idle.contains(one))
                .collect();
            let again = choice(&rest);
            // Better advice than silence.
            if words(&again) * 10 >= target * 9 {
                chosen = again;
            }
        }
        let told = desk.with_ends(&chosen);
        Drafted {
            draft: compose(&desk, &chosen),
            is_all: order.iter().all(|moment| told.contains(moment)),
        }
    }

    /// Whether a moment is a lesson that comes with the setback it was learned from.
    fn was_paid_for(&self, moment: usize) -> bool {
        let cause = self.causes.get(&moment);
        cause.is_some_and(|cause| cause.quoted(&self.material).is_some())
    }

    /// Of what is told, the lessons whose evening and part nobody hears of, and that
    /// do not come with the setback they were learned from.
    fn idle_lessons(&self, told: &BTreeSet<usize>) -> BTreeSet<usize> {
        let Material { sources, moments } = &self.material;
        let is_lesson = |moment: &usize| moments[*moment].voice == Voice::Lesson;
        let source = |moment: &usize| &sources[moments[*moment].source];
        let heard: BTreeSet<&str> = told
            .iter()
            .filter(|moment| !is_lesson(moment))
            .flat_map(|moment| [&*source(moment).when.entry, &*source(moment).name])
            .filter(|name| !name.is_empty())
            .collect();
        let own = told.iter().copied().filter(is_lesson);
        own.filter(|lesson| {
            let names = [&*source(lesson).when.entry, &*source(lesson).name];
            !self.was_paid_for(*lesson) && !names.into_iter().any(|name| heard.contains(name))
        })
        .collect()
    }

    fn extent<'r>(&self, request: &'r Request<'_>, may: &[bool]) -> Extent<'r> {
        let material = &self.material;
        let days = days(material, may);
        let asked = |source: &Source| within(days, source.when.date) && (request.asked)(source);
        let minutes = usize::try_from(request.minutes).unwrap_or(usize::MAX);
        let sessions: BTreeSet<&str> = material
            .sources
            .iter()
            .filter(|source| asked(source))
            .map(|source| source.when.entry.as_str())
            .collect();
        Extent {
            vehicle: request.vehicle,
            vehicle_name: request.vehicle_name,
            vehicle_about: request.vehicle_about.clone(),
            system: request.system,
            part: request.part,
            parts: request.parts,
            entries: request.entries,
            context: request.context,
            days,
            as_of: request.as_of,
            sessions: sessions.len(),
            often: often(material, &asked, MOST_OFTEN),
            pace: request.pace,
            most: (minutes / 2).clamp(2, 8),
        }
    }
}

/// A draft, and whether it is all there is.
pub struct Drafted {
    /// The draft.
    pub draft: Draft,
    /// Whether it tells everything that may be told.
    pub is_all: bool,
}

/// Leaves out what a short draft can do without, until the rest fits: the last word,
/// the aim, what the vehicle is, all but one of the needs and figures, an opening longer than others, the
/// figures themselves, the opening. Cautions stay.
fn shorten(desk: &mut Desk<'_>, openings: &[usize], target: usize) {
    let none = BTreeSet::new();
    while compose(desk, &none).words() > target {
        let length = |moment: usize| desk.material.moments[moment].words();
        let shorter = desk.opening.and_then(|now| {
            let mut others = openings.iter().copied();
            others.find(|other| length(*other) < length(now))
        });
        let frame = &mut desk.frame;
        if !desk.closing.is_empty() {
            desk.closing.clear();
        } else if desk.aim.is_some() {
            desk.aim = None;
        } else if let Some(about) = frame
            .about
            .first_mut()
            .filter(|about| about.lines.len() > 1)
        {
            about.lines.truncate(1);
        } else if frame.next.len() > 1 {
            frame.next.pop();
        } else if frame.numbers.len() > 1 {
            frame.numbers.pop();
        } else if shorter.is_some() {
            desk.opening = shorter;
        } else if frame.next.pop().is_none()
            && frame.numbers.pop().is_none()
            && desk.opening.take().is_none()
        {
            break;
        }
    }
}

/// The first and the last day of what may be told.
fn days(material: &Material, may: &[bool]) -> Option<(Date, Date)> {
    let days = || {
        material
            .sources
            .iter()
            .zip(may)
            .filter(|(_, may)| **may)
            .map(|(source, _)| source.when.date)
    };
    Some((days().min()?, days().max()?))
}

/// The hazards that each source raises that may be told.
fn hazards(material: &Material, entries: &[Entry], may: &[bool]) -> BTreeMap<usize, Vec<Raised>> {
    let entries: BTreeMap<&str, &Entry> = entries
        .iter()
        .map(|entry| (entry.path.as_str(), entry))
        .collect();
    let sources = material.sources.iter().zip(may).enumerate();
    sources
        .filter(|(_, (_, may))| **may)
        .filter_map(|(index, (source, _))| {
            let entry = entries.get(source.when.entry.as_str())?;
            let raised = match source.record {
                Some(record) => of_record(entry, entry.records.get(record)?),
                None => of_session(entry),
            };
            Some((index, raised))
        })
        .collect()
}

/// The last word takes no more than this share of all that goes beyond so many words.
const LAST_SHARE: usize = 6;
const SHORT_DRAFT: usize = 1200;

/// So many things that are said often are enough.
const MOST_OFTEN: usize = 4;

fn within(days: Option<(Date, Date)>, day: Date) -> bool {
    days.is_some_and(|(first, last)| day >= first && day <= last)
}
