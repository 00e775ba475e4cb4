//! A PNG without its metadata.
//!
//! Chunks are kept or left out whole; the compressed pixels are never decoded.

use zlib_rs::{
    DeflateConfig, InflateConfig, ReturnCode, compress_bound, compress_slice, decompress_slice,
};

use super::orientation;
use super::profile;
use super::withheld::bounded;
use super::{PictureKind, Withheld};

const DAMAGED: Withheld = Withheld::Damaged(PictureKind::Png);
const SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";

/// The PNG with what decoding needs, its colours and its orientation; it stops at its
/// end chunk.
///
/// # Errors
/// When a chunk is cut off or has a wrong sum, when it has no pixels or no end, or
/// says that it has too many pixels.
pub(super) fn cleaned(bytes: &[u8]) -> Result<Vec<u8>, Withheld> {
    let mut rest = bytes.strip_prefix(SIGNATURE).ok_or(DAMAGED)?;
    let mut clean = Vec::with_capacity(bytes.len());
    clean.extend(SIGNATURE);
    let (mut has_header, mut has_pixels) = (false, false);
    loop {
        let kind;
        let payload;
        (kind, payload, rest) = next_chunk(rest)?;
        if !has_header {
            let (b"IHDR", [w1, w2, w3, w4, h1, h2, h3, h4, ..]) = (kind, payload) else {
                return Err(DAMAGED);
            };
            bounded(
                u32::from_be_bytes([*w1, *w2, *w3, *w4]),
                u32::from_be_bytes([*h1, *h2, *h3, *h4]),
            )?;
            put(&mut clean, kind, payload);
            if let Some(turn) = orientation::turned(bytes) {
                put(&mut clean, b"eXIf", &orientation::block(turn));
            }
            has_header = true;
            continue;
        }
        if kind == b"IEND" {
            break;
        }
        has_pixels |= kind == b"IDAT";
        if kind == b"iCCP" {
            if let Some(profile) = profile_without_device(payload) {
                put(&mut clean, kind, &profile);
            }
            continue;
        }
        if is_kept(kind, payload.len()) {
            put(&mut clean, kind, payload);
        }
    }
    if !has_pixels {
        return Err(DAMAGED);
    }
    put(&mut clean, b"IEND", b"");
    Ok(clean)
}

/// Whether a viewer needs such a chunk. Small ones of another size than the standard
/// says are none of it.
fn is_kept(kind: &[u8; 4], length: usize) -> bool {
    match kind {
        b"IDAT" | b"fdAT" => true,
        b"PLTE" => length <= 768,
        b"tRNS" => length <= 256,
        b"gAMA" | b"cICP" => length == 4,
        b"cHRM" => length == 32,
        b"sRGB" => length == 1,
        b"sBIT" => length <= 4,
        b"acTL" => length == 8,
        b"fcTL" => length == 26,
        _ => false,
    }
}

/// The payload of a profile's chunk: a name, the method 0, the profile compressed.
fn profile_without_device(payload: &[u8]) -> Option<Vec<u8>> {
    let name = payload.iter().take(80).position(|byte| *byte == 0)?;
    let [0, compressed @ ..] = payload.get(name + 1..)? else {
        return None;
    };
    // A chunk that swells more than a thousandfold is no profile.
    let room = compressed.len().saturating_mul(1_100);
    let mut whole = vec![0; room.min(profile::LONGEST)];
    let (whole, ended) = decompress_slice(&mut whole, compressed, InflateConfig::default());
    let clean = (ended == ReturnCode::Ok).then(|| profile::cleaned(whole))??;
    let mut packed = vec![0; compress_bound(clean.len())];
    let (packed, ended) = compress_slice(&mut packed, &clean, DeflateConfig::default());
    (ended == ReturnCode::Ok).then(|| [b"colours\0\0", &packed[..]].concat())
}

/// A chunk and what follows it.
type PngChunk<'a> = (&'a [u8; 4], &'a [u8], &'a [u8]);

/// Kind and payload of the chunk at the beginning, with what follows it.
fn next_chunk(bytes: &[u8]) -> Result<PngChunk<'_>, Withheld> {
    let (length, rest) = bytes.split_first_chunk().ok_or(DAMAGED)?;
    let length = usize::try_from(u32::from_be_bytes(*length)).map_err(|_| DAMAGED)?;
    let (kind, rest) = rest.split_first_chunk().ok_or(DAMAGED)?;
    let (payload, rest) = rest.split_at_checked(length).ok_or(DAMAGED)?;
    let (sum, rest) = rest.split_first_chunk().ok_or(DAMAGED)?;
    if u32::from_be_bytes(*sum) != checksum(kind, payload) {
        return Err(DAMAGED);
    }
    Ok((kind, payload, rest))
}

fn put(to: &mut Vec<u8>, kind: &[u8; 4], payload: &[u8]) {
    let length = u32::try_from(payload.len()).unwrap_or(u32::MAX);
    to.extend(length.to_be_bytes());
    to.extend(kind);
    to.extend(payload);
    to.extend(checksum(kind, payload).to_be_bytes());
}

fn checksum(kind: &[u8; 4], payload: &[u8]) -> u32 {
    let mut sum = crc32fast::Hasher::new();
    sum.update(kind);
    sum.update(payload);
    sum.finalize()
}

#[cfg(test)]
mod tests;
