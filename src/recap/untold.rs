//! What has not been told, record by record.

use jiff::civil::Date;

use super::material::Material;
use super::ranking::Ranking;

/// A record that no episode tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Untold {
    /// The entry's path.
    pub entry: String,
    /// The line of its highest moment, or of its heading.
    pub line: u32,
    /// The day.
    pub date: Date,
    /// The part as an episode names it.
    pub label: String,
    /// Its number among the records of its entry that are called so.
    pub record: Option<u32>,
    /// The entry's title.
    pub title: Option<String>,
    /// The points of its highest moment; `None` if it says nothing that could
    /// be told.
    pub weight: Option<i32>,
    /// That moment's first sentence.
    pub text: Option<String>,
    /// The reasons for its weight.
    pub why: String,
}

/// The sources that are `wanted`, the highest first.
#[must_use]
pub fn untold(material: &Material, ranking: &Ranking, wanted: &[bool]) -> Vec<Untold> {
    let mut best: Vec<Option<usize>> = vec![None; material.sources.len()];
    for moment in &ranking.order {
        let own = &mut best[material.moments[*moment].source];
        *own = own.or(Some(*moment));
    }
    let mut found: Vec<(Option<usize>, Untold)> = material
        .sources
        .iter()
        .zip(best)
        .zip(wanted)
        .filter(|(_, wanted)| **wanted)
        .map(|((source, best), _)| {
            let moment = best.map(|best| &material.moments[best]);
            let sentence = moment.and_then(|moment| moment.sentences.first());
            let own = Untold {
                entry: source.when.entry.clone(),
                line: sentence.map_or(source.when.line.max(1), |sentence| sentence.line),
                date: source.when.date,
                label: source.label.clone(),
                record: source.twin,
                title: source.title.clone(),
                weight: best.map(|best| ranking.points(best)),
                text: sentence.map(|sentence| sentence.text.clone()),
                why: best.map_or_else(String::new, |best| {
                    ranking.why(best, material.moments[best].worth)
                }),
            };
            (best.map(|best| ranking.rank[best]), own)
        })
        .collect();
    found.sort_by_key(|(rank, _)| rank.unwrap_or(usize::MAX));
    found.into_iter().map(|(_, own)| own).collect()
}
