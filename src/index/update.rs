//! One change of the index: records, files, places, pages and stamps together.
//!
//! Reads only the files it is told to and folds only the places named there, in
//! the old text or the new one. What has changed is not decided here.

use std::collections::{BTreeMap, BTreeSet};
use std::mem;
use std::rc::Rc;

use tantivy::indexer::UserOperation;
use tantivy::{IndexWriter, Searcher, TantivyDocument};

use super::documents::{DocumentSource, FileDocs, Folded, RecordDoc};
use super::error::IndexError;
use super::pages::{ChangedPages, ShareKind, page_number};
use super::places;
use super::refresh_plan::RefreshPlan;
use super::schema::{DocumentMark, FORMAT, IndexFields};

/// So much text goes to the writing threads before they must write it out: what
/// waits for them must fit into memory.
const TEXT_IN_FLIGHT: usize = 12_000_000;

/// So many documents are handed over at once, as each handing over wakes a thread; not
/// more, as what is handed over at once must lie in one piece.
const HANDFUL: usize = 64;

/// What a refresh did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Refreshed {
    /// Files that were read, or found gone.
    pub files: usize,
    /// Places that were folded.
    pub places: usize,
    /// Whether everything was made anew.
    pub rebuilt: bool,
    /// Whether answers may be others than before, also through another process.
    pub changed: bool,
}

/// One refresh under way.
pub(super) struct Update {
    /// The state before.
    searcher: Searcher,
    fields: IndexFields,
    writer: IndexWriter,
    /// Documents added and removed, to know how many there must be afterwards.
    added: u64,
    removed: u64,
    pages: ChangedPages,
}

impl Update {
    pub(super) fn new(searcher: Searcher, fields: IndexFields, writer: IndexWriter) -> Self {
        Self {
            searcher,
            fields,
            writer,
            added: 0,
            removed: 0,
            pages: ChangedPages::default(),
        }
    }

    /// Does what is planned, in one commit. Where everything is made anew, what there was must have been
    /// taken out already. `stamps` makes the table of stamps, told how many documents
    /// there must be. Dropping it earlier changes nothing.
    pub(super) fn run(
        mut self,
        plan: &RefreshPlan<'_>,
        source: &mut dyn DocumentSource,
        progress: &mut dyn FnMut(usize, usize),
        stamps: &dyn Fn(u64) -> String,
    ) -> Result<(IndexWriter, Refreshed), IndexError> {
        let mut places: BTreeSet<String> = BTreeSet::new();
        if plan.everything {
            self.removed = self.searcher.num_docs();
        } else {
            for path in plan.changes.files() {
                places.extend(self.remove_file(path)?);
            }
        }
        let mut speakers: BTreeMap<String, Vec<Rc<str>>> = BTreeMap::new();
        self.add_files(&plan.changes.read, source, &mut speakers, progress)?;
        places.extend(speakers.keys().cloned());
        if !plan.everything {
            let changed: BTreeSet<&str> = plan.changes.files().collect();
            self.add_unchanged_speakers(&places, &changed, &mut speakers)?;
            let files = places
                .iter()
                .filter_map(|place| speakers.get(place))
                .flatten();
            source.prepare(&files.map(|file| &**file).collect());
        }
        // Page by page, so that none waits in memory for its last place.
        let mut places: Vec<(u64, String)> = places
            .into_iter()
            .map(|place| (page_number(&place), place))
            .collect();
        places.sort();
        let mut folded = Vec::new();
        let mut page = None;
        for (number, place) in &places {
            if page.replace(number).is_some_and(|before| before != number) {
                self.write_pages(plan.everything)?;
            }
            let files = speakers.get(place).map_or(&[][..], Vec::as_slice);
            folded.extend(self.fold_place(place, files, plan.everything, source)?);
            self.add_handful(&mut folded)?;
        }
        self.add(folded)?;
        self.write_pages(plan.everything)?;
        if !plan.everything {
            self.delete(DocumentMark::Stamps, "");
            self.removed += 1;
        }
        // The table counts itself.
        let stamps = self.fields.stamps(&stamps(self.documents() + 1));
        self.add(vec![stamps])?;
        self.commit()?;
        let done = Refreshed {
            files: plan.changes.files().count(),
            places: places.len(),
            rebuilt: plan.everything,
            ..Refreshed::default()
        };
        Ok((self.writer, done))
    }

    fn documents(&self) -> u64 {
        (self.searcher.num_docs() + self.added).saturating_sub(self.removed)
    }

    /// Takes out what a file contributed, and says which places it spoke of.
    fn remove_file(&mut self, path: &str) -> Result<Vec<String>, IndexError> {
        let Some(old) = places::file(&self.searcher, &self.fields, path)? else {
            return Ok(Vec::new());
        };
        self.delete(DocumentMark::RecordOf, path);
        self.delete(DocumentMark::File, path);
        self.delete(DocumentMark::Look, path);
        self.pages.put(ShareKind::File, path, Vec::new());
        // The file's own document, and the one for a look at each.
        self.removed += old.records + 2;
        Ok(old.places)
    }

