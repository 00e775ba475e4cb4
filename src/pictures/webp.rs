//! A WebP without its metadata.
//!
//! Chunks are kept or left out whole; the compressed pixels are never decoded.

use super::orientation;
use super::profile;
use super::withheld::bounded;
use super::{PictureKind, Withheld};

const DAMAGED: Withheld = Withheld::Damaged(PictureKind::WebP);

/// Bits of `VP8X` (RFC 9649, section 2.7).
const HAS_PROFILE: u8 = 0x20;
const HAS_ALPHA: u8 = 0x10;
const HAS_EXIF: u8 = 0x08;
const IS_ANIMATED: u8 = 0x02;

/// The WebP with what decoding needs, its colour profile and its orientation.
///
/// # Errors
/// When it is shorter than it says, when it has no pixels, or says that it has too
/// many.
pub(super) fn cleaned(bytes: &[u8]) -> Result<Vec<u8>, Withheld> {
    let [b'R', b'I', b'F', b'F', l1, l2, l3, l4, inside @ ..] = bytes else {
        return Err(DAMAGED);
    };
    let length = u32::from_le_bytes([*l1, *l2, *l3, *l4]);
    let length = usize::try_from(length).map_err(|_| DAMAGED)?;
    let inside = inside.get(..length).ok_or(DAMAGED)?;
    let mut rest = inside.strip_prefix(b"WEBP").ok_or(DAMAGED)?;
    let turn = orientation::turned(bytes);
    let mut clean = b"RIFF\0\0\0\0WEBP".to_vec();
    let mut has_pixels = false;
    let mut extended = false;
    let mut has_profile = false;
    while !rest.is_empty() {
        let (kind, payload);
        (kind, payload, rest) = next_chunk(rest)?;
        match kind {
            b"VP8X" if clean.len() == 12 => {
                let mut head: [u8; 10] = *payload.first_chunk().ok_or(DAMAGED)?;
                let side =
                    |at: usize| u32::from_le_bytes([head[at], head[at + 1], head[at + 2], 0]) + 1;
                bounded(side(4), side(7))?;
                head[0] &= HAS_PROFILE | HAS_ALPHA | IS_ANIMATED;
                if turn.is_some() {
                    head[0] |= HAS_EXIF;
                }
                [head[1], head[2], head[3]] = [0; 3];
                put(&mut clean, kind, &head);
                extended = true;
            }
            b"VP8 " | b"VP8L" => {
                frame_bounded(kind, payload)?;
                put(&mut clean, kind, payload);
                has_pixels = true;
                if !extended {
                    // Such a file has nothing but its one frame.
                    break;
                }
            }
            b"ANMF" => {
                put(&mut clean, kind, &frame(payload)?);
                has_pixels = true;
            }
            b"ICCP" => {
                if let Some(profile) = profile::cleaned(payload).filter(|_| !has_profile) {
                    put(&mut clean, kind, &profile);
                    has_profile = true;
                }
            }
            b"ALPH" => put(&mut clean, kind, payload),
            b"ANIM" => put(&mut clean, kind, payload.get(..6).ok_or(DAMAGED)?),
            _ => {}
        }
    }
    if !has_pixels {
        return Err(DAMAGED);
    }
    if extended && !has_profile {
        // The bits are the first byte behind the heads of the file and of this chunk.
        clean[20] &= !HAS_PROFILE;
    }
    if let Some(turn) = turn.filter(|_| extended) {
        put(&mut clean, b"EXIF", &orientation::block(turn));
    }
    let length = u32::try_from(clean.len() - 8).map_err(|_| DAMAGED)?;
    clean[4..8].copy_from_slice(&length.to_le_bytes());
    Ok(clean)
}

/// A frame of an animation: its place, and its pixels alone.
fn frame(payload: &[u8]) -> Result<Vec<u8>, Withheld> {
    let (head, mut rest) = payload.split_first_chunk::<16>().ok_or(DAMAGED)?;
    let mut clean = head.to_vec();
    while !rest.is_empty() {
        let (kind, payload);
        (kind, payload, rest) = next_chunk(rest)?;
        match kind {
            b"VP8 " | b"VP8L" => {
                frame_bounded(kind, payload)?;
                put(&mut clean, kind, payload);
            }
            b"ALPH" => put(&mut clean, kind, payload),
            _ => {}
        }
    }
    Ok(clean)
}

/// Refuses a frame of too many pixels; both sides are 14 bits.
fn frame_bounded(kind: &[u8; 4], payload: &[u8]) -> Result<(), Withheld> {
    if kind == b"VP8L" {
        let [_, a, b, c, d, ..] = *payload else {
            return Err(DAMAGED);
        };
        let both = u32::from_le_bytes([a, b, c, d]);
        return bounded((both & 0x3fff) + 1, (both >> 14 & 0x3fff) + 1);
    }
    let [_, _, _, 0x9d, 0x01, 0x2a, w1, w2, h1, h2, ..] = *payload else {
        return Err(DAMAGED);
    };
    bounded(
        (u16::from_le_bytes([w1, w2]) & 0x3fff).into(),
        (u16::from_le_bytes([h1, h2]) & 0x3fff).into(),
    )
}

/// A chunk and what follows it.
type RiffChunk<'a> = (&'a [u8; 4], &'a [u8], &'a [u8]);

/// Kind and payload of the chunk at the beginning, with what follows it and the byte
/// that makes its length even.
fn next_chunk(bytes: &[u8]) -> Result<RiffChunk<'_>, Withheld> {
    let (kind, rest) = bytes.split_first_chunk().ok_or(DAMAGED)?;
    let (length, rest) = rest.split_first_chunk().ok_or(DAMAGED)?;
    let length = usize::try_from(u32::from_le_bytes(*length)).map_err(|_| DAMAGED)?;
    let (payload, rest) = rest.split_at_checked(length).ok_or(DAMAGED)?;
    let rest = match length % 2 {
        0 => rest,
        _ => rest.get(1..).unwrap_or_default(),
    };
    Ok((kind, payload, rest))
}

fn put(to: &mut Vec<u8>, kind: &[u8; 4], payload: &[u8]) {
    to.extend(kind);
    let length = u32::try_from(payload.len()).unwrap_or(u32::MAX);
    to.extend(length.to_le_bytes());
    to.extend(payload);
    if payload.len() % 2 == 1 {
        to.push(0);
    }
}

#[cfg(test)]
mod tests;
