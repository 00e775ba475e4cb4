//! `recap`: the draft of an episode from what has not been told.

mod asked;

use super::arguments::{Common, Form, Recap};
use super::failure::Failure;
use super::find::vehicle;
use super::pictures::picture;
use super::world::World;
use super::{Reply, opened};
use crate::entry::{decode, read_file};
use crate::journal::{Contents, Episode, Journal, VehicleFile, slug};
use crate::ledger::Ledger;
use crate::presentation::json::text as json_text;
use crate::presentation::recap::marks::short_clock;
use crate::presentation::recap::untold::{self as untold_list, Twice};
use crate::presentation::recap::{article, description, json, markdown, marks, shots as shot_list};
use crate::recap::{
    Draft, Drafted, Known, Origin, Request, Source, Weighed, edited, shots, untold,
};
use asked::{Asked, Told, last_written_about, name_of};

/// Answers `recap`.
pub(super) fn run(verb: &Recap, common: &Common, world: &World) -> Result<Reply, Failure> {
    consistent(verb, common)?;
    let journal = opened::journal(common, world)?;
    let contents = opened::counted(&journal, None, world)?;
    let ledger = Ledger::fold(&contents.entries);
    if let Some(number) = verb.episode {
        return of_episode(number, verb, common, world, &journal, &contents, &ledger);
    }
    let context = contents.context();
    let asked = Asked::read(verb, &journal, &contents, &ledger, world)?;
    let weighed = Weighed::new(&asked.vehicle, &contents.entries, &ledger, &context);
    let is_asked = |source: &Source| asked.wants(source, &ledger);
    let told = Told::new(&asked.vehicle, &contents, &context);
    let may = |source: &Source| is_asked(source) && (verb.again || told.by(source).is_empty());
    if verb.untold {
        return Ok(list_untold(verb, common, world, &weighed, &may, &told));
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
        write(draft, verb, &journal, &contents)?
    } else {
        Reply::new(in_form(
            draft, verb, common, world, &weighed, &journal, &contents,
        ))
    };
    reply.said.extend(not_as_asked(&drafted, verb));
    Ok(reply)
}

/// An episode as it was edited, in another form.
fn of_episode(
    number: u32,
    verb: &Recap,
    common: &Common,
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
    if verb.form == Form::Draft && !common.json {
        return Err(Failure::misuse(
            format!("episode {number} is {}, as it was edited", episode.path),
            "say with --as what to make of it: article, chapters, marks, description, shots",
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
    let out = in_form(&draft, verb, common, world, &weighed, journal, contents);
    Ok(Reply::new(out))
}

/// Refuses what cannot be meant together.
fn consistent(verb: &Recap, common: &Common) -> Result<(), Failure> {
    let is_shots = verb.form == Form::Shots;
    if verb.csv && (!is_shots || common.json) {
        return Err(Failure::misuse(
            "only the shot list comes as CSV",
            "write `recap --as shots --csv`",
        ));
    }
    if common.json && verb.form != Form::Draft {
        return Err(Failure::misuse(
            "the answer is either JSON or another form",
            "leave out --json or --as; the JSON holds chapters and shots as well",
        ));
    }
    if verb.write && (verb.form != Form::Draft || verb.untold || common.json) {
        return Err(Failure::misuse(
            "only a draft is put among the episodes",
            "leave out --as, --untold and --json",
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
    common: &Common,
    world: &World,
    weighed: &Weighed,
    journal: &Journal,
    contents: &Contents,
) -> String {
    let shots = || shots(&weighed.material, draft);
    if common.json {
        return json_text(&json::recap(draft, verb.minutes, &shots()));
    }
    match verb.form {
        Form::Draft => markdown::render(draft, next_number(&contents.episodes), verb.why),
        Form::Article => article::render(draft, &|path| picture(journal, path)),
        Form::Chapters => marks::web_vtt(draft),
        Form::Marks => marks::plain(draft),
        Form::Description => description::render(draft),
        Form::Shots if verb.csv => shot_list::csv(&shots()),
        Form::Shots => shot_list::render(&shots(), world.width).render(world.colours),
    }
}

/// Puts a draft among the episodes.
fn write(
    draft: &Draft,
    verb: &Recap,
    journal: &Journal,
    contents: &Contents,
) -> Result<Reply, Failure> {
    if draft.told.is_empty() {
        return Err(Failure::misuse(
            "there is no sentence to tell in this, so no episode was written",
            "`matchmark recap --untold` lists what there is",
        ));
    }
    let number = next_number(&contents.episodes);
    let path = format!("episodes/{number:02}-{}.md", slug(&draft.title));
    journal.add(&path, &markdown::render(draft, number, verb.why))?;
    Ok(Reply::new(format!(
        "written to {path}: {} words, {} minutes\n{} records count as told now; delete a line under `told:` to tell it another time\n",
        draft.words(),
        short_clock(draft.seconds()),
        draft.told.len()
    )))
}

fn list_untold(
    verb: &Recap,
    common: &Common,
    world: &World,
    weighed: &Weighed,
    may: &dyn Fn(&Source) -> bool,
    told: &Told<'_>,
) -> Reply {
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
    let out = if common.json {
        json_text(&json::untold(&untold, &twice))
    } else if untold.is_empty() && twice.is_empty() {
        "everything has been told\n".to_owned()
    } else {
        untold_list::render(&untold, &twice, verb.most, world.width).render(world.colours)
    };
    Reply::new(out).answering(!untold.is_empty())
}

/// The number after the last.
fn next_number(episodes: &[Episode]) -> u32 {
    episodes
        .iter()
        .filter_map(|episode| episode.number)
        .max()
        .map_or(1, |last| last.saturating_add(1))
}
