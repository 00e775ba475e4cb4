//! What each month brought, drawn: parts off and on again, hours, and money against the
//! budget; each with its figures in words and as a table.

use jiff::civil::Date;
use maud::{Markup, html};

use super::chart::{Limit, Mark, MonthChart, MonthValues, width};
use super::figures::FigureTable;
use super::{Drawing, LEADING, Letters, USUAL_WIDTH, file, words};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::tally::sum_words;
use crate::presentation::text::counted;
use crate::reports::months::{BudgetMonths, MonthRow, Months};
use crate::reports::tally::Sum;
use crate::vocabulary::money::{Currency, Money};

/// Months with what has to be known to draw them.
#[derive(Clone, Debug)]
pub struct MonthsView<'m> {
    /// The months.
    pub months: &'m Months,
    /// Begins the name of each drawing in its page.
    pub id: String,
    /// Whose they are, if that has to be said: behind the title.
    pub of: Option<String>,
    /// Whether money may be shown.
    pub shows_money: bool,
    /// What is not counted, as its text has no day.
    pub undated: Sum,
}

/// The form for whoever would rather look than read: an SVG file.
#[derive(Clone, Copy, Debug)]
pub struct MonthsPicture;

impl Exporter<MonthsView<'_>> for MonthsPicture {
    fn export(&self, view: &MonthsView<'_>) -> Document {
        file("Month by month", &drawings(view))
    }
}

/// Of more months than this the last are drawn: ten years.
const MOST: usize = 120;

/// All drawings, in the order in which they are shown.
#[must_use]
pub fn drawings(view: &MonthsView<'_>) -> Vec<Drawing> {
    let mut all = vec![parts(view), hours(view)];
    if view.shows_money {
        let currencies = currencies(view.months);
        if currencies.is_empty() {
            all.push(view.empty("money", "Money by month", "No money is written down."));
        }
        all.extend(currencies.into_iter().map(|currency| money(view, currency)));
    }
    if view.undated != Sum::default() {
        let undated = Sum {
            minutes: view.undated.minutes,
            money: match view.shows_money {
                true => view.undated.money.clone(),
                false => Vec::new(),
            },
        };
        let note = format!(
            "Not counted: {} in texts without a day.",
            sum_words(&undated)
        );
        if let Some(last) = all.last_mut().filter(|_| undated != Sum::default()) {
            last.notes.push(note);
        }
    }
    all
}

/// The currencies in which anything was spent, or may be.
fn currencies(months: &Months) -> Vec<Currency> {
    let spent = months.rows.iter().flat_map(|row| &row.sum.money);
    let mut all: Vec<Currency> = Vec::new();
    let spent = spent.map(|money| money.currency);
    let budgets = months.budgets.iter().map(|own| own.budget.budget.currency);
    for currency in budgets.chain(spent) {
        if !all.contains(&currency) {
            all.push(currency);
        }
    }
    all
}

impl MonthsView<'_> {
    fn titled(&self, title: &str) -> String {
        match &self.of {
            Some(of) => format!("{title}, {of}"),
            None => title.to_owned(),
        }
    }

    /// The months that are drawn.
    fn drawn(&self) -> &[MonthRow] {
        let rows = &self.months.rows;
        &rows[rows.len().saturating_sub(MOST)..]
    }

    /// A drawing of nothing says so.
    fn empty(&self, name: &str, title: &str, said: &str) -> Drawing {
        Drawing {
            id: format!("{}-{name}", self.id),
            title: self.titled(title),
            about: said.to_owned(),
            notes: Vec::new(),
            table: html! { p { (said) } },
            width: USUAL_WIDTH,
            height: 2.0 * LEADING,
            inside: words(said, 0.0, LEADING, &Letters::default()),
        }
    }

    /// Strips of months, one below the other.
    fn strips(
        &self,
        name: &str,
        title: &str,
        strips: Vec<(Vec<MonthValues>, Option<Limit>)>,
        table: FigureTable,
    ) -> Drawing {
        let id = format!("{}-{name}", self.id);
        let rows = self.drawn();
        let months: Vec<Date> = rows.iter().map(|row| row.month).collect();
        let mut top = 0.0;
        let mut inside: Vec<Markup> = Vec::new();
        for (rows, limit) in strips {
            let chart = MonthChart {
                id: &id,
                months: &months,
                rows,
                limit,
            };
            inside.push(chart.drawn(top));
            top += chart.height() + 10.0;
        }
        let mut notes = Vec::new();
        let more = self.months.rows.len() - rows.len();
        if let Some(first) = rows.first().filter(|_| more > 0) {
            notes.push(format!(
                "Not drawn: {} before {}.",
                counted(more, "month", "months"),
                first.key()
            ));
        }
        Drawing {
            title: self.titled(title),
            about: table.in_words(),
            notes,
            table: table.markup(),
            width: width(months.len()),
            height: top - 10.0,
            inside: html! { @for strip in &inside { (strip) } },
            id,
        }
    }
}

