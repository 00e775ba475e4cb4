//! Footnotes that nothing but private text asks for: they are private too.
//!
//! How a footnote looks on a page is for `presentation` to say.

use std::collections::BTreeMap;
use std::ops::Range;

use pulldown_cmark::{Event, Options, Parser, Tag};

/// The bytes of the footnotes of a text of which each mark stands in what is hidden.
pub(super) fn of_hidden(text: &str, hidden: &[Range<usize>]) -> Vec<Range<usize>> {
    if hidden.is_empty() || !text.contains("[^") {
        return Vec::new();
    }
    let mut notes: BTreeMap<String, Range<usize>> = BTreeMap::new();
    // Whether a mark stands where it can be read.
    let mut marks: BTreeMap<String, bool> = BTreeMap::new();
    for (event, at) in Parser::new_ext(text, Options::ENABLE_FOOTNOTES).into_offset_iter() {
        if let Event::Start(Tag::FootnoteDefinition(mark)) = event {
            notes.insert(mark.into_string(), at);
        } else if let Event::FootnoteReference(mark) = event {
            let is_hidden = hidden.iter().any(|range| range.contains(&at.start));
            *marks.entry(mark.into_string()).or_default() |= !is_hidden;
        }
    }
    let is_private = |mark: &str| marks.get(mark) == Some(&false);
    let private = notes.into_iter().filter(|(mark, _)| is_private(mark));
    private.map(|(_, bytes)| bytes).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_footnote_is_as_private_as_all_of_its_marks() {
        let text = "Open[^a].\n\nHidden[^a] and[^b].\n\n[^a]: one\n\n[^b]: two\n    ![x](y.jpg)\n\n[^c]: three\n";
        let start = text.find("Hidden").expect("there");
        let hidden = start..text.find("\n\n[^a]").expect("there");
        let notes: Vec<&str> = of_hidden(text, std::slice::from_ref(&hidden))
            .into_iter()
            .map(|bytes| text[bytes].trim())
            .collect();
        assert_eq!(notes, ["[^b]: two\n    ![x](y.jpg)"]);
        assert!(of_hidden(text, &[]).is_empty());
    }
}
