//! The entries as anyone may read them: nothing in them that is marked as private.
//!
//! Everything else in this room is computed from these, so that what is private
//! cannot be told in any form. What is private, `entry` says.

use crate::entry::{Entry, private_bytes};

/// These entries without what is private in them; `None` if nothing is. Lines stay
/// where they are.
#[must_use]
pub fn public(entries: &[Entry]) -> Option<Vec<Entry>> {
    let private: Vec<_> = entries.iter().map(private_bytes).collect();
    if private.iter().all(Vec::is_empty) {
        return None;
    }
    let pairs = entries.iter().zip(private);
    Some(
        pairs
            .filter(|(entry, private)| private.first() != Some(&(0..entry.text.len())))
            .map(|(entry, private)| {
                let mut entry = entry.clone();
                let is_in = |byte: usize| private.iter().any(|range| range.contains(&byte));
                entry
                    .records
                    .retain(|record| !is_in(record.passage.bytes.start));
                entry.bags.retain(|bag| !is_in(bag.passage.bytes.start));
                for range in &private {
                    blank(&mut entry.text, range.clone());
                }
                entry
            })
            .collect(),
    )
}

/// Puts blanks in place of these bytes, but for line ends.
fn blank(text: &mut String, range: std::ops::Range<usize>) {
    let Some(hidden) = text.get(range.clone()) else {
        return;
    };
    let blanks: String = hidden
        .bytes()
        .map(|byte| if byte == b'\n' { '\n' } else { ' ' })
        .collect();
    text.replace_range(range, &blanks);
}
