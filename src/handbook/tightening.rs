//! A general tightening torque from physics: T = K·D·F.
//!
//! Never a manual's figure, and never for what a life hangs on: see
//! [`super::restricted`]. It assumes steel on steel, a bolt that stretches
//! evenly, and friction as in the table; how far a real joint is off is in
//! [`SCATTER`].

use super::strength::{NoStrength, Strength, strength};
use super::threads;
use crate::vocabulary::grade::Grade;
use crate::vocabulary::thread::Thread;

/// How far the pull of a real joint may be off a figure reckoned with a nut factor,
/// either way (common practice, no source).
pub const SCATTER: &str = "a third";

/// The share of the proof load, in hundredths, for joints that come apart again; 90 for
/// those that do not (Shigley, Mechanical Engineering Design, section 8-11, from memory).
pub const USUAL_SHARE: u32 = 75;

/// The state of thread and head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Friction {
    /// Plain steel, dry.
    Plain,
    /// Zinc plated, dry.
    Zinc,
    /// Oiled or greased.
    Lubricated,
    /// Cadmium plated.
    Cadmium,
    /// With an anti-seize paste.
    AntiSeize,
}

impl Friction {
    /// All of them, the driest first.
    pub const ALL: [Friction; 5] = [
        Friction::Plain,
        Friction::Zinc,
        Friction::Lubricated,
        Friction::Cadmium,
        Friction::AntiSeize,
    ];

    /// The nut factor K in hundredths: Shigley, Mechanical Engineering Design,
    /// table 8-15.
    #[must_use]
    pub const fn nut_factor(self) -> u32 {
        match self {
            Friction::Plain => 30,
            Friction::Zinc => 20,
            Friction::Lubricated => 18,
            Friction::Cadmium => 16,
            Friction::AntiSeize => 12,
        }
    }

    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Friction::Plain => "plain steel, dry",
            Friction::Zinc => "zinc plated, dry",
            Friction::Lubricated => "lubricated",
            Friction::Cadmium => "cadmium plated",
            Friction::AntiSeize => "anti-seize paste",
        }
    }
}

/// A general figure with all it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct General {
    /// Stress area: square inches, or square millimetres.
    pub area: f64,
    /// What the standard asks of the bolt.
    pub strength: Strength,
    /// The load it must take: pounds-force, or newtons.
    pub proof_load: f64,
    /// The clamping force at the wanted share: pounds-force, or newtons.
    pub clamp: f64,
    /// The torque: pound-force inches, or newton metres.
    pub torque: f64,
}

/// Why there is no general figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoGeneral {
    /// No stress area is known of the thread.
    NoArea,
    /// No strength is known of it.
    NoStrength(NoStrength),
}

/// The torque of a thread at a share (in hundredths) of its proof load.
///
/// # Errors
/// When area or strength is not known.
pub fn general(
    thread: Thread,
    grade: &Grade,
    friction: Friction,
    share: u32,
) -> Result<General, NoGeneral> {
    let diameter = threads::diameter(thread).ok_or(NoGeneral::NoArea)?;
    let area = threads::stress_area(thread).ok_or(NoGeneral::NoArea)?;
    let metric = thread.is_metric();
    let strength = strength(grade, diameter, metric).map_err(NoGeneral::NoStrength)?;
    let proof_load = area * f64::from(strength.proof);
    let clamp = proof_load * f64::from(share) / 100.0;
    // Metric diameters are millimetres; the torque is in newton metres.
    let arm = diameter.value() / if metric { 1000.0 } else { 1.0 };
    Ok(General {
        area,
        strength,
        proof_load,
        clamp,
        torque: torque(friction.nut_factor(), arm, clamp),
    })
}

