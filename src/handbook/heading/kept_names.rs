//! Names of parts that keep a word of position.
//!
//! The names stand in `kept_names.txt`; where a part sits is not decided here.

use std::collections::HashMap;
use std::sync::OnceLock;

/// Names by their first word, the longest first.
type ByFirstWord = HashMap<&'static str, Vec<Vec<&'static str>>>;

/// How many of these words, in small letters, begin such a name; 0 if none do.
pub(super) fn kept(words: &[&str]) -> usize {
    let Some(first) = words.first() else { return 0 };
    let names = names().get(*first).map(Vec::as_slice).unwrap_or_default();
    let begins = |name: &&Vec<&str>| {
        words.len() >= name.len()
            && name
                .iter()
                .zip(words)
                .enumerate()
                .all(|(at, (known, word))| {
                    let is_last = at + 1 == name.len();
                    known == word || (is_last && word.strip_suffix('s') == Some(*known))
                })
    };
    names.iter().find(begins).map_or(0, Vec::len)
}

fn names() -> &'static ByFirstWord {
    static NAMES: OnceLock<ByFirstWord> = OnceLock::new();
    NAMES.get_or_init(|| {
        let listed = include_str!("kept_names.txt").lines();
        let listed = listed.filter(|line| !line.is_empty() && !line.starts_with(['#', '/']));
        let mut by_first: ByFirstWord = HashMap::new();
        for name in listed {
            let words: Vec<&str> = name.split(' ').collect();
            by_first.entry(words[0]).or_default().push(words);
        }
        for names in by_first.values_mut() {
            names.sort_by_key(|name| std::cmp::Reverse(name.len()));
        }
        by_first
    })
}
