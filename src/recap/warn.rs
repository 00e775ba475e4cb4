//! What must be said on camera: the person's own cautions of everything that is
//! told, and the handbook's where they wrote none.

use std::collections::{BTreeMap, BTreeSet};

use super::compose::ComposeContext;
use super::draft::{DraftParagraph, Line, StatementOrigin, statement};
use super::moments::Voice;
use crate::entry::Key;
use crate::handbook::cautions::{CautionText, PartContext, recognise};
use crate::reports::cautions::{Hazard, Raised, SAFETY, of_record, of_session};
use crate::vocabulary::spoken::capitalised;
use crate::vocabulary::words::{fold, telling_stems};

impl ComposeContext<'_> {
    /// The cautions of everything that is told, each once: also those of parts that
    /// the story of an evening names. Then whose word comes before them.
    pub(super) fn cautions(&self, told: &BTreeSet<usize>) -> Vec<DraftParagraph> {
        let sources = &self.spoken_of(told);
        let own = sources
            .iter()
            .flat_map(|source| self.material.of_source(*source));
        let own: Vec<usize> = own
            .filter(|index| self.moment(*index).voice == Voice::Caution)
            .collect();
        let mut said: BTreeSet<String> = BTreeSet::new();
        let mut items: Vec<DraftParagraph> = Vec::new();
        for index in &own {
            if said.insert(fold(&self.moment(*index).sentences[0].text)) {
                let lead = self.material.source(*index).about();
                let mut lines = self.lines(*index);
                for line in &mut lines {
                    "a caution of what is told".clone_into(&mut line.why);
                }
                items.push(DraftParagraph::item(Some(lead), lines));
            }
        }
        items.extend(self.general_cautions(&own, sources));
        if !items.is_empty() {
            items.push(statement(SAFETY, StatementOrigin::House));
        }
        items
    }

    /// The sources of these moments, and the records of the same entry whose part is
    /// named in what is told apart from the parts.
    fn spoken_of(&self, told: &BTreeSet<usize>) -> BTreeSet<usize> {
        let mut said: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
        let mut sources = BTreeSet::new();
        for moment in told {
            let source = self.material.source(*moment);
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
                let name = telling_stems(source.name());
                if !name.is_empty() && name.iter().all(|stem| said.contains(stem)) {
                    sources.insert(index);
                }
            }
        }
        sources
    }

    /// The hazards that a source raises, looked for once.
    fn raised(&self, index: usize) -> &[Raised] {
        let source = &self.material.sources[index];
        self.hazards[index].get_or_init(|| match source.record {
            Some(record) => of_record(source.entry, record),
            None => of_session(source.entry),
        })
    }

    /// The handbook's cautions for what is told, where the person wrote none in `own`.
    fn general_cautions(&self, own: &[usize], sources: &BTreeSet<usize>) -> Vec<DraftParagraph> {
        let own = own.iter().flat_map(|index| {
            let source = self.material.source(*index);
            let about = PartContext {
                system: source.system.as_deref(),
                part: source.record.map(|record| record.name.written()),
                ..PartContext::default()
            };
            let said = self
                .moment(*index)
                .sentences
                .iter()
                .map(|sentence| CautionText {
                    key: Key::Caution.word(),
                    text: &sentence.text,
                });
            recognise(&about, &said.collect::<Vec<_>>())
        });
        // Each is said once.
        let mut said: BTreeSet<Hazard> = own.map(|hit| hit.hazard).collect();
        let raised = sources.iter().flat_map(|source| self.raised(*source));
        let general = raised
            .filter(|raised| said.insert(raised.hazard))
            .map(|raised| {
                let caution = raised.caution();
                let spot = &raised.spot;
                let why = format!("{}:{} says `{}`", spot.file, spot.line, raised.word);
                let origin = StatementOrigin::Handbook(caution.source.words().to_owned());
                let line = Line::new(caution.text, origin, why);
                DraftParagraph::item(Some(capitalised(caution.name)), vec![line])
            });
        general.collect()
    }
}
