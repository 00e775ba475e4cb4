//! Hardware to get, for a terminal.

use super::bags::counted_pieces;
use super::export::{Document, Exporter};
use super::terminal::Terminal;
use super::text::{Text, TextStyle, brief, counted, plain};
use crate::reports::lacking::PurchaseReason;
use crate::reports::purchases::{Purchase, PurchasePart};
use crate::vocabulary::hardware::PurchaseMark;

/// Hardware to get.
#[derive(Clone, Copy, Debug)]
pub struct ShoppingList<'a> {
    /// What to get, by kind and size.
    pub purchases: &'a [Purchase],
    /// As of when, if not now.
    pub as_of: Option<&'a str>,
    /// Whether the vehicle has to be said.
    pub several_vehicles: bool,
}

impl Exporter<ShoppingList<'_>> for Terminal {
    fn export(&self, list: &ShoppingList<'_>) -> Document {
        self.document(&buy(list, self.width))
    }
}

/// What to get, a line for each kind and size, with whose parts need it.
fn buy(list: &ShoppingList<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    let ShoppingList {
        purchases,
        as_of,
        several_vehicles: several,
    } = *list;
    if purchases.is_empty() {
        text.line(0, TextStyle::Plain, "nothing to get");
        return text;
    }
    if let Some(as_of) = as_of {
        text.line(0, TextStyle::Note, as_of);
    }
    let all: u64 = purchases.iter().map(|purchase| purchase.pieces).sum();
    text.line(
        0,
        TextStyle::Title,
        &format!(
            "to get: {} of {}",
            counted_pieces(all),
            counted(purchases.len(), "kind", "kinds")
        ),
    );
    let widest = purchases
        .iter()
        .map(|purchase| purchase.pieces.to_string().len())
        .max()
        .unwrap_or(1);
    for purchase in purchases {
        let count = purchase.pieces.to_string();
        let fill = "\u{a0}".repeat(widest.saturating_sub(count.len()));
        text.wrapped(
            2,
            widest + 3,
            &[
                (TextStyle::Title, format!("{fill}{count}")),
                plain(" "),
                (TextStyle::Part, purchase.kind.to_string()),
            ],
        );
        for (why, parts) in by_reason(&purchase.parts) {
            let parts: Vec<String> = parts.iter().map(|part| whose_need(part, several)).collect();
            text.wrapped(
                widest + 3,
                widest + 5,
                &[
                    (reason_label(why), format!("{}: ", why.word())),
                    plain(parts.join("; ")),
                ],
            );
        }
        for perhaps in &purchase.perhaps {
            text.wrapped(
                widest + 3,
                widest + 5,
                &[
                    (TextStyle::Note, "perhaps here already: ".into()),
                    plain(format!("\"{}\" ", brief(&perhaps.said))),
                    (
                        TextStyle::Faint,
                        format!("({}, {}:{})", perhaps.date, perhaps.entry, perhaps.line),
                    ),
                ],
            );
        }
    }
    text
}

fn reason_label(why: PurchaseReason) -> TextStyle {
    match why {
        PurchaseReason::Marked(PurchaseMark::New) => TextStyle::Faint,
        PurchaseReason::Marked(
            PurchaseMark::Cut | PurchaseMark::Sheared | PurchaseMark::Stripped | PurchaseMark::Lost,
        )
        | PurchaseReason::Short => TextStyle::Warning,
    }
}

/// The parts that need a kind, by why they do.
fn by_reason(parts: &[PurchasePart]) -> Vec<(PurchaseReason, Vec<&PurchasePart>)> {
    let mut reasons: Vec<(PurchaseReason, Vec<&PurchasePart>)> = Vec::new();
    for part in parts {
        match reasons.iter_mut().find(|(why, _)| *why == part.why) {
            Some((_, parts)) => parts.push(part),
            None => reasons.push((part.why, vec![part])),
        }
    }
    reasons.sort_by_key(|(why, _)| std::cmp::Reverse(*why));
    reasons
}

fn whose_need(part: &PurchasePart, several: bool) -> String {
    let vehicle = if several {
        format!(" ({})", part.vehicle)
    } else {
        String::new()
    };
    format!("{} for {}{vehicle}", part.pieces, brief(&part.label()))
}
