//! Hands [`tokens`](super::tokens) to the search engine, stemmed or as they are.
//!
//! Offsets are not kept: excerpts are cut from the entry's own text.

use std::collections::HashMap;

use tantivy::tokenizer::{Token, TokenStream, Tokenizer, TokenizerManager};

use super::tokens::chunks;
use crate::vocabulary::words;

/// The name under which the stemming analyzer is registered.
pub(super) const STEMS: &str = "matchmark_stems";
/// The name of the one that leaves words as they are.
pub(super) const PLAIN: &str = "matchmark_plain";

/// Stems kept at hand; a journal has far fewer different words.
const STEMS_KEPT: usize = 50_000;

/// The analyzers of this index, on top of the engine's own: adding a document
/// fails in a worker thread when the one named "default" is missing.
pub(super) fn analyzers() -> TokenizerManager {
    let manager = TokenizerManager::default();
    manager.register(STEMS, Analyzer::new(true));
    manager.register(PLAIN, Analyzer::new(false));
    manager
}

#[derive(Clone)]
struct Analyzer {
    stemming: bool,
    stems: HashMap<String, String>,
    /// All token texts of the current text in one string.
    texts: String,
    /// Where each token ends in `texts`, and its position.
    ends: Vec<(usize, usize)>,
}

impl Analyzer {
    fn new(stemming: bool) -> Self {
        Self {
            stemming,
            stems: HashMap::new(),
            texts: String::new(),
            ends: Vec::new(),
        }
    }

    fn push(&mut self, token: &str, position: usize) {
        if self.stemming && token.chars().all(char::is_alphabetic) {
            // Words repeat: looking a stem up is many times faster than making it.
            if let Some(stem) = self.stems.get(token) {
                self.texts.push_str(stem);
            } else {
                if self.stems.len() >= STEMS_KEPT {
                    self.stems.clear();
                }
                let stem = words::stem(token);
                self.texts.push_str(&stem);
                self.stems.insert(token.to_owned(), stem);
            }
        } else {
            self.texts.push_str(token);
        }
        self.ends.push((self.texts.len(), position));
    }
}

impl Tokenizer for Analyzer {
    type TokenStream<'a> = Tokens<'a>;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Tokens<'a> {
        self.texts.clear();
        self.ends.clear();
        let mut position = 0;
        chunks(&words::fold(text), |chunk| {
            for whole in &chunk.wholes {
                self.push(whole, position);
            }
            for piece in &chunk.pieces {
                self.push(&piece.text, position);
                position += 1;
            }
        });
        Tokens {
            analyzer: self,
            next: 0,
            token: Token::default(),
        }
    }
}

struct Tokens<'a> {
    analyzer: &'a Analyzer,
    next: usize,
    token: Token,
}

impl TokenStream for Tokens<'_> {
    fn advance(&mut self) -> bool {
        let ends = &self.analyzer.ends;
        let Some(&(end, position)) = ends.get(self.next) else {
            return false;
        };
        let start = self.next.checked_sub(1).map_or(0, |last| ends[last].0);
        self.token.text.clear();
        self.token.text.push_str(&self.analyzer.texts[start..end]);
        self.token.position = position;
        self.next += 1;
        true
    }

    fn token(&self) -> &Token {
        &self.token
    }

    fn token_mut(&mut self) -> &mut Token {
        &mut self.token
    }
}
