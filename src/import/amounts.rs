//! Amounts in a column of a table: whether a point or a comma marks decimals.
//!
//! One column has one reading; where its cells allow both, it says so instead
//! of choosing. What an amount counts in is for `vocabulary::money`.

/// What marks the decimals of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecimalMark {
    /// 1,234.50
    Point,
    /// 1.234,50
    Comma,
}

/// Why a column has no one reading, with cells that show it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unsure {
    /// This cell could be either, and no other cell decides.
    Either(String),
    /// These two cells contradict each other.
    Mixed(String, String),
}

impl DecimalMark {
    /// Both, the usual one of English first.
    pub const ALL: [DecimalMark; 2] = [DecimalMark::Point, DecimalMark::Comma];

    /// The mark in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            DecimalMark::Point => "decimal point",
            DecimalMark::Comma => "decimal comma",
        }
    }

    /// A cell with a decimal point and without groups; brackets around it or a
    /// minus behind it become a minus in front, as bookkeeping writes them.
    /// `None` if its digits are not written with this mark.
    #[must_use]
    pub fn plain(self, cell: &str) -> Option<String> {
        let (before, digits, after) = digits(cell)?;
        let (group, decimal) = match self {
            DecimalMark::Point => (',', '.'),
            DecimalMark::Comma => ('.', ','),
        };
        let (whole, decimals) = match digits.rsplit_once(decimal) {
            Some((whole, decimals)) => (whole, Some(decimals)),
            None => (digits.as_str(), None),
        };
        if decimals.is_some_and(|decimals| !decimals.bytes().all(|b| b.is_ascii_digit())) {
            return None;
        }
        let groups: Vec<&str> = whole.split([group, '\'', ' ']).collect();
        let sound = match groups[..] {
            [one] => one.bytes().all(|b| b.is_ascii_digit()),
            [first, ref rest @ ..] => {
                (1..=3).contains(&first.len())
                    && !first.starts_with('0')
                    && first.bytes().all(|b| b.is_ascii_digit())
                    && rest
                        .iter()
                        .all(|own| own.len() == 3 && own.bytes().all(|b| b.is_ascii_digit()))
            }
            [] => false,
        };
        if !sound {
            return None;
        }
        let negative = before.contains(['-', '(']) || after.contains('-');
        let words = |text: &str| text.replace(['-', '(', ')', '+'], "").trim().to_owned();
        let sign = if negative { "-" } else { "" };
        let decimals = decimals
            .filter(|decimals| !decimals.is_empty())
            .map_or_else(String::new, |decimals| format!(".{decimals}"));
        let text = format!(
            "{} {sign}{}{decimals} {}",
            words(&before),
            groups.concat(),
            words(&after)
        );
        Some(text.trim().to_owned())
    }
}

/// What stands before the digits, the digits with their marks, what stands behind.
fn digits(cell: &str) -> Option<(String, String, String)> {
    let cell: String = cell
        .trim()
        .chars()
        .map(|c| match c {
            '\u{a0}' | '\u{202f}' | '\u{2009}' => ' ',
            '\u{2212}' | '\u{2013}' => '-',
            '\u{2019}' => '\'',
            c => c,
        })
        .collect();
    let start = cell.find(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','))?;
    let end = cell.rfind(|c: char| c.is_ascii_digit())? + 1;
    if start >= end {
        return None;
    }
    let digits = cell[start..end].to_owned();
    let only_digits = digits
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '\'' | ' '));
    // "12,-" and "12.-" are whole amounts.
    let after = cell[end..].trim_start_matches([',', '.']);
    let after = if after.len() < cell[end..].len() {
        after.trim_start_matches('-')
    } else {
        after
    };
    only_digits.then(|| (cell[..start].to_owned(), digits, after.to_owned()))
}

/// Whether a cell says that there is no amount.
#[must_use]
pub fn is_none(cell: &str) -> bool {
    cell.trim()
        .trim_matches(['-', '\u{2013}', '\u{2014}'])
        .is_empty()
}

/// How the decimals of these cells are marked. Cells that hold no amount at all
/// have no say.
///
/// # Errors
/// When both marks are possible, or none fits all cells.
pub fn decimal_mark<'a>(cells: impl Iterator<Item = &'a str>) -> Result<DecimalMark, Unsure> {
    let mut either = None;
    let mut sure: Option<(DecimalMark, &str)> = None;
    for cell in cells.filter(|cell| !is_none(cell)) {
        let read = DecimalMark::ALL.map(|mark| mark.plain(cell));
        let mark = match read {
            [Some(point), Some(comma)] => {
                if point != comma {
                    either = either.or(Some(cell));
                }
                continue;
            }
            [Some(_), None] => DecimalMark::Point,
            [None, Some(_)] => DecimalMark::Comma,
            [None, None] => continue,
        };
        match sure {
            Some((other, before)) if other != mark => {
                return Err(Unsure::Mixed(before.trim().into(), cell.trim().into()));
            }
            Some(_) => {}
            None => sure = Some((mark, cell)),
        }
    }
    match (sure, either) {
        (Some((mark, _)), _) => Ok(mark),
        (None, Some(cell)) => Err(Unsure::Either(cell.trim().to_owned())),
        (None, None) => Ok(DecimalMark::Point),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_read_with_one_mark() {
        use DecimalMark::{Comma, Point};
        for (mark, cell, plain) in [
            (Point, "1,234.50", Some("1234.50")),
            (Point, "$ 1,234.50", Some("$ 1234.50")),
            (Point, "12", Some("12")),
            (Point, ".50", Some(".50")),
            (Point, "(12.00)", Some("-12.00")),
            (Point, "12.50-", Some("-12.50")),
            (Point, "-$12.50", Some("$ -12.50")),
            (Point, "1'234.50", Some("1234.50")),
            (Point, "12,50", None),
            (Point, "0,005", None),
            (Point, "1,23,456", None),
            (Point, "about 12 or 13", None),
            (Comma, "1.234,50", Some("1234.50")),
            (Comma, "1\u{a0}234,50 €", Some("1234.50 €")),
            (Comma, "0,005", Some("0.005")),
            (Comma, "12,-", Some("12")),
            (Comma, "12.50", None),
        ] {
            assert_eq!(mark.plain(cell).as_deref(), plain, "{cell}");
        }
    }

    #[test]
    fn one_column_has_one_mark() {
        for (cells, mark) in [
            (&["1.234,50", "12,5"][..], Ok(DecimalMark::Comma)),
            (&["1,234.50", "12"], Ok(DecimalMark::Point)),
            (&["1,234", "12.5"], Ok(DecimalMark::Point)),
            (&["1.234", "12,5"], Ok(DecimalMark::Comma)),
            (&["12", "-", "", "free"], Ok(DecimalMark::Point)),
            (&["0,005"], Ok(DecimalMark::Comma)),
            (&["1,234"], Err(Unsure::Either("1,234".into()))),
            (&["12", "1.200 "], Err(Unsure::Either("1.200".into()))),
            (
                &["12,50", "12.50"],
                Err(Unsure::Mixed("12,50".into(), "12.50".into())),
            ),
        ] {
            assert_eq!(decimal_mark(cells.iter().copied()), mark, "{cells:?}");
        }
    }
}
