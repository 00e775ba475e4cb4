//! `begin`: a new journal.

use std::path::Path;

use super::Reply;
use super::arguments::{Begin, WordsForm};
use super::destination::{About, deliver, may_deliver, terminal};
use super::failure::Failure;
use super::world::World;
use crate::journal::{SETTINGS_TEMPLATE, begin, find_around, slug, write_new};
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::presentation::json::writing::Begun;
use crate::presentation::text::{Label, Text};
use crate::vocabulary::money::Currency;

/// Starts a journal.
pub(super) fn run(verb: &Begin, world: &World) -> Result<Reply, Failure> {
    may_deliver(&verb.output, world)?;
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
    let mut out = Text::new(terminal(&verb.output, world).width);
    let mut say = |words: String| out.line(0, Label::Plain, &words);
    say(format!("a journal begins in {}", verb.folder.display()));
    if slugs.is_empty() {
        say("add a vehicle: a file vehicles/NAME.md with a line `# Its name`".to_owned());
    } else {
        say(format!("vehicles: {}", slugs.join(", ")));
    }
    let there = if verb.folder.as_os_str() == "." {
        String::new()
    } else {
        format!("`cd {}`, ", verb.folder.display())
    };
    say(format!(
        "settings are in journal.toml; next: {there}`matchmark write`, then `matchmark keep`"
    ));
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).document(&out),
        WordsForm::Json => Json.export(&Begun {
            folder: &verb.folder.to_string_lossy(),
            vehicles: &slugs,
        }),
    };
    deliver(document, &verb.output, About::default(), world)
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
