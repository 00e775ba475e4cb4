//! A vehicle's file: front matter and prose.

use crate::entry::Fields;
use crate::problem::{Problem, Spot};
use crate::vocabulary::money::{Cost, Currency, Money};
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
        let fields = Fields::read(text);
        let mut problems = fields.problems.clone();
        for problem in &mut problems {
            path.clone_into(&mut problem.spot.file);
        }
        let mut wrong = |key: &str, message: String, hint: &str| {
            let spot = Spot {
                file: path.to_owned(),
                line: line_of(text, key),
                column: 1,
                width: 1,
            };
            problems.push(Problem::warning(spot, message).hint(hint));
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
        let budget = budget.and_then(|text| match Cost::read(&text, currency) {
            Ok(cost) => Some(cost.money),
            Err(error) => {
                wrong("budget", error.to_string(), "write `budget: 14000`");
                None
            }
        });
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
        };
        (vehicle, problems)
    }
}

fn line_of(text: &str, key: &str) -> u32 {
    let index = text
        .lines()
        .position(|line| line.trim_start().to_lowercase().starts_with(key));
    index.map_or(1, |index| u32::try_from(index + 1).unwrap_or(1))
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
}
