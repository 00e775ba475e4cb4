//! `recap`: the draft of an episode from what has not been told.

mod request;

use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{self, Read};
use std::mem::ManuallyDrop;
use std::path::Path;

use super::arguments::{Common, RecapArgs, RecapForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::fresh_index::fresh_walked;
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::pictures::PagePictures;
use super::scope::vehicle;
use super::world::World;
use super::{Reply, opened, uncounted};
use crate::entry::{Entry, decode, read_file, without_private};
use crate::journal::{Contents, Episode, Journal, VehicleFile, read_if_there, slug};
use crate::ledger::Ledger;
use crate::parallel;
use crate::presentation::csv::Csv;
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::json::recap::DraftAnswer;
use crate::presentation::page::article::Article;
use crate::presentation::recap::description::Description;
use crate::presentation::recap::edit_list::{Cmx3600, EditList, Otio};
use crate::presentation::recap::markdown::EpisodeFile;
use crate::presentation::recap::marks::{ChapterList, WebVtt, short_clock};
use crate::presentation::recap::outline_sheet::{Sheet, line as sheet_line};
use crate::presentation::recap::untold::{ToldTwice, UntoldList};
use crate::presentation::text::fitted;
use crate::recap::{
    Drafted, EpisodeDraft, Material, Outline, OutlineRow, RecapSource, Request, StatementOrigin,
    Ticks, draft, edited, material, read_sheet, shots, untold,
};
use crate::reports::summary::{SummaryScope, SummarySource};
use request::{RecapRequest, ToldEpisodes, last_written_about, name_of};

/// Answers `recap`.
pub(super) fn run(verb: &RecapArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    consistent(verb)?;
    let journal = opened::journal(common, world)?;
    // The index does not know the episodes, which say what was told.
    let episodes = journal.episode_texts().map(|texts| {
        let mut hasher = DefaultHasher::new();
        texts.hash(&mut hasher);
        hasher.finish()
    });
    let (fresh, walked) = fresh_walked(&journal, world)?;
    let is_kept = !verb.write && verb.from.is_none();
    let mut keeper = None;
    if let Some(episodes) = episodes.filter(|_| is_kept) {
        let question = Question::of("recap", verb, &verb.output, world).and(&episodes);
        match question.kept(&fresh, &journal) {
            Ok(mut reply) => {
                fresh.say_uncounted(world);
                reply.afterwards = Some(Box::new(move || fresh.index.end()));
                return Ok(reply);
            }
            Err(unanswered) => keeper = Some(unanswered),
        }
    }
    let kept = parallel::both(
        || fresh.contents(&journal, &walked),
        || fresh.whole_journal(HardwareScope::Taken),
    );
    let (contents, ledger) = match kept {
        (Some(contents), Ok(whole)) => {
            uncounted::say_of(&contents.entries, world);
            (contents, whole.ledger)
        }
        (_, _) => {
            let contents = opened::counted(&journal, None, world)?;
            let ledger = Ledger::fold(&contents.entries);
            (contents, ledger)
        }
    };
    // They live as long as the process: giving their memory back piece by piece
    // takes longer than a small answer.
    let all = Box::leak(Box::new((contents, ledger)));
    let mut reply = made(verb, &journal, (&all.0, &all.1), world)?;
    match keeper {
        Some(keeper) => Ok(keeper.keeping(reply, fresh)),
        None => {
            reply.afterwards = Some(Box::new(move || fresh.index.end()));
            Ok(reply)
        }
    }
}

/// The reply, made from the texts and their ledger.
fn made(
    verb: &RecapArgs,
    journal: &Journal,
    (contents, everything): (&Contents, &Ledger),
    world: &World,
) -> Result<Reply, Failure> {
    let ticks = verb.from.as_deref().map(sheet_of).transpose()?;
    // Nothing below sees what is private, but for the figures that must not differ.
    let context = contents.context();
    let redacted = without_private(&contents.entries, &context);
    let own_ledger = redacted.as_ref().map(|entries| Ledger::fold(entries));
    let entries = redacted.as_deref().unwrap_or(&contents.entries);
    let ledger = own_ledger.as_ref().unwrap_or(everything);
    let shop = RecapContext {
        journal,
        contents,
        public: (entries, ledger),
    };
    if let Some(number) = verb.episode {
        return of_episode(number, verb, world, &shop);
    }
    let told = ToldEpisodes::new(contents, &context);
    let named = ticks.as_ref().and_then(|ticks| ticks.vehicle.as_ref());
    let asked = RecapRequest::read(
        verb,
        journal,
        contents,
        (entries, ledger),
        (&told, named),
        world,
    )?;
    let stock = ManuallyDrop::new(material(&asked.vehicle, entries, ledger, &context));
    let is_asked = |source: &RecapSource<'_>| asked.wants(source, ledger);
    let by = |source: &RecapSource<'_>| told.by(source, &asked.vehicle);
    let may = |source: &RecapSource<'_>| is_asked(source) && (verb.again || by(source).is_empty());
    if verb.untold {
        return list_untold(verb, world, &stock, &may, &by);
    }
    let Some(days) = stock.days(&may) else {
        let about = asked.in_words();
        let mut reply = Reply::new(String::new()).answering(false);
        reply.said = if stock.sources.iter().any(is_asked) {
            vec![
                format!("nothing is left to tell of {about}"),
                "--again tells what was told already".to_owned(),
            ]
        } else {
            vec![format!("nothing is written about {about}")]
        };
        return Ok(reply);
    };
    // A question with a last day is about the past: its figures are those of the
    // last day that is told of. Else they are the latest there are.
    let all_days = stock.days(&|_| asked.span.until.is_none());
    let (_, as_of) = all_days.unwrap_or(days);
    // Most questions are about all days: then the ledger is there already.
    let is_past = |date: Option<jiff::civil::Date>| date.is_none_or(|date| date <= as_of);
    let is_last = entries.iter().all(|entry| {
        is_past(entry.date) && entry.records.iter().all(|record| is_past(record.date))
    });
    let until = |entries: &[Entry]| Ledger::fold_until(entries, Some(as_of));
    let then_own = (!is_last).then(|| until(entries));
    let then = then_own.as_ref().unwrap_or(ledger);
    let all_own = (!is_last && redacted.is_some()).then(|| until(&contents.entries));
    let all_then = all_own.as_ref().unwrap_or(everything);
    let all_then = redacted.is_some().then_some(all_then);
    let own = contents
        .vehicles
        .iter()
        .find(|known| known.slug == asked.vehicle);
    let of_sheet = ticks.as_ref().and_then(|ticks| ticks.minutes);
    let minutes = verb.minutes.or(of_sheet).unwrap_or(USUAL_MINUTES);
    let half = usize::from(minutes / 2);
    let source = |entries, ledger| SummarySource {
        entries,
        ledger,
        context: &context,
    };
    let request = Request {
        scope: SummaryScope {
            vehicle: &asked.vehicle,
            system: asked.system.as_deref(),
            part: verb.only.part.as_deref(),
            parts: asked.parts.as_ref(),
            days,
            as_of,
            most: half.clamp(2, 8),
        },
        vehicle_name: &asked.vehicle_name,
        vehicle_about: own.and_then(page_of),
        asked: &is_asked,
        may: &may,
        minutes: minutes.into(),
        pace: journal.settings().speaking_pace,
        omitted: ticks
            .as_ref()
            .map(|ticks| ticks.omitted)
            .unwrap_or_default(),
        public: source(entries, then),
        all: all_then.map(|ledger| source(&contents.entries, ledger)),
    };
    let mut said = Vec::new();
    let ticked = ticks.map(|ticks| {
        let mut found = Vec::new();
        let by_id = stock.by_id();
        said.extend(ticks.said);
        for (line, id) in ticks.ticked {
            let known = by_id.get(id.as_str());
            let known = known.map(|moment| (*moment, stock.source(*moment)));
            match known {
                None => said.push(format!(
                    "line {line}: no moment is called `{id}`; its text or place has changed"
                )),
                Some((_, source)) if !is_asked(source) => {
                    said.push(format!("line {line}: `{id}` is not what was asked about"));
                }
                Some((_, source)) if !may(source) => {
                    said.push(format!(
                        "line {line}: `{id}` was told already; --again tells it again"
                    ));
                }
                Some((moment, _)) => found.push(moment),
            }
        }
        found
    });
    let drafted = draft(&stock, &request, ledger, ticked.as_deref());
    let made = &drafted.draft;
    let mut reply = if verb.write {
        write(made, verb, journal, contents, world)?
    } else {
        let outline = Some(&drafted.outline);
        in_form(made, outline, minutes, verb, world, &stock, &shop)?
    };
    reply.said.extend(said);
    if ticked.is_some() {
        reply.said.extend(of_ticks(&drafted, minutes));
    }
    reply
        .said
        .extend(not_as_asked(&drafted, minutes, ticked.is_some()));
    Ok(reply)
}

/// Default length of a draft, in minutes.
const USUAL_MINUTES: u16 = 8;

/// What every form is made of.
struct RecapContext<'s> {
    journal: &'s Journal,
    contents: &'s Contents,
    /// The entries as anyone may read them, and their ledger.
    public: (&'s [Entry], &'s Ledger),
}

