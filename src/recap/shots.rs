//! Which clips show what a draft tells.

use super::draft::{EpisodeDraft, Shot};
use super::material::Material;
use crate::vocabulary::spoken::listed;

/// The clips of everything that is told, in the order of the work; each clip of
/// an entry once, with all that is told of it.
#[must_use]
pub fn shots(material: &Material<'_>, draft: &EpisodeDraft) -> Vec<Shot> {
    let mut found: Vec<(Shot, Vec<String>)> = Vec::new();
    let told = material.sources.iter();
    for source in told.filter(|source| source.is_among(&draft.told)) {
        let entry = &source.when.entry;
        for clip in source.clips() {
            let is_same = |shot: &Shot| shot.entry == *entry && shot.clip == *clip;
            if let Some((_, seen)) = found.iter_mut().find(|(shot, _)| is_same(shot)) {
                seen.push(source.about());
                continue;
            }
            let mut chapters = draft.chapters.iter();
            let chapter = chapters.find(|one| one.lines().any(|line| line.origin.is_of(entry)));
            let shot = Shot {
                clip: clip.clone(),
                date: source.when.date,
                seen: String::new(),
                chapter: chapter
                    .map(|chapter| chapter.title.clone())
                    .unwrap_or_default(),
                entry: entry.clone(),
            };
            found.push((shot, vec![source.about()]));
        }
    }
    let shots = found.into_iter().map(|(shot, mut seen)| {
        seen.dedup();
        Shot {
            seen: listed(&seen),
            ..shot
        }
    });
    shots.collect()
}
