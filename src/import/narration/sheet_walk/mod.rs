//! A sheet walked passage by passage: which key does what, and what is undone again.
//!
//! What the keys do stands in the files below, one for each kind of thing.
//!
//! It reads no keys, draws nothing and saves nothing.

mod cursor;
mod line_change;
mod refused_line;
mod typing;
mod walk_key;
mod which_part;

use super::choices::PartChoice;
use super::draft::DraftContext;
use super::heard::HeardKind;
use super::passages::{SheetPassage, passages};
use super::sheet::{SheetLine, clock};
use super::sheet_text::SheetText;
use super::typed_line::TypedLine;
pub use walk_key::WalkKey;

/// What a key came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkOutcome {
    /// The text is as it was.
    Same,
    /// The text is another, and is to be saved.
    Changed,
    /// The person leaves.
    Left,
    /// The person leaves, and wants the entry written.
    Write,
}

/// What the next key is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WalkMode {
    /// A line.
    Lines,
    /// One of these parts, which "it" may have been.
    Choosing(Vec<PartChoice>),
    /// Yes or no: whether the entry is to be written.
    Confirming,
    /// Any key leaves the help.
    Helping,
    /// What a line says.
    Typing(TypedLine),
}

/// A sheet with a cursor in it.
#[derive(Clone, Debug)]
pub struct SheetWalk {
    sheet: SheetText,
    passages: Vec<SheetPassage>,
    passage: usize,
    /// The line under the cursor, among those of the passage.
    at: usize,
    mode: WalkMode,
    message: String,
    /// Earlier texts with the places of the cursor.
    before: Vec<(SheetText, usize, usize)>,
    /// Whose hardware the last key took, counted from the nearest.
    taken: Option<usize>,
    /// Whether the last key put another part into the line.
    is_put: bool,
    /// The number of the sentence that the line that is typed holds.
    told: Option<usize>,
    /// What the entry is read with; without it no line is refused.
    context: Option<DraftContext>,
}

/// The most changes that can be undone.
const MOST_UNDONE: usize = 200;

impl SheetWalk {
    /// Begins to walk a sheet, at the passage where the person left it.
    #[must_use]
    pub fn new(text: &str) -> SheetWalk {
        let mut walk = SheetWalk {
            sheet: SheetText::new(text),
            passages: Vec::new(),
            passage: 0,
            at: 0,
            mode: WalkMode::Lines,
            message: String::new(),
            before: Vec::new(),
            taken: None,
            is_put: false,
            told: None,
            context: None,
        };
        walk.passages = passages(&walk.sheet);
        walk.passage = walk.left_passage();
        walk
    }

    /// Takes a text that another program has changed, the cursor where it was before the
    /// change that is not taken.
    pub fn take_text(&mut self, text: &str) {
        if let Some((_, passage, at)) = self.before.pop() {
            (self.passage, self.at) = (passage, at);
        }
        self.sheet = SheetText::new(text);
        self.passages = passages(&self.sheet);
        self.before.clear();
        self.mode = WalkMode::Lines;
        self.settle();
    }

    /// The text as it stands, with the place of the cursor and the count of ticks.
    #[must_use]
    pub fn text(&self) -> String {
        let mut sheet = self.sheet.clone();
        sheet.count_ticks();
        let place = match self.shown_passage().from() {
            Some(from) => clock(from),
            None => format!("passage {}", self.passage + 1),
        };
        sheet.set_left_at(&place);
        sheet.text()
    }

    /// What the next key is for.
    #[must_use]
    pub fn mode(&self) -> &WalkMode {
        &self.mode
    }

    /// What is to be said about the last key.
    #[must_use]
    pub fn message(&self) -> &str {
        &self.message
    }

    /// Says something besides.
    pub fn say(&mut self, message: impl Into<String>) {
        self.message = message.into();
    }

    /// The number of the passage, from 1, and how many there are.
    #[must_use]
    pub fn place(&self) -> (usize, usize) {
        (self.passage + 1, self.passages.len().max(1))
    }

    /// The passage that is shown.
    #[must_use]
    pub fn shown_passage(&self) -> SheetPassage {
        self.passages.get(self.passage).cloned().unwrap_or_default()
    }

    /// A line of the sheet, as it stands in its text.
    #[must_use]
    pub fn line_text(&self, at: usize) -> &str {
        self.sheet.bare(at)
    }

