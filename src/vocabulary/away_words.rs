//! Who has a part that is away, and what is done to it there: "gone to the machine
//! shop", "with Dave for sandblasting", "sent for chrome, due 12 dec".
//!
//! It knows trades and their work; when it comes back is not read here.

use super::words::words;

/// Trades people take parts to, for one and for several. Common practice, no source.
const TRADES: &[&str] = &[
    "plater",
    "platers",
    "chromer",
    "chromers",
    "machinist",
    "machinists",
    "engineer",
    "engineers",
    "engineering",
    "painter",
    "painters",
    "sprayer",
    "sprayers",
    "blaster",
    "blasters",
    "sandblaster",
    "coater",
    "coaters",
    "welder",
    "welders",
    "fabricator",
    "upholsterer",
    "upholsterers",
    "trimmer",
    "trimmers",
    "rebuilder",
    "rebuilders",
    "specialist",
    "specialists",
    "foundry",
    "galvaniser",
    "galvanizer",
    "galvanisers",
    "bodyshop",
    "grinder",
    "grinders",
    "repairer",
    "repairers",
    "shop",
    "workshop",
    "dealer",
    "dealers",
    "restorer",
    "restorers",
    "polisher",
    "polishers",
    "electrician",
    "mechanic",
    "blacksmith",
    "garage",
    "works",
];

/// Work that is done elsewhere.
const WORK: &[&str] = &[
    "plating",
    "replating",
    "chroming",
    "rechroming",
    "chrome",
    "rechrome",
    "blasting",
    "sandblasting",
    "beadblasting",
    "painting",
    "paint",
    "respray",
    "spraying",
    "welding",
    "machining",
    "balancing",
    "grinding",
    "regrind",
    "regrinding",
    "rebore",
    "reboring",
    "boring",
    "honing",
    "coating",
    "powdercoating",
    "powdercoat",
    "trimming",
    "retrim",
    "retrimming",
    "repair",
    "repairs",
    "rebuild",
    "rebuilding",
    "galvanising",
    "galvanizing",
    "zinc",
    "polishing",
    "recore",
    "recoring",
    "skim",
    "skimming",
    "testing",
    "resleeving",
    "recon",
    "reconditioning",
    "refurb",
    "refurbishment",
    "straightening",
    "relining",
    "rewind",
    "rewinding",
    "crack",
    "shot",
];

/// Words that begin what is said of a part that is away; all but the last lead only.
const OPENINGS: &[&[&str]] = &[
    &["gone", "to"],
    &["gone", "off", "to"],
    &["gone", "for"],
    &["gone", "away", "for"],
    &["gone", "off", "for"],
    &["went", "to"],
    &["went", "for"],
    &["went", "off", "to"],
    &["taken", "to"],
    &["took", "to"],
    &["took", "it", "to"],
    &["taken", "for"],
    &["dropped", "at"],
    &["dropped", "off", "at"],
    &["dropped", "it", "at"],
    &["handed", "to"],
    &["given", "to"],
    &["sent", "to"],
    &["sent", "for"],
    &["sent", "off", "to"],
    &["sent", "off", "for"],
    &["sent", "away", "to"],
    &["sent", "away", "for"],
    &["sent", "out", "to"],
    &["sent", "out", "for"],
    &["out", "to"],
    &["out", "for"],
    &["out", "at"],
    &["off", "to"],
    &["off", "for"],
    &["off", "at"],
    &["away", "to"],
    &["away", "for"],
    &["away", "at"],
    &["away", "with"],
    &["in", "for"],
    &["in", "at"],
    &["in", "to"],
    &["over", "at"],
    &["posted", "to"],
    &["posted", "off", "to"],
    &["shipped", "to"],
    &["shipped", "off", "to"],
    &["at"],
    &["with"],
    &["booked", "in", "at"],
    &["left", "with"],
    &["left", "at"],
    &["being"],
];

/// Words that only lead to the others.
const LEADS: &[&str] = &[
    "its",
    "it",
    "is",
    "now",
    "just",
    "still",
    "currently",
    "has",
    "been",
    "s",
    "was",
    "already",
];

/// Whether the first piece of a text says that a part is away: an opening, and a trade or
/// its work within a few words behind it.
#[must_use]
pub fn is_away(text: &str) -> bool {
    let first = text.split([',', ';', '.', '(']).next().unwrap_or_default();
    let all: Vec<String> = words(&first.replace('\'', "")).collect();
    let lead = all
        .iter()
        .take_while(|word| LEADS.contains(&word.as_str()))
        .count();
    let said = &all[lead..];
    if all.len() > 10
        || all.iter().any(|word| {
            matches!(
                word.as_str(),
                "not" | "or" | "maybe" | "ready" | "needs" | "back"
            )
        })
    {
        return false;
    }
    let begins = |opening: &&&[&str]| {
        said.len() > opening.len() && opening.iter().zip(said).all(|(one, other)| one == other)
    };
    let Some(opening) = OPENINGS
        .iter()
        .filter(begins)
        .max_by_key(|opening| opening.len())
    else {
        return false;
    };
    let work = |word: &String| WORK.contains(&word.as_str());
    let trade = |word: &String| TRADES.contains(&word.as_str());
    let behind = &said[opening.len()..];
    let behind = &behind[..behind.len().min(5)];
    match *opening {
        // "being plated" is read by its verb; "with a spring" is no trade.
        ["being"] => behind
            .first()
            .is_some_and(|word| work(word) || done_elsewhere(word)),
        ["with" | "at"] => {
            let known = behind.iter().any(trade);
            known
                || behind
                    .windows(2)
                    .any(|pair| pair[0] == "for" && work(&pair[1]))
        }
        _ => behind.iter().any(|word| trade(word) || work(word)),
    }
}

/// "being chromed": work as a verb.
fn done_elsewhere(word: &str) -> bool {
    matches!(
        word,
        "plated"
            | "chromed"
            | "machined"
            | "rebuilt"
            | "painted"
            | "blasted"
            | "sandblasted"
            | "welded"
            | "resprayed"
            | "rebored"
            | "reground"
            | "powdercoated"
            | "retrimmed"
            | "balanced"
            | "galvanised"
            | "galvanized"
            | "rechromed"
            | "recored"
            | "relined"
            | "repaired"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_that_are_away() {
        for text in [
            "gone to the machine shop",
            "gone for plating",
            "at the platers till xmas",
            "taken to the welder",
            "with Dave for sandblasting",
            "sent for chrome, due 12 dec",
            "it's at the local engineering works",
            "dropped off at the powder coaters",
            "in for a regrind",
            "over at the trimmers",
            "being rechromed",
            "off to the blasters on monday",
            "sent away for zinc plating",
            "left with the welder",
        ] {
            assert!(is_away(text), "{text}");
        }
        for text in [
            "gone to the dump",
            "taken to pieces",
            "at home",
            "with the bracket",
            "off to bed",
            "in the loft",
            "not at the platers",
            "ready for paint",
            "needs to go to the welder",
            "off with the grille",
            "back from the plater",
            "sold to the dealer",
        ] {
            assert!(!is_away(text), "{text}");
        }
    }
}
