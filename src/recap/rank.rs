//! How central each sentence is among all of them: TextRank.
//!
//! Mihalcea and Tarau, "TextRank: Bringing Order into Texts" (EMNLP 2004):
//! sentences recommend each other by the words they share, divided by the
//! logarithms of their lengths, and the recommendations are weighed as pages
//! are (Brin and Page 1998). What an audience cares about is not known here.
//!
//! The pairs are never written down. Two sentences meet in the words they
//! share, and all sentences of one length look the same from there, so a round
//! takes the number of words times the number of different lengths, and a
//! thousand orders to change a bucket tooth cost a thousand, not a million.

use std::collections::BTreeMap;

/// How much of a sentence's rank is recommended by others (both papers).
const DAMPING: f64 = 0.85;

/// Rounds go on until no rank moves by more than this.
const STILL: f64 = 1e-7;

/// More rounds than any text needs.
const MOST_ROUNDS: usize = 200;

/// The rank of each sentence, given as its different telling stems: about 1
/// for one like most others, 0.15 for one that shares no word with any.
#[must_use]
pub fn text_rank(sentences: &[Vec<String>]) -> Vec<f64> {
    let meeting = Meeting::new(sentences);
    let strength = meeting.gather(&vec![1.0; sentences.len()]);
    let mut ranks = vec![1.0; sentences.len()];
    for _ in 0..MOST_ROUNDS {
        let shares: Vec<f64> = ranks
            .iter()
            .zip(&strength)
            .map(|(rank, strength)| {
                if *strength > 1e-12 {
                    rank / strength
                } else {
                    0.0
                }
            })
            .collect();
        let recommended = meeting.gather(&shares);
        let mut moved = 0.0_f64;
        for (rank, recommended) in ranks.iter_mut().zip(recommended) {
            let new = 1.0 - DAMPING + DAMPING * recommended;
            moved = moved.max((new - *rank).abs());
            *rank = new;
        }
        if moved < STILL {
            break;
        }
    }
    ranks
}

/// Where sentences meet: for each word, the lengths of the sentences with it.
struct Meeting {
    /// Of each sentence, the place of each of its words among `slots`: the
    /// first slot of the word, one past its last, and the sentence's own.
    words: Vec<Vec<(usize, usize, usize)>>,
    /// Of each slot, the length of its sentences as a logarithm.
    slots: Vec<f64>,
    /// Of each sentence, the logarithm of its length.
    lengths: Vec<f64>,
}

impl Meeting {
    fn new(sentences: &[Vec<String>]) -> Meeting {
        let mut by_word: BTreeMap<(&str, usize), usize> = BTreeMap::new();
        for sentence in sentences {
            for word in sentence {
                by_word.insert((word, sentence.len()), 0);
            }
        }
        let mut first_of: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
        let mut slots = Vec::with_capacity(by_word.len());
        for ((word, length), slot) in &mut by_word {
            *slot = slots.len();
            slots.push(logarithm(*length));
            let range = first_of.entry(word).or_insert((*slot, *slot));
            range.1 = *slot + 1;
        }
        let words = sentences
            .iter()
            .map(|sentence| {
                sentence
                    .iter()
                    .filter_map(|word| {
                        let (first, end) = first_of.get(word.as_str())?;
                        let own = by_word.get(&(word.as_str(), sentence.len()))?;
                        Some((*first, *end, *own))
                    })
                    .collect()
            })
            .collect();
        Meeting {
            words,
            slots,
            lengths: sentences
                .iter()
                .map(|words| logarithm(words.len()))
                .collect(),
        }
    }

    /// For each sentence, what all others hand it: their share times how like
    /// they are.
    fn gather(&self, shares: &[f64]) -> Vec<f64> {
        let mut handed = vec![0.0; self.slots.len()];
        for (words, share) in self.words.iter().zip(shares) {
            for (_, _, own) in words {
                handed[*own] += share;
            }
        }
        self.words
            .iter()
            .zip(shares)
            .zip(&self.lengths)
            .map(|((words, share), length)| {
                let mut sum = 0.0;
                for (first, end, own) in words {
                    let slots = handed[*first..*end].iter().zip(&self.slots[*first..*end]);
                    for (slot, (handed, other)) in (*first..).zip(slots) {
                        let own_share = if slot == *own { *share } else { 0.0 };
                        let (others, lengths) = (handed - own_share, length + other);
                        if lengths > 0.0 && others > 0.0 {
                            sum += others / lengths;
                        }
                    }
                }
                sum
            })
            .collect()
    }
}

/// The logarithm of a number of words; no sentence has more than the millions
/// that a float counts exactly.
fn logarithm(words: usize) -> f64 {
    f64::from(u32::try_from(words).unwrap_or(u32::MAX)).ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The method as it is published: every pair, one by one.
    fn pair_by_pair(sentences: &[Vec<String>]) -> Vec<f64> {
        let like = |a: &Vec<String>, b: &Vec<String>| {
            let shared = a.iter().filter(|word| b.contains(word)).count();
            let lengths = logarithm(a.len()) + logarithm(b.len());
            if shared == 0 || lengths <= 0.0 {
                0.0
            } else {
                shared as f64 / lengths
            }
        };
        let count = sentences.len();
        let pairs: Vec<Vec<f64>> = (0..count)
            .map(|a| {
                (0..count)
                    .map(|b| {
                        if a == b {
                            0.0
                        } else {
                            like(&sentences[a], &sentences[b])
                        }
                    })
                    .collect()
            })
            .collect();
        let strength: Vec<f64> = pairs.iter().map(|row| row.iter().sum()).collect();
        let mut ranks = vec![1.0; count];
        for _ in 0..500 {
            ranks = (0..count)
                .map(|a| {
                    let given: f64 = (0..count)
                        .filter(|b| strength[*b] > 0.0)
                        .map(|b| pairs[a][b] / strength[b] * ranks[b])
                        .sum();
                    0.15 + 0.85 * given
                })
                .collect();
        }
        ranks
    }

    proptest::proptest! {
        #[test]
        fn meeting_in_words_is_meeting_pair_by_pair(
            sentences in proptest::collection::vec(
                proptest::collection::btree_set("[a-h]", 0..6), 0..14)
        ) {
            let sentences: Vec<Vec<String>> = sentences
                .into_iter()
                .map(|words| words.into_iter().collect())
                .collect();
            for (fast, slow) in text_rank(&sentences).iter().zip(pair_by_pair(&sentences)) {
                proptest::prop_assert!((fast - slow).abs() < 1e-4, "{} {}", fast, slow);
            }
        }
    }

    #[test]
    fn what_shares_nothing_is_recommended_by_nobody() {
        let words = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
        let ranks = text_rank(&[
            words("tank strap rust"),
            words("tank strap bolt"),
            words("bolt tank"),
            words("cat asleep"),
        ]);
        assert!((ranks[3] - 0.15).abs() < 1e-9);
        assert!(ranks[1] > ranks[0] && ranks[1] > ranks[2]);
        assert!(text_rank(&[]).is_empty());
    }
}
