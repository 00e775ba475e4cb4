//! Which part had to come off before another, as it was said: questions for the person.

use super::heard::HeardOrder;
use super::scene::Scene;
use crate::vocabulary::position::Side;

/// The orders that were heard.
#[must_use]
pub fn orders(scene: &Scene, sides: &[Vec<Side>]) -> Vec<HeardOrder> {
    let _ = (scene, sides);
    Vec::new()
}
