//! From what was said to what is proposed: captions and dictated notes become lines
//! that a person ticks, and the ticked lines an entry.
//!
//! Small stages, each in a file: `cues`, `speech`, `lexicon`, `mentions`, `rules` with
//! `pattern`, `happened`, `likelihood`, `sides` with `shares`, `counted`, `hear`, `asked`,
//! `orders`. No rule knows what only the person can know: that is why there is a sheet.

mod asked;
pub mod choices;
mod continuation;
mod counted;
pub mod cues;
pub mod draft;
mod fact_line;
mod happened;
pub mod hear;
pub mod heard;
mod items;
mod lexicon;
mod likelihood;
mod mentions;
mod orders;
pub mod passages;
mod pattern;
pub mod refusals;
mod rules;
mod said_near;
mod scene;
mod shares;
pub mod sheet;
pub mod sheet_text;
pub mod sheet_walk;
mod sides;
mod speech;
pub mod typed_line;
mod unlisted;
mod whereabouts;
mod which_one;
pub mod written;
