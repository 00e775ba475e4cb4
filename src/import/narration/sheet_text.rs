//! The text of a sheet, changed line by line: a box ticked, a word exchanged, a part put
//! in another's place.
//!
//! Every other line keeps its bytes. Where the cursor stands and what a key does is in
//! `sheet_walk`.

use std::ops::Range;

use super::sheet::{SheetKind, SheetLine, clock, read_clock, read_line};
use crate::vocabulary::tick_box::{boxed, is_tick};

/// The lines of a sheet with their line ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetText {
    lines: Vec<String>,
}

/// What the comment that remembers the place begins with.
const LEFT_AT: &str = "# Left at ";

/// What the comment that remembers the entry begins with.
const WRITTEN_TO: &str = "# Written to ";

/// How every sheet begins.
const HEADLINE: &str = "# What was said";

/// A mark of byte order, as some editors put it before a text.
const BYTE_ORDER_MARK: char = '\u{feff}';

impl SheetText {
    /// Divides a text into lines.
    #[must_use]
    pub fn new(text: &str) -> SheetText {
        SheetText {
            lines: text.split_inclusive('\n').map(str::to_owned).collect(),
        }
    }

    /// Whether a text begins as a sheet does, or has a line that only a sheet has.
    #[must_use]
    pub fn is_sheet(text: &str) -> bool {
        let text = text.trim_start_matches(BYTE_ORDER_MARK).trim_start();
        let sheet = SheetText::new(text);
        text.starts_with(HEADLINE) || (0..sheet.lines.len()).any(|at| sheet.line(at).is_some())
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> String {
        self.lines.concat()
    }

    /// How many lines there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.lines.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// A line without its end and without blanks around it.
    #[must_use]
    pub fn bare(&self, at: usize) -> &str {
        self.lines
            .get(at)
            .map_or("", |line| line.trim_start_matches(BYTE_ORDER_MARK).trim())
    }

    /// What a line with a box says; `None` for any other line, and for one that is not
    /// understood.
    #[must_use]
    pub fn line(&self, at: usize) -> Option<SheetLine> {
        let own = self.bare(at);
        if own.starts_with('#') {
            return None;
        }
        let (sign, rest) = boxed(own)?;
        let number = u32::try_from(at).unwrap_or(u32::MAX).saturating_add(1);
        read_line(rest, number, is_tick(sign).unwrap_or(false)).ok()
    }

    /// The words of a line that begins with `>`: when they begin, and what was said.
    #[must_use]
    pub fn words(&self, at: usize) -> Option<(Option<u32>, &str)> {
        let own = self.bare(at);
        if boxed(own).is_some() {
            return None;
        }
        let words = own.strip_prefix('>')?.trim();
        let (stamp, rest) = words.split_once(' ').unwrap_or((words, ""));
        Some(match read_clock(stamp) {
            Some(from) => (Some(from), rest.trim()),
            None => (None, words),
        })
    }

    /// Whether a line is the comment above a passage: it ends with its times.
    #[must_use]
    pub fn is_passage_head(&self, at: usize) -> bool {
        let own = self.bare(at);
        let last = own.rsplit(' ').next().unwrap_or_default();
        own.starts_with('#')
            && last.split_once('-').is_some_and(|(from, until)| {
                read_clock(from).is_some() && read_clock(until).is_some()
            })
    }

    /// Ticks a line, or empties its box.
    pub fn tick(&mut self, at: usize, is_ticked: bool) {
        if let Some(inside) = self.box_of(at) {
            self.lines[at].replace_range(inside, if is_ticked { "x" } else { " " });
        }
    }

    /// Where the sign in the box of a line stands.
    fn box_of(&self, at: usize) -> Option<Range<usize>> {
        let line = self.lines.get(at)?;
        let from = line.find('[')? + 1;
        let length = line[from..].find(']')?;
        Some(from..from + length)
    }

    /// Where the word before the colon stands.
    fn kind_of(&self, at: usize) -> Option<Range<usize>> {
        let line = self.lines.get(at)?;
        let mut from = self.box_of(at)?.end + 1;
        loop {
            from += line[from..].len() - line[from..].trim_start().len();
            let Some((word, _)) = line[from..].split_once(char::is_whitespace) else {
                break;
            };
            if word != "~" && read_clock(word).is_none() {
                break;
            }
            from += word.len();
        }
        let length = line[from..].find(':')?;
        Some(from..from + length)
    }

    /// Says another kind of a line.
    pub fn set_kind(&mut self, at: usize, kind: SheetKind) {
        if let Some(word) = self.kind_of(at) {
            self.lines[at].replace_range(word, kind.word());
        }
    }

    /// Puts the part of another line into a line, with what is said of the part itself; what
    /// came of it, hardware and text, stays.
    pub fn put_part(&mut self, at: usize, of: usize) {
        if let (Some(own), Some(other)) = (self.pieces(at), self.pieces(of)) {
            self.lines[at] = own.with(&other.part, &other.news);
        }
    }

    /// Names another part of a line, on the side of its own.
    pub fn name_part(&mut self, at: usize, name: &str) {
        if let Some(own) = self.pieces(at) {
            let sides = own.part.split_once(',').map(|(_, sides)| sides);
            let sides = sides.map_or_else(String::new, |sides| format!(",{sides}"));
            self.lines[at] = own.with(&format!("{name}{sides}"), &[]);
        }
    }

    /// Folds a line into another of the same part: the other takes what it does not say yet,
    /// and the line is gone.
    pub fn fold(&mut self, twin: usize, into: usize) {
        self.move_hardware(twin, into);
        let (Some(gone), Some(mut kept)) = (self.pieces(twin), self.pieces(into)) else {
            return;
        };
        for piece in gone.rest {
            if !piece.starts_with("left out:") && !kept.rest.contains(&piece) {
                kept.rest.push(piece);
            }
        }
        self.lines[into] = kept.with(&kept.part, &kept.news);
        self.lines.remove(twin);
    }

    /// Moves the hardware of one line to another, behind what that has.
    fn move_hardware(&mut self, from: usize, to: usize) {
        let (Some(mut giver), Some(mut taker)) = (self.pieces(from), self.pieces(to)) else {
            return;
        };
        let Some(given) = giver.take_hardware() else {
            return;
        };
        let more = given["hardware:".len()..].trim();
        match taker.rest.iter_mut().find(|piece| is_hardware(piece)) {
            // What is counted in both lines was counted once.
            Some(own)
                if own["hardware:".len()..]
                    .split(';')
                    .any(|own| own.trim() == more) => {}
            Some(own) => {
                own.push_str("; ");
                own.push_str(more);
            }
            None => taker.rest.push(given),
        }
        self.lines[from] = giver.with(&giver.part, &giver.news);
        self.lines[to] = taker.with(&taker.part, &taker.news);
    }

    /// The hardware of a line.
    #[must_use]
    pub fn hardware(&self, at: usize) -> Option<String> {
        let hardware = self.pieces(at)?.take_hardware()?;
        Some(hardware["hardware:".len()..].trim().to_owned())
    }

    /// Takes all hardware out of a line.
    pub fn clear_hardware(&mut self, at: usize) {
        if let Some(mut own) = self.pieces(at) {
            own.take_hardware();
            self.lines[at] = own.with(&own.part, &own.news);
        }
    }

    /// Says this hardware of a line instead of its own.
    pub fn set_hardware(&mut self, at: usize, hardware: &str) {
        let Some(mut own) = self.pieces(at) else {
            return;
        };
        own.take_hardware();
        own.rest.push(format!("hardware: {hardware}"));
        self.lines[at] = own.with(&own.part, &own.news);
    }

    /// Takes the last piece of hardware out of a line, and says which it was.
    pub fn drop_hardware(&mut self, at: usize) -> Option<String> {
        let mut own = self.pieces(at)?;
        let number = own.rest.iter().position(|piece| is_hardware(piece))?;
        let hardware = own.rest.remove(number);
        let (kept, dropped) = match hardware.rsplit_once(';') {
            Some((kept, dropped)) => (Some(kept.trim_end()), dropped),
            None => (None, &hardware["hardware:".len()..]),
        };
        if let Some(kept) = kept {
            own.rest.insert(number, kept.to_owned());
        }
        self.lines[at] = own.with(&own.part, &own.news);
        Some(dropped.trim().to_owned())
    }

    /// What a line says behind its box and time, as somebody would write it.
    #[must_use]
    pub fn said(&self, at: usize) -> Option<&str> {
        let from = self.kind_of(at)?.start;
        self.lines.get(at).map(|line| line[from..].trim_end())
    }

    /// The part of a line with its sides, as it stands there.
    #[must_use]
    pub fn part_said(&self, at: usize) -> Option<String> {
        self.pieces(at).map(|own| own.part)
    }

    /// Says something else in a line, and ticks it; `None`, and nothing changed, where that
    /// is not understood.
    pub fn set_said(&mut self, at: usize, said: &str) -> Option<()> {
        let from = self.kind_of(at)?.start;
        let until = self.lines.get(at)?.trim_end().len();
        let before = self.lines[at].clone();
        self.lines[at].replace_range(from..until, said);
        self.tick(at, true);
        if self.line(at).is_none() {
            self.lines[at] = before;
            return None;
        }
        Some(())
    }

    /// Puts a ticked line of the same time below another; `None`, and nothing changed,
    /// where it is not understood.
    pub fn add_said(&mut self, below: usize, said: &str) -> Option<()> {
        let time = self.line(below)?.at;
        let end = self.end_of(below);
        let time = time.map_or_else(String::new, |time| format!("{} ", clock(time)));
        let added = format!("[x] {time}{said}");
        let is_last = !self.lines[below].ends_with('\n');
        let added = if is_last { added } else { added + end };
        self.lines.insert(below + 1, added);
        if self.line(below + 1).is_none() {
            self.lines.remove(below + 1);
            return None;
        }
        if is_last {
            self.lines[below].push_str(end);
        }
        Some(())
    }

    /// Says the other of two sides of a part, left for right; where `may_end`, neither for the
    /// second, and the first for neither.
    pub fn turn_side(&mut self, at: usize, [first, second]: [&str; 2], may_end: bool) {
        let Some(own) = self.pieces(at) else {
            return;
        };
        let (name, sides) = own.part.split_once(',').unwrap_or((&own.part, ""));
        let mut turned: Vec<&str> = Vec::new();
        for side in sides.split_whitespace() {
            if side == first {
                turned.push(second);
            } else if side != second {
                turned.push(side);
            } else if !may_end {
                turned.push(first);
            }
        }
        let has_side = sides
            .split_whitespace()
            .any(|side| side == first || side == second);
        if !has_side {
            turned.push(first);
        }
        let part = match turned.is_empty() {
            true => name.trim_end().to_owned(),
            false => format!("{name}, {}", turned.join(" ")),
        };
        self.lines[at] = own.with(&part, &own.news);
    }

    /// Whether a line says left or right of its part.
    #[must_use]
    pub fn has_side(&self, at: usize) -> bool {
        let part = self.pieces(at).map(|own| own.part).unwrap_or_default();
        let sides = part.split_once(',').map_or("", |(_, sides)| sides);
        let mut sides = sides.split_whitespace();
        sides.any(|side| matches!(side, "left" | "right"))
    }

    fn end_of(&self, at: usize) -> &'static str {
        let is_crlf = |line: &String| line.ends_with("\r\n");
        let own = self.lines.get(at).filter(|line| line.ends_with('\n'));
        match own.or(self.lines.first()).is_some_and(is_crlf) {
            true => "\r\n",
            false => "\n",
        }
    }

