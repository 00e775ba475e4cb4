//! The draft of an episode from the journal's entries: collect, weigh, choose,
//! write.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::choose::{choose, in_order_of_worth};
use super::compose::{Desk, compose};
use super::draft::Draft;
use super::frame::{Extent, frame};
use super::material::{Material, Source, material};
use super::moments::Voice;
use super::often::often;
use super::weigh::{Worth, weigh};
use crate::entry::{Context, Entry};
use crate::ledger::Ledger;
use crate::reports::cautions::{Raised, of_record, of_session};
use crate::vocabulary::words::fold;

/// What is asked for.
pub struct Request<'r> {
    /// The vehicle's slug.
    pub vehicle: &'r str,
    /// The vehicle's name.
    pub vehicle_name: &'r str,
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
}

impl Weighed {
    /// Collects and weighs all that is said of a vehicle, told or not.
    #[must_use]
    pub fn new(vehicle: &str, entries: &[Entry], ledger: &Ledger, context: &Context) -> Weighed {
        let material = material(vehicle, entries, ledger, context);
        let worths = weigh(&material);
        Weighed { material, worths }
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
    pub fn draft(&self, request: &Request<'_>, ledger: &Ledger) -> Draft {
        let material = &self.material;
        let may: Vec<bool> = material
            .sources
            .iter()
            .map(|source| (request.may)(source))
            .collect();
        let order = in_order_of_worth(material, &self.worths, &|source| may[source]);
        let minutes = usize::try_from(request.minutes).unwrap_or(usize::MAX);
        let days = days(material, &may);
        let extent = Extent {
            vehicle: request.vehicle,
            vehicle_name: request.vehicle_name,
            system: request.system,
            part: request.part,
            parts: request.parts,
            entries: request.entries,
            context: request.context,
            days,
            as_of: request.as_of,
            sessions: sessions(material, request, days),
            often: often(
                material,
                &|source| within(days, source.when.date) && (request.asked)(source),
                MOST_OFTEN,
            ),
            pace: request.pace,
            most: (minutes / 2).clamp(2, 8),
        };
        let frame = frame(&extent, ledger);
        let opening = order.iter().copied().find(|moment| {
            let moment = &material.moments[*moment];
            let begins = moment.fresh && !moment.leans;
            moment.voice == Voice::Prose && begins && moment.words() >= LEAST_OPENING
        });
        let aims: Vec<usize> = aim(material, &order, &may, opening).into_iter().collect();
        let hazards = hazards(material, request.entries, &may);
        let desk = Desk {
            material,
            worths: &self.worths,
            hazards: &hazards,
            frame: &frame,
            opening,
            aims: &aims,
        };
        let pace = usize::try_from(request.pace).unwrap_or(usize::MAX);
        let target = minutes.saturating_mul(pace);
        let mut words = |chosen: &BTreeSet<usize>| compose(&desk, chosen).words();
        let chosen = choose(material, &order, target, &mut words);
        compose(&desk, &chosen)
    }
}

/// An opening shorter than this is over before anyone listens.
const LEAST_OPENING: usize = 18;

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

/// So many things that are said often are enough.
const MOST_OFTEN: usize = 4;

fn within(days: Option<(Date, Date)>, day: Date) -> bool {
    days.is_some_and(|(first, last)| day >= first && day <= last)
}

/// How many entries of these days have something that is asked about.
fn sessions(material: &Material, request: &Request<'_>, days: Option<(Date, Date)>) -> usize {
    let asked: Vec<bool> = material
        .sources
        .iter()
        .map(|source| {
            let day = source.when.date;
            days.is_some_and(|(first, last)| day >= first && day <= last) && (request.asked)(source)
        })
        .collect();
    entries(material, &asked).len()
}

/// The entries with something that may be told, in the order of the work.
fn entries<'m>(material: &'m Material, may: &[bool]) -> Vec<&'m str> {
    let mut entries: Vec<&str> = material
        .sources
        .iter()
        .zip(may)
        .filter(|(_, may)| **may)
        .map(|(source, _)| source.when.entry.as_str())
        .collect();
    let mut seen = BTreeSet::new();
    entries.retain(|entry| seen.insert(*entry));
    entries
}

/// Words with which people say what they are about to do.
const AIMS: [&str; 12] = [
    "i am going to be",
    "i have been looking forward",
    "i meant to",
    "i wanted to",
    "my plan",
    "set out to",
    "so that i know",
    "the aim",
    "the idea was",
    "the plan is",
    "the plan was",
    "we wanted to",
];

/// The moment that says what was set out to do: the one with the most such
/// words among the first entries, the stronger of two.
fn aim(
    material: &Material,
    order: &[usize],
    may: &[bool],
    opening: Option<usize>,
) -> Option<usize> {
    let entries = entries(material, may);
    let first = &entries[..entries.len().div_ceil(4)];
    let mut best: Option<(usize, usize)> = None;
    for moment in order
        .iter()
        .copied()
        .filter(|moment| Some(*moment) != opening)
    {
        let own = &material.moments[moment];
        let source = &material.sources[own.source];
        if own.voice != Voice::Prose || !first.contains(&source.when.entry.as_str()) {
            continue;
        }
        let said: Vec<String> = own.sentences.iter().map(|one| fold(&one.text)).collect();
        let found = AIMS
            .iter()
            .filter(|words| said.iter().any(|text| text.contains(*words)))
            .count();
        if found > best.map_or(0, |(most, _)| most) {
            best = Some((found, moment));
        }
    }
    best.map(|(_, moment)| moment)
}
