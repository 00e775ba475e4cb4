//! `begin`: a new journal, or another vehicle in one.

use std::path::{Path, PathBuf};

use super::Reply;
use super::arguments::{BeginArgs, Common, WordsForm};
use super::destination::{DocumentSummary, deliver, may_deliver, terminal};
use super::failure::Failure;
use super::keep::ignored_words;
use super::world::World;
use crate::history::History;
use crate::journal::{Journal, SETTINGS_TEMPLATE, begin, find_around, find_root, slug, write_new};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::Json;
use crate::presentation::json::writing::Begun;
use crate::presentation::text::fitted;
use crate::vocabulary::money::Currency;

/// Starts a journal.
pub(super) fn run(verb: &BeginArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
    let folder = folder(verb, common)?;
    let root = world.here.join(folder);
    if let Some(journal) = journal_to_add_to(verb, &root) {
        return add_vehicles(verb, &Journal::open(&journal)?, world);
    }
    let settings = settings(verb)?;
    outside_of_journals(&root)?;
    begin(&root, &settings)?;
    let mut slugs = Vec::new();
    let journal = Journal::open(&root)?;
    for name in &verb.vehicle {
        slugs.push(add_vehicle(name, &journal)?);
    }
    let there = if folder.as_os_str() == "." {
        String::new()
    } else {
        format!("`cd {}`, ", folder.display())
    };
    let mut out = format!("a journal begins in {}\n", folder.display());
    if slugs.is_empty() {
        out.push_str(&format!(
            "add a vehicle: {there}`matchmark begin --vehicle \"Its name\"`\n"
        ));
    } else {
        out.push_str(&format!("vehicles: {}\n", slugs.join(", ")));
    }
    out.push_str(&format!(
        "settings are in journal.toml; next: {there}`matchmark write`, then `matchmark keep`\n"
    ));
    let mut reply = reply(&out, folder, &slugs, verb, world)?;
    reply.said.extend(ignored(&root));
    Ok(reply)
}

/// Where the journal is, or is to be: behind the verb or behind `--journal`.
fn folder<'a>(verb: &'a BeginArgs, common: &'a Common) -> Result<&'a Path, Failure> {
    match &common.journal {
        None => Ok(&verb.folder),
        Some(journal) if verb.folder.as_os_str() == "." => Ok(journal),
        Some(journal) => Err(Failure::misuse(
            format!(
                "two folders: {} and {}",
                verb.folder.display(),
                journal.display()
            ),
            "name the new journal's folder once: `matchmark begin FOLDER`",
        )),
    }
}

/// The answer in the form that was asked for.
fn reply(
    out: &str,
    folder: &Path,
    vehicles: &[String],
    verb: &BeginArgs,
    world: &World,
) -> Result<Reply, Failure> {
    let document = match verb.output.form() {
        WordsForm::Text => Document::text(fitted(out, terminal(&verb.output, world).width)),
        WordsForm::Json => Json.export(&Begun {
            folder: &folder.to_string_lossy(),
            vehicles,
        }),
    };
    deliver(document, &verb.output, DocumentSummary::default(), world)
}

/// What the repository around a new journal will never keep of it, if anything.
fn ignored(root: &Path) -> Option<String> {
    let history = History::open(root).ok()??;
    let usual = [
        "journal.toml",
        "entries/2026/2026-03-14-tank.md",
        "vehicles/wren.md",
        "episodes/1.md",
    ];
    let hidden: Vec<String> = usual
        .into_iter()
        .filter(|path| history.ignores(path).unwrap_or(false))
        .map(str::to_owned)
        .collect();
    ignored_words(&hidden).map(|words| format!("in the repository around this folder {words}"))
}

/// The journal that vehicles are to be added to: the one around the current
/// folder, where nothing but vehicles is said.
fn journal_to_add_to(verb: &BeginArgs, root: &Path) -> Option<PathBuf> {
    // A folder behind the verb is a new one's.
    let only_vehicles = !verb.vehicle.is_empty()
        && verb.folder.as_os_str() == "."
        && verb.name.is_none()
        && verb.currency.is_none()
        && verb.author.is_none();
    only_vehicles.then(|| find_root(root)).flatten()
}

