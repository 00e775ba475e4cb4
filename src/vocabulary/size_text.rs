//! Sizes in people's writing, written as the reader of sizes knows them:
//! `M8 x 1,25`, `1/2 13`, `5/16ths`, `3/8 coarse`, `5/16 x 1 UNF`.
//!
//! Changes only what stands for a size; which sizes exist is not known here.

use super::fraction::{Fraction, Writing};
use super::size::with_points;
use super::thread::Thread;
use super::thread_series::{self as series, Series};

/// The text with its sizes in plain writing.
#[must_use]
pub fn plain_sizes(text: &str) -> String {
    let text = with_points(text);
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    let mut out: Vec<String> = Vec::with_capacity(words.len());
    for word in words {
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
            // "M8 bolts 30mm long"
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
        } else if small == "length" && !out.is_empty() {
            // "bolt M8 length 30mm"
            out.push("x".to_owned());
        } else if small == "by" && is_measure(&last) {
            out.push("x".to_owned());
        } else if let Some(tpi) = pitch_of(&last, &small) {
            // "1/2 13", "3/8 coarse"
            out.pop();
            out.push(format!("{last}-{tpi}{tail}"));
        } else if matches!(small.as_str(), "thread" | "threads")
            && last.contains('-')
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
            && matches!(
                last.to_lowercase().as_str(),
                "no" | "no." | "nr" | "nr." | "number" | "gauge"
            )
        {
            // "No 10 screws"; not "bag No. 12".
            let bag = before.is_some_and(|word| word.trim_end_matches(':').ends_with("bag"));
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
    (at + 1 < measure && !free(at + 1)).then_some(at)
}

/// Whether a word alone is a thread without a length.
fn is_thread(word: &str) -> bool {
    let metric = is_metric(&word.to_lowercase()) && !word.contains(['x', 'X']);
    let inch = word
        .split_once('-')
        .is_some_and(|(size, tpi)| diameter(size).is_some() && all_digits(tpi));
    metric || inch
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
            ("6 5/16\"x1\" UNF setscrews", "6 5/16\" UNF x 1\" setscrews"),
            ("bolt M8 length 30mm", "bolt M8 x 30mm"),
            ("4 M8 bolts 30mm long", "4 M8 x 30mm bolts"),
            ("bolt 3/8-16 x 2 long", "bolt 3/8-16 x 2 long"),
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
