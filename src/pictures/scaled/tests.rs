//! Pictures larger than a screen, made by hand and encoded here.

use super::*;
use crate::pictures::{orientation, profile};

#[test]
fn each_pixel_is_the_mean_of_a_square() {
    let bytes: Vec<u8> = (0..5 * 3).flat_map(|at| [at, 100, 200]).collect();
    let picture = |height| Pixels {
        bytes: &bytes,
        width: 5,
        height,
        channels: 3,
    };
    let (small, width, height) = picture(3).averaged_by(2).expect("a picture");
    assert_eq!((width, height), (2, 1));
    assert_eq!(small, [3, 100, 200, 5, 100, 200]);
    let whole = picture(3).averaged_by(1).expect("a picture");
    assert_eq!(whole, (bytes.clone(), 5, 3));
    let (small, ..) = picture(3).averaged_by(9).expect("a picture");
    assert_eq!(small, [7, 100, 200]);
    assert!(picture(4).averaged_by(1).is_none());
}

/// A JPEG that is black on its left and red on its right, as a camera writes it.
fn large(width: u16, height: u16, marks: &[&[u8]]) -> Vec<u8> {
    let pixel = |at: usize| match at % usize::from(width) * 2 < usize::from(width) {
        true => [0, 0, 0],
        false => [255, 0, 0],
    };
    let all = usize::from(width) * usize::from(height);
    let rgb: Vec<u8> = (0..all).flat_map(pixel).collect();
    let plain = encoded(&rgb, width, height, ColorType::Rgb).expect("a picture");
    [&plain[..2], &marks.concat(), &plain[2..]].concat()
}

fn small(bytes: &[u8]) -> Option<Vec<u8>> {
    let parts = jpeg::parts(bytes).expect("a picture");
    smaller(&parts, &parts.whole())
}

#[test]
fn what_is_larger_than_a_screen_is_made_smaller() {
    let exif = [b"\xff\xe1\0\x22Exif\0\0", &orientation::block(6)[..]].concat();
    let icc = profile::tests::with_device();
    let length = u16::try_from(icc.len() + 16).expect("short").to_be_bytes();
    let icc = [b"\xff\xe2", &length[..], b"ICC_PROFILE\0\x01\x01", &icc].concat();
    let given = large(4100, 40, &[&exif, &icc, b"\xff\xfe\0\x08secret"]);
    let small = small(&given).expect("smaller");
    let parts = jpeg::parts(&small).expect("a picture");
    assert_eq!((parts.width, parts.height, parts.channels), (1366, 13, 3));
    assert_eq!(parts.whole(), small, "nothing is left to take out");
    assert_eq!(orientation::turned(&small), Some(6));
    let holds = |bytes: &[u8]| small.windows(bytes.len()).any(|part| part == bytes);
    assert!(holds(&profile::tests::small()) && !holds(b"secret"));
    let mut decoder = JpegDecoder::new(Cursor::new(&small));
    let pixels = decoder.decode().expect("pixels");
    let row = &pixels[6 * 1366 * 3..7 * 1366 * 3];
    let (left, right) = (&row[300..303], &row[row.len() - 303..][..3]);
    assert!(left.iter().all(|value| *value < 8), "{left:?}");
    assert!(right[0] > 247 && right[1] < 8 && right[2] < 8, "{right:?}");
}

#[test]
fn what_is_small_or_cannot_be_decoded_stays_as_it_is() {
    assert_eq!(small(&large(2048, 40, &[])), None);
    let given = large(4100, 40, &[]);
    assert!(small(&given).is_some());
    // Four values a pixel, and a height that the decoder is not told.
    let frame = given.windows(4).position(|four| four == b"\xff\xc0\0\x11");
    let frame = frame.expect("a frame");
    for (at, value) in [(9, 4), (6, 0)] {
        let mut odd = given.clone();
        odd[frame + at] = value;
        assert_eq!(small(&odd), None, "{at}");
    }
}