    fn pieces(&self, at: usize) -> Option<LinePieces> {
        let line = self.lines.get(at)?;
        let colon = self.kind_of(at)?.end;
        let text = line.trim_end();
        let mut pieces = text[colon + 1..].split('|').map(str::trim);
        let part = pieces.next()?.to_owned();
        let is_news = |piece: &&str| *piece == "new" || piece.starts_with("new, near ");
        let (news, rest) = pieces.partition::<Vec<&str>, _>(is_news);
        let owned = |pieces: Vec<&str>| pieces.into_iter().map(str::to_owned).collect();
        Some(LinePieces {
            head: text[..=colon].to_owned(),
            part,
            news: owned(news),
            rest: owned(rest),
            end: line[text.len()..].to_owned(),
        })
    }

    /// Says in the head how many lines are ticked.
    pub fn count_ticks(&mut self) {
        let lines: Vec<SheetLine> = (0..self.len()).filter_map(|at| self.line(at)).collect();
        let ticked = lines.iter().filter(|line| line.is_ticked).count();
        let counted = format!("{HEADLINE}: {ticked} of {} lines ticked", lines.len());
        let Some(head) = self.lines.first_mut() else {
            return;
        };
        let from = head.len() - head.trim_start_matches(BYTE_ORDER_MARK).len();
        let Some(length) = head[from..].find(" lines ticked") else {
            return;
        };
        if head[from..].starts_with(HEADLINE) {
            head.replace_range(from..from + length + " lines ticked".len(), &counted);
        }
    }

