//! Parts that raise a hazard by their name, when something happens to them.
//!
//! Common practice, no source. What a text tells is weighed by `likelihood`.

use std::ops::Range;

use super::hazard::Hazard;
use super::sentences::TextWord;
use crate::vocabulary::words::stem;

/// A part's name, together with what happens to the part.
pub(super) struct NameRule {
    /// What it raises.
    pub hazard: Hazard,
    /// What has to happen.
    pub when: CautionTrigger,
    /// The names, or the words in one, in any form; one written `=lining` in that form
    /// alone.
    names: &'static [&'static str],
    /// Words in a name that make it something else.
    unless: &'static [&'static str],
}

/// What has to happen to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CautionTrigger {
    /// A record speaks of it.
    Named,
    /// It comes off.
    ComesOff,
    /// It comes off or goes on.
    Moves,
    /// It comes off or goes on, and belongs to a suspension.
    MovesInSuspension,
}

impl NameRule {
    /// The words of a part's name that the rule is about.
    pub(super) fn find(&self, part: &[TextWord]) -> Option<Range<usize>> {
        if self
            .unless
            .iter()
            .any(|phrase| place(phrase, part).is_some())
        {
            return None;
        }
        self.names.iter().find_map(|phrase| place(phrase, part))
    }
}

/// Where the words of a phrase stand side by side.
fn place(phrase: &str, part: &[TextWord]) -> Option<Range<usize>> {
    let count = phrase.split(' ').count();
    let starts = 0..(part.len() + 1).saturating_sub(count);
    let mut places = starts.map(|at| at..at + count);
    places.find(|at| {
        let words = &part[at.clone()];
        let is_whole = words.iter().skip(1).all(|word| !word.apart);
        is_whole
            && words
                .iter()
                .zip(phrase.split(' '))
                .all(|(word, wanted)| is(word, wanted))
    })
}

fn is(word: &TextWord, wanted: &str) -> bool {
    match wanted.strip_prefix('=') {
        Some(form) => word.folded == form,
        // Most words differ at once: stemming takes longer.
        None => word.folded.get(..1) == wanted.get(..1) && word.stem == stem(wanted),
    }
}

/// All of them.
pub(super) const RULES: [NameRule; 11] = [
    NameRule {
        hazard: Hazard::Asbestos,
        when: CautionTrigger::ComesOff,
        names: &[
            "brake drum",
            "brake shoe",
            "handbrake shoe",
            "parking brake shoe",
            "brake band",
            "brake pad",
            "brake =lining",
            "brake =linings",
            "brake assembly",
            "backplate",
            "backing plate",
            "clutch",
        ],
        unless: &[
            "pedal", "rod", "cable", "cylinder", "hose", "pipe", "linkage", "fork", "lever",
            "housing", "bell",
        ],
    },
    NameRule {
        hazard: Hazard::Raised,
        when: CautionTrigger::Moves,
        names: &["wheel", "road wheel"],
        unless: &[
            "steering", "flywheel", "cylinder", "arch", "stud", "nut", "bearing", "trim", "fifth",
            "idler", "spare", "cap", "cover", "house", "well",
        ],
    },
    NameRule {
        hazard: Hazard::Raised,
        when: CautionTrigger::Moves,
        names: &[
            "axle",
            "gearbox",
            "transmission",
            "subframe",
            "leaf spring",
            "road spring",
            "differential",
        ],
        unless: &[
            "stub", "seal", "mount", "cover", "shaft", "lever", "tunnel", "oil", "bush", "support",
        ],
    },
    NameRule {
        hazard: Hazard::Raised,
        when: CautionTrigger::MovesInSuspension,
        names: &["spring"],
        unless: &[
            "seat", "clip", "return", "pull", "valve", "washer", "hanger", "shackle", "bush",
            "bonnet", "hood", "door",
        ],
    },
    NameRule {
        hazard: Hazard::Fuel,
        when: CautionTrigger::ComesOff,
        names: &[
            "fuel tank",
            "petrol tank",
            "gas tank",
            "gasoline tank",
            "petrol pipe",
            "petrol hose",
            "sender unit",
            "fuel tap",
            "petrol tap",
            "sediment bowl",
            "filler neck",
            "filler pipe",
            "fuel sender",
            "tank sender",
            "fuel pump",
            "petrol pump",
            "fuel line",
            "petrol line",
            "gas line",
            "fuel pipe",
            "fuel hose",
            "fuel filter",
        ],
        unless: &[
            "gauge",
            "temperature",
            "oil",
            "strap",
            "cap",
            "clip",
            "flap",
            "bracket",
        ],
    },
    NameRule {
        hazard: Hazard::Refrigerant,
        when: CautionTrigger::Named,
        names: &[
            "air conditioning compressor",
            "air conditioner compressor",
            "a c compressor",
            "aircon compressor",
            "a c condenser",
            "aircon condenser",
            "air conditioning condenser",
            "a c evaporator",
            "a c hose",
            "a c pipe",
            "receiver drier",
        ],
        unless: &["belt", "mount", "bracket", "clutch"],
    },
    NameRule {
        hazard: Hazard::Battery,
        when: CautionTrigger::Moves,
        names: &["battery"],
        unless: &["tray", "box", "strap", "carrier", "cover", "lid", "hatch"],
    },
    NameRule {
        hazard: Hazard::Springs,
        when: CautionTrigger::Named,
        names: &["coil spring", "torsion bar", "suspension strut", "strut"],
        unless: &[
            "gas", "bonnet", "hood", "boot", "trunk", "tailgate", "anchor", "tower", "top", "brace",
        ],
    },
    NameRule {
        hazard: Hazard::Airbag,
        when: CautionTrigger::Named,
        names: &["airbag", "air bag", "pretensioner"],
        unless: &[],
    },
    NameRule {
        hazard: Hazard::SplitRims,
        when: CautionTrigger::Named,
        names: &["split rim", "split wheel"],
        unless: &[],
    },
    NameRule {
        hazard: Hazard::GasStruts,
        when: CautionTrigger::ComesOff,
        names: &[
            "gas strut",
            "bonnet strut",
            "hood strut",
            "tailgate strut",
            "boot strut",
            "trunk strut",
            "hatch strut",
            "lid strut",
            "gas spring",
        ],
        unless: &[],
    },
];
