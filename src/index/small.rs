//! A small change, written as one piece into the layer of recent ones.
//!
//! The engine's own writer starts threads and fills tables that are made for
//! thousands of documents: for one entry that is most of what its change costs.
//! Here its documents become a segment in this thread, and what they replace is
//! marked as deleted. Nothing is merged, and nothing reaches the disk.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;

use tantivy::directory::{RamDirectory, TerminatingWrite};
use tantivy::fastfield::write_alive_bitset;
use tantivy::index::{IndexMeta, SegmentComponent, SegmentMeta};
use tantivy::{BitSet, Directory, IndexSettings, Searcher, SegmentReader, TantivyDocument, Term};

use super::analyzer::analyzers;
use super::error::{IndexError, reading};
use super::places::with_term;
use super::recent::LIST;
use super::schema::schema;
use super::storage::segment_files;
use super::update::{Pen, payload};

/// Memory for the table of words of so few documents; it grows if it must.
const MEMORY: usize = 100_000;

/// A small change of an index whose folder has a layer above it.
pub(super) struct Small {
    engine: tantivy::Index,
    /// The state before.
    searcher: Searcher,
    deleted: Vec<Term>,
    added: Vec<TantivyDocument>,
}

impl Small {
    /// A change of what `searcher` sees. To be made under the writer's lock.
    pub(super) fn new(engine: &tantivy::Index, searcher: Searcher) -> Self {
        Self {
            engine: engine.clone(),
            searcher,
            deleted: Vec::new(),
            added: Vec::new(),
        }
    }

    /// The segments there were, without what is deleted of them.
    fn without_deleted(&self, before: IndexMeta, opstamp: u64) -> Result<IndexMeta, IndexError> {
        let mut gone: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
        for term in &self.deleted {
            for address in reading(|| with_term(&self.searcher, term))? {
                gone.entry(address.segment_ord)
                    .or_default()
                    .push(address.doc_id);
            }
        }
        let mut segments = Vec::with_capacity(before.segments.len() + 1);
        for segment in before.segments {
            let readers = self.searcher.segment_readers().iter().zip(0..);
            let mut ours = readers.filter(|(reader, _)| reader.segment_id() == segment.id());
            // The list and the reader were just loaded, one after the other.
            let (reader, at) = ours
                .next()
                .ok_or_else(|| IndexError::damaged("a piece that is not read"))?;
            segments.extend(match gone.get(&at) {
                Some(gone) => self.without(segment, reader, gone, opstamp)?,
                None => Some(segment),
            });
        }
        Ok(IndexMeta { segments, ..before })
    }

    /// One segment without some of its documents; `None` if none is left.
    fn without(
        &self,
        segment: SegmentMeta,
        reader: &SegmentReader,
        gone: &[u32],
        opstamp: u64,
    ) -> Result<Option<SegmentMeta>, IndexError> {
        let mut alive = BitSet::with_max_value_and_full(reader.max_doc());
        if let Some(before) = reader.alive_bitset() {
            alive.intersect_update(before.bitset());
        }
        for doc in gone {
            alive.remove(*doc);
        }
        // It counts what it holds in machine words.
        let left = alive.len() as u32;
        if left == 0 {
            return Ok(None);
        }
        let segment = segment.with_delete_meta(reader.max_doc() - left, opstamp);
        let path = segment.relative_path(SegmentComponent::Delete);
        let directory = self.engine.directory();
        let mut file = directory.open_write(&path).map_err(IndexError::damaged)?;
        write_alive_bitset(&alive, &mut file)
            .and_then(|()| file.flush())
            .and_then(|()| file.terminate())
            .map_err(IndexError::disk)?;
        Ok(Some(segment))
    }

    /// The documents as a segment; its files go where the index has its own.
    fn segment(&mut self) -> Result<Option<SegmentMeta>, IndexError> {
        if self.added.is_empty() {
            return Ok(None);
        }
        let files = RamDirectory::create();
        let settings = IndexSettings {
            docstore_compress_dedicated_thread: false,
            ..self.engine.settings().clone()
        };
        let builder = tantivy::Index::builder()
            .schema(schema().0)
            .settings(settings)
            .tokenizers(analyzers());
        let mut writer = builder
            .single_segment_index_writer(files.clone(), MEMORY)
            .map_err(IndexError::writing)?;
        for doc in self.added.drain(..) {
            writer.add_document(doc).map_err(IndexError::writing)?;
        }
        let made = writer.finalize().map_err(IndexError::writing)?;
        let to = self.engine.directory();
        for file in segment_files(&made)? {
            if files.exists(&file).map_err(IndexError::damaged)? {
                // As it lies there, with its checksum.
                let bytes = files.atomic_read(&file).map_err(IndexError::damaged)?;
                to.atomic_write(&file, &bytes).map_err(IndexError::disk)?;
            }
        }
        let mut segments = made
            .searchable_segment_metas()
            .map_err(IndexError::writing)?;
        Ok(segments.pop())
    }
}

impl Pen for Small {
    fn delete(&mut self, term: Term) {
        self.deleted.push(term);
    }

    fn add(&mut self, docs: Vec<TantivyDocument>) -> Result<(), IndexError> {
        self.added.extend(docs);
        Ok(())
    }

    fn ease(&mut self) -> Result<(), IndexError> {
        Ok(())
    }

    fn commit(&mut self) -> Result<(), IndexError> {
        let before = reading(|| self.engine.load_metas())?;
        let opstamp = before.opstamp + 1;
        let mut after = self.without_deleted(before, opstamp)?;
        after.segments.extend(self.segment()?);
        after.opstamp = opstamp;
        after.payload = Some(payload());
        let list = serde_json::to_vec(&after).map_err(IndexError::damaged)?;
        let directory = self.engine.directory();
        directory
            .atomic_write(Path::new(LIST), &list)
            .map_err(IndexError::disk)
    }
}
