//! When a clip was taken and how long it is: the header of MOV and MP4 (ISO/IEC
//! 14496-12), and the creation date that phones add (QuickTime File Format).
//!
//! Pictures and sound are seeked over and never read.

use std::io::{self, Read, Seek, SeekFrom};

use jiff::Timestamp;
use jiff::fmt::strtime::BrokenDownTime;
use jiff::tz::Offset;

use super::taken::{Taken, TakenSource};

/// What a clip says of itself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ClipHeader {
    /// When it was taken, if it says so.
    pub taken: Option<Taken>,
    /// Its length in seconds, if it says so.
    pub seconds: Option<u32>,
}

/// Whether a file that begins like this is a clip.
#[must_use]
pub fn is_clip(start: &[u8]) -> bool {
    match start.get(4..8) {
        Some(b"ftyp") => super::PictureKind::of(start).is_none(),
        Some(b"moov" | b"mdat" | b"wide" | b"free" | b"skip") => true,
        Some(_) | None => false,
    }
}

/// What a clip says of itself.
///
/// # Errors
/// When it cannot be read, or has no header: it is cut off, or no clip.
pub fn clip_header(clip: &mut (impl Read + Seek)) -> io::Result<ClipHeader> {
    let end = clip.seek(SeekFrom::End(0))?;
    let whole = Span { start: 0, end };
    let movie = find(clip, whole, b"moov")?.ok_or(io::ErrorKind::InvalidData)?;
    let mut header = match find(clip, movie, b"mvhd")? {
        Some(own) => times(clip, own)?,
        None => ClipHeader::default(),
    };
    // Some cameras leave the movie's header empty and fill in that of the first track.
    if (header.taken.is_none() || header.seconds.is_none())
        && let Some(track) = find(clip, movie, b"trak")?
        && let Some(media) = find(clip, track, b"mdia")?
        && let Some(own) = find(clip, media, b"mdhd")?
    {
        let own = times(clip, own)?;
        header.taken = header.taken.or(own.taken);
        header.seconds = header.seconds.or(own.seconds);
    }
    if let Some(meta) = find(clip, movie, b"meta")?
        && let Some(taken) = creation_date(clip, meta)?
    {
        header.taken = Some(taken);
    }
    Ok(header)
}

/// A stretch of a file.
#[derive(Clone, Copy)]
struct Span {
    start: u64,
    end: u64,
}

/// A file with more boxes beside each other is no clip that a camera wrote.
const MOST_BOXES: usize = 10_000;

/// The longest box that is read.
const LONGEST: u64 = 1 << 20;

/// The inside of the first box of this kind.
fn find(clip: &mut (impl Read + Seek), among: Span, kind: &[u8; 4]) -> io::Result<Option<Span>> {
    let mut at = among.start;
    for _ in 0..MOST_BOXES {
        let Some((found, inside)) = next_box(clip, at, among.end)? else {
            return Ok(None);
        };
        if found == *kind {
            return Ok(Some(inside));
        }
        at = inside.end;
    }
    Ok(None)
}

/// The kind and the inside of the box that begins at `at`.
fn next_box(
    clip: &mut (impl Read + Seek),
    at: u64,
    end: u64,
) -> io::Result<Option<([u8; 4], Span)>> {
    if at.saturating_add(8) > end {
        return Ok(None);
    }
    clip.seek(SeekFrom::Start(at))?;
    let [s1, s2, s3, s4, kind @ ..] = array::<8>(clip)?;
    let (length, head) = match u32::from_be_bytes([s1, s2, s3, s4]) {
        0 => (end - at, 8),
        1 => (u64::from_be_bytes(array(clip)?), 16),
        length => (length.into(), 8),
    };
    let inside = Span {
        start: at + head,
        end: at.saturating_add(length),
    };
    let fits = length >= head && inside.end <= end;
    Ok(fits.then_some((kind, inside)))
}

fn array<const N: usize>(clip: &mut impl Read) -> io::Result<[u8; N]> {
    let mut bytes = [0; N];
    clip.read_exact(&mut bytes)?;
    Ok(bytes)
}

