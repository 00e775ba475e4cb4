//! An answer that takes long to find, kept until anything changes that it depends
//! on.
//!
//! It is computed and can be thrown away: one that cannot be read, or was found in
//! another state of the journal, counts as none. Nothing that depends on the day may
//! be in it; what it means is each verb's own.

use std::hash::{DefaultHasher, Hasher};
use std::path::{Path, PathBuf};

use serde::Serialize;
use serde::de::DeserializeOwned;

use crate::journal::{Journal, read_if_there, write_unsynced};

/// What was kept under a name, if the journal is in the same `state`.
pub(super) fn read<T: DeserializeOwned>(journal: &Journal, name: &str, state: &str) -> Option<T> {
    let bytes = read_if_there(&file(journal, name)).ok()??;
    let rest = bytes.strip_prefix(&head(state)[..])?;
    let (sum, body) = rest.split_first_chunk()?;
    (u64::from_le_bytes(*sum) == checksum(body)).then(|| postcard::from_bytes(body).ok())?
}

/// Keeps an answer in its [file](file). Where it cannot be written it is found again
/// the next time.
pub(super) fn write(file: &Path, state: &str, answer: &impl Serialize) {
    let Ok(body) = postcard::to_stdvec(answer) else {
        return;
    };
    let mut bytes = head(state);
    bytes.extend(checksum(&body).to_le_bytes());
    bytes.extend(body);
    let _ = write_unsynced(file, &bytes);
}

/// The file in which an answer is kept.
pub(super) fn file(journal: &Journal, name: &str) -> PathBuf {
    journal.computed().join("answers").join(name)
}

fn head(state: &str) -> Vec<u8> {
    format!("{state}\n").into_bytes()
}

fn checksum(body: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    hasher.write(body);
    hasher.finish()
}
