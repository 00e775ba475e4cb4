//! Names of tools: what a section is headed by that is about no part of the vehicle.
//!
//! Common practice, no source. Nothing stands here that also belongs to a vehicle: a
//! jack, a wheel brace, a starting handle are restored like any other part.

use std::sync::OnceLock;

use crate::vocabulary::words::{stem, words};

/// The last words of what tools are called.
const LAST: [&str; 22] = [
    "puller",
    "spanner",
    "wrench",
    "ratchet",
    "screwdriver",
    "plier",
    "hammer",
    "mallet",
    "extractor",
    "chisel",
    "hacksaw",
    "grinder",
    "welder",
    "multimeter",
    "micrometer",
    "caliper gauge",
    "trolley jack",
    "spring compressor",
    "axle stand",
    "engine crane",
    "engine hoist",
    "feeler gauge",
];

/// Whether a name is that of a tool.
#[must_use]
pub fn is_tool(name: &str) -> bool {
    static STEMS: OnceLock<Vec<Vec<String>>> = OnceLock::new();
    let stems = |text: &str| -> Vec<String> { words(text).map(|word| stem(&word)).collect() };
    let known = STEMS.get_or_init(|| LAST.iter().map(|last| stems(last)).collect());
    let name = stems(name);
    known.iter().any(|last| name.ends_with(last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tools_are_told_from_parts() {
        for name in [
            "hub puller",
            "Torque wrench",
            "slide hammer",
            "spring compressors",
            "pliers",
        ] {
            assert!(is_tool(name), "{name}");
        }
        for name in [
            "jack",
            "wheel brace",
            "hammer finish paint panel",
            "compressor",
            "stand",
            "brake caliper",
            "pedal",
            "starting handle",
            "",
        ] {
            assert!(!is_tool(name), "{name}");
        }
    }
}
