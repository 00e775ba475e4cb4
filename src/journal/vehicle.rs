//! A vehicle's file: front matter and prose.

use super::front;
use crate::entry::{Telling, paragraphs};
use crate::handbook::vin::{self, VinFault};
use crate::problem::{Problem, Spot};
use crate::vocabulary::cost_reading::read_cost;
use crate::vocabulary::money::{Currency, Money};
use crate::vocabulary::position::Driven;
use crate::vocabulary::words::fold;

/// One vehicle of the journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VehicleFile {
    /// The name of its file, without the ending.
    pub slug: String,
    /// Its full name.
    pub name: String,
    /// The year it was built, as written.
    pub year: Option<String>,
    /// Chassis, engine and other numbers, as written.
    pub numbers: Option<String>,
    /// On which side the driver sits.
    pub driven: Driven,
    /// What it may cost.
    pub budget: Option<Money>,
    /// The first paragraph of its page, and its line.
    pub about: Option<(String, u32)>,
}

/// The first paragraph of a page whose front matter ends at `from`, and its line;
/// none that is private.
fn about(text: &str, from: usize) -> Option<(String, u32)> {
    let first = paragraphs(text, from..text.len())
        .into_iter()
        .find(|paragraph| paragraph.mark != Some(Telling::Private))?;
    let lines = text[..first.origin(0)].matches('\n').count();
    let line = u32::try_from(lines + 1).unwrap_or(u32::MAX);
    let words: Vec<&str> = first.text.split_whitespace().collect();
    Some((words.join(" "), line))
}

impl VehicleFile {
    /// Reads `vehicles/SLUG.md`.
    #[must_use]
    pub fn read(path: &str, text: &str, currency: Currency) -> (VehicleFile, Vec<Problem>) {
        let slug = path
            .rsplit('/')
            .next()
            .and_then(|name| name.strip_suffix(".md"))
            .unwrap_or(path)
            .to_owned();
        let (fields, mut problems) = front::read(path, text);
        let mut wrong = |key: &str, message: String, hint: &str| {
            problems.push(Problem::warning(front::spot(path, text, key), message).hint(hint));
        };
        let driven = match fields.get("driven").as_deref().map(fold).as_deref() {
            Some("left") => Driven::Left,
            Some("right") => Driven::Right,
            None | Some("" | "centre" | "middle") => Driven::Unsaid,
            Some(other) => {
                wrong(
                    "driven",
                    format!("`{other}` is no side on which a driver sits"),
                    "write `driven: left` or `driven: right`",
                );
                Driven::Unsaid
            }
        };
        let budget = fields.get("budget").filter(|text| !text.is_empty());
        let budget = budget.and_then(|text| match read_cost(&text, currency) {
            Ok(read) => Some(read.cost.money),
            Err(error) => {
                wrong("budget", error.to_string(), "write `budget: 14000`");
                None
            }
        });
        for key in ["vin", "numbers"] {
            let words = fields.get(key).unwrap_or_default();
            for vin in vins(key, &words) {
                problems.extend(vin_problem(path, text, key, vin));
            }
        }
        let vehicle = VehicleFile {
            name: fields
                .get("name")
                .filter(|name| !name.is_empty())
                .unwrap_or_else(|| slug.clone()),
            slug,
            year: fields.get("year"),
            numbers: fields.get("numbers"),
            driven,
            budget,
            about: about(text, fields.end),
        };
        (vehicle, problems)
    }
}

/// The pieces of a value that are vehicle identification numbers: all of it
/// behind `vin`, words of 17 letters and figures behind `numbers`.
fn vins<'a>(key: &str, words: &'a str) -> Vec<&'a str> {
    if key == "vin" {
        return vec![words.trim()];
    }
    words
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| word.len() == vin::LENGTH)
        .filter(|word| word.bytes().filter(u8::is_ascii_digit).count() >= 4)
        .collect()
}

