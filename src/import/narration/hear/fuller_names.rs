//! Parts that are named by their last word behind a fuller name: "the dust cap next, and the
//! cap's off".

use std::collections::BTreeSet;

use crate::import::narration::heard::Narration;
use crate::import::narration::mentions::{KEPT_PLACES, Mention, last_word};
use crate::import::narration::scene::Scene;
use crate::vocabulary::name::singular;

/// How long before, in milliseconds, the fuller name was said.
const BEFORE: u32 = 90_000;

/// Gives each part the fuller name, where there was one such name. Names of the journal stay.
pub(super) fn name_fully(narration: &mut Narration, scene: &Scene, journal: &[String]) {
    let fully = |part: &mut String, start: u32| {
        let is_known = journal.iter().any(|name| name.eq_ignore_ascii_case(part));
        if let Some(fuller) = fuller(part, start, scene).filter(|_| !is_known) {
            *part = fuller;
        }
    };
    for heard in &mut narration.heard {
        fully(&mut heard.part, heard.start);
    }
    for order in &mut narration.orders {
        fully(&mut order.first, order.start);
        fully(&mut order.part, order.start);
    }
    for left in &mut narration.left_out {
        fully(&mut left.part, left.start);
    }
}

fn fuller(part: &str, start: u32, scene: &Scene) -> Option<String> {
    if part.contains(' ') {
        return None;
    }
    let last = singular(part);
    let first_from = |time: u32| {
        let is_before = |mention: &Mention| scene.at(mention.words.start) < time;
        scene.mentions.partition_point(is_before)
    };
    let until = first_from(start.saturating_add(1));
    let from = first_from(start.saturating_sub(BEFORE)).min(until);
    let named = scene.mentions[from..until].iter();
    let named = named.filter(|mention| mention.is_part() && last_word(&mention.name) == last);
    let fuller: BTreeSet<&str> = named
        .filter_map(|mention| mention.name.rsplit_once(' '))
        .map(|(before, _)| before)
        .collect();
    let only = fuller.first().filter(|_| fuller.len() == 1)?;
    // "The top spring", and then any spring.
    let places = |word| KEPT_PLACES.iter().any(|(place, _)| *place == word);
    (!only.split(' ').any(places)).then(|| format!("{only} {part}"))
}

#[cfg(test)]
mod tests {
    use crate::import::narration::cues::Cue;
    use crate::import::narration::hear::{Told, hear};
    use crate::vocabulary::position::Driven;

    #[test]
    fn a_part_has_its_fuller_name_where_there_is_one() {
        let parts = |talk: &str, names: &[String]| -> Vec<String> {
            let cue = Cue {
                start: 0,
                end: 9_000,
                text: talk.to_owned(),
            };
            let heard = hear(vec![cue], names, Driven::Unsaid, Told::AtWork).heard;
            heard.into_iter().map(|heard| heard.part).collect()
        };
        let talk = "The dust cap next. Tap, tap, and the cap's off.";
        assert!(parts(talk, &[]).iter().all(|part| part == "dust cap"));
        let cap = ["Cap".to_owned()];
        assert!(parts(talk, &cap).iter().any(|part| part == "cap"));
        let talk = "The dust cap, then the filler cap. And the cap's off.";
        assert!(parts(talk, &[]).iter().any(|part| part == "cap"));
        let talk = "The top cap next. And the cap's off.";
        assert!(parts(talk, &[]).iter().any(|part| part == "cap"));
    }
}