/// An edited outline.
fn sheet_of(file: &Path) -> Result<Ticks, Failure> {
    let bytes = if file == Path::new("-") {
        let mut bytes = Vec::new();
        io::stdin().read_to_end(&mut bytes).map_err(|error| {
            Failure::misuse(
                format!("the outline cannot be read: {error}"),
                "give it on standard input",
            )
        })?;
        bytes
    } else {
        read_if_there(file)?.ok_or_else(|| {
            Failure::misuse(
                format!("there is no file {}", file.display()),
                "`matchmark recap --as outline > outline.txt` makes one",
            )
        })?
    };
    Ok(read_sheet(&decode(bytes).text))
}

/// What became of ticks that are not told as they stood.
fn of_ticks(drafted: &Drafted<'_>, minutes: u16) -> Vec<String> {
    let mut said = Vec::new();
    if !drafted.too_much.is_empty() {
        let (wanted, asked) = (drafted.wanted, u64::from(minutes) * 60);
        said.push(format!(
            "all that is ticked takes {}, {} more than {minutes}:00; untick some, or set `minutes:` higher. Left out, by rank:",
            short_clock(wanted),
            short_clock(wanted.saturating_sub(asked)),
        ));
        said.extend(drafted.too_much.iter().map(sheet_line));
    }
    for (one, need) in drafted.alone.iter().take(MOST_ALONE) {
        said.push(format!(
            "{} is told without {}; their records belong together",
            by_words(one),
            by_words(need)
        ));
    }
    if let Some(more @ 1..) = drafted.alone.len().checked_sub(MOST_ALONE) {
        said.push(format!("and {more} more without what belongs to them"));
    }
    let held = drafted.outline.rows.iter();
    let held = held.filter(|row| row.ticked && row.moment.held_back);
    said.extend(held.map(|row| {
        format!(
            "{} reads as if it were not to be told; it is told as you ticked it",
            by_words(row)
        )
    }));
    said
}

