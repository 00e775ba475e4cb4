//! Sizes in people's writing, written as the reader of sizes knows them:
//! `M8 x 1,25`, `1/2 13`, `5/16ths`, `3/8 coarse`, `5/16 x 1 UNF`.
//!
//! Changes only what stands for a size; which sizes exist is not known here.

use super::fraction::{Fraction, Writing};
use super::hardware_words::{is_bag, is_kind};
use super::said_length::with_lengths;
use super::size::with_points;
use super::thread::Thread;
use super::thread_series::{self as series, Series};

/// The text with its sizes in plain writing.
#[must_use]
pub fn plain_sizes(text: &str) -> String {
    let text = with_lengths(&decimal_points(&with_points(text)));
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    let mut out: Vec<String> = Vec::with_capacity(words.len());
    for (place, word) in words.iter().cloned().enumerate() {
        let next = words.get(place + 1).map(|word| word.to_lowercase());
        let (body, tail) = split_tail(&word);
        let small = body.to_lowercase();
        let last = out.last().cloned().unwrap_or_default();
        let before = out.len().checked_sub(2).map(|at| out[at].to_lowercase());
        // "M8 x 1,25"
        if last.eq_ignore_ascii_case("x")
            && before.as_ref().is_some_and(|word| is_metric(word))
            && let Some((whole, part)) = body.split_once(',')
            && all_digits(whole)
            && all_digits(part)
        {
            out.push(format!("{whole}.{part}{tail}"));
        } else if let Some(number) = small.strip_suffix("ths").filter(|number| is_broken(number)) {
            // "5/16ths"
            out.push(format!("{number}{tail}"));
        } else if let Some(at) = length_behind(&out, &small) {
            // "M8 bolts 30mm long", "M8 30 long"
            let unit = out.len() - 1;
            let from = if is_measure(&out[unit]) {
                unit
            } else {
                unit - 1
            };
            let length = out.split_off(from).join("");
            out[at] = format!("{} x {length}", out[at]);
            if let (Some(last), false) = (out.last_mut(), tail.is_empty()) {
                last.push_str(tail);
            }
        } else if small.ends_with("mm")
            && all_digits(&small[..small.len() - 2])
            && let Some(at) = metric_without_length(&out)
        {
            // "M8 30mm", "M8 8.8 30mm"
            out[at] = format!("{} x {body}", out[at]);
            if let (Some(last), false) = (out.last_mut(), tail.is_empty()) {
                last.push_str(tail);
            }
        } else if small == "long" && has_metric_length(&out) {
            // "M6 25mm long": the length was read before.
            if let (Some(last), false) = (out.last_mut(), tail.is_empty()) {
                last.push_str(tail);
            }
        } else if small == "length" && !out.is_empty() {
            // "bolt M8 length 30mm"
            out.push("x".to_owned());
        } else if small == "by" && is_measure(&last) {
            out.push("x".to_owned());
        } else if let Some(number) = said_pitch(&out, &small, next.as_deref()) {
            // "3/8 x 20 tpi": the figure is no length
            out.truncate(out.len() - 2);
            out.push(format!("{number}{tail}"));
        } else if small == "tpi" && last.contains('-') {
            if !tail.is_empty() {
                out.push(tail.to_owned());
            }
        } else if let Some(at) = length_of_kind(&out, &small) {
            // "4 BSF bolts x 3/4"
            out.pop();
            out[at] = format!("{} x {body}", out[at]);
            if let (Some(last), false) = (out.last_mut(), tail.is_empty()) {
                last.push_str(tail);
            }
        } else if is_inch_thread(&last) && is_length(&small, next.as_deref()) {
            // "5/16-24 1 1/8"
            out.push("x".to_owned());
            out.push(word);
        } else if let Some(tpi) = pitch_of(&last, &small) {
            // "1/2 13", "3/8 coarse"
            out.pop();
            out.push(format!("{last}-{tpi}{tail}"));
        } else if matches!(small.as_str(), "nc" | "nf") && diameter(&last).is_some() {
            // The threads of before 1949, which are those of today.
            let family = if small == "nc" { "UNC" } else { "UNF" };
            out.push(format!("{family}{tail}"));
        } else if matches!(small.as_str(), "thread" | "threads")
            && last.contains('-')
            && split_tail(&last).1.is_empty()
            && Fraction::at(&last, 0).is_some()
        {
            // "coarse thread" was said with the word before.
            if !tail.is_empty() {
                out.push(tail.to_owned());
            }
        } else if let Some(end) = family_behind(&out, &small) {
            // "5/16 x 1 UNF"
            out[end] = match out[end].split_once(['x', 'X']) {
                Some((size, length)) => format!("{size} {body} x {length}"),
                None => format!("{} {body}", out[end]),
            };
            if let (Some(last), false) = (out.last_mut(), tail.is_empty()) {
                last.push_str(tail);
            }
        } else if matches!(
            small.as_str(),
            "no" | "no." | "nr" | "nr." | "number" | "gauge" | "size"
        ) && tail.is_empty()
        {
            out.push(word);
        } else if all_digits(&small)
            && small.len() <= 2
            && next.as_deref().is_none_or(|next| !next.starts_with("ba"))
            && matches!(
                last.to_lowercase().as_str(),
                "no" | "no." | "nr" | "nr." | "number" | "gauge"
            )
        {
            // "No 10 screws"; not "bag No. 12".
            let bag = before.is_some_and(|word| {
                let word = word.trim_end_matches([':', ',']);
                word.ends_with("bag") || is_bag(word)
            });
            if !bag {
                out.pop();
                out.push(format!("#{word}"));
            } else {
                out.push(word);
            }
        } else {
            out.push(word);
        }
    }
    out.join(" ")
}

