//! The check digit of a vehicle identification number (49 CFR 565.15).
//!
//! Only numbers of 17 characters have one: what is shorter or longer is an
//! older chassis number and never judged here. Vehicles that were not built
//! for North America need not follow the rule.

/// Characters of a number under the rule.
pub const LENGTH: usize = 17;

/// Where the check digit stands, counted from nought.
const CHECK: usize = 8;

/// The weight of each place (49 CFR 565.15, table V).
const WEIGHTS: [u32; LENGTH] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/// What is wrong with a number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum VinFault {
    /// It has letters that no such number has: I, O, Q.
    Letters {
        /// They, as written.
        found: Vec<char>,
        /// The number with the figures that were probably meant, if that is
        /// right.
        likely: Option<String>,
    },
    /// Its check digit is another.
    Digit {
        /// The one it has.
        written: char,
        /// The one it would have to have.
        computed: char,
        /// Right numbers one slip away: two neighbours swapped, or a sign
        /// taken for one that looks like it.
        likely: Vec<String>,
    },
}

/// The value of a character (49 CFR 565.15, table IV); `None` for I, O, Q and
/// all that is neither letter nor figure.
const fn value(c: char) -> Option<u32> {
    Some(match c {
        '0'..='9' => c as u32 - '0' as u32,
        'A' | 'J' => 1,
        'B' | 'K' | 'S' => 2,
        'C' | 'L' | 'T' => 3,
        'D' | 'M' | 'U' => 4,
        'E' | 'N' | 'V' => 5,
        'F' | 'W' => 6,
        'G' | 'P' | 'X' => 7,
        'H' | 'Y' => 8,
        'R' | 'Z' => 9,
        _ => return None,
    })
}

/// The weighted sum of a number; `None` if it is none of 17 characters.
#[must_use]
pub fn sum(vin: &str) -> Option<u32> {
    if vin.chars().count() != LENGTH {
        return None;
    }
    vin.chars()
        .zip(WEIGHTS)
        .map(|(c, weight)| Some(value(c)? * weight))
        .sum()
}

/// The check digit that a number would have to have.
#[must_use]
pub fn check_digit(vin: &str) -> Option<char> {
    match sum(vin)? % 11 {
        10 => Some('X'),
        rest => char::from_digit(rest, 10),
    }
}

fn is_right(vin: &str) -> bool {
    check_digit(vin).is_some_and(|digit| vin.chars().nth(CHECK) == Some(digit))
}

/// The number in capitals without the blanks and dashes that people part it
/// with; `None` if that is not 17 letters and figures.
#[must_use]
pub fn plain(text: &str) -> Option<String> {
    let vin: String = text
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .map(|c| c.to_ascii_uppercase())
        .collect();
    let fits = vin.len() == LENGTH && vin.bytes().all(|b| b.is_ascii_alphanumeric());
    fits.then_some(vin)
}

/// What is wrong with a number of 17 letters and figures.
///
/// # Errors
/// When its letters or its check digit are wrong.
pub fn check(vin: &str) -> Result<(), VinFault> {
    let found: Vec<char> = vin.chars().filter(|c| value(*c).is_none()).collect();
    if !found.is_empty() {
        let meant: String = vin
            .chars()
            .map(|c| match c {
                'I' => '1',
                'O' | 'Q' => '0',
                c => c,
            })
            .collect();
        return Err(VinFault::Letters {
            found,
            likely: Some(meant).filter(|meant| is_right(meant)),
        });
    }
    match (vin.chars().nth(CHECK), check_digit(vin)) {
        (Some(written), Some(computed)) if written != computed => Err(VinFault::Digit {
            written,
            computed,
            likely: one_slip_away(vin),
        }),
        (_, _) => Ok(()),
    }
}

/// Pairs of signs that look alike, on a plate and in handwriting.
const ALIKE: [(char, char); 8] = [
    ('5', 'S'),
    ('8', 'B'),
    ('2', 'Z'),
    ('6', 'G'),
    ('0', 'D'),
    ('1', 'L'),
    ('7', 'T'),
    ('U', 'V'),
];

/// From here on, counted from nought, all signs are figures: the last five, of heavy
/// vehicles, trailers and motorcycles the last four (49 CFR 565.15(d)). What somebody
/// wrote is left alone; nothing is put there but figures.
const FIGURES: usize = 12;

/// Whether a sign may be put in a place: no letter where only figures stand, and of
/// letters only X for the check digit.
fn may_stand(sign: char, at: usize) -> bool {
    sign.is_ascii_digit() || (at < FIGURES && (at != CHECK || sign == 'X'))
}

