//! Lines of a walked sheet that could not stand in the entry.
//!
//! What is wrong with them is found in `refusals`.

use super::{SheetWalk, WalkOutcome};
use crate::import::narration::draft::DraftContext;
use crate::import::narration::refusals::{refusal_of, refusals};
use crate::import::narration::sheet::read_narration_sheet;
use crate::import::narration::sheet_text::SheetText;

impl SheetWalk {
    /// Says at once of a line that it would be an error in the entry, which is read with this.
    pub fn read_with(&mut self, context: DraftContext) {
        self.context = Some(context);
    }

    /// Why a line of a sheet could not stand in the entry, if it could not.
    pub(super) fn refusal(&self, sheet: &SheetText, at: usize) -> Option<String> {
        let context = self.context.as_ref()?;
        let number = u32::try_from(at + 1).ok()?;
        let sheet = read_narration_sheet(&sheet.text());
        let date = sheet.head.date.clone().unwrap_or_default();
        refusal_of(&sheet, number, &date, context).map(|refusal| refusal.why)
    }

    /// Puts the cursor on the first line that could not stand in the entry, and says why;
    /// `None` if there is no such line.
    pub(super) fn go_to_refused(&mut self) -> Option<WalkOutcome> {
        let sheet = read_narration_sheet(&self.sheet.text());
        let date = sheet.head.date.clone().unwrap_or_default();
        let refused = refusals(&sheet, &date, self.context.as_ref()?);
        let first = refused.into_iter().next()?;
        let number = usize::try_from(first.line).ok()?.checked_sub(1)?;
        self.go_to_line(number);
        self.say(format!("{}; e mends it", first.why));
        Some(WalkOutcome::Same)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{SHEET, typed};
    use super::super::{WalkKey, WalkMode};
    use super::*;
    use crate::entry::Context;
    use crate::vocabulary::money::Currency;
    use crate::vocabulary::position::Driven;

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
}
