//! `begin`: a new journal.

use std::path::Path;

use super::Reply;
use super::arguments::Begin;
use super::failure::Failure;
use super::keep::ignored_words;
use super::world::World;
use crate::history::History;
use crate::journal::{SETTINGS_TEMPLATE, begin, find_around, slug, write_new};
use crate::vocabulary::money::Currency;

/// Starts a journal.
pub(super) fn run(verb: &Begin, world: &World) -> Result<Reply, Failure> {
    let root = world.here.join(&verb.folder);
    let settings = settings(verb)?;
    outside_of_journals(&root)?;
    begin(&root, &settings)?;
    let mut slugs = Vec::new();
    for name in &verb.vehicle {
        let slug = slug(name);
        let path = root.join("vehicles").join(format!("{slug}.md"));
        write_new(&path, vehicle_template(name).as_bytes())?;
        slugs.push(slug);
    }
    let mut out = format!("a journal begins in {}\n", verb.folder.display());
    if slugs.is_empty() {
        out.push_str("add a vehicle: a file vehicles/NAME.md with a line `# Its name`\n");
    } else {
        out.push_str(&format!("vehicles: {}\n", slugs.join(", ")));
    }
    let there = if verb.folder.as_os_str() == "." {
        String::new()
    } else {
        format!("`cd {}`, ", verb.folder.display())
    };
    out.push_str(&format!(
        "settings are in journal.toml; next: {there}`matchmark write`, then `matchmark keep`\n"
    ));
    let mut reply = Reply::new(out);
    reply.said.extend(ignored(&root));
    Ok(reply)
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

/// Refuses to begin a journal inside of another.
pub(super) fn outside_of_journals(root: &Path) -> Result<(), Failure> {
    match find_around(root) {
        None => Ok(()),
        Some(around) => Err(Failure::misuse(
            format!(
                "there is a journal around that folder, in {}",
                around.display()
            ),
            "a second vehicle needs no second journal: give it a file in vehicles/; another journal begins outside of this one",
        )),
    }
}

/// The settings with what was asked for put in.
fn settings(verb: &Begin) -> Result<String, Failure> {
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
