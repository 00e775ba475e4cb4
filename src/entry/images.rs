//! Markdown images in prose, taken as pictures of the record they stand in.
//!
//! The text stays as it is; an image that loads something from elsewhere is none.

use std::ops::Range;

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use super::fact::Fact;
use super::key::Key;
use super::model::Entry;
use super::source::Lines;
use super::stated::Stated;
use crate::vocabulary::named_picture::NamedPicture;

/// Adds the images in the prose of an entry to the facts of the record they stand in,
/// or of the session; a picture that is named by a fact as well only gets its caption.
pub(super) fn add(entry: &mut Entry, lines: &Lines<'_>) {
    // Nearly no text has one.
    if !entry.text.contains("![") {
        return;
    }
    let text = entry.text.clone();
    for passage in &entry.prose {
        add_in(passage.bytes.clone(), &text, lines, &mut entry.facts);
    }
    for record in &mut entry.records {
        if record.short.is_none() {
            add_in(
                record.passage.bytes.clone(),
                &text,
                lines,
                &mut record.facts,
            );
        }
    }
}

fn add_in(bytes: Range<usize>, text: &str, lines: &Lines<'_>, facts: &mut Vec<Stated>) {
    let Some(passage) = text.get(bytes.clone()) else {
        return;
    };
    for (picture, at) in images(passage) {
        let named = facts.iter_mut().find_map(|stated| {
            let Fact::Photo(named) = &mut stated.fact else {
                return None;
            };
            (named.path == picture.path).then_some(named)
        });
        if let Some(named) = named {
            named.caption = named.caption.take().or(picture.caption);
            continue;
        }
        facts.push(Stated {
            written: picture.written(),
            fact: Fact::Photo(picture),
            key: Key::Photo,
            spot: lines.spot(bytes.start + at.start..bytes.start + at.end),
            inherited: false,
        });
    }
}

/// The images of a text that lie in the journal, with their bytes.
#[must_use]
pub fn images(text: &str) -> Vec<(NamedPicture, Range<usize>)> {
    let mut found = Vec::new();
    let mut open: Option<(NamedPicture, Range<usize>)> = None;
    for (event, at) in Parser::new_ext(text, Options::ENABLE_TABLES).into_offset_iter() {
        if let Event::Start(Tag::Image { dest_url, .. }) = event {
            open = inside(&dest_url).map(|path| (NamedPicture::at(path), at));
        } else if let Event::Text(words) | Event::Code(words) = event {
            if let Some((picture, _)) = &mut open {
                picture.caption.get_or_insert_default().push_str(&words);
            }
        } else if let Event::End(TagEnd::Image) = event {
            found.extend(open.take());
        }
    }
    found
}

/// The path inside the journal: an entry lies in folders of it, so that a path may
/// climb first.
fn inside(address: &str) -> Option<String> {
    let path = address.trim_start_matches("../").trim_start_matches("./");
    let path = unescaped(path).unwrap_or_else(|| path.to_owned());
    (!path.is_empty() && !path.contains(':') && !path.starts_with('/')).then_some(path)
}

/// A path without percent signs: editors write `%20` for a blank.
fn unescaped(path: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = path.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let digits = [rest.next()?, rest.next()?];
        let digits = std::str::from_utf8(&digits).ok()?;
        bytes.push(u8::from_str_radix(digits, 16).ok()?);
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn images_are_pictures() {
        type Found<'a> = &'a [(&'a str, Option<&'a str>)];
        let rows: [(&str, Found<'_>); 9] = [
            (
                "See ![the *rear* strap](../../photos/a.jpg) there.",
                &[("photos/a.jpg", Some("the rear strap"))],
            ),
            ("![](photos/a.jpg \"title\")", &[("photos/a.jpg", None)]),
            ("![x](photos/a%20b.jpg)", &[("photos/a b.jpg", Some("x"))]),
            ("![x](<photos/a b.jpg>)", &[("photos/a b.jpg", Some("x"))]),
            ("![x](photos/50%.jpg)", &[("photos/50%.jpg", Some("x"))]),
            (
                "- ![a](a.png)\n- ![b](b.png)",
                &[("a.png", Some("a")), ("b.png", Some("b"))],
            ),
            ("![x](https://example.org/a.jpg)", &[]),
            ("![x](data:image/png;base64,AA) and [no](a.jpg)", &[]),
            ("    ![code](a.jpg)\n\n`![code](b.jpg)`", &[]),
        ];
        for (text, pictures) in rows {
            let found = images(text);
            let found: Vec<(&str, Option<&str>)> = found
                .iter()
                .map(|(picture, _)| (picture.path.as_str(), picture.caption.as_deref()))
                .collect();
            assert_eq!(found, pictures, "{text}");
        }
    }
}
