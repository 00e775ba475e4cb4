//! What the units of torque are worth in newton metres, exactly.
//!
//! After NIST SP 811 (2008), appendix B: an inch is 25.4 mm, a pound
//! 0.453 592 37 kg, standard gravity 9.806 65 m/s², all exact, so that every
//! factor here is. How much of a converted figure is worth showing is decided
//! here too.

use crate::vocabulary::fraction::Fraction;
use crate::vocabulary::torque::Torque;
use crate::vocabulary::torque_unit::TorqueUnit;

/// Newton metres in one unit, times 10²⁰.
const fn worth(unit: TorqueUnit) -> u128 {
    // 0.453 592 37 × 9.806 65 N, times 10¹³.
    const POUND: u128 = 45_359_237 * 980_665;
    match unit {
        TorqueUnit::PoundFoot => POUND * 3048 * 1000,
        TorqueUnit::PoundInch => POUND * 254 * 1000,
        // A sixteenth of the pound.
        TorqueUnit::OunceInch => POUND * 254 * 1000 / 16,
        TorqueUnit::NewtonMetre => 100_000_000_000_000_000_000,
        TorqueUnit::DecanewtonMetre => 1_000_000_000_000_000_000_000,
        TorqueUnit::KilogramMetre => 980_665_000_000_000_000_000,
        TorqueUnit::KilogramCentimetre => 9_806_650_000_000_000_000,
    }
}

/// A figure of one unit in another, rounded to `places` decimals, half up.
#[must_use]
pub fn converted(figure: Fraction, from: TorqueUnit, to: TorqueUnit, places: u32) -> u128 {
    let over = u128::from(figure.over()) * worth(from) * 10_u128.pow(places.min(6));
    let under = u128::from(figure.under()) * worth(to);
    (over + under / 2) / under
}

/// The factor as a floating-point number.
#[must_use]
pub fn newton_metres(figure: Fraction, unit: TorqueUnit) -> f64 {
    figure.value() * in_newton_metres(unit)
}

/// Newton metres in one unit.
#[must_use]
pub fn in_newton_metres(unit: TorqueUnit) -> f64 {
    worth(unit) as f64 / worth(TorqueUnit::NewtonMetre) as f64
}

/// How many decimals of a converted torque are worth showing: a wrench is good
/// to four parts in a hundred (ISO 6789-1, from memory), and a manual's figure
/// to about two places.
const fn places(thousandths: u128) -> u32 {
    match thousandths {
        0..2_000 => 2,
        2_000..20_000 => 1,
        _ => 0,
    }
}

/// A figure in another unit as it is shown beside the written one.
#[must_use]
pub fn shown(figure: Fraction, from: TorqueUnit, to: TorqueUnit) -> String {
    let places = places(converted(figure, from, to, 3));
    decimal(converted(figure, from, to, places), places)
}

