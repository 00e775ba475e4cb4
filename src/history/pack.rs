//! Many objects in one synced pack file, written as they come.
//!
//! gix can only write packs with its network parts compiled in, and the format is
//! small (gitformat-pack): a header, deflated objects, a checksum; and an index over
//! them. Deltas are made only where they are sure to pay: from one version of a folder
//! to its next, where a journal of thousands of files otherwise costs a hundred
//! kilobytes a commit. Reads no packs.

use std::{
    collections::HashMap,
    fs::File,
    io::{BufReader, BufWriter, Read, Seek, SeekFrom, Write},
    path::PathBuf,
};

use gix::{
    ObjectId,
    objs::Kind,
    zlib::{Compression, stream::deflate},
};

use super::{
    HistoryError, Result,
    objects::{Shelf, name, objects_folder, sync, temporary},
    pack_format::{OFFSET_DELTA, crc32, delta, distance, entry_head},
    trees::Written,
};

/// A chain of deltas longer than this costs more in reading than it saves.
const LONGEST_CHAIN: u32 = 24;

/// A pack in the making. Dropped before [`Pack::finish`], it leaves nothing behind.
pub(super) struct Pack<'r> {
    repo: &'r gix::Repository,
    folder: PathBuf,
    file: BufWriter<tempfile::NamedTempFile>,
    length: u64,
    places: HashMap<ObjectId, Place>,
}

struct Place {
    offset: u64,
    crc: u32,
    chain: u32,
}

impl<'r> Pack<'r> {
    pub(super) fn new(repo: &'r gix::Repository) -> Result<Self> {
        let folder = objects_folder(repo).join("pack");
        std::fs::create_dir_all(&folder).map_err(HistoryError::file("create", &folder))?;
        let mut file = BufWriter::new(temporary(&folder, "tmp_pack_")?);
        // The number of objects is filled in at the end.
        file.write_all(b"PACK\0\0\0\x02\0\0\0\0")
            .map_err(HistoryError::file("write into", &folder))?;
        Ok(Pack {
            repo,
            folder,
            file,
            length: 12,
            places: HashMap::new(),
        })
    }

    fn append(&mut self, id: ObjectId, head: Vec<u8>, body: &[u8], chain: u32) -> Result<()> {
        let mut packed = deflate::Write::new(head, Compression::DEFAULT);
        let problem = HistoryError::file("write into", &self.folder);
        let written = packed
            .write_all(body)
            .and_then(|()| packed.flush())
            .and_then(|()| {
                let bytes = packed.into_inner();
                self.file.write_all(&bytes).map(|()| bytes)
            });
        let bytes = written.map_err(problem)?;
        self.places.insert(
            id,
            Place {
                offset: self.length,
                crc: crc32(&bytes),
                chain,
            },
        );
        self.length += bytes.len() as u64;
        Ok(())
    }

    /// Syncs the pack and its index and gives them their names; from then on the
    /// repository has the objects.
    pub(super) fn finish(self) -> Result<()> {
        if self.places.is_empty() {
            return Ok(());
        }
        let Pack {
            folder,
            file,
            places,
            ..
        } = self;
        let trouble = |error| HistoryError::file("write into", &folder)(error);
        let mut file = file
            .into_inner()
            .map_err(|error| trouble(error.into_error()))?;
        let count = u32::try_from(places.len()).map_err(|_| too_big())?;
        let checksum = seal(file.as_file_mut(), count).map_err(trouble)?;
        let mut index = temporary(&folder, "tmp_idx_")?;
        index
            .write_all(&index_over(&places, checksum)?)
            .map_err(trouble)?;
        file.as_file().sync_all().map_err(trouble)?;
        index.as_file().sync_all().map_err(trouble)?;
        // The index last: git looks for it first, and then expects the pack.
        let called = |ending: &str| folder.join(format!("pack-{}.{ending}", checksum.to_hex()));
        file.persist(called("pack"))
            .map_err(|error| trouble(error.error))?;
        index
            .persist(called("idx"))
            .map_err(|error| trouble(error.error))?;
        sync(&folder)?;
        if let Some(objects) = folder.parent() {
            sync(objects)?;
        }
        Ok(())
    }
}

impl Shelf for Pack<'_> {
    fn put(&mut self, kind: Kind, bytes: Vec<u8>, like: Option<&Written>) -> Result<ObjectId> {
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
            (delta.len() < bytes.len() / 2).then_some((place.offset, place.chain + 1, delta))
        });
        match base {
            Some((offset, chain, delta)) => {
                let mut head = entry_head(OFFSET_DELTA, delta.len());
                head.extend(distance(self.length - offset));
                self.append(id, head, &delta, chain)?;
            }
            None => {
                let number = match kind {
                    Kind::Commit => 1,
                    Kind::Tree => 2,
                    Kind::Blob => 3,
                    Kind::Tag => 4,
                };
                self.append(id, entry_head(number, bytes.len()), &bytes, 0)?;
            }
        }
        Ok(id)
    }
}

/// Fills in the number of objects and appends the checksum over everything.
fn seal(file: &mut File, count: u32) -> std::io::Result<ObjectId> {
    file.seek(SeekFrom::Start(8))?;
    file.write_all(&count.to_be_bytes())?;
    file.seek(SeekFrom::Start(0))?;
    let mut hasher = gix::hash::hasher(gix::hash::Kind::Sha1);
    let mut reader = BufReader::with_capacity(1 << 16, &mut *file);
    let mut piece = vec![0; 1 << 16];
    loop {
        match reader.read(&mut piece)? {
            0 => break,
            read => hasher.update(&piece[..read]),
        }
    }
    let checksum = hasher.try_finalize().map_err(std::io::Error::other)?;
    file.seek(SeekFrom::End(0))?;
    file.write_all(checksum.as_slice())?;
    Ok(checksum)
}

/// A pack index, version 2.
fn index_over(places: &HashMap<ObjectId, Place>, checksum: ObjectId) -> Result<Vec<u8>> {
    let mut sorted: Vec<_> = places.iter().collect();
    sorted.sort_unstable_by_key(|(id, _)| **id);
    let mut out = b"\xfftOc\0\0\0\x02".to_vec();
    let mut fan = [0u32; 256];
    for (id, _) in &sorted {
        fan[usize::from(id.as_slice()[0])] += 1;
    }
    let mut total = 0;
    for count in fan {
        total += count;
        out.extend(total.to_be_bytes());
    }
    for (id, _) in &sorted {
        out.extend(id.as_slice());
    }
    for (_, place) in &sorted {
        out.extend(place.crc.to_be_bytes());
    }
    for (_, place) in &sorted {
        // Offsets beyond 2 GB need another table; no journal of texts comes near.
        let offset = i32::try_from(place.offset).map_err(|_| too_big())?;
        out.extend(offset.to_be_bytes());
    }
    out.extend(checksum.as_slice());
    let mut hasher = gix::hash::hasher(gix::hash::Kind::Sha1);
    hasher.update(&out);
    out.extend(
        hasher
            .try_finalize()
            .map_err(HistoryError::git("name the pack index"))?
            .as_slice(),
    );
    Ok(out)
}

fn too_big() -> HistoryError {
    HistoryError::Git {
        doing: "write the texts as one pack",
        what: "they take more than 2 GB; bring them in in parts".into(),
    }
}
