//! A sheet walked passage by passage: where the cursor stands, what each key does to
//! the line under it, and what is undone again.
//!
//! It reads no keys, draws nothing and saves nothing.

use std::borrow::Cow;

use super::choices::{PartChoice, hardware_near, part_choices, twins_of};
use super::draft::DraftContext;
use super::heard::HeardKind;
use super::passages::{SheetPassage, passages};
use super::refusals::{refusal_of, refusals};
use super::sheet::{SheetKind, SheetLine, clock, read_clock, read_narration_sheet};
use super::sheet_text::SheetText;
use super::typed_line::TypedLine;
use crate::handbook::parts::known_part;

/// A key that was pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WalkKey {
    /// A sign.
    Sign(char),
    /// The arrow up.
    Up,
    /// The arrow down.
    Down,
    /// The arrow to the left, or the key for a page back.
    Back,
    /// The arrow to the right, or the key for a page on.
    On,
    /// The key for the beginning.
    Home,
    /// The key for the end.
    End,
    /// Enter.
    Enter,
    /// Escape.
    Escape,
    /// The key that takes the last sign back.
    Rub,
    /// The key that takes all signs back.
    Clear,
    /// The key that takes the last word back.
    RubWord,
    /// The tabulator.
    Tab,
}

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
            context: None,
        };
        walk.passages = passages(&walk.sheet);
        walk.passage = walk.left_passage();
        walk
    }

    /// Says at once of a line that it would be an error in the entry, which is read with this.
    pub fn read_with(&mut self, context: DraftContext) {
        self.context = Some(context);
    }

    /// Why a line of a sheet could not stand in the entry, if it could not.
    fn refusal(&self, sheet: &SheetText, at: usize) -> Option<String> {
        let context = self.context.as_ref()?;
        let number = u32::try_from(at + 1).ok()?;
        let sheet = read_narration_sheet(&sheet.text());
        let date = sheet.head.date.clone().unwrap_or_default();
        refusal_of(&sheet, number, &date, context).map(|refusal| refusal.why)
    }

    /// Puts the cursor on the first line that could not stand in the entry, and says why;
    /// `None` if there is no such line.
    fn go_to_refused(&mut self) -> Option<WalkOutcome> {
        let sheet = read_narration_sheet(&self.sheet.text());
        let date = sheet.head.date.clone().unwrap_or_default();
        let refused = refusals(&sheet, &date, self.context.as_ref()?);
        let first = refused.into_iter().next()?;
        let number = usize::try_from(first.line).ok()?.checked_sub(1)?;
        self.go_to_line(number);
        self.say(format!("{}; e mends it", first.why));
        Some(WalkOutcome::Same)
    }

    /// The passage that the sheet remembers, if it is still there.
    fn left_passage(&self) -> usize {
        let Some(left) = self.sheet.left_at() else {
            return 0;
        };
        let last = self.passages.len().saturating_sub(1);
        let by_number = || left.strip_prefix("passage ")?.trim().parse::<usize>().ok();
        match (read_clock(left.trim()), by_number()) {
            (Some(at), _) => self
                .passages
                .iter()
                .rposition(|passage| passage.from().is_some_and(|from| from <= at))
                .unwrap_or(0),
            (None, Some(number)) => number.saturating_sub(1).min(last),
            (None, None) => 0,
        }
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
        if let (WalkMode::Lines, WalkKey::Sign('b' | 'B')) = (&self.mode, key) {
            return self.take_hardware(taken);
        }
        if let (WalkMode::Lines, WalkKey::Sign('i' | 'I')) = (&self.mode, key) {
            return self.ask_which(is_again);
        }
        match std::mem::replace(&mut self.mode, WalkMode::Lines) {
            WalkMode::Helping => WalkOutcome::Same,
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
                | WalkKey::Tab => {
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
            WalkKey::Sign('e' | 'E') => self.type_line(false),
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

    fn turn_tick(&mut self) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        self.remember();
        self.sheet.tick(at, !line.is_ticked);
        self.go_on();
        WalkOutcome::Changed
    }

    /// Goes to the next line, if there is one.
    fn go_on(&mut self) {
        let is_last = self.passage + 1 >= self.passages.len()
            && self.at + 1 >= self.shown_passage().lines().len();
        if !is_last {
            self.next_line();
        }
    }

    fn line_under_cursor(&self) -> Option<(usize, SheetLine)> {
        let at = self.cursor()?;
        Some((at, self.sheet.line(at)?))
    }

    /// Says whether the part came off or was only undone, and ticks the line.
    fn say_kind(&mut self, kind: HeardKind) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        match line.kind {
            SheetKind::Of(own) if own.is_off() => {}
            // What was found of a part stays, and it came off as well.
            SheetKind::Of(_) => {
                let part = self.sheet.part_said(at).unwrap_or_default();
                let said = format!("{}: {part}", kind.word());
                return self.take_typed(TypedLine::of(&said, true));
            }
            SheetKind::Order => return self.stay("this line says which came first"),
        }
        if line.kind == SheetKind::Of(kind) && line.is_ticked {
            return self.stay(&format!("it says `{}` already", kind.word()));
        }
        self.remember();
        self.sheet.set_kind(at, SheetKind::Of(kind));
        self.sheet.tick(at, true);
        WalkOutcome::Changed
    }

    /// Asks which part "it" was; where there is one other, takes that. At once again, it was
    /// none of them, and all is as before; where there are several, they are asked for anew.
    fn ask_which(&mut self, is_again: bool) -> WalkOutcome {
        if is_again {
            self.undo();
        }
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        if line.kind == SheetKind::Order {
            return self.stay("this line says which came first");
        }
        let passage = self.shown_passage().lines();
        let choices = part_choices((at, &line), &self.all_lines(), &passage);
        match choices.as_slice() {
            [] => self.stay("no other part was spoken of near here"),
            [_] if is_again => {
                self.say(format!("{} as before", line.part));
                WalkOutcome::Changed
            }
            [only] => self.take(&only.clone()),
            [_, ..] => {
                self.mode = WalkMode::Choosing(choices);
                match is_again {
                    true => WalkOutcome::Changed,
                    false => WalkOutcome::Same,
                }
            }
        }
    }

    fn choose(&mut self, key: WalkKey, choices: &[PartChoice]) -> WalkOutcome {
        let number = if let WalkKey::Sign(sign) = key {
            sign.to_digit(10).and_then(|digit| digit.checked_sub(1))
        } else {
            None
        };
        let number = number.and_then(|number| usize::try_from(number).ok());
        if let Some(choice) = number.and_then(|number| choices.get(number)) {
            return self.take(&choice.clone());
        }
        let part = self.line_under_cursor().map(|(_, line)| line.part);
        self.stay(&format!("it stays {}", part.unwrap_or_default()))
    }

    /// Takes a part for the line under the cursor and ticks it. Its own part is not lost: if no
    /// line near has it, one below does, unticked. All other lines stay where they are, but
    /// for those that would say the same as this one: they are folded into it, unless they are
    /// ticked and of another time.
    fn take(&mut self, choice: &PartChoice) -> WalkOutcome {
        let Some((mut at, line)) = self.line_under_cursor() else {
            return WalkOutcome::Same;
        };
        let all = self.all_lines();
        let passage = self.shown_passage().lines();
        let twins = |part: &str| twins_of((at, &line), part, &all, &passage);
        let has_own = !twins(&line.part).is_empty();
        let twins = twins(&choice.part);
        self.remember();
        if !has_own {
            self.sheet.add_bare(at);
        }
        let now = |number: usize| number + usize::from(!has_own && number > at);
        self.sheet.put_part(at, now(choice.line));
        // A hose is undone where a lid is removed: the word goes with the part.
        if let Some((_, twin)) = twins.first() {
            self.sheet.set_kind(at, twin.kind);
        }
        self.sheet.tick(at, true);
        let folded = twins.iter().rev();
        let folded = folded.filter(|(_, twin)| !twin.is_ticked || twin.at == line.at);
        let folded: Vec<usize> = folded.map(|(number, _)| now(*number)).collect();
        for twin in folded {
            self.sheet.fold(twin, at);
            at -= usize::from(twin < at);
        }
        self.passages = passages(&self.sheet);
        self.go_to_line(at);
        self.is_put = true;
        self.say(format!("{} instead of {}", choice.part, line.part));
        WalkOutcome::Changed
    }

    /// Begins to type what the line under the cursor says, or a line below it.
    fn type_line(&mut self, is_new: bool) -> WalkOutcome {
        let Some((at, _)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        let said = self.sheet.said(at).filter(|_| !is_new);
        self.mode = WalkMode::Typing(TypedLine::of(said.unwrap_or_default(), is_new));
        WalkOutcome::Same
    }

    /// Begins to type a line of another kind below, of the same part and with the sentence
    /// that names it, if one does.
    fn add_with_words(&mut self, kind: HeardKind) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        if line.kind == SheetKind::Order {
            return self.stay("this line says which came first");
        }
        let part = self.sheet.part_said(at).unwrap_or_default();
        // Where it lies is seldom said in the sentence that names it.
        let is_told = kind != HeardKind::Stored;
        let words = is_told.then(|| self.shown_passage().sentence_with(&line));
        let words = words.flatten();
        let text = format!("{}: {part} | {}", kind.word(), words.unwrap_or_default());
        self.mode = WalkMode::Typing(TypedLine::of(&text, true));
        WalkOutcome::Same
    }

    fn type_on(&mut self, key: WalkKey, mut typed: TypedLine) -> WalkOutcome {
        match key {
            WalkKey::Sign(sign) => typed.put(sign),
            WalkKey::Rub => typed.rub(),
            WalkKey::RubWord => typed.rub_word(),
            WalkKey::Clear => typed.clear(),
            WalkKey::Tab if typed.text().is_empty() => {
                let part = self.cursor().and_then(|at| self.sheet.part_said(at));
                let part = part.unwrap_or_default();
                typed = TypedLine::of(&format!("found: {part} | "), typed.is_new);
            }
            WalkKey::Tab => typed.turn_kind(),
            WalkKey::Back => typed.back(),
            WalkKey::On => typed.on(),
            WalkKey::Home => typed.home(),
            WalkKey::End => typed.end(),
            WalkKey::Enter => return self.take_typed(typed),
            WalkKey::Escape => return self.stay("the line stays as it is"),
            WalkKey::Up | WalkKey::Down => {}
        }
        self.mode = WalkMode::Typing(typed);
        WalkOutcome::Same
    }

    /// Says the other side of the part under the cursor, after right none; or, with all `below`
    /// that have a side, the other.
    fn turn_sides(&mut self, below: bool) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        if line.kind == SheetKind::Order {
            return self.stay("this line says which came first");
        }
        self.remember();
        self.sheet.turn_side(at, !below);
        let others = self.all_lines().into_iter().filter(|(other, line)| {
            below && *other > at && line.kind != SheetKind::Order && self.sheet.has_side(*other)
        });
        let others: Vec<usize> = others.map(|(other, _)| other).collect();
        for other in &others {
            self.sheet.turn_side(*other, false);
        }
        if below {
            let lines = if others.len() == 1 { "line" } else { "lines" };
            self.say(format!("and {} {lines} below", others.len()));
        }
        WalkOutcome::Changed
    }

    /// Goes to the next ticked line.
    fn next_tick(&mut self) -> WalkOutcome {
        let mut passages = self.passages.iter().enumerate().skip(self.passage);
        let next = passages.find_map(|(number, passage)| {
            let lines = passage.lines().into_iter().enumerate();
            let mut lines = lines.filter(|(_, at)| {
                let line = self.sheet.line(*at);
                line.is_some_and(|line| line.is_ticked)
            });
            let is_on = |place: usize| number > self.passage || place > self.at;
            lines
                .find(|(place, _)| is_on(*place))
                .map(|(place, _)| (number, place))
        });
        let Some((passage, at)) = next else {
            return self.stay("no ticked line follows; w writes the entry, q leaves");
        };
        let outcome = match passage == self.passage {
            true => WalkOutcome::Same,
            false => WalkOutcome::Changed,
        };
        (self.passage, self.at) = (passage, at);
        outcome
    }

    fn take_typed(&mut self, typed: TypedLine) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return WalkOutcome::Same;
        };
        let mut sheet = self.sheet.clone();
        let text = typed.text();
        let said = text.trim().trim_end_matches('|').trim_end();
        let taken = match typed.is_new {
            true => sheet.add_said(at, &with_kind(said, &line.part)),
            false => sheet.set_said(at, said),
        };
        if taken.is_none() {
            self.say("not understood: write it as `removed: grille, left | hardware: 2 nuts`");
            self.mode = WalkMode::Typing(typed);
            return WalkOutcome::Same;
        }
        if let Some(why) = self.refusal(&sheet, at + usize::from(typed.is_new)) {
            self.say(why);
            self.mode = WalkMode::Typing(typed);
            return WalkOutcome::Same;
        }
        self.remember();
        self.sheet = sheet;
        self.passages = passages(&self.sheet);
        self.at += usize::from(typed.is_new);
        WalkOutcome::Changed
    }

    /// Takes the hardware of the nearest line for the one under the cursor, and ticks it;
    /// at once again, that of the next nearest instead.
    fn take_hardware(&mut self, taken: Option<usize>) -> WalkOutcome {
        let turn = match taken {
            Some(turn) => {
                self.undo();
                turn + 1
            }
            None => 0,
        };
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        let lines = hardware_near((at, &line), &self.all_lines());
        let Some((from, of)) = lines.into_iter().nth(turn) else {
            self.say("no other hardware was counted near here");
            return match taken {
                Some(_) => WalkOutcome::Changed,
                None => WalkOutcome::Same,
            };
        };
        self.remember();
        self.sheet.move_hardware(from, at);
        self.sheet.tick(at, true);
        self.passages = passages(&self.sheet);
        self.taken = Some(turn);
        self.say(format!("the hardware of {of}"));
        WalkOutcome::Changed
    }

    fn next_line(&mut self) -> WalkOutcome {
        let count = self.shown_passage().lines().len();
        if self.at + 1 < count {
            self.at += 1;
            return WalkOutcome::Same;
        }
        self.go_to_passage(self.passage + 1)
    }

    fn previous_line(&mut self) -> WalkOutcome {
        if let Some(before) = self.at.checked_sub(1) {
            self.at = before;
            return WalkOutcome::Same;
        }
        let Some(before) = self.passage.checked_sub(1) else {
            return self.stay("this is the first line");
        };
        let step = self.go_to_passage(before);
        self.at = self.shown_passage().lines().len().saturating_sub(1);
        step
    }

    /// Goes to a passage. The sheet remembers it, so the text is another.
    fn go_to_passage(&mut self, passage: usize) -> WalkOutcome {
        if passage >= self.passages.len() {
            return self.stay("this is the last passage; w writes the entry, q leaves");
        }
        let is_same = self.passage == passage;
        (self.passage, self.at) = (passage, 0);
        match is_same {
            true => WalkOutcome::Same,
            false => WalkOutcome::Changed,
        }
    }

    /// Puts the cursor on the line of this number, from 0.
    fn go_to_line(&mut self, number: usize) {
        let mut passages = self.passages.iter().enumerate();
        let place = passages.find_map(|(passage, own)| {
            let at = own.lines().iter().position(|line| *line == number)?;
            Some((passage, at))
        });
        (self.passage, self.at) = place.unwrap_or((self.passage, self.at));
    }

    /// Keeps the cursor inside the sheet.
    fn settle(&mut self) {
        self.passage = self.passage.min(self.passages.len().saturating_sub(1));
        let lines = self.shown_passage().lines().len();
        self.at = self.at.min(lines.saturating_sub(1));
    }
}

