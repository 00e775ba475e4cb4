//! `torque`: general figures for a fastener, and torques in other units.
//!
//! Works without a journal; with one, `--for` looks up what is recorded.

use super::arguments::{AsOfArgs, Common, OfThread, TorqueArgs, WordsForm};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::entry::Context;
use crate::handbook::odd_sizes::{Odd, oddity};
use crate::handbook::restricted::field;
use crate::handbook::tightening::{Friction, USUAL_SHARE};
use crate::ledger::{Ledger, PlaceState};
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::torque::{RecordedTorqueView, Refusal, TorqueAnswer};
use crate::reports::general_torque::{TorqueQuery, general_torques, never_for};
use crate::reports::parts::{Meant, NameContext};
use crate::reports::refit::WHOM_TO_ASK;
use crate::reports::torque::{Conversion, conversion, in_both_systems};
use crate::vocabulary::fastener::Fastener;
use crate::vocabulary::fraction::Fraction;
use crate::vocabulary::grade::Grade;
use crate::vocabulary::size::LengthUnit;
use crate::vocabulary::thread::Thread;
use crate::vocabulary::torque::{Torque, TorqueError};
use crate::vocabulary::words::{stem, straighten, words};

/// Answers `torque`.
pub(super) fn run(verb: &TorqueArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let text = verb.what.join(" ");
    let fastener = Fastener::read(&text);
    match fastener.size.as_ref().and_then(|size| size.thread) {
        Some(thread) => general(thread, &fastener, verb, common, world),
        None => {
            let conversion = torque(&text)?;
            reply(&TorqueAnswer::Converted(&conversion), verb, world)
        }
    }
}

/// The answer in the form that was asked for.
fn reply(answer: &TorqueAnswer<'_>, verb: &TorqueArgs, world: &World) -> Result<Reply, Failure> {
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(answer),
        WordsForm::Json => Json.export(answer),
    };
    deliver(document, &verb.output, DocumentSummary::default(), world)
}

/// The torque that the words state, in all units.
fn torque(text: &str) -> Result<Conversion, Failure> {
    let example =
        "write a thread (`7/16-20 --grade 5`, `M8 --class 8.8`) or a torque (`75 lbf·ft`)";
    let units = "the units are lbf·ft, lbf·in, ozf·in, N·m, daN·m, kgf·m, kgf·cm";
    match Torque::read(text) {
        Ok(torque) => conversion(&torque)
            .ok_or_else(|| Failure::misuse(format!("`{text}` names no unit"), units)),
        Err(TorqueError::Backwards(_)) => Err(Failure::misuse(
            format!("the range `{text}` runs backwards"),
            "the smaller figure comes first",
        )),
        Err(TorqueError::UnknownUnit(_) | TorqueError::NoFigure) => {
            let odd = oddity(&straighten(text)).filter(|odd| !odd.likely.is_empty());
            Err(match odd {
                Some(odd) => Failure::misuse(
                    format!("`{text}` looks like a size and is none"),
                    format!("did you mean {}?", odd.likely.join(", ")),
                ),
                None => Failure::misuse(
                    format!("`{text}` is neither a thread nor a torque"),
                    format!("{example}; {units}"),
                ),
            })
        }
    }
}