fn add_vehicles(verb: &BeginArgs, journal: &Journal, world: &World) -> Result<Reply, Failure> {
    let mut out = String::new();
    let mut slugs = Vec::new();
    for name in &verb.vehicle {
        let slug = add_vehicle(name, journal)?;
        out.push_str(&format!(
            "vehicle added: {slug}, described in vehicles/{slug}.md\n"
        ));
        slugs.push(slug);
    }
    reply(&out, &journal.root, &slugs, verb, world)
}

/// Adds a vehicle, and says how it is called for short. A name that is one the
/// journal has, or one slip from it, is no new vehicle.
fn add_vehicle(name: &str, journal: &Journal) -> Result<String, Failure> {
    // Read anew: the one before may have been added just now.
    let context = Journal::open(&journal.root)?.context();
    let slug = slug(name);
    let known = context.vehicle(name).or_else(|| context.vehicle(&slug));
    if let Some(known) = known {
        return Err(Failure::misuse(
            format!(
                "`{name}` is a vehicle of the journal already: {}",
                known.slug
            ),
            format!("it is described in vehicles/{}.md", known.slug),
        ));
    }
    // Names as short as a number are one slip from each other anyway.
    if let Some(near) = context.near_vehicle(name).filter(|_| slug.len() > 3) {
        return Err(Failure::misuse(
            format!("`{name}` is one slip from the vehicle `{near}`"),
            "nothing was added; give another vehicle a name that is easier to tell from this one",
        ));
    }
    let path = journal.root.join("vehicles").join(format!("{slug}.md"));
    write_new(&path, vehicle_template(name).as_bytes())?;
    Ok(slug)
}

/// Refuses to begin a journal inside of another.
pub(super) fn outside_of_journals(root: &Path) -> Result<(), Failure> {
    match find_around(root) {
        None => Ok(()),
        Some(around) => Err(Failure::misuse(
            format!(
                "there is a journal around that folder, in {}",
                around.display()
            ),
            "a second vehicle needs no second journal: `matchmark begin --vehicle NAME` adds it; another journal begins outside of this one",
        )),
    }
}

/// The settings with what was asked for put in.
fn settings(verb: &BeginArgs) -> Result<String, Failure> {
    let mut settings = SETTINGS_TEMPLATE.to_owned();
    if let Some(name) = &verb.name {
        let name = crate::journal::toml_text(name);
        settings = settings.replace("name = \"My journal\"", &format!("name = {name}"));
    }
    if let Some(code) = &verb.currency {
        let currency = Currency::from_code(code).ok_or_else(|| {
            Failure::misuse(
                format!("`{code}` is no currency"),
                "write its three letters: EUR, GBP, USD",
            )
        })?;
        settings = settings.replace(
            "currency = \"EUR\"",
            &format!("currency = \"{}\"", currency.code()),
        );
    }
    if let Some(author) = &verb.author {
        if crate::journal::read_author(author).is_none() {
            return Err(Failure::misuse(
                format!("`{author}` is no name with a mail address"),
                "write \"Name <name@example.org>\"",
            ));
        }
        let author = crate::journal::toml_text(author);
        settings = settings.replace("author = \"\"", &format!("author = {author}"));
    }
    Ok(settings)
}

/// A vehicle's file to be filled in.
fn vehicle_template(name: &str) -> String {
    let fields = [
        ("name", name),
        ("year", ""),
        ("make", ""),
        ("model", ""),
        ("numbers", ""),
        ("colours", ""),
    ];
    let text = crate::entry::new_entry(&fields, name, "");
    let empty = text.replace(": \"\"\n", ":\n");
    empty.replacen(
        "colours:\n",
        "colours:\n# On which side the driver sits: left or right.\ndriven:\n# What it may cost: budget: 14000\nbudget:\n",
        1,
    )
}
