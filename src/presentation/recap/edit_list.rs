//! The shot list for an editing program: as OpenTimelineIO and as a CMX 3600 edit
//! list.
//!
//! Clips in the order of the chapters, each from its in to its out point, a marker
//! where a chapter begins. Nothing is read from the clips themselves: where no times
//! were written down, a clip begins at 0 and is ten seconds long, and that is said.

use std::collections::BTreeMap;
use std::fmt::Write;

use serde_json::{Value, json};

use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::document;
use crate::presentation::text::shown;
use crate::recap::{EpisodeDraft, Shot};
use crate::vocabulary::frame_rate::FrameRate;

/// What an editing program is given.
#[derive(Clone, Copy, Debug)]
pub struct EditList<'a> {
    /// The draft, for its chapters.
    pub draft: &'a EpisodeDraft,
    /// Its clips.
    pub shots: &'a [Shot],
    /// How the camera counts.
    pub rate: FrameRate,
}

/// The form of OpenTimelineIO.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Otio;

/// The form of CMX 3600.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cmx3600;

impl Exporter<EditList<'_>> for Otio {
    fn export(&self, list: &EditList<'_>) -> Document {
        otio(list.draft, list.shots, list.rate)
    }
}

impl Exporter<EditList<'_>> for Cmx3600 {
    fn export(&self, list: &EditList<'_>) -> Document {
        Document::text(cmx_3600(list.draft, list.shots, list.rate))
    }
}

/// Seconds of a clip of which no end was written down.
const GUESS: u32 = 10;

/// The second at which the record begins: an hour (common practice, no source).
const RECORD: u64 = 3600;

/// A shot with its frames, and the chapters that begin with it.
struct EditEvent<'s> {
    shot: &'s Shot,
    from: u64,
    until: u64,
    chapters: Vec<&'s str>,
    guessed: Option<&'static str>,
}

impl EditEvent<'_> {
    fn frames(&self) -> u64 {
        self.until - self.from
    }
}

/// The shots in the order of the draft. A chapter without a clip begins with the next.
fn events<'s>(draft: &'s EpisodeDraft, shots: &'s [Shot], rate: FrameRate) -> Vec<EditEvent<'s>> {
    let mut events: Vec<EditEvent<'_>> = Vec::new();
    let mut waiting: Vec<&str> = Vec::new();
    for chapter in &draft.chapters {
        waiting.push(&chapter.title);
        for shot in shots.iter().filter(|shot| shot.chapter == chapter.title) {
            let from = shot.clip.from.unwrap_or(0);
            let until = shot.clip.until.filter(|until| *until > from);
            let guessed = match (shot.clip.from, until) {
                (Some(_), Some(_)) => None,
                (None, Some(_)) => Some("begin not written down, taken as 0"),
                (Some(_), None) => Some("end not written down, taken as ten seconds later"),
                (None, None) => Some("times not written down, taken as the first ten seconds"),
            };
            events.push(EditEvent {
                shot,
                from: rate.at(from.into()),
                until: rate.at(until.unwrap_or(from.saturating_add(GUESS)).into()),
                chapters: std::mem::take(&mut waiting),
                guessed,
            });
        }
    }
    if let Some(last) = events.last_mut() {
        last.chapters.append(&mut waiting);
    }
    events
}

