//! `refit`: the order back, what can go on now, what holds up the rest.

use std::borrow::Cow;
use std::collections::BTreeMap;

use jiff::civil::Date;

use super::arguments::{Common, RefitArgs, RefitForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::pictures::PagePictures;
use super::scope::{system, vehicle};
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::journal::Journal;
use crate::ledger::{Ledger, PlaceKey};
use crate::presentation::drawing::order::OrderPicture;
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::page::refit::Checklist;
use crate::presentation::refit::{RefitSide, RefitView};
use crate::presentation::text::counted;
use crate::reports::parts::{Listed, Meant, NameContext, standing};
use crate::reports::refit::RefitReport;
use crate::vocabulary::words::fold;

/// Answers `refit`.
pub(super) fn run(verb: &RefitArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    match verb.output.form() {
        RefitForm::Page if verb.tonight || verb.alone || verb.step.is_some() => {
            return Err(Failure::misuse(
                "the page is a checklist of all steps",
                "leave out --tonight, --alone and --step, or --as page",
            ));
        }
        RefitForm::Picture if verb.tonight || verb.step.is_some() => {
            return Err(Failure::misuse(
                "the picture shows how steps hold each other up",
                "leave out --tonight and --step, or --as picture",
            ));
        }
        RefitForm::Text | RefitForm::Json | RefitForm::Page | RefitForm::Picture => {}
    }
    let journal = opened::journal(common, world)?;
    let question = Question::of("refit", verb, &verb.output, world);
    let here = (&journal, world);
    whole_journal::replied(
        &question,
        &verb.times,
        HardwareScope::Taken,
        here,
        |asked| {
            let today = asked.on.unwrap_or_else(|| world.today());
            answer(verb, world, &journal, &asked.whole.ledger, today)
        },
    )
}

fn answer(
    verb: &RefitArgs,
    world: &World,
    journal: &Journal,
    ledger: &Ledger,
    today: Date,
) -> Result<Reply, Failure> {
    let only = vehicle(verb.vehicle.as_ref(), journal)?;
    let to = verb.to.as_ref().map(|words| words.join(" "));
    let targets = match &to {
        Some(to) => match targets(to, only.as_deref(), journal, ledger) {
            Ok(targets) => targets,
            Err(candidates) => {
                return unclear(to, &candidates, verb, world, journal, ledger);
            }
        },
        None => Vec::new(),
    };
    let vehicles = match targets.first() {
        Some(target) => vec![target.vehicle.clone()],
        None => vehicles(ledger, only.as_deref()),
    };
    let system = system(verb.system.as_ref(), journal)?;
    let answers: Vec<RefitReport<'_>> = vehicles
        .iter()
        .map(|vehicle| RefitReport::new(ledger, vehicle, &journal.settings().systems, verb.alone))
        .collect();
    let as_of = opened::as_of(&verb.times, world)?;
    let options = options(verb);
    let mut plans: Vec<(RefitSelection, RefitView<'_>)> = Vec::new();
    for (answer, slug) in answers.iter().zip(&vehicles) {
        let asked = RefitSelection::new(answer, verb, system.as_deref(), &targets);
        let shown = RefitView {
            answer,
            steps: asked.steps.clone(),
            blocked: asked.blocked.clone(),
            loose: asked.loose.clone(),
            vehicle: full_name(journal, slug),
            today,
            as_of: as_of.as_deref(),
            options: &options,
        };
        if !shown.is_empty() || verb.to.is_some() {
            plans.push((asked, shown));
        }
    }
    reply(verb, world, journal, plans)
}

/// What of a plan is asked about.
struct RefitSelection {
    /// The steps, counted from 0.
    steps: Vec<usize>,
    /// The places that cannot be put back.
    blocked: Vec<usize>,
    /// The parts that are on and still loose.
    loose: Vec<usize>,
    /// The places of `--to`.
    targets: Vec<usize>,
}

impl RefitSelection {
    fn new(
        answer: &RefitReport<'_>,
        verb: &RefitArgs,
        system: Option<&str>,
        targets: &[PlaceKey],
    ) -> RefitSelection {
        let targets: Vec<usize> = targets
            .iter()
            .filter_map(|key| answer.plan.places.number(key))
            .collect();
        let steps = match system {
            Some(system) => answer.plan.steps_of_system(system),
            None if verb.to.is_some() => answer.plan.steps_leading_to(&targets),
            None => (0..answer.plan.steps.len()).collect(),
        };
        let needed = answer.plan.needed_for(&targets);
        let is_asked = |place: &usize| match system {
            Some(system) => {
                let own = answer.plan.places.system(*place);
                own.is_some_and(|own| fold(own) == fold(system))
            }
            None => verb.to.is_none() || needed[*place],
        };
        let only_asked = |mut places: Vec<usize>| {
            places.retain(is_asked);
            places
        };
        RefitSelection {
            steps,
            blocked: only_asked(answer.plan.blocked()),
            loose: only_asked(answer.plan.loose()),
            targets,
        }
    }
}

/// The answer in the form that was asked for.
fn reply(
    verb: &RefitArgs,
    world: &World,
    journal: &Journal,
    mut plans: Vec<(RefitSelection, RefitView<'_>)>,
) -> Result<Reply, Failure> {
    let any = !plans.is_empty();
    if let Some(step) = verb.step {
        // Each vehicle counts its own steps: without a name the first is meant.
        plans.truncate(1);
        for (_, shown) in &mut plans {
            shown.steps = vec![numbered(step, shown)?];
            shown.blocked.clear();
            shown.loose.clear();
        }
    }
    let document = match (verb.output.form(), plans.first()) {
        (RefitForm::Json, _) => {
            let plans: Vec<RefitView<'_>> = plans.into_iter().map(|(_, shown)| shown).collect();
            Json.export(&plans[..])
        }
        (RefitForm::Picture, _) => {
            let plans: Vec<RefitView<'_>> = plans.into_iter().map(|(_, shown)| shown).collect();
            OrderPicture.export(&plans[..])
        }
        (RefitForm::Page, Some((_, shown))) => {
            return checklist(verb, shown, others(journal, &plans[1..]), journal, world);
        }
        (RefitForm::Text, Some((asked, shown))) => {
            let others = others(journal, &plans[1..]);
            let view = if verb.step.is_some() {
                RefitSide::Step(shown)
            } else if verb.to.is_some() {
                RefitSide::WayTo(shown, &asked.targets)
            } else if verb.tonight {
                RefitSide::Tonight(shown, &others)
            } else {
                RefitSide::Overview(shown, &others)
            };
            terminal(&verb.output, world).export(&view)
        }
        (RefitForm::Text, None) => terminal(&verb.output, world).export(&RefitSide::Nothing),
        (RefitForm::Page, None) => {
            let said = terminal(&verb.output, world).export(&RefitSide::Nothing);
            return Ok(Reply::new(said.sheets.concat()).answering(false));
        }
    };
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    Ok(reply.answering(any))
}

/// A line about each plan that is not shown.
fn others(journal: &Journal, plans: &[(RefitSelection, RefitView<'_>)]) -> Vec<String> {
    plans
        .iter()
        .map(|(_, shown)| {
            let slug = journal
                .vehicles()
                .iter()
                .find(|vehicle| vehicle.name == shown.vehicle)
                .map_or(shown.vehicle, |vehicle| vehicle.slug.as_str());
            format!(
                "{}, {}: matchmark refit --vehicle {slug}",
                shown.vehicle,
                counted(shown.steps.len(), "step", "steps")
            )
        })
        .collect()
}

/// The vehicles, the one last written about first.
fn vehicles(ledger: &Ledger, only: Option<&str>) -> Vec<String> {
    let mut last: BTreeMap<&str, Date> = BTreeMap::new();
    for (key, state) in ledger.recorded() {
        let day = state.timeline.iter().map(|moment| moment.when.date).max();
        if let Some(day) = day.filter(|_| only.is_none_or(|only| key.vehicle == only)) {
            let known = last.entry(&key.vehicle).or_insert(day);
            *known = day.max(*known);
        }
    }
    let mut vehicles: Vec<(&str, Date)> = last.into_iter().collect();
    vehicles.sort_by_key(|(vehicle, day)| (std::cmp::Reverse(*day), *vehicle));
    vehicles
        .into_iter()
        .map(|(vehicle, _)| vehicle.to_owned())
        .collect()
}

/// The full name of a vehicle.
fn full_name<'j>(journal: &'j Journal, slug: &'j str) -> &'j str {
    let known = journal
        .vehicles()
        .iter()
        .find(|vehicle| vehicle.slug == slug);
    known.map_or(slug, |vehicle| vehicle.name.as_str())
}

/// The places that `--to` means: all positions of one part, else those it could
/// be.
fn targets(
    text: &str,
    vehicle: Option<&str>,
    journal: &Journal,
    ledger: &Ledger,
) -> Result<Vec<PlaceKey>, Vec<PlaceKey>> {
    let names = NameContext {
        aliases: &ledger.aliases,
        context: &journal.context(),
        vehicle,
    };
    match names.meant(text, &ledger.places) {
        Meant::One(key) | Meant::Near(key) => Ok(vec![key]),
        Meant::Several(keys) => {
            let one_part = keys
                .iter()
                .all(|key| (&key.vehicle, &key.name) == (&keys[0].vehicle, &keys[0].name));
            if one_part { Ok(keys) } else { Err(keys) }
        }
        Meant::None => Err(Vec::new()),
    }
}

/// The parts that a name could mean.
fn unclear(
    name: &str,
    keys: &[PlaceKey],
    verb: &RefitArgs,
    world: &World,
    journal: &Journal,
    ledger: &Ledger,
) -> Result<Reply, Failure> {
    let listed: Vec<Listed<'_>> = keys
        .iter()
        .filter_map(|key| ledger.places.get(key))
        .map(|state| Listed {
            standing: standing(state, ledger),
            state: Cow::Borrowed(state),
        })
        .collect();
    let several = journal.vehicles().len() > 1;
    super::part::unclear(name, &listed, several, &verb.output, world)
}

/// The step with a number that was typed.
fn numbered(step: usize, shown: &RefitView<'_>) -> Result<usize, Failure> {
    let number = step.checked_sub(1);
    let found = number.filter(|number| shown.steps.contains(number));
    found.ok_or_else(|| {
        Failure::misuse(
            format!("there is no step {step}"),
            format!("`matchmark refit{}` lists the steps", shown.options),
        )
    })
}

/// The options that make the same plan again.
fn options(verb: &RefitArgs) -> String {
    let mut options = String::new();
    let times = &verb.times;
    let given = [
        ("vehicle", &verb.vehicle),
        ("system", &verb.system),
        ("on", &times.on),
        ("as-written", &times.as_written),
    ];
    for (option, value) in given {
        if let Some(value) = value {
            let quote = if value.contains(' ') { "\"" } else { "" };
            options.push_str(&format!(" --{option} {quote}{value}{quote}"));
        }
    }
    options
}

/// Makes the checklist, and names what is `others` than on it.
fn checklist(
    verb: &RefitArgs,
    shown: &RefitView<'_>,
    others: Vec<String>,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let to = verb.to.as_ref().map(|words| words.join(" "));
    let title = match (&to, &verb.system) {
        (Some(to), _) => format!("{}: to get on {to}", shown.vehicle),
        (None, Some(system)) => format!("{}: {system}, back together", shown.vehicle),
        (None, None) => format!("{}: back together", shown.vehicle),
    };
    let as_of = shown
        .as_of
        .map(|as_of| format!(", {as_of}"))
        .unwrap_or_default();
    let pictures = PagePictures::new(journal);
    let checklist = Checklist {
        title,
        about: format!(
            "{}. Made on {}{as_of}.",
            journal.settings().name,
            world.today()
        ),
        picture: &|path| pictures.find(path),
    };
    let document = checklist.export(shown);
    let about = DocumentSummary {
        holds: counted(shown.steps.len(), "step", "steps"),
        notes: others
            .iter()
            .map(|other| format!("not on this page: {other}"))
            .chain(pictures.left_out())
            .collect(),
    };
    deliver(document, &verb.output, about, world)
}
