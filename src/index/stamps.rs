//! The table of what every file looked like when it was indexed, in a compact
//! layout that is compared without taking it apart.
//!
//! It is one document of the index itself, so it belongs to exactly one commit.
//! It never looks at the disk.

use super::documents::{SeenFile, Stamp};
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
pub(super) struct StampTableHead {
    /// When the file system's clock was read, before the first file was.
    pub taken_ns: i64,
    /// Documents that the index must hold, this table included.
    pub documents: u64,
    /// What the caller's answer depends on besides the files.
    pub fingerprint: String,
}

/// A table as stored.
#[derive(Clone, Copy)]
pub(super) struct StampTable<'a> {
    taken_ns: i64,
    rows: &'a [u8],
}

/// What has changed since the table was written.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct StampChanges<'s> {
    /// New, changed, or not to be told from changed.
    pub read: Vec<&'s str>,
    /// No longer there.
    pub gone: Vec<String>,
    /// How many files the table knew.
    pub known: usize,
}

impl StampChanges<'_> {
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
/// as the engine gives texts back in one go, and a short one, as every answer reads it:
/// numbers take the characters they need, and of a path that begins like the one before
/// only the rest is written.
pub(super) fn write(head: &StampTableHead, seen: &[SeenFile<'_>]) -> String {
    let mut rest = String::with_capacity(64 * (seen.len() + 1));
    push_number(&mut rest, u64::from(FORMAT));
    push_number(&mut rest, head.taken_ns.cast_unsigned());
    push_number(&mut rest, head.documents);
    push_text(&mut rest, &head.fingerprint);
    let mut before = "";
    for file in seen {
        let Stamp {
            size,
            modified_ns,
            changed_ns,
            inode,
        } = file.stamp;
        push_number(&mut rest, size);
        push_number(&mut rest, modified_ns.cast_unsigned());
        // Most often the same moment.
        push_number(&mut rest, (changed_ns ^ modified_ns).cast_unsigned());
        push_number(&mut rest, inode);
        let shared = shared(before, file.path);
        push_number(&mut rest, shared as u64);
        push_text(&mut rest, &file.path[shared..]);
        before = file.path;
    }
    let mut table = String::with_capacity(MOST_DIGITS + rest.len());
    push_number(&mut table, checksum(rest.as_bytes()));
    table.push_str(&rest);
    table
}

/// How many bytes two texts have in common, from the first on, in whole characters.
fn shared(a: &str, b: &str) -> usize {
    let pairs = a.chars().zip(b.chars());
    let same = pairs.take_while(|(a, b)| a == b);
    same.map(|(a, _)| a.len_utf8()).sum()
}

/// A digit has six bits, so that with the sign it is a character of one byte.
const DIGIT: u8 = 0x3f;
/// Says that another, higher digit follows.
const MORE: u8 = 0x40;
/// Digits of the largest number.
const MOST_DIGITS: usize = 11;

fn push_number(table: &mut String, mut number: u64) {
    loop {
        let digit = number as u8 & DIGIT;
        number >>= 6;
        if number == 0 {
            table.push(char::from(digit));
            return;
        }
        table.push(char::from(digit | MORE));
    }
}

fn push_text(table: &mut String, text: &str) {
    push_number(table, text.len() as u64);
    table.push_str(text);
}

impl<'a> StampTable<'a> {
    /// Opens a stored table; its checksum must hold.
    pub(super) fn open(table: &'a str) -> Result<(StampTableHead, Self), IndexError> {
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
            (format == u64::from(FORMAT)).then_some(StampTableHead {
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
    pub(super) fn changes<'s>(
        &self,
        seen: &[SeenFile<'s>],
    ) -> Result<StampChanges<'s>, IndexError> {
        let broken = || IndexError::damaged("the table of stamps");
        let mut changes = StampChanges::default();
        let mut rest = self.rows;
        let mut path = Vec::new();
        let mut seen = seen.iter().copied().peekable();
        while !rest.is_empty() {
            let stamp = take_row(&mut rest, &mut path).ok_or_else(broken)?;
            changes.known += 1;
            while let Some(new) = seen.next_if(|file| file.path.as_bytes() < path.as_slice()) {
                changes.read.push(new.path);
            }
            match seen.next_if(|file| file.path.as_bytes() == path) {
                Some(file) if file.stamp != stamp || racy(&stamp, self.taken_ns) => {
                    changes.read.push(file.path);
                }
                Some(_) => {}
                None => changes
                    .gone
                    .push(String::from_utf8(path.clone()).map_err(|_| broken())?),
            }
        }
        changes.read.extend(seen.map(|file| file.path));
        Ok(changes)
    }

    /// The paths in the table.
    #[cfg(test)]
    pub(super) fn paths(&self) -> Result<Vec<String>, IndexError> {
        let broken = || IndexError::damaged("the table of stamps");
        let mut paths = Vec::new();
        let mut rest = self.rows;
        let mut path = Vec::new();
        while !rest.is_empty() {
            take_row(&mut rest, &mut path).ok_or_else(broken)?;
            paths.push(String::from_utf8(path.clone()).map_err(|_| broken())?);
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

/// Takes the next row; its path takes the place of the one before in `path`.
fn take_row(rest: &mut &[u8], path: &mut Vec<u8>) -> Option<Stamp> {
    let size = take_number(rest)?;
    let modified_ns = take_number(rest)?.cast_signed();
    let changed_ns = modified_ns ^ take_number(rest)?.cast_signed();
    let inode = take_number(rest)?;
    let shared = usize::try_from(take_number(rest)?).ok()?;
    let own = take_text(rest)?;
    if shared > path.len() {
        return None;
    }
    path.truncate(shared);
    path.extend(own);
    Some(Stamp {
        size,
        modified_ns,
        changed_ns,
        inode,
    })
}

fn take_number(rest: &mut &[u8]) -> Option<u64> {
    let mut number = 0;
    for at in 0..MOST_DIGITS {
        let (digit, after) = rest.split_first()?;
        *rest = after;
        number |= u64::from(digit & DIGIT) << (6 * at);
        if digit & MORE == 0 {
            return Some(number);
        }
    }
    None
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn stamp() -> impl Strategy<Value = Stamp> {
        let moment = || prop_oneof![any::<i64>(), Just(0), 1_700_000_000_000_000_000..=i64::MAX];
        let number = || prop_oneof![any::<u64>(), 0..100_u64, Just(u64::MAX)];
        (number(), moment(), moment(), number()).prop_map(
            |(size, modified_ns, changed_ns, inode)| Stamp {
                size,
                modified_ns,
                changed_ns,
                inode,
            },
        )
    }

    proptest! {
        #[test]
        fn a_table_holds_what_was_seen(
            files in proptest::collection::btree_map("entries/(2026/)?[aé€]{0,3}\\PC{0,2}", stamp(), 0..9),
            taken_ns in any::<i64>(),
            documents in any::<u64>(),
            gone in any::<prop::sample::Index>(),
        ) {
            let head = StampTableHead { taken_ns, documents, fingerprint: "é".to_owned() };
            let mut seen: Vec<SeenFile<'_>> = files
                .iter()
                .map(|(path, stamp)| SeenFile { path, stamp: *stamp })
                .collect();
            let text = write(&head, &seen);
            let (read, table) = StampTable::open(&text).expect("a whole table");
            prop_assert_eq!(read, head);
            prop_assert!(table.paths().expect("paths").iter().eq(files.keys()));
            let table = StampTable { taken_ns: i64::MIN, ..table };
            let changes = table.changes(&seen).expect("a whole table");
            let racy = seen.iter().filter(|file| racy(&file.stamp, i64::MIN)).map(|file| file.path);
            prop_assert_eq!((changes.read, changes.gone), (racy.collect(), Vec::new()));
            prop_assert_eq!(changes.known, files.len());
            if !seen.is_empty() {
                let one = seen.remove(gone.index(seen.len()));
                let changes = table.changes(&seen).expect("a whole table");
                prop_assert_eq!(changes.gone, [one.path]);
            }
        }

        #[test]
        fn any_bytes_are_a_table_or_none(text in "\\PC{0,40}|[\\x00-\\x7f]{0,60}") {
            let table = StampTable { taken_ns: 0, rows: text.as_bytes() };
            prop_assert_eq!(table.paths().is_ok(), table.changes(&[]).is_ok());
        }
    }
}
