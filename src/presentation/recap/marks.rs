//! Chapter marks: as WebVTT and as a plain list.
//!
//! Times follow from the words and the pace of speech; whoever cuts the film
//! moves them.

use std::fmt::Write;

use crate::presentation::export::{Document, Exporter};
use crate::presentation::text::shown;
use crate::recap::EpisodeDraft;

/// The shortest chapter that gets a mark, in seconds (common practice, no
/// source).
const LEAST: u64 = 10;

/// A chapter with its begin and end, in seconds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChapterMark {
    /// Where it begins.
    pub start: u64,
    /// Where the next one begins, or the end.
    pub end: u64,
    /// Its title.
    pub title: String,
}

/// The marks of a draft: the first at 0:00, each at least ten seconds long. A
/// chapter that is shorter has none and belongs to the one before.
#[must_use]
pub fn marks(draft: &EpisodeDraft) -> Vec<ChapterMark> {
    let end = draft.seconds();
    let mut marks: Vec<ChapterMark> = Vec::new();
    for (start, chapter) in draft.timed() {
        match marks.last_mut() {
            Some(last) if start - last.start < LEAST => {
                // The one before was over at once: this is its title now.
                last.title = shown(&chapter.title);
            }
            Some(_) if end - start < LEAST => {}
            Some(_) | None => marks.push(ChapterMark {
                start: if marks.is_empty() { 0 } else { start },
                end,
                title: shown(&chapter.title),
            }),
        }
    }
    for index in 1..marks.len() {
        marks[index - 1].end = marks[index].start;
    }
    marks.retain(|mark| mark.end > mark.start);
    marks
}

/// The form of a film's track of chapters: WebVTT.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WebVtt;

/// The form of chapters in a text: a time and a title a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChapterList;

impl Exporter<EpisodeDraft> for WebVtt {
    fn export(&self, draft: &EpisodeDraft) -> Document {
        Document::text(web_vtt(draft))
    }
}

impl Exporter<EpisodeDraft> for ChapterList {
    fn export(&self, draft: &EpisodeDraft) -> Document {
        Document::text(plain(draft))
    }
}

/// The marks as WebVTT (W3C), for a track of chapters.
#[must_use]
pub fn web_vtt(draft: &EpisodeDraft) -> String {
    let mut out = String::from("WEBVTT\n");
    for mark in marks(draft) {
        let _ = write!(
            out,
            "\n{}.000 --> {}.000\n{}\n",
            clock(mark.start),
            clock(mark.end),
            cue_text(&mark.title)
        );
    }
    out
}

/// The marks as lines: `0:00 Opening`.
#[must_use]
pub fn plain(draft: &EpisodeDraft) -> String {
    let mut out = String::new();
    for mark in marks(draft) {
        let _ = writeln!(out, "{} {}", short_clock(mark.start), mark.title);
    }
    out
}

/// Hours, minutes and seconds in full: `00:01:05`.
#[must_use]
pub fn clock(seconds: u64) -> String {
    format!(
        "{:02}:{:02}:{:02}",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60
    )
}

/// As short as a person writes it: `1:05`, `1:02:05`.
#[must_use]
pub fn short_clock(seconds: u64) -> String {
    let (hours, minutes, rest) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    if hours > 0 {
        format!("{hours}:{minutes:02}:{rest:02}")
    } else {
        format!("{minutes}:{rest:02}")
    }
}

/// A title that no reader of WebVTT takes for anything else.
fn cue_text(title: &str) -> String {
    let text = title.split_whitespace().collect::<Vec<_>>().join(" ");
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recap::{Chapter, ChapterRole, DraftParagraph, Line, StatementOrigin};

    fn draft(lengths: &[usize]) -> EpisodeDraft {
        let chapter = |(index, words): (usize, &usize)| Chapter {
            part: ChapterRole::Work,
            title: format!("Chapter {index} --> <b>"),
            paragraphs: vec![DraftParagraph {
                lead: None,
                lines: vec![Line {
                    before: "",
                    text: "word ".repeat(*words),
                    after: "",
                    origin: StatementOrigin::Report("tally".into()),
                    why: String::new(),
                }],
                is_item: false,
            }],
            written: Vec::new(),
            photos: Vec::new(),
        };
        EpisodeDraft {
            title: "T".into(),
            vehicle: "v".into(),
            vehicle_name: "V".into(),
            days: None,
            chapters: lengths.iter().enumerate().map(chapter).collect(),
            told: Vec::new(),
            parts: Vec::new(),
            people: Vec::new(),
            notes: std::collections::BTreeMap::new(),
            pace: 150,
        }
    }

    proptest::proptest! {
        #[test]
        fn marks_are_ten_seconds_apart(lengths in proptest::collection::vec(0_usize..90, 0..12)) {
            let draft = draft(&lengths);
            let marks = marks(&draft);
            let mut at = 0;
            for mark in &marks {
                proptest::prop_assert_eq!(mark.start, at);
                proptest::prop_assert!(marks.len() == 1 || mark.end - mark.start >= 10);
                at = mark.end;
            }
            proptest::prop_assert_eq!(at, if marks.is_empty() { 0 } else { draft.seconds() });
        }
    }

    #[test]
    fn a_title_is_only_a_title() {
        let text = web_vtt(&draft(&[50]));
        assert_eq!(
            text,
            "WEBVTT\n\n00:00:00.000 --> 00:00:20.000\nChapter 0 --&gt; &lt;b&gt;\n"
        );
        assert_eq!(short_clock(3725), "1:02:05");
    }
}
