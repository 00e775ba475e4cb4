//! A camera's folder: pictures copied to their day, clips named, facts added to the
//! entry of that day.
//!
//! Files are told by content; nothing in the folder is changed or moved, and nothing
//! is put into the history yet.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Read;
use std::path::Path;

use jiff::civil::Date;
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};

use super::super::arguments::{AdoptArgs, WordsForm};
use super::super::destination::{DocumentSummary, deliver, terminal};
use super::super::failure::Failure;
use super::super::world::World;
use super::super::write::{place_new, target};
use super::super::{Reply, picture_sums};
use crate::entry::{Fact, add_section, add_to_front, new_entry};
use crate::journal::{
    FoundFile, Journal, Look, copy_new, files_below, is_listable, open_file, photo_files, sha256,
};
use crate::pictures::{PictureKind, Taken, TakenSource, clip_header, is_clip, picture_taken};
use crate::presentation::camera::{CameraDay, CameraPlan, CameraShot};
use crate::presentation::export::Exporter;
use crate::presentation::json::Json;
use crate::vocabulary::spoken::in_full;

/// Adopts a folder, or shows what would be done.
pub(super) fn run(
    verb: &AdoptArgs,
    folder: &Path,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let shift = match &verb.clock {
        Some(text) => clock_shift(text).ok_or_else(|| {
            Failure::misuse(
                format!("`{text}` is no time to add to a clock"),
                "write `--clock=+1:00`, `--clock=-0:35` or `--clock=\"+365d 2:00\"`",
            )
        })?,
        None => SignedDuration::ZERO,
    };
    let vehicle = target::vehicle(verb.all_vehicle.as_ref(), journal)?;
    // Another run that adopts is waited for: it may copy the same pictures.
    let _alone = verb.yes.then(|| journal.hold_as("adopt.lock"));
    let known = KnownShots::of(journal, world)?;
    let mut plan = planned(folder, shift, verb.copy_clips, &known, world);
    for day in &mut plan.days {
        day.entry = target::entry_of(journal, day.date, &vehicle)?.map(|(path, _)| path);
    }
    if verb.yes {
        write(
            &mut plan,
            folder,
            &vehicle,
            verb.of_part.as_deref(),
            journal,
        )?;
        plan.is_done = true;
    }
    let document = match verb.output.form() {
        WordsForm::Text => terminal(&verb.output, world).export(&plan),
        WordsForm::Json => Json.export(&plan),
    };
    deliver(document, &verb.output, DocumentSummary::default(), world)
}

/// The pictures and clips that the journal has.
struct KnownShots {
    /// Paths by sum.
    by_sum: BTreeMap<String, String>,
    /// Paths that are taken.
    paths: BTreeSet<String>,
    /// Pictures and clips that entries name: paths; names with their days.
    pictures: BTreeSet<String>,
    clips: BTreeSet<(String, Option<Date>)>,
}

impl KnownShots {
    fn of(journal: &Journal, world: &World) -> Result<KnownShots, Failure> {
        let there = photo_files(&journal.root).files;
        let files: Vec<&FoundFile> = there.iter().collect();
        let sums = picture_sums::sums(&files, journal, world);
        let mut known = KnownShots {
            by_sum: BTreeMap::new(),
            paths: there.into_iter().map(|file| file.path).collect(),
            pictures: BTreeSet::new(),
            clips: BTreeSet::new(),
        };
        for entry in &journal.load()?.entries {
            let of_records = entry.records.iter().flat_map(|record| &record.facts);
            for stated in entry.facts.iter().chain(of_records) {
                if let Fact::Photo(picture) = &stated.fact {
                    known.pictures.insert(picture.path.clone());
                } else if let Fact::Footage(clip) = &stated.fact {
                    known.clips.insert((clip.name.clone(), entry.date));
                }
            }
        }
        // Of equal pictures, one that an entry names: the others are no new ones.
        for (path, sum) in sums {
            let is_named = known.pictures.contains(&path);
            match known.by_sum.entry(sum) {
                Entry::Occupied(mut other) if is_named => drop(other.insert(path)),
                Entry::Occupied(_) => {}
                Entry::Vacant(free) => drop(free.insert(path)),
            }
        }
        Ok(known)
    }
}

