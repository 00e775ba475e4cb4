//! The figures of a drawing of months, in sentences and as a table.

use maud::{Markup, html};

use crate::presentation::text::shown;

/// The figures of a drawing: a row for each month in which there is one.
#[derive(Clone, Debug)]
pub struct FigureTable {
    /// What each column holds.
    head: Vec<String>,
    /// The month, and its figures.
    rows: Vec<(String, Vec<String>)>,
    /// What they come to.
    pub total: Option<Vec<String>>,
}

impl FigureTable {
    /// A table without a last row.
    #[must_use]
    pub fn new(head: &[&str], rows: Vec<(String, Vec<String>)>) -> FigureTable {
        FigureTable {
            head: head.iter().map(|word| (*word).to_owned()).collect(),
            rows,
            total: None,
        }
    }

    /// The figures as sentences, one a month.
    #[must_use]
    pub fn in_words(&self) -> String {
        let total = self.total.iter().map(|total| ("In all".to_owned(), total));
        let rows = self
            .rows
            .iter()
            .map(|(month, figures)| (month.clone(), figures));
        let lines = rows.chain(total).map(|(month, figures)| {
            let own = figures.iter().zip(&self.head);
            let own: Vec<String> = own
                .map(|(figure, word)| format!("{word} {figure}"))
                .collect();
            format!("{month}: {}.", own.join(", "))
        });
        let lines: Vec<String> = lines.collect();
        lines.join(" ")
    }

    /// The figures as a table of a page.
    #[must_use]
    pub fn markup(&self) -> Markup {
        html! {
            table class="counts" {
                thead { tr {
                    th scope="col" { "Month" }
                    @for word in &self.head { th scope="col" { (shown(word)) } }
                } }
                tbody {
                    @for (month, figures) in &self.rows {
                        tr {
                            th scope="row" { (month) }
                            @for figure in figures { td { (figure) } }
                        }
                    }
                    @if let Some(total) = &self.total {
                        tr class="total" {
                            th scope="row" { "In all" }
                            @for figure in total { td { (figure) } }
                        }
                    }
                }
            }
        }
    }
}
