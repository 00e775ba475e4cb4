//! `replaced by` with the details nested below it.

use super::super::fact::{Fact, Fate, Replacement, ReplacementKind, UnitOrigin};
use super::super::item::Item;
use super::super::key::Key;
use super::super::stated::Stated;
use super::{FactContext, Value};
use crate::handbook::heading::read_reference;
use crate::vocabulary::words::{fold, one_slip};

/// The details that may be nested.
const DETAILS: [&str; 5] = ["kind", "number", "from", "cost", "old"];

impl FactContext<'_> {
    /// Reads `replaced by`; `None` when it says nothing at all.
    pub fn replacement(&mut self, item: &Item) -> Option<Stated> {
        let item = &with_details(item);
        if item.value.is_empty() && item.children.is_empty() {
            self.warning(
                item.span.clone(),
                "`replaced by` says nothing",
                "write what took its place: `replaced by: reproduction`",
            );
            return None;
        }
        if item.children.is_empty() && is_nothing(&item.value) {
            self.note(
                item.span.clone(),
                format!(
                    "`replaced by: {}` names nothing, so no new unit begins",
                    item.value
                ),
                "write it when there is one; `needs: buy ...` says that one is wanted",
            );
            return Some(Stated {
                fact: Fact::Unknown(item.whole()),
                key: Key::ReplacedBy,
                written: item.whole(),
                spot: self.lines.spot(item.span.clone()),
                inherited: false,
            });
        }
        let mut replacement = Replacement {
            what: item.value.clone(),
            kind: leading_kind(&item.value),
            ..Replacement::default()
        };
        let mut written = vec![item.value.clone()];
        let mut kind_said = false;
        for child in &item.children {
            written.push(child.whole());
            self.detail(child, &mut replacement, &mut kind_said);
        }
        written.retain(|text| !text.is_empty());
        Some(Stated {
            fact: Fact::ReplacedBy(Box::new(replacement)),
            key: Key::ReplacedBy,
            written: written.join("; "),
            spot: self.lines.spot(item.span.clone()),
            inherited: false,
        })
    }

    fn detail(&mut self, child: &Item, replacement: &mut Replacement, kind_said: &mut bool) {
        let Some(key) = &child.key else {
            if replacement.what.is_empty() {
                replacement.kind = leading_kind(&child.value);
                replacement.what.clone_from(&child.value);
            } else {
                replacement.what = format!("{}; {}", replacement.what, child.value);
            }
            return;
        };
        let folded = fold(key);
        let detail = if let Some(detail) = DETAILS.iter().find(|detail| **detail == folded) {
            *detail
        } else if let Some(near) = DETAILS.iter().find(|detail| one_slip(&folded, detail)) {
            self.warning(
                child.span.clone(),
                format!("`{key}` was read as `{near}`"),
                &format!("write `{near}`"),
            );
            *near
        } else {
            self.warning(
                child.span.clone(),
                format!("`{key}` is no detail of `replaced by`"),
                &format!("the details are: {}", DETAILS.join(", ")),
            );
            return;
        };
        let value = Value {
            text: child.value.clone(),
            span: child.span.clone(),
        };
        if value.text.is_empty() {
            self.warning(
                child.span.clone(),
                format!("`{detail}` says nothing"),
                "write a value behind the colon, or delete the line",
            );
            return;
        }
        match detail {
            "kind" if *kind_said => self.error(
                value.span,
                "a second `kind` for one unit",
                "the first one was taken; delete one of the two",
            ),
            "kind" => {
                *kind_said = true;
                replacement.kind = self.kind(&value);
            }
            "number" => replacement.number = Some(value.text),
            "from" => replacement.from = Some(self.origin(&value.text)),
            "cost" => replacement.cost = self.cost(&value),
            _ => replacement.old = self.fate(&value),
        }
    }

    fn kind(&mut self, value: &Value) -> Option<ReplacementKind> {
        let words = ReplacementKind::ALL.map(ReplacementKind::word);
        let at = self.one_of(value, &words, "kind")?;
        Some(ReplacementKind::ALL[at])
    }

    fn fate(&mut self, value: &Value) -> Option<Fate> {
        if ["core", "returned", "exchanged"].contains(&fold(&value.text).as_str()) {
            return Some(Fate::ReturnedAsCore);
        }
        let words = Fate::ALL.map(Fate::word);
        let at = self.one_of(value, &words, "old")?;
        Some(Fate::ALL[at])
    }

    /// Which of a closed set of words it is, or one slip away from.
    fn one_of(&mut self, value: &Value, words: &[&str], key: &str) -> Option<usize> {
        let folded = fold(&value.text);
        if let Some(at) = words.iter().position(|word| *word == folded) {
            return Some(at);
        }
        if let Some(at) = words.iter().position(|word| one_slip(&folded, word)) {
            let near = words[at];
            self.warning(
                value.span.clone(),
                format!("`{}` was read as `{near}`", value.text),
                &format!("write `{near}`"),
            );
            return Some(at);
        }
        self.error(
            value.span.clone(),
            format!("`{}` is no `{key}` of a replacement", value.text),
            &format!("`{key}` is one of: {}", words.join(", ")),
        );
        None
    }

    /// "pavetta, starter motor" is a place on another vehicle of the journal;
    /// anything else is someone.
    fn origin(&self, text: &str) -> UnitOrigin {
        let donor = text
            .split_once(',')
            .and_then(|(first, part)| Some((self.context.vehicle(first)?, part)))
            .filter(|(_, part)| !part.trim().is_empty());
        match donor {
            Some((vehicle, part)) => UnitOrigin::Donor {
                vehicle: vehicle.slug.clone(),
                part: read_reference(part, vehicle.driven),
            },
            None => UnitOrigin::Someone(text.to_owned()),
        }
    }
}

