//! A sheet walked at the terminal with single keys: each change is in its file before the
//! next key is read.
//!
//! What a key does is worked out in `import`, how the screen looks in `presentation`.

use std::path::{Path, PathBuf};

use super::super::arguments::{AdoptArgs, Common};
use super::super::failure::Failure;
use super::super::world::World;
use super::super::write::target;
use super::super::{Reply, opened};
use super::left_over::in_quotes;
use super::narration::{EntryWanted, entry_from, nameless_context};
use crate::import::narration::sheet::read_narration_sheet;
use crate::import::narration::sheet_text::SheetText;
use crate::import::narration::sheet_walk::{SheetWalk, WalkOutcome};
#[cfg(unix)]
use crate::import::narration::sheet_walk::{WalkKey, WalkMode};
use crate::journal::{read_if_there, write_atomically};
#[cfg(unix)]
use crate::presentation::sheet_walk::{WalkScreen, WalkWay};
use crate::presentation::text::{Text, TextStyle};

/// What becomes of the sheet of a narration.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum SheetWay {
    /// It is the answer.
    Answer,
    /// It is walked in this file.
    Walk(PathBuf),
    /// It is the answer, though it was to be walked: the terminal cannot show that.
    NoTerminal,
}

/// Whether the sheet of a narration is walked, and in which file: the one that was named,
/// or one beside the narration.
pub(super) fn way(verb: &AdoptArgs, world: &World) -> SheetWay {
    let is_piped = verb.source() == Path::new("-");
    let is_at_terminal = world.is_seen && world.has_keys;
    let is_wanted = verb.walk || is_at_terminal && verb.output.is_unsaid() && !is_piped;
    if !is_wanted {
        return SheetWay::Answer;
    }
    if is_piped || !can_walk(world) {
        return SheetWay::NoTerminal;
    }
    let beside = verb.source().with_extension("sheet.txt");
    SheetWay::Walk(world.here.join(verb.output.file().unwrap_or(&beside)))
}

fn can_walk(world: &World) -> bool {
    cfg!(unix) && world.is_seen && world.has_keys && !world.is_dumb
}

/// Goes on with a sheet that is there already.
pub(super) fn going_on(
    way: &SheetWay,
    verb: &AdoptArgs,
    common: &Common,
    world: &World,
) -> Result<Option<Reply>, Failure> {
    match way {
        SheetWay::Walk(file) if file.symlink_metadata().is_ok() => {
            walk(file, verb, common, world).map(Some)
        }
        SheetWay::Walk(_) | SheetWay::Answer | SheetWay::NoTerminal => Ok(None),
    }
}

/// Walks a sheet that was named.
pub(super) fn sheet_again(
    sheet: &Path,
    verb: &AdoptArgs,
    common: &Common,
    world: &World,
) -> Result<Reply, Failure> {
    if sheet == Path::new("-") || !can_walk(world) {
        return Err(Failure::misuse(
            "a sheet is walked in a file and at a terminal, and this is none that can be",
            "tick it in any editor, then leave out --walk",
        ));
    }
    walk(&world.here.join(sheet), verb, common, world)
}

/// A file that is walked, with what of it is on the disk.
struct WalkedFile {
    path: PathBuf,
    saved: Vec<u8>,
}

impl WalkedFile {
    /// Opens a sheet and finds what a link leads to.
    fn open(path: &Path, world: &World) -> Result<(WalkedFile, String), Failure> {
        let named = path.strip_prefix(&world.here).unwrap_or(path).display();
        let path = path.canonicalize().unwrap_or_else(|_| path.to_owned());
        let saved = read_if_there(&path)?.ok_or_else(|| {
            Failure::misuse(
                format!("there is no file {named}"),
                "`matchmark adopt NARRATION.vtt` makes one",
            )
        })?;
        let text = String::from_utf8(saved.clone()).map_err(|_| {
            Failure::misuse(
                format!("{named} is no UTF-8 text, so it is not changed"),
                "save it as UTF-8 in an editor",
            )
        })?;
        if !SheetText::is_sheet(&text) {
            return Err(Failure::misuse(
                format!("{named} is there already and is no sheet; it is left as it is"),
                "name another file for the sheet: --walk --into sheet.txt",
            ));
        }
        Ok((WalkedFile { path, saved }, text))
    }

    /// Saves what was changed, unless another program has changed the file meanwhile:
    /// then its text is taken and the change is not.
    fn save(&mut self, walk: &mut SheetWalk) -> Result<(), Failure> {
        let text = walk.text();
        if text.as_bytes() == self.saved {
            return Ok(());
        }
        let there = read_if_there(&self.path)?;
        if let Some(there) = there.filter(|there| *there != self.saved) {
            let other = String::from_utf8_lossy(&there).into_owned();
            walk.take_text(&other);
            walk.say("another program changed the sheet: it was read again, without your last key");
            self.saved = there;
            return Ok(());
        }
        write_atomically(&self.path, text.as_bytes())?;
        self.saved = text.into_bytes();
        Ok(())
    }
}