/// What was typed, with what it says of a part that was typed alone: it came off, or was
/// undone, whichever is usual; and on the side of the part beside it, if that has one.
fn with_kind<'s>(said: &'s str, beside: &str) -> Cow<'s, str> {
    let part = said.split('|').next().unwrap_or_default();
    if said.is_empty() || part.contains(':') {
        return Cow::Borrowed(said);
    }
    let (name, sides) = part.split_once(',').unwrap_or((part, ""));
    let kind = match known_part(name).is_some_and(|known| known.comes_undone) {
        true => HeardKind::Undone,
        false => HeardKind::Removed,
    };
    let (_, beside) = beside.split_once(',').unwrap_or_default();
    let side = match sides.is_empty() && !beside.is_empty() {
        true => format!("{},{beside}", name.trim_end()),
        false => part.to_owned(),
    };
    let rest = &said[part.len()..];
    Cow::Owned(format!("{}: {side}{rest}", kind.word()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::Context;
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;

    const SHEET: &str = "# What was said: 1 of 5 lines ticked.\nvehicle: wren\n\n\
        # A 0:00:05-0:01:00\n> 0:00:05 There it goes, the pin.\n\
        [x] 0:00:05 ~ removed: drum | hardware: 2 nuts\n\
        [ ] 0:00:06 removed: pin | new\n\
        [ ] 0:00:50 found: shoe, left | worn\n\n\
        # A 0:02:05-0:03:00\n> 0:02:05 The rest.\n\
        [ ] 0:02:06 removed: lid\n\
        [ ] first: lid | before: box\n";

    fn typed(walk: &mut SheetWalk, keys: &str) -> Vec<WalkOutcome> {
        keys.chars()
            .map(|sign| walk.press(WalkKey::Sign(sign)))
            .collect()
    }

    fn line(walk: &SheetWalk, part: &str) -> String {
        let text = walk.text();
        let line = text.lines().find(|line| line.contains(part));
        line.unwrap_or_default().to_owned()
    }

    #[test]
    fn hardware_goes_to_the_line_that_takes_it() {
        let sheet = SHEET.replace(
            "worn\n",
            "worn\n[ ] 0:00:20 removed: cup | hardware: 1 clip\n",
        );
        let mut walk = SheetWalk::new(&sheet);
        typed(&mut walk, "jb");
        assert_eq!(
            line(&walk, "pin | "),
            "[x] 0:00:06 removed: pin | hardware: 2 nuts | new"
        );
        assert_eq!(line(&walk, "drum"), "[x] 0:00:05 ~ removed: drum");
        // At once again: the next nearest instead.
        typed(&mut walk, "b");
        assert_eq!(
            line(&walk, "pin | "),
            "[x] 0:00:06 removed: pin | hardware: 1 clip | new"
        );
        assert_eq!(
            line(&walk, "drum"),
            "[x] 0:00:05 ~ removed: drum | hardware: 2 nuts"
        );
        typed(&mut walk, "b");
        assert!(walk.message().starts_with("no other hardware"));
        assert_eq!(
            walk.text()
                .replace("# Left at 0:00:05\n", "")
                .lines()
                .count(),
            sheet.lines().count()
        );
        assert_eq!(line(&walk, "pin | "), "[ ] 0:00:06 removed: pin | new");
    }

    #[test]
    fn keys_change_the_line_under_the_cursor_alone() {
        let mut walk = SheetWalk::new(SHEET);
        // The tick goes on to the next line.
        let steps = typed(&mut walk, " l");
        assert_eq!(steps, [WalkOutcome::Changed, WalkOutcome::Changed]);
        assert_eq!(
            line(&walk, "drum"),
            "[ ] 0:00:05 ~ removed: drum | hardware: 2 nuts"
        );
        assert_eq!(line(&walk, "pin | new"), "[x] 0:00:06 undone: pin | new");
        // Below a line of another kind stands one that says it.
        typed(&mut walk, "jo");
        assert_eq!(
            line(&walk, "removed: shoe"),
            "[x] 0:00:50 removed: shoe, left"
        );
        assert_eq!(line(&walk, "found"), "[ ] 0:00:50 found: shoe, left | worn");
        typed(&mut walk, "uuu");
        let text = walk.text();
        assert_eq!(text.replace("# Left at 0:00:05\n", ""), SHEET);
    }

    #[test]
    fn it_was_another_part_and_neither_is_lost() {
        let mut walk = SheetWalk::new(SHEET);
        assert_eq!(typed(&mut walk, "i"), [WalkOutcome::Same]);
        let WalkMode::Choosing(choices) = walk.mode().clone() else {
            panic!("{:?}", walk.mode());
        };
        let parts: Vec<&str> = choices.iter().map(|choice| choice.part.as_str()).collect();
        assert_eq!(parts, ["pin", "shoe, left"]);
        assert_eq!(typed(&mut walk, "1"), [WalkOutcome::Changed]);
        assert_eq!(
            line(&walk, "pin |"),
            "[x] 0:00:05 ~ removed: pin | hardware: 2 nuts | new"
        );
        assert_eq!(line(&walk, ": drum"), "[ ] 0:00:05 removed: drum");
        // A part of which only something else is said: a line for the one that it was not.
        typed(&mut walk, "ui2");
        assert_eq!(
            line(&walk, "removed: shoe"),
            "[x] 0:00:05 ~ removed: shoe, left | hardware: 2 nuts"
        );
        assert_eq!(line(&walk, ": drum"), "[ ] 0:00:05 removed: drum");
        assert_eq!(line(&walk, "found"), "[ ] 0:00:50 found: shoe, left | worn");
        // The word goes with the part, as a hose is undone where a drum is removed.
        let hose = SHEET.replace("removed: pin", "undone: hose");
        let mut other = SheetWalk::new(&hose);
        typed(&mut other, "i1");
        assert_eq!(
            line(&other, "hose"),
            "[x] 0:00:05 ~ undone: hose | hardware: 2 nuts | new"
        );
        assert_eq!(line(&other, ": drum"), "[ ] 0:00:05 removed: drum");
        // Any other key leaves the part alone.
        assert_eq!(
            typed(&mut walk, "ix"),
            [WalkOutcome::Changed, WalkOutcome::Same]
        );
        assert_eq!(walk.message(), "it stays drum");
        // With one other part near, one key takes it.
        assert_eq!(
            typed(&mut walk, "ni"),
            [WalkOutcome::Changed, WalkOutcome::Same]
        );
        assert!(
            walk.message().contains("no other part"),
            "{}",
            walk.message()
        );
    }

    #[test]
    fn lines_keep_their_order_and_no_line_stands_twice() {
        let sheet = "[ ] 0:00:05 removed: drum | hardware: 2 nuts\n\
            [ ] 0:00:06 removed: hub\n\
            [x] 0:00:07 removed: shoe\n\
            [ ] 0:00:08 removed: pin | hardware: 1 clip | new\n";
        let lines = |walk: &SheetWalk| -> Vec<String> {
            let text = walk.text();
            let lines = text.lines().filter(|line| line.starts_with('['));
            lines.map(|line| line.replace("0:00:0", "")).collect()
        };
        let mut walk = SheetWalk::new(sheet);
        typed(&mut walk, "i2");
        let expected = [
            "[x] 5 removed: pin | hardware: 2 nuts; 1 clip | new",
            "[ ] 5 removed: drum",
            "[ ] 6 removed: hub",
            "[x] 7 removed: shoe",
        ];
        assert_eq!(lines(&walk), expected);
        // At once again, it is asked of the line as it was.
        typed(&mut walk, "i1");
        let expected = [
            "[x] 5 removed: hub | hardware: 2 nuts",
            "[ ] 5 removed: drum",
            "[x] 7 removed: shoe",
            "[ ] 8 removed: pin | hardware: 1 clip | new",
        ];
        assert_eq!(lines(&walk), expected);
        // A part that has a line near needs no other; the cursor stays on its line.
        typed(&mut walk, "jjji");
        let WalkMode::Choosing(choices) = walk.mode().clone() else {
            panic!("{:?}", walk.mode());
        };
        let drum = choices.iter().position(|choice| choice.part == "drum");
        typed(&mut walk, &format!("{}", drum.unwrap_or(8) + 1));
        let expected = [
            "[x] 5 removed: hub | hardware: 2 nuts",
            "[x] 7 removed: shoe",
            "[x] 8 removed: drum | hardware: 1 clip",
            "[ ] 8 removed: pin | new",
        ];
        assert_eq!(lines(&walk), expected);
        let under = walk.cursor().map(|at| walk.line_text(at).to_owned());
        assert!(under.is_some_and(|line| line.contains("drum")));
        // With one other part, the key takes it and gives it back.
        let sheet = "[ ] removed: drum\n[ ] removed: hub\n";
        let mut walk = SheetWalk::new(sheet);
        typed(&mut walk, "i");
        assert_eq!(lines(&walk), ["[x] removed: hub", "[ ] removed: drum"]);
        typed(&mut walk, "i");
        assert_eq!(lines(&walk), ["[ ] removed: drum", "[ ] removed: hub"]);
    }

    #[test]
    fn what_was_said_of_a_part_is_added_with_one_key() {
        let mut walk = SheetWalk::new(SHEET);
        typed(&mut walk, "jf");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        assert_eq!(
            line(&walk, "found: pin"),
            "[x] 0:00:06 found: pin | There it goes, the pin"
        );
        // No sentence names the drum.
        typed(&mut walk, "kkmnew one");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        assert_eq!(line(&walk, "needs"), "[x] 0:00:05 needs: drum | new one");
    }

    #[test]
    fn a_line_that_the_entry_could_not_say_is_not_taken() {
        let mut walk = SheetWalk::new(&SHEET.replace("removed: pin", "removed: two pins"));
        walk.read_with(DraftContext {
            journal: Context {
                systems: Vec::new(),
                vehicles: Vec::new(),
                currency: Currency::EUR,
            },
            vehicle: "wren".to_owned(),
            names: Vec::new(),
            driven: Driven::Left,
        });
        typed(&mut walk, "aneeds: 2 brake pipes");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Same);
        assert!(
            walk.message().contains("two readings"),
            "{}",
            walk.message()
        );
        assert!(matches!(walk.mode(), WalkMode::Typing(_)));
        walk.press(WalkKey::Clear);
        typed(&mut walk, "needs: brake pipe | 2 of them");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        // One that is ticked is said at once, and again before the entry is written.
        typed(&mut walk, "j ");
        assert!(walk.message().ends_with("e mends it"), "{}", walk.message());
        typed(&mut walk, "kkw");
        assert_eq!(*walk.mode(), WalkMode::Lines);
        assert!(walk.message().contains("two pins"), "{}", walk.message());
        let under = walk.cursor().map(|at| walk.line_text(at).to_owned());
        assert_eq!(
            under.as_deref(),
            Some("[x] 0:00:06 removed: two pins | new")
        );
        typed(&mut walk, " w");
        assert_eq!(*walk.mode(), WalkMode::Confirming);
    }

    #[test]
    fn a_line_is_written_anew_or_added() {
        let mut walk = SheetWalk::new(SHEET);
        typed(&mut walk, "e");
        let WalkMode::Typing(line_typed) = walk.mode().clone() else {
            panic!("{:?}", walk.mode());
        };
        assert_eq!(line_typed.text(), "removed: drum | hardware: 2 nuts");
        // What is not understood is not taken, and stays to be mended.
        walk.press(WalkKey::Clear);
        typed(&mut walk, "drum off");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Same);
        assert!(walk.message().starts_with("not understood"));
        assert!(matches!(walk.mode(), WalkMode::Typing(_)));
        walk.press(WalkKey::Clear);
        typed(&mut walk, "removed: drum, leftt");
        walk.press(WalkKey::Rub);
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        assert_eq!(line(&walk, "drum"), "[x] 0:00:05 ~ removed: drum, left");
        // One more line of the part that stands above.
        typed(&mut walk, "a");
        walk.press(WalkKey::Tab);
        walk.press(WalkKey::Tab);
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        assert_eq!(line(&walk, "needs"), "[x] 0:00:05 needs: drum, left");
        // A part alone came off, or was undone.
        for part in ["tin cover, right", "choke cable"] {
            typed(&mut walk, "a");
            typed(&mut walk, part);
            assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        }
        assert_eq!(line(&walk, "tin"), "[x] 0:00:05 removed: tin cover, right");
        // It is on the side of the line above, unless another is typed.
        assert_eq!(
            line(&walk, "choke"),
            "[x] 0:00:05 undone: choke cable, right"
        );
        assert_eq!(walk.cursor(), Some(8));
        typed(&mut walk, "euu");
        walk.press(WalkKey::Escape);
        assert_eq!(line(&walk, "needs"), "[x] 0:00:05 needs: drum, left");
        typed(&mut walk, "uuuu");
        assert_eq!(walk.text().replace("# Left at 0:00:05\n", ""), SHEET);
        // The last line of a file may have no end.
        let mut walk = SheetWalk::new("[ ] removed: lid");
        typed(&mut walk, "a");
        walk.press(WalkKey::Tab);
        typed(&mut walk, "bent");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        let text = walk.text();
        assert!(
            text.contains("[ ] removed: lid\n[x] found: lid | bent"),
            "{text}"
        );
    }

    #[test]
    fn sides_are_turned_here_or_from_here_on() {
        let mut walk = SheetWalk::new(SHEET);
        typed(&mut walk, "s");
        assert_eq!(
            line(&walk, "drum"),
            "[x] 0:00:05 ~ removed: drum, left | hardware: 2 nuts"
        );
        typed(&mut walk, "S");
        assert_eq!(
            line(&walk, "drum"),
            "[x] 0:00:05 ~ removed: drum, right | hardware: 2 nuts"
        );
        assert_eq!(line(&walk, "shoe"), "[ ] 0:00:50 found: shoe, right | worn");
        assert_eq!(line(&walk, "pin |"), "[ ] 0:00:06 removed: pin | new");
        assert_eq!(walk.message(), "and 1 line below");
        // After right no side.
        typed(&mut walk, "s");
        assert_eq!(
            line(&walk, "drum"),
            "[x] 0:00:05 ~ removed: drum | hardware: 2 nuts"
        );
        typed(&mut walk, "uuu");
        assert_eq!(walk.text().replace("# Left at 0:00:05\n", ""), SHEET);
        let mut walk =
            SheetWalk::new("[ ] fitted: hub, left front\n[ ] first: hub | before: pin\n");
        typed(&mut walk, "sjs");
        assert_eq!(line(&walk, "fitted"), "[ ] fitted: hub, right front");
        assert!(walk.message().contains("came first"));
    }

    #[test]
    fn the_tabulator_goes_to_the_next_tick() {
        let sheet = SHEET.replace("[ ] 0:02:06", "[x] 0:02:06");
        let mut walk = SheetWalk::new(&sheet);
        assert_eq!(walk.press(WalkKey::Tab), WalkOutcome::Changed);
        assert_eq!((walk.place(), walk.cursor()), ((2, 2), Some(11)));
        assert_eq!(walk.press(WalkKey::Tab), WalkOutcome::Same);
        assert!(walk.message().starts_with("no ticked line follows"));
    }

    #[test]
    fn hardware_that_both_lines_have_was_counted_once() {
        let sheet = SHEET.replace(
            "removed: pin | new",
            "removed: pin | hardware: 2 nuts | new",
        );
        let mut walk = SheetWalk::new(&sheet);
        typed(&mut walk, "jb");
        assert_eq!(
            line(&walk, "pin | "),
            "[x] 0:00:06 removed: pin | hardware: 2 nuts | new"
        );
    }

    #[test]
    fn the_sheet_remembers_the_passage() {
        let mut walk = SheetWalk::new(SHEET);
        assert_eq!(walk.place(), (1, 2));
        assert_eq!(
            typed(&mut walk, "jjj"),
            [WalkOutcome::Same, WalkOutcome::Same, WalkOutcome::Changed]
        );
        assert_eq!(walk.place(), (2, 2));
        let again = SheetWalk::new(&walk.text());
        assert_eq!(again.place(), (2, 2));
        assert_eq!(again.text(), walk.text());
        walk.press(WalkKey::Up);
        assert_eq!(walk.cursor(), Some(7));
        assert_eq!(SheetWalk::new(&walk.text()).place(), (1, 2));
        walk.take_text("[x] removed: lid\n");
        assert_eq!((walk.place(), walk.cursor()), ((1, 1), Some(0)));
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
            typed(&mut walk, "?qq"),
            [WalkOutcome::Same, WalkOutcome::Same, WalkOutcome::Left]
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
