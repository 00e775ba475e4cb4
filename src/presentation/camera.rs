//! What `adopt` does with a camera's folder, shown before it is done and after.

use jiff::civil::Date;
use serde_json::{Value, json};

use super::export::{Document, Exporter};
use super::json::Json;
use super::json::document;
use super::recap::marks::short_clock;
use super::terminal::Terminal;
use super::text::{Text, TextStyle, counted};
use crate::pictures::{Taken, TakenSource};

/// What is to be done with a folder, or was done.
#[derive(Clone, Debug, Default)]
pub struct CameraPlan {
    /// Day by day.
    pub days: Vec<CameraDay>,
    /// How many pictures and clips the journal has and names already.
    pub before: usize,
    /// Files that are not brought in, and why.
    pub left_out: Vec<(String, String)>,
    /// Whether it was done.
    pub is_done: bool,
}

/// One day of a camera's folder.
#[derive(Clone, Debug)]
pub struct CameraDay {
    /// The day, by the camera's clock.
    pub date: Date,
    /// The entry the files belong to; `None` if one is to be written.
    pub entry: Option<String>,
    /// The files, in the order in which they were taken.
    pub shots: Vec<CameraShot>,
}

/// A picture or a clip.
#[derive(Clone, Debug)]
pub struct CameraShot {
    /// Its path below the camera's folder.
    pub from: String,
    /// Its path inside the journal, unless it is only named.
    pub to: Option<String>,
    /// Whether it has to be copied there.
    pub is_copied: bool,
    /// The name of a clip.
    pub clip: Option<String>,
    /// Whether an entry names the clip already: then it is only copied.
    pub is_named: bool,
    /// The length of a clip in seconds.
    pub seconds: Option<u32>,
    /// When it was taken, the clock of the camera corrected.
    pub taken: Taken,
    /// Another day it may belong to, as its zone is unknown.
    pub perhaps: Option<Date>,
}

impl Exporter<CameraPlan> for Terminal {
    fn export(&self, plan: &CameraPlan) -> Document {
        let mut text = Text::new(self.width);
        for day in &plan.days {
            let entry = day.entry.as_deref().unwrap_or("a new entry");
            text.line(0, TextStyle::Title, &format!("{}: {entry}", day.date));
            for shot in &day.shots {
                text.line(2, TextStyle::Plain, &line(shot));
            }
        }
        for (file, why) in &plan.left_out {
            text.line(0, TextStyle::Plain, &format!("left out: {file}: {why}"));
        }
        if plan.before > 0 {
            let before = counted(plan.before, "file is", "files are");
            text.line(
                0,
                TextStyle::Plain,
                &format!("{before} in the journal already"),
            );
        }
        let end = match (plan.days.is_empty(), plan.is_done) {
            (true, _) => "nothing new to adopt",
            (false, false) => "nothing was written yet; add --yes to go on",
            (false, true) => "written; `matchmark keep` puts it into the history",
        };
        text.line(0, TextStyle::Plain, end);
        Document::text(text.render(self.colours))
    }
}

fn line(shot: &CameraShot) -> String {
    let mut line = match (&shot.clip, &shot.to) {
        (Some(clip), to) => {
            let length = shot
                .seconds
                .map(|seconds| format!(", {} long", short_clock(seconds.into())));
            let to = match to {
                Some(to) => format!(", copied to {to}"),
                None => ", not copied".to_owned(),
            };
            let named = if shot.is_named { ", named already" } else { "" };
            format!("clip {clip}{}{named}{to}", length.unwrap_or_default())
        }
        (None, Some(to)) if shot.is_copied => format!("{} to {to}", shot.from),
        (None, Some(to)) => format!("{} is {to} already, in no record", shot.from),
        (None, None) => shot.from.clone(),
    };
    line.push_str(&format!(": {}", when(&shot.taken)));
    if let Some(other) = shot.perhaps {
        line.push_str(&format!("; perhaps of {other}, as its zone is unknown"));
    }
    line
}

/// "21:19 +01", "21:19, by the file's own time".
fn when(taken: &Taken) -> String {
    let mut words = match taken.time {
        Some(time) => format!("{:02}:{:02}", time.hour(), time.minute()),
        None => "at no time that a clock shows".to_owned(),
    };
    if let Some(offset) = taken.offset {
        words.push_str(&format!(" {offset}"));
    }
    let by = match taken.source {
        TakenSource::Shot | TakenSource::ClipDate => return words,
        TakenSource::Digitized => "when it was digitized",
        TakenSource::Changed => "when it was last changed",
        TakenSource::ClipHeader => "local or UTC, the clip does not say",
        TakenSource::FileTime => "by the file's own time, nothing in it says when",
    };
    format!("{words} ({by})")
}

impl Exporter<CameraPlan> for Json {
    fn export(&self, plan: &CameraPlan) -> Document {
        let days: Vec<Value> = plan.days.iter().map(day_value).collect();
        let left_out: Vec<Value> = plan
            .left_out
            .iter()
            .map(|(file, why)| json!({ "file": file, "why": why }))
            .collect();
        document(&json!({
            "days": days,
            "already": plan.before,
            "left_out": left_out,
            "written": plan.is_done,
        }))
    }
}

fn day_value(day: &CameraDay) -> Value {
    let shots: Vec<Value> = day
        .shots
        .iter()
        .map(|shot| {
            json!({
                "from": shot.from,
                "to": shot.to,
                "copied": shot.is_copied,
                "clip": shot.clip,
                "named": shot.is_named,
                "seconds": shot.seconds,
                "date": shot.taken.date.to_string(),
                "time": shot.taken.time.map(|time| time.to_string()),
                "offset": shot.taken.offset.map(|offset| offset.seconds() / 60),
                "source": source_word(shot.taken.source),
                "perhaps": shot.perhaps.map(|day| day.to_string()),
            })
        })
        .collect();
    json!({ "date": day.date.to_string(), "entry": day.entry, "files": shots })
}

fn source_word(source: TakenSource) -> &'static str {
    match source {
        TakenSource::Shot => "shot",
        TakenSource::Digitized => "digitized",
        TakenSource::Changed => "changed",
        TakenSource::ClipDate => "clip date",
        TakenSource::ClipHeader => "clip header",
        TakenSource::FileTime => "file",
    }
}
