//! Tests of the whole room, through its public face.

mod damage;
mod excerpts;
mod fresh;
mod questions;
mod scores;
mod tokens;

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::{
    DocumentSource, FileDocs, Folded, Index, Query, RecordDoc, Refreshed, SearchAnswer, SeenFile,
    Stamp,
};

/// A journal in memory. A file is blocks with an empty line between; a block's
/// first line is `part` or `part, position`; `after: part` names another place.
#[derive(Clone, Debug, Default)]
pub(super) struct TestJournal {
    files: BTreeMap<String, (String, i64)>,
    clock: i64,
    /// Paths in the order in which they were asked for.
    pub read: Vec<String>,
}

/// The same as the index is told it.
pub(super) fn seen(looks: &[(String, Stamp)]) -> Vec<SeenFile<'_>> {
    let files = looks.iter();
    files
        .map(|(path, stamp)| SeenFile {
            path,
            stamp: *stamp,
        })
        .collect()
}

impl TestJournal {
    pub(super) fn of(files: &[(&str, &str)]) -> Self {
        let mut shop = Self::default();
        for (path, text) in files {
            shop.write(path, text);
        }
        shop
    }

    pub(super) fn write(&mut self, path: &str, text: &str) {
        self.clock += 1;
        self.files
            .insert(path.to_owned(), (text.to_owned(), self.clock));
    }

    pub(super) fn remove(&mut self, path: &str) {
        self.files.remove(path);
    }

    pub(super) fn text(&self, path: &str) -> Option<String> {
        self.files.get(path).map(|(text, _)| text.clone())
    }

    /// How the files look now.
    pub(super) fn looks(&self) -> Vec<(String, Stamp)> {
        let look = |(path, (text, clock)): (&String, &(String, i64))| {
            let stamp = Stamp {
                size: text.len() as u64,
                modified_ns: *clock,
                changed_ns: 0,
                inode: 0,
            };
            (path.clone(), stamp)
        };
        self.files.iter().map(look).collect()
    }

    /// Refreshes an index from this journal.
    pub(super) fn refresh(&mut self, index: &mut Index) -> Refreshed {
        let looks = self.looks();
        index
            .refresh(&seen(&looks), self, &mut |_, _| {})
            .expect("refresh")
    }

    /// Asks, with the passages of this journal.
    pub(super) fn ask(&self, index: &Index, text: &str) -> SearchAnswer {
        let query = Query {
            text: text.to_owned(),
            ..Query::default()
        };
        self.query(index, &query)
    }

    pub(super) fn query(&self, index: &Index, query: &Query) -> SearchAnswer {
        index
            .search(query, 50, &|path| self.text(path))
            .expect("search")
    }

    /// An index in memory of this journal.
    pub(super) fn indexed(&mut self) -> Index {
        let mut index = Index::in_memory("").expect("in memory");
        self.refresh(&mut index);
        index
    }

    fn blocks(&self, path: &str) -> Vec<(usize, String)> {
        let text = self.text(path).unwrap_or_default();
        let mut start = 0;
        let mut blocks = Vec::new();
        for block in text.split("\n\n") {
            blocks.push((start, block.to_owned()));
            start += block.len() + 2;
        }
        blocks
    }
}

fn heading(block: &str) -> (String, Option<String>) {
    let line = block.lines().next().unwrap_or_default();
    match line.split_once(", ") {
        Some((part, at)) => (part.to_owned(), Some(at.to_owned())),
        None => (line.to_owned(), None),
    }
}

fn facts<'b>(block: &'b str, key: &'b str) -> impl Iterator<Item = &'b str> {
    block.lines().filter_map(move |line| line.strip_prefix(key))
}

impl DocumentSource for TestJournal {
    fn begin(&mut self) {}

    fn read(&mut self, paths: &[&str]) -> Vec<Option<FileDocs>> {
        paths.iter().map(|path| self.read_one(path)).collect()
    }

    fn prepare(&mut self, _: &BTreeSet<&str>) {}

    /// Who says what of a place; so a missing or stale file shows.
    fn fold(&mut self, place: &str, files: &[Rc<str>]) -> Option<Folded> {
        let mut state = Vec::new();
        for file in files {
            for (_, block) in self.blocks(file) {
                let named: BTreeSet<_> = facts(&block, "after: ").collect();
                if heading(&block).0 == place || named.contains(place) {
                    state.push(format!("{file}: {block}"));
                }
            }
        }
        (!state.is_empty()).then(|| Folded {
            whole: state.join("|").into_bytes(),
            share: state.concat().into_bytes(),
            more: state.len().to_string().into_bytes(),
        })
    }
}

impl TestJournal {
    fn read_one(&mut self, path: &str) -> Option<FileDocs> {
        self.read.push(path.to_owned());
        let text = self.text(path)?;
        let mut docs = FileDocs {
            share: text.clone().into_bytes(),
            look: format!("{path} {}", text.len()).into_bytes(),
            ..FileDocs::default()
        };
        for (start, block) in self.blocks(path) {
            let (part, at) = heading(&block);
            docs.places.push(part.clone());
            docs.places
                .extend(facts(&block, "after: ").map(str::to_owned));
            docs.records.push(RecordDoc {
                entry: path.to_owned(),
                line: 1 + text[..start].matches('\n').count() as u32,
                span: start as u32..(start + block.len()) as u32,
                text: block.clone(),
                title: path.to_owned(),
                date: facts(&block, "date: ").next().map(str::to_owned),
                vehicle: Some("Wren".to_owned()),
                system: facts(&block, "system: ").next().map(str::to_owned),
                places: vec![part.clone()],
                part: Some(part),
                at: at.into_iter().collect(),
                status: facts(&block, "status: ").next().map(str::to_owned),
                bags: facts(&block, "bag: ").map(str::to_owned).collect(),
                footage: None,
                pictures: Vec::new(),
            });
        }
        docs.names = docs.places.clone();
        docs.names.sort();
        docs.names.dedup();
        Some(docs)
    }
}

/// Path and line of each hit, best first.
pub(super) fn found(answer: &SearchAnswer) -> Vec<String> {
    let name = |hit: &super::Hit| format!("{}:{}", hit.entry, hit.line);
    answer.hits.iter().map(name).collect()
}

/// The same of what has only some of the words.
pub(super) fn found_besides(answer: &SearchAnswer) -> Vec<String> {
    let name = |hit: &super::Hit| format!("{}:{}", hit.entry, hit.line);
    answer.also.iter().map(name).collect()
}

/// The words that are marked in a hit.
pub(super) fn marked(hit: &super::Hit) -> Vec<String> {
    let chars: Vec<char> = hit.passage.chars().collect();
    let word = |&(from, to): &(usize, usize)| chars[from..to].iter().collect();
    hit.marks.iter().map(word).collect()
}
