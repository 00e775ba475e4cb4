//! The hazards of this work, as published: a name, a short caution, where the
//! figures come from.
//!
//! Facts, worded as benchmarks from workplace rules; no rule here binds a person
//! at home. When a text raises one is decided by `rules`.

use serde::{Deserialize, Serialize};

/// What can hurt someone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Hazard {
    /// Dust of blasting and of sanded filler.
    Silica,
    /// Dust of old brakes and clutches.
    Asbestos,
    /// Old paint, lead loading.
    Lead,
    /// Two-pack paint.
    Isocyanates,
    /// Exhaust and heaters.
    CarbonMonoxide,
    /// A vehicle off the ground.
    Raised,
    /// Fuel, and heat on tanks and lines.
    Fuel,
    /// Chlorinated cleaner near an arc.
    Phosgene,
    /// Blowing parts off.
    CompressedAir,
    /// Air conditioning.
    Refrigerant,
    /// Batteries and their acid.
    Battery,
    /// Coil springs and torsion bars under load.
    Springs,
    /// Paint stripper.
    PaintStripper,
    /// Airbags and pretensioners.
    Airbag,
    /// Burning magnesium.
    Magnesium,
    /// Burnt fluoroelastomer seals.
    Fluoroelastomer,
    /// Wheels whose rim is held together by a ring.
    SplitRims,
    /// Gas struts and springs.
    GasStruts,
    /// Acid and lye that take off rust.
    Acid,
    /// A jet of oil or fuel under pressure.
    Injection,
    /// What turns: fans, shafts, grinding wheels.
    Rotating,
    /// Mercury, cadmium, fume of zinc and their kin.
    ToxicMetal,
}

/// Where a caution comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CautionSource {
    /// A published rule or standard, as it is cited.
    Published(&'static str),
    /// What the trade does, without a numbered rule or figure that is known.
    CommonPractice,
}

impl CautionSource {
    /// The words for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            CautionSource::Published(words) => words,
            CautionSource::CommonPractice => "common practice, no published figure",
        }
    }
}

/// A caution of the handbook.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub hazard: Hazard,
    /// The hazard in a word or two.
    pub name: &'static str,
    /// What to do, short enough for one line of a terminal beside what raised it; no
    /// figures.
    pub brief: &'static str,
    /// What to do and what to leave, with its figures: a benchmark from
    /// workplaces, short enough for two lines of a terminal.
    pub text: &'static str,
    /// Where that is published.
    pub source: CautionSource,
}

/// Said once with any cautions.
pub const SAFETY: &str = "Local rules, the service manual and licensed people come first.";

impl Hazard {
    /// The caution for it.
    #[must_use]
    pub fn caution(self) -> &'static Caution {
        // `ALL` holds each hazard at its own place, which a test looks after.
        &ALL[self as usize]
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.caution().name
    }
}

const fn published(
    hazard: Hazard,
    name: &'static str,
    brief: &'static str,
    text: &'static str,
    source: &'static str,
) -> Caution {
    Caution {
        hazard,
        name,
        brief,
        text,
        source: CautionSource::Published(source),
    }
}

const fn practice(
    hazard: Hazard,
    name: &'static str,
    brief: &'static str,
    text: &'static str,
) -> Caution {
    Caution {
        hazard,
        name,
        brief,
        text,
        source: CautionSource::CommonPractice,
    }
}

