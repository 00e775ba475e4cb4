//! Hardware that was counted: how many, what, which size, which bag.
//!
//! To which part it belongs is worked out in `hear`.

use super::hear::is_same_name;
use super::heard::HeardPieces;
use super::lexicon::Thing;
use super::scene::Scene;
use super::speech::Stop;
use crate::vocabulary::name::singular;
use crate::vocabulary::spoken_number::{number_word, spoken_number};

/// Hardware and where it was said.
#[derive(Clone, Debug)]
pub struct CountedPieces {
    /// The hardware.
    pub pieces: HeardPieces,
    /// Its mention.
    pub mention: usize,
    /// The clause.
    pub clause: usize,
}

/// All hardware that was counted, the last word of a correction.
#[must_use]
pub fn counted(scene: &Scene) -> Vec<CountedPieces> {
    let mut all: Vec<CountedPieces> = Vec::new();
    for (number, mention) in scene.mentions.iter().enumerate() {
        let clause = scene.clause_of[number];
        if !mention.is_hardware() || mention.is_new || mention.is_beside && mention.count.is_none()
        {
            continue;
        }
        // "Castle nut, three-quarter."
        let is_announced = !mention.is_definite
            && mention.words.start == scene.clauses[clause].words.start
            && !mention.is_several()
            && scene.words[mention.words.end - 1].stop != Stop::None;
        let is_one = is_announced || is_in_a_list(scene, number) || is_told_off(scene, number);
        let Some(count) = mention.count.or(is_one.then_some(1)) else {
            continue;
        };
        let count = match of_each_side(scene, mention.words.end) {
            true => count * 2,
            false => count,
        };
        if count == 0 || scene.frames[clause] != super::happened::TalkFrame::Now {
            continue;
        }
        let next = scene
            .mentions
            .get(number + 1)
            .map_or(scene.words.len(), |next| next.words.start);
        let pieces = HeardPieces {
            count,
            what: singular(&mention.name).to_owned(),
            size: size_near(scene, mention.words.clone(), next),
            bag: bag_behind(scene, mention.words.end),
        };
        // "four screws, or it's got two": the later count of the same thing in one
        // breath is the right one.
        if let Some(last) = all.last_mut()
            && is_same_name(&last.pieces.what, &pieces.what)
            && last.pieces.count != count
            && (clause - last.clause <= 2 && corrects(scene, last.mention, number)
                || clause - last.clause <= 12
                    && !scene.mentions[last.mention + 1..number]
                        .iter()
                        .any(|other| other.is_part() && !other.is_beside))
        {
            *last = CountedPieces {
                pieces,
                mention: number,
                clause,
            };
            continue;
        }
        all.push(CountedPieces {
            pieces,
            mention: number,
            clause,
        });
    }
    all
}

/// "Split pin, castle nut, the big washer": one of each.
fn is_in_a_list(scene: &Scene, number: usize) -> bool {
    let one = &scene.mentions[number];
    let follows = |first: usize, second: usize| {
        let (Some(first), Some(second)) = (scene.mentions.get(first), scene.mentions.get(second))
        else {
            return false;
        };
        let between = first.words.end..second.words.start.max(first.words.end);
        first.is_hardware()
            && second.is_hardware()
            && scene.clauses.iter().any(|clause| {
                clause.words.contains(&first.words.start)
                    && clause.words.contains(&second.words.start)
            })
            && scene.words[between]
                .iter()
                .all(|word| matches!(word.key.as_str(), "and" | "the" | "then" | "big" | "little"))
    };
    !one.is_several() && (number > 0 && follows(number - 1, number) || follows(number, number + 1))
}

/// "Pinch bolt out", "the locking bolt's out": one.
fn is_told_off(scene: &Scene, number: usize) -> bool {
    let mention = &scene.mentions[number];
    let key = |back: usize| {
        scene
            .words
            .get(mention.words.end + back)
            .map_or("", |word| word.key.as_str())
    };
    let at = usize::from(matches!(key(0), "'s" | "is"));
    !mention.is_several()
        && mention.known.thing == Thing::Fastener
        && mention.name.contains(' ')
        && matches!(key(at), "out" | "off" | "undone")
}

/// "Two bolts each side", "two screws a side": of each as many.
fn of_each_side(scene: &Scene, end: usize) -> bool {
    let key = |at: usize| scene.words.get(at).map_or("", |word| word.key.as_str());
    matches!(key(end), "each" | "a" | "per" | "either") && matches!(key(end + 1), "side" | "end")
}

