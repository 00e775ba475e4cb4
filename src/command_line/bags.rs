//! `bags`: hardware in bags, labels for them, what to buy.

use std::path::Path;

use super::arguments::{self, BagsArgs, BagsForm, Common};
use super::destination::{DocumentSummary, deliver, terminal};
use super::failure::Failure;
use super::kept_reply::Question;
use super::kept_states::HardwareScope;
use super::scope::PartScope;
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::journal::Journal;
use crate::ledger::Ledger;
use crate::presentation::bags::BagsAnswer;
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::labels::{LabelContent, LabelDrawings, content, without_code};
use crate::presentation::page::labels::LabelPage;
use crate::presentation::purchases::ShoppingList;
use crate::presentation::text::counted;
use crate::reports::bags::{Bag, PartSelection, bags, named};
use crate::reports::purchases::purchases;
use crate::vocabulary::label::BagLabel;
use crate::vocabulary::paper::{Paper, millimetres};

/// Answers `bags`.
pub(super) fn run(verb: &BagsArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    consistent(verb)?;
    let journal = opened::journal(common, world)?;
    let question = Question::of("bags", verb, &verb.output, world);
    let here = (&journal, world);
    whole_journal::replied(
        &question,
        &verb.times,
        HardwareScope::Taken,
        here,
        |asked| answer(verb, world, &journal, &asked.whole.ledger),
    )
}

fn answer(
    verb: &BagsArgs,
    world: &World,
    journal: &Journal,
    ledger: &Ledger,
) -> Result<Reply, Failure> {
    let parts = PartScope::typed(&verb.only, journal, ledger)?;
    let as_of = opened::as_of(&verb.times, world)?;
    let several = journal.vehicles().len() > 1 && parts.vehicle.is_none();
    let wanted = |state: &_| parts.has(state);
    if verb.buy {
        let lines = purchases(ledger, &wanted);
        let list = ShoppingList {
            purchases: &lines,
            as_of: as_of.as_deref(),
            several_vehicles: several,
        };
        let document = match verb.output.form() {
            BagsForm::Text => terminal(&verb.output, world).export(&list),
            BagsForm::Json => Json.export(&list),
            BagsForm::Labels | BagsForm::LabelsSvg => {
                return Err(Failure::misuse(
                    "labels are made for bags, not for what is to buy",
                    "leave out --buy or --as",
                ));
            }
        };
        let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
        return Ok(reply.answering(!lines.is_empty()));
    }
    let asked = PartSelection {
        wanted: &wanted,
        whole_vehicle: &|vehicle| parts.has_all_of(vehicle),
        with_entries: verb.output.form() == BagsForm::Json || !verb.label.is_empty(),
    };
    let answer = bags(ledger, &asked);
    let meant = meant(&verb.label, &answer.bags);
    let found = match &meant {
        Ok(shown) => BagsAnswer::All {
            answer: &answer,
            shown,
            named: !verb.label.is_empty(),
            as_of: as_of.as_deref(),
            several_vehicles: several,
        },
        Err(label) => BagsAnswer::Unknown {
            label,
            bags: &answer.bags,
        },
    };
    let document = match (verb.output.form(), &meant) {
        (BagsForm::Labels | BagsForm::LabelsSvg, Ok(shown)) => {
            return labels(verb, shown, journal, world);
        }
        (BagsForm::Labels | BagsForm::LabelsSvg, Err(_)) => {
            let said = terminal(&verb.output, world).export(&found);
            return Ok(Reply::new(said.sheets.concat()).answering(false));
        }
        (BagsForm::Text, _) => terminal(&verb.output, world).export(&found),
        (BagsForm::Json, _) => Json.export(&found),
    };
    let any = meant.is_ok_and(|shown| !shown.is_empty() || !answer.loose.is_empty());
    let reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    Ok(reply.answering(any))
}

/// Refuses sizes of labels where none are made.
fn consistent(verb: &BagsArgs) -> Result<(), Failure> {
    let paper = &verb.paper;
    let sizes = [
        &paper.label_size,
        &paper.sheet,
        &paper.margin,
        &paper.gap,
        &paper.tape,
    ];
    let makes_labels = match verb.output.form() {
        BagsForm::Labels | BagsForm::LabelsSvg => true,
        BagsForm::Text | BagsForm::Json => false,
    };
    if makes_labels || sizes.iter().all(|size| size.is_none()) {
        return Ok(());
    }
    Err(Failure::misuse(
        "sizes are for labels, and none were asked for",
        "add `--as labels --into labels.html`",
    ))
}

