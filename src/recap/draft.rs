//! What a draft is: chapters of paragraphs of lines, each line with where it
//! comes from.
//!
//! How it looks is for `presentation` to say.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::entry::{Block, Clip, spoken_words};
use crate::vocabulary::record_name::RecordName;
use crate::vocabulary::spoken::full_stop;

/// The draft of an episode.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EpisodeDraft {
    /// What it is called.
    pub title: String,
    /// The vehicle's slug.
    pub vehicle: String,
    /// The vehicle's name.
    pub vehicle_name: String,
    /// The first and the last day it tells of.
    pub days: Option<(Date, Date)>,
    /// The chapters.
    pub chapters: Vec<Chapter>,
    /// The records it tells.
    pub told: Vec<RecordName>,
    /// Their parts as one says them, each once.
    pub parts: Vec<String>,
    /// Who appears in what is told.
    pub people: Vec<Appearing>,
    /// The footnotes that a person has written, by their marks.
    pub notes: BTreeMap<String, Vec<Block>>,
    /// Words said in a minute.
    pub pace: u32,
}

/// Someone who appears in what is told, and should know before it is published.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Appearing {
    /// The name, as it was written.
    pub name: String,
    /// Whether the journal says that they must be asked first.
    pub ask: bool,
    /// The entries in which they appear.
    pub entries: BTreeSet<String>,
}

/// What a chapter is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChapterRole {
    /// The strongest moment.
    Opening,
    /// Which vehicle, which days.
    About,
    /// The work.
    Work,
    /// What was learned.
    Lessons,
    /// Figures of the ledger.
    Numbers,
    /// What can hurt someone.
    Cautions,
    /// What comes next.
    Next,
}

impl ChapterRole {
    /// What its chapter is called in every draft; nothing for those whose title
    /// says more.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            ChapterRole::Opening => "Opening",
            ChapterRole::Lessons => "What went wrong, and what was learned",
            ChapterRole::Numbers => "In numbers",
            ChapterRole::Cautions => "Before you do the same",
            ChapterRole::Next => "What is next",
            ChapterRole::About => "What this is about",
            ChapterRole::Work => "",
        }
    }
}

/// A chapter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chapter {
    /// What it is for.
    pub part: ChapterRole,
    /// Its title.
    pub title: String,
    /// Its paragraphs.
    pub paragraphs: Vec<DraftParagraph>,
    /// The same as a person has written it; nothing in a draft.
    pub written: Vec<Block>,
    /// Pictures of what it tells.
    pub photos: Vec<Photo>,
}

/// A paragraph, or one item of a list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DraftParagraph {
    /// The words that say when and what: "April 2025, the left front hub".
    pub lead: Option<String>,
    /// What is said.
    pub lines: Vec<Line>,
    /// Whether it is an item of a list.
    pub is_item: bool,
}

/// One statement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Joining words before it: "As found: ".
    pub before: &'static str,
    /// The sentence as it was written, or the figure.
    pub text: String,
    /// What it still wants at its end.
    pub after: &'static str,
    /// Where it comes from.
    pub origin: StatementOrigin,
    /// Why it is here.
    pub why: String,
}

/// Where a statement comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StatementOrigin {
    /// It stands in an entry, word for word.
    Entry {
        /// The entry's path.
        entry: String,
        /// The line.
        line: u32,
        /// The day in the shop.
        date: Date,
    },
    /// It stands on the page of the vehicle, which has no day.
    Page {
        /// The page's path.
        page: String,
        /// The line.
        line: u32,
    },
    /// Counted in the records of an entry.
    Counted {
        /// The entry's path.
        entry: String,
        /// The line of the first of them.
        line: u32,
        /// The day in the shop.
        date: Date,
    },
    /// A report computed it; the verb with options that says the same.
    Report(String),
    /// The handbook says it, after this published source.
    Handbook(String),
    /// A footnote of an episode that was edited.
    Noted(String),
    /// Words of this program, said in every draft, or of a person without a
    /// footnote.
    House,
}

