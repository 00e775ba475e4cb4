//! What a person chooses from: the outline, every untold moment in the order of the
//! work, those that the draft tells ticked; and what is untold, record by record.
//!
//! How an outline is written as a sheet is in `presentation/recap/outline_sheet.rs`, how
//! an edited sheet is read in `edited_outline`.

use super::material::Material;
use super::moments::{Moment, Voice};
use super::ranking::Ranking;
use super::request::Request;
use super::source::RecapSource;

/// What there is to choose from.
pub struct Outline<'s> {
    /// What was asked.
    pub request: &'s Request<'s>,
    /// How long the draft of the ticked moments takes, all told.
    pub seconds: u64,
    /// How much of that is said beside the moments.
    pub beside: u64,
    /// The moments.
    pub rows: Vec<OutlineRow<'s>>,
}

/// A moment in an outline.
#[derive(Clone, Debug)]
pub struct OutlineRow<'s> {
    /// The moment.
    pub moment: &'s Moment,
    /// Where it comes from.
    pub source: &'s RecapSource<'s>,
    /// Its place among all, from 1.
    pub rank: usize,
    /// How long it takes to say.
    pub seconds: u64,
    /// Whether the draft tells it.
    pub ticked: bool,
    /// The ids of those it needs, as far as they are untold.
    pub needs: Vec<&'s str>,
}

impl Outline<'_> {
    /// Whether the draft tells all that is prose.
    #[must_use]
    pub fn is_all_ticked(&self) -> bool {
        let mut rows = self.rows.iter();
        rows.all(|row| row.ticked || row.moment.voice != Voice::Prose)
    }
}

impl OutlineRow<'_> {
    /// The part, as an episode names it; `None` for an entry's own words.
    #[must_use]
    pub fn part(&self) -> Option<&str> {
        (!self.source.is_session()).then_some(self.source.label.as_str())
    }
}

/// A record that no episode tells.
#[derive(Clone, Debug)]
pub struct Untold<'s> {
    /// The record.
    pub source: &'s RecapSource<'s>,
    /// Its highest moment, if it says anything that could be told.
    pub best: Option<&'s Moment>,
    /// The points of that moment: the sum of its measures, in hundredths.
    pub weight: Option<i32>,
    /// The reasons for them.
    pub why: String,
}

impl Untold<'_> {
    /// The line of its highest moment, or of its heading.
    #[must_use]
    pub fn line(&self) -> u32 {
        let first = self.best.and_then(|best| best.sentences.first());
        first.map_or(self.source.when.line.max(1), |sentence| sentence.line)
    }
}

/// The records that are `wanted`, the most promising first.
#[must_use]
pub fn untold<'s>(
    material: &'s Material<'_>,
    wanted: &dyn Fn(&RecapSource<'_>) -> bool,
) -> Vec<Untold<'s>> {
    let wanted = material.marked(wanted);
    let ranking = Ranking::of(material, &wanted, &wanted);
    let best = ranking.best(material, |_| true);
    let wanted = (0..best.len()).filter(|index| wanted[*index]);
    let mut wanted: Vec<usize> = wanted.collect();
    wanted.sort_by_key(|index| best[*index].map_or(usize::MAX, |best| ranking.rank[best]));
    let untold = wanted.into_iter().map(|index| Untold {
        source: &material.sources[index],
        best: best[index].map(|best| &material.moments[best]),
        weight: best[index].map(|best| (ranking.sum[best] * 100.0).round() as i32),
        why: best[index].map_or_else(String::new, |best| {
            ranking.why(best, material.moments[best].worth)
        }),
    });
    untold.collect()
}