/// The item with the details that stand on its own line nested below it:
/// "magneto coil; kind: rebuilt; cost: 60.00".
fn with_details(item: &Item) -> Item {
    let mut pieces = item.value.split(';').map(str::trim);
    let mut value = pieces.next().unwrap_or_default().to_owned();
    let mut inline = Vec::new();
    for piece in pieces {
        let detail = Item::of_text(piece, item.span.clone());
        match &detail.key {
            Some(key) if DETAILS.contains(&fold(key).as_str()) => inline.push(detail),
            Some(_) | None => {
                value.push_str("; ");
                value.push_str(piece);
            }
        }
    }
    if inline.is_empty() {
        return item.clone();
    }
    inline.extend(item.children.iter().cloned());
    Item {
        value,
        children: inline,
        ..item.clone()
    }
}

/// Whether words say that nothing has taken the place yet: what is said of nothing, with
/// or without "yet".
pub(super) fn is_nothing(text: &str) -> bool {
    const NOTHING: [&str; 12] = [
        "nothing",
        "none",
        "not",
        "no",
        "nobody",
        "nil",
        "unknown",
        "undecided",
        "open",
        "tbd",
        "n/a",
        "na",
    ];
    const MORE: [&str; 8] = [
        "yet",
        "so far",
        "as yet",
        "until now",
        "for now",
        "at the moment",
        "one yet",
        "one",
    ];
    let folded = fold(text);
    let bare = folded.trim_matches(|c: char| c.is_ascii_punctuation() || c.is_whitespace());
    bare.is_empty()
        || NOTHING.iter().any(|word| {
            let rest = bare.strip_prefix(word).map(str::trim_start);
            rest.is_some_and(|rest| rest.is_empty() || MORE.contains(&rest))
        })
}

/// The kind that a free text begins with: "reproduction", "used, from a barn".
fn leading_kind(text: &str) -> Option<ReplacementKind> {
    let folded = fold(text);
    ReplacementKind::ALL.into_iter().find(|kind| {
        folded
            .strip_prefix(kind.word())
            .is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn details_may_stand_on_the_same_line() {
        let item = |text: &str| with_details(&Item::of_text(text, 0..text.len()));
        let read = item("replaced by: coil, hot; kind: rebuilt; cost: 60.00; old: kept");
        assert_eq!(read.value, "coil, hot");
        let details: Vec<String> = read.children.iter().map(Item::whole).collect();
        assert_eq!(details, ["kind: rebuilt", "cost: 60.00", "old: kept"]);
        let plain = item("replaced by: coil; the good one");
        assert_eq!(
            (plain.value.as_str(), plain.children.len()),
            ("coil; the good one", 0)
        );
    }

    #[test]
    fn nothing_is_no_new_unit() {
        for text in [
            "nothing yet",
            "Nothing.",
            "none so far",
            "n/a",
            "?",
            "-",
            "not yet",
            "no one yet",
        ] {
            assert!(is_nothing(text), "{text}");
        }
        for text in [
            "used one",
            "nothing special, a used one",
            "none other than",
            "north bracket",
            "new",
        ] {
            assert!(!is_nothing(text), "{text}");
        }
    }
}
