//! What a set of texts says, wherever they come from: the disk now, or a
//! commit of long ago.

use super::episode::{self, Episode};
use super::manifest::MANIFEST;
use super::settings::Settings;
use super::vehicle::VehicleFile;
use crate::entry::{Context, Entry, Vehicle, decode, read_file};
use crate::parallel;
use crate::problem::{Problem, Spot};

/// A journal's texts, read.
#[derive(Clone, Debug)]
pub struct Contents {
    /// The settings.
    pub settings: Settings,
    /// The vehicles, by slug.
    pub vehicles: Vec<VehicleFile>,
    /// The entries, by path.
    pub entries: Vec<Entry>,
    /// The episodes, by path.
    pub episodes: Vec<Episode>,
    /// What is wrong with any of them.
    pub problems: Vec<Problem>,
}

/// Whether a path inside the journal is one of its texts.
#[must_use]
pub fn is_text_of_journal(path: &str) -> bool {
    path == "journal.toml"
        || path == ".gitignore"
        || path == MANIFEST
        || ["entries/", "vehicles/", "episodes/"]
            .iter()
            .any(|folder| path.starts_with(folder))
            && path
                .strip_suffix(".md")
                .is_some_and(|stem| !stem.ends_with('/'))
}

/// Threads that read entries: twice as many would each take twice as long on the two
/// processors that most people have.
const READERS: usize = 2;

/// Reads a journal's texts, given as path and bytes, in any order.
#[must_use]
pub fn gather(texts: Vec<(String, Vec<u8>)>) -> Contents {
    gather_with(texts, Vec::new())
}

/// Reads a journal's texts beside `entries` that were read before.
pub(super) fn gather_with(mut texts: Vec<(String, Vec<u8>)>, mut entries: Vec<Entry>) -> Contents {
    texts.sort_by(|a, b| a.0.cmp(&b.0));
    let mut problems = Vec::new();
    let settings = texts
        .iter()
        .find(|(path, _)| path == "journal.toml")
        .map_or_else(Settings::default, |(_, bytes)| {
            let (settings, found) = Settings::read(&String::from_utf8_lossy(bytes));
            problems.extend(found);
            settings
        });
    let mut vehicles = Vec::new();
    for (path, bytes) in texts.iter().filter(|(path, _)| is_vehicle(path)) {
        let text = String::from_utf8_lossy(bytes);
        let (vehicle, found) = VehicleFile::read(path, &text, settings.currency);
        problems.extend(found);
        vehicles.push(vehicle);
    }
    let context = context(&settings, &vehicles);
    let mut episodes = Vec::new();
    for (path, bytes) in texts.iter().filter(|(path, _)| is_episode(path)) {
        let (episode, found) = Episode::read(path, &String::from_utf8_lossy(bytes));
        problems.extend(found);
        episodes.push(episode);
    }
    texts.retain(|(path, _)| is_entry(path));
    let read = parallel::each(READERS, &texts, |(path, bytes)| {
        read_bytes(path, bytes.clone(), &context)
    });
    entries.reserve(read.len());
    for (entry, found) in read {
        problems.extend(found);
        entries.push(entry);
    }
    problems.extend(episode::against(&episodes, &entries, &context));
    Contents {
        settings,
        vehicles,
        entries,
        episodes,
        problems,
    }
}

/// Reads one entry from the bytes of its file.
pub(super) fn read_bytes(path: &str, bytes: Vec<u8>, context: &Context) -> (Entry, Vec<Problem>) {
    let decoded = decode(bytes);
    let (entry, mut problems) = read_file(path, &decoded.text, context);
    problems.extend(decoded.problems.into_iter().map(|problem| Problem {
        spot: Spot {
            file: path.to_owned(),
            ..problem.spot
        },
        ..problem
    }));
    (entry, problems)
}

impl Contents {
    /// What reading one more entry has to know.
    #[must_use]
    pub fn context(&self) -> Context {
        context(&self.settings, &self.vehicles)
    }
}

/// What reading entries has to know of settings and vehicles.
pub(super) fn context(settings: &Settings, vehicles: &[VehicleFile]) -> Context {
    Context {
        systems: settings.systems.clone(),
        vehicles: vehicles
            .iter()
            .map(|vehicle| Vehicle {
                slug: vehicle.slug.clone(),
                name: vehicle.name.clone(),
                driven: vehicle.driven,
            })
            .collect(),
        currency: settings.currency,
    }
}

fn is_vehicle(path: &str) -> bool {
    path.starts_with("vehicles/") && is_text_of_journal(path)
}

fn is_episode(path: &str) -> bool {
    path.starts_with("episodes/") && is_text_of_journal(path)
}

fn is_entry(path: &str) -> bool {
    path.starts_with("entries/") && is_text_of_journal(path)
}
