//! A line of a sheet while it is typed: its text, and where the next sign goes.
//!
//! What it means is read elsewhere.

use super::heard::HeardKind;
use super::sheet::is_fact;

/// A line that is being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TypedLine {
    before: String,
    behind: String,
    /// Whether it becomes a line of its own.
    pub is_new: bool,
}

impl TypedLine {
    /// A text with the cursor at its end.
    #[must_use]
    pub fn of(text: &str, is_new: bool) -> TypedLine {
        TypedLine {
            before: text.to_owned(),
            behind: String::new(),
            is_new,
        }
    }

    /// A text with the cursor behind the name of its part.
    #[must_use]
    pub fn at_name(text: &str) -> TypedLine {
        let end = text.find([',', '|']).unwrap_or(text.len());
        let end = text[..end].trim_end().len();
        TypedLine {
            before: text[..end].to_owned(),
            behind: text[end..].to_owned(),
            is_new: false,
        }
    }

    /// All of it.
    #[must_use]
    pub fn text(&self) -> String {
        format!("{}{}", self.before, self.behind)
    }

    /// What stands before the cursor and behind it.
    #[must_use]
    pub fn around(&self) -> (&str, &str) {
        (&self.before, &self.behind)
    }

    /// Types a sign.
    pub fn put(&mut self, sign: char) {
        self.before.push(sign);
    }

    /// Takes the sign before the cursor back.
    pub fn rub(&mut self) {
        self.before.pop();
    }

    /// Takes the word before the cursor back.
    pub fn rub_word(&mut self) {
        let kept = self.before.trim_end();
        let kept = kept.rfind(char::is_whitespace).map_or(0, |at| at + 1);
        self.before.truncate(kept);
    }

    /// Takes back what stands around the cursor, between two bars or behind the colon; where
    /// nothing does, all.
    pub fn clear(&mut self) {
        let from = self.before.rfind('|').or_else(|| self.before.find(':'));
        let from = from.map_or(0, |at| at + 1);
        let until = self.behind.find('|').unwrap_or(self.behind.len());
        let is_empty = self.before[from..].trim().is_empty();
        if from == 0 || is_empty && self.behind[..until].trim().is_empty() {
            *self = TypedLine::of("", self.is_new);
            return;
        }
        self.before.replace_range(from.., " ");
        self.behind
            .replace_range(..until, if until < self.behind.len() { " " } else { "" });
    }

    /// Says these words of the part, in place of those that stand there; facts stay behind them.
    pub fn say(&mut self, words: &str) {
        let text = self.text();
        let mut pieces = text.split('|').map(str::trim);
        let head = pieces.next().unwrap_or_default().to_owned();
        let facts = pieces.filter(|piece| is_fact(piece));
        let behind: String = facts.map(|fact| format!(" | {fact}")).collect();
        *self = TypedLine {
            before: format!("{head} | {words}"),
            behind,
            is_new: self.is_new,
        };
    }

    /// Moves the cursor over the sign before it.
    pub fn back(&mut self) {
        if let Some(sign) = self.before.pop() {
            self.behind.insert(0, sign);
        }
    }

    /// Moves the cursor over the sign behind it.
    pub fn on(&mut self) {
        if !self.behind.is_empty() {
            self.before.push(self.behind.remove(0));
        }
    }

    /// Moves the cursor to the beginning.
    pub fn home(&mut self) {
        self.behind.insert_str(0, &self.before);
        self.before.clear();
    }

    /// Moves the cursor to the end.
    pub fn end(&mut self) {
        self.before.push_str(&self.behind);
        self.behind.clear();
    }

    /// Says the next kind in the word before the colon, or the one before; the cursor stays
    /// where it was.
    pub fn turn_kind(&mut self, is_back: bool) {
        let Some((word, _)) = self.before.split_once(':') else {
            return;
        };
        let kinds = HeardKind::ALL;
        let at = kinds.iter().position(|kind| kind.word() == word);
        let step = if is_back { kinds.len() - 1 } else { 1 };
        let next = at.map_or(0, |at| (at + step) % kinds.len());
        let end = word.len();
        self.before.replace_range(..end, kinds[next].word());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_go_where_the_cursor_is() {
        let mut typed = TypedLine::of("found: drum, left | scored badly", false);
        typed.rub_word();
        assert_eq!(typed.text(), "found: drum, left | scored ");
        typed.home();
        typed.on();
        typed.rub();
        typed.put('F');
        assert_eq!(typed.around(), ("F", "ound: drum, left | scored "));
        typed.back();
        typed.back();
        typed.end();
        typed.rub();
        assert_eq!(typed.text(), "Found: drum, left | scored");
        typed.say("worn out");
        assert_eq!(typed.text(), "Found: drum, left | worn out");
        let mut faced = TypedLine::of("found: drum | hardware: 2 nuts | new", false);
        faced.say("worn");
        faced.say("worn out");
        assert_eq!(
            faced.around(),
            ("found: drum | worn out", " | hardware: 2 nuts | new")
        );
        assert_eq!(typed.around(), ("Found: drum, left | worn out", ""));
        typed.clear();
        assert_eq!(typed.text(), "Found: drum, left | ");
        typed.clear();
        assert_eq!(typed.text(), "");
        let mut typed = TypedLine::at_name("found: drum, left | scored");
        typed.clear();
        assert_eq!(typed.around(), ("found: ", " | scored"));
        typed.clear();
        typed.rub();
        typed.rub_word();
        typed.back();
        typed.on();
        typed.turn_kind(false);
        assert_eq!(typed.text(), "");
    }

    #[test]
    fn a_line_is_mended_at_the_name_of_its_part() {
        for (text, before) in [
            ("removed: lamp, left | hardware: 2 nuts", "removed: lamp"),
            ("removed: lamp | hardware: 2 nuts", "removed: lamp"),
            ("removed: lamp", "removed: lamp"),
        ] {
            let mut line = TypedLine::at_name(text);
            assert_eq!((line.around().0, line.text().as_str()), (before, text));
            line.rub_word();
            line.put('x');
            assert_eq!(line.text(), text.replace("lamp", "x"));
        }
    }

    #[test]
    fn the_kind_turns() {
        let mut typed = TypedLine::of("found: drum | ", true);
        typed.turn_kind(false);
        assert_eq!(typed.text(), "needs: drum | ");
        for _ in 0..HeardKind::ALL.len() {
            typed.turn_kind(false);
        }
        assert_eq!(typed.text(), "needs: drum | ");
        typed.turn_kind(true);
        assert_eq!(typed.text(), "found: drum | ");
        typed = TypedLine::of("lost: drum", false);
        typed.turn_kind(false);
        assert_eq!(typed.text(), "removed: drum");
    }
}
