//! A line of a walked sheet that is typed, and taken once it is understood.
//!
//! Where the next sign goes is in `typed_line`.

use std::borrow::Cow;

use super::{SheetWalk, WalkKey, WalkMode, WalkOutcome};
use crate::handbook::parts::known_part;
use crate::import::narration::choices::NEAR;
use crate::import::narration::continuation::continuation;
use crate::import::narration::heard::HeardKind;
use crate::import::narration::passages::passages;
use crate::import::narration::said_near::{about, said_pieces};
use crate::import::narration::sheet::{SheetKind, SheetLine};
use crate::import::narration::typed_line::TypedLine;

impl SheetWalk {
    /// Begins to type what the line under the cursor says, or a line below it.
    pub(super) fn type_line(&mut self, is_new: bool) -> WalkOutcome {
        let Some((at, _)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        let typed = match is_new {
            true => TypedLine::of("", true),
            false => TypedLine::at_name(self.sheet.said(at).unwrap_or_default()),
        };
        self.told = None;
        self.mode = WalkMode::Typing(typed);
        WalkOutcome::Same
    }

    /// Begins to type a line of another kind below, of the same part and with the sentence
    /// that names it, if one does.
    pub(super) fn add_with_words(&mut self, kind: HeardKind) -> WalkOutcome {
        let Some((at, line)) = self.line_under_cursor() else {
            return self.stay("no line stands in this passage");
        };
        if line.kind == SheetKind::Order {
            return self.stay("this line says which came first");
        }
        let part = self.sheet.part_said(at).unwrap_or_default();
        let pieces = said_pieces(&self.shown_passage());
        let told = about(&pieces, &line);
        let place = (kind == HeardKind::Stored).then(|| place_near(&line, &self.all_lines()));
        let said = || pieces.get(told).map(|piece| piece.words.clone());
        let words = place.flatten().or_else(said);
        let text = format!("{}: {part} | {}", kind.word(), words.unwrap_or_default());
        self.told = Some(told);
        self.mode = WalkMode::Typing(TypedLine::of(&text, true));
        WalkOutcome::Same
    }

    /// Puts the next sentence of the talk, or the one before, into the line that is typed.
    fn tell_another(&mut self, typed: &mut TypedLine, is_on: bool) {
        let Some((_, line)) = self.line_under_cursor() else {
            return;
        };
        let pieces = said_pieces(&self.shown_passage());
        let told = match (self.told, is_on) {
            (None, _) => about(&pieces, &line),
            (Some(told), true) => told + 1,
            (Some(told), false) => told.saturating_sub(1),
        };
        if let Some(piece) = pieces.get(told) {
            typed.say(&piece.words);
            self.told = Some(told);
        }
    }

    /// What may follow upon what is typed: the rest of a part's name or of a word of the talk.
    #[must_use]
    pub fn offer(&self) -> Option<String> {
        match &self.mode {
            WalkMode::Typing(typed) => self.offer_for(typed),
            WalkMode::Lines | WalkMode::Choosing(_) | WalkMode::Confirming | WalkMode::Helping => {
                None
            }
        }
    }

    fn offer_for(&self, typed: &TypedLine) -> Option<String> {
        let (before, behind) = typed.around();
        let (at, line) = self.line_under_cursor()?;
        let mut lines = self.all_lines();
        lines.sort_by_key(|(other, _)| other.abs_diff(at));
        let parts: Vec<String> = lines.into_iter().map(|(_, line)| line.part).collect();
        let said = self.shown_passage().words_from(&line);
        let offered = continuation(before, &parts, &said);
        offered.filter(|_| behind.is_empty())
    }

    pub(super) fn type_on(&mut self, key: WalkKey, mut typed: TypedLine) -> WalkOutcome {
        let offered = self.offer_for(&typed);
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
            WalkKey::Tab => typed.turn_kind(false),
            WalkKey::BackTab => typed.turn_kind(true),
            WalkKey::Back => typed.back(),
            WalkKey::On => match offered {
                Some(offered) => offered.chars().for_each(|sign| typed.put(sign)),
                None => typed.on(),
            },
            WalkKey::Home => typed.home(),
            WalkKey::End => typed.end(),
            WalkKey::Enter => return self.take_typed(typed),
            WalkKey::Escape => return self.stay("the line stays as it is"),
            WalkKey::Up => self.tell_another(&mut typed, false),
            WalkKey::Down => self.tell_another(&mut typed, true),
        }
        self.mode = WalkMode::Typing(typed);
        WalkOutcome::Same
    }

