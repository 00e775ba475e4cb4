//! Which part "it" was: another is put into the line under the cursor.
//!
//! Which parts come into question is in `choices`.

use super::{SheetWalk, WalkKey, WalkMode, WalkOutcome};
use crate::import::narration::choices::{PartChoice, part_choices, twins_of};
use crate::import::narration::passages::passages;
use crate::import::narration::said_near::{parts_named, said_pieces};
use crate::import::narration::sheet::SheetKind;

impl SheetWalk {
    /// Asks which part "it" was; where there is one other, takes that. At once again, it was
    /// none of them, and all is as before; where there are several, they are asked for anew.
    pub(super) fn ask_which(&mut self, is_again: bool) -> WalkOutcome {
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
        let pieces = said_pieces(&self.shown_passage());
        let context = self.context.as_ref();
        let names: &[String] = context.map_or(&[], |context| &context.names);
        let named = parts_named(&pieces, &line, names);
        let choices = part_choices((at, &line), &self.all_lines(), &passage, named);
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

    /// Takes the part of this number. Any other key leaves the part, and does what it does.
    pub(super) fn choose(&mut self, key: WalkKey, choices: &[PartChoice]) -> WalkOutcome {
        let number = if let WalkKey::Sign(sign) = key {
            sign.to_digit(10).and_then(|digit| digit.checked_sub(1))
        } else {
            None
        };
        let choice = number.and_then(|number| usize::try_from(number).ok());
        let choice = choice.and_then(|choice| choices.get(choice));
        if let Some(choice) = choice {
            return self.take(&choice.clone());
        }
        if number.is_none() && key != WalkKey::Escape {
            return self.act(key);
        }
        let part = self.line_under_cursor().map(|(_, line)| line.part);
        self.stay(&format!("it stays {}", part.unwrap_or_default()))
    }

    /// Takes a part for the line under the cursor and ticks it. All other lines stay where they
    /// are, but for those that would say the same as this one: they are folded into it, unless
    /// they are ticked and of another time.
    pub(super) fn take(&mut self, choice: &PartChoice) -> WalkOutcome {
        let Some((mut at, line)) = self.line_under_cursor() else {
            return WalkOutcome::Same;
        };
        let all = self.all_lines();
        let passage = self.shown_passage().lines();
        let twins = twins_of((at, &line), &choice.part, &all, &passage);
        self.remember();
        match choice.line {
            Some(number) => self.sheet.put_part(at, number),
            None => self.sheet.name_part(at, &choice.part),
        }
        // A hose is undone where a lid is removed: the word goes with the part.
        if let Some((_, twin)) = twins.first() {
            self.sheet.set_kind(at, twin.kind);
        }
        self.sheet.tick(at, true);
        let folded = twins.iter().rev();
        let folded = folded.filter(|(_, twin)| !twin.is_ticked || twin.at == line.at);
        let folded: Vec<usize> = folded.map(|(number, _)| *number).collect();
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
}

#[cfg(test)]
mod tests {
    use super::super::tests::{SHEET, line, typed};
    use super::super::{SheetWalk, WalkMode, WalkOutcome};

    #[test]
    fn it_was_another_part() {
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
        assert_eq!(line(&walk, ": drum"), "");
        // A part of which only something else is said.
        typed(&mut walk, "ui2");
        assert_eq!(
            line(&walk, "removed: shoe"),
            "[x] 0:00:05 ~ removed: shoe, left | hardware: 2 nuts"
        );
        assert_eq!(line(&walk, "found"), "[ ] 0:00:50 found: shoe, left | worn");
        // The word goes with the part, as a hose is undone where a drum is removed.
        let hose = SHEET.replace("removed: pin", "undone: hose");
        let mut other = SheetWalk::new(&hose);
        typed(&mut other, "i1");
        assert_eq!(
            line(&other, "hose"),
            "[x] 0:00:05 ~ undone: hose | hardware: 2 nuts | new"
        );
        // Any other key leaves the part alone, and does what it does.
        assert_eq!(
            typed(&mut walk, "i9"),
            [WalkOutcome::Changed, WalkOutcome::Same]
        );
        assert_eq!(walk.message(), "it stays drum");
        let at = walk.cursor();
        typed(&mut walk, "ij");
        assert_eq!(walk.cursor(), at.map(|at| at + 1));
        typed(&mut walk, "k");
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
            "[ ] 6 removed: hub",
            "[x] 7 removed: shoe",
        ];
        assert_eq!(lines(&walk), expected);
        // At once again, it is asked of the line as it was.
        typed(&mut walk, "i1");
        let expected = [
            "[x] 5 removed: hub | hardware: 2 nuts",
            "[x] 7 removed: shoe",
            "[ ] 8 removed: pin | hardware: 1 clip | new",
        ];
        assert_eq!(lines(&walk), expected);
        // With one other part, the key takes it and gives it back.
        let sheet = "[ ] removed: drum\n[ ] removed: hub\n";
        let mut walk = SheetWalk::new(sheet);
        typed(&mut walk, "i");
        assert_eq!(lines(&walk), ["[x] removed: hub"]);
        typed(&mut walk, "i");
        assert_eq!(lines(&walk), ["[ ] removed: drum", "[ ] removed: hub"]);
    }
    #[test]
    fn it_was_a_part_that_was_only_named() {
        let mut walk = SheetWalk::new(
            "> 0:00:05 The return springs, pliers, off.\n[ ] 0:00:06 removed: springs, left | new\n",
        );
        typed(&mut walk, "i");
        assert_eq!(
            line(&walk, "removed"),
            "[x] 0:00:06 removed: return springs, left"
        );
    }
}
