//! The difference of two versions of a folder, as a pack stores it (gitformat-pack).
//!
//! Pure functions; reads and applies no deltas, which the library does.

/// What is the same at both ends is copied, what lies between is inserted: just right
/// for a folder in which one name was added or changed.
pub(super) fn delta(old: &[u8], new: &[u8]) -> Vec<u8> {
    let start = same_start(old, new);
    let end = old[start..]
        .iter()
        .rev()
        .zip(new[start..].iter().rev())
        .take_while(|(a, b)| a == b)
        .count();
    let mut out = Vec::new();
    size(&mut out, old.len());
    size(&mut out, new.len());
    copy(&mut out, 0, start);
    for piece in new[start..new.len() - end].chunks(0x7f) {
        out.push(piece.len() as u8);
        out.extend(piece);
    }
    copy(&mut out, old.len() - end, end);
    out
}

/// How many bytes at the start are the same: by the block first, which is much quicker.
pub(super) fn same_start(a: &[u8], b: &[u8]) -> usize {
    const BLOCK: usize = 512;
    let blocks = a.chunks_exact(BLOCK).zip(b.chunks_exact(BLOCK));
    let start = BLOCK * blocks.take_while(|(a, b)| a == b).count();
    let rest = a[start..].iter().zip(&b[start..]);
    start + rest.take_while(|(a, b)| a == b).count()
}

fn size(out: &mut Vec<u8>, mut size: usize) {
    while size > 0x7f {
        out.push(0x80 | (size & 0x7f) as u8);
        size >>= 7;
    }
    out.push(size as u8);
}

/// A copy instruction: a byte that says which bytes of offset and length follow.
fn copy(out: &mut Vec<u8>, mut from: usize, mut length: usize) {
    while length > 0 {
        let now = length.min(0xff_ffff);
        let at = out.len();
        out.push(0x80);
        let offset = (from as u32).to_le_bytes();
        let count = (now as u32).to_le_bytes();
        for (bit, byte) in offset.iter().chain(&count[..3]).enumerate() {
            if *byte != 0 {
                out[at] |= 1 << bit;
                out.push(*byte);
            }
        }
        from += now;
        length -= now;
    }
}