    pub(super) fn take_typed(&mut self, typed: TypedLine) -> WalkOutcome {
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
}

/// Where something was put down that was spoken of near a line, the nearest first.
fn place_near(line: &SheetLine, all: &[(usize, SheetLine)]) -> Option<String> {
    let of_place = all.iter().filter_map(|(_, there)| {
        let is_stored = there.kind == SheetKind::Of(HeardKind::Stored);
        let apart = there.at?.abs_diff(line.at?);
        let (_, place) = there.facts.iter().find(|(key, _)| key.is_empty())?;
        (is_stored && apart <= NEAR).then(|| (apart, place.clone()))
    });
    of_place.min().map(|(_, place)| place)
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
    use super::super::tests::{SHEET, line, typed};
    use super::super::{SheetWalk, WalkKey, WalkMode, WalkOutcome};

    #[test]
    fn what_was_said_of_a_part_is_added_with_one_key() {
        let mut walk = SheetWalk::new(SHEET);
        typed(&mut walk, "jf");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        assert_eq!(
            line(&walk, "found: pin"),
            "[x] 0:00:06 found: pin | There it goes, the pin"
        );
        // No sentence names the drum: what was said then.
        typed(&mut walk, "kkm");
        walk.press(WalkKey::Clear);
        typed(&mut walk, "new one");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Changed);
        assert_eq!(line(&walk, "needs"), "[x] 0:00:05 needs: drum | new one");
    }

    fn text_typed(walk: &SheetWalk) -> String {
        let WalkMode::Typing(typed) = walk.mode() else {
            panic!("{:?}", walk.mode());
        };
        typed.text()
    }

    #[test]
    fn the_arrows_bring_another_sentence() {
        let words = "The cover next. It's bent. Into the blue tin.";
        let sheet = format!(
            "> 0:00:05 {words}\n[ ] 0:00:06 removed: cover\n[ ] 0:00:20 stored: lid | in the blue tin\n"
        );
        let mut walk = SheetWalk::new(&sheet);
        typed(&mut walk, "f");
        for (key, said) in [
            (WalkKey::Down, "It's bent"),
            (WalkKey::Down, "Into the blue tin"),
            (WalkKey::Down, "Into the blue tin"),
            (WalkKey::Up, "It's bent"),
        ] {
            walk.press(key);
            assert_eq!(text_typed(&walk), format!("found: cover | {said}"));
        }
        walk.press(WalkKey::Escape);
        typed(&mut walk, "e");
        walk.press(WalkKey::Down);
        assert_eq!(text_typed(&walk), "removed: cover | The cover next");
        walk.press(WalkKey::Escape);
        // Where it was put, if that was heard of anything near.
        typed(&mut walk, "d");
        assert_eq!(text_typed(&walk), "stored: cover | in the blue tin");
    }

    #[test]
    fn what_is_offered_is_taken_with_one_key() {
        let mut walk = SheetWalk::new(SHEET);
        typed(&mut walk, "ash");
        assert_eq!(walk.offer().as_deref(), Some("oe, left"));
        walk.press(WalkKey::On);
        assert_eq!(text_typed(&walk), "shoe, left");
        assert_eq!(walk.offer(), None);
        typed(&mut walk, " | th");
        for _ in 0..3 {
            walk.press(WalkKey::On);
        }
        assert_eq!(text_typed(&walk), "shoe, left | there it goes ");
        // In the middle of a line the arrow moves.
        walk.press(WalkKey::Home);
        walk.press(WalkKey::On);
        assert_eq!(text_typed(&walk), "shoe, left | there it goes ");
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
        walk.press(WalkKey::Clear);
        typed(&mut walk, "drum off");
        assert_eq!(walk.press(WalkKey::Enter), WalkOutcome::Same);
        assert!(walk.message().starts_with("not understood"));
        assert!(matches!(walk.mode(), WalkMode::Typing(_)));
        walk.press(WalkKey::Clear);
        assert_eq!(text_typed(&walk), "");
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
}
