//! What was said near a line of a sheet: clause by clause, the parts that were named and the
//! hardware that was counted, for a person to choose from.
//!
//! What becomes of it is in `sheet_walk`.

use super::choices::NEAR;
use super::counted::counted;
use super::cues::Cue;
use super::lexicon::Lexicon;
use super::passages::SheetPassage;
use super::scene::Scene;
use super::sheet::{SheetLine, pieces_in_words};
use super::speech::{Stop, clauses, said, words};
use crate::vocabulary::name::singular;

/// So near, in seconds, a piece that names a part is about a line of it.
const AT_ONCE: u32 = 15;

/// The most words of a piece that has more than one clause.
const MOST_WORDS: usize = 16;

/// A clause or a short sentence, as a line may hold it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct SaidPiece {
    /// About when it was said, in seconds.
    at: Option<u32>,
    /// The words.
    pub(super) words: String,
}

/// What was said in a passage, piece by piece.
pub(super) fn said_pieces(passage: &SheetPassage) -> Vec<SaidPiece> {
    let paragraphs: Vec<(Option<u32>, &str)> = passage.paragraphs().collect();
    let mut all = Vec::new();
    for (number, (from, text)) in paragraphs.iter().enumerate() {
        let until = paragraphs.get(number + 1).and_then(|(until, _)| *until);
        let pieces = pieces_of(text);
        let count = u32::try_from(pieces.len()).unwrap_or(u32::MAX);
        for (number, words) in (0..).zip(pieces) {
            let spread = until
                .zip(*from)
                .map_or(0, |(until, from)| until.saturating_sub(from));
            let at = from.map(|from| from.saturating_add(spread.saturating_mul(number) / count));
            all.push(SaidPiece { at, words });
        }
    }
    all
}

/// A text in pieces: a sentence, or where it is long its clauses.
fn pieces_of(text: &str) -> Vec<String> {
    let cue = Cue {
        start: 0,
        end: 0,
        text: text.to_owned(),
    };
    let words = words(&[cue]);
    let mut pieces: Vec<std::ops::Range<usize>> = Vec::new();
    for clause in clauses(&words) {
        let goes_on = pieces.last_mut().filter(|piece| {
            let is_over = words[piece.end - 1].stop == Stop::End;
            !is_over && clause.words.end - piece.start <= MOST_WORDS
        });
        match goes_on {
            Some(piece) => piece.end = clause.words.end,
            None => pieces.push(clause.words),
        }
    }
    let as_text = |piece| {
        let text = said(&words, piece);
        // A bar would part the line.
        text.trim_end_matches(['.', ',', '!', ' '])
            .replace('|', "/")
    };
    pieces.into_iter().map(as_text).collect()
}

/// The number of the piece that a line is about: the nearest that names its part, else the
/// one that was said then.
pub(super) fn about(pieces: &[SaidPiece], line: &SheetLine) -> usize {
    let name = line.part.split(',').next().unwrap_or_default();
    let last = singular(name.rsplit(' ').next().unwrap_or_default());
    let names_it = |piece: &SaidPiece| {
        crate::vocabulary::words::words(&piece.words).any(|word| singular(&word) == last)
    };
    let named = pieces.iter().enumerate().filter_map(|(number, piece)| {
        let apart = apart(line, piece.at).filter(|apart| *apart <= AT_ONCE)?;
        names_it(piece).then_some((apart, number))
    });
    let then = || {
        let begun = |piece: &&SaidPiece| {
            piece
                .at
                .is_none_or(|at| line.at.is_none_or(|own| at <= own))
        };
        pieces.iter().take_while(begun).count().saturating_sub(1)
    };
    named.min().map_or_else(then, |(_, number)| number)
}

/// How far something is from a line, if it is near.
fn apart(line: &SheetLine, at: Option<u32>) -> Option<u32> {
    let (Some(one), Some(two)) = (line.at, at) else {
        return Some(0);
    };
    Some(one.abs_diff(two)).filter(|apart| *apart <= NEAR)
}

