//! The entries that an answer leaves out because they say no day or no vehicle.
//!
//! What is wrong in them is for `check` to say.

use super::fresh_index::Fresh;
use super::world::World;
use crate::entry::Entry;

/// The most entries that are named.
const MOST_NAMED: usize = 3;

/// Says in one line which of these entries an answer leaves out, if any.
pub(super) fn say_of(entries: &[Entry], world: &World) {
    let uncounted = entries.iter().filter(|entry| entry.is_uncounted());
    let paths: Vec<String> = uncounted.map(|entry| entry.path.clone()).collect();
    say(&paths, world);
}

impl Fresh {
    /// Says in one line which entries an answer from the index leaves out, if any.
    pub(super) fn say_uncounted(&self, world: &World) {
        say(&self.uncounted(), world);
    }
}

fn say(paths: &[String], world: &World) {
    if let Some(line) = line(paths) {
        world.say(line);
    }
}

fn line(paths: &[String]) -> Option<String> {
    let mut named = paths[..paths.len().min(MOST_NAMED)].join(", ");
    let more = paths.len().saturating_sub(MOST_NAMED);
    if more > 0 {
        named.push_str(&format!(" and {more} more"));
    }
    (!paths.is_empty()).then(|| {
        format!("left out here, for want of a day or a vehicle: {named} (`matchmark check`)")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_are_named_and_the_rest_is_counted() {
        let paths: Vec<String> = (1..=5).map(|at| format!("{at}.md")).collect();
        let of = |count: usize| line(&paths[..count]).unwrap_or_default();
        assert_eq!(of(0), "");
        assert!(of(1).contains("vehicle: 1.md (`"), "{}", of(1));
        assert!(of(5).contains("1.md, 2.md, 3.md and 2 more"), "{}", of(5));
    }
}