/// Moments without others that are said one by one.
const MOST_ALONE: usize = 4;

/// A moment by its id and first words.
fn by_words(row: &OutlineRow<'_>) -> String {
    let text = row.moment.text();
    let words: Vec<&str> = text.split_whitespace().take(6).collect();
    format!("`{}` \"{} ...\"", row.moment.id, words.join(" "))
}

/// An episode as it was edited, in another form.
fn of_episode(
    number: u32,
    verb: &RecapArgs,
    world: &World,
    shop: &RecapContext<'_>,
) -> Result<Reply, Failure> {
    let RecapContext {
        journal,
        contents,
        public: (entries, ledger),
        ..
    } = shop;
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
    if matches!(
        verb.output.form(),
        RecapForm::Draft | RecapForm::Outline | RecapForm::OutlineJson
    ) {
        return Err(Failure::misuse(
            format!("episode {number} is {}, as it was edited", episode.path),
            "say with --as what to make of it: article, chapters, chapter-list, description, shots, shots-csv, otio, edl",
        ));
    }
    if let Some(held) = episode
        .holds_private(&contents.entries, &contents.context())
        .into_iter()
        .next()
    {
        return Err(Failure::misuse(
            format!(
                "{}, line {}, holds what was marked as private: {}",
                episode.path, held.line, held.words
            ),
            "take it out of the episode; nothing that is private leaves in any form",
        ));
    }
    let vehicle = match vehicle(episode.vehicle.as_ref(), journal)? {
        Some(vehicle) => vehicle,
        None => last_written_about(entries)?,
    };
    let text = decode(journal.bytes(&episode.path)?).text;
    let context = contents.context();
    let (text, _) = read_file(&episode.path, &text, &context);
    let stock = material(&vehicle, entries, ledger, &context);
    let title = episode.title.clone().or_else(|| text.title.clone());
    let known = EpisodeDraft {
        title: title.unwrap_or_else(|| format!("Episode {number}")),
        vehicle_name: name_of(&vehicle, contents),
        vehicle,
        days: episode.from.zip(episode.to),
        told: episode.told.clone(),
        pace: journal.settings().speaking_pace,
        ..EpisodeDraft::default()
    };
    let draft = edited(&text, known, &stock);
    let minutes = verb.minutes.unwrap_or(USUAL_MINUTES);
    in_form(&draft, None, minutes, verb, world, &stock, shop)
}

