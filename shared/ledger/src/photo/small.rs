//! Pixels: decoded, made small, turned upright, and written as JPEG.

use std::io::Cursor;

use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::codecs::png::PngDecoder;
use image::codecs::webp::WebPDecoder;
use image::imageops::FilterType;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageError, Limits, RgbImage};

use super::fault::{Of, PhotoError};
use super::{MAX_EDGE, MediaType};

/// The most bytes that the pixels of one photo may take: 64 million with four channels of 8 bits.
pub(super) const MAX_UNPACKED: u64 = 256_000_000;

const QUALITY: u8 = 82;

/// The pixels as stored, not yet turned upright, what shines through laid over white.
///
/// Decoders meet files here that nobody thought of, and one of them was found to panic over such: a panic is taken for
/// damage, where panics unwind.
pub(super) fn decode(media_type: MediaType, bytes: &[u8]) -> Result<DynamicImage, PhotoError> {
    let unpacked = std::panic::catch_unwind(|| unpack_any(media_type, bytes))
        .unwrap_or_else(|_| Err(Of(media_type).damaged("the decoder gave up")))?;
    Ok(DynamicImage::ImageRgb8(over_white(unpacked)))
}

/// The picture with its longest edge no longer than `edge` pixels. Never enlarged.
pub(super) fn shrink(picture: &DynamicImage, edge: u32) -> DynamicImage {
    let (width, height) = (picture.width(), picture.height());
    let longest = width.max(height);
    if longest <= edge {
        return picture.clone();
    }
    let scaled = |side: u32| {
        let side = (u64::from(side) * u64::from(edge) + u64::from(longest) / 2) / u64::from(longest);
        (side as u32).max(1)
    };
    // Lanczos, widened to the pixels it replaces: fine patterns turn grey instead of into coarse ones.
    picture.resize_exact(scaled(width), scaled(height), FilterType::Lanczos3)
}

/// Turned upright and written as JPEG, with pixels and nothing else in it.
pub(super) fn to_jpeg(mut picture: DynamicImage, orientation: Orientation) -> Vec<u8> {
    picture.apply_orientation(orientation);
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, QUALITY)
        .encode_image(&picture)
        .expect("a small RGB picture can be written to memory");
    out
}

/// Whether turning upright swaps width and height.
pub(super) fn lies_down(orientation: Orientation) -> bool {
    match orientation {
        Orientation::NoTransforms
        | Orientation::Rotate180
        | Orientation::FlipHorizontal
        | Orientation::FlipVertical => false,
        Orientation::Rotate90
        | Orientation::Rotate270
        | Orientation::Rotate90FlipH
        | Orientation::Rotate270FlipH => true,
    }
}

fn unpack_any(media_type: MediaType, bytes: &[u8]) -> Result<DynamicImage, PhotoError> {
    let mut limits = Limits::no_limits();
    limits.max_image_width = Some(MAX_EDGE);
    limits.max_image_height = Some(MAX_EDGE);
    limits.max_alloc = Some(MAX_UNPACKED);
    let refused = |error| refusal(media_type, error);
    let bytes = Cursor::new(bytes);
    match media_type {
        MediaType::Jpeg => unpack(media_type, JpegDecoder::new(bytes).map_err(refused)?, limits),
        MediaType::Png => {
            // Only here do the limits reach the decoder's own buffers.
            let decoder = PngDecoder::with_limits(bytes, limits.clone()).map_err(refused)?;
            unpack(media_type, decoder, limits)
        }
        MediaType::Webp => unpack(media_type, WebPDecoder::new(bytes).map_err(refused)?, limits),
    }
}

fn unpack(
    media_type: MediaType,
    mut decoder: impl ImageDecoder,
    limits: Limits,
) -> Result<DynamicImage, PhotoError> {
    let bytes = decoder.total_bytes();
    if bytes > MAX_UNPACKED {
        return Err(PhotoError::TooDeep { media_type, bytes });
    }
    decoder
        .set_limits(limits)
        .and_then(|()| DynamicImage::from_decoder(decoder))
        .map_err(|error| refusal(media_type, error))
}

fn refusal(media_type: MediaType, error: ImageError) -> PhotoError {
    let of = Of(media_type);
    match error {
        ImageError::IoError(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => of.cut_off(),
        ImageError::Unsupported(error) => of.unusual(error.to_string()),
        error => of.damaged(error.to_string()),
    }
}

fn over_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let picture = picture.into_rgba8();
    let (width, height) = picture.dimensions();
    let mut flat = Vec::with_capacity(3 * (width as usize) * (height as usize));
    for &[red, green, blue, alpha] in picture.as_raw().as_chunks::<4>().0 {
        flat.extend([red, green, blue].map(|part| {
            let mixed = u32::from(part) * u32::from(alpha) + 255 * (255 - u32::from(alpha));
            ((mixed + 127) / 255) as u8
        }));
    }
    RgbImage::from_raw(width, height, flat).expect("three bytes were written for each pixel")
}
