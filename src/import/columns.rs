//! Which column of a table holds what.
//!
//! A column is recognised by its name alone, in plain words of trade and
//! bookkeeping; what a person says about it goes first. Cells are read in `rows`.

use jiff::civil::Date;

use super::amounts::DecimalMark;
use super::days::DayOrder;
use crate::vocabulary::money::Currency;
use crate::vocabulary::words::fold;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnContent {
    /// The day.
    Date,
    /// Money.
    Cost,
    /// The vehicle.
    Vehicle,
    /// The part's name.
    Part,
    /// Where the part stands.
    Status,
    /// The bag of its hardware.
    Bag,
    /// The shelf the part lies on.
    Shelf,
    /// Work or purchases still open.
    Needs,
    /// What took the part's place.
    Replaced,
    /// Time worked.
    Hours,
    /// What there is to read; several are put below each other.
    Text,
    /// Something else: kept as a line of its own.
    Line,
    /// Something that is not wanted.
    LeftOut,
}

impl ColumnContent {
    /// What names can tell, in the order in which columns are chosen.
    pub const NAMED: [ColumnContent; 11] = [
        ColumnContent::Date,
        ColumnContent::Cost,
        ColumnContent::Vehicle,
        ColumnContent::Part,
        ColumnContent::Status,
        ColumnContent::Bag,
        ColumnContent::Shelf,
        ColumnContent::Needs,
        ColumnContent::Replaced,
        ColumnContent::Hours,
        ColumnContent::Text,
    ];

    /// What it is called in messages and, with two dashes, among the options.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            ColumnContent::Date => "date",
            ColumnContent::Cost => "cost",
            ColumnContent::Vehicle => "vehicle",
            ColumnContent::Part => "part",
            ColumnContent::Status => "status",
            ColumnContent::Bag => "bag",
            ColumnContent::Shelf => "shelf",
            ColumnContent::Needs => "needs",
            ColumnContent::Replaced => "replaced",
            ColumnContent::Hours => "hours",
            ColumnContent::Text => "text",
            ColumnContent::Line => "kept as lines",
            ColumnContent::LeftOut => "left out",
        }
    }

    /// The fact it becomes, for what says something about a part.
    #[must_use]
    pub const fn fact_key(self) -> Option<&'static str> {
        match self {
            ColumnContent::Status => Some("status"),
            ColumnContent::Bag => Some("bag"),
            ColumnContent::Shelf => Some("stored"),
            ColumnContent::Needs => Some("needs"),
            ColumnContent::Replaced => Some("replaced by"),
            ColumnContent::Date
            | ColumnContent::Cost
            | ColumnContent::Vehicle
            | ColumnContent::Part
            | ColumnContent::Hours
            | ColumnContent::Text
            | ColumnContent::Line
            | ColumnContent::LeftOut => None,
        }
    }

    /// The names of such a column, the best first (common practice, no source).
    const fn names(self) -> &'static [&'static str] {
        match self {
            ColumnContent::Date => &["date", "day", "when"],
            ColumnContent::Cost => &["total", "amount", "cost", "costs", "price", "paid", "spent"],
            ColumnContent::Vehicle => &["vehicle", "car", "bike", "motorcycle", "machine"],
            ColumnContent::Part => &["part", "part name", "component"],
            ColumnContent::Status => &["status", "state"],
            ColumnContent::Bag => &["bag", "bag number", "bag no"],
            ColumnContent::Shelf => &["shelf", "stored", "storage", "location", "place"],
            ColumnContent::Needs => &["needs", "need", "to do", "todo", "to buy", "still to do"],
            ColumnContent::Replaced => &["replaced by", "replaced with", "replacement", "replaced"],
            ColumnContent::Hours => &["hours", "hrs", "time spent", "labour", "labor"],
            ColumnContent::Text => &[
                "text",
                "description",
                "work",
                "work done",
                "notes",
                "note",
                "remarks",
                "remark",
                "comments",
                "comment",
                "details",
                "what",
                "item",
            ],
            ColumnContent::Line | ColumnContent::LeftOut => &[],
        }
    }
}

/// What each column of a table holds, and how its cells are read.
#[derive(Clone, Debug)]
pub struct Columns {
    contents: Vec<ColumnContent>,
    text: Vec<usize>,
    /// The day of rows without one.
    pub day: Option<Date>,
    /// The vehicle of all rows, if no column says it.
    pub all_vehicle: Option<String>,
    /// What money counts in.
    pub currency: Currency,
    /// How the days are written.
    pub order: DayOrder,
    /// What marks the decimals of money.
    pub cost_mark: DecimalMark,
    /// What marks the decimals of hours.
    pub hours_mark: DecimalMark,
}

