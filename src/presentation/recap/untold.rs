//! What has not been told yet, for a person.

use crate::presentation::text::{Label, Text, brief, counted, plain};
use crate::recap::Untold;
use crate::vocabulary::record_name::{RecordName, SESSION};

/// A record told by more than one episode, with their paths.
pub type Twice = (RecordName, Vec<String>);

/// The list, at most `most` of it.
#[must_use]
pub fn render(untold: &[Untold], twice: &[Twice], most: usize, width: usize) -> Text {
    let mut text = Text::new(width);
    let (sayable, silent): (Vec<&Untold>, Vec<&Untold>) =
        untold.iter().partition(|one| one.weight.is_some());
    for one in sayable.iter().take(most) {
        let weight = one.weight.unwrap_or_default();
        let what = match (&one.title, one.label.as_str()) {
            (Some(title), SESSION) => title.clone(),
            (None, SESSION) => "the session".to_owned(),
            (_, label) => label.to_owned(),
        };
        text.wrapped(
            0,
            6,
            &[
                plain(format!("{weight:>4}\u{a0}\u{a0}")),
                (Label::Part, brief(&what)),
                (Label::Faint, format!(", {}", one.date)),
            ],
        );
        if let Some(said) = &one.text {
            text.line(6, Label::Plain, &brief(said));
        }
        text.line(
            6,
            Label::Faint,
            &format!("{}:{}  {}", one.entry, one.line, one.why),
        );
    }
    let more = sayable.len().saturating_sub(most);
    if more > 0 {
        text.line(
            0,
            Label::Plain,
            &format!("and {more} more; --most shows more of them"),
        );
    }
    if !silent.is_empty() {
        let count = counted(silent.len(), "record", "records");
        let words = format!("{count} more with facts only: nothing there to tell");
        text.line(0, Label::Faint, &words);
    }
    for (name, episodes) in twice {
        text.wrapped(
            0,
            2,
            &[
                (Label::Note, "told twice: ".to_owned()),
                plain(format!("{} in {}", name.written(), episodes.join(", "))),
            ],
        );
    }
    text
}
