//! A sheet on the screen of a terminal while it is walked: the passage with its words and
//! lines, and below them what the keys do.
//!
//! It draws nothing itself and knows no terminal but its size.

use super::text::{StyledText, Text, TextStyle, counted, cut, plain};
use crate::import::narration::passages::PassageRow;
use crate::import::narration::sheet_walk::{SheetWalk, WalkMode};

/// A screen with its size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WalkScreen {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Whether it shows colours.
    pub colours: bool,
}

/// The keys in one line, the widest that fits.
const KEYS: [&str; 2] = [
    "space tick  o off  l loose  i it  e edit  a add  jk np move  w write  q quit  ?",
    "space o l i e a f m jk np  w q  ? says",
];

/// The keys while a line is typed.
const TYPING_KEYS: [&str; 2] = [
    "Enter takes it  Esc leaves it  right: the rest  up down: words  Tab kind  Ctrl-U",
    "Enter takes it  Esc  right up down  Tab",
];

/// Each key with what it does.
const HELP: [(&str, &str); 19] = [
    (
        "space",
        "tick the line, or empty its box, and go on to the next",
    ),
    ("o", "it came off: the line, or one below, says `removed`"),
    (
        "l",
        "only loosened or undone: the line, or one below, says `undone`",
    ),
    (
        "i",
        "which part \"it\" was: takes another that was spoken of near here",
    ),
    (
        "b B",
        "takes the bolts of the nearest line; again, of the next; drops the last",
    ),
    (
        "e",
        "mend the line, at the name of its part; Escape leaves it",
    ),
    (
        "a",
        "write a line below: a part alone came off, on this side",
    ),
    (
        "f m",
        "it was found so; it must be bought or done: as it was said",
    ),
    ("r c", "it broke; it was cut: as it was said"),
    ("t d", "it was treated; it was put down: as it was said"),
    (
        "",
        "while a line is typed: up, down another sentence, right takes the rest",
    ),
    (
        "s S",
        "left, right, no side; the other side of all below as well",
    ),
    ("E", "front, rear, neither"),
    ("j k", "next and previous line; arrows and Enter too"),
    (
        "n p",
        "what stands below or above, then the next and previous passage",
    ),
    ("Tab", "the next ticked line; with shift the one before"),
    ("u", "undo the last change"),
    ("w", "write the entry from what is ticked; asks once more"),
    ("q", "leave; each change is in the sheet already"),
];

/// Which way to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkWay {
    /// On.
    On,
    /// Back.
    Back,
}

/// The lines of a passage that does not fit a screen, each with the row its page begins with.
struct Pages(Vec<(usize, usize)>);

impl Pages {
    /// A page ends before what does not fit, and words stay with the line below them.
    fn of(body: &[(Option<usize>, Vec<String>)], room: usize) -> Pages {
        let (mut top, mut row) = (0, 0);
        // Where words begin that no line has followed yet.
        let mut words = None;
        let mut lines = Vec::new();
        for (line, rows) in body {
            let end = row + rows.len();
            if end > top + room {
                top = words.filter(|words| end <= words + room).unwrap_or(row);
            }
            match line {
                Some(line) => {
                    lines.push((*line, top));
                    words = None;
                }
                None => words = words.or(Some(row)),
            }
            row = end;
        }
        Pages(lines)
    }

    fn top_of(&self, line: Option<usize>) -> usize {
        let page = self.0.iter().find(|(own, _)| Some(*own) == line);
        page.map_or(0, |(_, top)| *top)
    }

    /// The first line of the page behind that of a line.
    fn next_line(&self, line: Option<usize>) -> Option<usize> {
        let top = self.top_of(line);
        let next = self.0.iter().find(|(_, other)| *other > top);
        next.map(|(line, _)| *line)
    }

    /// The first line of the page before that of a line.
    fn earlier_line(&self, line: Option<usize>) -> Option<usize> {
        let top = self.top_of(line);
        let (_, before) = self.0.iter().rfind(|(_, other)| *other < top)?;
        let first = self.0.iter().find(|(_, other)| other == before);
        first.map(|(line, _)| *line)
    }
}