/// Notes in a sheet which entry was written from it. It is only a reminder: where it
/// cannot be noted, nothing is lost.
pub(super) fn remember_entry(file: &Path, entry: &str, world: &World) {
    let Ok((opened, text)) = WalkedFile::open(file, world) else {
        return;
    };
    let mut sheet = SheetText::new(&text);
    sheet.set_written_to(entry);
    let _ = write_atomically(&opened.path, sheet.text().as_bytes());
}

/// Walks a sheet until the person leaves it; then says what came of it, or writes the
/// entry.
pub(super) fn walk(
    file: &Path,
    verb: &AdoptArgs,
    common: &Common,
    world: &World,
) -> Result<Reply, Failure> {
    let (mut walked, text) = WalkedFile::open(file, world)?;
    let mut walk = SheetWalk::new(&text);
    let said = read_narration_sheet(&text).head.vehicle;
    let said = verb.vehicle.as_ref().or(said.as_ref());
    if let Ok(journal) = opened::journal(common, world)
        && let Ok(vehicle) = target::vehicle(said, &journal)
    {
        walk.read_with(nameless_context(Some(&journal), Some(&vehicle), verb));
    }
    let shown = file.strip_prefix(&world.here).unwrap_or(file).display();
    let shown = in_quotes(&shown.to_string());
    match keys(&mut walked, &mut walk, world)? {
        WalkOutcome::Write => entry_from(file, EntryWanted::WrittenAgain, verb, common, world),
        WalkOutcome::Same | WalkOutcome::Changed | WalkOutcome::Left => {
            let (ticked, lines) = walk.ticks();
            let mut text = Text::new(world.width);
            for line in [
                format!("{ticked} of {lines} lines are ticked in {shown}"),
                format!("to go on: `matchmark adopt --from {shown} --walk`"),
                format!("to write the entry: `matchmark adopt --from {shown} --yes`"),
            ] {
                text.line(0, TextStyle::Plain, &line);
            }
            Ok(Reply::new(text.render(world.colours)))
        }
    }
}

#[cfg(unix)]
fn keys(
    walked: &mut WalkedFile,
    walk: &mut SheetWalk,
    world: &World,
) -> Result<WalkOutcome, Failure> {
    use super::super::raw_terminal::{RawTerminal, TerminalEvent};

    let fail = |error| Failure::file(Path::new("the terminal"), error);
    let mut terminal = RawTerminal::new().map_err(fail)?;
    let mut unsaved: Option<Failure> = None;
    let mut is_warned = false;
    loop {
        let (width, height) = terminal.size();
        let screen = WalkScreen {
            width,
            height,
            colours: world.colours,
        };
        terminal.draw(&screen.rows(walk)).map_err(fail)?;
        let outcome = match terminal.next_event().map_err(fail)? {
            TerminalEvent::Key(key) => match hidden_line(&screen, walk, key) {
                Some(line) => walk.stand_on(line),
                None => walk.press(key),
            },
            TerminalEvent::Redraw => WalkOutcome::Same,
            TerminalEvent::Ended => WalkOutcome::Left,
        };
        let ends = matches!(outcome, WalkOutcome::Left | WalkOutcome::Write);
        if outcome == WalkOutcome::Changed || ends && unsaved.is_some() {
            unsaved = walked.save(walk).err();
        }
        match unsaved {
            None if ends => return Ok(outcome),
            Some(failure) if ends && is_warned => return Err(failure),
            Some(ref failure) => {
                walk.say(format!("not saved: {failure}; q twice leaves without it"));
            }
            None => {}
        }
        is_warned = ends;
    }
}

/// Where a key leads that goes on or back, in a passage that does not fit the screen.
#[cfg(unix)]
fn hidden_line(screen: &WalkScreen, walk: &SheetWalk, key: WalkKey) -> Option<usize> {
    if *walk.mode() != WalkMode::Lines {
        return None;
    }
    let way = if matches!(key, WalkKey::Sign('n' | 'N') | WalkKey::On) {
        WalkWay::On
    } else if matches!(key, WalkKey::Sign('p' | 'P') | WalkKey::Back) {
        WalkWay::Back
    } else {
        return None;
    };
    screen.hidden_line(walk, way)
}

/// Elsewhere no sheet is walked: [`can_walk`] says so before.
#[cfg(not(unix))]
fn keys(_: &mut WalkedFile, _: &mut SheetWalk, _: &World) -> Result<WalkOutcome, Failure> {
    Ok(WalkOutcome::Left)
}