/// What is to be done with each file of a folder.
fn planned(
    folder: &Path,
    shift: SignedDuration,
    copy_clips: bool,
    known: &KnownShots,
    world: &World,
) -> CameraPlan {
    let mut plan = CameraPlan::default();
    let mut days: BTreeMap<Date, Vec<CameraShot>> = BTreeMap::new();
    let mut paths = known.paths.clone();
    let mut sums: BTreeSet<String> = BTreeSet::new();
    let files = files_below(folder);
    let mut progress = world.progress("reading pictures");
    for (at, (file, look)) in files.iter().enumerate() {
        progress.at(at, files.len());
        let from = file
            .strip_prefix(folder)
            .unwrap_or(file)
            .display()
            .to_string();
        let seen = match seen(file, look, world) {
            Ok(seen) => seen,
            Err(why) => {
                plan.left_out.push((from, why));
                continue;
            }
        };
        let (taken, perhaps) = shifted(seen.taken, shift, world);
        let stem = file.file_stem().unwrap_or_default().to_string_lossy();
        let clip = seen.is_clip.then(|| safe(&stem));
        let is_named = clip
            .as_ref()
            .is_some_and(|clip| known.clips.contains(&(clip.clone(), Some(taken.date))));
        if is_named && !copy_clips {
            plan.before += 1;
            continue;
        }
        let is_kept = !seen.is_clip || copy_clips;
        let sum = match sha256(file) {
            Ok(sum) => sum,
            Err(error) => {
                plan.left_out.push((from, error.to_string()));
                continue;
            }
        };
        let mut to = None;
        let mut is_copied = false;
        if !sums.insert(sum.clone()) {
            plan.left_out
                .push((from, "the same as another in the folder".to_owned()));
            continue;
        }
        if is_kept {
            let there = known.by_sum.get(&sum);
            if there.is_some_and(|path| is_named || known.pictures.contains(path)) {
                plan.before += 1;
                continue;
            }
            is_copied = there.is_none();
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            let path = there
                .cloned()
                .unwrap_or_else(|| free(taken.date, &safe(&name), &paths));
            paths.insert(path.clone());
            to = Some(path);
        }
        days.entry(taken.date).or_default().push(CameraShot {
            from,
            to,
            is_copied,
            clip,
            is_named,
            seconds: seen.seconds,
            taken,
            perhaps,
        });
    }
    plan.days = days
        .into_iter()
        .map(|(date, mut shots)| {
            shots.sort_by(|a, b| (a.taken.time, &a.from).cmp(&(b.taken.time, &b.from)));
            CameraDay {
                date,
                entry: None,
                shots,
            }
        })
        .collect();
    plan
}

/// What a file turned out to be.
struct SeenShot {
    is_clip: bool,
    taken: Taken,
    seconds: Option<u32>,
}

/// Looks into a file; says why it is none to adopt.
fn seen(file: &Path, look: &Look, world: &World) -> Result<SeenShot, String> {
    let unreadable = |error: std::io::Error| format!("it cannot be read: {error}");
    let mut reader = open_file(file).map_err(unreadable)?;
    let mut start = Vec::new();
    let read = reader.by_ref().take(64).read_to_end(&mut start);
    read.map_err(unreadable)?;
    let mut reader = open_file(file).map_err(unreadable)?;
    if is_clip(&start) {
        let header = clip_header(&mut reader)
            .map_err(|_| "the clip is cut off or damaged: it has no header".to_owned())?;
        return Ok(SeenShot {
            is_clip: true,
            taken: header.taken.unwrap_or_else(|| by_file(look, world)),
            seconds: header.seconds,
        });
    }
    match PictureKind::of(&start) {
        Some(PictureKind::Jpeg | PictureKind::Png | PictureKind::WebP | PictureKind::Heic) => {
            Ok(SeenShot {
                is_clip: false,
                taken: picture_taken(&mut reader).unwrap_or_else(|| by_file(look, world)),
                seconds: None,
            })
        }
        Some(kind @ (PictureKind::Avif | PictureKind::Gif | PictureKind::Tiff)) => Err(format!(
            "a {kind}; only JPEG, HEIC, PNG, WebP, MOV and MP4 are adopted"
        )),
        None => Err("neither a picture nor a clip that is known".to_owned()),
    }
}

/// The file's own time, in the zone of this place.
fn by_file(look: &Look, world: &World) -> Taken {
    let at = Timestamp::from_nanosecond(look.modified_ns.into()).unwrap_or_default();
    let at = at.to_zoned_datetime(world.now().time_zone().clone());
    Taken {
        date: at.date(),
        time: Some(at.time()),
        offset: Some(at.offset()),
        source: TakenSource::FileTime,
    }
}

/// So near to midnight a clock of unknown zone may show another day.
const NEAR_MIDNIGHT: SignedDuration = SignedDuration::from_hours(1);

/// The time with the clock corrected, and the other day it may be where the zone is
/// unknown.
fn shifted(taken: Taken, shift: SignedDuration, world: &World) -> (Taken, Option<Date>) {
    let Some(time) = taken.time else {
        return (taken, None);
    };
    let at = taken.date.to_datetime(time);
    let at = at.checked_add(shift).unwrap_or(at);
    let taken = Taken {
        date: at.date(),
        time: Some(at.time()),
        ..taken
    };
    if taken.offset.is_some() {
        return (taken, None);
    }
    let other = match taken.source {
        // It should be UTC and is local in many cameras.
        TakenSource::ClipHeader => {
            let here = world.now().time_zone().clone();
            let utc = Offset::UTC.to_timestamp(at).ok();
            utc.map(|utc| utc.to_zoned_datetime(here).date())
        }
        TakenSource::Shot
        | TakenSource::Digitized
        | TakenSource::Changed
        | TakenSource::ClipDate
        | TakenSource::FileTime => {
            let before = at.checked_sub(NEAR_MIDNIGHT).ok().map(|at| at.date());
            let after = at.checked_add(NEAR_MIDNIGHT).ok().map(|at| at.date());
            before.filter(|day| *day != taken.date).or(after)
        }
    };
    (taken, other.filter(|day| *day != taken.date))
}

