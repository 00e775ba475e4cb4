//! An entry in the person's editor.
//!
//! The editor works on a draft; only what came back whole takes its place in
//! the journal. What does not is left where it is, and the person is told.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::Command;

use jiff::civil::Date;

use super::super::Reply;
use super::super::arguments::WriteArgs;
use super::super::failure::Failure;
use super::super::world::World;
use super::target::{self, entry_of};
use super::{WrittenPlace, add_file, look_at, nothing};
use crate::entry::add_section;
use crate::journal::{Journal, read_if_there, remove_draft, slug, write_atomically};
use crate::vocabulary::refusal::plain_words;

/// Opens the day's entry of the vehicle, or a new one from a template.
pub(super) fn run(
    verb: &WriteArgs,
    journal: &Journal,
    day: Date,
    world: &World,
) -> Result<Reply, Failure> {
    let Some(editor) = world.editor.clone() else {
        return Err(Failure::misuse(
            "no editor is set",
            "say which for once: `EDITOR=nano matchmark write`; or write from options: `matchmark write --part horn --status removed`",
        ));
    };
    let vehicle = target::vehicle(verb.vehicle.as_ref(), journal)?;
    let again = format!("matchmark write --date {day} --vehicle {vehicle}");
    let existing = if verb.new {
        None
    } else {
        entry_of(journal, day, &vehicle)?
    };
    let name = format!("{day}-{}", slug(&vehicle));
    let leftover = journal.drafts().join(format!("{name}.md")).exists();
    match existing {
        Some((path, bytes)) if !leftover => change(&editor, &path, bytes, verb, journal, world),
        Some(_) | None => {
            let title = verb.title.clone().unwrap_or_default();
            let template = template(day, &vehicle, &title);
            let draft = EntryDraft::open(journal, &name, &template)?;
            begin(
                &editor,
                &draft,
                &template,
                (day, &again),
                verb,
                journal,
                world,
            )
        }
    }
}

/// A draft that no other run has open.
struct EntryDraft {
    file: PathBuf,
    /// What it was made from: a draft that still says that says nothing.
    from: String,
    /// Released when the process ends, however it ends.
    _ours: Option<File>,
}

impl EntryDraft {
    /// The draft of this name, made from `text` if it is not there; under
    /// another name if another run has it open.
    fn open(journal: &Journal, name: &str, text: &str) -> Result<EntryDraft, Failure> {
        let mut number = 1;
        loop {
            let name = match number {
                1 => name.to_owned(),
                number => format!("{name}-{number}"),
            };
            let lock = journal.computed().join(format!("{name}.lock"));
            let ours = File::create(lock).ok();
            let taken = ours.as_ref().is_some_and(|lock| lock.try_lock().is_err());
            if !taken {
                let file = journal.drafts().join(format!("{name}.md"));
                if !file.exists() {
                    write_atomically(&file, text.as_bytes())?;
                }
                return Ok(EntryDraft {
                    file,
                    from: text.to_owned(),
                    _ours: ours,
                });
            }
            number += 1;
        }
    }

    /// What the editor left, if it can go on.
    fn read(&self, ended_well: bool, then: &str) -> Result<String, Failure> {
        let lies_in = format!("your text is in {}", self.file.display());
        let bytes = match fs::read(&self.file) {
            Ok(bytes) => bytes,
            Err(error) => {
                return Err(Failure::misuse(
                    format!(
                        "the editor left nothing at {}: {}",
                        self.file.display(),
                        plain_words(&error)
                    ),
                    "nothing was added to the journal",
                ));
            }
        };
        if !ended_well && bytes == self.from.as_bytes() {
            remove_draft(&self.file);
            return Err(Failure::misuse(
                "the editor ended with an error, and nothing was typed",
                "set VISUAL or EDITOR to another, or write from options: `matchmark write --part horn --status removed`",
            ));
        }
        if !ended_well {
            return Err(Failure::misuse(
                format!("the editor ended with an error; {lies_in}"),
                then,
            ));
        }
        String::from_utf8(bytes)
            .map_err(|_| Failure::misuse(format!("this is not UTF-8; {lies_in}"), then))
    }