/// The timeline as OpenTimelineIO JSON (Academy Software Foundation): `Timeline.1`.
fn otio(draft: &EpisodeDraft, shots: &[Shot], rate: FrameRate) -> Document {
    let per_second = f64::from(rate.frames) / f64::from(rate.seconds);
    let time = |frames: u64| json!({ "OTIO_SCHEMA": "RationalTime.1", "rate": per_second, "value": frames });
    let range = |from: u64, frames: u64| json!({ "OTIO_SCHEMA": "TimeRange.1", "start_time": time(from), "duration": time(frames) });
    let clips: Vec<Value> = events(draft, shots, rate)
        .iter()
        .map(|event| {
            let shot = event.shot;
            let markers: Vec<Value> = event
                .chapters
                .iter()
                .map(|chapter| {
                    json!({
                        "OTIO_SCHEMA": "Marker.2",
                        "name": shown(chapter),
                        "color": "RED",
                        "comment": "",
                        "marked_range": range(event.from, 0),
                        "metadata": {},
                    })
                })
                .collect();
            json!({
                "OTIO_SCHEMA": "Clip.2",
                "name": shown(&shot.clip.name),
                "source_range": range(event.from, event.frames()),
                "effects": [],
                "markers": markers,
                "enabled": true,
                "active_media_reference_key": "DEFAULT_MEDIA",
                "media_references": {
                    "DEFAULT_MEDIA": {
                        "OTIO_SCHEMA": "MissingReference.1",
                        "name": shown(&shot.clip.name),
                        "available_range": null,
                        "metadata": {},
                    },
                },
                "metadata": {
                    "matchmark": {
                        "seen": shown(&shot.seen),
                        "chapter": shown(&shot.chapter),
                        "date": shot.date.to_string(),
                        "entry": shown(&shot.entry),
                        "times": event.guessed.unwrap_or("as written down"),
                    },
                },
            })
        })
        .collect();
    let part = |schema: &str, name: &str, children: Vec<Value>| {
        json!({
            "OTIO_SCHEMA": schema,
            "name": shown(name),
            "source_range": null,
            "effects": [],
            "markers": [],
            "enabled": true,
            "children": children,
            "metadata": {},
        })
    };
    let mut track = part("Track.1", "clips", clips);
    track["kind"] = json!("Video");
    let timeline = json!({
        "OTIO_SCHEMA": "Timeline.1",
        "name": shown(&draft.title),
        "global_start_time": time(rate.at(RECORD)),
        "tracks": part("Stack.1", "tracks", vec![track]),
        "metadata": {},
    });
    document(&timeline)
}

/// The CMX 3600 edit list.
fn cmx_3600(draft: &EpisodeDraft, shots: &[Shot], rate: FrameRate) -> String {
    let mut out = format!("TITLE: {}\nFCM: NON-DROP FRAME\n", shown(&draft.title));
    let mut reels = Reels::default();
    let mut record = rate.at(RECORD);
    for (event, number) in events(draft, shots, rate).iter().zip(1_u32..) {
        let code = |frame: u64| rate.time_code(frame);
        let clip = shown(&event.shot.clip.name);
        let end = record + event.frames();
        let _ = write!(
            out,
            "\n{number:03}  {:<8} V     C        {} {} {} {}\n* FROM CLIP NAME: {clip}\n* FROM CLIP: {clip}\n",
            reels.of(&event.shot.clip.name),
            code(event.from),
            code(event.until),
            code(record),
            code(end),
        );
        for chapter in &event.chapters {
            let _ = writeln!(out, "* LOC: {} RED {}", code(record), shown(chapter));
        }
        let guessed = event.guessed.map(|guessed| format!("; {guessed}"));
        let _ = writeln!(
            out,
            "* COMMENT: {}, {}{}",
            event.shot.date,
            shown(&event.shot.seen),
            guessed.unwrap_or_default()
        );
        record = end;
    }
    out
}

/// Names of reels: eight letters and digits at most, each for one clip.
#[derive(Default)]
struct Reels {
    of_clip: BTreeMap<String, String>,
}

/// Names with a meaning of their own: no reel, and black.
const TAKEN: [&str; 2] = ["AX", "BL"];

impl Reels {
    fn of(&mut self, clip: &str) -> String {
        if let Some(reel) = self.of_clip.get(clip) {
            return reel.clone();
        }
        let letters = clip.chars().filter(char::is_ascii_alphanumeric).take(8);
        let own: String = letters.collect::<String>().to_ascii_uppercase();
        let is_free = |reel: &String| {
            !reel.is_empty()
                && !TAKEN.contains(&reel.as_str())
                && self.of_clip.values().all(|other| other != reel)
        };
        let reel = (0_u32..)
            .map(|number| match number {
                0 => own.clone(),
                more => format!("R{more:07}"),
            })
            .find(is_free)
            .unwrap_or(own);
        self.of_clip.insert(clip.to_owned(), reel.clone());
        reel
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_clip_has_a_reel_of_its_own() {
        let mut reels = Reels::default();
        for (clip, reel) in [
            ("A017", "A017"),
            ("clip-2026-03-14.mp4", "CLIP2026"),
            ("clip-2026-03-15.mp4", "R0000001"),
            ("AX", "R0000002"),
            ("A017", "A017"),
            ("日本", "R0000003"),
        ] {
            assert_eq!(reels.of(clip), reel, "{clip}");
        }
    }
}
