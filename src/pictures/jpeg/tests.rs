//! JPEGs made by hand: a name a segment, and what is left of it.

use super::*;

fn whole(bytes: &[u8]) -> Result<Vec<u8>, Withheld> {
    parts(bytes).map(|parts| parts.whole())
}

fn segment(marker: u8, payload: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    put(&mut bytes, marker, payload);
    bytes
}

/// Frame of 8 by 16, a table, and a scan with a stuffed byte and a restart mark.
fn picture() -> Vec<u8> {
    [
        segment(0xdb, b"table"),
        segment(0xc0, b"\x08\0\x10\0\x08\x01\x01\x11\0"),
        segment(0xda, b"\x01\x01\0\0\x3f\0"),
        b"pix\xff\0els\xff\xd0more".to_vec(),
    ]
    .concat()
}

fn jpeg(segments: &[&[u8]]) -> Vec<u8> {
    [b"\xff\xd8", &segments.concat()[..], b"\xff\xd9"].concat()
}

const JFIF: &[u8] = b"JFIF\0\x01\x02\x01\0\x48\0\x48\0\0";

fn exif(turn: u8) -> Vec<u8> {
    segment(
        0xe1,
        &[&b"Exif\0\0"[..], &orientation::block(turn)].concat(),
    )
}

#[test]
fn segments_are_kept_or_gone() {
    let piece = |number: u8, of: u8, bytes: &[u8]| {
        segment(0xe2, &[b"ICC_PROFILE\0", &[number, of][..], bytes].concat())
    };
    let device = profile::tests::with_device();
    let profile = piece(1, 1, &profile::tests::small());
    let (first, second) = device.split_at(100);
    let adobe = segment(0xee, b"Adobe\0\x64\0\0\0\0\x01");
    let rows: Vec<(&str, Vec<u8>, Vec<u8>)> = vec![
        ("nothing", vec![], vec![]),
        ("profile", profile.clone(), profile.clone()),
        (
            "a profile of a device",
            piece(1, 1, &device),
            profile.clone(),
        ),
        (
            "a profile in two pieces",
            [piece(2, 2, second), piece(1, 2, first)].concat(),
            profile,
        ),
        ("what is no profile", piece(1, 1, b"serial"), vec![]),
        ("adobe", adobe.clone(), adobe.clone()),
        (
            "adobe with more behind it",
            segment(0xee, b"Adobe\0\x64\0\0\0\0\x01serial"),
            adobe.clone(),
        ),
        ("jfif", segment(0xe0, JFIF), segment(0xe0, JFIF)),
        (
            "jfif with a thumbnail",
            segment(0xe0, b"JFIF\0\x01\x02\x01\0\x48\0\x48\x01\x01rgb"),
            segment(0xe0, JFIF),
        ),
        (
            "a second jfif",
            [
                segment(0xe0, JFIF),
                segment(0xe0, b"JFIF\0\x01\x02\0\0\0\0\0\0\0"),
            ]
            .concat(),
            segment(0xe0, JFIF),
        ),
        (
            "jfif extension",
            segment(0xe0, b"JFXX\0\x10thumbnail"),
            vec![],
        ),
        ("exif, upright", exif(1), vec![]),
        ("exif, turned", exif(6), exif(6)),
        (
            "xmp",
            segment(0xe1, b"http://ns.adobe.com/xap/1.0/\0<x>"),
            vec![],
        ),
        ("several pictures", segment(0xe2, b"MPF\0MM\0*"), vec![]),
        ("flashpix", segment(0xe2, b"FPXR\0"), vec![]),
        ("app3", segment(0xe3, b"Meta\0\0"), vec![]),
        ("app11, provenance", segment(0xeb, b"JP\0\x01jumb"), vec![]),
        (
            "iptc",
            segment(0xed, b"Photoshop 3.0\x008BIM\x04\x04"),
            vec![],
        ),
        ("another app14", segment(0xee, b"other"), vec![]),
        ("app15", segment(0xef, b"Q"), vec![]),
        ("comment", segment(0xfe, b"a comment"), vec![]),
        ("reserved", segment(0xf0, b"who knows"), vec![]),
        (
            "restart interval",
            segment(0xdd, b"\0\x08"),
            segment(0xdd, b"\0\x08"),
        ),
        (
            "fill bytes",
            [&b"\xff\xff\xff"[..], &segment(0xfe, b"x")].concat(),
            vec![],
        ),
    ];
    for (name, given, left) in rows {
        let clean = whole(&jpeg(&[&given, &picture()])).expect(name);
        assert_eq!(clean, jpeg(&[&left, &picture()]), "{name}");
    }
}

#[test]
fn what_stands_between_scans_or_behind_the_end_is_gone() {
    let scan = segment(0xda, b"\x01\x01\0\0\x3f\0");
    let given = [
        jpeg(&[&picture(), &segment(0xfe, b"hidden"), &scan, b"second"]),
        b"\xff\xd8\xff\xe1 a trailer \xff\xd9".to_vec(),
    ]
    .concat();
    let clean = whole(&given).expect("a picture");
    assert_eq!(clean, jpeg(&[&picture(), &scan, b"second"]));
}

#[test]
fn orientation_stands_first_behind_jfif() {
    let given = jpeg(&[
        &segment(0xfe, b"x"),
        &exif(8),
        &segment(0xe0, JFIF),
        &picture(),
    ]);
    let clean = whole(&given).expect("a picture");
    assert_eq!(clean, jpeg(&[&segment(0xe0, JFIF), &exif(8), &picture()]));
}

#[test]
fn damaged_ones_are_refused() {
    let given = jpeg(&[&exif(6), &picture()]);
    for end in 0..given.len() {
        assert_eq!(whole(&given[..end]), Err(DAMAGED), "cut at {end}");
    }
    let rows: [(&str, Vec<u8>); 5] = [
        ("no pixels", jpeg(&[&segment(0xdb, b"table")])),
        ("no frame", jpeg(&[&segment(0xda, b"\x01"), b"pixels"])),
        ("a length of 1", jpeg(&[b"\xff\xfe\0\x01", &picture()])),
        ("no marker", jpeg(&[b"stray", &picture()])),
        (
            "a frame cut short",
            jpeg(&[&segment(0xc0, b"\x08\0"), &picture()]),
        ),
    ];
    for (name, bytes) in rows {
        assert_eq!(whole(&bytes), Err(DAMAGED), "{name}");
    }
    let large = jpeg(&[&segment(0xc2, b"\x08\xff\xff\xff\xff\x01"), &picture()]);
    assert_eq!(whole(&large), Err(Withheld::TooLarge(65535, 65535)));
}
