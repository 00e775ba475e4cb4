//! PNGs made by hand: a name a chunk, and what is left of it.

use super::*;

fn chunk(kind: &[u8; 4], payload: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::new();
    put(&mut bytes, kind, payload);
    bytes
}

fn header(width: u32, height: u32) -> Vec<u8> {
    let sides = [width.to_be_bytes(), height.to_be_bytes()].concat();
    chunk(b"IHDR", &[&sides[..], b"\x08\x02\0\0\0"].concat())
}

fn png(inside: &[u8]) -> Vec<u8> {
    [
        SIGNATURE,
        &header(3, 4),
        inside,
        &chunk(b"IDAT", b"pixels"),
        &chunk(b"IEND", b""),
    ]
    .concat()
}

#[test]
fn chunks_are_kept_or_gone() {
    let long = [7; 40];
    for (kind, length, is_kept) in [
        (b"PLTE", 6, true),
        (b"tRNS", 2, true),
        (b"gAMA", 4, true),
        (b"gAMA", 40, false),
        (b"cHRM", 32, true),
        (b"sRGB", 1, true),
        (b"sRGB", 20, false),
        (b"iCCP", 30, false),
        (b"cICP", 4, true),
        (b"sBIT", 3, true),
        (b"acTL", 8, true),
        (b"fcTL", 26, true),
        (b"fdAT", 9, true),
        (b"tEXt", 9, false),
        (b"zTXt", 9, false),
        (b"iTXt", 9, false),
        (b"tIME", 7, false),
        (b"pHYs", 9, false),
        (b"eXIf", 26, false),
        (b"caBX", 9, false),
        (b"prVt", 9, false),
        (b"iDOT", 28, false),
    ] {
        let one = chunk(kind, &long[..length]);
        let left = if is_kept { one.clone() } else { Vec::new() };
        assert_eq!(cleaned(&png(&one)), Ok(png(&left)), "{kind:?} {length}");
    }
}

#[test]
fn a_profile_loses_its_device() {
    let packed = |name: &[u8], profile: &[u8]| {
        let mut packed = vec![0; compress_bound(profile.len())];
        let (packed, _) = compress_slice(&mut packed, profile, DeflateConfig::default());
        chunk(b"iCCP", &[name, b"\0\0", packed].concat())
    };
    let own = packed(b"serial", &profile::tests::with_device());
    let left = packed(b"colours", &profile::tests::small());
    assert_eq!(cleaned(&png(&own)), Ok(png(&left)));
    let bomb = packed(b"x", &vec![0; 100_000_000]);
    assert_eq!(cleaned(&png(&bomb)), Ok(png(b"")));
}

#[test]
fn orientation_stays_and_what_follows_the_end_goes() {
    let turned = png(&chunk(b"eXIf", &orientation::block(3)));
    let more = [&turned[..], b"a trailer"].concat();
    assert_eq!(cleaned(&more), Ok(turned));
}

#[test]
fn damaged_ones_are_refused() {
    let whole = png(b"");
    for end in 0..whole.len() {
        assert_eq!(cleaned(&whole[..end]), Err(DAMAGED), "cut at {end}");
    }
    for at in 0..whole.len() {
        let mut changed = whole.clone();
        changed[at] ^= 4;
        assert_ne!(cleaned(&changed), Ok(whole.clone()), "bit at {at}");
        assert!(cleaned(&changed).is_err(), "bit at {at}");
    }
    let bomb = [SIGNATURE, &header(40_000, 30_000)].concat();
    assert_eq!(cleaned(&bomb), Err(Withheld::TooLarge(40_000, 30_000)));
    let blank = [SIGNATURE, &header(1, 1), &chunk(b"IEND", b"")].concat();
    assert_eq!(cleaned(&blank), Err(DAMAGED));
}
