//! Where the cursor stands in a walked sheet, and where it goes.

use super::{SheetWalk, WalkOutcome};
use crate::import::narration::passages::SheetPassage;
use crate::import::narration::sheet::{SheetLine, read_clock};

impl SheetWalk {
    /// The passage that the sheet remembers, if it is still there.
    pub(super) fn left_passage(&self) -> usize {
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

    pub(super) fn line_under_cursor(&self) -> Option<(usize, SheetLine)> {
        let at = self.cursor()?;
        Some((at, self.sheet.line(at)?))
    }

    /// Goes to the next line of the passage, if there is one.
    pub(super) fn go_on_here(&mut self) {
        if self.at + 1 < self.shown_passage().lines().len() {
            self.at += 1;
        } else if self.passage + 1 < self.passages.len() {
            self.say("the last line of the passage; n goes on");
        }
    }

    pub(super) fn next_line(&mut self) -> WalkOutcome {
        let count = self.shown_passage().lines().len();
        if self.at + 1 < count {
            self.at += 1;
            return WalkOutcome::Same;
        }
        self.go_to_passage(self.passage + 1)
    }

    pub(super) fn previous_line(&mut self) -> WalkOutcome {
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

    /// Goes to the next ticked line.
    pub(super) fn next_tick(&mut self) -> WalkOutcome {
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

    /// Goes back to the last ticked line.
    pub(super) fn earlier_tick(&mut self) -> WalkOutcome {
        let is_ticked = |at: &usize| self.sheet.line(*at).is_some_and(|line| line.is_ticked);
        let here = self.cursor();
        let lines = self.passages.iter().take(self.passage + 1);
        let lines = lines.flat_map(SheetPassage::lines);
        let earlier = lines.take_while(|at| Some(*at) != here).filter(is_ticked);
        let Some(earlier) = earlier.last() else {
            return self.stay("no ticked line stands before this one");
        };
        let passage = self.passage;
        self.go_to_line(earlier);
        match passage == self.passage {
            true => WalkOutcome::Same,
            false => WalkOutcome::Changed,
        }
    }

    /// Goes to a passage. The sheet remembers it, so the text is another.
    pub(super) fn go_to_passage(&mut self, passage: usize) -> WalkOutcome {
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

    /// Puts the cursor on a line that is not on the screen.
    pub fn stand_on(&mut self, number: usize) -> WalkOutcome {
        // The next key is not the last one at once again.
        self.taken = None;
        self.is_put = false;
        self.go_to_line(number);
        self.stay("")
    }

    /// Puts the cursor on the line of this number, from 0.
    pub(super) fn go_to_line(&mut self, number: usize) {
        let mut passages = self.passages.iter().enumerate();
        let place = passages.find_map(|(passage, own)| {
            let at = own.lines().iter().position(|line| *line == number)?;
            Some((passage, at))
        });
        (self.passage, self.at) = place.unwrap_or((self.passage, self.at));
    }

    /// Keeps the cursor inside the sheet.
    pub(super) fn settle(&mut self) {
        self.passage = self.passage.min(self.passages.len().saturating_sub(1));
        let lines = self.shown_passage().lines().len();
        self.at = self.at.min(lines.saturating_sub(1));
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{SHEET, typed};
    use super::super::{SheetWalk, WalkKey, WalkOutcome};

    #[test]
    fn the_tabulator_goes_to_the_next_tick() {
        let sheet = SHEET.replace("[ ] 0:02:06", "[x] 0:02:06");
        let mut walk = SheetWalk::new(&sheet);
        assert_eq!(walk.press(WalkKey::Tab), WalkOutcome::Changed);
        assert_eq!((walk.place(), walk.cursor()), ((2, 2), Some(11)));
        assert_eq!(walk.press(WalkKey::Tab), WalkOutcome::Same);
        assert!(walk.message().starts_with("no ticked line follows"));
        assert_eq!(walk.press(WalkKey::BackTab), WalkOutcome::Changed);
        assert_eq!((walk.place(), walk.cursor()), ((1, 2), Some(5)));
        assert_eq!(walk.press(WalkKey::BackTab), WalkOutcome::Same);
        assert!(walk.message().starts_with("no ticked line stands before"));
    }

    #[test]
    fn a_key_behind_a_turned_page_is_not_at_once_again() {
        let mut walk = SheetWalk::new(SHEET);
        typed(&mut walk, "jb");
        walk.stand_on(7);
        typed(&mut walk, "b");
        assert!(
            walk.text().contains("shoe, left | worn | hardware: 2 nuts"),
            "{}",
            walk.text()
        );
        // The pin stays ticked: nothing was undone.
        assert!(walk.text().contains("[x] 0:00:06 removed: pin"));
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
}