/// The parts that were named near a line, the nearest first. `names` are those of the journal.
pub(super) fn parts_named(pieces: &[SaidPiece], line: &SheetLine, names: &[String]) -> Vec<String> {
    let scene = scene_of(pieces, names);
    let named = scene.mentions.iter().filter(|mention| mention.is_part());
    let named = named.map(|mention| (scene.at(mention.words.start), mention.name.clone()));
    nearest(named, line)
}

/// The hardware that was counted near a line, the nearest first.
pub(super) fn hardware_counted(pieces: &[SaidPiece], line: &SheetLine) -> Vec<String> {
    let scene = scene_of(pieces, &[]);
    let counted = counted(&scene).into_iter().map(|counted| {
        let start = scene.mentions[counted.mention].words.start;
        (scene.at(start), pieces_in_words(&counted.pieces))
    });
    nearest(counted, line)
}

fn nearest(said: impl Iterator<Item = (u32, String)>, line: &SheetLine) -> Vec<String> {
    let mut near: Vec<(u32, String)> = said
        .filter_map(|(at, text)| Some((apart(line, Some(at / 1_000))?, text)))
        .collect();
    near.sort_by_key(|(apart, _)| *apart);
    let mut texts: Vec<String> = Vec::new();
    for (_, text) in near {
        if !texts.contains(&text) {
            texts.push(text);
        }
    }
    texts
}

fn scene_of(pieces: &[SaidPiece], names: &[String]) -> Scene {
    let cue = |piece: &SaidPiece| {
        let start = piece.at.unwrap_or_default().saturating_mul(1_000);
        Cue {
            start,
            end: start,
            text: format!("{}.", piece.words),
        }
    };
    let cues: Vec<Cue> = pieces.iter().map(cue).collect();
    Scene::new(&cues, &Lexicon::new(names))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::narration::passages::passages;
    use crate::import::narration::sheet_text::SheetText;

    #[test]
    fn a_line_is_about_what_names_its_part_or_was_said_then() {
        let sheet = SheetText::new(
            "> 0:00:00 The lid. It's bent. Sad.\n> 0:00:30 And the pin, new one. Tea.\n\
             [ ] 0:00:20 found: pin\n[ ] 0:00:12 found: nut\n[ ] 0:00:29 found: nut\n\
             [ ] 0:00:31 found: lid\n[ ] found: lid\n",
        );
        let pieces = said_pieces(&passages(&sheet)[0]);
        let told = |at: usize| {
            let line = sheet.line(at).expect("a line");
            pieces[about(&pieces, &line)].words.clone()
        };
        let told: Vec<String> = (2..7).map(told).collect();
        let expected = ["And the pin, new one", "It's bent", "Sad", "Tea", "The lid"];
        assert_eq!(told, expected);
    }

    #[test]
    fn a_long_sentence_is_told_in_clauses() {
        let text = "so the plug comes out and it's black and sooty and then i looked at \
                    the gap because that's what you do and it's wide";
        let pieces = pieces_of(text);
        assert!(pieces.len() > 1, "{pieces:?}");
        assert_eq!(pieces.join(" "), text);
        assert_eq!(
            pieces_of("One. Two|2, then. Three!"),
            ["One", "Two/2, then", "Three"]
        );
    }

    #[test]
    fn parts_and_hardware_are_named_near_a_line() {
        let sheet = SheetText::new(
            "> 0:00:00 The return springs, pliers. The zorb. Off come the brake shoes, and the drum.\n\
             > 0:00:20 Four nuts, bag three. The radiator's next week.\n\
             > 0:02:00 The bonnet, two bolts.\n[ ] 0:00:05 removed: drum\n",
        );
        let pieces = said_pieces(&passages(&sheet)[0]);
        let line = sheet.line(3).expect("a line");
        let parts = parts_named(&pieces, &line, &["Zorb".to_owned()]);
        for part in ["return springs", "zorb", "brake shoes", "drum"] {
            assert!(parts.iter().any(|named| named == part), "{parts:?}");
        }
        assert!(!parts.iter().any(|named| named == "bonnet"), "{parts:?}");
        assert_eq!(hardware_counted(&pieces, &line), ["4 nuts, bag 3"]);
    }
}
