//! Several parts named in one value: "bumper, grille", "fan and belt".
//!
//! A semicolon parts them; where nothing else can be meant a comma or "and" does, and
//! it is said. What a name means is read elsewhere.

use super::{FactContext, Value};
use crate::handbook::heading::read_heading;
use crate::handbook::parts::known_part;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Driven;

impl FactContext<'_> {
    /// The values of a key that names parts, each with one part.
    pub(super) fn named_parts(&mut self, values: &[Value]) -> Vec<Value> {
        let mut all = Vec::new();
        for value in values {
            let parted = self.parted(value, &JOINTS);
            if let [only] = parted.as_slice()
                && is_several(&only.text)
            {
                self.warning(
                    value.span.clone(),
                    format!("`{}` was read as the name of one part", value.text),
                    "part several names with `;`",
                );
            }
            all.extend(parted);
        }
        all
    }

    /// The parts of a value of the short form: commas part them where a known part
    /// stands on each side of all of them.
    pub fn parted_at_commas(&mut self, value: &Value) -> Vec<Value> {
        self.parted(value, &[","])
    }

    /// The value parted at one of these marks, if a known part stands on each side of
    /// each of them; it is said.
    fn parted(&mut self, value: &Value, marks: &[&str]) -> Vec<Value> {
        let pieces = pieces(&value.text, marks);
        let source = self.lines.text().get(value.span.clone());
        let is_whole = source == Some(value.text.as_str());
        let is_one = is_exactly_known(&value.text);
        if pieces.len() < 2 || is_one || !is_whole || !pieces.iter().all(|piece| is_part(piece)) {
            return vec![value.clone()];
        }
        self.warning(
            value.span.clone(),
            format!("`{}` was read as {} parts", value.text, pieces.len()),
            "part several names with `;`: commas never separate",
        );
        let mut from = 0;
        let part = |piece: &&str| {
            let at = value.text[from..].find(*piece).map_or(from, |at| from + at);
            from = at + piece.len();
            Value {
                text: (*piece).to_owned(),
                span: value.span.start + at..value.span.start + from,
            }
        };
        pieces.iter().map(part).collect()
    }
}

/// What joins two names.
const JOINTS: [&str; 5] = [",", " and ", " & ", " + ", " / "];

/// Whether a piece of a value is the name of a known part. "Earth wire, to inner wing"
/// is one connection.
fn is_part(piece: &str) -> bool {
    let leads = ["to ", "from ", "into "]
        .iter()
        .any(|lead| piece.starts_with(lead));
    !leads && known_part(&read_heading(piece, Driven::Unsaid).name).is_some()
}

/// Whether these words, all of them, are the name of a known part: "rack and pinion".
fn is_exactly_known(text: &str) -> bool {
    let own = Name::new(text);
    known_part(text).is_some_and(|part| part.names.iter().any(|name| Name::new(name) == own))
}

/// Whether a name that stayed whole may be several: "or", two known parts, or one with
/// a comma. "Rack and pinion" is one.
fn is_several(text: &str) -> bool {
    let name = read_heading(text, Driven::Unsaid).name;
    let known = pieces(&name, &JOINTS)
        .iter()
        .filter(|piece| is_part(piece))
        .count();
    let listed = name.contains(", ") && known > 0;
    name.contains(" or ") || !is_exactly_known(&name) && (known > 1 || listed)
}

/// Whether the name of a heading joins a known part with another by "and": "Inlet and
/// exhaust manifold". What pairs with a pinion is one.
pub(in crate::entry) fn joins_parts(name: &str) -> bool {
    let joined = pieces(name, &[" and ", " & ", " + "]);
    let last = joined.last().copied().unwrap_or_default();
    joined.len() > 1
        && !is_exactly_known(name)
        && !last.to_lowercase().starts_with("pinion")
        && joined.iter().any(|piece| is_part(piece))
}

/// What stands between these marks.
fn pieces<'t>(text: &'t str, marks: &[&str]) -> Vec<&'t str> {
    let mut all = vec![text];
    for mark in marks {
        all = all
            .into_iter()
            .flat_map(|piece| piece.split(*mark))
            .collect();
    }
    let all = all.into_iter().map(str::trim);
    all.filter(|piece| !piece.is_empty()).collect()
}
