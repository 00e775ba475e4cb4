//! Pictures that are not as they were kept, and those that no record names.
//!
//! What lies on the disk, and its sums, are handed in.

use std::collections::{BTreeMap, BTreeSet};

use crate::problem::{Problem, Spot};

/// Pictures that are gone, changed or renamed. `kept` are paths and sums as they were
/// kept, in the list at `list`; `there` the same as it is now.
#[must_use]
pub fn lost_pictures<'a>(
    list: &str,
    kept: impl Iterator<Item = (&'a str, &'a str)>,
    there: &BTreeMap<String, String>,
) -> Vec<Problem> {
    let kept: BTreeMap<&str, &str> = kept.collect();
    let mut problems = Vec::new();
    let new = || {
        there
            .iter()
            .filter(|(path, _)| !kept.contains_key(path.as_str()))
    };
    for (path, sum) in &kept {
        let now = there.get(*path);
        if now.is_some_and(|now| now == sum) {
            continue;
        }
        let accept = format!("`matchmark check --accept \"{path}\"`");
        let (message, hint) = match now {
            Some(_) => (
                format!("the picture `{path}` is not what it was when it was kept"),
                format!("bring it back from a copy; if it is meant so, {accept}"),
            ),
            None => match new().find(|(_, other)| other == sum) {
                Some((other, _)) => (
                    format!("the picture `{path}` is called `{other}` now"),
                    format!("name it back, or correct what names it; then {accept}"),
                ),
                None => (
                    format!("the picture `{path}` is gone"),
                    format!("bring it back from a copy; if it is meant so, {accept}"),
                ),
            },
        };
        problems.push(Problem::warning(spot(list), message).hint(hint));
    }
    problems
}

/// How many pictures of a folder are named.
const NAMED: usize = 20;

/// A note for each folder with pictures that no record names.
#[must_use]
pub fn unnamed_pictures<'a>(
    there: impl Iterator<Item = &'a str>,
    named: &BTreeSet<&str>,
) -> Vec<Problem> {
    let mut folders: BTreeMap<&str, (usize, Vec<&str>)> = BTreeMap::new();
    for path in there {
        let (folder, name) = path.rsplit_once('/').unwrap_or(("", path));
        let (all, unnamed) = folders.entry(folder).or_default();
        *all += 1;
        if !named.contains(path) {
            unnamed.push(name);
        }
    }
    folders.retain(|_, (_, unnamed)| !unnamed.is_empty());
    let note = |(folder, (all, unnamed)): (&str, (usize, Vec<&str>))| {
        let are = if unnamed.len() == 1 { "is" } else { "are" };
        let first = unnamed[..unnamed.len().min(NAMED)].join(", ");
        let more = match unnamed.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let message = format!(
            "{} of {all} pictures {are} in no record: {first}{more}",
            unnamed.len()
        );
        Problem::note(spot(folder), message).hint(format!(
            "`photo: {folder}/...` in a record says what one shows"
        ))
    };
    folders.into_iter().map(note).collect()
}

fn spot(file: &str) -> Spot {
    Spot {
        file: file.to_owned(),
        ..Spot::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_as_it_was_kept_is_named() {
        let kept = [("a", "1"), ("b", "2"), ("c", "3"), ("d", "4")];
        let there = [("a", "1"), ("b", "9"), ("e", "3"), ("f", "5")];
        let there = there.map(|(path, sum)| (path.to_owned(), sum.to_owned()));
        let problems = lost_pictures("list", kept.into_iter(), &there.into());
        let messages: Vec<&str> = problems.iter().map(|one| one.message.as_str()).collect();
        assert_eq!(
            messages,
            [
                "the picture `b` is not what it was when it was kept",
                "the picture `c` is called `e` now",
                "the picture `d` is gone",
            ]
        );
    }

    #[test]
    fn pictures_in_no_record_are_listed_by_folder() {
        let there = [
            "p/1/a.jpg",
            "p/1/b.jpg",
            "p/2/c.jpg",
            "p/3/d.jpg",
            "p/3/e.jpg",
        ];
        let named = BTreeSet::from(["p/1/b.jpg", "p/2/c.jpg"]);
        let problems = unnamed_pictures(there.into_iter(), &named);
        let said: Vec<(&str, &str)> = problems
            .iter()
            .map(|one| (one.spot.file.as_str(), one.message.as_str()))
            .collect();
        assert_eq!(
            said,
            [
                ("p/1", "1 of 2 pictures is in no record: a.jpg"),
                ("p/3", "2 of 2 pictures are in no record: d.jpg, e.jpg"),
            ]
        );
        let many: Vec<String> = (10..40).map(|at| format!("p/{at}.jpg")).collect();
        let problems = unnamed_pictures(many.iter().map(String::as_str), &BTreeSet::new());
        assert!(problems[0].message.ends_with(" 29.jpg and 10 more"));
    }
}