    /// The number of the line under the cursor, from 0; `None` in a passage without one.
    #[must_use]
    pub fn cursor(&self) -> Option<usize> {
        self.passages
            .get(self.passage)?
            .lines()
            .get(self.at)
            .copied()
    }

    /// How many lines are ticked, and how many there are.
    #[must_use]
    pub fn ticks(&self) -> (usize, usize) {
        let lines: Vec<SheetLine> = self.all_lines().into_iter().map(|(_, line)| line).collect();
        let ticked = lines.iter().filter(|line| line.is_ticked).count();
        (ticked, lines.len())
    }

    /// The entry that was written from the sheet, if one was.
    #[must_use]
    pub fn written_to(&self) -> Option<&str> {
        self.sheet.written_to()
    }

    fn all_lines(&self) -> Vec<(usize, SheetLine)> {
        let line = |at: usize| Some((at, self.sheet.line(at)?));
        (0..self.sheet.len()).filter_map(line).collect()
    }

    /// Does what a key asks for, and says if the line it changed could not stand in the entry.
    pub fn press(&mut self, key: WalkKey) -> WalkOutcome {
        let at = self.cursor();
        let outcome = self.do_as_asked(key);
        if outcome == WalkOutcome::Changed
            && let Some(why) = at.and_then(|at| self.refusal(&self.sheet, at))
        {
            self.say(format!("{why}; e mends it"));
        }
        outcome
    }

    fn do_as_asked(&mut self, key: WalkKey) -> WalkOutcome {
        self.message.clear();
        let taken = self.taken.take();
        let is_again = std::mem::take(&mut self.is_put);
        if let (WalkMode::Lines, WalkKey::Sign('b')) = (&self.mode, key) {
            return self.take_hardware(taken);
        }
        if let (WalkMode::Lines, WalkKey::Sign('i' | 'I')) = (&self.mode, key) {
            return self.ask_which(is_again);
        }
        match std::mem::replace(&mut self.mode, WalkMode::Lines) {
            WalkMode::Helping => {
                let only_closes = matches!(
                    key,
                    WalkKey::Sign('?' | ' ') | WalkKey::Enter | WalkKey::Escape
                );
                match only_closes {
                    true => WalkOutcome::Same,
                    false => self.act(key),
                }
            }
            WalkMode::Confirming => match key {
                WalkKey::Sign('y' | 'Y') => WalkOutcome::Write,
                WalkKey::Sign(_)
                | WalkKey::Up
                | WalkKey::Down
                | WalkKey::Back
                | WalkKey::On
                | WalkKey::Home
                | WalkKey::End
                | WalkKey::Enter
                | WalkKey::Escape
                | WalkKey::Rub
                | WalkKey::Clear
                | WalkKey::RubWord
                | WalkKey::Tab
                | WalkKey::BackTab => {
                    self.say("nothing was written to the journal");
                    WalkOutcome::Same
                }
            },
            WalkMode::Choosing(choices) => self.choose(key, &choices),
            WalkMode::Typing(typed) => self.type_on(key, typed),
            WalkMode::Lines => self.act(key),
        }
    }

