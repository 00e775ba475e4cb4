//! What a bag holds, in words that the overview and a bag in full share.

use crate::reports::bags::Bag;
use crate::reports::lacking::PurchaseReason;
use crate::vocabulary::hardware::PurchaseMark;

/// Said of a filling while some of its parts are off.
pub(in crate::presentation) fn state_words(bag: &Bag) -> String {
    let (put_in, left) = sums(bag);
    match (bag.emptied, put_in, left) {
        (Some(day), _, 0) => format!("empty since {day}"),
        (Some(day), _, left) => format!("parts all on since {day}; {left} left over"),
        (None, 0, _) => "nothing counted".to_owned(),
        (None, put_in, left) if put_in == left => counted_pieces(left),
        (None, put_in, left) => format!("{left} of {} left", counted_pieces(put_in)),
    }
}

pub(in crate::presentation) fn counted_pieces(count: u64) -> String {
    format!("{count} {}", if count == 1 { "piece" } else { "pieces" })
}

/// How many went in and are left, of all kinds.
pub(super) fn sums(bag: &Bag) -> (u64, u64) {
    bag.pieces.iter().fold((0, 0), |(put_in, left), piece| {
        (put_in + piece.put_in, left + piece.left)
    })
}

pub(in crate::presentation) fn mark_words(mark: PurchaseMark) -> &'static str {
    PurchaseReason::Marked(mark).word()
}