/// T = K·D·F, K in hundredths.
fn torque(nut_factor: u32, diameter: f64, force: f64) -> f64 {
    f64::from(nut_factor) / 100.0 * diameter * force
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::size::Size;

    fn of(text: &str, grade: &str, friction: Friction, share: u32) -> General {
        let thread = Size::find(text)
            .and_then(|found| found.size.thread)
            .expect(text);
        general(thread, &Grade::read(grade).expect(grade), friction, share).expect(text)
    }

    #[test]
    fn nut_factors_are_shigleys() {
        // Shigley, Mechanical Engineering Design, table 8-15 (opened).
        let factors: Vec<u32> = Friction::ALL.iter().map(|one| one.nut_factor()).collect();
        assert_eq!(factors, [30, 20, 18, 16, 12]);
    }

    #[test]
    fn torque_is_nut_factor_times_diameter_times_force() {
        // Mott, Machine Elements in Mechanical Design, worked example of
        // chapter 19 (opened): K 0.15, D 0.375 in, F 4,000 lbf → 225 lbf·in.
        assert!((torque(15, 0.375, 4000.0) - 225.0).abs() < 1e-9);
    }

    #[test]
    fn half_inch_grade_five() {
        // Bolt torque guide (opened): 1/2-13 grade 5 at 75 % of proof, K 0.20:
        // 9,050 lbf, 75 lbf·ft.
        let found = of("1/2-13", "grade 5", Friction::Zinc, 75);
        assert_eq!((found.clamp / 50.0).round() * 50.0, 9050.0);
        assert_eq!((found.torque / 12.0).round(), 75.0);
    }

    #[test]
    fn proof_loads_of_metric_bolts() {
        // EN ISO 898-1, table of proof loads (two reprints, opened); the table
        // rounds areas and loads to three figures, some of them up.
        for (text, class, newtons) in [
            ("M8", "8.8", 21_200.0),
            ("M10", "8.8", 33_700.0),
            ("M10", "10.9", 48_100.0),
            ("M3", "4.8", 1560.0),
            ("M4", "12.9", 8520.0),
            ("M5", "5.6", 3980.0),
            ("M6", "8.8", 11_600.0),
            ("M7", "5.8", 11_000.0),
            ("M12", "6.8", 37_100.0),
            ("M14", "9.8", 74_800.0),
            ("M16", "8.8", 91_000.0),
            ("M18", "8.8", 115_000.0),
            ("M20", "10.9", 203_000.0),
            ("M22", "4.6", 68_200.0),
            ("M24", "8.8", 212_000.0),
            ("M27", "12.9", 445_000.0),
        ] {
            let load = of(text, class, Friction::Zinc, 75).proof_load;
            assert!(
                (load / newtons - 1.0).abs() < 0.007,
                "{text} {class}: {load}"
            );
        }
    }

    #[test]
    fn a_published_table_of_dry_torques() {
        // A bolt torque chart after SAE J429 grade 2 (opened):
        // 75 % of proof, K 0.20, lbf and lbf·ft, rounded there.
        for (text, grade, pounds, feet) in [
            ("1/4-20", "grade 2", 1312.0, 5.4),
            ("3/8-24", "grade 2", 3622.0, 22.6),
            ("7/16-20", "grade 2", 4896.0, 35.7),
            ("3/4-16", "grade 2", 15_366.0, 192.0),
            ("7/8-9", "grade 2", 11_435.0, 167.0),
            ("1-12", "grade 2", 16_409.0, 273.0),
            ("1-1/4-7", "grade 2", 23_983.0, 500.0),
        ] {
            let found = of(text, grade, Friction::Zinc, 75);
            assert!(
                (found.clamp / pounds - 1.0).abs() < 0.005,
                "{text}: {}",
                found.clamp
            );
            assert!(
                (found.torque / 12.0 / feet - 1.0).abs() < 0.015,
                "{text}: {}",
                found.torque
            );
        }
    }

    #[test]
    fn less_friction_needs_less_torque() {
        let torques: Vec<f64> = Friction::ALL
            .into_iter()
            .map(|friction| of("M10", "8.8", friction, 75).torque)
            .collect();
        assert!(torques.windows(2).all(|pair| pair[1] < pair[0]));
    }
}