/// Refuses what cannot be meant together.
fn consistent(verb: &RecapArgs) -> Result<(), Failure> {
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
fn page_of(vehicle: &VehicleFile) -> Option<(&str, StatementOrigin)> {
    let (text, line) = vehicle.about.as_ref()?;
    let origin = StatementOrigin::Page {
        page: format!("vehicles/{}.md", vehicle.slug),
        line: *line,
    };
    Some((text, origin))
}

/// What can be heard in less time than was asked for, or takes more.
fn not_as_asked(drafted: &Drafted<'_>, minutes: u16, is_ticked: bool) -> Option<String> {
    let asked = u64::from(minutes) * 60;
    let is = drafted.draft.seconds();
    let is_all = drafted.outline.is_all_ticked();
    let minutes = match minutes {
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
    if is_ticked {
        return Some(format!("the ticked moments take {length}, all told"));
    }
    (is * 10 < asked * 9).then(|| match is_all {
        true => format!("this is all there is to tell: {length}"),
        false => format!("what else there is to tell does not fit in: {length}"),
    })
}

/// The draft as it was asked for.
fn in_form(
    draft: &EpisodeDraft,
    outline: Option<&Outline<'_>>,
    minutes: u16,
    verb: &RecapArgs,
    world: &World,
    stock: &Material<'_>,
    shop: &RecapContext<'_>,
) -> Result<Reply, Failure> {
    let RecapContext {
        journal, contents, ..
    } = shop;
    let shots = || shots(stock, draft);
    let rate = journal.settings().frame_rate;
    let pictures = PagePictures::new(journal);
    let document = match verb.output.form() {
        RecapForm::Draft => EpisodeFile {
            number: next_number(&contents.episodes),
            why: verb.why,
        }
        .export(draft),
        RecapForm::Json => Json.export(&DraftAnswer {
            draft,
            minutes,
            shots: &shots(),
        }),
        RecapForm::Article => Article {
            picture: &|path| pictures.find(path),
        }
        .export(draft),
        RecapForm::Chapters => WebVtt.export(draft),
        RecapForm::ChapterList => ChapterList.export(draft),
        RecapForm::Description => Description.export(draft),
        RecapForm::Shots => terminal(&verb.output, world).export(&shots()[..]),
        RecapForm::ShotsCsv => Csv.export(&shots()[..]),
        RecapForm::Otio => Otio.export(&EditList {
            draft,
            shots: &shots(),
            rate,
        }),
        RecapForm::Edl => Cmx3600.export(&EditList {
            draft,
            shots: &shots(),
            rate,
        }),
        RecapForm::Outline => outline
            .map(|outline| Sheet.export(outline))
            .unwrap_or_default(),
        RecapForm::OutlineJson => outline
            .map(|outline| Json.export(outline))
            .unwrap_or_default(),
    };
    let about = DocumentSummary {
        holds: String::new(),
        notes: pictures.left_out(),
    };
    let mut reply = deliver(document, &verb.output, about, world)?;
    if verb.output.form() == RecapForm::Draft && world.is_seen {
        // Who only reads it needs no file that is one.
        reply.out = fitted(&reply.out, world.width);
    }
    Ok(reply)
}

/// Puts a draft among the episodes.
fn write(
    draft: &EpisodeDraft,
    verb: &RecapArgs,
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

fn list_untold<'e>(
    verb: &RecapArgs,
    world: &World,
    stock: &Material<'_>,
    may: &dyn Fn(&RecapSource<'_>) -> bool,
    by: &dyn Fn(&RecapSource<'_>) -> Vec<&'e Episode>,
) -> Result<Reply, Failure> {
    let untold = untold(stock, may);
    let twice: Vec<ToldTwice> = stock
        .sources
        .iter()
        .filter_map(|source| {
            let by = by(source);
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
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
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
