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
    taken_ns: i64,
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

/// The table of `seen`, which is in order of path without repetition. It is a text,
/// as the engine gives texts back in one go: numbers are ten characters of seven bits.
pub(super) fn write(head: &Head, seen: &[Seen<'_>]) -> String {
    let mut rest = String::with_capacity(128 * (seen.len() + 1));
    push_number(&mut rest, u64::from(FORMAT));
    push_number(&mut rest, head.taken_ns.cast_unsigned());
    push_number(&mut rest, head.documents);
    push_text(&mut rest, &head.fingerprint);
    for file in seen {
        push_number(&mut rest, file.stamp.size);
        push_number(&mut rest, file.stamp.modified_ns.cast_unsigned());
        push_number(&mut rest, file.stamp.changed_ns.cast_unsigned());
        push_number(&mut rest, file.stamp.inode);
        push_text(&mut rest, file.path);
    }
    let mut table = String::with_capacity(DIGITS + rest.len());
    push_number(&mut table, checksum(rest.as_bytes()));
    table.push_str(&rest);
    table
}

/// So many characters of seven bits hold any number.
const DIGITS: usize = 10;

fn push_number(table: &mut String, number: u64) {
    let digit = |at: usize| char::from((number >> (7 * at)) as u8 & 0x7f);
    table.extend((0..DIGITS).map(digit));
}

fn push_text(table: &mut String, text: &str) {
    push_number(table, text.len() as u64);
    table.push_str(text);
}

impl<'a> Table<'a> {
    /// Opens a stored table; its checksum must hold.
    pub(super) fn open(table: &'a str) -> Result<(Head, Self), IndexError> {
        let broken = || IndexError::damaged("the table of stamps");
        let mut rest = table.as_bytes();
        let sum = take_number(&mut rest).ok_or_else(broken)?;
        if sum != checksum(rest) {
            return Err(broken());
        }
        let mut read = || {
            let format = take_number(&mut rest)?;
            let taken_ns = take_number(&mut rest)?.cast_signed();
            let documents = take_number(&mut rest)?;
            let fingerprint = std::str::from_utf8(take_text(&mut rest)?).ok()?.to_owned();
            (format == u64::from(FORMAT)).then_some(Head {
                taken_ns,
                documents,
                fingerprint,
            })
        };
        let head = read().ok_or_else(broken)?;
        let taken_ns = head.taken_ns;
        Ok((
            head,
            Self {
                taken_ns,
                rows: rest,
            },
        ))
    }

    /// Compares with what is seen now, in order of path.
    pub(super) fn changes<'s>(&self, seen: &[Seen<'s>]) -> Result<Changes<'s>, IndexError> {
        let broken = || IndexError::damaged("the table of stamps");
        let mut changes = Changes::default();
        let mut rest = self.rows;
        let mut seen = seen.iter().copied().peekable();
        while !rest.is_empty() {
            let (path, stamp) = take_row(&mut rest).ok_or_else(broken)?;
            changes.known += 1;
            while let Some(new) = seen.next_if(|file| file.path.as_bytes() < path) {
                changes.read.push(new.path);
            }
            match seen.next_if(|file| file.path.as_bytes() == path) {
                Some(file) if file.stamp != stamp || racy(&stamp, self.taken_ns) => {
                    changes.read.push(file.path);
                }
                Some(_) => {}
                None => changes
                    .gone
                    .push(String::from_utf8(path.to_vec()).map_err(|_| broken())?),
            }
        }
        changes.read.extend(seen.map(|file| file.path));
        Ok(changes)
    }

    /// The paths in the table.
    pub(super) fn paths(&self) -> Result<Vec<&'a str>, IndexError> {
        let broken = || IndexError::damaged("the table of stamps");
        let mut paths = Vec::new();
        let mut rest = self.rows;
        while !rest.is_empty() {
            let (path, _) = take_row(&mut rest).ok_or_else(broken)?;
            paths.push(std::str::from_utf8(path).map_err(|_| broken())?);
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

fn take_row<'a>(rest: &mut &'a [u8]) -> Option<(&'a [u8], Stamp)> {
    let stamp = Stamp {
        size: take_number(rest)?,
        modified_ns: take_number(rest)?.cast_signed(),
        changed_ns: take_number(rest)?.cast_signed(),
        inode: take_number(rest)?,
    };
    Some((take_text(rest)?, stamp))
}

fn take_number(rest: &mut &[u8]) -> Option<u64> {
    let (digits, after) = rest.split_first_chunk::<DIGITS>()?;
    *rest = after;
    let digits = digits.iter().rev();
    Some(digits.fold(0, |number, digit| number << 7 | u64::from(digit & 0x7f)))
}

fn take_text<'a>(rest: &mut &'a [u8]) -> Option<&'a [u8]> {
    let length = usize::try_from(take_number(rest)?).ok()?;
    let (text, after) = rest.split_at_checked(length)?;
    *rest = after;
    Some(text)
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
