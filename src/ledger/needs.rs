//! Work, purchases and questions: what opens them, what closes them.

use jiff::civil::Date;

use super::state::{Dated, NeedState, PlaceState, dated};
use crate::entry::Need;
use crate::problem::{Problem, Spot};
use crate::vocabulary::words::{fold, telling_stems};

/// A new need of the unit in place.
pub(super) fn open(place: &mut PlaceState, need: &Need, date: Date, spot: &Spot) {
    place.needs.push(NeedState {
        need: need.clone(),
        unit: place.unit().number,
        since: date,
        spot: spot.clone(),
        closed: None,
        done: None,
    });
}

/// Work done closes the open need it speaks of. `said` is false for a work
/// word in the place of a status, which need not speak of any.
pub(super) fn done(place: &mut PlaceState, text: &str, said: bool, date: Date, spot: &Spot) {
    if fold(text) == "all" {
        for need in &mut place.needs {
            need.closed = need.closed.or(Some(date));
        }
        for counted in &mut place.counted {
            counted.closed.get_or_insert(date);
        }
        return;
    }
    let words = dated(&text.to_owned(), date, spot);
    let open = newest((0..place.needs.len()).filter(|at| place.needs[*at].closed.is_none()));
    let texts: Vec<&str> = open
        .iter()
        .map(|at| place.needs[*at].need.text.as_str())
        .collect();
    if let Some(found) = best_match(text, &texts) {
        let need = &mut place.needs[open[found]];
        need.closed = Some(date);
        need.done = Some(words);
        return;
    }
    let hint = format!(
        "open: {}; use its words, or write `done: all`",
        some_of(&texts)
    );
    let nothing_open = texts.is_empty();
    if !said || place.missing_came(text, date) {
        return;
    }
    if let Some(before) = done_before(place, text) {
        let problem = Problem::note(
            spot.clone(),
            format!(
                "`{text}`: `{}` was done already on {} ({}:{})",
                before.value, before.date, before.spot.file, before.spot.line
            ),
        )
        .hint("delete one of the two; work that comes up again is a new `- needs: ...`");
        place.problems.push(problem);
    } else if !nothing_open {
        let problem = Problem::note(
            spot.clone(),
            format!("`{text}` closes no need of {}", place.label()),
        );
        place.problems.push(problem.hint(hint));
    }
}

/// The earlier `done` that says the same of a need that is closed.
fn done_before(place: &PlaceState, text: &str) -> Option<Dated<String>> {
    let closed = newest((0..place.needs.len()).filter(|at| place.needs[*at].done.is_some()));
    let earlier: Vec<&Dated<String>> = closed
        .iter()
        .filter_map(|at| place.needs[*at].done.as_ref())
        .collect();
    let texts: Vec<&str> = earlier.iter().map(|done| done.value.as_str()).collect();
    best_match(text, &texts).map(|found| earlier[found].clone())
}

/// An answer closes the question it speaks of; the only open one in any case.
pub(super) fn answer(place: &mut PlaceState, text: &str, date: Date, spot: &Spot) {
    let open =
        newest((0..place.questions.len()).filter(|at| place.questions[*at].answer.is_none()));
    let texts: Vec<&str> = open
        .iter()
        .map(|at| place.questions[*at].text.as_str())
        .collect();
    let found = match open.len() {
        1 => Some(0),
        _ => best_match(text, &texts),
    };
    match found {
        Some(found) => place.questions[open[found]].answer = Some((text.to_owned(), date)),
        None => {
            let hint = if texts.is_empty() {
                "write the question first: `- question: ...`".to_owned()
            } else {
                format!("open: {}; use its words", some_of(&texts))
            };
            let problem = Problem::note(
                spot.clone(),
                format!("`{text}` answers no question about {}", place.label()),
            )
            .hint(hint);
            place.problems.push(problem);
        }
    }
}

/// A unit that is given up, scrapped or sold needs no more work.
pub(super) fn close_work(place: &mut PlaceState, date: Date) {
    close(place, date, |need| !need.need.is_purchase());
}

/// A new unit ends the purchase of it.
pub(super) fn close_purchases(place: &mut PlaceState, date: Date) {
    close(place, date, |need| need.need.is_purchase());
}

fn close(place: &mut PlaceState, date: Date, which: impl Fn(&NeedState) -> bool) {
    for need in &mut place.needs {
        if need.closed.is_none() && which(need) {
            need.closed = Some(date);
        }
    }
}

/// The last of what is open, oldest first: no part has more open at once, and
/// each is compared word by word.
fn newest(open: impl DoubleEndedIterator<Item = usize>) -> Vec<usize> {
    const MOST: usize = 200;
    let mut newest: Vec<usize> = open.rev().take(MOST).collect();
    newest.reverse();
    newest
}

/// The first few texts in one; a hint is not the place for a hundred.
pub(super) fn some_of(texts: &[&str]) -> String {
    const MOST: usize = 8;
    let shown = texts[..texts.len().min(MOST)].join("; ");
    match texts.len().checked_sub(MOST) {
        None | Some(0) => shown,
        Some(more) => format!("{shown}; and {more} more"),
    }
}

/// Which of `texts` shares most words with `text`, at least half of those of
/// the shorter one; none if two share as many.
#[must_use]
pub fn best_match(text: &str, texts: &[&str]) -> Option<usize> {
    let words = telling_stems(text);
    let mut best: Option<(usize, usize)> = None;
    let mut tied = false;
    for (at, other) in texts.iter().enumerate() {
        let others = telling_stems(other);
        let shared = words.iter().filter(|word| others.contains(word)).count();
        let shorter = words.len().min(others.len());
        if shared == 0 || shared * 2 < shorter {
            continue;
        }
        match best {
            Some((most, _)) if shared < most => {}
            Some((most, _)) if shared == most => tied = true,
            Some(_) | None => {
                best = Some((shared, at));
                tied = false;
            }
        }
    }
    best.filter(|_| !tied).map(|(_, at)| at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn done_closes_what_shares_half_the_words() {
        let open = ["have it boiled out and sealed", "new felt pads"];
        assert_eq!(
            best_match("boiled and sealed at the radiator man", &open),
            Some(0)
        );
        assert_eq!(best_match("felt pad", &open), Some(1));
        assert_eq!(best_match("painted black", &open), None);
        assert_eq!(
            best_match("turned", &["turn left drum", "turn right drum"]),
            None
        );
    }
}
