//! Whether a title is paid: what is told has to say what it promises.

use std::collections::BTreeSet;

use super::material::Source;
use super::moments::Moment;
use crate::vocabulary::words::telling_stems;

/// Whether these moments, and the names of their parts, say at least half of the
/// words of each piece of a title that carry its meaning: "rear brakes, and a tank"
/// promises two things.
#[must_use]
pub fn pays<'m>(title: &str, told: impl Iterator<Item = (&'m Source, &'m Moment)>) -> bool {
    let mut said: BTreeSet<String> = BTreeSet::new();
    for (source, moment) in told {
        said.extend(telling_stems(&source.name));
        for sentence in &moment.sentences {
            said.extend(telling_stems(&sentence.text));
        }
    }
    let pieces: Vec<Vec<String>> = title
        .split([',', ';', ':'])
        .map(telling_stems)
        .filter(|piece| !piece.is_empty())
        .collect();
    let is_paid = |promised: &Vec<String>| {
        let kept = promised.iter().filter(|stem| said.contains(*stem)).count();
        kept > 0 && kept * 2 >= promised.len()
    };
    !pieces.is_empty() && pieces.iter().all(is_paid)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Context, read_file};
    use crate::ledger::Ledger;
    use crate::recap::material::material;
    use crate::vocabulary::money::Currency;

    #[test]
    fn a_title_is_paid_by_half_of_its_words() {
        let context = Context {
            systems: Vec::new(),
            vehicles: Vec::new(),
            currency: Currency::EUR,
        };
        for (title, text, expected) in [
            (
                "The tank comes down",
                "The tank went down to the floor.",
                true,
            ),
            (
                "The wrong way round",
                "That pin spun for a turn and went round.",
                false,
            ),
            (
                "Home on a trailer",
                "Jonas drove, as this is his trailer.",
                true,
            ),
            ("It is up", "The whole thing went up.", false),
            ("Rear brakes, and a tank", "Both rear brakes are on.", false),
            (
                "A burnt starter",
                "The smell stayed in the garage for two days.",
                true,
            ),
        ] {
            let text = format!(
                "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# {title}\n\n## Starter motor\n\n- status: removed\n\n{text}\n"
            );
            let entries = [read_file("entries/a.md", &text, &context).0];
            let all = material("wren", &entries, &Ledger::fold(&entries), &context);
            let told = all
                .moments
                .iter()
                .map(|one| (&all.sources[one.source], one));
            assert_eq!(pays(title, told), expected, "{title}");
        }
    }
}
