//! The bytes of a pack file (gitformat-pack): heads of entries, deltas, checksums.
//!
//! Pure functions; knows nothing of files or of which objects there are.

/// The type number of a delta whose base is named by its distance.
pub(super) const OFFSET_DELTA: u8 = 6;

/// Type and size of an entry: four bits of size beside the type, then seven a byte.
pub(super) fn entry_head(kind: u8, mut size: usize) -> Vec<u8> {
    let mut byte = (kind << 4) | (size & 0x0f) as u8;
    size >>= 4;
    let mut out = Vec::with_capacity(8);
    while size > 0 {
        out.push(byte | 0x80);
        byte = (size & 0x7f) as u8;
        size >>= 7;
    }
    out.push(byte);
    out
}

/// How far back the base of a delta lies: seven bits a byte, highest first, each
/// continuation counting one more so that no distance can be written in two ways.
pub(super) fn distance(mut back: u64) -> Vec<u8> {
    let mut out = vec![(back & 0x7f) as u8];
    back >>= 7;
    while back > 0 {
        back -= 1;
        out.push(0x80 | (back & 0x7f) as u8);
        back >>= 7;
    }
    out.reverse();
    out
}

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

/// The checksum of zip and PNG (ISO 3309), which a pack index keeps of every entry.
pub(super) fn crc32(bytes: &[u8]) -> u32 {
    const TABLE: [u32; 256] = {
        let mut table = [0; 256];
        let mut byte = 0;
        while byte < 256 {
            let mut value = byte as u32;
            let mut bit = 0;
            while bit < 8 {
                value = if value & 1 == 1 {
                    0xedb8_8320 ^ (value >> 1)
                } else {
                    value >> 1
                };
                bit += 1;
            }
            table[byte] = value;
            byte += 1;
        }
        table
    };
    !bytes.iter().fold(!0, |crc, byte| {
        TABLE[((crc ^ u32::from(*byte)) & 0xff) as usize] ^ (crc >> 8)
    })
}

#[cfg(test)]
#[test]
pub(super) fn crc32_agrees_with_the_published_check_value() {
    // The check value of CRC-32/ISO-HDLC for "123456789".
    assert_eq!(crc32(b"123456789"), 0xcbf4_3926);
}