    /// Where the person left, as the comment in the sheet says it.
    #[must_use]
    pub fn left_at(&self) -> Option<&str> {
        self.comment(LEFT_AT)
    }

    /// Remembers where the person is.
    pub fn set_left_at(&mut self, place: &str) {
        self.set_comment(LEFT_AT, place);
    }

    /// The entry that was written from the sheet.
    #[must_use]
    pub fn written_to(&self) -> Option<&str> {
        self.comment(WRITTEN_TO)
    }

    /// Remembers the entry that was written.
    pub fn set_written_to(&mut self, path: &str) {
        self.set_comment(WRITTEN_TO, path);
    }

    fn comment(&self, begin: &str) -> Option<&str> {
        (0..self.len()).find_map(|at| self.bare(at).strip_prefix(begin))
    }

    /// Comments stand below the first lines that are comments, or else at the end.
    fn set_comment(&mut self, begin: &str, text: &str) {
        let own = format!("{begin}{text}");
        if let Some(at) = (0..self.len()).find(|at| self.bare(*at).starts_with(begin)) {
            let end = self.lines[at].trim_end().len();
            self.lines[at].replace_range(..end, &own);
            return;
        }
        let end = self.end_of(0);
        let head = (0..self.len())
            .take_while(|at| self.bare(*at).starts_with('#'))
            .count();
        let at = if head == 0 { self.len() } else { head };
        if let Some(before) = at.checked_sub(1).and_then(|at| self.lines.get_mut(at))
            && !before.ends_with('\n')
        {
            before.push_str(end);
        }
        self.lines.insert(at, own + end);
    }
}

