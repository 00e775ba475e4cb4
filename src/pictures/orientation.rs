//! Which way up a picture is, and the smallest Exif block that says so.
//!
//! Nothing else is taken from a picture's Exif data.

use std::io::Cursor;

use exif::{In, Reader, Tag};

/// The orientation that needs no word: the first pixel is the top left.
const UPRIGHT: u8 = 1;

/// An orientation other than upright, 2 to 8 as Exif counts them.
pub(super) fn turned(bytes: &[u8]) -> Option<u8> {
    let read = Reader::new()
        .continue_on_error(true)
        .read_from_container(&mut Cursor::new(bytes))
        .or_else(|error| error.distill_partial_result(|_| {}))
        .ok()?;
    let said = read
        .get_field(Tag::Orientation, In::PRIMARY)?
        .value
        .get_uint(0)?;
    u8::try_from(said)
        .ok()
        .filter(|turn| (UPRIGHT + 1..=8).contains(turn))
}

/// An Exif block that says the orientation and nothing else.
pub(super) fn block(turn: u8) -> [u8; 26] {
    let mut block = *b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\0\0\0\0\0\0\0";
    block[19] = turn;
    block
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_smallest_block_says_the_orientation() {
        for turn in 0..=9 {
            let read = turned(&block(turn));
            assert_eq!(read, (2..=8).contains(&turn).then_some(turn), "{turn}");
        }
    }
}