/// What lies in a span that is short enough.
fn bytes(clip: &mut (impl Read + Seek), span: Span) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    clip.seek(SeekFrom::Start(span.start))?;
    let length = span.end.saturating_sub(span.start).min(LONGEST);
    clip.take(length).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Seconds from 1904 to 1970.
const EPOCH: u64 = 2_082_844_800;

/// Creation time and length, of version 0 or 1. Nothing, or all ones, means unknown.
fn times(clip: &mut (impl Read + Seek), header: Span) -> io::Result<ClipHeader> {
    clip.seek(SeekFrom::Start(header.start))?;
    let [version, ..] = array::<4>(clip)?;
    let (created, scale, length) = match version {
        0 => {
            let [created, _, scale, length] = [(); 4].map(|()| array(clip).map(u32::from_be_bytes));
            let length = Some(length?).filter(|length| *length != u32::MAX);
            (u64::from(created?), scale?, length.map(u64::from))
        }
        1 => {
            let [created, _] = [(); 2].map(|()| array(clip).map(u64::from_be_bytes));
            let scale = array(clip).map(u32::from_be_bytes)?;
            let length = Some(array(clip).map(u64::from_be_bytes)?);
            (created?, scale, length.filter(|length| *length != u64::MAX))
        }
        _ => return Ok(ClipHeader::default()),
    };
    let seconds = length
        .and_then(|length| length.checked_div(scale.into()))
        .and_then(|seconds| u32::try_from(seconds).ok())
        .filter(|_| length != Some(0));
    let since = created
        .checked_sub(EPOCH)
        .and_then(|since| i64::try_from(since).ok());
    let taken = since.and_then(|since| {
        let at = Offset::UTC.to_datetime(Timestamp::from_second(since).ok()?);
        Some(Taken {
            date: at.date(),
            time: Some(at.time()),
            offset: None,
            source: TakenSource::ClipHeader,
        })
    });
    Ok(ClipHeader { taken, seconds })
}

/// The name of the creation date among the keys.
const CREATION_DATE: &[u8] = b"com.apple.quicktime.creationdate";

/// The creation date that `keys` and `ilst` say; an item is of the key with its number.
fn creation_date(clip: &mut (impl Read + Seek), meta: Span) -> io::Result<Option<Taken>> {
    // The box has a version in MP4 and none in MOV.
    let versioned = Span {
        start: meta.start + 4,
        ..meta
    };
    for meta in [meta, versioned] {
        let (Some(keys), Some(items)) = (find(clip, meta, b"keys")?, find(clip, meta, b"ilst")?)
        else {
            continue;
        };
        let Some(number) = key_number(&bytes(clip, keys)?) else {
            return Ok(None);
        };
        let Some(item) = find(clip, items, &number.to_be_bytes())? else {
            return Ok(None);
        };
        let Some(data) = find(clip, item, b"data")? else {
            return Ok(None);
        };
        let value = bytes(clip, data)?;
        let text = value.get(8..).map(String::from_utf8_lossy);
        return Ok(text.and_then(|text| dated(&text)));
    }
    Ok(None)
}

/// The number of the creation date among the keys, from 1.
fn key_number(keys: &[u8]) -> Option<u32> {
    let mut rest = keys.get(8..)?;
    for number in 1.. {
        let length = usize::try_from(u32::from_be_bytes(*rest.first_chunk()?)).ok()?;
        let (key, after) = rest.split_at_checked(length)?;
        if key.get(8..)? == CREATION_DATE {
            return Some(number);
        }
        rest = after;
    }
    None
}

/// "2026-03-14T21:19:26+0100".
fn dated(text: &str) -> Option<Taken> {
    let text = text.trim_end_matches('\0');
    let forms = [
        "%Y-%m-%dT%H:%M:%S%z",
        "%Y-%m-%dT%H:%M:%S%:z",
        "%Y-%m-%dT%H:%M:%SZ",
    ];
    let (read, form) = forms
        .iter()
        .find_map(|form| Some((BrokenDownTime::parse(form, text).ok()?, form)))?;
    let offset = read.offset().or(form.ends_with('Z').then_some(Offset::UTC));
    Some(Taken {
        date: read.to_date().ok()?,
        time: Some(read.to_time().ok()?),
        offset,
        source: TakenSource::ClipDate,
    })
}

#[cfg(test)]
mod tests;