    fn done(self) {
        remove_draft(&self.file);
    }
}

/// A new entry from a draft.
fn begin(
    editor: &str,
    draft: &EntryDraft,
    template: &str,
    (day, again): (Date, &str),
    verb: &WriteArgs,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let ended_well = edit(editor, &draft.file)?;
    let text = draft.read(ended_well, &format!("`{again}` opens it again"))?;
    if text == template || text.trim().is_empty() {
        remove_draft(&draft.file);
        let said = "nothing was written, so nothing was added";
        return Ok(nothing(said, &verb.output, world)?.answering(false));
    }
    let text = without_help(&text);
    let (mut entry, _) = crate::entry::read(&text, &journal.context());
    let mut text = text;
    if entry.title.is_none() {
        let day = entry.date.unwrap_or(day);
        text = titled(&text, &format!("Notes of {day}"));
        entry = crate::entry::read(&text, &journal.context()).0;
    }
    let title = entry.title.unwrap_or_default();
    let placed = add_file(&text, &title, journal, entry.date.unwrap_or(day));
    let placed = placed.map_err(|failure| {
        let message = format!("{failure}; your text is in {}", draft.file.display());
        Failure::misuse(message, failure.hint().unwrap_or_default())
    })?;
    remove_draft(&draft.file);
    look_at(&placed, &verb.output, journal, world)
}

/// The day's entry, changed on a copy: what another run adds meanwhile is kept.
fn change(
    editor: &str,
    path: &str,
    bytes: Vec<u8>,
    verb: &WriteArgs,
    journal: &Journal,
    world: &World,
) -> Result<Reply, Failure> {
    let Ok(before) = String::from_utf8(bytes) else {
        return Err(Failure::misuse(
            format!("{path} is not UTF-8"),
            "open it in your editor by itself and save it as UTF-8",
        ));
    };
    let name = path
        .rsplit('/')
        .next()
        .unwrap_or(path)
        .trim_end_matches(".md");
    let unfinished = journal.drafts().join(format!("{name}.md"));
    // What the entry said when an unfinished text was begun.
    let base = journal.computed().join(format!("{name}.base"));
    let before = match (read_if_there(&unfinished)?, read_if_there(&base)?) {
        (Some(text), _) if text == before.as_bytes() => {
            remove_draft(&unfinished);
            before
        }
        (Some(_), Some(base)) => String::from_utf8_lossy(&base).into_owned(),
        (Some(_), None) => {
            return Err(Failure::misuse(
                format!(
                    "an unfinished text for {path} lies in {}",
                    unfinished.display()
                ),
                "take from it what you need and delete it, then run the command again",
            ));
        }
        (None, _) => before,
    };
    // Where it cannot be written, an unfinished text is not opened again.
    let _ = write_atomically(&base, before.as_bytes());
    let draft = EntryDraft::open(journal, name, &before)?;
    let ended_well = edit(editor, &draft.file)?;
    let then = "run the same command again to go on with it";
    let text = draft.read(ended_well, then)?;
    if text.trim().is_empty() {
        draft.done();
        let said = format!(
            "the editor left nothing, so {path} stays as it was; delete the file itself if you mean it"
        );
        return Ok(nothing(&said, &verb.output, world)?.answering(false));
    }
    if text == before {
        draft.done();
        return nothing(&format!("{path} is unchanged"), &verb.output, world);
    }
    let _held = journal.hold();
    let now = String::from_utf8_lossy(&journal.bytes(path)?).into_owned();
    let added_meanwhile = now.strip_prefix(before.trim_end()).map(str::trim);
    let whole = match added_meanwhile {
        Some("") => text,
        Some(added) => add_section(&text, added).text,
        None => {
            return Err(Failure::misuse(
                format!(
                    "{path} was changed by another program meanwhile; your text is in {}",
                    draft.file.display()
                ),
                "bring the two together in your editor, then delete the draft",
            ));
        }
    };
    journal.change(path, &now, &whole)?;
    draft.done();
    let placed = WrittenPlace {
        path: path.to_owned(),
        lines: None,
        said: format!("{path} is as you left it"),
    };
    look_at(&placed, &verb.output, journal, world)
}

