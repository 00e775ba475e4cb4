//! Questions and answers as the caller sees them.
//!
//! Plain values; how an answer is found is `search`'s business, and how it is
//! shown the presentation's.

/// A question. Names are compared without case and accents.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Query {
    /// Words and `"quoted words"`; without any, all records that fit the rest.
    pub text: String,
    /// Only of this vehicle.
    pub vehicle: Option<String>,
    /// Only of this system.
    pub system: Option<String>,
    /// Only about this part.
    pub part: Option<String>,
    /// Only at this position.
    pub at: Option<String>,
    /// Only with this status.
    pub status: Option<String>,
    /// Not before this RFC 3339 full-date.
    pub since: Option<String>,
    /// Not after this RFC 3339 full-date.
    pub until: Option<String>,
}

/// A word that is nowhere, and the one that was searched instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Correction {
    /// As it was typed, folded.
    pub from: String,
    /// As it stands in the journal.
    pub to: String,
}

/// What was found.
#[derive(Clone, Debug)]
pub struct SearchAnswer {
    /// What was really searched.
    pub searched: String,
    /// What the question was narrowed to by what it says besides its words.
    pub narrowed: Option<String>,
    /// Slips that were set right.
    pub corrected: Vec<Correction>,
    /// How many records have all the words that say something, shown or not.
    pub total: usize,
    /// The best of them.
    pub hits: Vec<Hit>,
    /// The best of those that have only some of the words, where `hits` are fewer
    /// than were wanted.
    pub also: Vec<Hit>,
}

/// One record that was found.
#[derive(Clone, Debug)]
pub struct Hit {
    /// Path of the entry inside the journal.
    pub entry: String,
    /// Line of the record's heading, from 1.
    pub line: u32,
    /// Title of the entry.
    pub title: String,
    /// RFC 3339 full-date.
    pub date: Option<String>,
    /// Name of the vehicle.
    pub vehicle: Option<String>,
    /// Name of the system.
    pub system: Option<String>,
    /// Name of the part.
    pub part: Option<String>,
    /// Positions.
    pub at: Vec<String>,
    /// Status as the record says it.
    pub status: Option<String>,
    /// Labels of the bags named in the record.
    pub bags: Vec<String>,
    /// Clip and time.
    pub footage: Option<String>,
    /// Paths of pictures, with their captions.
    pub pictures: Vec<(String, Option<String>)>,
    /// The places the record is about, each with its stored state.
    pub places: Vec<(String, Option<Vec<u8>>)>,
    /// How well it fits; only good for comparing hits of one answer.
    pub score: f32,
    /// Some lines of the record, in one line, without control characters;
    /// empty if the file is gone.
    pub passage: String,
    /// The line of the file where `passage` begins, from 1.
    pub passage_line: u32,
    /// The words that matched: from and to, in Unicode scalars of `passage`.
    pub marks: Vec<(usize, usize)>,
}
