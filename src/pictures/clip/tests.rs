//! Clips made by hand: headers of both versions, keys by number, damage.

use std::io::Cursor;

use jiff::civil::{date, time};
use proptest::prelude::*;

use super::*;

fn boxed(kind: &[u8], inside: &[u8]) -> Vec<u8> {
    let length = u32::try_from(inside.len() + 8).expect("short");
    [&length.to_be_bytes(), kind, inside].concat()
}

/// 2026-03-14 21:19:26 in seconds since 1904.
const SHOT: u32 = 3_856_367_966;

fn header_0(created: u32, scale: u32, length: u32) -> Vec<u8> {
    let numbers = [0, created, 0, scale, length].map(u32::to_be_bytes);
    boxed(b"mvhd", &numbers.concat())
}

fn header_1(created: u64, scale: u32, length: u64) -> Vec<u8> {
    let (zero, scale) = (0_u64.to_be_bytes(), scale.to_be_bytes());
    let inside = [
        &[1, 0, 0, 0][..],
        &created.to_be_bytes(),
        &zero,
        &scale,
        &length.to_be_bytes(),
    ];
    boxed(b"mvhd", &inside.concat())
}

fn clip(inside: &[u8]) -> Vec<u8> {
    [
        boxed(b"ftyp", b"qt  \0\0\0\0"),
        boxed(b"mdat", b"pictures"),
        boxed(b"moov", inside),
    ]
    .concat()
}

fn read(bytes: &[u8]) -> ClipHeader {
    clip_header(&mut Cursor::new(bytes)).expect("a clip")
}

fn shot(source: TakenSource, offset: Option<Offset>) -> Option<Taken> {
    Some(Taken {
        date: date(2026, 3, 14),
        time: Some(time(21, 19, 26, 0)),
        offset,
        source,
    })
}

#[test]
fn headers_say_when_and_how_long() {
    let taken = shot(TakenSource::ClipHeader, None);
    for (name, header, taken, seconds) in [
        ("version 0", header_0(SHOT, 600, 25_200), taken, Some(42)),
        (
            "version 1",
            header_1(SHOT.into(), 1000, 42_000),
            taken,
            Some(42),
        ),
        ("no date", header_0(0, 600, 25_200), None, Some(42)),
        (
            "date counted from 1970",
            header_0(1_773_523_166, 600, 25_200),
            None,
            Some(42),
        ),
        ("no scale", header_0(SHOT, 0, 25_200), taken, None),
        ("fragments", header_0(SHOT, 600, 0), taken, None),
        ("all ones", header_0(SHOT, 600, u32::MAX), taken, None),
        (
            "all ones, version 1",
            header_1(SHOT.into(), 600, u64::MAX),
            taken,
            None,
        ),
        ("version 7", boxed(b"mvhd", &[7; 100]), None, None),
        ("no header", Vec::new(), None, None),
    ] {
        assert_eq!(
            read(&clip(&header)),
            ClipHeader { taken, seconds },
            "{name}"
        );
    }
}

#[test]
fn the_first_track_says_what_the_movie_does_not() {
    let track = |created: u32, length: u32| {
        let numbers = [0, created, 0, 1000, length].map(u32::to_be_bytes);
        let media = boxed(b"mdia", &boxed(b"mdhd", &numbers.concat()));
        boxed(b"trak", &[boxed(b"tkhd", &[1; 24]), media].concat())
    };
    let taken = shot(TakenSource::ClipHeader, None);
    for (name, movie, seconds) in [
        ("the movie's own", header_0(SHOT, 600, 600), Some(1)),
        ("no date", header_0(0, 600, 600), Some(1)),
        ("no length", header_0(SHOT, 600, 0), Some(42)),
        ("nothing", header_0(0, 0, 0), Some(42)),
    ] {
        let bytes = clip(&[movie, track(SHOT, 42_000), track(1, 7_000)].concat());
        assert_eq!(read(&bytes), ClipHeader { taken, seconds }, "{name}");
    }
}

/// The keys, and a creation date as the item with this number.
fn meta(number: u32, date: &[u8]) -> Vec<u8> {
    let key = |name: &[u8]| {
        let length = u32::try_from(name.len() + 8).expect("short");
        [&length.to_be_bytes(), &b"mdta"[..], name].concat()
    };
    let keys = [
        &[0, 0, 0, 0, 0, 0, 0, 2][..],
        &key(b"com.apple.quicktime.model"),
        &key(CREATION_DATE),
    ];
    let item = |number: u32, value: &[u8]| {
        let data = boxed(b"data", &[&[0, 0, 0, 1, 0, 0, 0, 0][..], value].concat());
        boxed(&number.to_be_bytes(), &data)
    };
    // Not in the order of the keys.
    let items = [item(number, date), item(1, b"a model")].concat();
    [boxed(b"keys", &keys.concat()), boxed(b"ilst", &items)].concat()
}

#[test]
fn the_creation_date_wins_with_its_offset() {
    let header = header_0(SHOT - 3600, 600, 600);
    let hour = Some(Offset::constant(1));
    let said = meta(2, b"2026-03-14T21:19:26+0100");
    let versioned = [&[0; 4][..], &said].concat();
    for meta in [boxed(b"meta", &said), boxed(b"meta", &versioned)] {
        let read = read(&clip(&[header.clone(), meta].concat()));
        assert_eq!(read.taken, shot(TakenSource::ClipDate, hour));
    }
    for odd in [meta(2, b"yesterday"), meta(3, b"2026-03-14T21:19:26+0100")] {
        let read = read(&clip(&[header.clone(), boxed(b"meta", &odd)].concat()));
        let source = read.taken.map(|taken| taken.source);
        assert_eq!(source, Some(TakenSource::ClipHeader));
    }
}

#[test]
fn clips_are_known_by_their_content() {
    for (bytes, is_it) in [
        (&b"\0\0\0\x14ftypqt  "[..], true),
        (b"\0\0\0\x14ftypisom", true),
        (b"\0\0\0\x14ftypheic", false),
        (b"\0\0\0\x08wide", true),
        (b"\xff\xd8\xff\xe0", false),
        (b"", false),
    ] {
        assert_eq!(is_clip(bytes), is_it, "{bytes:?}");
    }
}

proptest! {
    #[test]
    fn damage_is_no_panic(cut in 0_usize..300, at in 0_usize..300, byte: u8) {
        let said = boxed(b"meta", &meta(2, b"2026-03-14T21:19:26+0100"));
        let mut bytes = clip(&[header_1(SHOT.into(), 600, 600), said].concat());
        let at = at % bytes.len();
        bytes[at] = byte;
        bytes.truncate(bytes.len() - cut.min(bytes.len()));
        let _ = clip_header(&mut Cursor::new(bytes));
    }
}
