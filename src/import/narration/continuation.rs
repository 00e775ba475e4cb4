//! What somebody who types a line of a sheet may be about to type: the rest of a part's name,
//! of a side, or of a word of the talk, and then the word that was said next.
//!
//! Whether it is taken is for `sheet_walk`.

/// The sides of a part, the ones said most first.
const SIDES: [&str; 8] = [
    "left", "right", "front", "rear", "upper", "lower", "inner", "outer",
];

/// What may follow upon what was typed: the rest of a name of these parts, else a word of
/// what was said, both the nearest first.
pub(super) fn continuation(typed: &str, parts: &[String], said: &str) -> Option<String> {
    let own = typed.rsplit('|').next().unwrap_or_default();
    if own.len() < typed.len() {
        return word_of(own, said);
    }
    let part = own.split_once(':').map_or(own, |(_, part)| part);
    let part = part.trim_start();
    if let Some((_, sides)) = part.split_once(',') {
        let begun = sides.rsplit(' ').next().unwrap_or_default();
        return SIDES.iter().find_map(|side| rest_of(side, begun));
    }
    let name = parts.iter().find_map(|name| rest_of(name, part));
    name.or_else(|| word_of(part, said))
}

/// The rest of a text that begins with what was typed.
fn rest_of(text: &str, begun: &str) -> Option<String> {
    let head = text.get(..begun.len())?;
    let is_begun = !begun.is_empty() && head.eq_ignore_ascii_case(begun);
    (is_begun && text.len() > begun.len()).then(|| text[begun.len()..].to_owned())
}

/// The rest of the word that was begun, with a blank behind it; where none is, the word that
/// was said behind the last one. A word that follows upon the one before it is meant first.
fn word_of(typed: &str, said: &str) -> Option<String> {
    let begun = typed.rsplit(' ').next().unwrap_or_default();
    let before = typed.trim_end_matches(begun).trim_end();
    let before = before.rsplit(' ').next().unwrap_or_default();
    let words: Vec<&str> = said
        .split_whitespace()
        .map(|word| word.trim_matches(|sign: char| !sign.is_alphanumeric()))
        .filter(|word| !word.is_empty())
        .collect();
    let follows = |pair: &[&str]| {
        let [one, next] = pair else { return None };
        let is_next = !before.is_empty() && one.eq_ignore_ascii_case(before);
        is_next.then(|| match begun.is_empty() {
            true => Some((*next).to_owned()),
            false => rest_of(next, begun),
        })?
    };
    let any = || words.iter().find_map(|word| rest_of(word, begun));
    let rest = words.windows(2).find_map(follows).or_else(any)?;
    Some(rest + " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_a_side_or_a_word_is_offered() {
        let parts = ["brake drum, left".to_owned(), "bracket".to_owned()];
        let said = "The drum is off, and it's scored badly, \"scored\" like a record.";
        for (typed, expected) in [
            ("removed: b", "rake drum, left"),
            ("removed: BRA", "ke drum, left"),
            ("brac", "ket"),
            ("removed: bracket, lo", "wer"),
            ("removed: bracket, le", "ft"),
            ("removed: re", "cord "),
            ("found: bracket | sco", "red "),
            ("found: bracket | scored ", "badly "),
            ("found: bracket | it's scored badly ", "scored "),
            ("found: bracket | like a r", "ecord "),
        ] {
            let offered = continuation(typed, &parts, said);
            assert_eq!(offered.as_deref(), Some(expected), "{typed}");
        }
        for typed in [
            "",
            "removed: ",
            "removed: zinc",
            "found: bracket | ",
            "found: bracket | rust ",
        ] {
            assert_eq!(continuation(typed, &parts, said), None, "{typed}");
        }
    }
}