impl WalkScreen {
    /// The rows of the screen, at most as many as it has.
    #[must_use]
    pub fn rows(&self, walk: &SheetWalk) -> Vec<String> {
        let (passage, passages) = walk.place();
        let (ticked, lines) = walk.ticks();
        let below = self.below(walk);
        let room = self.height.saturating_sub(1 + below.len()).max(1);
        let (body, top, has_more) = match walk.mode() {
            WalkMode::Helping => (self.help(), 0, false),
            WalkMode::Lines
            | WalkMode::Choosing(_)
            | WalkMode::Confirming
            | WalkMode::Typing(_) => {
                let body = self.body(walk);
                let pages = Pages::of(&body, room);
                let has_more = pages.next_line(walk.cursor()).is_some();
                let rows = body.into_iter().flat_map(|(_, rows)| rows).collect();
                (rows, pages.top_of(walk.cursor()), has_more)
            }
        };
        let more = if has_more { ", more below" } else { "" };
        let head = format!("passage {passage} of {passages}, {ticked} of {lines} ticked{more}");
        let mut rows = vec![cut(&head, self.width)];
        let mut shown: Vec<String> = body.into_iter().skip(top).take(room).collect();
        shown.resize(room, String::new());
        rows.append(&mut shown);
        rows.extend(below);
        rows.truncate(self.height.max(1));
        rows
    }

    /// The first line that stands below the screen, or above it, by its number.
    #[must_use]
    pub fn hidden_line(&self, walk: &SheetWalk, way: WalkWay) -> Option<usize> {
        let room = self.height.saturating_sub(1 + self.below(walk).len());
        let pages = Pages::of(&self.body(walk), room.max(1));
        match way {
            WalkWay::On => pages.next_line(walk.cursor()),
            WalkWay::Back => pages.earlier_line(walk.cursor()),
        }
    }

    /// Words and lines of the passage in rows; a line with its number.
    fn body(&self, walk: &SheetWalk) -> Vec<(Option<usize>, Vec<String>)> {
        let mut body = Vec::new();
        for row in &walk.shown_passage().rows {
            match row {
                PassageRow::Words(_, words) => {
                    body.push((None, self.wrapped(0, 0, &[plain(words)])));
                }
                PassageRow::Line(at) => {
                    let own = walk.line_text(*at);
                    let is_here = walk.cursor() == Some(*at);
                    let style = match (is_here, own.contains("[ ]")) {
                        (true, _) => TextStyle::Match,
                        (false, true) => TextStyle::Plain,
                        (false, false) => TextStyle::Standing,
                    };
                    let text = own.replace("[ ]", "[\u{a0}]");
                    let marked = if is_here {
                        format!(">\u{a0}{text}")
                    } else {
                        text
                    };
                    let first = if is_here { 0 } else { 2 };
                    body.push((Some(*at), self.wrapped(first, 6, &[(style, marked)])));
                }
            }
        }
        if walk.cursor().is_none() {
            let none = plain("(no line was proposed here)");
            body.push((None, self.wrapped(2, 2, &[none])));
        }
        body
    }

    fn help(&self) -> Vec<String> {
        let mut text = Text::new(self.width);
        for (key, words) in HELP {
            text.pair(0, 5, (TextStyle::Part, key.to_owned()), &[plain(words)]);
        }
        lines_of(&text, self.colours)
    }

    /// What is said and asked, and the keys.
    fn below(&self, walk: &SheetWalk) -> Vec<String> {
        let mut rows = match walk.mode() {
            WalkMode::Lines => self.wrapped(0, 0, &[plain(walk.message())]),
            WalkMode::Helping => vec![
                String::new(),
                cut("Escape goes back, other keys do what they do", self.width),
            ],
            WalkMode::Confirming => {
                let (ticked, _) = walk.ticks();
                let lines = counted(ticked, "ticked line", "ticked lines");
                let before = match walk.written_to() {
                    Some(path) => format!("It was written to {path} already. Another entry"),
                    None => "Write the entry".to_owned(),
                };
                let question =
                    format!("{before} from {lines}? y writes it, any other key goes back");
                self.wrapped(0, 0, &[(TextStyle::Warning, question)])
            }
            WalkMode::Typing(typed) => {
                let mut rows = self.wrapped(0, 0, &[plain(walk.message())]);
                let (before, behind) = typed.around();
                let typed = (TextStyle::Match, format!("{before}_{behind}"));
                let offered = plain(walk.offer().unwrap_or_default());
                rows.extend(self.wrapped(0, 2, &[typed, offered]));
                rows.push(self.widest(TYPING_KEYS));
                rows
            }
            WalkMode::Choosing(choices) => {
                let mut rows = self.wrapped(0, 0, &[plain("It was ... (any other key leaves it)")]);
                for (choice, number) in choices.iter().zip(1..) {
                    let number = (TextStyle::Match, number.to_string());
                    let part = plain(format!("\u{a0}{}", choice.part));
                    rows.extend(self.wrapped(2, 4, &[number, part]));
                }
                rows
            }
        };
        if *walk.mode() == WalkMode::Lines {
            rows.push(self.widest(KEYS));
        }
        rows
    }

