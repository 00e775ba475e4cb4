//! What must be said on camera: the person's own cautions of everything that is
//! told, and the handbook's where they wrote none.

use std::collections::{BTreeMap, BTreeSet};

use super::compose::{ComposeContext, about};
use super::draft::{Chapter, ChapterRole, DraftParagraph, Line, StatementOrigin};
use super::moments::{Moment, Voice};
use crate::entry::Key;
use crate::handbook::cautions::{CautionText, PartContext, recognise};
use crate::reports::cautions::{Hazard, Raised, of_record, of_session};
use crate::vocabulary::spoken::{capitalised, full_stop};
use crate::vocabulary::words::{fold, telling_stems};

impl ComposeContext<'_> {
    /// The cautions of everything that is told, each once: also those of parts that
    /// the story of an evening names.
    pub(super) fn cautions(&self, told: &BTreeSet<usize>) -> Chapter {
        let sources = &self.spoken_of(told);
        let mut said: BTreeSet<String> = BTreeSet::new();
        let mut paragraphs: Vec<DraftParagraph> = Vec::new();
        for (index, moment) in self.warnings(sources) {
            if said.insert(fold(&moment.sentences[0].text)) {
                let mut lines = self.lines(index, None);
                for line in &mut lines {
                    "a caution of what is told".clone_into(&mut line.why);
                }
                paragraphs.push(DraftParagraph {
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
            part: ChapterRole::Cautions,
            title: ChapterRole::Cautions.title().to_owned(),
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
        for (entry, said) in said {
            for index in self.material.of_entry(entry) {
                let source = &self.material.sources[index];
                let name = telling_stems(&source.name);
                if !name.is_empty() && name.iter().all(|stem| said.contains(stem)) {
                    sources.insert(index);
                }
            }
        }
        sources
    }

    /// The cautions that the person wrote in these sources.
    fn warnings<'s>(
        &'s self,
        sources: &'s BTreeSet<usize>,
    ) -> impl Iterator<Item = (usize, &'s Moment)> {
        let own = sources
            .iter()
            .flat_map(|source| self.material.of_source(*source));
        own.map(|index| (index, self.moment(index)))
            .filter(|(_, moment)| moment.voice == Voice::Caution)
    }

    /// The hazards that a source raises, looked for once.
    fn raised(&self, index: usize) -> Vec<Raised> {
        let mut known = self.hazards.borrow_mut();
        let raised = known.entry(index).or_insert_with(|| {
            let source = &self.material.sources[index];
            let Some(entry) = self.entries.get(source.when.entry.as_str()) else {
                return Vec::new();
            };
            match source.record {
                Some(record) => entry
                    .records
                    .get(record)
                    .map_or_else(Vec::new, |record| of_record(entry, record)),
                None => of_session(entry),
            }
        });
        raised.clone()
    }

    /// The handbook's cautions for what is told, where the person wrote none.
    fn general_cautions(&self, sources: &BTreeSet<usize>) -> Vec<DraftParagraph> {
        let own: BTreeSet<Hazard> = self
            .warnings(sources)
            .flat_map(|(_, moment)| {
                let source = &self.material.sources[moment.source];
                let about = PartContext {
                    system: source.system.as_deref(),
                    part: (!source.name.is_empty()).then_some(source.name.as_str()),
                    ..PartContext::default()
                };
                let said = moment.sentences.iter().map(|sentence| CautionText {
                    key: Key::Caution.word(),
                    text: &sentence.text,
                });
                recognise(&about, &said.collect::<Vec<_>>())
            })
            .map(|hit| hit.hazard)
            .collect();
        let mut said: BTreeSet<Hazard> = BTreeSet::new();
        let mut paragraphs = Vec::new();
        for raised in sources.iter().flat_map(|source| self.raised(*source)) {
            if own.contains(&raised.hazard) || !said.insert(raised.hazard) {
                continue;
            }
            let caution = raised.caution();
            paragraphs.push(DraftParagraph {
                lead: Some(capitalised(caution.name)),
                lines: vec![Line {
                    before: String::new(),
                    text: caution.text.to_owned(),
                    after: full_stop(caution.text),
                    origin: StatementOrigin::Handbook(caution.source.words().to_owned()),
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