/// All cautions, in the order of [`Hazard`].
pub const ALL: [Caution; 22] = [
    published(
        Hazard::Silica,
        "silica dust",
        "extract or wet it, respirator",
        "workplace limit 50 µg/m³ respirable, action from 25: extract or wet it, respirator",
        "29 CFR 1910.1053; ventilation 1910.94(a)",
    ),
    published(
        Hazard::Asbestos,
        "asbestos",
        "wet wash or HEPA, no air jet",
        "old brake or clutch dust: no dry brushing, no compressed air; wet wash or HEPA",
        "29 CFR 1910.1001 app. F",
    ),
    published(
        Hazard::Lead,
        "lead",
        "work wet, no flame, wash",
        "workplace limit 50 µg/m³, action from 30: work wet, no flame, wash before eating",
        "29 CFR 1910.1025",
    ),
    published(
        Hazard::Isocyanates,
        "isocyanates",
        "supplied air, or no spraying",
        "two-pack sensitises, with poor warning: workshops spray it with supplied air",
        "OSHA letter of interpretation 1996-06-13",
    ),
    published(
        Hazard::CarbonMonoxide,
        "carbon monoxide",
        "exhaust outdoors, doors open",
        "exhaust outdoors, doors open, alarm; workplace limit 50 ppm, NIOSH 35, ceiling 200",
        "29 CFR 1910.1000; NIOSH",
    ),
    published(
        Hazard::Raised,
        "vehicle off the ground",
        "block it, trust no jack",
        "block it as soon as it is up; a jack only lifts, within the rating marked on it",
        "29 CFR 1910.244(a); ASME PASE-2019",
    ),
    published(
        Hazard::Fuel,
        "fuel vapour",
        "no flame, no spark, air",
        "no flame, no spark; no hot work on a used tank or line until cleaned and checked",
        "29 CFR 1910.252(a)(3)",
    ),
    published(
        Hazard::Phosgene,
        "phosgene",
        "none wet, none near an arc",
        "chlorinated cleaner near an arc makes it: no wet parts, no cleaner near welding",
        "29 CFR 1910.252(c)(11)",
    ),
    published(
        Hazard::CompressedAir,
        "compressed air",
        "guard, goggles, not at skin",
        "blow parts off with under 30 psi, chip guard and eye protection; never at skin",
        "29 CFR 1910.242(b)",
    ),
    published(
        Hazard::Refrigerant,
        "refrigerant",
        "certified people empty it",
        "not to be vented: certified people empty the circuit before it is opened",
        "Clean Air Act 608/609; 40 CFR 82 subpart B",
    ),
    published(
        Hazard::Battery,
        "battery acid and gas",
        "air, no spark, goggles",
        "ventilate, no flame, no spark; acid into water, never the reverse; cover your eyes",
        "29 CFR 1910.178(g)",
    ),
    practice(
        Hazard::Springs,
        "loaded springs",
        "sound compressor, stand aside",
        "the compressor the manual names, inspected, and nobody in line with it",
    ),
    published(
        Hazard::PaintStripper,
        "paint stripper",
        "air, gloves, goggles",
        "dichloromethane is barred for US consumers; workplace limit 25 ppm, 125 short-term",
        "40 CFR 751; 29 CFR 1910.1052",
    ),
    practice(
        Hazard::Airbag,
        "airbag or pretensioner",
        "battery off, then wait",
        "treat as live: battery off and time to discharge, face away, no meter, no heat",
    ),
    practice(
        Hazard::Magnesium,
        "burning magnesium",
        "no sparks, no water, dry sand",
        "chips burn and water feeds the fire: no sparks, dry sand or class D extinguisher",
    ),
    practice(
        Hazard::Fluoroelastomer,
        "burnt fluoroelastomer",
        "acid: no bare hands",
        "seals from a fire can hold a strong acid: treat as toxic, never bare-handed",
    ),
    published(
        Hazard::SplitRims,
        "split rims",
        "core out first, fill in a cage",
        "valve core out before the ring comes off; inflate in a cage, out of the ring's path",
        "29 CFR 1910.177",
    ),
    practice(
        Hazard::GasStruts,
        "gas struts",
        "prop the lid, never cut it",
        "always under pressure: prop the lid first; never cut, drill, heat or crush one",
    ),
    published(
        Hazard::Acid,
        "acid",
        "goggles, gloves, water at hand",
        "goggles, gloves, water to rinse eyes at hand, air; acid into water, nothing mixed in",
        "29 CFR 1910.151(c)",
    ),
    practice(
        Hazard::Injection,
        "hydraulic injection",
        "pressure off, use a card",
        "a fine jet goes through skin: pressure off, use a card; a wound is an emergency",
    ),
    published(
        Hazard::Rotating,
        "rotating parts",
        "guards on, nothing loose",
        "guards on, no loose sleeves, hair or gloves near it; stand aside of grinding wheels",
        "29 CFR 1910.212; 1910.215",
    ),
    published(
        Hazard::ToxicMetal,
        "toxic metal",
        "air, no dust, no heat",
        "mercury, cadmium, zinc fume: air, no dry dust, no heat without a respirator",
        "29 CFR 1910.1027 (cadmium); 1910.252(c)",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_hazard_has_its_own_caution() {
        for (at, caution) in ALL.iter().enumerate() {
            assert_eq!(caution.hazard as usize, at);
            assert_eq!(caution.hazard.caution(), caution);
        }
    }

    /// The figures of the rules named beside them.
    #[test]
    fn figures_stand_beside_their_source() {
        for (hazard, figures, source) in [
            (
                Hazard::Silica,
                &["50 µg/m³", "25"][..],
                "29 CFR 1910.1053; ventilation 1910.94(a)",
            ),
            (
                Hazard::Asbestos,
                &["no dry brushing", "no compressed air", "HEPA"],
                "29 CFR 1910.1001 app. F",
            ),
            (Hazard::Lead, &["50 µg/m³", "30"], "29 CFR 1910.1025"),
            (
                Hazard::Isocyanates,
                &["supplied air"],
                "OSHA letter of interpretation 1996-06-13",
            ),
            (
                Hazard::CarbonMonoxide,
                &["50 ppm", "35", "200"],
                "29 CFR 1910.1000; NIOSH",
            ),
            (
                Hazard::Raised,
                &["as soon as", "rating marked"],
                "29 CFR 1910.244(a); ASME PASE-2019",
            ),
            (
                Hazard::Fuel,
                &["no hot work", "cleaned and checked"],
                "29 CFR 1910.252(a)(3)",
            ),
            (
                Hazard::Phosgene,
                &["chlorinated", "arc"],
                "29 CFR 1910.252(c)(11)",
            ),
            (
                Hazard::CompressedAir,
                &["under 30 psi", "guard", "eye"],
                "29 CFR 1910.242(b)",
            ),
            (
                Hazard::Refrigerant,
                &["not to be vented", "certified people"],
                "Clean Air Act 608/609; 40 CFR 82 subpart B",
            ),
            (
                Hazard::Battery,
                &["acid into water", "ventilate", "no flame"],
                "29 CFR 1910.178(g)",
            ),
            (
                Hazard::PaintStripper,
                &["barred for US consumers", "25 ppm", "125"],
                "40 CFR 751; 29 CFR 1910.1052",
            ),
            (Hazard::SplitRims, &["core out", "cage"], "29 CFR 1910.177"),
            (Hazard::Acid, &["rinse eyes"], "29 CFR 1910.151(c)"),
            (
                Hazard::Rotating,
                &["guards on"],
                "29 CFR 1910.212; 1910.215",
            ),
            (
                Hazard::ToxicMetal,
                &["cadmium", "zinc fume"],
                "29 CFR 1910.1027 (cadmium); 1910.252(c)",
            ),
        ] {
            let caution = hazard.caution();
            assert_eq!(caution.source, CautionSource::Published(source));
            for figure in figures {
                assert!(caution.text.contains(figure), "{hazard:?}: {figure}");
            }
        }
        for hazard in [
            Hazard::Springs,
            Hazard::Airbag,
            Hazard::Magnesium,
            Hazard::Fluoroelastomer,
            Hazard::GasStruts,
            Hazard::Injection,
        ] {
            assert_eq!(hazard.caution().source, CautionSource::CommonPractice);
        }
    }

    #[test]
    fn a_caution_is_read_at_a_glance() {
        for caution in ALL {
            assert!(caution.text.chars().count() <= 90, "{}", caution.name);
            let line = caution.name.len() + caution.brief.len();
            assert!(line <= 46, "{}", caution.name);
            assert!(
                !caution.brief.contains(char::is_numeric),
                "{}",
                caution.name
            );
        }
    }
}