fn general(
    thread: Thread,
    fastener: &Fastener,
    verb: &TorqueArgs,
    common: &Common,
    world: &World,
) -> Result<Reply, Failure> {
    let asked = TorqueQuery {
        thread,
        grade: grade(verb, fastener)?,
        friction: match verb.friction {
            OfThread::Plain => Friction::Plain,
            OfThread::Zinc => Friction::Zinc,
            OfThread::Lubricated => Friction::Lubricated,
            OfThread::Cadmium => Friction::Cadmium,
            OfThread::AntiSeize => Friction::AntiSeize,
        },
        share: share(&verb.share)?,
        length: inches_long(fastener),
        is_stud: words(fastener.kind.written()).any(|word| stem(&word) == "stud"),
    };
    let text = verb.what.join(" ");
    if let Some(odd) = oddity(&straighten(&text))
        && matches!(odd.kind, Odd::NoThread | Odd::WrongFamily(_))
    {
        let likely = odd.likely.join(", ");
        return Err(match odd.kind {
            Odd::WrongFamily(real) => Failure::misuse(
                format!("`{}` contradicts itself: {likely} is {real}", text.trim()),
                "leave the letters out, or write the pitch that is meant",
            ),
            Odd::NoThread | Odd::NoSize | Odd::Comma | Odd::Special => Failure::misuse(
                format!("no thread is `{}`", text.trim()),
                format!("did you mean {likely}?"),
            ),
        });
    }
    let answer = |(refusal, recorded): (Option<Refusal>, Vec<RecordedTorqueView>)| {
        let thread = thread.to_string();
        let refused = |refusal: &Refusal| {
            let answer = TorqueAnswer::Refused {
                thread: &thread,
                refusal,
                recorded: &recorded,
            };
            Ok(reply(&answer, verb, world)?.answering(false))
        };
        if let Some(refusal) = &refusal {
            return refused(refusal);
        }
        match general_torques(&asked) {
            Ok(found) => reply(&TorqueAnswer::General(&found, &recorded), verb, world),
            Err(why) => refused(&Refusal {
                about: thread.clone(),
                field: None,
                why: why.message,
                hint: why.hint,
            }),
        }
    };
    let kind = fastener.kind.written();
    let Some(about) = &verb.for_part else {
        return answer((restricted(kind, kind, ""), Vec::new()));
    };
    let by_words = restricted(about, about, "").or_else(|| restricted(kind, kind, ""));
    let journal = match (opened::root(common, world), &common.journal) {
        (Ok(_), _) => opened::journal(common, world)?,
        (Err(failure), Some(_)) => return Err(failure),
        // Asked away from any journal: only the words can tell.
        (Err(_), None) => {
            let why =
                format!("without a journal nobody can tell to which system `{about}` belongs");
            let refusal = by_words.or_else(|| Some(unknown(about, why)));
            return answer((refusal, Vec::new()));
        }
    };
    let context = journal.context();
    if let Some(system) = context.system(about) {
        let refusal = by_words.or_else(|| restricted(about, "", system));
        return answer((refusal, Vec::new()));
    }
    let question = Question::of("torque", verb, &verb.output, world);
    let place = (&journal, world);
    whole_journal::replied(
        &question,
        &AsOfArgs::default(),
        HardwareScope::Left,
        place,
        |asked| answer(allowed(about, by_words, &asked.whole.ledger, &context)),
    )
}

/// Millimetres in inches: 25.4 to the inch.
fn in_inches(millimetres: Fraction) -> Option<Fraction> {
    let over = millimetres.over().checked_mul(10)?;
    Fraction::new(over, millimetres.under().checked_mul(254)?)
}

/// The length behind the thread, in inches; without a unit it is in that of the thread.
fn inches_long(fastener: &Fastener) -> Option<Fraction> {
    let size = fastener.size.as_ref()?;
    let length = size.measures.first()?;
    let metric = size.thread?.is_metric();
    match length.unit {
        LengthUnit::Millimetre => in_inches(length.number),
        LengthUnit::Unsaid if metric => in_inches(length.number),
        LengthUnit::Inch | LengthUnit::Unsaid => Some(length.number),
    }
}

/// The grade or class that was named.
fn grade(verb: &TorqueArgs, fastener: &Fastener) -> Result<Option<Grade>, Failure> {
    let named = |word: &str, text: &str| {
        let text = text.trim();
        Grade::read(text)
            .or_else(|| Grade::read(&format!("{word} {text}")))
            .map(Some)
            .ok_or_else(|| {
                Failure::misuse(
                    format!("`{text}` is no {word}"),
                    "write `--grade 5` for inch threads, `--class 8.8` for metric ones",
                )
            })
    };
    match (&verb.grade, &verb.class) {
        (Some(text), _) => named("grade", text),
        (None, Some(text)) => named("class", text),
        (None, None) => Ok(fastener.grade.clone()),
    }
}