fn parts(view: &MonthsView<'_>) -> Drawing {
    let title = "Parts off and on again";
    let rows = view.drawn();
    let all = &view.months.rows;
    if all.iter().all(|row| row.parts.is_quiet()) {
        return view.empty("parts", title, "No part came off and none went on again.");
    }
    let of = |mark, name: &str, value: &dyn Fn(&MonthRow) -> i64| MonthValues {
        mark,
        name: name.to_owned(),
        values: rows.iter().map(|row| value(row) as f64).collect(),
        figures: rows.iter().map(|row| value(row).to_string()).collect(),
    };
    let off = of(Mark::Hatched, "came off in the month", &|row| {
        i64::from(row.parts.came_off)
    });
    let on = of(Mark::Solid, "went on again", &|row| {
        i64::from(row.parts.went_on)
    });
    let still = of(Mark::Line, "still off at its end", &|row| {
        i64::from(row.parts.still_off)
    });
    let gives_up = all.iter().any(|row| row.parts.given_up != 0);
    let mut head = vec!["came off", "went on again"];
    head.extend(gives_up.then_some("given up"));
    head.push("still off");
    let figures = all.iter().filter(|row| !row.parts.is_quiet()).map(|row| {
        let mut figures = vec![
            row.parts.came_off.to_string(),
            row.parts.went_on.to_string(),
        ];
        figures.extend(gives_up.then(|| row.parts.given_up.to_string()));
        figures.push(row.parts.still_off.to_string());
        (row.key(), figures)
    });
    let table = FigureTable::new(&head, figures.collect());
    let mut drawing = view.strips(
        "parts",
        title,
        vec![(vec![still], None), (vec![off, on], None)],
        table,
    );
    if gives_up {
        let note = "Parts that were given up are not to go back, and count as off no longer.";
        drawing.notes.push(note.to_owned());
    }
    drawing
}

fn hours(view: &MonthsView<'_>) -> Drawing {
    let title = "Hours by month";
    let rows = view.drawn();
    let all = &view.months.rows;
    if all.iter().all(|row| row.sum.minutes == 0) {
        return view.empty("hours", title, "No hours are written down.");
    }
    let values = MonthValues {
        mark: Mark::Solid,
        name: "hours".to_owned(),
        values: rows
            .iter()
            .map(|row| row.sum.minutes as f64 / 60.0)
            .collect(),
        figures: rows
            .iter()
            .map(|row| hours_words(row.sum.minutes))
            .collect(),
    };
    let own = all.iter().filter(|row| row.sum.minutes > 0);
    let figures = own.map(|row| (row.key(), vec![hours_words(row.sum.minutes)]));
    let mut table = FigureTable::new(&["hours"], figures.collect());
    let total: u64 = all.iter().map(|row| row.sum.minutes).sum();
    table.total = Some(vec![hours_words(total)]);
    view.strips("hours", title, vec![(vec![values], None)], table)
}

fn hours_words(minutes: u64) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

fn money(view: &MonthsView<'_>, currency: Currency) -> Drawing {
    let code = currency.code();
    let all = &view.months.rows;
    let first = all.len() - view.drawn().len();
    let spent = |row: &MonthRow| -> Money {
        let own = row
            .sum
            .money
            .iter()
            .find(|money| money.currency == currency);
        own.copied().unwrap_or(Money { minor: 0, currency })
    };
    let values = |mark, name: String, money: &[Money]| MonthValues {
        mark,
        name,
        values: money.iter().map(|money| height(*money)).collect(),
        figures: money.iter().map(Money::amount).collect(),
    };
    let by_month: Vec<Money> = all.iter().map(spent).collect();
    let mut strips = vec![(
        vec![values(
            Mark::Solid,
            format!("{code} spent in the month"),
            &by_month[first..],
        )],
        None,
    )];
    let budgets = view.months.budgets.iter();
    let budgets: Vec<&BudgetMonths> = budgets
        .filter(|own| own.budget.budget.currency == currency)
        .collect();
    let mut head = vec!["spent".to_owned()];
    for own in &budgets {
        // Where several vehicles have a budget, it is said whose it is.
        let of = match budgets.len() {
            1 => String::new(),
            _ => format!("{}: ", own.budget.vehicle),
        };
        let limit = Limit {
            value: height(own.budget.budget),
            words: format!("{of}budget of {}", own.budget.budget),
        };
        let so_far = values(
            Mark::Line,
            format!("{of}{code} spent so far"),
            &own.spent[first..],
        );
        strips.push((vec![so_far], Some(limit)));
        head.extend([format!("{of}so far"), format!("{of}left")]);
    }
    let has_any = |at: &usize| {
        all[*at]
            .sum
            .money
            .iter()
            .any(|money| money.currency == currency)
    };
    let months = (0..all.len()).filter(has_any);
    let figures = months.map(|at| {
        let mut figures = vec![by_month[at].amount()];
        for own in &budgets {
            let left = own.budget.budget.minor.saturating_sub(own.spent[at].minor);
            let left = Money {
                minor: left,
                currency,
            };
            figures.extend([own.spent[at].amount(), left.amount()]);
        }
        (all[at].key(), figures)
    });
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    let mut table = FigureTable::new(&head, figures.collect());
    let minor = by_month
        .iter()
        .fold(0_i64, |sum, own| sum.saturating_add(own.minor));
    let mut total = vec![Money { minor, currency }.amount()];
    for own in &budgets {
        total.extend([own.budget.spent.amount(), own.budget.left.amount()]);
    }
    table.total = Some(total);
    let title = format!("Money by month, {code}");
    if all.is_empty() {
        return view.empty(
            &format!("money-{}", code.to_lowercase()),
            &title,
            "No money is written down.",
        );
    }
    view.strips(
        &format!("money-{}", code.to_lowercase()),
        &title,
        strips,
        table,
    )
}

/// How high an amount is drawn.
fn height(money: Money) -> f64 {
    let parts = 10_f64.powi(i32::try_from(money.currency.decimals()).unwrap_or(0));
    money.minor as f64 / parts
}
