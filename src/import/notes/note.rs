//! A text taken apart: front matter of another kind, title, and the notes in it, each
//! with its day.
//!
//! One file is one note, unless several of its headings are days: then it is a diary, and
//! each such heading begins a note. What becomes of a note is in `adopted`.

use jiff::civil::Date;

use super::days::note_days;
use super::front::NoteFront;
use crate::import::days::DayOrder;

/// A note with its day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextNote {
    /// The day.
    pub date: Date,
    /// The title, if the note has one.
    pub title: Option<String>,
    /// The words below front matter and title.
    pub body: String,
    /// The front matter as it stands, if it says anything besides day and title.
    pub front: Option<String>,
}

/// Where else a day may stand.
#[derive(Clone, Copy, Debug)]
pub struct NoteDayHints<'n> {
    /// The file's name without its ending.
    pub stem: &'n str,
    /// The folders above it, the nearest last.
    pub folders: &'n str,
    /// In which order numbers of days stand, if the person said so.
    pub order: Option<DayOrder>,
    /// The day of notes that say none, if the person said one.
    pub day: Option<Date>,
}

/// The notes in a text.
///
/// # Errors
/// When it has no day, or one that can be read two ways: why, in words.
pub fn notes(text: &str, hints: &NoteDayHints<'_>) -> Result<Vec<TextNote>, String> {
    let front = NoteFront::of(text);
    let below = text[front.end..].trim_start_matches('\n');
    let headings = headings(below);
    let dated: Vec<(Heading<'_>, Vec<Date>)> = headings
        .iter()
        .filter_map(|heading| {
            let days = note_days(heading.words, hints.order).days;
            (!days.is_empty()).then_some((*heading, days))
        })
        .collect();
    if dated.len() > 1 && front.day.is_none() {
        return diary(below, &front, &dated);
    }
    let found = [
        front.day.clone().unwrap_or_default(),
        hints.stem.to_owned(),
        dated
            .first()
            .map_or_else(String::new, |(heading, _)| heading.words.to_owned()),
        hints.folders.to_owned(),
    ];
    let days = found
        .iter()
        .map(|words| note_days(words, hints.order).days)
        .find(|days| !days.is_empty())
        .or(hints.day.map(|day| vec![day]))
        .ok_or("no day in its front matter, its name or a heading; --day DAY gives it one")?;
    let date = one_day(&days)?;
    // A heading of the first level at the top is the title.
    let top = headings
        .first()
        .filter(|heading| below[..heading.from].trim().is_empty());
    let (title, body) = match (&front.title, top) {
        (None, Some(top)) if top.level == 1 => (title_of(top.words), &below[top.until..]),
        (title, _) => (title.clone(), below),
    };
    Ok(vec![TextNote {
        date,
        title,
        body: body.trim_matches('\n').to_owned(),
        front: front.rest,
    }])
}

/// A heading without its day, if anything else stands in it.
fn title_of(words: &str) -> Option<String> {
    let found = note_days(words, None);
    let words = if found.days.is_empty() {
        words
    } else {
        &found.rest
    };
    Some(words.trim().to_owned()).filter(|words| !words.is_empty())
}

fn one_day(days: &[Date]) -> Result<Date, String> {
    match days {
        [day] => Ok(*day),
        _ => {
            let days: Vec<String> = days.iter().map(ToString::to_string).collect();
            Err(format!(
                "its day can be {}; say `--date-order dmy` or `--date-order mdy`",
                days.join(" or ")
            ))
        }
    }
}

fn diary(
    below: &str,
    front: &NoteFront,
    dated: &[(Heading<'_>, Vec<Date>)],
) -> Result<Vec<TextNote>, String> {
    let mut notes = Vec::new();
    for (at, (heading, days)) in dated.iter().enumerate() {
        let end = dated.get(at + 1).map_or(below.len(), |(next, _)| next.from);
        let mut body = below[heading.until..end].trim_matches('\n').to_owned();
        // What stands before the first day goes with it.
        let before = below[..heading.from].trim_matches('\n');
        if at == 0 && !before.is_empty() {
            body = format!("{before}\n\n{body}");
        }
        if body.trim().is_empty() {
            continue;
        }
        notes.push(TextNote {
            date: one_day(days)?,
            title: title_of(heading.words),
            body,
            front: front.rest.clone().filter(|_| at == 0),
        });
    }
    match notes.is_empty() {
        true => Err("nothing stands below its days".to_owned()),
        false => Ok(notes),
    }
}

/// A heading of Markdown, or a line of plain text that is a day and nothing else.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Heading<'t> {
    words: &'t str,
    from: usize,
    until: usize,
    /// The level that Markdown gives it; 0 for a line of plain text.
    level: usize,
}

/// Bytes of the longest line that can be a day by itself.
const LONGEST_DAY_LINE: usize = 40;

fn headings(text: &str) -> Vec<Heading<'_>> {
    let mut found = Vec::new();
    let mut fence: Option<&str> = None;
    let mut from = 0;
    let mut lines = text.split_inclusive('\n').peekable();
    while let Some(line) = lines.next() {
        let mut until = from + line.len();
        let own = line.trim();
        let mark = ["```", "~~~"]
            .into_iter()
            .find(|mark| own.starts_with(mark));
        match (fence, mark) {
            (None, Some(mark)) => fence = Some(mark),
            (Some(open), Some(mark)) if open == mark => fence = None,
            (Some(_), _) => {}
            (None, None) => {
                let underline = lines.peek().filter(|_| !own.is_empty());
                let (level, words) = match underline.and_then(|next| underlined(next)) {
                    Some(level) => {
                        until += lines.next().map_or(0, str::len);
                        (level, own)
                    }
                    None => marked(own),
                };
                let is_day = || own.len() <= LONGEST_DAY_LINE && is_only_a_day(own);
                if level > 0 || is_day() {
                    found.push(Heading {
                        words,
                        from,
                        until,
                        level,
                    });
                }
            }
        }
        from = until;
    }
    found
}

/// The level and the words of a line with `#` before it; level 0 for any other.
fn marked(line: &str) -> (usize, &str) {
    let level = line.len() - line.trim_start_matches('#').len();
    match (1..=6).contains(&level) && line[level..].starts_with([' ', '\t']) {
        true => (level, line[level..].trim_end_matches('#').trim()),
        false => (0, line),
    }
}

/// The level of the heading above a line of `===` or `---`.
fn underlined(line: &str) -> Option<usize> {
    let own = line.trim();
    let is_all = |sign: u8| own.len() >= 3 && own.bytes().all(|byte| byte == sign);
    match (is_all(b'='), is_all(b'-')) {
        (true, _) => Some(1),
        (_, true) => Some(2),
        (false, false) => None,
    }
}

fn is_only_a_day(line: &str) -> bool {
    let found = note_days(line.trim_matches(['*', '=', '-', '_', ' ']), None);
    !found.days.is_empty() && found.rest.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, stem: &str) -> Result<Vec<TextNote>, String> {
        let hints = NoteDayHints {
            stem,
            folders: "",
            order: None,
            day: None,
        };
        notes(text, &hints)
    }

    fn only(text: &str, stem: &str) -> TextNote {
        let mut notes = read(text, stem).unwrap_or_default();
        assert_eq!(notes.len(), 1, "{text}");
        notes.remove(0)
    }

    #[test]
    fn the_day_comes_from_front_matter_name_or_heading_in_this_order() {
        for (text, stem, expected) in [
            (
                "---\ndate: 2026-03-14T21:05:00Z\n---\nx",
                "2025-01-01",
                "2026-03-14",
            ),
            (
                "+++\ndate = 2026-03-14\ntitle = \"Tank\"\n+++\nx",
                "a",
                "2026-03-14",
            ),
            ("# 1 May 2026\nx", "2026-03-14 tank", "2026-03-14"),
            ("# Tank, 14 March 2026\nx", "tank", "2026-03-14"),
            ("14 March 2026\n\nThe tank.", "tank", "2026-03-14"),
            (
                "The tank, 14 March 2026\n====\n\nOut.",
                "tank",
                "2026-03-14",
            ),
        ] {
            assert_eq!(only(text, stem).date.to_string(), expected, "{text}");
        }
        let tank = only("The tank, 14 March 2026\n====\n\nOut.", "a");
        assert_eq!(
            (tank.title.as_deref(), tank.body.as_str()),
            (Some("The tank"), "Out.")
        );
        // A part's heading stays where it is.
        let part = only("## Horn\n\n- stored: rack 2", "2026-03-14");
        assert_eq!((part.title, &part.body[..7]), (None, "## Horn"));
        assert!(read("x", "tank").unwrap_err().contains("no day"));
        assert!(read("x", "3-4-2026").unwrap_err().contains("--date-order"));
        assert!(read("```\n# 14 March 2026\n```\n", "tank").is_err());
    }

    #[test]
    fn front_matter_of_another_kind_is_kept_and_means_nothing() {
        let note = only(
            "---\ntitle: The tank\ndate: 2026-03-14\nstatus: draft\ntags: [a, b]\n---\n\n# Head\n\nText.\n",
            "a",
        );
        assert_eq!(note.title.as_deref(), Some("The tank"));
        assert_eq!(note.body, "# Head\n\nText.");
        assert!(
            note.front
                .is_some_and(|front| front.contains("status: draft"))
        );
        assert_eq!(only("---\ndate: 2026-03-14\n---\nText", "a").front, None);
        let ruled = only("---\nJust a rule.\n---\nText", "2026-03-14");
        assert!(ruled.body.contains("Just a rule."), "{ruled:?}");
        // A front matter that nothing closes is prose.
        let open = only("---\ntitle: x\n\nText", "2026-03-14");
        assert!(open.body.contains("title: x"), "{open:?}");
    }

    #[test]
    fn several_days_in_one_file_are_a_diary() {
        let notes = read("# My log\n\nBought it.\n\n## 14 March 2026: tank\n\nOut.\n\n### Straps\n\nRusty.\n\n## 2026-03-15\n\nSeats.\n", "log").expect("notes");
        let told: Vec<(String, Option<&str>, &str)> = notes
            .iter()
            .map(|note| {
                (
                    note.date.to_string(),
                    note.title.as_deref(),
                    note.body.as_str(),
                )
            })
            .collect();
        assert_eq!(
            told,
            [
                (
                    "2026-03-14".to_owned(),
                    Some("tank"),
                    "# My log\n\nBought it.\n\nOut.\n\n### Straps\n\nRusty."
                ),
                ("2026-03-15".to_owned(), None, "Seats."),
            ]
        );
    }
}
