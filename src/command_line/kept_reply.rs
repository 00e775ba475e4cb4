//! The whole reply to a question about the journal as it is now, kept until anything
//! changes that it depends on: the journal, the day, the terminal, the program.
//!
//! Only what goes to standard output is kept: a file is written each time. How a reply
//! is made, and when it is to be kept, is each verb's own.

use std::fmt::Debug;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use super::arguments::{Forms, Output};
use super::fresh_index::Fresh;
use super::world::World;
use super::{Reply, kept_answer};
use crate::journal::Journal;

/// Maximum number of replies kept of each verb.
const EACH: u64 = 8;

/// A question whose reply may be kept.
#[derive(Debug)]
pub(super) struct Question {
    verb: &'static str,
    /// Everything that was typed, and how the reply is shown; `None` if it is not kept.
    words: Option<String>,
}

/// What is kept of a reply.
#[derive(Debug, Serialize, Deserialize)]
struct KeptReply {
    out: String,
    said: Vec<String>,
    yes: bool,
}

impl Question {
    /// What a verb was asked. Pages and other forms for other programs may hold pictures
    /// or the hour, so only words and JSON are kept.
    pub(super) fn of<F: Forms>(
        verb: &'static str,
        typed: &impl Debug,
        output: &Output<F>,
        world: &World,
    ) -> Question {
        let plain = output.form() == F::default() || output.is_json();
        let kept = plain && output.file().is_none();
        let words = || {
            let (width, colours) = (world.width, world.colours);
            let (today, program) = (world.today(), world.program());
            format!("{typed:?} {width} {colours} {today} {program:?}")
        };
        Question {
            verb,
            words: kept.then(words),
        }
    }

    /// The question, if its reply also depends on `more`.
    pub(super) fn and(mut self, more: &impl Debug) -> Question {
        if let Some(words) = &mut self.words {
            words.push_str(&format!(" {more:?}"));
        }
        self
    }

    /// The reply that was kept, if nothing has changed; else what keeps a new one.
    pub(super) fn kept(&self, fresh: &Fresh, journal: &Journal) -> Result<Reply, ReplyKeeper> {
        let state = fresh.index.state().ok().flatten();
        let Some((words, state)) = self.words.as_ref().zip(state) else {
            return Err(ReplyKeeper(None));
        };
        let mut hasher = DefaultHasher::new();
        words.hash(&mut hasher);
        let name = format!("{}-{}", self.verb, hasher.finish() % EACH);
        // One line: what was typed may hold any character, and `Debug` escapes them.
        let state = format!("{state} {words}");
        match kept_answer::read::<KeptReply>(journal, &name, &state) {
            Some(KeptReply { out, said, yes }) => Ok(Reply {
                out,
                said,
                yes,
                afterwards: None,
            }),
            None => Err(ReplyKeeper(Some((
                kept_answer::file(journal, &name),
                state,
            )))),
        }
    }
}

/// Keeps a reply once it was shown.
pub(super) struct ReplyKeeper(Option<(PathBuf, String)>);

impl ReplyKeeper {
    /// The reply, to be kept afterwards; then the index is ended.
    pub(super) fn keeping(self, mut reply: Reply, fresh: Fresh) -> Reply {
        let kept = KeptReply {
            out: reply.out.clone(),
            said: reply.said.clone(),
            yes: reply.yes,
        };
        reply.afterwards = Some(Box::new(move || {
            if let Some((file, state)) = self.0 {
                kept_answer::write(&file, &state, &kept);
            }
            fresh.index.end();
        }));
        reply
    }
}
