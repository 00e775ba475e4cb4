//! A HEIC as a JPEG that browsers show, as large as a screen needs.
//!
//! The only picture that is decoded, within bounds; a decoder that fails, or that
//! panics, is a damaged picture.

use std::panic::{AssertUnwindSafe, catch_unwind};

use heifer::{Error, Options, decode_srgb_rgba8};
use jpeg_encoder::{ColorType, Encoder};

use super::{PictureKind, Withheld};

const DAMAGED: Withheld = Withheld::Damaged(PictureKind::Heic);

/// The largest that is decoded: phones take 12 or 24 million pixels, and the decoder
/// needs some ten bytes for each.
const MOST_PIXELS: u64 = 26_000_000;

/// The longer side of the JPEG, in pixels, at most.
const LONGEST_SIDE: u32 = 2048;

/// Common practice, no source.
const QUALITY: u8 = 85;

/// The picture as a JPEG, turned upright, in sRGB, with no metadata.
///
/// # Errors
/// When it cannot be decoded within the bounds.
pub(super) fn as_jpeg(bytes: &[u8]) -> Result<Vec<u8>, Withheld> {
    let options = Options {
        max_pixels: MOST_PIXELS,
        max_threads: 0,
    };
    let decoded = catch_unwind(AssertUnwindSafe(|| decode_srgb_rgba8(bytes, &options)));
    let picture = match decoded {
        Ok(Ok(picture)) => picture,
        Ok(Err(Error::Unsupported(_))) => return Err(Withheld::Unsupported(PictureKind::Heic)),
        Ok(Err(Error::Container(_) | Error::Hevc(_) | Error::Encode(_) | Error::Invalid(_)))
        | Err(_) => return Err(DAMAGED),
    };
    let (width, height) = (picture.width, picture.height);
    let rgb = picture.into_rgb8();
    let step = width.max(height).div_ceil(LONGEST_SIDE).max(1);
    let (rgb, width, height) = averaged(&rgb, width, height, step).ok_or(DAMAGED)?;
    let mut jpeg = Vec::new();
    Encoder::new(&mut jpeg, QUALITY)
        .encode(&rgb, width, height, ColorType::Rgb)
        .map_err(|_| DAMAGED)?;
    Ok(jpeg)
}

/// The picture made smaller: each pixel the mean of a square of `step` by `step`.
/// What is left at the right and lower edge is cut off.
fn averaged(rgb: &[u8], width: u32, height: u32, step: u32) -> Option<(Vec<u8>, u16, u16)> {
    let (new_width, new_height) = (
        width.div_euclid(step).max(1),
        height.div_euclid(step).max(1),
    );
    let mut small = Vec::new();
    for y in 0..new_height {
        for x in 0..new_width {
            for colour in 0..3 {
                let (mut sum, mut count) = (0_u32, 0);
                for dy in (y * step..(y + 1) * step).take_while(|dy| *dy < height) {
                    for dx in (x * step..(x + 1) * step).take_while(|dx| *dx < width) {
                        let at = (u64::from(dy) * u64::from(width) + u64::from(dx)) * 3 + colour;
                        sum += u32::from(*rgb.get(usize::try_from(at).ok()?)?);
                        count += 1;
                    }
                }
                small.push(u8::try_from(sum.checked_div(count)?).ok()?);
            }
        }
    }
    Some((
        small,
        u16::try_from(new_width).ok()?,
        u16::try_from(new_height).ok()?,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_pixel_is_the_mean_of_a_square() {
        let rgb: Vec<u8> = (0..5 * 3).flat_map(|at| [at, 100, 200]).collect();
        let (small, width, height) = averaged(&rgb, 5, 3, 2).expect("a picture");
        assert_eq!((width, height), (2, 1));
        assert_eq!(small, [3, 100, 200, 5, 100, 200]);
        assert_eq!(
            averaged(&rgb, 5, 3, 1).expect("a picture"),
            (rgb.clone(), 5, 3)
        );
        assert!(averaged(&rgb, 5, 4, 1).is_none());
    }

    #[test]
    fn what_cannot_be_decoded_is_damaged() {
        assert_eq!(as_jpeg(b"\0\0\0\x18ftypheic\0\0\0\0"), Err(DAMAGED));
    }
}