/// A picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    /// Its path inside the journal.
    pub path: String,
    /// What is to be seen.
    pub caption: String,
}

/// A clip that shows something of the draft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shot {
    /// The clip, with its times in seconds.
    pub clip: Clip,
    /// The day it was filmed.
    pub date: Date,
    /// What is seen.
    pub seen: String,
    /// The chapter that wants it.
    pub chapter: String,
    /// The entry that says so.
    pub entry: String,
}

impl EpisodeDraft {
    /// How many words it takes to say: everything but titles and footnotes.
    #[must_use]
    pub fn words(&self) -> usize {
        self.chapters.iter().map(Chapter::words).sum()
    }

    /// How long it takes to say, in seconds.
    #[must_use]
    pub fn seconds(&self) -> u64 {
        seconds(self.words(), self.pace)
    }

    /// The chapters with the second at which each begins.
    pub fn timed(&self) -> impl Iterator<Item = (u64, &Chapter)> {
        let mut said = 0;
        self.chapters.iter().map(move |chapter| {
            let start = seconds(said, self.pace);
            said += chapter.words();
            (start, chapter)
        })
    }
}

/// How long it takes to speak this many words.
pub(super) fn seconds(words: usize, pace: u32) -> u64 {
    let words = u64::try_from(words).unwrap_or(u64::MAX);
    words.saturating_mul(60) / u64::from(pace.max(1))
}

impl Chapter {
    /// A chapter that has its role's title.
    pub(super) fn new(part: ChapterRole, paragraphs: Vec<DraftParagraph>) -> Chapter {
        Chapter {
            part,
            title: part.title().to_owned(),
            paragraphs,
            written: Vec::new(),
            photos: Vec::new(),
        }
    }

    /// How many words it takes to say.
    #[must_use]
    pub fn words(&self) -> usize {
        let lead = |one: &DraftParagraph| one.lead.as_deref().map_or(0, spoken_words);
        let line = |one: &Line| spoken_words(one.before) + spoken_words(&one.text);
        self.paragraphs.iter().map(lead).sum::<usize>() + self.lines().map(line).sum::<usize>()
    }

    /// All its lines.
    pub fn lines(&self) -> impl Iterator<Item = &Line> {
        self.paragraphs.iter().flat_map(|one| &one.lines)
    }
}

impl DraftParagraph {
    /// A paragraph of one line.
    pub(super) fn of(line: Line) -> DraftParagraph {
        DraftParagraph {
            lines: vec![line],
            ..DraftParagraph::default()
        }
    }

    /// An item of a list, with the words before it.
    pub(super) fn item(lead: Option<String>, lines: Vec<Line>) -> DraftParagraph {
        DraftParagraph {
            lead,
            lines,
            is_item: true,
        }
    }
}

impl Line {
    pub(super) fn new(text: &str, origin: StatementOrigin, why: impl Into<String>) -> Line {
        Line {
            before: "",
            text: text.to_owned(),
            after: full_stop(text),
            origin,
            why: why.into(),
        }
    }
}

impl StatementOrigin {
    /// Whether it stands in this entry, or in a footnote that names it.
    pub(super) fn is_of(&self, wanted: &str) -> bool {
        match self {
            StatementOrigin::Entry { entry, .. } => entry == wanted,
            StatementOrigin::Noted(note) => note.contains(wanted),
            StatementOrigin::Counted { .. }
            | StatementOrigin::Page { .. }
            | StatementOrigin::Report(_)
            | StatementOrigin::Handbook(_)
            | StatementOrigin::House => false,
        }
    }
}

/// A paragraph of one statement that is in every draft.
pub(super) fn statement(text: &str, origin: StatementOrigin) -> DraftParagraph {
    DraftParagraph::of(Line::new(text, origin, "said in every draft"))
}
