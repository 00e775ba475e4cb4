//! The table of what every file looked like when it was indexed, in a compact
//! layout that is compared without taking it apart.
//!
//! It is one document of the index itself, so it belongs to exactly one commit.
//! It never looks at the disk.

use super::documents::{Seen, Stamp};
use super::error::IndexError;
use super::schema::FORMAT;

/// Stands for "no clock to compare with": every file is then read again.
pub(super) const NEVER: i64 = i64::MAX;

/// A file changed this little before the table was taken, or after it, may
/// change once more without showing it. Not later ones: a copied file may lie
/// in the future for years, and its next change will not hit that very moment.
const RACY_NS: i64 = 10_000_000_000;

/// What stands before the rows.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Head {
    /// When the file system's clock was read, before the first file was.
    pub taken_ns: i64,
    /// Documents that the index must hold, this table included.
    pub documents: u64,
    /// What the caller's answer depends on besides the files.
    pub fingerprint: String,
}

/// A table as stored.
#[derive(Clone, Copy)]
pub(super) struct Table<'a> {
    head: &'a [u8],
    rows: &'a [u8],
}

/// What has changed since the table was written.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Changes<'s> {
    /// New, changed, or not to be told from changed.
    pub read: Vec<&'s str>,
    /// No longer there.
    pub gone: Vec<String>,
    /// How many files the table knew.
    pub known: usize,
}

impl Changes<'_> {
    /// All files that are no longer what they were.
    pub(super) fn files(&self) -> impl Iterator<Item = &str> {
        let gone = self.gone.iter().map(String::as_str);
        self.read.iter().copied().chain(gone)
    }

    pub(super) fn none(&self) -> bool {
        self.read.is_empty() && self.gone.is_empty()
    }
}

/// The table of `seen`, which is in order of path without repetition.
pub(super) fn write(head: &Head, seen: &[&Seen]) -> Vec<u8> {
    let mut bytes = vec![0; 8];
    bytes.extend(FORMAT.to_le_bytes());
    bytes.extend(head.taken_ns.to_le_bytes());
    bytes.extend(head.documents.to_le_bytes());
    push_text(&mut bytes, &head.fingerprint);
    for file in seen {
        bytes.extend(file.stamp.size.to_le_bytes());
        bytes.extend(file.stamp.modified_ns.to_le_bytes());
        bytes.extend(file.stamp.changed_ns.to_le_bytes());
        bytes.extend(file.stamp.inode.to_le_bytes());
        push_text(&mut bytes, &file.path);
    }
    let sum = checksum(&bytes[8..]);
    bytes[..8].copy_from_slice(&sum.to_le_bytes());
    bytes
}

fn push_text(bytes: &mut Vec<u8>, text: &str) {
    bytes.extend((text.len() as u32).to_le_bytes());
    bytes.extend(text.as_bytes());
}

impl<'a> Table<'a> {
    /// Opens a stored table; its checksum must hold.
    pub(super) fn open(bytes: &'a [u8]) -> Result<(Head, Self), IndexError> {
        let broken = || IndexError::damaged("the table of stamps");
        let mut rest = bytes;
        let sum = take_u64(&mut rest).ok_or_else(broken)?;
        if sum != checksum(rest) {
            return Err(broken());
        }
        let head = rest;
        let mut read = || {
            let format = u32::from_le_bytes(take(&mut rest, 4)?.try_into().ok()?);
            let taken_ns = take_u64(&mut rest)?.cast_signed();
            let documents = take_u64(&mut rest)?;
            let fingerprint = take_text(&mut rest)?.to_owned();
            (format == FORMAT).then_some(Head {
                taken_ns,
                documents,
                fingerprint,
            })
        };
        let parsed = read().ok_or_else(broken)?;
        Ok((parsed, Self { head, rows: rest }))
    }

    /// Compares with what is seen now, in order of path.
    pub(super) fn changes<'s>(&self, seen: &[&'s Seen]) -> Result<Changes<'s>, IndexError> {
        let broken = || IndexError::damaged("the table of stamps");
        let taken = i64::from_le_bytes(self.head[4..12].try_into().map_err(IndexError::damaged)?);
        let mut changes = Changes::default();
        let mut rest = self.rows;
        let mut seen = seen.iter().copied().peekable();
        while !rest.is_empty() {
            let (path, stamp) = take_row(&mut rest).ok_or_else(broken)?;
            changes.known += 1;
            while let Some(new) = seen.next_if(|file| file.path.as_str() < path) {
                changes.read.push(&new.path);
            }
            match seen.next_if(|file| file.path == path) {
                Some(file) if file.stamp != stamp || racy(&stamp, taken) => {
                    changes.read.push(&file.path);
                }
                Some(_) => {}
                None => changes.gone.push(path.to_owned()),
            }
        }
        changes.read.extend(seen.map(|file| file.path.as_str()));
        Ok(changes)
    }

    /// The paths in the table.
    pub(super) fn paths(&self) -> Result<Vec<&'a str>, IndexError> {
        let mut paths = Vec::new();
        let mut rest = self.rows;
        while !rest.is_empty() {
            let row = take_row(&mut rest);
            paths.push(
                row.ok_or_else(|| IndexError::damaged("the table of stamps"))?
                    .0,
            );
        }
        Ok(paths)
    }
}

/// Whether a file may have changed after it was read and still look the same:
/// its last change is not older than the look at the clock.
pub(super) fn racy(stamp: &Stamp, taken: i64) -> bool {
    let near = |at: i64| at >= taken && at.saturating_sub(taken) < RACY_NS;
    taken == NEVER || near(stamp.modified_ns) || near(stamp.changed_ns)
}

fn take_row<'a>(rest: &mut &'a [u8]) -> Option<(&'a str, Stamp)> {
    let stamp = Stamp {
        size: take_u64(rest)?,
        modified_ns: take_u64(rest)?.cast_signed(),
        changed_ns: take_u64(rest)?.cast_signed(),
        inode: take_u64(rest)?,
    };
    Some((take_text(rest)?, stamp))
}

fn take<'a>(rest: &mut &'a [u8], length: usize) -> Option<&'a [u8]> {
    let (taken, after) = rest.split_at_checked(length)?;
    *rest = after;
    Some(taken)
}

fn take_u64(rest: &mut &[u8]) -> Option<u64> {
    Some(u64::from_le_bytes(take(rest, 8)?.try_into().ok()?))
}

fn take_text<'a>(rest: &mut &'a [u8]) -> Option<&'a str> {
    let length = u32::from_le_bytes(take(rest, 4)?.try_into().ok()?);
    std::str::from_utf8(take(rest, length as usize)?).ok()
}

/// FNV-1a over words of eight bytes: enough against a flipped bit, and a
/// megabyte costs a tenth of a millisecond.
pub(super) fn checksum(bytes: &[u8]) -> u64 {
    let words = bytes.chunks(8).map(|word| {
        let mut padded = [0; 8];
        padded[..word.len()].copy_from_slice(word);
        u64::from_le_bytes(padded)
    });
    words
        .chain([bytes.len() as u64])
        .fold(0xcbf2_9ce4_8422_2325, |sum, word| {
            let mixed: u64 = (sum ^ word).wrapping_mul(0x0000_0100_0000_01b3);
            mixed ^ (mixed >> 29)
        })
}
