//! WebPs made by hand: a name a chunk, and what is left of it.

use super::*;

fn chunk(kind: &[u8; 4], payload: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    put(&mut bytes, kind, payload);
    bytes
}

fn webp(chunks: &[&[u8]]) -> Vec<u8> {
    let inside = chunks.concat();
    let length = u32::try_from(inside.len() + 4).expect("short");
    [b"RIFF", &length.to_le_bytes()[..], b"WEBP", &inside].concat()
}

/// The chunk of an extended file of 8 by 8, with these flags.
fn extended(flags: u8) -> Vec<u8> {
    chunk(b"VP8X", &[flags, 0, 0, 0, 7, 0, 0, 7, 0, 0])
}

const LOSSY: &[u8] = b"\0\0\0\x9d\x01\x2a\x08\0\x08\0pixels!";
const LOSSLESS: &[u8] = b"\x2f\x07\xc0\x01\0pixels";

#[test]
fn chunks_are_kept_or_gone() {
    let pixels = chunk(b"VP8 ", LOSSY);
    let frame = [[0_u8; 16].to_vec(), pixels.clone()].concat();
    let hidden = [frame.clone(), chunk(b"XMP ", b"<x>")].concat();
    let turned = chunk(b"EXIF", &orientation::block(6));
    let rows: Vec<(&str, Vec<u8>, Vec<u8>)> = vec![
        ("lossy", webp(&[&pixels]), webp(&[&pixels])),
        (
            "lossless, odd length",
            webp(&[&chunk(b"VP8L", LOSSLESS)]),
            webp(&[&chunk(b"VP8L", LOSSLESS)]),
        ),
        (
            "something behind the pixels of a simple file",
            webp(&[&pixels, &chunk(b"XMP ", b"<x>")]),
            webp(&[&pixels]),
        ),
        (
            "all bits, reserved ones too",
            webp(&[&chunk(b"VP8X", &[0xff, 1, 2, 3, 7, 0, 0, 7, 0, 0]), &pixels]),
            webp(&[&extended(HAS_ALPHA | IS_ANIMATED), &pixels]),
        ),
        (
            "what is no profile",
            webp(&[&extended(HAS_PROFILE), &chunk(b"ICCP", b"serial"), &pixels]),
            webp(&[&extended(0), &pixels]),
        ),
        (
            "profile, alpha, exif, xmp, unknown",
            webp(&[
                &extended(0x3c),
                &chunk(b"ICCP", &profile::tests::with_device()),
                &chunk(b"ALPH", b"alpha"),
                &pixels,
                &chunk(b"EXIF", b"MM\0*serial"),
                &chunk(b"XMP ", b"<x>"),
                &chunk(b"C2PA", b"x"),
            ]),
            webp(&[
                &extended(HAS_PROFILE | HAS_ALPHA),
                &chunk(b"ICCP", &profile::tests::small()),
                &chunk(b"ALPH", b"alpha"),
                &pixels,
            ]),
        ),
        (
            "turned",
            webp(&[&extended(0), &turned, &pixels]),
            webp(&[&extended(HAS_EXIF), &pixels, &turned]),
        ),
        (
            "something inside a frame",
            webp(&[
                &extended(IS_ANIMATED),
                &chunk(b"ANIM", b"\0\0\0\0\0\0serial"),
                &chunk(b"ANMF", &hidden),
            ]),
            webp(&[
                &extended(IS_ANIMATED),
                &chunk(b"ANIM", b"\0\0\0\0\0\0"),
                &chunk(b"ANMF", &frame),
            ]),
        ),
        (
            "a trailer",
            [webp(&[&pixels]), b"trailer".to_vec()].concat(),
            webp(&[&pixels]),
        ),
    ];
    for (name, given, left) in rows {
        assert_eq!(cleaned(&given), Ok(left), "{name}");
    }
}

#[test]
fn damaged_ones_are_refused() {
    let whole = webp(&[&chunk(b"VP8 ", LOSSY)]);
    for end in 0..whole.len() {
        assert_eq!(cleaned(&whole[..end]), Err(DAMAGED), "cut at {end}");
    }
    assert_eq!(cleaned(&webp(&[&extended(0)])), Err(DAMAGED));
    let bomb = [0, 0, 0, 0, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff];
    assert_eq!(
        cleaned(&webp(&[&chunk(b"VP8X", &bomb)])),
        Err(Withheld::TooLarge(1 << 24, 1 << 24))
    );
    assert_eq!(
        cleaned(&webp(&[&chunk(b"VP8L", b"\x2f\xff\xff\xff\xff")])),
        Err(Withheld::TooLarge(1 << 14, 1 << 14))
    );
}
