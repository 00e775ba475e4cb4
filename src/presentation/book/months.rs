//! The page that shows a journal month by month: parts off and on again, hours, and money
//! where it may be shown, drawn and as tables.

use maud::{Markup, html};

use super::frame::{Part, page};
use super::{Book, BookPage, names};
use crate::presentation::drawing::months::{MonthsView, drawings};
use crate::presentation::text::shown;
use crate::reports::months::months;
use crate::reports::parts_off::part_moves;
use crate::reports::spending::{Posting, with_places};
use crate::reports::tally::{budgets, sum};

/// The page of all months.
pub(super) fn page_of(book: &Book<'_>) -> BookPage {
    let contents = book.contents;
    let beside = contents.whole.beside.clone();
    let postings = with_places(beside, book.ledger, contents.context);
    let slugs = contents.vehicles.iter().map(|vehicle| Some(&vehicle.slug));
    let mut sections: Vec<(String, Markup)> = Vec::new();
    for (number, slug) in slugs.chain([None]).enumerate() {
        let own = postings
            .iter()
            .filter(|posting| posting.vehicle.as_ref() == slug);
        let own: Vec<Posting> = own.cloned().collect();
        let name = match slug {
            Some(slug) => book.vehicle_name(slug).to_owned(),
            None if own.is_empty() => continue,
            None => "Without a vehicle".to_owned(),
        };
        sections.push((name, section(book, number, slug, &own)));
    }
    let inside = html! {
        h1 { "Month by month" }
        @for (name, section) in &sections {
            section {
                h2 { (shown(name)) }
                (section)
            }
        }
    };
    page(book, names::MONTHS, "Month by month", Part::Front, &inside)
}

/// The drawings of a vehicle, or of what names none.
fn section(book: &Book<'_>, number: usize, slug: Option<&String>, own: &[Posting]) -> Markup {
    let context = book.contents.context;
    let (dated, undated): (Vec<Posting>, Vec<Posting>) = own
        .iter()
        .cloned()
        .partition(|posting| posting.date.is_some());
    let moves = part_moves(book.ledger, &|state| Some(&state.vehicle) == slug);
    let mut months = months(&dated, &moves, (None, None), context);
    if let Some(vehicle) = book
        .contents
        .vehicles
        .get(number)
        .filter(|_| book.contents.shows_money)
    {
        let known = vehicle.budget.map(|budget| (vehicle.slug.clone(), budget));
        let known: Vec<_> = known.into_iter().collect();
        months.hold_against(&budgets(&dated, &known, context.currency), &dated, context);
    }
    let view = MonthsView {
        months: &months,
        id: format!("vehicle-{}", number + 1),
        of: None,
        shows_money: book.contents.shows_money,
        undated: sum(undated.iter(), context.currency),
    };
    html! {
        @for drawing in drawings(&view) {
            h3 { (drawing.title) }
            (drawing.in_page(true))
        }
    }
}
