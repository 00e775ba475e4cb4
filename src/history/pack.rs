//! Many objects in one synced pack file.
//!
//! The library writes the pack and its index; here it is decided what goes in, and
//! that it is safely on disk before anything refers to it. Deltas are made only where
//! they are sure to pay: from one version of a folder to its next, where a journal of
//! thousands of files otherwise costs a hundred kilobytes a commit. Reads no packs.

use std::{
    collections::HashMap,
    fs::File,
    io::{BufReader, BufWriter, Write},
    path::{Path, PathBuf},
    sync::atomic::AtomicBool,
};

use gix::{
    ObjectId,
    hash::Kind::Sha1,
    objs::Kind,
    progress::Discard,
    zlib::{Compression, stream::deflate},
};
use gix_pack::{
    data::{self, EntryRange, Version, input, output},
    index,
};

use super::{
    HistoryError, Result,
    delta::delta,
    object_store::{ObjectSink, WrittenTree, name, objects_folder, sync, temporary},
};

/// A chain of deltas longer than this costs more in reading than it saves.
const LONGEST_CHAIN: u32 = 24;

/// A pack in the making, in memory. Dropped before [`Pack::finish`], it leaves nothing behind.
pub(super) struct Pack<'r> {
    repo: &'r gix::Repository,
    entries: Vec<output::Entry>,
    places: HashMap<ObjectId, PackedObject>,
}

/// Where an object stands among the entries, and on how many deltas it rests.
struct PackedObject {
    number: usize,
    chain: u32,
}

impl<'r> Pack<'r> {
    pub(super) fn new(repo: &'r gix::Repository) -> Self {
        Pack {
            repo,
            entries: Vec::new(),
            places: HashMap::new(),
        }
    }

    /// Writes and syncs the pack and its index and gives them their names; from then on
    /// the repository has the objects.
    pub(super) fn finish(self) -> Result<()> {
        if self.entries.is_empty() {
            return Ok(());
        }
        let folder = objects_folder(self.repo).join("pack");
        std::fs::create_dir_all(&folder).map_err(HistoryError::file("create", &folder))?;
        let trouble = |error| HistoryError::file("write into", &folder)(error);
        let mut pack = temporary(&folder, "tmp_pack_")?;
        let checksum = write_pack(self.entries, pack.as_file_mut())
            .map_err(HistoryError::git("write the objects"))?;
        let mut index = temporary(&folder, "tmp_idx_")?;
        write_index(pack.path(), index.as_file_mut())?;
        pack.as_file().sync_all().map_err(trouble)?;
        index.as_file().sync_all().map_err(trouble)?;
        // The index last: git looks for it first, and then expects the pack.
        let called = |ending: &str| -> PathBuf {
            folder.join(format!("pack-{}.{ending}", checksum.to_hex()))
        };
        pack.persist(called("pack"))
            .map_err(|error| trouble(error.error))?;
        index
            .persist(called("idx"))
            .map_err(|error| trouble(error.error))?;
        sync(&folder)?;
        folder.parent().map_or(Ok(()), sync)
    }
}

impl ObjectSink for Pack<'_> {
    fn put(&mut self, kind: Kind, bytes: Vec<u8>, like: Option<&WrittenTree>) -> Result<ObjectId> {
        let id = name(kind, &bytes)?;
        if self.places.contains_key(&id) || self.repo.objects.exists_without_refresh(&id) {
            return Ok(id);
        }
        let base = like.and_then(|like| {
            let place = self
                .places
                .get(&like.id)
                .filter(|place| place.chain < LONGEST_CHAIN)?;
            let delta = delta(&like.bytes, &bytes);
            (delta.len() < bytes.len() / 2).then_some((place, delta))
        });
        let (kind, chain, bytes) = match base {
            Some((place, delta)) => {
                let object_index = place.number;
                let kind = output::entry::Kind::DeltaRef { object_index };
                (kind, place.chain + 1, delta)
            }
            None => (output::entry::Kind::Base(kind), 0, bytes),
        };
        let number = self.entries.len();
        self.entries.push(output::Entry {
            id,
            kind,
            decompressed_size: bytes.len(),
            compressed_data: deflated(&bytes)
                .map_err(HistoryError::file("compress", "an object"))?,
        });
        self.places.insert(id, PackedObject { number, chain });
        Ok(id)
    }
}

fn deflated(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut packed = deflate::Write::new(Vec::new(), Compression::DEFAULT);
    packed.write_all(bytes)?;
    packed.flush()?;
    Ok(packed.into_inner())
}

/// Writes the entries; returns the checksum over all of them.
fn write_pack(entries: Vec<output::Entry>, file: &mut File) -> gix::error::Result<ObjectId> {
    let count = u32::try_from(entries.len()).unwrap_or(u32::MAX);
    let entries = entries.into_iter().map(|entry| Ok(vec![entry]));
    let out = BufWriter::new(file);
    let mut writer =
        data::output::bytes::FromEntriesIter::new(entries, out, count, Version::V2, Sha1);
    for written in &mut writer {
        written?;
    }
    Ok(writer.digest().unwrap_or(ObjectId::null(Sha1)))
}

/// Writes the index over a pack, reading it once more and naming each of its objects
/// anew: what was written badly is noticed before anything refers to it.
fn write_index(pack: &Path, index: &mut File) -> Result<()> {
    let bytes = std::fs::read(pack).map_err(HistoryError::file("read", pack))?;
    let indexed = input::BytesToEntriesIter::new_from_header(
        BufReader::new(bytes.as_slice()),
        input::Mode::Verify,
        input::EntryDataMode::Crc32,
        Sha1,
    )
    .and_then(|mut entries| {
        index::write_data_iter_to_stream(
            index::Version::V2,
            || Ok((bytes_of_entry, bytes.as_slice())),
            &mut entries,
            None,
            &mut Discard,
            index,
            &AtomicBool::new(false),
            Sha1,
            None,
            Version::V2,
        )
    });
    indexed.map_err(HistoryError::git("index the objects"))?;
    Ok(())
}

fn bytes_of_entry<'p>(range: EntryRange, pack: &'p &[u8]) -> Option<&'p [u8]> {
    let start = usize::try_from(range.start).ok()?;
    pack.get(start..usize::try_from(range.end).ok()?)
}
