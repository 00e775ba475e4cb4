//! Pictures made as small as a screen needs, as JPEG.
//!
//! A JPEG that is as small already, or cannot be decoded within bounds, is left as it is.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use jpeg_encoder::{ColorType, Encoder};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::jpeg::{self, JpegParts};

/// The longer side of a picture that was made smaller, in pixels, at most.
pub(super) const LONGEST_SIDE: u32 = 2048;

/// Common practice, no source.
const QUALITY: u8 = 85;

/// The most pixels that are decoded; where all scans have to be held until the last has
/// been read, that takes nine bytes for each, else three.
const MOST_PIXELS: u64 = 60_000_000;
const MOST_PROGRESSIVE: u64 = 26_000_000;

/// The JPEG, whose parts these are, made smaller; `None` if it stays as it is.
pub(super) fn smaller(parts: &JpegParts, whole: &[u8]) -> Option<Vec<u8>> {
    let (width, height) = (u32::from(parts.width), u32::from(parts.height));
    let most = match parts.is_progressive {
        true => MOST_PROGRESSIVE,
        false => MOST_PIXELS,
    };
    if width.max(height) <= LONGEST_SIDE || u64::from(width) * u64::from(height) > most {
        return None;
    }
    let (colours, kind, channels) = match parts.channels {
        1 => (ColorSpace::Luma, ColorType::Luma, 1),
        3 => (ColorSpace::RGB, ColorType::Rgb, 3),
        // What is meant for a press is not decoded.
        _ => return None,
    };
    let options = DecoderOptions::default()
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        .jpeg_set_out_colorspace(colours);
    let decoded = catch_unwind(AssertUnwindSafe(|| {
        JpegDecoder::new_with_options(Cursor::new(whole), options).decode()
    }));
    let pixels = decoded.ok()?.ok()?;
    let picture = Pixels {
        bytes: &pixels,
        width,
        height,
        channels,
    };
    let (small, width, height) = picture.averaged()?;
    let bytes = encoded(&small, width, height, kind)?;
    let bytes = jpeg::parts(&bytes).ok()?.with_marks_of(parts).whole();
    (bytes.len() < whole.len()).then_some(bytes)
}

/// Red, green and blue as a JPEG no larger than a screen needs.
pub(super) fn as_jpeg(rgb: &[u8], width: u32, height: u32) -> Option<Vec<u8>> {
    let picture = Pixels {
        bytes: rgb,
        width,
        height,
        channels: 3,
    };
    let (small, width, height) = picture.averaged()?;
    encoded(&small, width, height, ColorType::Rgb)
}

fn encoded(pixels: &[u8], width: u16, height: u16, kind: ColorType) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    let encoder = Encoder::new(&mut bytes, QUALITY);
    encoder.encode(pixels, width, height, kind).ok()?;
    Some(bytes)
}

/// The pixels of a picture, row by row.
struct Pixels<'p> {
    bytes: &'p [u8],
    width: u32,
    height: u32,
    channels: usize,
}

impl Pixels<'_> {
    /// The picture no longer than a screen needs: each pixel the mean of a square. What is
    /// left at the right and lower edge is cut off.
    fn averaged(&self) -> Option<(Vec<u8>, u16, u16)> {
        let step = self.width.max(self.height).div_ceil(LONGEST_SIDE).max(1);
        self.averaged_by(usize::try_from(step).ok()?)
    }

    fn averaged_by(&self, step: usize) -> Option<(Vec<u8>, u16, u16)> {
        let [width, height] = [self.width, self.height].map(usize::try_from);
        let (width, height, channels) = (width.ok()?, height.ok()?, self.channels);
        if self.bytes.len() != width.checked_mul(height)?.checked_mul(channels)? {
            return None;
        }
        let (new_width, new_height) = ((width / step).max(1), (height / step).max(1));
        let mut small = Vec::with_capacity(new_width * new_height * channels);
        let mut sums = vec![0_u32; new_width * channels];
        let rows = self.bytes.chunks(width * channels * step);
        for rows in rows.take(new_height) {
            sums.fill(0);
            for row in rows.chunks_exact(width * channels) {
                let squares = row.chunks(channels * step);
                for (sums, square) in sums.chunks_exact_mut(channels).zip(squares) {
                    for pixel in square.chunks_exact(channels) {
                        for (sum, value) in sums.iter_mut().zip(pixel) {
                            *sum += u32::from(*value);
                        }
                    }
                }
            }
            let count = step.min(width) * (rows.len() / (width * channels));
            let count = u32::try_from(count).ok()?;
            for sum in &sums {
                small.push(u8::try_from(sum.checked_div(count)?).ok()?);
            }
        }
        let (width, height) = (u16::try_from(new_width), u16::try_from(new_height));
        Some((small, width.ok()?, height.ok()?))
    }
}

#[cfg(test)]
mod tests;
