//! Labels for bags, as one page to print.

use maud::{PreEscaped, html};

use super::{MADE_BY, PageKind, whole};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::labels::{LabelContent, sheets, strip};
use crate::vocabulary::paper::{Paper, millimetres};

/// The form for a home printer.
#[derive(Clone, Debug)]
pub struct LabelPage<'p> {
    /// What stands in the window's title.
    pub title: String,
    /// On what they are printed.
    pub paper: &'p Paper,
}

impl Exporter<[LabelContent]> for LabelPage<'_> {
    fn export(&self, labels: &[LabelContent]) -> Document {
        Document::marked(page(&self.title, labels, self.paper), MADE_BY)
    }
}

/// The labels as one page to print, a sheet or a length of tape each.
#[must_use]
pub fn page(title: &str, labels: &[LabelContent], paper: &Paper) -> String {
    let (size, drawn) = match paper.tape {
        Some(_) => (
            paper.one(),
            labels
                .iter()
                .map(|label| strip(std::slice::from_ref(label), paper))
                .collect(),
        ),
        None => (paper.sheet, sheets(labels, paper)),
    };
    let kind = PageKind::Sheets(millimetres(size.width), millimetres(size.height));
    let inside = html! {
        @for drawn in &drawn { (PreEscaped(drawn)) }
    };
    whole(title, &kind, &inside)
}