    /// The first of these that fits, or what fits of the second.
    fn widest(&self, texts: [&'static str; 2]) -> String {
        let fits = |text: &&str| text.chars().count() < self.width;
        cut(
            texts.iter().find(|text| fits(text)).unwrap_or(&texts[1]),
            self.width,
        )
    }

    fn wrapped(&self, first: usize, rest: usize, pieces: &[StyledText]) -> Vec<String> {
        let mut text = Text::new(self.width);
        text.wrapped(first, rest, pieces);
        lines_of(&text, self.colours)
    }
}

/// The lines of a text; a style ends with its line.
fn lines_of(text: &Text, colours: bool) -> Vec<String> {
    text.render(colours).lines().map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::narration::sheet_walk::WalkKey;
    use unicode_width::UnicodeWidthStr;

    const SHEET: &str = "# What was said: 1 of 3 lines ticked.\n\
        > 0:00:05 There it goes, the pin, and a good many words more about the shed and its roof.\n\
        [x] 0:00:05 ~ removed: brake drum, left front | hardware: 2 nuts, bag 3\n\
        [ ] 0:00:06 removed: pin | new\n\
        [ ] 0:00:50 found: shoe, left | worn\n";

    fn screen(width: usize, height: usize, keys: &str) -> Vec<String> {
        let mut walk = SheetWalk::new(SHEET);
        for sign in keys.chars() {
            walk.press(WalkKey::Sign(sign));
        }
        let screen = WalkScreen {
            width,
            height,
            colours: false,
        };
        screen.rows(&walk)
    }

    #[test]
    fn a_screen_of_eighty_columns() {
        let expected = [
            "passage 1 of 1, 1 of 3 ticked",
            "There it goes, the pin, and a good many words more about the shed and its roof.",
            "  [x] 0:00:05 ~ removed: brake drum, left front | hardware: 2 nuts, bag 3",
            "> [ ] 0:00:06 removed: pin | new",
            "  [ ] 0:00:50 found: shoe, left | worn",
            "",
            "",
            KEYS[0],
        ];
        assert_eq!(screen(80, 8, "j"), expected);
        assert_eq!(
            screen(80, 6, "")[0],
            "passage 1 of 1, 1 of 3 ticked, more below"
        );
        let choosing = [
            "It was ... (any other key leaves it)",
            "  1 pin",
            "  2 shoe, left",
        ];
        assert_eq!(screen(80, 8, "i")[5..], choosing);
    }

    #[test]
    fn what_does_not_fit_the_screen_is_shown_in_pages() {
        let line = |number| format!("[ ] 0:00:0{number} removed: part {number}\n");
        let lines: String = (0..6).map(line).collect();
        let words = "> 0:00:00 There it goes.\n> 0:00:04 There it goes.\n";
        let sheet = format!("{words}{lines}");
        let mut walk = SheetWalk::new(&sheet);
        let screen = WalkScreen {
            width: 60,
            height: 9,
            colours: false,
        };
        let parts = |walk: &SheetWalk| {
            let rows = screen.rows(walk);
            let part = |row: &String| row.split_once("part ").map(|(_, part)| part.to_owned());
            (
                rows[0].ends_with("more below"),
                rows.iter().filter_map(part).collect::<String>(),
            )
        };
        assert_eq!(parts(&walk), (true, "0123".to_owned()));
        let on = screen
            .hidden_line(&walk, WalkWay::On)
            .expect("a line below");
        walk.stand_on(on);
        // The words stand above their first line.
        assert_eq!(parts(&walk), (false, "45".to_owned()));
        assert!(screen.rows(&walk)[1].starts_with("There it goes"));
        assert_eq!(screen.hidden_line(&walk, WalkWay::On), None);
        let back = screen
            .hidden_line(&walk, WalkWay::Back)
            .expect("a line above");
        walk.stand_on(back);
        assert_eq!(parts(&walk), (true, "0123".to_owned()));
        assert_eq!(screen.hidden_line(&walk, WalkWay::Back), None);
    }

    #[test]
    fn a_small_screen_keeps_to_its_size_and_shows_the_cursor() {
        for keys in [
            "",
            "j",
            "jj",
            "i",
            "?",
            "w",
            "x",
            "e",
            "aneeds: a new one, and soon",
        ] {
            for (width, height) in [(40, 8), (40, 24), (30, 5), (80, 3)] {
                let rows = screen(width, height, keys);
                assert!(rows.len() <= height, "{keys} {width}x{height}: {rows:?}");
                let widest = rows.iter().map(|row| row.width()).max().unwrap_or(0);
                assert!(widest <= width, "{keys} {width}x{height}: {rows:?}");
                let has_cursor = rows.iter().any(|row| row.starts_with("> "));
                assert!(
                    has_cursor || keys == "?" || height < 6,
                    "{keys} {width}x{height}: {rows:?}"
                );
            }
        }
    }
}
