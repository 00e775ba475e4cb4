//! In which form an answer is wanted, and where it goes: the same two options
//! for every verb, each with the forms that it has.

use std::path::{Path, PathBuf};

use clap::builder::EnumValueParser;
use clap::{Args, ValueEnum};

/// The form of an answer and its destination. `F` lists the forms of the verb.
#[derive(Debug, Args)]
pub struct Output<F: ValueEnum + Clone + Send + Sync + 'static> {
    /// Answer in JSON: short for `--as json` (docs/json.md lists the keys)
    #[arg(long, conflicts_with = "form")]
    json: bool,
    /// The form of the answer
    #[arg(long = "as", value_name = "FORM", value_parser = EnumValueParser::<F>::new())]
    form: Option<F>,
    /// Where the answer goes: a new file, or `-` for standard output
    #[arg(long, value_name = "FILE")]
    into: Option<PathBuf>,
}

/// The forms of a verb; the default is what it answers if nothing is asked for.
pub trait Forms: ValueEnum + Copy + Default + PartialEq + Send + Sync + 'static {
    /// The form that `--json` is short for.
    const JSON: Self;

    /// The form in JSON that holds what this form shows.
    #[must_use]
    fn in_json(self) -> Self {
        Self::JSON
    }
}

impl<F: Forms> Output<F> {
    /// The form that is wanted.
    pub fn form(&self) -> F {
        match (self.json, self.form) {
            (true, form) => form.map_or(F::JSON, F::in_json),
            (false, form) => form.unwrap_or_default(),
        }
    }

    /// Whether JSON is wanted.
    pub fn is_json(&self) -> bool {
        self.form() == F::JSON
    }

    /// Whether nothing was said about form and destination.
    pub fn is_unsaid(&self) -> bool {
        !self.json && self.form.is_none() && self.into.is_none()
    }

    /// The file that the answer goes into; `None` for standard output.
    pub fn file(&self) -> Option<&Path> {
        self.into.as_deref().filter(|file| *file != Path::new("-"))
    }
}

/// The forms of a verb that answers in words or in JSON only.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum WordsForm {
    /// Words for a terminal
    #[default]
    Text,
    /// One object (docs/json.md)
    Json,
}

/// The forms of `replaced`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum ReplacedForm {
    /// Words for a terminal
    #[default]
    Text,
    /// One object (docs/json.md)
    Json,
    /// A table, a row for each unit
    Csv,
    /// A page to print (HTML)
    Page,
}

/// The forms of `needs`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum NeedsForm {
    /// Words for a terminal
    #[default]
    Text,
    /// One object (docs/json.md)
    Json,
    /// What has a day, for a calendar (RFC 5545)
    Calendar,
}

/// The forms of `bags`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum BagsForm {
    /// Words for a terminal
    #[default]
    Text,
    /// One object (docs/json.md)
    Json,
    /// Labels to print, as one page (HTML)
    Labels,
    /// Labels to print, as drawings: a file for each sheet (SVG)
    LabelsSvg,
}

/// The forms of `refit`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum RefitForm {
    /// Words for a terminal
    #[default]
    Text,
    /// One object (docs/json.md)
    Json,
    /// A checklist to print (HTML)
    Page,
    /// What is on, what can go on, what holds it up: a drawing (SVG)
    Picture,
}

/// The forms of `tally`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum TallyForm {
    /// Words for a terminal
    #[default]
    Text,
    /// One object (docs/json.md)
    Json,
    /// A table, a row for each key and currency
    Csv,
    /// Parts off, hours and money by month: drawings (SVG)
    Picture,
}

/// The forms of `recap`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum RecapForm {
    /// The episode's file, to be edited (Markdown)
    #[default]
    Draft,
    /// One object (docs/json.md)
    Json,
    /// A web article, one file (HTML)
    Article,
    /// Chapter marks for a film (WebVTT)
    Chapters,
    /// Chapter marks as plain lines
    ChapterList,
    /// The text below a film
    Description,
    /// Which clips show what
    Shots,
    /// Which clips show what, as a table (CSV)
    ShotsCsv,
    /// What there is to tell, to be ticked in any editor (plain text)
    Outline,
    /// The same as one object, also by `--as outline --json`
    OutlineJson,
    /// The clips in order, for an editing program (OpenTimelineIO)
    Otio,
    /// The clips in order, as an edit list (CMX 3600)
    Edl,
}

impl Forms for WordsForm {
    const JSON: WordsForm = WordsForm::Json;
}

impl Forms for ReplacedForm {
    const JSON: ReplacedForm = ReplacedForm::Json;
}

impl Forms for NeedsForm {
    const JSON: NeedsForm = NeedsForm::Json;
}

impl Forms for BagsForm {
    const JSON: BagsForm = BagsForm::Json;
}

impl Forms for RefitForm {
    const JSON: RefitForm = RefitForm::Json;
}

impl Forms for TallyForm {
    const JSON: TallyForm = TallyForm::Json;
}

impl Forms for RecapForm {
    const JSON: RecapForm = RecapForm::Json;

    fn in_json(self) -> RecapForm {
        match self {
            RecapForm::Outline | RecapForm::OutlineJson => RecapForm::OutlineJson,
            RecapForm::Draft
            | RecapForm::Json
            | RecapForm::Article
            | RecapForm::Chapters
            | RecapForm::ChapterList
            | RecapForm::Description
            | RecapForm::Shots
            | RecapForm::ShotsCsv
            | RecapForm::Otio
            | RecapForm::Edl => RecapForm::Json,
        }
    }
}
