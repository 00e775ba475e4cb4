//! `recap`: the draft of an episode from what has not been told.

mod asked;

use super::arguments::{Common, Recap, RecapForm};
use super::destination::{About, deliver, terminal};
use super::failure::Failure;
use super::find::vehicle;
use super::pictures::picture;
use super::world::World;
use super::{Reply, opened};
use crate::entry::{decode, read_file};
use crate::journal::{Contents, Episode, Journal, VehicleFile, slug};
use crate::ledger::Ledger;
use crate::presentation::csv::Csv;
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::json::recap::DraftAnswer;
use crate::presentation::page::article::Article;
use crate::presentation::recap::description::Description;
use crate::presentation::recap::markdown::EpisodeFile;
use crate::presentation::recap::marks::{ChapterList, WebVtt, short_clock};
use crate::presentation::recap::untold::{Twice, UntoldList};
use crate::presentation::text::fitted;
use crate::recap::{
    Draft, Drafted, Known, Origin, Request, Source, Weighed, edited, shots, untold,
};
use asked::{Asked, Told, last_written_about, name_of};

/// Answers `recap`.
pub(super) fn run(verb: &Recap, common: &Common, world: &World) -> Result<Reply, Failure> {
    consistent(verb)?;
    let journal = opened::journal(common, world)?;
    let contents = journal.load()?;
    let ledger = Ledger::fold(&contents.entries);
    if let Some(number) = verb.episode {
        return of_episode(number, verb, world, &journal, &contents, &ledger);
    }
    let context = contents.context();
    let asked = Asked::read(verb, &journal, &contents, &ledger, world)?;
    let weighed = Weighed::new(&asked.vehicle, &contents.entries, &ledger, &context);
    let is_asked = |source: &Source| asked.wants(source, &ledger);
    let told = Told::new(&asked.vehicle, &contents, &context);
    let may = |source: &Source| is_asked(source) && (verb.again || told.by(source).is_empty());
    if verb.untold {
        return list_untold(verb, world, &weighed, &may, &told);
    }
    // A question with a last day is about the past: its figures are those of the
    // last day that is told of. Else they are the latest there are.
    let as_of = match asked.span.until {
        Some(_) => weighed.last_day(&may),
        None => weighed.last_day(&may).and(weighed.last_day(&|_| true)),
    };
    let Some(as_of) = as_of else {
        let about = asked.in_words();
        let mut reply = Reply::new(String::new()).answering(false);
        reply.said = if weighed.material.sources.iter().any(is_asked) {
            vec![
                format!("nothing is left to tell of {about}"),
                "--again tells what was told already".to_owned(),
            ]
        } else {
            vec![format!("nothing is written about {about}")]
        };
        return Ok(reply);
    };
    let then = Ledger::fold_until(&contents.entries, Some(as_of));
    let own = contents
        .vehicles
        .iter()
        .find(|known| known.slug == asked.vehicle);
    let request = Request {
        vehicle: &asked.vehicle,
        vehicle_name: &asked.vehicle_name,
        vehicle_about: own.and_then(page_of),
        system: asked.system.as_deref(),
        part: verb.only.part.as_deref(),
        parts: asked.parts.as_ref(),
        entries: &contents.entries,
        context: &context,
        asked: &is_asked,
        may: &may,
        as_of,
        minutes: verb.minutes.into(),
        pace: journal.settings().speaking_pace,
    };
    let drafted = weighed.draft(&request, &then);
    let draft = &drafted.draft;
    let mut reply = if verb.write {
        write(draft, verb, &journal, &contents, world)?
    } else {
        in_form(draft, verb, world, &weighed, &journal, &contents)?
    };
    reply.said.extend(not_as_asked(&drafted, verb));
    Ok(reply)
}

/// An episode as it was edited, in another form.
fn of_episode(
    number: u32,
    verb: &Recap,
    world: &World,
    journal: &Journal,
    contents: &Contents,
    ledger: &Ledger,
) -> Result<Reply, Failure> {
    let Some(episode) = contents
        .episodes
        .iter()
        .find(|episode| episode.number == Some(number))
    else {
        return Err(Failure::misuse(
            format!("there is no episode {number}"),
            "`recap --write` puts the next draft among the episodes",
        ));
    };
    if verb.output.form() == RecapForm::Draft {
        return Err(Failure::misuse(
            format!("episode {number} is {}, as it was edited", episode.path),
            "say with --as what to make of it: article, chapters, chapter-list, description, shots, shots-csv",
        ));
    }
    let vehicle = match vehicle(episode.vehicle.as_ref(), journal)? {
        Some(vehicle) => vehicle,
        None => last_written_about(contents)?,
    };
    let text = decode(journal.bytes(&episode.path)?).text;
    let context = contents.context();
    let (text, _) = read_file(&episode.path, &text, &context);
    let weighed = Weighed::new(&vehicle, &contents.entries, ledger, &context);
    let title = episode.title.clone().or_else(|| text.title.clone());
    let known = Known {
        title: title.unwrap_or_else(|| format!("Episode {number}")),
        vehicle_name: name_of(&vehicle, contents),
        vehicle,
        days: episode.from.zip(episode.to),
        told: episode.told.clone(),
        pace: journal.settings().speaking_pace,
    };
    let draft = edited(&text, known, &weighed.material);
    in_form(&draft, verb, world, &weighed, journal, contents)
}

