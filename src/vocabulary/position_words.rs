//! The words and initials by which people say where a part sits.
//!
//! It reads one term at a time; which terms of a heading are the part's place
//! and which belong to its name is decided in `handbook::heading`.

use super::position::{Driven, Side};
use super::words::one_slip;

/// What one term says about a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlaceTerm {
    /// These sides.
    Sides(Vec<Side>),
    /// A side that the vehicle file does not settle.
    Unsettled,
    /// Initials with two readings.
    Ambiguous(&'static str),
    /// The left one and the right one.
    Both,
    /// All four corners.
    AllFour,
    /// Joins two places: "left and right".
    And,
    /// One of two places: "left or right".
    Or,
}

/// A term that was read, with what has to be said about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadTerm {
    /// How many words it takes.
    pub words: usize,
    /// What it says.
    pub term: PlaceTerm,
    /// The word that was meant, if it was read with a slip.
    pub slip: Option<&'static str>,
    /// Whether it says a place only beside other such terms, or alone behind a
    /// comma: "top", "centre", "back", single letters.
    pub weak: bool,
}

/// How many words only confirm that the sides are those of the vehicle: "in driving
/// direction", "seen from behind"; 0 if none do.
#[must_use]
pub fn confirming(words: &[&str]) -> usize {
    const PHRASES: [&str; 12] = [
        "in driving direction",
        "in the driving direction",
        "in direction of driving",
        "in direction of travel",
        "in the direction of travel",
        "in travel direction",
        "in direction of motion",
        "seen from behind",
        "seen from the back",
        "viewed from behind",
        "seen from the driver's seat",
        "looking forward",
    ];
    let begins = |phrase: &&str| {
        let mut words = words.iter();
        phrase.split(' ').all(|word| words.next() == Some(&word))
    };
    let found = PHRASES.iter().find(|phrase| begins(phrase));
    found.map_or(0, |phrase| phrase.split(' ').count())
}

/// Reads the term that begins with the first of these words. They are in small
/// letters, without dots and without the strokes of initials: `L/H` is `lh`.
/// `stroked` are those that were written with a stroke.
#[must_use]
pub fn read_term(words: &[&str], stroked: &[bool], driven: Driven) -> Option<ReadTerm> {
    let first = *words.first()?;
    if let Some((taken, term)) = long_term(words, driven) {
        return Some(ReadTerm {
            words: taken,
            weak: WEAK.contains(&first)
                && taken == 1
                && !(says_who_sits(first) && words.get(1).is_some_and(|word| of_both_sides(word))),
            term,
            slip: None,
        });
    }
    let stroke = stroked.first().copied().unwrap_or_default();
    if let Some(term) = initials(first, stroke, driven) {
        return Some(ReadTerm {
            words: 1 + usize::from(says_side(words, 1)),
            weak: first.len() == 1,
            term,
            slip: None,
        });
    }
    let mut corrected = words.to_vec();
    let mut slipped = None;
    if let Some(meant) = slip(first) {
        corrected[0] = meant;
        slipped = Some(meant);
    }
    if OF_SIDES.contains(&corrected[0]) && words.get(1).is_some_and(|word| is_slip_of_side(word)) {
        corrected[1] = "side";
        slipped = Some("side");
    }
    let slip = Some(slipped?);
    let (taken, term) = long_term(&corrected, driven)?;
    Some(ReadTerm {
        words: taken,
        term,
        slip,
        weak: false,
    })
}

/// Words that say a place only with "side" behind them.
const OF_SIDES: [&str; 9] = [
    "driver's",
    "drivers",
    "driver",
    "passenger's",
    "passengers",
    "passenger",
    "pass",
    "near",
    "off",
];

/// "sid", "sde": "side" with one slip in it, and no other word.
fn is_slip_of_side(word: &str) -> bool {
    word.starts_with('s')
        && word.len() > 2
        && one_slip(word, "side")
        && !matches!(word, "slide" | "site" | "size" | "sid's" | "sides" | "sire")
}

/// Words that are more often part of a name than a place.
const WEAK: [&str; 16] = [
    "above",
    "below",
    "behind",
    "underneath",
    "driver",
    "drivers",
    "passenger",
    "passengers",
    "back",
    "top",
    "bottom",
    "centre",
    "center",
    "middle",
    "inside",
    "outside",
];

/// With "side" before them these are parts of their own: "left side panel" is the side
/// panel on the left. Common practice, no source.
const SIDE_PARTS: [&str; 24] = [
    "panel",
    "marker",
    "repeater",
    "lamp",
    "light",
    "window",
    "screen",
    "cover",
    "moulding",
    "molding",
    "strip",
    "board",
    "rave",
    "stand",
    "plate",
    "step",
    "skirt",
    "mirror",
    "rail",
    "curtain",
    "flasher",
    "indicator",
    "member",
    "valance",
];

