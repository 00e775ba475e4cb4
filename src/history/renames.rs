//! Which new file of a commit was an old one under another name.
//!
//! By whole lines, so that the answer can be understood by looking at the texts; git
//! also asks for half of the text to be the same.

use std::collections::{BTreeMap, HashMap};

use gix::ObjectId;

use super::{History, Result, differences::Difference, trees::blob_bytes};

/// A line that more of the old texts have than this tells none of them from the others.
const COMMON: usize = 16;

/// Only this many old texts, those that share the most bytes in telling lines, are compared
/// with a new one from end to end.
const CANDIDATES: usize = 16;

impl History {
    /// Which of the new files were one of those that are gone: with the same text first,
    /// then with the most lines in common, and at least half of them. By the new path.
    pub(super) fn renames(
        &self,
        found: &[Difference],
        gone: Vec<Difference>,
    ) -> Result<HashMap<String, Difference>> {
        let mut renames = HashMap::new();
        // Of several with the same text the first goes first.
        let mut same: HashMap<ObjectId, Vec<usize>> = HashMap::new();
        for (at, gone) in gone.iter().enumerate().rev() {
            same.entry(
                gone.old
                    .map_or(ObjectId::null(gix::hash::Kind::Sha1), |old| old.id),
            )
            .or_default()
            .push(at);
        }
        let mut left: Vec<Option<Difference>> = gone.into_iter().map(Some).collect();
        let mut open = Vec::new();
        for difference in found.iter().filter(|found| found.is_new()) {
            let Some(leaf) = difference.new else { continue };
            let old = same.get_mut(&leaf.id).and_then(Vec::pop);
            match old.and_then(|at| left[at].take()) {
                Some(old) => {
                    renames.insert(difference.path.clone(), old);
                }
                None => open.push((difference, leaf)),
            }
        }
        if open.is_empty() || left.iter().all(Option::is_none) {
            return Ok(renames);
        }
        let mut texts = Vec::new();
        for (at, gone) in left.iter().enumerate() {
            if let Some(old) = gone.as_ref().and_then(|gone| gone.old) {
                texts.push((at, blob_bytes(&self.repo, old.id)?));
            }
        }
        let telling = telling_lines(&texts);
        for (difference, leaf) in open {
            let text = blob_bytes(&self.repo, leaf.id)?;
            let mut best = None;
            for candidate in candidates(&telling, &text) {
                let (at, old) = &texts[candidate];
                let alike = alike(old, &text);
                if left[*at].is_some() && alike >= 50 && best.is_none_or(|(most, _)| alike > most) {
                    best = Some((alike, *at));
                }
            }
            if let Some(old) = best.and_then(|(_, at)| left[at].take()) {
                renames.insert(difference.path.clone(), old);
            }
        }
        Ok(renames)
    }
}

/// Which of the texts have a line, for each line that few of them have.
fn telling_lines(texts: &[(usize, Vec<u8>)]) -> HashMap<&[u8], Vec<usize>> {
    let mut having: HashMap<&[u8], Vec<usize>> = HashMap::new();
    for (number, (_, text)) in texts.iter().enumerate() {
        for line in text.split_inclusive(|byte| *byte == b'\n') {
            let having = having.entry(line).or_default();
            // One more than counts is enough to see that it does not.
            if having.last() != Some(&number) && having.len() <= COMMON {
                having.push(number);
            }
        }
    }
    having.retain(|_, having| having.len() <= COMMON);
    having
}

/// The old texts that share the most bytes of telling lines with a new one, in the order
/// in which they stand.
fn candidates(telling: &HashMap<&[u8], Vec<usize>>, text: &[u8]) -> Vec<usize> {
    let mut shared: BTreeMap<usize, usize> = BTreeMap::new();
    for line in text.split_inclusive(|byte| *byte == b'\n') {
        for number in telling.get(line).into_iter().flatten() {
            *shared.entry(*number).or_default() += line.len();
        }
    }
    let mut most: Vec<(usize, usize)> = shared.into_iter().collect();
    most.sort_by_key(|(_, bytes)| std::cmp::Reverse(*bytes));
    most.truncate(CANDIDATES);
    most.sort_unstable();
    most.into_iter().map(|(number, _)| number).collect()
}

/// How much of the longer text is in the other as well, line by line, in hundredths of its bytes.
fn alike(a: &[u8], b: &[u8]) -> usize {
    let mut lines: HashMap<&[u8], usize> = HashMap::new();
    for line in a.split_inclusive(|byte| *byte == b'\n') {
        *lines.entry(line).or_default() += 1;
    }
    let mut common = 0;
    for line in b.split_inclusive(|byte| *byte == b'\n') {
        if let Some(left) = lines.get_mut(line).filter(|left| **left > 0) {
            *left -= 1;
            common += line.len();
        }
    }
    common * 100 / a.len().max(b.len()).max(1)
}
