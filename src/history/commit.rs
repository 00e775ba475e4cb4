//! Small values of a commit: its name, who made it and when.
//!
//! Reads and writes nothing; turns jiff's times into git's and back.

use std::fmt;

use jiff::{Timestamp, ZonedDateTime, tz};

use super::{HistoryError, Result};

/// The name of a commit. Shows as all its 40 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CommitId(pub(super) gix::ObjectId);

impl CommitId {
    /// The first ten digits, which is enough to name a commit of any journal.
    pub fn short(&self) -> String {
        self.0.to_hex_with_len(10).to_string()
    }
}

impl fmt::Display for CommitId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.to_hex().fmt(f)
    }
}

impl fmt::Debug for CommitId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "CommitId({self})")
    }
}

/// A person as git knows one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Who {
    /// The name, as `user.name`.
    pub name: String,
    /// The e-mail address, as `user.email`.
    pub email: String,
}

impl Who {
    /// This person at that time, as git writes it.
    ///
    /// Git knows no time before 1970 (`git fsck` calls one an error) and no
    /// seconds in an offset, so an earlier time becomes the first second of 1970 UTC
    /// and an offset loses its seconds.
    pub(super) fn at(&self, time: &ZonedDateTime) -> Result<gix::actor::Signature> {
        let (name, email) = (self.name.trim(), self.email.trim());
        let unfit = |text: &str| text.contains(['<', '>', '\n', '\r', '\0']);
        // What git strips from both ends ("crud") must not be all there is.
        let hollow = name
            .trim_matches(|c: char| c.is_ascii_punctuation() || c.is_whitespace())
            .is_empty();
        if hollow || unfit(name) || unfit(email) {
            return Err(HistoryError::BadName {
                name: self.name.clone(),
                email: self.email.clone(),
            });
        }
        let seconds = time.timestamp().as_second();
        let offset = if seconds < 0 {
            0
        } else {
            time.offset().seconds() / 60 * 60
        };
        Ok(gix::actor::Signature {
            name: name.into(),
            email: email.into(),
            time: gix::date::Time {
                seconds: seconds.max(0),
                offset,
            },
        })
    }
}

/// A time of git, in the offset it was written in; in UTC if the offset is nonsense.
pub(super) fn zoned(time: gix::date::Time) -> ZonedDateTime {
    let timestamp = Timestamp::from_second(time.seconds).unwrap_or(Timestamp::UNIX_EPOCH);
    let offset = tz::Offset::from_seconds(time.offset).unwrap_or(tz::Offset::UTC);
    timestamp.to_zoned_datetime(tz::TimeZone::fixed(offset))
}

/// The bytes of a commit object, ready to be stored.
pub(super) fn bytes(
    tree: gix::ObjectId,
    parent: Option<gix::ObjectId>,
    author: &gix::actor::Signature,
    committer: &gix::actor::Signature,
    message: &str,
) -> Result<Vec<u8>> {
    use gix::objs::WriteTo;

    let text = message.replace('\0', "");
    let text = text.trim();
    if text.is_empty() {
        return Err(HistoryError::EmptyMessage);
    }
    let commit = gix::objs::Commit {
        tree,
        parents: parent.into_iter().collect(),
        author: author.clone(),
        committer: committer.clone(),
        encoding: None,
        // git ends every message with a newline; gix adds none.
        message: format!("{text}\n").into(),
        extra_headers: Vec::new(),
    };
    let mut bytes = Vec::with_capacity(512);
    commit
        .write_to(&mut bytes)
        .map_err(|error| HistoryError::Git {
            doing: "put the commit into git's form",
            what: error.to_string(),
        })?;
    Ok(bytes)
}