/// Makes labels: of the bags that were named, else of all with something in
/// them.
fn labels(
    verb: &BagsArgs,
    shown: &[&Bag],
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let paper = paper(&verb.paper, journal.settings().labels)?;
    let name = |slug: &str| {
        let vehicle = journal.vehicles().iter().find(|other| other.slug == slug);
        vehicle.map_or_else(|| slug.to_owned(), |vehicle| vehicle.name.clone())
    };
    let contents: Vec<LabelContent> = shown
        .iter()
        .filter(|bag| !verb.label.is_empty() || bag.emptied.is_none())
        .map(|bag| content(bag, &name, journal.settings().book.as_deref()))
        .collect();
    if contents.is_empty() {
        let mut reply = Reply::new(String::new()).answering(false);
        reply.said = vec!["no bag holds anything, so there are no labels".to_owned()];
        return Ok(reply);
    }
    let drawings = verb.output.form() == BagsForm::LabelsSvg;
    if let Some(file) = verb.output.file() {
        fits_name(file, drawings)?;
    }
    let document = if drawings {
        LabelDrawings { paper: &paper }.export(&contents[..])
    } else {
        LabelPage {
            title: format!("{}: labels", journal.settings().name),
            paper: &paper,
        }
        .export(&contents[..])
    };
    let one = paper.one();
    let mut about = DocumentSummary::holding(format!(
        "{} of {} by {} mm",
        counted(contents.len(), "label", "labels"),
        millimetres(one.width),
        millimetres(one.height),
    ));
    match without_code(&contents, &paper) {
        0 => {}
        bare if bare == contents.len() => about.notes.push("they are too small for a code".into()),
        bare => about
            .notes
            .push(format!("{bare} of them are too small for a code")),
    }
    about
        .notes
        .push("print them at their own size: 100 %, not fitted to the page".into());
    deliver(document, &verb.output, about, world)
}

/// Refuses a name that says another form than the one that was asked for.
fn fits_name(file: &Path, drawings: bool) -> Result<(), Failure> {
    let ending = file
        .extension()
        .map(|kind| kind.to_string_lossy().to_lowercase());
    let fits = match ending.as_deref() {
        Some("svg") => drawings,
        Some("html" | "htm") => !drawings,
        Some(_) | None => true,
    };
    if fits {
        return Ok(());
    }
    Err(Failure::misuse(
        format!("the name {} has the ending of another form", file.display()),
        "`--as labels` makes a page (.html), `--as labels-svg` drawings (.svg)",
    ))
}

/// The paper that was typed, over the one of the settings.
fn paper(typed: &arguments::PaperArgs, settings: Paper) -> Result<Paper, Failure> {
    let mut paper = settings;
    if typed.sheet.is_some() || typed.margin.is_some() || typed.gap.is_some() {
        paper.tape = None;
    }
    for (option, key, value) in [
        ("--label-size", "size", &typed.label_size),
        ("--sheet", "sheet", &typed.sheet),
        ("--margin", "margin", &typed.margin),
        ("--gap", "gap", &typed.gap),
        ("--tape", "tape", &typed.tape),
    ] {
        if let Some(value) = value {
            paper.set(key, value).map_err(|hint| {
                Failure::misuse(format!("`{value}` after {option} is no size"), hint)
            })?;
        }
    }
    match paper.refusal() {
        Some(refusal) => Err(Failure::misuse(refusal, "choose other sizes")),
        None => Ok(paper),
    }
}

/// The bags that were named: all words as one label, or each word, or each
/// text between `;`. Without any, all bags.
///
/// # Errors
/// The label that no bag has.
fn meant<'b>(typed: &[String], bags: &'b [Bag]) -> Result<Vec<&'b Bag>, String> {
    if typed.is_empty() {
        return Ok(bags.iter().collect());
    }
    let whole = typed.join(" ");
    let bare = |text: &str| BagLabel::new(text).written().to_owned();
    if let Some(bag) = named(bags, &bare(&whole)) {
        return Ok(vec![bag]);
    }
    let each: Vec<String> = if whole.contains(';') {
        whole.split(';').map(bare).collect()
    } else {
        let mut words: Vec<String> = typed.to_vec();
        words.retain(|word| !word.eq_ignore_ascii_case("bag"));
        words
    };
    let found: Option<Vec<&Bag>> = each.iter().map(|label| named(bags, label)).collect();
    match found {
        Some(found) if !found.is_empty() => Ok(found),
        Some(_) | None => {
            let missing = each.iter().find(|label| named(bags, label).is_none());
            let several =
                whole.contains(';') || each.iter().any(|label| named(bags, label).is_some());
            Err(match missing {
                Some(label) if several => label.clone(),
                Some(_) | None => bare(&whole),
            })
        }
    }
}
