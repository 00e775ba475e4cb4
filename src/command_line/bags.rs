//! `bags`: hardware in bags, labels for them, what to buy.

use std::path::{Path, PathBuf};

use super::arguments::{self, Bags, Common};
use super::failure::Failure;
use super::kept_states::Hardware;
use super::own_file::may_be_page;
use super::scope::Parts;
use super::world::World;
use super::{Reply, opened, whole_journal};
use crate::journal::{Journal, write_atomically};
use crate::ledger::Ledger;
use crate::presentation::bags::{one, overview, unknown};
use crate::presentation::json;
use crate::presentation::labels::{Content, content, page, svg, without_code};
use crate::presentation::purchases::buy;
use crate::presentation::text::counted;
use crate::reports::bags::{Answer, Asked, Bag, bags, named};
use crate::reports::purchases::purchases;
use crate::vocabulary::label::Label;
use crate::vocabulary::paper::{Paper, millimetres};

/// Answers `bags`.
pub(super) fn run(verb: &Bags, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    let asked = whole_journal::asked(&verb.times, Hardware::Taken, &journal, world)?;
    let reply = answer(verb, common, world, &journal, &asked.whole.ledger)?;
    Ok(asked.replied(reply))
}

fn answer(
    verb: &Bags,
    common: &Common,
    world: &World,
    journal: &Journal,
    ledger: &Ledger,
) -> Result<Reply, Failure> {
    let parts = Parts::typed(&verb.only, journal, ledger)?;
    let as_of = opened::as_of(&verb.times, world)?;
    let several = journal.vehicles().len() > 1 && parts.vehicle.is_none();
    let wanted = |state: &_| parts.has(state);
    if verb.buy {
        let lines = purchases(ledger, &wanted);
        let out = if common.json {
            json::text(&json::bags::buy(&lines))
        } else if lines.is_empty() {
            "nothing to get\n".to_owned()
        } else {
            buy(&lines, as_of.as_deref(), several, world.width).render(world.colours)
        };
        return Ok(Reply::new(out).answering(!lines.is_empty()));
    }
    let asked = Asked {
        wanted: &wanted,
        whole_vehicle: &|vehicle| parts.has_all_of(vehicle),
        with_entries: common.json || !verb.label.is_empty(),
    };
    let answer = bags(ledger, &asked);
    let shown = match meant(&verb.label, &answer.bags) {
        Ok(shown) => shown,
        Err(label) => {
            let out = if common.json {
                json::text(&json::bags::bags(&Answer::default(), &[]))
            } else {
                unknown(&label, &answer.bags, world.width).render(world.colours)
            };
            return Ok(Reply::new(out).answering(false));
        }
    };
    if let Some(file) = &verb.labels {
        return labels(&world.here.join(file), verb, &shown, journal);
    }
    let out = if common.json {
        json::text(&json::bags::bags(&answer, &shown))
    } else if verb.label.is_empty() && answer.bags.is_empty() && answer.loose.is_empty() {
        "no bags, and no hardware without one\n".to_owned()
    } else if verb.label.is_empty() {
        overview(&answer, as_of.as_deref(), several, world.width).render(world.colours)
    } else {
        let each: Vec<String> = shown
            .iter()
            .map(|bag| one(bag, as_of.as_deref(), world.width).render(world.colours))
            .collect();
        each.join("\n")
    };
    let any = !shown.is_empty() || !answer.loose.is_empty();
    Ok(Reply::new(out).answering(any))
}

/// Writes labels: of the bags that were named, else of all with something in
/// them.
fn labels(file: &Path, verb: &Bags, shown: &[&Bag], journal: &Journal) -> Result<Reply, Failure> {
    let paper = paper(&verb.paper, journal.settings().labels)?;
    let name = |slug: &str| {
        let vehicle = journal.vehicles().iter().find(|other| other.slug == slug);
        vehicle.map_or_else(|| slug.to_owned(), |vehicle| vehicle.name.clone())
    };
    let contents: Vec<Content> = shown
        .iter()
        .filter(|bag| !verb.label.is_empty() || bag.emptied.is_none())
        .map(|bag| content(bag, &name))
        .collect();
    if contents.is_empty() {
        return Ok(Reply::new("no bag holds anything\n".to_owned()).answering(false));
    }
    let kind = file
        .extension()
        .map(|kind| kind.to_string_lossy().to_lowercase());
    let texts = match kind.as_deref() {
        Some("svg") => svg(&contents, &paper),
        Some("html" | "htm") => {
            let title = format!("{}: labels", journal.settings().name);
            vec![page(&title, &contents, &paper)]
        }
        Some(_) | None => {
            return Err(Failure::misuse(
                format!(
                    "{} is neither an HTML page nor an SVG drawing",
                    file.display()
                ),
                "end the name in .html for a page to print, or in .svg",
            ));
        }
    };
    let files: Vec<PathBuf> = (0..texts.len()).map(|at| numbered(file, at)).collect();
    for file in &files {
        may_be_page(file)?;
    }
    for (file, text) in files.iter().zip(&texts) {
        write_atomically(file, text.as_bytes())?;
    }
    let one = paper.one();
    let mut said = format!(
        "{} of {} by {} mm, written to {}",
        counted(contents.len(), "label", "labels"),
        millimetres(one.width),
        millimetres(one.height),
        files[0].display()
    );
    if let [_, .., last] = &files[..] {
        said.push_str(&format!(" to {}", last.display()));
    }
    match without_code(&contents, &paper) {
        0 => {}
        bare if bare == contents.len() => said.push_str("\nthey are too small for a code"),
        bare => said.push_str(&format!("\n{bare} of them are too small for a code")),
    }
    said.push_str("\nprint them at their own size: 100 %, not fitted to the page\n");
    Ok(Reply::new(said))
}

/// The file of the first sheet, or of a later one: `labels-2.svg`.
fn numbered(file: &Path, at: usize) -> PathBuf {
    if at == 0 {
        return file.to_owned();
    }
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let kind = file.extension().unwrap_or_default().to_string_lossy();
    file.with_file_name(format!("{stem}-{}.{kind}", at + 1))
}

/// The paper that was typed, over the one of the settings.
fn paper(typed: &arguments::Paper, settings: Paper) -> Result<Paper, Failure> {
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
    let bare = |text: &str| Label::new(text).written().to_owned();
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
