//! Which new file of a commit was an old one under another name.
//!
//! By whole lines, so that the answer can be understood by looking at the texts; git
//! also asks for half of the text to be the same.

use std::collections::HashMap;

use super::{History, Result, differences::Difference, trees::blob_bytes};

impl History {
    /// Which of the new files were one of those that are gone: with the same text first,
    /// then with the most lines in common, and at least half of them.
    pub(super) fn renames(
        &self,
        found: &[Difference],
        mut gone: Vec<Difference>,
    ) -> Result<Vec<(String, Difference)>> {
        let mut renames = Vec::new();
        let new: Vec<_> = found
            .iter()
            .filter(|found| found.old.is_none())
            .filter_map(|found| Some((found, found.new?)))
            .collect();
        let mut open = Vec::new();
        for (found, leaf) in new {
            match gone
                .iter()
                .position(|gone| gone.old.is_some_and(|old| old.id == leaf.id))
            {
                Some(at) => renames.push((found.path.clone(), gone.swap_remove(at))),
                None => open.push((found, leaf)),
            }
        }
        for (found, leaf) in open {
            let text = blob_bytes(&self.repo, leaf.id)?;
            let mut best = None;
            for (at, gone) in gone.iter().enumerate() {
                let Some(old) = gone.old else { continue };
                let alike = alike(&blob_bytes(&self.repo, old.id)?, &text);
                if alike >= 50 && best.is_none_or(|(most, _)| alike > most) {
                    best = Some((alike, at));
                }
            }
            if let Some((_, at)) = best {
                renames.push((found.path.clone(), gone.swap_remove(at)));
            }
        }
        Ok(renames)
    }
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