/// Whether words between two mentions take the first one back.
fn corrects(scene: &Scene, first: usize, second: usize) -> bool {
    let between = scene.mentions[first].words.end..scene.mentions[second].words.start;
    scene.words[between].iter().any(|word| {
        matches!(
            word.key.as_str(),
            "no" | "or" | "actually" | "sorry" | "only" | "mean" | "lie"
        )
    })
}

/// The size that is said before, in or behind a name; after a "no", the later.
fn size_near(scene: &Scene, own: std::ops::Range<usize>, next: usize) -> Option<String> {
    let from = own.start.saturating_sub(4);
    let to = (own.end + 12).min(next).min(scene.words.len());
    let mut size = None;
    let mut at = from;
    while at < to {
        match size_at(scene, at, to) {
            Some((found, used)) => {
                size = Some(found);
                at += used;
            }
            None => at += 1,
        }
    }
    size
}

/// A size that begins here, and its words: "nine-sixteenths", "10 mil", "half-inch".
fn size_at(scene: &Scene, at: usize, to: usize) -> Option<(String, usize)> {
    let key = |back: usize| match at + back < to {
        true => scene.words[at + back].key.as_str(),
        false => "",
    };
    let number = |word: &str| word.parse::<u32>().ok().or_else(|| number_word(word));
    let part = |word: &str| {
        Some(match word {
            "sixteenth" | "sixteenths" => 16,
            "eighth" | "eighths" => 8,
            "quarter" | "quarters" => 4,
            "half" => 2,
            "thirty-second" | "seconds" => 32,
            _ => return None,
        })
    };
    let first = key(0);
    if first.contains('/') && first.chars().all(|c| c.is_ascii_digit() || c == '/') {
        return Some((first.to_owned(), 1));
    }
    if first == "half" && key(1) == "inch" {
        return Some(("1/2".to_owned(), 2));
    }
    let above = number(first)?;
    if matches!(
        key(1),
        "mil"
            | "mill"
            | "mm"
            | "millimetre"
            | "millimeter"
            | "millimetres"
            | "millimeters"
            | "mils"
    ) {
        return Some((format!("{above} mm"), 2));
    }
    let below = part(key(1))?;
    (above < below).then(|| (format!("{above}/{below}"), 2))
}

/// "bag five", within a few words of the same sentence.
fn bag_behind(scene: &Scene, from: usize) -> Option<String> {
    let to = (from + 8).min(scene.words.len());
    for at in from..to {
        if let Some(label) = bag_at(scene, at) {
            return Some(label);
        }
        if scene.words[at].stop == Stop::End {
            return None;
        }
    }
    None
}

/// The longest number of a bag: "bag a hundred and thirty one".
const MOST_NUMBER_WORDS: usize = 5;

/// A bag named here: "bag five", "bag thirty-one", "tub 2".
#[must_use]
pub fn bag_at(scene: &Scene, at: usize) -> Option<String> {
    let word = scene.words.get(at)?;
    let next = scene.words.get(at + 1)?;
    let kind = word.key.as_str();
    if !matches!(kind, "bag" | "tub" | "tin" | "jar" | "box" | "pot" | "tray")
        || word.stop != Stop::None
    {
        return None;
    }
    let mut number = Vec::new();
    for word in scene.words[at + 1..].iter().take(MOST_NUMBER_WORDS) {
        number.push(word.key.as_str());
        if word.stop != Stop::None {
            break;
        }
    }
    let label = match spoken_number(&number) {
        Some((number, _)) => number.to_string(),
        None if next.key.bytes().all(|byte| byte.is_ascii_digit()) => next.key.clone(),
        None if next.key.len() == 1 && kind == "bag" && next.key != "a" && next.key != "i" => {
            next.key.to_uppercase()
        }
        None => return None,
    };
    Some(match kind {
        "bag" => label,
        _ => format!("{kind} {label}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::narration::cues::Cue;
    use crate::import::narration::lexicon::Lexicon;

    #[test]
    fn the_number_of_a_bag_may_have_several_words() {
        let bag = |text: &str| {
            let cue = Cue {
                start: 0,
                end: 9_000,
                text: text.to_owned(),
            };
            let scene = Scene::new(&[cue], &Lexicon::new(&[]));
            (0..scene.words.len()).find_map(|at| bag_at(&scene, at))
        };
        for (text, label) in [
            ("Four bolts, bag five.", "5"),
            ("That's bag thirty-one, then.", "31"),
            ("They go in bag thirty one", "31"),
            ("Bag twelve for those.", "12"),
            ("Bag two. Four more of them.", "2"),
            ("Into tub a hundred and six.", "tub 106"),
            ("Bag C.", "C"),
        ] {
            assert_eq!(bag(text).as_deref(), Some(label), "{text}");
        }
        assert_eq!(bag("A bag of nuts."), None);
    }
}
