//! What has not been told, with its weight.

use jiff::civil::Date;

use super::material::{Material, Source};
use super::moments::Voice;
use super::weigh::Worth;

/// A record that no episode tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Untold {
    /// The entry's path.
    pub entry: String,
    /// The line of its strongest sentence, or of its heading.
    pub line: u32,
    /// The day.
    pub date: Date,
    /// The part as an episode names it.
    pub label: String,
    /// Its number among the records of its entry that are called so.
    pub record: Option<u32>,
    /// The entry's title.
    pub title: Option<String>,
    /// The points of its strongest moment; `None` if it says nothing that could
    /// be told.
    pub weight: Option<i32>,
    /// That moment's first sentence.
    pub text: Option<String>,
    /// Why it weighs so much.
    pub why: String,
}

/// The sources that are `wanted`, the most weight first.
#[must_use]
pub fn untold(
    material: &Material,
    worths: &[Worth],
    wanted: &dyn Fn(&Source) -> bool,
) -> Vec<Untold> {
    let mut best: Vec<Option<usize>> = vec![None; material.sources.len()];
    for (index, moment) in material.moments.iter().enumerate() {
        let own = &mut best[moment.source];
        let is_stronger = own.is_none_or(|own| worths[index].points > worths[own].points);
        if moment.voice != Voice::Caution && is_stronger {
            *own = Some(index);
        }
    }
    let mut found: Vec<Untold> = material
        .sources
        .iter()
        .zip(best)
        .filter(|(source, _)| wanted(source))
        .map(|(source, best)| {
            let sentence = best.and_then(|best| material.moments[best].sentences.first());
            Untold {
                entry: source.when.entry.clone(),
                line: sentence.map_or(source.when.line.max(1), |sentence| sentence.line),
                date: source.when.date,
                label: source.label.clone(),
                record: source.twin,
                title: source.title.clone(),
                weight: best.map(|best| worths[best].points),
                text: sentence.map(|sentence| sentence.text.clone()),
                why: best.map(|best| worths[best].why()).unwrap_or_default(),
            }
        })
        .collect();
    found.sort_by_key(|one| (one.weight.is_none(), -one.weight.unwrap_or(0)));
    found
}