/// Refuses what cannot be meant together.
fn consistent(verb: &Recap) -> Result<(), Failure> {
    let form = verb.output.form();
    if verb.untold && !matches!(form, RecapForm::Draft | RecapForm::Json) {
        return Err(Failure::misuse(
            "what has not been told comes in words or in JSON only",
            "leave out --as or --untold",
        ));
    }
    if verb.write && (form != RecapForm::Draft || verb.untold || verb.output.file().is_some()) {
        return Err(Failure::misuse(
            "only a draft is put among the episodes",
            "leave out --as, --into, --untold and --json",
        ));
    }
    Ok(())
}

/// The first paragraph of a vehicle's page, and where it stands.
fn page_of(vehicle: &VehicleFile) -> Option<(&str, Origin)> {
    let (text, line) = vehicle.about.as_ref()?;
    let origin = Origin::Page {
        page: format!("vehicles/{}.md", vehicle.slug),
        line: *line,
    };
    Some((text, origin))
}

/// What can be heard in less time than was asked for, or takes more.
fn not_as_asked(drafted: &Drafted, verb: &Recap) -> Option<String> {
    let asked = u64::from(verb.minutes) * 60;
    let is = drafted.draft.seconds();
    let minutes = match verb.minutes {
        1 => "minute".to_owned(),
        more => format!("{more} minutes"),
    };
    let length = format!("{} of the {minutes} asked for", short_clock(is));
    if is * 10 > asked * 11 {
        return Some(format!(
            "it takes {}, not the {minutes} asked for: less cannot be said",
            short_clock(is)
        ));
    }
    (is * 10 < asked * 9).then(|| match drafted.is_all {
        true => format!("this is all there is to tell: {length}"),
        false => format!("what else there is to tell does not fit in: {length}"),
    })
}

/// The draft as it was asked for.
fn in_form(
    draft: &Draft,
    verb: &Recap,
    world: &World,
    weighed: &Weighed,
    journal: &Journal,
    contents: &Contents,
) -> Result<Reply, Failure> {
    let shots = || shots(&weighed.material, draft);
    let document = match verb.output.form() {
        RecapForm::Draft => EpisodeFile {
            number: next_number(&contents.episodes),
            why: verb.why,
        }
        .export(draft),
        RecapForm::Json => Json.export(&DraftAnswer {
            draft,
            minutes: verb.minutes,
            shots: &shots(),
        }),
        RecapForm::Article => Article {
            picture: &|path| picture(journal, path),
        }
        .export(draft),
        RecapForm::Chapters => WebVtt.export(draft),
        RecapForm::ChapterList => ChapterList.export(draft),
        RecapForm::Description => Description.export(draft),
        RecapForm::Shots => terminal(&verb.output, world).export(&shots()[..]),
        RecapForm::ShotsCsv => Csv.export(&shots()[..]),
    };
    let mut reply = deliver(document, &verb.output, About::default(), world)?;
    if verb.output.form() == RecapForm::Draft && world.is_seen {
        // Who only reads it needs no file that is one.
        reply.out = fitted(&reply.out, world.width);
    }
    Ok(reply)
}

/// Puts a draft among the episodes.
fn write(
    draft: &Draft,
    verb: &Recap,
    journal: &Journal,
    contents: &Contents,
    world: &World,
) -> Result<Reply, Failure> {
    if draft.told.is_empty() {
        return Err(Failure::misuse(
            "there is no sentence to tell in this, so no episode was written",
            "`matchmark recap --untold` lists what there is",
        ));
    }
    let number = next_number(&contents.episodes);
    let path = format!("episodes/{number:02}-{}.md", slug(&draft.title));
    let file = EpisodeFile {
        number,
        why: verb.why,
    };
    journal.add(&path, &file.export(draft).sheets.concat())?;
    let said = format!(
        "written to {path}: {} words, {} minutes\n{} records count as told now; delete a line under `told:` to tell it another time\n",
        draft.words(),
        short_clock(draft.seconds()),
        draft.told.len()
    );
    Ok(Reply::new(fitted(&said, world.width)))
}

fn list_untold(
    verb: &Recap,
    world: &World,
    weighed: &Weighed,
    may: &dyn Fn(&Source) -> bool,
    told: &Told<'_>,
) -> Result<Reply, Failure> {
    let untold = untold(&weighed.material, &weighed.worths, may);
    let twice: Vec<Twice> = weighed
        .material
        .sources
        .iter()
        .filter_map(|source| {
            let by = told.by(source);
            (by.len() > 1).then(|| {
                let paths = by.iter().map(|episode| episode.path.clone()).collect();
                (source.record_name(), paths)
            })
        })
        .collect();
    let list = UntoldList {
        untold: &untold,
        twice: &twice,
        most: verb.most,
    };
    let document = match verb.output.is_json() {
        true => Json.export(&list),
        false => terminal(&verb.output, world).export(&list),
    };
    let reply = deliver(document, &verb.output, About::default(), world)?;
    Ok(reply.answering(!untold.is_empty()))
}

/// The number after the last.
fn next_number(episodes: &[Episode]) -> u32 {
    episodes
        .iter()
        .filter_map(|episode| episode.number)
        .max()
        .map_or(1, |last| last.saturating_add(1))
}
