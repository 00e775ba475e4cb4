//! What one key changes in the line under the cursor: its tick, its kind, its side, its
//! hardware.

use super::{SheetWalk, WalkOutcome};
use crate::import::narration::choices::hardware_near;
use crate::import::narration::heard::HeardKind;
use crate::import::narration::passages::passages;
use crate::import::narration::said_near::{hardware_counted, said_pieces};
use crate::import::narration::sheet::{SheetKind, SheetLine};
use crate::import::narration::typed_line::TypedLine;

const LEFT_OR_RIGHT: [&str; 2] = ["left", "right"];

impl SheetWalk {
    pub(super) fn turn_tick(&mut self) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        self.remember();
        self.sheet.tick(at, !line.is_ticked);
        self.go_on_here();
        WalkOutcome::Changed
    }

    /// Says whether the part came off or was only undone, and ticks the line.
    pub(super) fn say_kind(&mut self, kind: HeardKind) -> WalkOutcome {
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

    /// Says the other side of the part under the cursor, after right none; or, with all `below`
    /// that have a side, the other.
    pub(super) fn turn_sides(&mut self, below: bool) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        if line.kind == SheetKind::Order {
            return self.stay("this line says which came first");
        }
        self.remember();
        self.sheet.turn_side(at, LEFT_OR_RIGHT, !below);
        let others = self.all_lines().into_iter().filter(|(other, line)| {
            below && *other > at && line.kind != SheetKind::Order && self.sheet.has_side(*other)
        });
        let others: Vec<usize> = others.map(|(other, _)| other).collect();
        for other in &others {
            self.sheet.turn_side(*other, LEFT_OR_RIGHT, false);
        }
        if below {
            let lines = if others.len() == 1 { "line" } else { "lines" };
            self.say(format!("and {} {lines} below", others.len()));
        }
        WalkOutcome::Changed
    }

    /// Says front, rear or neither of the part under the cursor.
    pub(super) fn turn_end(&mut self) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        if line.kind == SheetKind::Order {
            return self.stay("this line says which came first");
        }
        self.remember();
        self.sheet.turn_side(at, ["front", "rear"], true);
        WalkOutcome::Changed
    }

    /// Takes the last piece of hardware out of the line under the cursor.
    pub(super) fn drop_hardware(&mut self) -> WalkOutcome {
        let mut sheet = self.sheet.clone();
        let dropped = self.cursor().and_then(|at| sheet.drop_hardware(at));
        let Some(dropped) = dropped else {
            return self.stay("this line has no hardware");
        };
        self.remember();
        self.sheet = sheet;
        self.say(format!("without {dropped}"));
        WalkOutcome::Changed
    }

    /// Takes the hardware of the nearest line for the one under the cursor, and ticks it; at once
    /// again, that of the next nearest instead, and behind all lines what else was counted near
    /// here. A ticked line keeps its hardware too: a left one and a right one have the same.
    pub(super) fn take_hardware(&mut self, taken: Option<usize>) -> WalkOutcome {
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
        let is_in_line = |counted: &String| {
            let of = |(_, line): &(usize, SheetLine)| {
                line.facts.iter().any(|(_, fact)| fact.contains(counted))
            };
            self.all_lines().iter().any(of)
        };
        let counted = hardware_counted(&said_pieces(&self.shown_passage()), &line);
        let counted = counted.into_iter().filter(|counted| !is_in_line(counted));
        let of_line = lines.into_iter().map(|(from, of)| {
            let hardware = self.sheet.hardware(from).unwrap_or_default();
            (Some(from), hardware, format!("the hardware of {of}"))
        });
        let of_talk = counted.map(|counted| (None, counted.clone(), counted));
        let Some((from, hardware, what)) = of_line.chain(of_talk).nth(turn) else {
            self.say("no other hardware was counted near here");
            return match taken {
                Some(_) => WalkOutcome::Changed,
                None => WalkOutcome::Same,
            };
        };
        self.remember();
        self.sheet.set_hardware(at, &hardware);
        let is_kept = |from: &usize| self.sheet.line(*from).is_some_and(|line| line.is_ticked);
        if let Some(from) = from.filter(|from| !is_kept(from)) {
            self.sheet.clear_hardware(from);
        }
        self.sheet.tick(at, true);
        self.passages = passages(&self.sheet);
        self.taken = Some(turn);
        self.say(what);
        WalkOutcome::Changed
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{SHEET, line, typed};
    use super::super::{SheetWalk, WalkOutcome};

    #[test]
    fn hardware_is_taken_from_lines_and_then_from_what_was_said() {
        let mut walk = SheetWalk::new(
            "> 0:00:05 The drum, four screws, bag two.\n\
             [x] 0:00:05 removed: drum | hardware: 1 pin\n\
             [ ] 0:00:06 removed: cap | hardware: 2 nuts\n\
             [x] 0:00:09 removed: cup | hardware: 1 clip\n",
        );
        for (hardware, of_cap) in [
            ("2 nuts", "[ ] 0:00:06 removed: cap"),
            ("1 clip", "[ ] 0:00:06 removed: cap | hardware: 2 nuts"),
            (
                "4 screws, bag 2",
                "[ ] 0:00:06 removed: cap | hardware: 2 nuts",
            ),
        ] {
            typed(&mut walk, "b");
            let expected = format!("[x] 0:00:05 removed: drum | hardware: {hardware}");
            assert_eq!(line(&walk, ": drum"), expected);
            assert_eq!(line(&walk, "cap"), of_cap);
            // What a ticked line has stays there: the other side has the same.
            assert!(line(&walk, "cup").ends_with("hardware: 1 clip"));
        }
        typed(&mut walk, "b");
        assert!(walk.message().starts_with("no other hardware"));
        assert_eq!(
            line(&walk, ": drum"),
            "[x] 0:00:05 removed: drum | hardware: 1 pin"
        );
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
    fn hardware_that_is_not_so_is_dropped() {
        let mut walk = SheetWalk::new(SHEET);
        assert_eq!(
            typed(&mut walk, "BB"),
            [WalkOutcome::Changed, WalkOutcome::Same]
        );
        assert_eq!(line(&walk, "drum"), "[x] 0:00:05 ~ removed: drum");
        typed(&mut walk, "EEu");
        assert_eq!(line(&walk, "drum"), "[x] 0:00:05 ~ removed: drum, front");
    }

    #[test]
    fn a_tick_does_not_leave_the_passage() {
        let mut walk = SheetWalk::new(SHEET);
        typed(&mut walk, "jj  ");
        assert_eq!((walk.place(), walk.cursor()), ((1, 2), Some(7)));
        assert_eq!(line(&walk, "found"), "[ ] 0:00:50 found: shoe, left | worn");
        typed(&mut walk, " ");
        assert_eq!(walk.message(), "the last line of the passage; n goes on");
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
}
