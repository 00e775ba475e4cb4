//! Hours and money, as CSV.

use super::{Csv, table};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::tally::TallyView;
use crate::reports::tally::Tally;
use crate::vocabulary::money::Money;

/// The rows as CSV: a line for each currency, the minutes in the first of them,
/// so that a column added up is the whole.
fn csv(tally: &Tally) -> String {
    let header = [
        tally.by.word(),
        "of_vehicle",
        "minutes",
        "amount",
        "currency",
    ];
    let mut lines = Vec::new();
    for row in &tally.rows {
        let mut money = row.sum.money.iter();
        let first = money.next();
        for (money, minutes) in
            std::iter::once((first, row.sum.minutes)).chain(money.map(|money| (Some(money), 0)))
        {
            lines.push(vec![
                row.key.clone().unwrap_or_default(),
                row.vehicle.clone().unwrap_or_default(),
                minutes.to_string(),
                money.map(Money::amount).unwrap_or_default(),
                money
                    .map(|money| money.currency.code().to_owned())
                    .unwrap_or_default(),
            ]);
        }
    }
    table(&header, &lines)
}

impl Exporter<TallyView<'_>> for Csv {
    fn export(&self, shown: &TallyView<'_>) -> Document {
        Document::text(csv(shown.tally))
    }
}