/// Whether "side" stands there and belongs to the word before it.
fn says_side(words: &[&str], at: usize) -> bool {
    let next = words.get(at + 1).copied().unwrap_or_default();
    words.get(at) == Some(&"side") && !SIDE_PARTS.contains(&next.trim_end_matches('s'))
}

/// A term in whole words, with how many it takes.
fn long_term(words: &[&str], driven: Driven) -> Option<(usize, PlaceTerm)> {
    let word = |at: usize| words.get(at).copied().unwrap_or_default();
    let side_of = |side: Option<Side>| match side {
        Some(side) => PlaceTerm::Sides(vec![side]),
        None => PlaceTerm::Unsettled,
    };
    let first = word(0);
    if let Some(side) = plain_side(first) {
        let lateral = matches!(side, Side::Left | Side::Right);
        let mut taken = 1;
        if lateral && matches!(word(taken), "hand" | "handed") {
            taken += 1;
        }
        if lateral && says_side(words, taken)
            || matches!(side, Side::Inner | Side::Outer) && word(taken) == "side"
        {
            taken += 1;
        }
        return Some((taken, PlaceTerm::Sides(vec![side])));
    }
    let end = |at: usize| matches!(word(at), "front" | "rear");
    match first {
        "lefthand" => Some((
            1 + usize::from(word(1) == "side"),
            side_of(Some(Side::Left)),
        )),
        "righthand" => Some((
            1 + usize::from(word(1) == "side"),
            side_of(Some(Side::Right)),
        )),
        "driver's" | "drivers" | "driver" | "drv" | "drvr" | "dr" if word(1) == "side" => {
            Some((2, side_of(drivers(driven))))
        }
        "passenger's" | "passengers" | "passenger" | "pass" if word(1) == "side" => {
            Some((2, side_of(drivers(driven).and_then(Side::opposite))))
        }
        // "Co-driver" is the passenger where people grew up with another language.
        "co" if matches!(word(1), "driver's" | "drivers" | "driver") && word(2) == "side" => {
            Some((3, side_of(drivers(driven).and_then(Side::opposite))))
        }
        "codriver's" | "codrivers" | "codriver" if word(1) == "side" => {
            Some((2, side_of(drivers(driven).and_then(Side::opposite))))
        }
        // Who looks at the vehicle from its front has its left at the right hand.
        "seen" | "viewed" | "looking" | "looked" if word(1) == "from" => {
            let the = usize::from(word(2) == "the");
            matches!(
                word(2 + the),
                "front" | "ahead" | "outside" | "above" | "below"
            )
            .then_some((
                3 + the,
                PlaceTerm::Ambiguous("the side of the vehicle, or the side as one sees it"),
            ))
        }
        "driver" | "drivers" | "passenger" | "passengers" if words.len() == 1 => {
            let side = drivers(driven);
            let side = match first.starts_with('d') {
                true => side,
                false => side.and_then(Side::opposite),
            };
            Some((1, side_of(side)))
        }
        // "Driver door": which of two; the driver's seat is a name.
        "driver" | "drivers" | "driver's" if of_both_sides(word(1)) => {
            Some((1, side_of(drivers(driven))))
        }
        "passenger" | "passengers" | "passenger's" if of_both_sides(word(1)) => {
            Some((1, side_of(drivers(driven).and_then(Side::opposite))))
        }
        "driver" | "drivers" if end(1) => Some((1, side_of(drivers(driven)))),
        "passenger" | "passengers" | "pass" if end(1) => {
            Some((1, side_of(drivers(driven).and_then(Side::opposite))))
        }
        "nearside" => Some((1, side_of(nearside(driven)))),
        "offside" => Some((1, side_of(nearside(driven).and_then(Side::opposite)))),
        "near" if word(1) == "side" => Some((2, side_of(nearside(driven)))),
        "off" if word(1) == "side" => Some((2, side_of(nearside(driven).and_then(Side::opposite)))),
        "kerbside" | "curbside" | "roadside" => Some((1, PlaceTerm::Unsettled)),
        "kerb" | "curb" | "road" | "pavement" if word(1) == "side" => {
            Some((2, PlaceTerm::Unsettled))
        }
        "both" | "each" | "either" if word(1) == "sides" || word(1) == "side" => {
            Some((2, PlaceTerm::Both))
        }
        "both" => Some((1, PlaceTerm::Both)),
        "pair" if word(1) == "of" => Some((2, PlaceTerm::Both)),
        "all" if matches!(word(1), "four" | "4") && word(2) == "corners" => {
            Some((3, PlaceTerm::AllFour))
        }
        "all" if matches!(word(1), "four" | "4") => Some((2, PlaceTerm::AllFour)),
        "all" if matches!(word(1), "round" | "around") => Some((2, PlaceTerm::AllFour)),
        "and" | "&" | "+" => Some((1, PlaceTerm::And)),
        "or" => Some((1, PlaceTerm::Or)),
        _ => None,
    }
}