/// "+1:00", "-0:35", "+365d 2:00".
fn clock_shift(text: &str) -> Option<SignedDuration> {
    let text = text.trim();
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let (days, clock) = match rest.split_once('d') {
        Some((days, clock)) => (days.trim().parse::<i64>().ok()?, clock.trim()),
        None => (0, rest),
    };
    let (hours, minutes) = match clock {
        "" if days > 0 => (0, 0),
        _ => {
            let (hours, minutes) = clock.split_once(':')?;
            (hours.parse::<i64>().ok()?, minutes.parse::<i64>().ok()?)
        }
    };
    let sound =
        (0..40_000).contains(&days) && (0..100).contains(&hours) && (0..60).contains(&minutes);
    sound.then(|| SignedDuration::from_mins(sign * (days * 1440 + hours * 60 + minutes)))
}

/// A file's name as facts, lists and other systems can hold it.
fn safe(name: &str) -> String {
    let is_odd =
        |c: char| c.is_control() || "%\\;/:*?\"<>|#".contains(c) || !is_listable(&c.to_string());
    let name = name.replace(is_odd, "-");
    let name = name.trim().trim_start_matches('.');
    if name.is_empty() {
        "unnamed".to_owned()
    } else {
        name.to_owned()
    }
}

/// A path for a new picture that no other has.
fn free(day: Date, name: &str, taken: &BTreeSet<String>) -> String {
    let plain = format!("photos/{day}/{name}");
    if !taken.contains(&plain) {
        return plain;
    }
    let (stem, ending) = plain.rsplit_once('.').unwrap_or((&plain, ""));
    (2..)
        .map(|number| format!("{stem}-{number}.{ending}"))
        .find(|path| !taken.contains(path))
        .unwrap_or(plain.clone())
}

/// Copies the pictures, then adds the facts day by day.
fn write(
    plan: &mut CameraPlan,
    folder: &Path,
    vehicle: &str,
    part: Option<&str>,
    journal: &Journal,
) -> Result<(), Failure> {
    for shot in plan.days.iter().flat_map(|day| &day.shots) {
        if let Some(to) = shot.to.as_ref().filter(|_| shot.is_copied) {
            copy_new(&folder.join(&shot.from), &journal.root.join(to))?;
        }
    }
    for day in &mut plan.days {
        let _held = journal.hold();
        let new = day.shots.iter().filter(|shot| !shot.is_named);
        let facts: Vec<(&str, String)> = new.map(fact).collect();
        if facts.is_empty() {
            continue;
        }
        let section = part.map(|part| {
            let lines = facts
                .iter()
                .map(|(key, value)| format!("- {key}: {value}\n"));
            format!("## {part}\n\n{}", lines.collect::<String>())
        });
        match &day.entry {
            Some(path) => {
                let bytes = journal.bytes(path)?;
                let before = String::from_utf8(bytes).map_err(|_| {
                    Failure::misuse(
                        format!("{path} is no UTF-8 text, so nothing was added to it"),
                        "the pictures are copied; mend the text and adopt the folder again",
                    )
                })?;
                let mut text = before.clone();
                match &section {
                    Some(section) => text = add_section(&text, section).text,
                    None => {
                        for (key, value) in &facts {
                            let added = add_to_front(&text, key, value).ok_or_else(|| {
                                Failure::misuse(
                                    format!("{path} has no front matter to add pictures to"),
                                    "begin it with `---`, `date: ...`, `vehicle: ...`, `---`",
                                )
                            })?;
                            text = added.text;
                        }
                    }
                }
                journal.change(path, &before, &text)?;
            }
            None => {
                let date = day.date.to_string();
                let title = format!("Pictures of {}", in_full(day.date));
                let mut fields = vec![("date", date.as_str()), ("vehicle", vehicle)];
                if section.is_none() {
                    fields.extend(facts.iter().map(|(key, value)| (*key, value.as_str())));
                }
                let text = new_entry(&fields, &title, section.as_deref().unwrap_or_default());
                day.entry = Some(place_new(&text, &title, journal, day.date)?);
            }
        }
    }
    Ok(())
}

/// The fact that names a picture or a clip.
fn fact(shot: &CameraShot) -> (&'static str, String) {
    match (&shot.clip, &shot.to) {
        (Some(clip), _) => match shot.seconds {
            Some(seconds) => (
                "footage",
                format!("{clip} 00:00-{:02}:{:02}", seconds / 60, seconds % 60),
            ),
            None => ("footage", clip.clone()),
        },
        (None, Some(to)) => ("photo", to.clone()),
        (None, None) => ("photo", shot.from.clone()),
    }
}
