//! What a draft is asked for.

use super::draft::StatementOrigin;
use super::source::RecapSource;
use crate::reports::summary::{SummaryScope, SummarySource};

/// What a draft would say beside the moments, and a person unticked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Omitted {
    /// Who is in it.
    pub people: bool,
    /// The figures.
    pub numbers: bool,
    /// What comes next.
    pub next: bool,
}

impl Omitted {
    /// The names by which a sheet lists it, each with the place to untick.
    pub fn named(&mut self) -> [(&'static str, &mut bool); 3] {
        [
            ("people", &mut self.people),
            ("numbers", &mut self.numbers),
            ("next", &mut self.next),
        ]
    }
}

/// What is asked for.
pub struct Request<'r> {
    /// What its figures are taken of.
    pub scope: SummaryScope<'r>,
    /// The vehicle's name.
    pub vehicle_name: &'r str,
    /// The first paragraph of the vehicle's page, and where it stands.
    pub vehicle_about: Option<(&'r str, StatementOrigin)>,
    /// Which sources are asked about, told or not.
    pub asked: &'r (dyn Fn(&RecapSource<'_>) -> bool + Sync),
    /// Which of them may be told.
    pub may: &'r (dyn Fn(&RecapSource<'_>) -> bool + Sync),
    /// How long the draft should be.
    pub minutes: u32,
    /// Words said in a minute.
    pub pace: u32,
    /// What is not said beside the moments.
    pub omitted: Omitted,
    /// The entries as anyone may read them.
    pub public: SummarySource<'r>,
    /// All entries, if anything in them is private.
    pub all: Option<SummarySource<'r>>,
}
