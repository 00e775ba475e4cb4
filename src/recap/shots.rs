//! Which clips show what a draft tells.

use super::compose::about;
use super::draft::{EpisodeDraft, Shot, StatementOrigin};
use super::material::{Material, RecapSource};
use crate::entry::{Clip, Fact};
use crate::vocabulary::spoken::listed;

/// The clips of everything that is told, in the order of the work; each clip of
/// an entry once, with all that is told of it.
#[must_use]
pub fn shots(material: &Material, draft: &EpisodeDraft) -> Vec<Shot> {
    let told: Vec<&RecapSource> = material
        .sources
        .iter()
        .filter(|source| source.is_among(&draft.told))
        .collect();
    let mut found: Vec<(Shot, Vec<String>)> = Vec::new();
    for source in told {
        for clip in clips(source) {
            let entry = &source.when.entry;
            let known = found
                .iter_mut()
                .find(|(shot, _)| shot.entry == *entry && shot.clip == *clip);
            match known {
                Some((_, seen)) => seen.push(about(source)),
                None => found.push((
                    Shot {
                        clip: clip.clone(),
                        date: source.when.date,
                        seen: String::new(),
                        chapter: chapter_of(draft, entry),
                        entry: entry.clone(),
                    },
                    vec![about(source)],
                )),
            }
        }
    }
    found
        .into_iter()
        .map(|(shot, mut seen)| {
            seen.dedup();
            Shot {
                seen: listed(&seen),
                ..shot
            }
        })
        .collect()
}

fn clips(source: &RecapSource) -> impl Iterator<Item = &Clip> {
    source.facts.iter().filter_map(|fact| {
        if let Fact::Footage(clip) = fact {
            Some(clip)
        } else {
            None
        }
    })
}

/// The title of the first chapter that tells of an entry.
fn chapter_of(draft: &EpisodeDraft, wanted: &str) -> String {
    let tells = |origin: &StatementOrigin| match origin {
        StatementOrigin::Entry { entry, .. } => entry == wanted,
        StatementOrigin::Noted(note) => note.contains(wanted),
        StatementOrigin::Counted { .. }
        | StatementOrigin::Page { .. }
        | StatementOrigin::Report(_)
        | StatementOrigin::Handbook(_)
        | StatementOrigin::House => false,
    };
    draft
        .chapters
        .iter()
        .find(|chapter| {
            chapter
                .paragraphs
                .iter()
                .flat_map(|paragraph| &paragraph.lines)
                .any(|line| tells(&line.origin))
        })
        .map(|chapter| chapter.title.clone())
        .unwrap_or_default()
}