/// Whether a word names who sits on a side, and no side itself.
fn says_who_sits(word: &str) -> bool {
    word.starts_with("driver") || word.starts_with("passenger")
}

/// Parts of which each side has one.
fn of_both_sides(word: &str) -> bool {
    const PARTS: [&str; 25] = [
        "taillight",
        "taillamp",
        "tail",
        "indicator",
        "lamp",
        "light",
        "caliper",
        "hub",
        "hinge",
        "doors",
        "armrest",
        "sun",
        "sunvisor",
        "wiper",
        "quarterlight",
        "door",
        "window",
        "mirror",
        "wing",
        "fender",
        "headlamp",
        "headlight",
        "sill",
        "footwell",
        "wheel",
    ];
    PARTS.contains(&word)
}

fn plain_side(word: &str) -> Option<Side> {
    Some(match word {
        "left" => Side::Left,
        "right" => Side::Right,
        "front" | "anterior" | "fore" => Side::Front,
        "rear" | "back" | "posterior" | "aft" | "behind" => Side::Rear,
        "centre" | "center" | "middle" => Side::Centre,
        "upper" | "top" | "above" => Side::Upper,
        "lower" | "bottom" | "btm" | "below" | "underneath" => Side::Lower,
        "inner" | "inside" | "inboard" => Side::Inner,
        "outer" | "outside" | "outboard" => Side::Outer,
        _ => return None,
    })
}

/// Initials and shortened words.
fn initials(word: &str, stroke: bool, driven: Driven) -> Option<PlaceTerm> {
    use Side::{Centre, Front, Inner, Left, Lower, Outer, Rear, Right, Upper};
    let sides: &[Side] = match word {
        "lr" | "rl" if stroke => {
            return Some(PlaceTerm::Ambiguous("left rear, or left and right"));
        }
        "fr" if stroke => return Some(PlaceTerm::Ambiguous("right front, or front and rear")),
        "r" => return Some(PlaceTerm::Ambiguous("right, or rear")),
        "l" | "lh" | "lhs" | "lt" | "lhand" | "lhside" => &[Left],
        "rh" | "rhs" | "rt" | "rhand" | "rhside" => &[Right],
        "ls" | "lside" if stroke => &[Left],
        "rs" | "rside" if stroke => &[Right],
        "f" | "frt" => &[Front],
        "upr" | "uppr" => &[Upper],
        "lwr" => &[Lower],
        "ctr" | "cntr" => &[Centre],
        "inr" => &[Inner],
        "otr" | "outr" => &[Outer],
        "lf" | "fl" | "lhf" | "flh" | "lfh" => &[Left, Front],
        "rf" | "fr" | "rhf" | "frh" | "rfh" => &[Right, Front],
        "lr" | "rl" | "lhr" | "rlh" => &[Left, Rear],
        "rr" | "rhr" | "rrh" => &[Right, Rear],
        _ => {
            let (of, end) = british(word, stroke)?;
            let side = match of {
                'n' => nearside(driven),
                'o' => nearside(driven).and_then(Side::opposite),
                'd' => drivers(driven),
                _ => drivers(driven).and_then(Side::opposite),
            };
            return Some(match side {
                Some(side) => PlaceTerm::Sides([Some(side), end].into_iter().flatten().collect()),
                None => PlaceTerm::Unsettled,
            });
        }
    };
    Some(PlaceTerm::Sides(sides.to_vec()))
}

/// Initials of near, off, driver's and passenger side, with the end of the
/// vehicle that may stand before or behind them: `nsf`, `fos`, `os`, `nside`.
fn british(word: &str, stroke: bool) -> Option<(char, Option<Side>)> {
    let end = |letter: &str| match letter {
        "f" => Some(Side::Front),
        "r" => Some(Side::Rear),
        _ => None,
    };
    for of in ["n", "o", "d", "p"] {
        let own = format!("{of}s");
        let letter = of.chars().next()?;
        if word == own {
            // "DS" and "PS" are too short to mean a side without a stroke, and
            // "P/S" is power steering as well.
            return (matches!(of, "n" | "o") || (of == "d" && stroke)).then_some((letter, None));
        }
        if word.strip_prefix(of) == Some("side") && stroke {
            return Some((letter, None));
        }
        if let Some(side) = word.strip_prefix(own.as_str()).and_then(end) {
            return Some((letter, Some(side)));
        }
        if let Some(side) = word.strip_suffix(own.as_str()).and_then(end) {
            return Some((letter, Some(side))).filter(|_| matches!(of, "n" | "o"));
        }
    }
    None
}

