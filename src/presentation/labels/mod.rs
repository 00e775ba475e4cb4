//! Labels for bags, to print: on sheets or on continuous tape, as SVG.
//!
//! Nothing is loaded from anywhere. Which bags get a label is decided by who
//! asks.

pub mod code;
mod drawing;
mod words;

use super::book::names;
use super::export::{Document, Exporter};
use super::page::MADE_BY;
use crate::reports::bags::Bag;
use crate::vocabulary::paper::{Paper, millimetres};
use drawing::{drawing, escaped, number};

/// What stands on a label.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LabelContent {
    /// The bag's number or words.
    pub label: String,
    /// The vehicle by its name; several where a bag holds of several.
    pub vehicle: Option<String>,
    /// The day it was filled.
    pub date: Option<String>,
    /// Its parts with their positions.
    pub parts: Vec<String>,
    /// What is in it.
    pub pieces: Vec<String>,
    /// The address of its page, for the code.
    pub page: Option<String>,
}

/// What a label says where its list is cut.
fn more(count: usize) -> String {
    format!("and {count} more, see the journal")
}

/// What the label of a bag says. `vehicle_name` finds a vehicle's name, `book` is the
/// address of the journal's pages.
#[must_use]
pub fn content(
    bag: &Bag,
    vehicle_name: &dyn Fn(&str) -> String,
    book: Option<&str>,
) -> LabelContent {
    let vehicles: Vec<String> = bag.vehicles.iter().map(|slug| vehicle_name(slug)).collect();
    let parts = bag
        .parts
        .iter()
        .filter(|part| part.on_since.is_none() || bag.emptied.is_some());
    let pieces = bag
        .pieces
        .iter()
        .filter(|piece| piece.left > 0)
        .map(|piece| format!("{} {}", piece.left, piece.words()));
    LabelContent {
        label: bag.label.clone(),
        vehicle: (!vehicles.is_empty()).then(|| vehicles.join(" and ")),
        date: bag.since.map(|day| day.to_string()),
        parts: parts.map(|part| part.label()).collect(),
        pieces: pieces.collect(),
        page: book.map(|book| format!("{book}{}", names::bag(&bag.label))),
    }
}

/// How many of these labels are too small for a code.
#[must_use]
pub fn without_code(labels: &[LabelContent], paper: &Paper) -> usize {
    let one = paper.one();
    let side = drawing::code_side(one.width as f32 / 10.0, one.height as f32 / 10.0);
    let bare = labels
        .iter()
        .filter(|label| code::code(label, side).is_none());
    bare.count()
}

/// The form for a drawing program or a label printer.
#[derive(Clone, Copy, Debug)]
pub struct LabelDrawings<'p> {
    /// On what they are printed.
    pub paper: &'p Paper,
}

impl Exporter<[LabelContent]> for LabelDrawings<'_> {
    fn export(&self, labels: &[LabelContent]) -> Document {
        Document {
            sheets: svg(labels, self.paper),
            mark: Some(MADE_BY),
        }
    }
}

/// The labels as SVG files: one a sheet, or one strip of tape.
#[must_use]
pub fn svg(labels: &[LabelContent], paper: &Paper) -> Vec<String> {
    let alone = |drawn: String| {
        let declared = drawn.replacen("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", 1);
        format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- {MADE_BY} -->\n{declared}\n")
    };
    match paper.tape {
        Some(_) => vec![alone(strip(labels, paper))],
        None => sheets(labels, paper).into_iter().map(alone).collect(),
    }
}

/// Sheets full of labels.
pub(super) fn sheets(labels: &[LabelContent], paper: &Paper) -> Vec<String> {
    let (columns, rows) = paper.grid();
    let on_one = (columns * rows).max(1) as usize;
    labels
        .chunks(on_one)
        .map(|chunk| {
            let mut inside = String::new();
            for (at, label) in (0..).zip(chunk) {
                let (x, y) = paper.place(at % columns.max(1), at / columns.max(1));
                inside.push_str(&placed(label, paper, x, y));
            }
            framed(paper.sheet.width, paper.sheet.height, &inside)
        })
        .collect()
}

/// Labels one behind the other on a tape.
pub(super) fn strip(labels: &[LabelContent], paper: &Paper) -> String {
    let one = paper.one();
    let mut inside = String::new();
    let mut x = 0;
    for label in labels {
        inside.push_str(&placed(label, paper, x, 0));
        x += one.width;
    }
    framed(x, one.height, &inside)
}

/// One label at its place, with a hairline to cut along.
fn placed(label: &LabelContent, paper: &Paper, x: u32, y: u32) -> String {
    let one = paper.one();
    let (width, height) = (one.width as f32 / 10.0, one.height as f32 / 10.0);
    format!(
        "<g transform=\"translate({} {})\"><title>{}</title><rect width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"#ccc\" stroke-width=\"0.1\"/>{}</g>\n",
        millimetres(x),
        millimetres(y),
        escaped(&format!("Bag {}", label.label)),
        number(width),
        number(height),
        drawing(label, width, height)
    )
}

/// A drawing of this size in tenths of a millimetre.
fn framed(width: u32, height: u32, inside: &str) -> String {
    let (width, height) = (millimetres(width), millimetres(height));
    format!(
        "<svg width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" font-family=\"Helvetica, Arial, 'Liberation Sans', sans-serif\" fill=\"#000\">\n{inside}</svg>"
    )
}