/// The text with points for decimal commas behind which a measure goes on:
/// `0,5 mm`, `8,4 x 16`, `0,25`. A comma between two figures otherwise parts two
/// pieces: "M10x60,2 nuts".
fn decimal_points(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    for (at, _) in text.match_indices(',') {
        let whole = {
            let before = &text[..at];
            &before[before.trim_end_matches(|c: char| c.is_ascii_digit()).len()..]
        };
        let lead = &text[..at - whole.len()];
        let tail = &text[at + 1..];
        let part = tail.len() - tail.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        let (part, behind) = tail.split_at(part);
        if whole.is_empty() || part.is_empty() || part.len() > 3 {
            continue;
        }
        let times = |text: &str| text.trim_start().starts_with(['x', 'X', '*']);
        let is_times_before = {
            let lead = lead.trim_end();
            lead.ends_with(['x', 'X', '*'])
        };
        let unit = behind.trim_start().to_lowercase();
        let measured = unit.starts_with("mm") || unit.starts_with('"') || unit.starts_with("cm");
        let ends = behind.is_empty() || behind.starts_with([',', ';', ')', ' ']);
        let zero = whole == "0" && ends;
        let gap = lead.is_empty() || lead.ends_with([' ', '(']);
        let first = gap && (measured || times(behind) && is_measured(behind));
        // The last figure of a size, and no count of what follows it.
        let counts = behind.trim_start().starts_with(char::is_alphabetic) && !measured;
        let last = is_times_before && ends && !counts;
        if zero || first || last || is_times_before && measured {
            out.push_str(&text[from..at]);
            out.push('.');
            from = at + 1;
        }
    }
    out.push_str(&text[from..]);
    out
}

/// Whether a sign of times stands before a further figure: "x 16", and not
/// "x bolt".
fn is_measured(text: &str) -> bool {
    text.trim_start()
        .trim_start_matches(['x', 'X', '*'])
        .trim_start()
        .starts_with(|c: char| c.is_ascii_digit())
}

/// The diameter with the threads to the inch that were said behind a sign of
/// times: `3/8 x` before `20 tpi`.
fn said_pitch(words: &[String], word: &str, next: Option<&str>) -> Option<String> {
    let [.., size, times] = words else {
        return None;
    };
    let tpi = match word.strip_suffix("tpi") {
        Some(tpi) => tpi,
        None if next.is_some_and(|next| split_tail(next).0 == "tpi") => word,
        None => return None,
    };
    let size_bare = size.trim_end_matches('"');
    (times.eq_ignore_ascii_case("x") && diameter(size).is_some() && all_digits(tpi))
        .then(|| format!("{size_bare}-{tpi}"))
}