/// A figure in another unit to four significant digits, for who asks for the
/// conversion itself.
#[must_use]
pub fn closely(figure: Fraction, from: TorqueUnit, to: TorqueUnit) -> String {
    let places = match converted(figure, from, to, 6) {
        0..1_000_000 => 4,
        1_000_000..10_000_000 => 3,
        10_000_000..100_000_000 => 2,
        100_000_000..1_000_000_000 => 1,
        _ => 0,
    };
    let text = decimal(converted(figure, from, to, places), places);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

fn decimal(number: u128, places: u32) -> String {
    let scale = 10_u128.pow(places);
    let whole = number / scale;
    match places {
        0 => whole.to_string(),
        places => format!(
            "{whole}.{:0width$}",
            number % scale,
            width = places as usize
        ),
    }
}

/// The units in which a torque is shown beside its own: a metric one for an
/// inch one and the other way round, both for kilograms.
#[must_use]
pub fn counterparts(torque: &Torque) -> Vec<TorqueUnit> {
    let Some(unit) = torque.unit else {
        return Vec::new();
    };
    // Small torques are given in inches, as wrenches for them are marked.
    let small = converted(torque.low, unit, TorqueUnit::PoundFoot, 0) < 10;
    let inch = if small {
        TorqueUnit::PoundInch
    } else {
        TorqueUnit::PoundFoot
    };
    match unit {
        TorqueUnit::PoundFoot | TorqueUnit::PoundInch | TorqueUnit::OunceInch => {
            vec![TorqueUnit::NewtonMetre]
        }
        TorqueUnit::NewtonMetre => vec![inch],
        TorqueUnit::DecanewtonMetre
        | TorqueUnit::KilogramMetre
        | TorqueUnit::KilogramCentimetre => vec![TorqueUnit::NewtonMetre, inch],
    }
}

/// A torque's figure or range in another unit: `102-122 N·m`.
#[must_use]
pub fn range(torque: &Torque, from: TorqueUnit, to: TorqueUnit) -> String {
    let low = shown(torque.low, from, to);
    let figures = match torque.high.map(|high| shown(high, from, to)) {
        Some(high) if high != low => format!("{low}-{high}"),
        Some(_) | None => low,
    };
    format!("{figures} {}", to.word())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_are_those_of_nist_sp_811() {
        // NIST SP 811, appendix B.8, rounded there; the long figures were
        // computed with two unit libraries.
        for (unit, factor, within) in [
            (TorqueUnit::PoundFoot, 1.355_817_948_3, 1e-10),
            (TorqueUnit::PoundInch, 0.112_984_829_0, 1e-10),
            (TorqueUnit::KilogramMetre, 9.806_65, 1e-12),
            // The same table, from memory: 7.061 552 E-03, 9.806 65 E-02.
            (TorqueUnit::OunceInch, 7.061_552e-3, 1e-9),
            (TorqueUnit::KilogramCentimetre, 9.806_65e-2, 1e-12),
        ] {
            assert!((in_newton_metres(unit) - factor).abs() < within, "{unit:?}");
        }
        assert_eq!(
            worth(TorqueUnit::PoundFoot),
            worth(TorqueUnit::PoundInch) * 12
        );
        assert_eq!(
            worth(TorqueUnit::PoundInch),
            worth(TorqueUnit::OunceInch) * 16
        );
    }

    #[test]
    fn converted_torques_show_what_is_worth_showing() {
        for (text, shown) in [
            ("75-90 lbf·ft", "102-122 N·m"),
            ("20 lbf·ft", "27 N·m"),
            ("95 lbf·in", "10.7 N·m"),
            ("40 ozf·in", "0.28 N·m"),
            ("12-15 N·m", "106-133 lbf·in"),
            ("100 N·m", "74 lbf·ft"),
            ("9.5 kgf·m", "93 N·m, 69 lbf·ft"),
            ("35 kgf·cm", "3.4 N·m, 30 lbf·in"),
        ] {
            let torque = Torque::read(text).expect(text);
            let unit = torque.unit.expect("a unit");
            let all: Vec<String> = counterparts(&torque)
                .into_iter()
                .map(|to| range(&torque, unit, to))
                .collect();
            assert_eq!(all.join(", "), shown, "{text}");
        }
        let seventy_five = Fraction::whole(75);
        let close = closely(seventy_five, TorqueUnit::PoundFoot, TorqueUnit::NewtonMetre);
        assert_eq!(close, "101.7");
    }

    proptest::proptest! {
        #[test]
        fn there_and_back_is_the_same(thousandths in 1_u32..5_000_000, from in 0_usize..7, to in 0_usize..7) {
            let (from, to) = (TorqueUnit::ALL[from], TorqueUnit::ALL[to]);
            let figure = Fraction::thousandths(thousandths);
            let there = converted(figure, from, to, 6);
            // Back by the exact factors: what six decimals of the middle unit
            // are worth is all that may be lost.
            let back = there * worth(to) / worth(from);
            let given = u128::from(thousandths) * 1000;
            let lost = worth(to) / worth(from) + 2;
            proptest::prop_assert!(back.abs_diff(given) <= lost, "{} {} {}", there, back, given);
        }

        #[test]
        fn any_figure_can_be_shown(over in 0_u32.., under in 1_u32.., from in 0_usize..7, to in 0_usize..7) {
            let figure = Fraction::new(over, under).expect("a figure");
            let (from, to) = (TorqueUnit::ALL[from], TorqueUnit::ALL[to]);
            let _ = (shown(figure, from, to), closely(figure, from, to));
        }
    }
}
