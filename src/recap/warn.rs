//! What must be said on camera: the person's own cautions of everything that is
//! told, and the handbook's where they wrote none.

use std::collections::{BTreeMap, BTreeSet};

use super::compose::{Desk, about};
use super::draft::{Chapter, Line, Origin, Paragraph, Part};
use super::moments::Voice;
use super::speech::{capitalised, full_stop};
use crate::entry::Key;
use crate::handbook::cautions::{About, Said, recognise};
use crate::reports::cautions::Hazard;
use crate::vocabulary::words::{fold, telling_stems};

impl Desk<'_> {
    /// The cautions of everything that is told, each once: also those of parts that
    /// the story of an evening names.
    pub(super) fn cautions(&self, told: &BTreeSet<usize>) -> Chapter {
        let sources = &self.spoken_of(told);
        let mut said: BTreeSet<String> = BTreeSet::new();
        let mut paragraphs: Vec<Paragraph> = Vec::new();
        for (index, moment) in self.material.moments.iter().enumerate() {
            let is_ours = moment.voice == Voice::Caution && sources.contains(&moment.source);
            if is_ours && said.insert(fold(&moment.sentences[0].text)) {
                let mut lines = self.lines(index);
                for line in &mut lines {
                    "a caution of what is told".clone_into(&mut line.why);
                }
                paragraphs.push(Paragraph {
                    lead: Some(about(self.source(index))),
                    lines,
                    is_item: true,
                });
            }
        }
        paragraphs.extend(self.general_cautions(sources));
        if !paragraphs.is_empty() {
            paragraphs.extend(self.frame.precedence.clone());
        }
        Chapter {
            part: Part::Cautions,
            title: Part::Cautions.title().to_owned(),
            paragraphs,
            written: Vec::new(),
            photos: Vec::new(),
        }
    }

    /// The sources of these moments, and the records of the same entry whose part is
    /// named in what is told apart from the parts.
    fn spoken_of(&self, told: &BTreeSet<usize>) -> BTreeSet<usize> {
        let mut said: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
        let mut sources = BTreeSet::new();
        for moment in told {
            let source = self.source(*moment);
            sources.insert(self.moment(*moment).source);
            if source.is_session() {
                let stems = said.entry(&source.when.entry).or_default();
                let sentences = self.moment(*moment).sentences.iter();
                stems.extend(sentences.flat_map(|one| telling_stems(&one.text)));
            }
        }
        for (index, source) in self.material.sources.iter().enumerate() {
            let Some(said) = said.get(source.when.entry.as_str()) else {
                continue;
            };
            let name = telling_stems(&source.name);
            if !name.is_empty() && name.iter().all(|stem| said.contains(stem)) {
                sources.insert(index);
            }
        }
        sources
    }

    /// The handbook's cautions for what is told, where the person wrote none.
    fn general_cautions(&self, sources: &BTreeSet<usize>) -> Vec<Paragraph> {
        let warned =
            self.material.moments.iter().filter(|moment| {
                moment.voice == Voice::Caution && sources.contains(&moment.source)
            });
        let raised = || {
            sources
                .iter()
                .filter_map(|source| self.hazards.get(source))
                .flatten()
        };
        let own: BTreeSet<Hazard> = warned
            .flat_map(|moment| {
                let source = &self.material.sources[moment.source];
                let about = About {
                    system: source.system.as_deref(),
                    part: (!source.name.is_empty()).then_some(source.name.as_str()),
                    ..About::default()
                };
                let said = moment.sentences.iter().map(|sentence| Said {
                    key: Key::Caution.word(),
                    text: &sentence.text,
                });
                recognise(&about, &said.collect::<Vec<_>>())
            })
            .map(|hit| hit.hazard)
            .collect();
        let mut said: BTreeSet<Hazard> = BTreeSet::new();
        let mut paragraphs = Vec::new();
        for raised in raised() {
            if own.contains(&raised.hazard) || !said.insert(raised.hazard) {
                continue;
            }
            let caution = raised.caution();
            paragraphs.push(Paragraph {
                lead: Some(capitalised(caution.name)),
                lines: vec![Line {
                    before: String::new(),
                    text: caution.text.to_owned(),
                    after: full_stop(caution.text),
                    origin: Origin::Handbook(caution.source.words().to_owned()),
                    why: format!(
                        "{}:{} says `{}`",
                        raised.spot.file, raised.spot.line, raised.word
                    ),
                }],
                is_item: true,
            });
        }
        paragraphs
    }
}