/// Where the size stands whose length is said behind its kind: "4 5/16 BSF
/// setscrews x 1\"". A whole number alone may count pieces, and is left.
fn length_of_kind(words: &[String], word: &str) -> Option<usize> {
    let [before @ .., kind, times] = words else {
        return None;
    };
    let marked = word.ends_with('"') || word.ends_with("mm") || is_broken(word);
    if !times.eq_ignore_ascii_case("x") || !marked || !is_kind(&kind.to_lowercase()) {
        return None;
    }
    let phrase = before
        .iter()
        .rposition(|word| word.ends_with([',', ';']))
        .map_or(0, |at| at + 1);
    let small: Vec<String> = before.iter().map(|word| word.to_lowercase()).collect();
    if small[phrase..].iter().any(|word| word == "x") {
        return None;
    }
    (phrase..before.len()).rev().find(|at| {
        let family = matches!(
            small[*at].as_str(),
            "unf" | "unc" | "bsf" | "bsw" | "whit" | "whitworth" | "unef" | "ba"
        ) && *at > phrase;
        family || is_thread(&before[*at]) || diameter(&before[*at]).is_some()
    })
}

fn split_tail(word: &str) -> (&str, &str) {
    let body = word.trim_end_matches([',', ';', ')', ':']);
    word.split_at(body.len())
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

fn is_metric(word: &str) -> bool {
    word.strip_prefix('m')
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

fn is_measure(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit()) || is_metric(&word.to_lowercase())
}

fn is_broken(text: &str) -> bool {
    matches!(Fraction::at(text, 0), Some((_, Writing::Broken, end)) if end == text.len())
}

/// The diameter that a word is: `1/2`, `3/8"`.
fn diameter(word: &str) -> Option<Fraction> {
    let bare = word.trim_end_matches('"');
    let (size, writing, end) = Fraction::at(bare, 0)?;
    (end == bare.len() && writing == Writing::Broken).then_some(size)
}

/// The threads to the inch that a word says of the size before it: `13`
/// behind `1/2`, `coarse` behind `3/8`.
fn pitch_of(size: &str, word: &str) -> Option<String> {
    let size = diameter(size)?;
    match word {
        "coarse" => series::inch(size, Series::Unc).map(|tpi| tpi.to_string()),
        "fine" => series::inch(size, Series::Unf).map(|tpi| tpi.to_string()),
        _ => {
            let tpi = word.trim_end_matches("tpi");
            let number: u32 = tpi.parse().ok().filter(|_| all_digits(tpi))?;
            let thread = Thread::Inch {
                diameter: size,
                tpi: Fraction::whole(number),
            };
            thread.series().map(|_| tpi.to_owned())
        }
    }
}

/// Where the thread stands that has no length yet, behind the measure of
/// which a word says that it is one.
fn length_behind(words: &[String], word: &str) -> Option<usize> {
    if !matches!(word, "long" | "lg") {
        return None;
    }
    let last = words.last()?;
    let unit = matches!(last.to_lowercase().as_str(), "mm" | "in" | "inch");
    let measure = words.len().checked_sub(1 + usize::from(unit))?;
    if !is_measure(&words[measure]) {
        return None;
    }
    let at = words[..measure].iter().rposition(|word| is_thread(word))?;
    let free = |at: usize| {
        words
            .get(at)
            .is_some_and(|word| word.eq_ignore_ascii_case("x"))
    };
    // "M5 20 long": right behind the thread too.
    let right_behind = at + 1 == measure && is_metric(&words[at].to_lowercase());
    ((right_behind || at + 1 < measure) && !free(at + 1)).then_some(at)
}

/// Whether the last word is a metric thread that was given its length here: "M6 x 25mm".
fn has_metric_length(words: &[String]) -> bool {
    words
        .last()
        .and_then(|last| last.split_once(" x "))
        .is_some_and(|(thread, length)| is_metric(&thread.to_lowercase()) && is_measure(length))
}

/// Whether a word alone is a thread without a length.
fn is_thread(word: &str) -> bool {
    let metric = is_metric(&word.to_lowercase()) && !word.contains(['x', 'X']);
    metric || is_inch_thread(word)
}

/// `5/16-24`
fn is_inch_thread(word: &str) -> bool {
    word.split_once('-')
        .is_some_and(|(size, tpi)| diameter(size).is_some() && all_digits(tpi))
}

/// Whether a length in inches begins here that is surely one: `7/8`, `1 1/8`.
fn is_length(word: &str, next: Option<&str>) -> bool {
    let whole = all_digits(word) && word.len() == 1;
    is_broken(word) || whole && next.is_some_and(|next| is_broken(split_tail(next).0))
}

/// Where the diameter stands of which a family is said behind the length.
fn family_behind(words: &[String], family: &str) -> Option<usize> {
    if !matches!(family, "unf" | "unc" | "bsf" | "bsw" | "whit" | "unef") {
        return None;
    }
    let length = words.len().checked_sub(1)?;
    // "5/16x1 UNF"
    let glued = words[length].split_once(['x', 'X']);
    if glued.is_some_and(|(size, _)| diameter(size).is_some()) {
        return Some(length);
    }
    let times = length
        .checked_sub(1)
        .filter(|at| words[*at].eq_ignore_ascii_case("x"))?;
    let size = times.checked_sub(1)?;
    (diameter(&words[size]).is_some() && is_measure(&words[length])).then_some(size)
}

/// Where the metric thread stands that a length right behind it belongs to; a grade may
/// stand between.
fn metric_without_length(out: &[String]) -> Option<usize> {
    let last = out.len().checked_sub(1)?;
    let is_grade = matches!(out[last].as_str(), "8.8" | "10.9" | "12.9");
    let at = last.checked_sub(usize::from(is_grade))?;
    let bare = &out[at][1.min(out[at].len())..];
    (is_metric(&out[at].to_lowercase()) && all_digits(bare)).then_some(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_in_plain_writing() {
        for (text, plain) in [
            (
                "3 bolts M8 x 1,25 x 20, bag 6",
                "3 bolts M8 x 1.25 x 20, bag 6",
            ),
            ("bolt M8x1,25", "bolt M8x1.25"),
            ("2 bolts 1/2 13, bag 8", "2 bolts 1/2-13, bag 8"),
            ("2 studs 5/16ths, bag 20", "2 studs 5/16, bag 20"),
            ("3 bolts 3/8 coarse, bag 7", "3 bolts 3/8-16, bag 7"),
            ("3 bolts 3/8 fine thread, bag 7", "3 bolts 3/8-24 , bag 7"),
            ("8 No 10 screws", "8 #10 screws"),
            ("bolt 5/16 x 1 UNF, bag 2", "bolt 5/16 UNF x 1, bag 2"),
            ("bolt 3/8 by 2", "bolt 3/8 x 2"),
            ("4 bolts 5/16-24 1 1/8 G8", "4 bolts 5/16-24 x 1 1/8 G8"),
            ("4 bolts 5/16-24 2 nuts", "4 bolts 5/16-24 2 nuts"),
            ("6 5/16\"x1\" UNF setscrews", "6 5/16\" UNF x 1\" setscrews"),
            ("bolt M8 length 30mm", "bolt M8 x 30mm"),
            ("4 M8 bolts 30mm long", "4 M8 x 30mm bolts"),
            ("4 bolts M8 30mm, bag 2", "4 bolts M8 x 30mm, bag 2"),
            ("2 screws M5 20 long, bag 40", "2 screws M5 x 20, bag 40"),
            ("2 bolts M6 25mm long", "2 bolts M6 x 25mm"),
            ("4 bolts M8 8.8 30mm", "4 bolts M8 x 30mm 8.8"),
            ("bolt 3/8-16 x 2 long", "bolt 3/8-16 x 2"),
            ("3 shims 0,8 mm", "3 shims 0.8 mm"),
            ("1 shim 0,15, tin 2", "1 shim 0.15, tin 2"),
            ("4 washers 6,4 x 12 x 1,6", "4 washers 6.4 x 12 x 1.6"),
            ("2 pins 2,5x20", "2 pins 2.5x20"),
            ("4 rivets 4 x 9,5, bag 2", "4 rivets 4 x 9.5, bag 2"),
            ("1 bolt M8x45,1 nut M8", "1 bolt M8x45,1 nut M8"),
            ("4 bolts,2 nuts", "4 bolts,2 nuts"),
            ("bags 3,5", "bags 3,5"),
            ("2 studs 1/4 x 26 tpi", "2 studs 1/4-26"),
            ("2 studs 1/4 x 26tpi, bag 3", "2 studs 1/4-26, bag 3"),
            (
                "3 1/4 BSF bolts x 5/8, bag 1",
                "3 1/4 BSF x 5/8 bolts, bag 1",
            ),
            ("6 M6 screws x 25mm", "6 M6 x 25mm screws"),
            ("bolts M8 x 4", "bolts M8 x 4"),
            ("3 no. 2 BA nuts", "3 no. 2 BA nuts"),
        ] {
            assert_eq!(plain_sizes(text), plain, "{text}");
        }
        for same in [
            "nuts, Bag No. 12",
            "4 bolts 3/8-16 x 1",
            "2 bolts 1/2 14",
            "fine wire",
            "3 no. coach bolts",
            "",
        ] {
            assert_eq!(plain_sizes(same), same, "{same}");
        }
    }
}