impl Columns {
    /// Guesses from the names in the header. A name is recognised if it is one
    /// of [`ColumnContent`]'s, or ends in one ("Purchase date"); one that ends in
    /// another word ("Part number") is about that.
    #[must_use]
    pub fn guess(header: &[String], currency: Currency) -> Columns {
        let names: Vec<Vec<String>> = header.iter().map(|name| words(name)).collect();
        let mut columns = Columns {
            contents: vec![ColumnContent::Line; header.len()],
            text: Vec::new(),
            day: None,
            all_vehicle: None,
            currency,
            order: DayOrder::YearMonthDay,
            cost_mark: DecimalMark::Point,
            hours_mark: DecimalMark::Point,
        };
        for content in ColumnContent::NAMED {
            let fits = |at: &usize, whole: bool, wanted: &str| {
                let name = names[*at].join(" ");
                columns.contents[*at] == ColumnContent::Line
                    && (name == wanted || !whole && name.ends_with(&format!(" {wanted}")))
            };
            let found = [true, false].iter().find_map(|whole| {
                let named = |wanted: &&str| (0..names.len()).find(|at| fits(at, *whole, wanted));
                content.names().iter().find_map(named)
            });
            if let Some(at) = found {
                columns.set(content, at);
            }
        }
        columns
    }

    /// Says what a column holds. Of what a row has only one, the column that had
    /// it before becomes a line.
    pub fn set(&mut self, content: ColumnContent, at: usize) {
        if content == ColumnContent::Text {
            self.text.push(at);
        } else {
            self.text.retain(|own| *own != at);
            self.clear(content);
        }
        self.contents[at] = content;
    }

    /// Nothing holds this any longer.
    pub fn clear(&mut self, content: ColumnContent) {
        if content == ColumnContent::Text {
            self.text.clear();
        }
        if !matches!(content, ColumnContent::Line | ColumnContent::LeftOut) {
            for own in &mut self.contents {
                if *own == content {
                    *own = ColumnContent::Line;
                }
            }
        }
    }

    /// The column that holds this.
    #[must_use]
    pub fn of(&self, content: ColumnContent) -> Option<usize> {
        self.all(content).first().copied()
    }

    /// All columns that hold this; texts in the order in which they are read.
    #[must_use]
    pub fn all(&self, content: ColumnContent) -> Vec<usize> {
        if content == ColumnContent::Text {
            return self.text.clone();
        }
        (0..self.contents.len())
            .filter(|at| self.contents[*at] == content)
            .collect()
    }
}

/// The words of a column's name, folded: parted at anything that is no letter
/// and where a small letter meets a capital; what stands in brackets left out.
fn words(name: &str) -> Vec<String> {
    let name = name.split(['(', '[']).next().unwrap_or_default();
    let mut parted = String::new();
    let mut before_small = false;
    for c in name.chars() {
        if before_small && c.is_uppercase() {
            parted.push(' ');
        }
        before_small = c.is_lowercase();
        parted.push(if c.is_alphanumeric() { c } else { ' ' });
    }
    fold(&parted)
        .split_whitespace()
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_guessed_from_their_names() {
        for (header, wanted) in [
            (
                "Date,Vehicle,Description,Amount,Supplier",
                "date vehicle text cost line",
            ),
            (
                "Part,Status,Bag,Shelf,Needs,Replaced by,Hours,Notes",
                "part status bag shelf needs replaced hours text",
            ),
            // The last word says what a name is about.
            ("Part number,Part name,Purchase date", "line part date"),
            ("Cost centre,Total cost (EUR),Update", "line cost line"),
            ("Item,Price,Total", "text line cost"),
            ("PurchaseDate,work_done,HRS", "date text hours"),
            ("Item,Description", "line text"),
        ] {
            let header: Vec<String> = header.split(',').map(str::to_owned).collect();
            let columns = Columns::guess(&header, Currency::EUR);
            let read: Vec<&str> = columns
                .contents
                .iter()
                .map(|content| {
                    content
                        .word()
                        .trim_start_matches("kept as ")
                        .trim_end_matches("s")
                })
                .collect();
            let wanted: Vec<&str> = wanted
                .split(' ')
                .map(|word| word.trim_end_matches("s"))
                .collect();
            assert_eq!(read, wanted, "{header:?}");
        }
    }

    #[test]
    fn what_a_person_says_goes_first() {
        let header = ["Date", "Delivered", "Notes"].map(str::to_owned);
        let mut columns = Columns::guess(&header, Currency::EUR);
        columns.set(ColumnContent::Date, 1);
        assert_eq!(columns.of(ColumnContent::Date), Some(1));
        assert_eq!(columns.all(ColumnContent::Line), [0]);
    }
}