/// What is wrong with a number of 17 characters. Without a check digit it may
/// be right all the same if the vehicle was not built for North America.
fn vin_problem(path: &str, text: &str, key: &str, written: &str) -> Option<Problem> {
    let number = vin::plain(written)?;
    let fault = vin::check(&number).err()?;
    let at_key = front::spot(path, text, key);
    let source = text.lines().nth((at_key.line as usize).saturating_sub(1));
    let column = source.and_then(|source| {
        source
            .find(written)
            .map(|at| source[..at].chars().count() + 1)
    });
    let spot = Spot {
        column: column
            .and_then(|column| u32::try_from(column).ok())
            .unwrap_or(1),
        width: u32::try_from(written.chars().count()).unwrap_or(1),
        ..at_key
    };
    let northern = number.starts_with(['1', '2', '3', '4', '5']);
    Some(match fault {
        VinFault::Letters { found, likely } => {
            let letters: Vec<String> = found.iter().map(|c| format!("`{c}`")).collect();
            let message = format!(
                "`{written}` is no vehicle identification number: it has {}",
                letters.join(", ")
            );
            let hint = match likely {
                Some(likely) => format!("I, O and Q are never used; write `{likely}`"),
                None => {
                    "I, O and Q are never used: 1 and 0 are meant; look at the plate".to_owned()
                }
            };
            if northern {
                Problem::warning(spot, message).hint(hint)
            } else {
                Problem::note(spot, message).hint(hint)
            }
        }
        VinFault::Digit {
            written: has,
            computed,
            mut likely,
        } => {
            let fault = if northern {
                format!("the check digit of `{written}` is wrong")
            } else {
                format!("`{written}` has no check digit as in North America")
            };
            let message =
                format!("{fault}: the ninth character is `{has}`, the others ask for `{computed}`");
            likely.truncate(3);
            let slip = if likely.is_empty() {
                String::new()
            } else {
                format!(", as by one slip from `{}`", likely.join("`, `"))
            };
            let hint = format!(
                "compare it with the plate{slip}; vehicles not built for North America need have \
                 no check digit"
            );
            if northern {
                Problem::warning(spot, message).hint(hint)
            } else {
                Problem::note(spot, message).hint(hint)
            }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_vehicle_says_where_its_driver_sits() {
        let (vehicle, problems) = VehicleFile::read(
            "vehicles/wren.md",
            "---\nname: Brindle Wren\nyear: 1957\ndriven: right\nbudget: 14000 EUR\n---\n",
            Currency::EUR,
        );
        assert!(problems.is_empty());
        assert_eq!(vehicle.slug, "wren");
        assert_eq!(vehicle.driven, Driven::Right);
        assert_eq!(
            vehicle.budget.map(|money| money.to_string()).as_deref(),
            Some("14000.00 EUR")
        );
        let (vehicle, problems) = VehicleFile::read(
            "vehicles/x.md",
            "---\ndriven: backwards\n---\n",
            Currency::EUR,
        );
        assert_eq!(vehicle.name, "x");
        assert_eq!(problems[0].spot.line, 2);
    }

    fn problems(front: &str) -> Vec<Problem> {
        let text = format!("---\nname: x\n{front}\n---\n");
        VehicleFile::read("vehicles/x.md", &text, Currency::EUR).1
    }

    #[test]
    fn numbers_of_seventeen_characters_are_checked() {
        for fine in [
            "vin: 1G4AH59H45G118341",
            "vin: 1G4 AH59H4 5G118341",
            "numbers: chassis 1G4AH59H45G118341; engine 4711",
            "numbers: chassis BW57-0412; power unit 4S-57-11893",
            "vin: BW57-0412",
            "vin: 1G4AH59H45G11834",
            "vin:",
            "numbers: internationalised",
        ] {
            assert_eq!(problems(fine), [], "{fine}");
        }
        let wrong = problems("numbers: chassis 1G4AH59H45G118314");
        assert_eq!(wrong.len(), 1);
        let spot = &wrong[0].spot;
        assert_eq!((spot.line, spot.column, spot.width), (3, 18, 17));
        let hint = wrong[0].hint.as_deref().unwrap_or_default();
        assert!(hint.contains("1G4AH59H45G118341"), "{hint}");
        let letters = problems("vin: 1G4AH59H45GII834I");
        let hint = letters[0].hint.as_deref().unwrap_or_default();
        assert!(hint.contains("write `1G4AH59H45G118341`"), "{hint}");
        // Not from North America: perhaps it has none.
        let other = problems("vin: JH2RC3605MM101582");
        assert_eq!(other[0].severity, crate::problem::Severity::Note);
    }
}
