//! A short name for something that a few texts tell from all others.
//!
//! Two things with the same texts have the same name; what it is used for is not
//! known here.

/// Six letters and digits that no one mistakes for each other, from a hash
/// (FNV-1a, 64 bits: Fowler, Noll, Vo).
#[must_use]
pub fn short_name(texts: &[&str]) -> String {
    const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";
    let bytes = texts.iter().flat_map(|text| text.bytes().chain([0]));
    let hash = bytes.fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    // The high bits are those that every byte has moved.
    let mixed = hash ^ (hash >> 32);
    (0..6)
        .map(|place| char::from(LETTERS[usize::try_from(mixed >> (5 * place) & 31).unwrap_or(0)]))
        .collect()
}