/// The share of the proof load, in hundredths: `75%`, `75`, `0.75`.
fn share(text: &str) -> Result<u32, Failure> {
    let bare = text.trim().trim_end_matches('%').trim_end();
    let share = match bare.strip_prefix("0.").or_else(|| bare.strip_prefix('.')) {
        Some(part) if (1..=2).contains(&part.len()) => format!("{part:0<2}").parse().ok(),
        Some(_) => None,
        None => bare.parse().ok(),
    };
    share
        .filter(|share: &u32| (10..=90).contains(share))
        .ok_or_else(|| {
            Failure::misuse(
                format!("`{text}` is no share of the proof load"),
                format!(
                    "write a share from 10% to 90%; {USUAL_SHARE}% is usual for what comes off \
                     again (Shigley, Mechanical Engineering Design, section 8-11)"
                ),
            )
        })
}

/// Why no general figure may be offered for a part, and what the journal has recorded
/// of it.
fn allowed(
    about: &str,
    by_words: Option<Refusal>,
    ledger: &Ledger,
    context: &Context,
) -> (Option<Refusal>, Vec<RecordedTorqueView>) {
    let places = places(about, ledger, context);
    let recorded = places.iter().flat_map(|state| recorded(state)).collect();
    let refusal = by_words.or_else(|| {
        if places.is_empty() {
            return Some(unknown(
                about,
                format!("no part or system is called `{about}`"),
            ));
        }
        places.iter().find_map(|state| match &state.system {
            Some(system) if !state.system_is_assumed() => {
                restricted(&state.label(), &state.name, system)
            }
            // An assumed system may refuse; it never permits.
            Some(system) if restricted(&state.label(), &state.name, system).is_some() => {
                restricted(&state.label(), &state.name, system)
            }
            Some(_) | None => {
                let about = state.label();
                let why = format!("no record says to which system `{about}` belongs");
                Some(unknown(&about, why))
            }
        })
    });
    (refusal, recorded)
}

/// The places that a name means, all of them if it means several.
fn places<'l>(about: &str, ledger: &'l Ledger, context: &Context) -> Vec<&'l PlaceState> {
    let names = NameContext {
        aliases: &ledger.aliases,
        context,
        vehicle: None,
    };
    let keys = match names.meant(about, &ledger.places) {
        Meant::One(key) | Meant::Near(key) => vec![key],
        Meant::Several(keys) => keys,
        Meant::None => Vec::new(),
    };
    keys.iter()
        .filter_map(|key| ledger.places.get(key))
        .collect()
}

fn recorded(state: &PlaceState) -> Vec<RecordedTorqueView> {
    let of = |torque: &crate::ledger::Dated<String>| RecordedTorqueView {
        part: state.label(),
        vehicle: state.vehicle.clone(),
        torque: in_both_systems(&torque.value),
        entry: torque.spot.file.clone(),
        line: torque.spot.line,
    };
    state.torques.iter().map(of).collect()
}

/// The refusal for what a life hangs on.
fn restricted(about: &str, part: &str, system: &str) -> Option<Refusal> {
    let (field, word) = field(part, system)?;
    let by = if field.word().contains(word) || about.to_lowercase().contains(word) {
        String::new()
    } else {
        format!(" (`{word}`)")
    };
    Some(Refusal {
        about: about.to_owned(),
        field: Some(field.word().to_owned()),
        why: format!(
            "`{about}` belongs to {}{by}, where only the service manual's figure counts",
            field.word(),
        ),
        hint: format!(
            "{WHOM_TO_ASK}; write it into the record, with its page: `torque: 75-90 lbf·ft, \
             shop manual 3-12`"
        ),
    })
}

/// The refusal for a part whose system is unknown.
fn unknown(about: &str, why: String) -> Refusal {
    Refusal {
        about: about.to_owned(),
        field: None,
        why,
        hint: format!(
            "if it is none of {}, ask again without --for, or write `system:` into its record",
            never_for()
        ),
    }
}
