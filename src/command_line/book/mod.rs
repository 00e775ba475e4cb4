//! `book`: the journal as a folder of pages for the phone in the shop.

mod address;
mod kept;
mod pictures;
mod watch;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::RwLock;

use super::arguments::{BookArgs, Common, WordsForm};
use super::destination::{DocumentSummary, deliver, may_deliver, terminal};
use super::failure::Failure;
use super::world::World;
use super::{Reply, opened, uncounted};
use crate::entry::{Entry, Readers, published};
use crate::handbook::shop_words::same_words;
use crate::journal::{Foreign, Journal, MadeFolder};
use crate::presentation::book::made::BookMade;
use crate::presentation::book::{BookContents, BookVehicle, pages};
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::reports::whole_journal::WholeJournal;
use kept::{BookMemory, KnownPages};

/// Answers `book`.
pub(super) fn run(verb: &BookArgs, common: &Common, world: &World) -> Result<Reply, Failure> {
    let journal = opened::journal(common, world)?;
    may_deliver(&verb.output, world)?;
    let folder = folder(verb, &journal, world);
    let readers = match verb.public {
        true => Readers::Public,
        false => Readers::Shop,
    };
    let asked = verb.serve.as_ref();
    let site = asked.map(|asked| address::open(asked.as_deref(), &journal));
    let site = site.transpose()?;
    let watched = verb.watch.then(|| watch::state(&journal, world));
    let goes_on = verb.watch || verb.serve.is_some();
    let mut made = make(readers, &journal, &folder, goes_on, world)?;
    if let Some(site) = &site {
        made.address = Some(site.address.clone());
        made.shows_code = site.is_shared && world.is_seen;
    }
    made.watches = verb.watch;
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(&made),
        WordsForm::Json => Json.export(&made),
    };
    let mut reply = deliver(document, &verb.output, DocumentSummary::default(), world)?;
    // What goes on begins when the answer has been shown.
    let book = watch::WatchedBook {
        root: journal.root,
        readers,
        files: open_folder(&folder)?,
        folder,
    };
    reply.afterwards = match (site, watched) {
        (None, None) => None,
        (Some(site), watched) => Some(Box::new(move || book.serve(&site, watched))),
        (None, Some(watched)) => Some(Box::new(move || book.watch(watched))),
    };
    Ok(reply)
}

/// What is in a folder now.
fn open_folder(folder: &Path) -> Result<RwLock<MadeFolder>, Failure> {
    MadeFolder::open(folder).map(RwLock::new).map_err(refused)
}

/// The folder of the pages.
fn folder(verb: &BookArgs, journal: &Journal, world: &World) -> PathBuf {
    match &verb.folder {
        Some(folder) => world.here.join(folder),
        None => journal.root.join("book"),
    }
}

/// Makes the pages, or brings them up to date. `goes_on` says whether the process does.
fn make(
    readers: Readers,
    journal: &Journal,
    folder: &Path,
    goes_on: bool,
    world: &World,
) -> Result<BookMade, Failure> {
    // Another run that makes the same pages is waited for.
    let _alone = journal.hold_as("book.lock");
    let mut made = MadeFolder::open(folder).map_err(refused)?;
    let mut memory = BookMemory::read(journal, world)?;
    uncounted::say_of(&memory.entries, world);
    let context = journal.context();
    let entries = std::mem::take(&mut memory.entries);
    let published = published(entries, &context, readers);
    let whole = WholeJournal::read(&published.entries, None);
    let shown = pictures::bring(journal, &mut made, &published.entries, world)?;
    let vehicles = vehicles(journal, &published.entries);
    let known = KnownPages::read(journal, folder, readers, world);
    let time = world.now().strftime("%Y-%m-%d %H:%M").to_string();
    let book = BookContents {
        name: &journal.settings().name,
        vehicles: &vehicles,
        entries: &published.entries,
        whole: &whole,
        context: &context,
        today: world.today(),
        made: &time,
        shows_money: readers == Readers::Shop,
        pictures: &shown.files,
        same_words: same_words(),
        stands: &|path, inputs| known.stands(path, inputs, &made),
    };
    let (pages, is_new) = pages(&book, &mut memory.known);
    if is_new {
        memory.keep(journal);
    }
    let mut files: Vec<(String, &[u8])> = Vec::new();
    let mut kept: BTreeSet<String> = shown.files.values().cloned().collect();
    let pictures = kept.len();
    for page in &pages {
        match &page.text {
            Some(text) => files.push((page.path.clone(), text.as_bytes())),
            None => drop(kept.insert(page.path.clone())),
        }
    }
    if folder.starts_with(&journal.root) {
        // Inside a journal its pages are no business of git's.
        files.push((".gitignore".to_owned(), b"*\n"));
    }
    let files_made = made.update(&files, &kept).map_err(refused)?;
    known.keep(&pages, &made);
    let made = BookMade {
        folder: folder.display().to_string(),
        time,
        pages: pages
            .iter()
            .filter(|page| page.path.ends_with(".html"))
            .count(),
        pictures,
        written: files_made.written + shown.new,
        unchanged: files_made.unchanged + kept.len() - shown.new,
        removed: files_made.removed,
        left_out: shown.left_out,
        withheld: published.left_out,
        public: readers == Readers::Public,
        ..BookMade::default()
    };
    if !goes_on {
        // The process ends soon: giving this back piece by piece would take longer.
        std::mem::forget((pages, whole, published.entries, memory));
    }
    Ok(made)
}

/// The vehicles, the one with most records first.
fn vehicles(journal: &Journal, entries: &[Entry]) -> Vec<BookVehicle> {
    let records = |slug: &str| {
        let all = entries.iter().flat_map(|entry| &entry.records);
        all.filter(|record| record.vehicle.as_deref() == Some(slug))
            .count()
    };
    let vehicles = journal.vehicles().iter().map(|vehicle| BookVehicle {
        slug: vehicle.slug.clone(),
        name: vehicle.name.clone(),
        about: vehicle.about.as_ref().map(|(about, _)| about.clone()),
    });
    let mut vehicles: Vec<BookVehicle> = vehicles.collect();
    vehicles.sort_by_cached_key(|vehicle| std::cmp::Reverse(records(&vehicle.slug)));
    vehicles
}

/// Why a folder was refused, and what to do.
fn refused(why: Foreign) -> Failure {
    match why {
        Foreign::File(path) => Failure::misuse(
            format!("{} is a file", path.display()),
            "name a folder for the pages",
        ),
        Foreign::Folder(path) => Failure::misuse(
            format!(
                "{} has files in it that this program did not make",
                path.display()
            ),
            "nothing was written; name a new folder, or an empty one",
        ),
        Foreign::InTheWay(path) => Failure::misuse(
            format!(
                "{} stands where a page belongs, and this program did not make it",
                path.display()
            ),
            "move it to another folder, then run the same command again",
        ),
        Foreign::Nowhere(path) => Failure::misuse(
            format!("there is no folder {}", path.display()),
            "make it first, or name another",
        ),
        Foreign::Error(error) => Failure::Journal(error),
    }
}
