//! How the work grows with a text: for eight times as much, eight times the work
//! and a little more. No test here says how long anything may take.

use std::fmt::Write;
use std::fs;
use std::time::Instant;

use jiff::civil::date;
use matchmark::entry::{read, read_file};
use matchmark::ledger::Ledger;
use matchmark::presentation::problems::{ProblemLimit, render};
use matchmark::reports::check::check;

use super::context;

/// So much larger is the large text.
const TIMES: usize = 8;

/// What is quadratic was measured at 24 to 58 times as long at these sizes, what is
/// n log n or better at 7 to 11 times.
const AT_MOST: u64 = 18;

const ABOVE: &str = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n";

/// Below a title, one piece for each number.
fn numbered(count: usize, piece: impl Fn(usize) -> String) -> String {
    let mut text = ABOVE.to_owned();
    for number in 0..count {
        let _ = text.write_str(&piece(number));
    }
    text
}

/// A word of letters for each number; no two are one slip apart.
fn word(number: usize) -> String {
    let letter = |digit: usize| char::from(b'a' + u8::try_from(digit % 16).unwrap_or(0));
    let digits = (0..4).map(|at| letter(number >> (4 * at)));
    digits.flat_map(|letter| [letter, letter]).collect()
}

/// Nanoseconds for which this thread had a processor: other programs on the machine
/// do not count. Where the system does not say it, the time that passed.
#[allow(clippy::disallowed_methods, reason = "two sizes are compared")]
pub fn spent(work: &dyn Fn()) -> u64 {
    let used = || {
        let text = fs::read_to_string("/proc/thread-self/schedstat").ok()?;
        text.split_whitespace().next()?.parse::<u64>().ok()
    };
    let (start, before) = (Instant::now(), used());
    work();
    match (before, used()) {
        (Some(before), Some(after)) if after > before => after - before,
        (_, _) => u64::try_from(start.elapsed().as_nanos()).unwrap_or(u64::MAX),
    }
}

/// Does `work` on texts of two sizes, and compares the least of a few runs. The large
/// text is worked on again only if it seems to take too long.
fn grows_evenly(name: &str, small: usize, text: impl Fn(usize) -> String, work: impl Fn(&str)) {
    let (few_text, many_text) = (text(small), text(small * TIMES));
    let few = (0..3).map(|_| spent(&|| work(&few_text))).min();
    let few = few.unwrap_or_default().max(1);
    let mut many = u64::MAX;
    for _ in 0..3 {
        many = many.min(spent(&|| work(&many_text)));
        if many <= AT_MOST * few {
            return;
        }
    }
    panic!("{name}: {few} ns for {small}, {many} ns for {TIMES} times as many");
}

fn reading(text: &str) {
    drop(read(text, &context()));
}

fn checking(text: &str) {
    let (entry, problems) = read_file("entries/2026/2026-03-14-a.md", text, &context());
    let entries = [entry];
    let ledger = Ledger::fold(&entries);
    let today = date(2026, 3, 14);
    let all = check(
        &entries,
        &ledger,
        &problems,
        &context().systems,
        today,
        &|_| true,
    );
    let text_of = |_: &str| Some(text.to_owned());
    drop(render(&all, ProblemLimit::First, &text_of, 80, false));
}

#[test]
fn reading_grows_with_the_text() {
    let times = |piece: &'static str| move |count| format!("{ABOVE}{}\n", piece.repeat(count));
    grows_evenly(
        "headings",
        1_000,
        times("## A heading\n\nProse.\n\n"),
        reading,
    );
    grows_evenly("lines", 10_000, times("word\n"), reading);
    grows_evenly("paragraphs", 5_000, times("word\n\n"), reading);
    grows_evenly("words of a line", 20_000, times("word "), reading);
    grows_evenly("records", 1_000, times("## Horn\n- bag: 4\n\n"), reading);
    grows_evenly("glued headings", 2_000, times("##Horn\n\n"), reading);
    let sides = "## Horn, left\n- at: right\n\n";
    grows_evenly("contradictions", 300, times(sides), reading);
}

#[test]
fn checking_grows_with_the_journal() {
    grows_evenly(
        "names that all differ",
        300,
        |count| {
            numbered(count, |at| {
                format!("## {} part\n- after: x{at}\n\n", word(at))
            })
        },
        checking,
    );
    grows_evenly(
        "unknown names one slip from known ones",
        300,
        |count| {
            let section = |at: usize| {
                let word = word(at);
                format!("## {word} part\n- after: {word} prt\n\n")
            };
            numbered(count, section)
        },
        checking,
    );
    grows_evenly(
        "names one slip from each other",
        250,
        |count| {
            let letter = |at: usize| u32::try_from(0x4e00 + at).ok().and_then(char::from_u32);
            let section = |at| format!("## valve {} cap\n- bag: 4\n\n", letter(at).unwrap_or('a'));
            numbered(count, section)
        },
        checking,
    );
    grows_evenly(
        "records that are not to come yet",
        300,
        |count| numbered(count, |at| format!("## Part {at}\n- date: 2027-01-02\n\n")),
        checking,
    );
    grows_evenly(
        "headings without facts beside parts",
        400,
        |count| {
            let pair = |at| format!("## Part {at}x\n- bag: 4\n\n## Heading {at}x\n\nProse.\n\n");
            numbered(count, pair)
        },
        checking,
    );
    for backwards in [false, true] {
        let section = |at: usize| format!("## name {at}\n- also: name {}\n\n", at + 1);
        grows_evenly(
            "a chain of names",
            400,
            |count| numbered(count, |at| section(if backwards { count - at } else { at })),
            checking,
        );
    }
}