/// The place word that was meant by one slip of the finger. The first letter of
/// a word is seldom wrong, and words of four letters have too many neighbours
/// to guess one that differs in a letter.
fn slip(word: &str) -> Option<&'static str> {
    const WORDS: [&str; 18] = [
        "left",
        "right",
        "front",
        "rear",
        "upper",
        "lower",
        "inner",
        "outer",
        "centre",
        "center",
        "driver's",
        "drivers",
        "passenger",
        "passengers",
        "passenger's",
        "nearside",
        "offside",
        "bottom",
    ];
    let length = word.chars().count();
    if word.len() < 3 || NO_SLIPS.contains(&word) {
        return None;
    }
    WORDS.into_iter().find(|known| {
        let short = known.len() == 4 && known.len() == length;
        let same_letters = || {
            let sorted = |text: &str| {
                let mut letters: Vec<char> = text.chars().collect();
                letters.sort_unstable();
                letters
            };
            sorted(word) == sorted(known)
        };
        word.chars().next() == known.chars().next()
            && one_slip(word, known)
            && (!short || same_letters())
    })
}

/// Words of their own that are one slip from a place.
const NO_SLIPS: [&str; 13] = [
    "frost", "frond", "rigid", "lower's", "lover", "loser", "inter", "otter", "ouster", "button",
    "rearm", "let", "driver",
];

/// The side on which the driver sits.
fn drivers(driven: Driven) -> Option<Side> {
    match driven {
        Driven::Left => Some(Side::Left),
        Driven::Right => Some(Side::Right),
        Driven::Unsaid => None,
    }
}

/// The side of the kerb where people drive on the left. Where the driver sits
/// on the left, people mean either side by it.
fn nearside(driven: Driven) -> Option<Side> {
    match driven {
        Driven::Right => Some(Side::Left),
        Driven::Left | Driven::Unsaid => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn term(text: &str, driven: Driven) -> Option<String> {
        let words: Vec<&str> = text.split(' ').collect();
        let stroked = vec![false; words.len()];
        let read = read_term(&words, &stroked, driven)?;
        assert_eq!(read.words, words.len(), "{text}");
        Some(match read.term {
            PlaceTerm::Sides(sides) => {
                let words: Vec<&str> = sides.iter().map(|side| side.word()).collect();
                words.join(" ")
            }
            PlaceTerm::Unsettled => "unsettled".into(),
            PlaceTerm::Ambiguous(_) => "ambiguous".into(),
            PlaceTerm::Both => "both".into(),
            PlaceTerm::AllFour => "all four".into(),
            PlaceTerm::And => "and".into(),
            PlaceTerm::Or => "or".into(),
        })
    }

    #[test]
    fn terms_of_both_sides_of_the_ocean() {
        for (text, driven, expected) in [
            ("left hand side", Driven::Left, "left"),
            ("back", Driven::Left, "rear"),
            ("lhf", Driven::Left, "left front"),
            ("rl", Driven::Left, "left rear"),
            ("osr", Driven::Right, "right rear"),
            ("fns", Driven::Right, "left front"),
            ("osr", Driven::Left, "unsettled"),
            ("near side", Driven::Right, "left"),
            ("near side", Driven::Left, "unsettled"),
            ("kerb side", Driven::Right, "unsettled"),
            ("driver's side", Driven::Left, "left"),
            ("drivers side", Driven::Unsaid, "unsettled"),
            ("passanger side", Driven::Right, "left"),
            ("rihgt", Driven::Left, "right"),
            ("lfet", Driven::Left, "left"),
            ("r", Driven::Left, "ambiguous"),
            ("both sides", Driven::Left, "both"),
            ("co driver's side", Driven::Left, "right"),
            ("codrivers side", Driven::Right, "left"),
            ("viewed from the front", Driven::Left, "ambiguous"),
            ("all four", Driven::Left, "all four"),
            ("all four corners", Driven::Left, "all four"),
            ("all 4 corners", Driven::Right, "all four"),
        ] {
            assert_eq!(term(text, driven).as_deref(), Some(expected), "{text}");
        }
    }

    #[test]
    fn words_that_are_no_place() {
        for text in [
            "light", "gear", "lift", "loft", "power", "frost", "rigid", "ps", "ds", "button",
            "wing", "read", "near", "off", "ls", "let",
        ] {
            assert_eq!(term(text, Driven::Right), None, "{text}");
        }
    }
}