/// What a new entry looks like in the editor.
fn template(day: Date, vehicle: &str, title: &str) -> String {
    format!(
        "---\ndate: {day}\nvehicle: {vehicle}\n# status: removed     what most sections below have in common\n# system: brakes\n# hours: 2:30\n---\n\n# {title}\n\n\n{HELP}"
    )
}

/// The facts that are taught, as a comment that is taken out again if it still
/// stands as it was.
const HELP: &str = "<!-- One section for each part. Facts come right under the heading; all are
optional; this comment goes away by itself.

## Brake drum, left front

- after: wheel, left front
- hardware: 3 screw 1/4-20 x 1/2, bag 11; 1 cotter pin, new
- stored: rack 2
- found: scored, one deep groove
- needs: turning, by 2026-05-01
- replaced by: reproduction
  - number: BD-11
  - from: a market stall
  - old: kept
- cost: 12.50 penetrating oil
- lesson: heat before force
- caution: brake dust

What there is to tell goes below the facts.

Nothing to say about some parts? Under the title:
- removed: horn; horn bracket; splash shield, left
-->
";

/// The text without the help and without commented lines of the front matter
/// that were left as they were.
fn without_help(text: &str) -> String {
    let text = text.replace(HELP, "");
    let untouched = [
        "# status: removed     what most sections below have in common\n",
        "# system: brakes\n",
        "# hours: 2:30\n",
    ];
    let mut text = text;
    for line in untouched {
        text = text.replacen(line, "", 1);
    }
    format!("{}\n", text.trim_end())
}

/// The text with a title where the template left room for one.
fn titled(text: &str, title: &str) -> String {
    let room = ["\n# \n", "\n#\n"];
    let found = room.iter().find(|room| text.contains(*room));
    match found {
        Some(room) => text.replacen(room, &format!("\n# {title}\n"), 1),
        None => text.to_owned(),
    }
}

/// Whether a text of the editor says nothing yet: the template, or less.
pub(super) fn says_nothing(text: &str) -> bool {
    let text = without_help(text);
    let mut lines = text.lines().skip_while(|line| line.trim().is_empty());
    if lines.next() == Some("---") {
        let own = |line: &str| {
            ["date:", "vehicle:"]
                .iter()
                .any(|key| line.starts_with(key))
        };
        let front: Vec<&str> = lines.by_ref().take_while(|line| *line != "---").collect();
        return front.into_iter().all(own)
            && lines.all(|line| line.trim_matches(['#', ' ']).is_empty());
    }
    text.trim().is_empty()
}

/// Opens a file in the editor and waits for it; whether it ended well.
fn edit(editor: &str, file: &Path) -> Result<bool, Failure> {
    #[cfg(unix)]
    let status = Command::new("sh")
        .arg("-c")
        .arg(format!("{editor} \"$1\""))
        .arg("sh")
        .arg(file)
        .status();
    #[cfg(not(unix))]
    let status = {
        let mut words = editor.split_whitespace();
        Command::new(words.next().unwrap_or(editor))
            .args(words)
            .arg(file)
            .status()
    };
    match status {
        Ok(status) => Ok(status.success()),
        Err(error) => Err(Failure::misuse(
            format!("the editor `{editor}` could not be started: {error}"),
            format!(
                "set VISUAL or EDITOR to another; your text is in {}",
                file.display()
            ),
        )),
    }
}
