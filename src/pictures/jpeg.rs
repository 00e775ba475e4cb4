//! A JPEG without its metadata.
//!
//! Segments are kept or left out whole; the compressed pixels are never decoded.

use std::collections::BTreeMap;

use super::orientation;
use super::profile;
use super::withheld::bounded;
use super::{PictureKind, Withheld};

const DAMAGED: Withheld = Withheld::Damaged(PictureKind::Jpeg);

/// With this begin the segments of a colour profile (ICC.1, annex B.4), and so much of it
/// is in one.
const PROFILE: &[u8] = b"ICC_PROFILE\0";
const LONGEST_PIECE: usize = 65_519;

const START: u8 = 0xd8;
const END: u8 = 0xd9;
const START_OF_SCAN: u8 = 0xda;

/// What is kept of a JPEG.
pub(super) struct JpegParts {
    pub(super) width: u16,
    pub(super) height: u16,
    /// How many values a pixel has.
    pub(super) channels: u8,
    /// Whether it becomes finer scan by scan.
    pub(super) is_progressive: bool,
    jfif: Option<[u8; 14]>,
    turn: Option<u8>,
    profile: Vec<u8>,
    body: Vec<u8>,
}

impl JpegParts {
    /// The JPEG with what decoding needs, the colours of its profile and its orientation.
    pub(super) fn whole(&self) -> Vec<u8> {
        let mut whole = vec![0xff, START];
        if let Some(jfif) = self.jfif {
            put(&mut whole, 0xe0, &jfif);
        }
        if let Some(turn) = self.turn {
            put(
                &mut whole,
                0xe1,
                &[&b"Exif\0\0"[..], &orientation::block(turn)].concat(),
            );
        }
        put_profile(&mut whole, &self.profile);
        whole.extend(&self.body);
        whole.extend([0xff, END]);
        whole
    }

    /// Its pixels with the orientation and the profile of another.
    pub(super) fn with_marks_of(self, other: &JpegParts) -> JpegParts {
        JpegParts {
            turn: other.turn,
            profile: other.profile.clone(),
            ..self
        }
    }
}

/// The parts of a JPEG; it stops at the first end mark.
///
/// # Errors
/// When it has no pixels or no end, or says that it has too many pixels.
pub(super) fn parts(bytes: &[u8]) -> Result<JpegParts, Withheld> {
    let mut rest = bytes.strip_prefix(&[0xff, START]).ok_or(DAMAGED)?;
    let mut body = Vec::with_capacity(bytes.len());
    let mut jfif = None;
    let mut profile: BTreeMap<u8, &[u8]> = BTreeMap::new();
    let mut frame = None;
    let mut has_scan = false;
    loop {
        let marker;
        (marker, rest) = next_marker(rest)?;
        if marker == END {
            break;
        }
        let length = usize::from(u16::from_be_bytes(*rest.first_chunk().ok_or(DAMAGED)?));
        let (segment, after) = rest.split_at_checked(length).ok_or(DAMAGED)?;
        let payload = segment.get(2..).ok_or(DAMAGED)?;
        rest = after;
        match marker {
            // Frames: baseline, progressive, lossless, arithmetic.
            0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                let [_, h1, h2, w1, w2, ref more @ ..] = *payload else {
                    return Err(DAMAGED);
                };
                let (width, height) = (u16::from_be_bytes([w1, w2]), u16::from_be_bytes([h1, h2]));
                bounded(width.into(), height.into())?;
                let channels = more.first().copied().unwrap_or_default();
                frame = Some((width, height, channels, marker & 3 == 2));
                put(&mut body, marker, payload);
            }
            // Tables, restart interval, number of lines, hierarchy.
            0xc4 | 0xcc | 0xdb..=0xdf => put(&mut body, marker, payload),
            START_OF_SCAN => {
                put(&mut body, marker, payload);
                let (scan, after) = rest.split_at(scan_length(rest));
                body.extend(scan);
                rest = after;
                has_scan = true;
            }
            0xe0 if jfif.is_none() && payload.starts_with(b"JFIF\0") => {
                // Version and density; the size of a thumbnail is set to nothing.
                let mut own: [u8; 14] = *payload.first_chunk().ok_or(DAMAGED)?;
                [own[12], own[13]] = [0, 0];
                jfif = Some(own);
            }
            0xe2 if payload.starts_with(PROFILE) => {
                let piece = payload.get(PROFILE.len()..).unwrap_or_default();
                // Its number, how many there are, its bytes.
                if let [number, _, bytes @ ..] = piece {
                    profile.entry(*number).or_insert(bytes);
                }
            }
            0xee if payload.starts_with(b"Adobe") => {
                put(&mut body, marker, payload.get(..12).ok_or(DAMAGED)?);
            }
            _ => {}
        }
    }
    let (width, height, channels, is_progressive) = frame.filter(|_| has_scan).ok_or(DAMAGED)?;
    let profile = profile.into_values().collect::<Vec<_>>().concat();
    Ok(JpegParts {
        width,
        height,
        channels,
        is_progressive,
        jfif,
        turn: orientation::turned(bytes),
        profile: profile::cleaned(&profile).unwrap_or_default(),
        body,
    })
}

/// The marker at the beginning, with what follows it. Any number of 0xff may stand
/// before a marker.
fn next_marker(bytes: &[u8]) -> Result<(u8, &[u8]), Withheld> {
    let fill = bytes.iter().take_while(|byte| **byte == 0xff).count();
    match bytes.get(fill..) {
        Some([marker, rest @ ..]) if fill > 0 => Ok((*marker, rest)),
        Some(_) | None => Err(DAMAGED),
    }
}

/// How many bytes of compressed pixels come before the next marker. 0xff00 is a byte
/// of them, and so are the marks at which a decoder may restart.
fn scan_length(bytes: &[u8]) -> usize {
    bytes
        .windows(2)
        .position(|pair| pair[0] == 0xff && !matches!(pair[1], 0 | 0xd0..=0xd7 | 0xff))
        .unwrap_or(bytes.len())
}

/// Adds a colour profile, in as many segments as it needs.
fn put_profile(to: &mut Vec<u8>, profile: &[u8]) {
    let pieces = profile.chunks(LONGEST_PIECE);
    let Ok(count) = u8::try_from(pieces.len()) else {
        return;
    };
    for (number, piece) in (1..=count).zip(pieces) {
        put(to, 0xe2, &[PROFILE, &[number, count], piece].concat());
    }
}

/// Adds a segment. Its payload came out of a segment, so that its length fits.
fn put(to: &mut Vec<u8>, marker: u8, payload: &[u8]) {
    let length = u16::try_from(payload.len() + 2).unwrap_or(u16::MAX);
    to.extend([0xff, marker]);
    to.extend(length.to_be_bytes());
    to.extend(payload);
}

#[cfg(test)]
mod tests;
