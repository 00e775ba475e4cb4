//! "Don't", "mind", "always": what can hurt or go wrong.

use super::Ear;
use super::topics::ANNOUNCING;
use crate::import::narration::happened::TalkFrame;
use crate::import::narration::heard::{HeardKind, Tier};

impl Ear<'_> {
    /// "Don't", "mind", "always": what can hurt or go wrong.
    pub(super) fn warned(&mut self, clause: usize, frame: TalkFrame) {
        if frame != TalkFrame::Now {
            return;
        }
        let range = self.scene.clauses[clause].words.clone();
        let keys: Vec<&str> = self.scene.words[range]
            .iter()
            .map(|word| word.key.as_str())
            .collect();
        let skip = keys
            .iter()
            .take_while(|word| ANNOUNCING.contains(word))
            .count();
        let at = |back: usize| keys.get(skip + back).copied().unwrap_or_default();
        let warns = matches!(
            (at(0), at(1)),
            ("do", "not")
                | ("mind" | "careful" | "watch" | "never" | "wear", _)
                | ("be", "careful")
                | ("make", "sure")
                | ("always", _)
        ) || keys.windows(3).any(
            // "Hold the union or you'll wind the valve out."
            |three| matches!(three, ["or", "you" | "it" | "she" | "he", "'ll"]),
        ) || keys.windows(2).any(|pair| matches!(pair, ["do", "not"]))
            && keys.windows(3).any(|three| {
                matches!(
                    three,
                    ["you", "do", "not"] | ["now", "do", "not"] | ["and", "do", "not"]
                )
            });
        // "Never mind", "never told a soul".
        let is_past = at(0) == "never"
            && (at(1).ends_with("ed")
                || matches!(
                    at(1),
                    "mind" | "told" | "had" | "did" | "put" | "got" | "went" | "said" | "knew"
                ));
        if !warns
            || is_past
            || matches!(
                at(2),
                "know"
                    | "think"
                    | "see"
                    | "care"
                    | "need"
                    | "mind"
                    | "have"
                    | "want"
                    | "ask"
                    | "worry"
                    | "remind"
                    | "hold"
                    | "tell"
                    | "say"
                    | "laugh"
                    | "blame"
            )
        {
            return;
        }
        let number = self.scene.mentions_of(clause).next().or_else(|| {
            self.foreground(clause, true)
                .map(|at| self.topics[at].mention)
        });
        if let Some(number) = number {
            self.add(
                number,
                HeardKind::Caution,
                Tier::Inferred,
                self.scene.clause_start(clause),
                clause,
            );
        }
    }
}
