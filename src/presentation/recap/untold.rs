//! What has not been told yet, for a person.

use crate::presentation::export::{Document, Exporter};
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{Text, TextStyle, brief, counted, plain};
use crate::recap::Untold;
use crate::vocabulary::record_name::RecordName;

/// A record told by more than one episode, with their paths.
pub type ToldTwice = (RecordName, Vec<String>);

/// What episodes have not told, and what several have.
#[derive(Clone, Copy, Debug)]
pub struct UntoldList<'a> {
    /// What has not been told, the weightiest first.
    pub untold: &'a [Untold<'a>],
    /// What was told twice.
    pub twice: &'a [ToldTwice],
    /// How much of it is shown at most.
    pub most: usize,
}

impl Exporter<UntoldList<'_>> for Terminal {
    fn export(&self, list: &UntoldList<'_>) -> Document {
        self.document(&render(list, self.width))
    }
}

fn render(list: &UntoldList<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    let UntoldList {
        untold,
        twice,
        most,
    } = *list;
    if untold.is_empty() && twice.is_empty() {
        text.line(0, TextStyle::Plain, "everything has been told");
        return text;
    }
    let (sayable, silent): (Vec<&Untold<'_>>, Vec<&Untold<'_>>) =
        untold.iter().partition(|one| one.weight.is_some());
    for one in sayable.iter().take(most) {
        let weight = one.weight.unwrap_or_default();
        let source = one.source;
        let what = match source.is_session() {
            true => source.title.unwrap_or("the session"),
            false => &source.label,
        };
        text.wrapped(
            0,
            6,
            &[
                plain(format!("{weight:>4}\u{a0}\u{a0}")),
                (TextStyle::Part, brief(what)),
                (TextStyle::Faint, format!(", {}", source.when.date)),
            ],
        );
        if let Some(first) = one.best.and_then(|best| best.sentences.first()) {
            text.line(6, TextStyle::Plain, &brief(&first.text));
        }
        text.line(
            6,
            TextStyle::Faint,
            &format!("{}:{}  {}", source.when.entry, one.line(), one.why),
        );
    }
    let more = sayable.len().saturating_sub(most);
    if more > 0 {
        text.line(
            0,
            TextStyle::Plain,
            &format!("and {more} more; --most shows more of them"),
        );
    }
    if !silent.is_empty() {
        let count = counted(silent.len(), "record", "records");
        let words = format!("{count} more with facts only: nothing there to tell");
        text.line(0, TextStyle::Faint, &words);
    }
    for (name, episodes) in twice {
        text.wrapped(
            0,
            2,
            &[
                (TextStyle::Note, "told twice: ".to_owned()),
                plain(format!("{} in {}", name.written(), episodes.join(", "))),
            ],
        );
    }
    text
}