    /// Reads files and adds what they hold, noting who speaks of which place.
    fn add_files(
        &mut self,
        paths: &[&str],
        source: &mut dyn DocumentSource,
        speakers: &mut BTreeMap<String, Vec<Rc<str>>>,
        progress: &mut dyn FnMut(usize, usize),
    ) -> Result<(), IndexError> {
        let mut in_flight = 0;
        let mut done = 0;
        let handfuls = paths.chunks(HANDFUL);
        for (path, docs) in handfuls.flat_map(|paths| paths.iter().zip(source.read(paths))) {
            progress(done, paths.len());
            done += 1;
            let Some(mut docs) = docs else {
                continue;
            };
            docs.places.sort();
            docs.places.dedup();
            let mut written = vec![self.fields.file(path, &docs)?];
            let FileDocs {
                records,
                places,
                share,
                look,
                ..
            } = docs;
            written.push(self.fields.look(path, &look));
            if !share.is_empty() {
                self.pages.put(ShareKind::File, path, share);
            }
            for record in records {
                in_flight += record.text.len();
                // What a file contributes is found again by its path alone.
                let record = RecordDoc {
                    entry: (*path).to_owned(),
                    ..record
                };
                written.push(self.fields.record(record)?);
                self.add_handful(&mut written)?;
            }
            self.add(written)?;
            let path: Rc<str> = (*path).into();
            for place in places {
                speakers.entry(place).or_default().push(Rc::clone(&path));
            }
            if in_flight > TEXT_IN_FLIGHT {
                in_flight = 0;
                // Dropped without a commit, this only makes the threads write out.
                drop(self.writer.prepare_commit().map_err(IndexError::writing)?);
            }
        }
        progress(paths.len(), paths.len());
        Ok(())
    }

    /// Adds the files that were not read this time to those that were.
    fn add_unchanged_speakers(
        &self,
        places: &BTreeSet<String>,
        changed: &BTreeSet<&str>,
        speakers: &mut BTreeMap<String, Vec<Rc<str>>>,
    ) -> Result<(), IndexError> {
        let mut paths = places::Paths::new();
        for place in places {
            let before = places::files_of(&self.searcher, &self.fields, place, &mut paths)?;
            let files = speakers.entry(place.clone()).or_default();
            files.extend(before.into_iter().filter(|file| !changed.contains(&**file)));
            files.sort();
        }
        Ok(())
    }

    /// Takes out what was kept of a place; what is to be kept of it now.
    fn fold_place(
        &mut self,
        place: &str,
        files: &[Rc<str>],
        everything: bool,
        source: &mut dyn DocumentSource,
    ) -> Result<Option<TantivyDocument>, IndexError> {
        if !everything && places::place(&self.searcher, &self.fields, place)?.is_some() {
            self.delete(DocumentMark::Place, place);
            self.removed += 1;
        }
        let folded = source.fold(place, files);
        let there_is = folded.is_some();
        let Folded { whole, share, more } = folded.unwrap_or_default();
        self.pages.put(ShareKind::Place, place, share);
        self.pages.put(ShareKind::PlaceMore, place, more);
        Ok(there_is.then(|| self.fields.place(place, &whole)))
    }

    /// Writes the pages anew in which a share has changed.
    fn write_pages(&mut self, everything: bool) -> Result<(), IndexError> {
        let searcher = self.searcher.clone();
        let before = (!everything).then_some(&searcher);
        let fields = self.fields;
        for written in mem::take(&mut self.pages).written(before, &fields) {
            let (mark, there_was, doc) = written?;
            if there_was {
                self.delete(DocumentMark::Page, &mark);
                self.removed += 1;
            }
            self.add(doc.into_iter().collect())?;
        }
        Ok(())
    }

    /// Adds these if they are many.
    fn add_handful(&mut self, docs: &mut Vec<TantivyDocument>) -> Result<(), IndexError> {
        if docs.len() < HANDFUL {
            return Ok(());
        }
        self.add(mem::take(docs))
    }

    fn add(&mut self, docs: Vec<TantivyDocument>) -> Result<(), IndexError> {
        self.added += docs.len() as u64;
        let docs = docs.into_iter().map(UserOperation::Add);
        self.writer.run(docs).map_err(IndexError::writing)?;
        Ok(())
    }

    fn delete(&mut self, mark: DocumentMark, value: &str) {
        self.writer.delete_term(self.fields.mark(mark, value));
    }

    /// Makes all of it one state.
    fn commit(&mut self) -> Result<(), IndexError> {
        let mut commit = self.writer.prepare_commit().map_err(IndexError::writing)?;
        // A commit without a payload would erase the one before.
        commit.set_payload(&payload());
        commit.commit().map_err(IndexError::writing)?;
        Ok(())
    }
}

/// Says in the list of files which format they are in.
pub(super) fn payload() -> String {
    format!("matchmark {FORMAT}")
}