    fn act(&mut self, key: WalkKey) -> WalkOutcome {
        match key {
            WalkKey::Sign(' ') => self.turn_tick(),
            WalkKey::Sign('o' | 'O') => self.say_kind(HeardKind::Removed),
            WalkKey::Sign('l' | 'L') => self.say_kind(HeardKind::Undone),
            WalkKey::Sign('e') => self.type_line(false),
            WalkKey::Sign('E') => self.turn_end(),
            WalkKey::Sign('B') => self.drop_hardware(),
            WalkKey::Sign('a' | 'A') => self.type_line(true),
            WalkKey::Sign('f' | 'F') => self.add_with_words(HeardKind::Found),
            WalkKey::Sign('m' | 'M') => self.add_with_words(HeardKind::Needs),
            WalkKey::Sign('r' | 'R') => self.add_with_words(HeardKind::Broken),
            WalkKey::Sign('c' | 'C') => self.add_with_words(HeardKind::Cut),
            WalkKey::Sign('t' | 'T') => self.add_with_words(HeardKind::Treated),
            WalkKey::Sign('d' | 'D') => self.add_with_words(HeardKind::Stored),
            WalkKey::Sign('s') => self.turn_sides(false),
            WalkKey::Sign('S') => self.turn_sides(true),
            WalkKey::Tab => self.next_tick(),
            WalkKey::BackTab => self.earlier_tick(),
            WalkKey::Sign('u' | 'U') => self.undo(),
            WalkKey::Sign('j' | 'J') | WalkKey::Down | WalkKey::Enter => self.next_line(),
            WalkKey::Sign('k' | 'K') | WalkKey::Up => self.previous_line(),
            WalkKey::Sign('n' | 'N') | WalkKey::On => self.go_to_passage(self.passage + 1),
            WalkKey::Sign('p' | 'P') | WalkKey::Back => match self.passage.checked_sub(1) {
                Some(before) => self.go_to_passage(before),
                None => self.stay("this is the first passage"),
            },
            WalkKey::Home => self.go_to_passage(0),
            WalkKey::End => self.go_to_passage(self.passages.len().saturating_sub(1)),
            WalkKey::Sign('w' | 'W') => {
                if self.ticks().0 == 0 {
                    return self.stay("nothing is ticked, so there is no entry to write");
                }
                if let Some(outcome) = self.go_to_refused() {
                    return outcome;
                }
                self.mode = WalkMode::Confirming;
                WalkOutcome::Same
            }
            WalkKey::Sign('?' | 'h' | 'H') => {
                self.mode = WalkMode::Helping;
                WalkOutcome::Same
            }
            WalkKey::Sign('q' | 'Q') => WalkOutcome::Left,
            WalkKey::Sign(_)
            | WalkKey::Escape
            | WalkKey::Rub
            | WalkKey::Clear
            | WalkKey::RubWord => self.stay("no such key; ? shows what each does"),
        }
    }

    fn stay(&mut self, message: &str) -> WalkOutcome {
        self.say(message);
        WalkOutcome::Same
    }

    /// Keeps the text, so that the next change can be undone.
    fn remember(&mut self) {
        if self.before.len() == MOST_UNDONE {
            self.before.remove(0);
        }
        self.before
            .push((self.sheet.clone(), self.passage, self.at));
    }

    fn undo(&mut self) -> WalkOutcome {
        let Some((sheet, passage, at)) = self.before.pop() else {
            return self.stay("nothing to undo since you began");
        };
        self.sheet = sheet;
        self.passages = passages(&self.sheet);
        (self.passage, self.at) = (passage, at);
        self.settle();
        self.say("undone");
        WalkOutcome::Changed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(super) const SHEET: &str = "# What was said: 1 of 5 lines ticked.\nvehicle: wren\n\n\
        # A 0:00:05-0:01:00\n> 0:00:05 There it goes, the pin.\n\
        [x] 0:00:05 ~ removed: drum | hardware: 2 nuts\n\
        [ ] 0:00:06 removed: pin | new\n\
        [ ] 0:00:50 found: shoe, left | worn\n\n\
        # A 0:02:05-0:03:00\n> 0:02:05 The rest.\n\
        [ ] 0:02:06 removed: lid\n\
        [ ] first: lid | before: box\n";

    pub(super) fn typed(walk: &mut SheetWalk, keys: &str) -> Vec<WalkOutcome> {
        keys.chars()
            .map(|sign| walk.press(WalkKey::Sign(sign)))
            .collect()
    }

    pub(super) fn line(walk: &SheetWalk, part: &str) -> String {
        let text = walk.text();
        let line = text.lines().find(|line| line.contains(part));
        line.unwrap_or_default().to_owned()
    }

    #[test]
    fn writing_is_asked_for_twice_and_leaving_once() {
        let mut walk = SheetWalk::new(SHEET);
        assert_eq!(
            typed(&mut walk, "wn"),
            [WalkOutcome::Same, WalkOutcome::Same]
        );
        assert_eq!(walk.place(), (1, 2));
        assert_eq!(
            typed(&mut walk, "wy"),
            [WalkOutcome::Same, WalkOutcome::Write]
        );
        assert_eq!(
            typed(&mut walk, "??q"),
            [WalkOutcome::Same, WalkOutcome::Same, WalkOutcome::Left]
        );
        assert_eq!(
            typed(&mut walk, "?q"),
            [WalkOutcome::Same, WalkOutcome::Left]
        );
        typed(&mut walk, " w");
        assert!(
            walk.message().contains("nothing is ticked"),
            "{}",
            walk.message()
        );
        let mut empty = SheetWalk::new("");
        typed(&mut empty, " oiljknpu");
        assert_eq!(empty.ticks(), (0, 0));
    }
}