fn one_slip_away(vin: &str) -> Vec<String> {
    let signs: Vec<char> = vin.chars().collect();
    let mut likely = Vec::new();
    let written = signs.clone();
    let mut add = |signs: &[char]| {
        let vin: String = signs.iter().collect();
        let changed = signs.iter().zip(&written).enumerate();
        let mut new = changed.filter(|(_, (new, old))| new != old);
        if new.all(|(at, (new, _))| may_stand(*new, at)) && is_right(&vin) && !likely.contains(&vin)
        {
            likely.push(vin);
        }
    };
    for at in 0..signs.len().saturating_sub(1) {
        let mut swapped = signs.clone();
        swapped.swap(at, at + 1);
        if swapped != signs {
            add(&swapped);
        }
    }
    for at in 0..signs.len() {
        for (a, b) in ALIKE {
            let mut other = signs.clone();
            if signs[at] == a {
                other[at] = b;
            } else if signs[at] == b {
                other[at] = a;
            } else {
                continue;
            }
            add(&other);
        }
    }
    likely
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_numbers() {
        // Sample calculation in 49 CFR 565 (opened): sum 411, digit 4.
        assert_eq!(sum("1G4AH59H45G118341"), Some(411));
        assert_eq!(check_digit("1G4AH59H45G118341"), Some('4'));
        assert_eq!(check("1G4AH59H45G118341"), Ok(()));
        // A published reproduction of the rule (opened): sum 280, digit 5.
        assert_eq!(sum("JH2RC3605MM101581"), Some(280));
        assert_eq!(check_digit("JH2RC3605MM101581"), Some('5'));
        // The number of seventeen ones, known from teaching the rule (from
        // memory); and one with an X (from memory).
        assert_eq!(check("11111111111111111"), Ok(()));
        assert_eq!(check_digit("1M8GDM9AXKP042788"), Some('X'));
        assert_eq!(check("1M8GDM9AXKP042788"), Ok(()));
    }

    #[test]
    fn slips_are_named() {
        let Err(VinFault::Digit {
            written: '4',
            computed,
            likely,
        }) = check("1G4AH59H45G118314")
        else {
            panic!("two figures are swapped");
        };
        assert_ne!(computed, '4');
        assert!(likely.contains(&"1G4AH59H45G118341".to_owned()));
        assert_eq!(
            check("1G4AH59H45GII8341"),
            Err(VinFault::Letters {
                found: vec!['I', 'I'],
                likely: Some("1G4AH59H45G118341".to_owned()),
            })
        );
        let Err(VinFault::Digit { likely, .. }) = check("1G4AH59H4SG118341") else {
            panic!("an S for a 5");
        };
        assert!(likely.contains(&"1G4AH59H45G118341".to_owned()));
    }

    #[test]
    fn other_lengths_are_no_such_number() {
        assert_eq!(plain("BW57-0412"), None);
        assert_eq!(plain("1G4AH59H45G11834"), None);
        assert_eq!(
            plain("1g4 ah59h4 5g-118341").as_deref(),
            Some("1G4AH59H45G118341")
        );
        assert_eq!(sum("BW57-0412"), None);
        assert_eq!(plain("ÄG4AH59H45G11834"), None);
    }

    #[test]
    fn a_hint_puts_no_letter_among_the_figures_at_the_end() {
        // The last five are figures (49 CFR 565.15(d)): no hint makes one a letter.
        for serial in 0..400 {
            let vin = format!("1G4AH59H45G1{:05}", 18_000 + serial);
            let Err(VinFault::Digit { likely, .. }) = check(&vin) else {
                continue;
            };
            for hint in likely {
                let end = &hint[FIGURES..];
                assert!(end.bytes().all(|b| b.is_ascii_digit()), "{vin}: {hint}");
            }
        }
    }

    proptest::proptest! {
        #[test]
        fn a_wrong_figure_is_noticed(at in 0_usize..17, digit in 0_u32..10) {
            // Values differ by less than eleven, weights are no multiples of it.
            let right: Vec<char> = "11111111111111111".chars().collect();
            let mut wrong = right.clone();
            wrong[at] = char::from_digit(digit, 10).expect("a digit");
            let vin: String = wrong.iter().collect();
            proptest::prop_assert_eq!(check(&vin).is_ok(), wrong == right);
        }

        #[test]
        fn any_text_can_be_checked(text in "\\PC{0,24}") {
            let _ = (plain(&text), check(&text), sum(&text));
        }
    }
}