/// A line in pieces.
struct LinePieces {
    /// All before the part.
    head: String,
    part: String,
    /// That the journal has no such part.
    news: Vec<String>,
    /// What else stands behind it.
    rest: Vec<String>,
    /// The line's end.
    end: String,
}

/// Whether a piece of a line says its hardware.
fn is_hardware(piece: &str) -> bool {
    piece.starts_with("hardware:")
}

impl LinePieces {
    /// Takes the hardware out.
    fn take_hardware(&mut self) -> Option<String> {
        let number = self.rest.iter().position(|piece| is_hardware(piece))?;
        Some(self.rest.remove(number))
    }

    /// The line with another part.
    fn with(&self, part: &str, news: &[String]) -> String {
        let mut out = format!("{} {part}", self.head);
        for piece in self.rest.iter().chain(news) {
            out.push_str(&format!(" | {piece}"));
        }
        out + &self.end
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::narration::heard::HeardKind;

    const SHEET: &str = "\u{feff}# What was said: 1 of 3 lines ticked. Tick it.\r\n# more\r\nvehicle: wren\r\n> 0:01 It is off.\r\n- [X] 0:01 ~ removed:  pin | hardware: 2 nuts | new, near clevis pin\r\n[ ] removed: drum, left | left out: planned\r\n[x oops\r\n[ ] found: shoe | worn";

    #[test]
    fn one_change_leaves_all_other_bytes_alone() {
        let mut sheet = SheetText::new(SHEET);
        assert_eq!(sheet.text(), SHEET);
        sheet.tick(4, false);
        sheet.set_kind(4, SheetKind::Of(HeardKind::Undone));
        let expected = SHEET.replace("- [X] 0:01 ~ removed:", "- [ ] 0:01 ~ undone:");
        assert_eq!(sheet.text(), expected);
        sheet.tick(4, true);
        sheet.count_ticks();
        assert!(
            sheet
                .bare(0)
                .starts_with("# What was said: 1 of 3 lines ticked. Tick it.")
        );
        sheet.tick(5, true);
        sheet.count_ticks();
        assert!(
            sheet
                .text()
                .starts_with("\u{feff}# What was said: 2 of 3 lines ticked. Tick it.\r\n")
        );
    }

    #[test]
    fn a_part_goes_into_a_line() {
        let mut sheet = SheetText::new(SHEET);
        sheet.put_part(4, 7);
        assert_eq!(
            sheet.bare(4),
            "- [X] 0:01 ~ removed: shoe | hardware: 2 nuts"
        );
        sheet.name_part(4, "brake shoe");
        assert_eq!(
            sheet.bare(4),
            "- [X] 0:01 ~ removed: brake shoe | hardware: 2 nuts"
        );
        sheet.name_part(5, "hub");
        assert_eq!(sheet.bare(5), "[ ] removed: hub, left | left out: planned");
    }

    #[test]
    fn hardware_is_said_and_cleared() {
        let mut sheet = SheetText::new("[x] removed: lid | hardware: 2 nuts; 1 clip\n");
        assert_eq!(sheet.hardware(0).as_deref(), Some("2 nuts; 1 clip"));
        sheet.set_hardware(0, "3 nuts");
        assert_eq!(sheet.text(), "[x] removed: lid | hardware: 3 nuts\n");
        sheet.clear_hardware(0);
        assert_eq!(sheet.text(), "[x] removed: lid\n");
        assert_eq!(sheet.hardware(0), None);
    }

    #[test]
    fn hardware_is_dropped_from_behind() {
        let mut sheet = SheetText::new("[x] removed: lid | hardware: 2 nuts; 1 clip | bent");
        for (dropped, line) in [
            ("1 clip", "[x] removed: lid | hardware: 2 nuts | bent"),
            ("2 nuts", "[x] removed: lid | bent"),
        ] {
            assert_eq!(sheet.drop_hardware(0).as_deref(), Some(dropped));
            assert_eq!(sheet.text(), line);
        }
        assert_eq!(sheet.drop_hardware(0), None);
    }

    #[test]
    fn sides_and_ends_are_turned_apart() {
        let mut sheet = SheetText::new("[x] removed: lid, rear");
        for (pair, part) in [
            (["left", "right"], "lid, rear left"),
            (["front", "rear"], "lid, left"),
            (["front", "rear"], "lid, left front"),
            (["left", "right"], "lid, right front"),
            (["left", "right"], "lid, front"),
        ] {
            sheet.turn_side(0, pair, true);
            assert_eq!(sheet.part_said(0).as_deref(), Some(part));
        }
    }

    #[test]
    fn a_line_that_is_folded_loses_nothing() {
        let mut sheet = SheetText::new(
            "[x] removed: pin | hardware: 2 nuts | bent\n\
             [ ] removed: pin | left out: planned | bent | to: lid | hardware: 1 clip | new",
        );
        sheet.fold(1, 0);
        assert_eq!(
            sheet.text(),
            "[x] removed: pin | hardware: 2 nuts; 1 clip | bent | to: lid\n"
        );
    }

    #[test]
    fn comments_are_remembered_in_one_place() {
        let mut sheet = SheetText::new(SHEET);
        sheet.set_left_at("0:01:00");
        sheet.set_left_at("0:03:00");
        sheet.set_written_to("entries/a.md");
        assert_eq!(sheet.left_at(), Some("0:03:00"));
        assert_eq!(sheet.written_to(), Some("entries/a.md"));
        assert_eq!(sheet.text().matches("# Left at").count(), 1);
        assert_eq!(sheet.len(), 10);
        let mut bare = SheetText::new("[ ] removed: lid");
        bare.set_left_at("passage 1");
        assert_eq!(bare.text(), "[ ] removed: lid\n# Left at passage 1\n");
        assert!(
            SheetText::is_sheet("[ ] removed: lid") && !SheetText::is_sheet("- [ ] buy milk\n")
        );
    }
}
