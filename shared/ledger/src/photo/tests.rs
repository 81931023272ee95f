//! Taking photos in: what is refused, which way is up, what comes out.

mod hostile;
mod leaving;
mod upright;

use image::{DynamicImage, GrayImage, ImageBuffer, Luma, LumaA, Rgb, RgbImage, Rgba, RgbaImage};

use super::testing::{
    QUARTERS, WRITTEN_ELSEWHERE, blocks, date_field, exif_of, photo_with_exif, png_chunk, png_with, vp8x,
    webp_chunk, webp_of, written,
};
use super::*;

const ALL: [MediaType; 3] = [MediaType::Jpeg, MediaType::Png, MediaType::Webp];

fn thumbnail(bytes: &[u8]) -> RgbImage {
    image::load_from_memory_with_format(bytes, image::ImageFormat::Jpeg)
        .unwrap()
        .into_rgb8()
}

#[track_caller]
fn assert_near(found: Rgb<u8>, wanted: [u8; 3], tolerance: u8) {
    let near = found
        .0
        .iter()
        .zip(wanted)
        .all(|(f, w)| f.abs_diff(w) <= tolerance);
    assert!(near, "{found:?} is not {wanted:?}");
}

#[test]
fn a_photo_comes_in_with_its_name_size_and_small_pictures() {
    for media_type in ALL {
        let bytes = written(media_type, &DynamicImage::ImageRgb8(blocks(3000, 1000)));
        let photo = take_in(&bytes).unwrap();
        assert_eq!(photo.id.to_string(), blake3::hash(&bytes).to_hex().to_string());
        assert_eq!(
            (photo.media_type, photo.width, photo.height),
            (media_type, 3000, 1000)
        );
        assert_eq!(photo.taken, None);
        assert_eq!(thumbnail(&photo.large).dimensions(), (1280, 427));
        assert_eq!(thumbnail(&photo.small).dimensions(), (256, 85));
        assert_eq!(
            photo.leaves_as,
            *PhotoId::of(&to_leave(&bytes).unwrap()).as_bytes()
        );
        assert_eq!(take_in(&bytes).unwrap(), photo);
    }
}

#[test]
fn a_small_photo_is_not_enlarged_and_a_thin_one_keeps_a_pixel() {
    let tiny = take_in(&written(MediaType::Png, &DynamicImage::ImageRgb8(blocks(90, 60)))).unwrap();
    assert_eq!(thumbnail(&tiny.small).dimensions(), (90, 60));
    assert_eq!(thumbnail(&tiny.large).dimensions(), (90, 60));
    let thin = take_in(&written(
        MediaType::Png,
        &DynamicImage::ImageRgb8(blocks(6000, 2)),
    ))
    .unwrap();
    assert_eq!((thin.width, thin.height), (6000, 2));
    assert_eq!(thumbnail(&thin.small).dimensions(), (256, 1));
}

#[test]
fn fine_stripes_turn_grey_and_not_into_coarse_ones() {
    // Stripes of 1 to 4 pixels, finer than a pixel of the small picture, which stands for 12 of them.
    for stripe in 1..=4 {
        let stripes = RgbImage::from_fn(3072, 600, |x, y| Rgb([255 * ((x + y / 7) / stripe % 2) as u8; 3]));
        let photo = take_in(&written(MediaType::Png, &DynamicImage::ImageRgb8(stripes))).unwrap();
        let small = thumbnail(&photo.small);
        for x in 4..252 {
            assert_near(*small.get_pixel(x, 25), [127; 3], 12);
        }
    }
}

#[test]
fn photos_of_other_writers_come_in_with_their_colours() {
    for (name, media_type, bytes) in WRITTEN_ELSEWHERE {
        let photo = take_in(bytes).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(
            (photo.media_type, photo.width, photo.height),
            (media_type, 48, 32),
            "{name}"
        );
        let small = thumbnail(&photo.small);
        for (i, mut colour) in QUARTERS.into_iter().enumerate() {
            if name == "lossy-alpha.webp" && i == 0 {
                colour = [255; 3];
            }
            let (x, y) = (12 + 24 * (i as u32 % 2), 8 + 16 * (i as u32 / 2));
            println!("{name} {i}");
            assert_near(*small.get_pixel(x, y), colour, 9);
        }
    }
}

#[test]
fn grey_deep_and_see_through_pictures_come_in_over_white() {
    let half = |v: u8| ((u32::from(v) * 128 + 255 * 127 + 127) / 255) as u8;
    let cases: [(DynamicImage, [u8; 3]); 7] = [
        (
            DynamicImage::ImageLuma8(GrayImage::from_pixel(20, 20, Luma([90]))),
            [90; 3],
        ),
        (
            DynamicImage::ImageLumaA8(ImageBuffer::from_pixel(20, 20, LumaA([90, 128]))),
            [half(90); 3],
        ),
        (
            DynamicImage::ImageRgba8(RgbaImage::from_pixel(20, 20, Rgba([200, 40, 30, 128]))),
            [half(200), half(40), half(30)],
        ),
        (
            DynamicImage::ImageRgba8(RgbaImage::from_pixel(20, 20, Rgba([200, 40, 30, 0]))),
            [255; 3],
        ),
        (
            DynamicImage::ImageLuma16(ImageBuffer::from_pixel(20, 20, Luma([90 * 257]))),
            [90; 3],
        ),
        (
            DynamicImage::ImageRgb16(ImageBuffer::from_pixel(
                20,
                20,
                Rgb([200 * 257, 40 * 257, 30 * 257]),
            )),
            [200, 40, 30],
        ),
        (
            DynamicImage::ImageRgba16(ImageBuffer::from_pixel(
                20,
                20,
                Rgba([200 * 257, 40 * 257, 30 * 257, 128 * 257]),
            )),
            [half(200), half(40), half(30)],
        ),
    ];
    for (picture, colour) in cases {
        println!("{:?}", picture.color());
        let photo = take_in(&written(MediaType::Png, &picture)).unwrap();
        assert_near(*thumbnail(&photo.small).get_pixel(10, 10), colour, 3);
    }
    let grey = DynamicImage::ImageLuma8(GrayImage::from_pixel(20, 20, Luma([90])));
    let photo = take_in(&written(MediaType::Jpeg, &grey)).unwrap();
    assert_near(*thumbnail(&photo.small).get_pixel(10, 10), [90; 3], 3);
}

#[test]
fn the_date_comes_in_from_every_kind_of_photo() {
    for media_type in ALL {
        for little_endian in [false, true] {
            let exif = exif_of(&[date_field("2026:04:03 10:12:00")], little_endian);
            let photo = take_in(&photo_with_exif(media_type, &blocks(12, 8), &exif)).unwrap();
            assert_eq!(photo.taken.as_deref(), Some("2026-04-03 10:12:00"));
        }
    }
}

#[test]
fn what_is_no_date_is_not_known() {
    for text in [
        "0000:00:00 00:00:00",
        "    :  :     :  :  ",
        "2026:13:03 10:12:00",
        "2026:04:03 24:12:00",
        "2026-04-03 10:12:00",
        "48.1173 N, 11.5 E, at home",
        "2026:04:03",
        "",
    ] {
        let exif = exif_of(&[date_field(text)], false);
        let bytes = photo_with_exif(MediaType::Jpeg, &blocks(12, 8), &exif);
        assert_eq!(take_in(&bytes).unwrap().taken, None, "{text}");
        let left = to_leave(&bytes).unwrap();
        assert!(!left.windows(4).any(|four| four == b"Exif"), "{text}");
    }
}

#[test]
fn files_of_other_kinds_are_refused_with_what_to_do() {
    let cases: [(&[u8], &str); 22] = [
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC photo"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic", "HEIC photo"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0avifmiaf", "AVIF picture"),
        (b"\0\0\0\x14ftypavif\0\0\0\0avif", "AVIF picture"),
        (b"\0\0\0\x14ftypqt  \0\0\0\0qt  ", "video"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0isommp42", "video"),
        (b"\x1a\x45\xdf\xa3\x01\0\0\0", "video"),
        (b"RIFF\x10\0\0\0AVI LIST", "video"),
        (b"GIF87a\x01\0\x01\0", "GIF"),
        (b"GIF89a\x01\0\x01\0", "GIF"),
        (b"II*\0\x08\0\0\0", "TIFF or raw"),
        (b"MM\0*\0\0\0\x08", "TIFF or raw"),
        (b"\0\0\0\x18ftypcrx \0\0\0\x01crx isom", "TIFF or raw"),
        (b"BM\x36\0\0\0\0\0\0\0", "BMP"),
        (b"%PDF-1.7\n", "PDF"),
        (b"\xff\x0a\xfa\x1f", "JPEG XL"),
        (b"\0\0\0\x0cjP  \r\n\x87\n", "JPEG 2000"),
        (b"PK\x03\x04\x14\0", "packed file"),
        (b"BM is where the tape began", "text"),
        (
            "<svg xmlns=\"http://www.w3.org/2000/svg\">\u{e9}</svg>".as_bytes(),
            "text",
        ),
        (&[0; 4096], "no photo that can be read"),
        (b"RIFF\x04\0\0\0WAVE", "no photo that can be read"),
    ];
    for (bytes, words) in cases {
        let error = take_in(bytes).unwrap_err();
        assert!(matches!(error, PhotoError::Foreign(_)), "{words}: {error}");
        assert!(error.to_string().contains(words), "{words}: {error}");
        assert!(error.to_string().contains(": "), "says what to do: {error}");
        assert_eq!(to_leave(bytes), Err(error));
    }
    assert_eq!(
        take_in(b"").unwrap_err().to_string(),
        "the file is empty: send the photo again"
    );
}

#[test]
fn a_text_cut_within_a_letter_is_text() {
    let text = format!("{}\u{e9}{}", "a".repeat(511), "b".repeat(100));
    assert_eq!(take_in(text.as_bytes()), Err(PhotoError::Foreign(Foreign::Text)));
}

#[test]
fn a_file_that_is_too_large_is_refused_before_it_is_looked_at() {
    let error = take_in(&vec![0xff; MAX_BYTES + 1]).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the photo takes 49 MB and 48 MB is the most that is taken: save it smaller, as JPEG, and choose that"
    );
}

#[test]
fn a_header_with_too_many_pixels_is_refused_before_anything_is_unpacked() {
    // The headers lie: there is hardly a pixel behind them.
    let mut jpeg = written(MediaType::Jpeg, &DynamicImage::ImageRgb8(blocks(12, 8)));
    let frame = jpeg.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff; 4]);
    let vp8l = |width: u32, height: u32| {
        let bits = (width - 1) | (height - 1) << 14;
        webp_chunk(b"VP8L", &[&[0x2f], &bits.to_le_bytes()[..], &[0; 9]].concat())
    };
    let cases = [
        (jpeg, (65_535, 65_535)),
        (png_of(50_000, 2, 8, 2), (50_000, 2)),
        (png_of(u32::MAX, u32::MAX, 8, 2), (u32::MAX, u32::MAX)),
        (png_of(8001, 8000, 8, 2), (8001, 8000)),
        (webp_of(&[vp8l(16_384, 16_384)]), (16_384, 16_384)),
        (
            webp_of(&[
                vp8x(0x02, 1 << 24, 1 << 24),
                webp_chunk(b"ANIM", &[0; 6]),
                webp_chunk(b"ANMF", &[&[0; 16][..], &vp8l(12, 8)].concat()),
            ]),
            (1 << 24, 1 << 24),
        ),
    ];
    for (bytes, (width, height)) in cases {
        assert_eq!(take_in(&bytes), Err(PhotoError::TooManyPixels { width, height }));
    }
    // Within the limits as a whole, and outside them inside.
    let mismatched = webp_of(&[vp8x(0, 12, 8), vp8l(5000, 5000)]);
    assert!(matches!(take_in(&mismatched), Err(PhotoError::Damaged { .. })));
}

#[test]
fn pixels_too_deep_to_unpack_are_refused() {
    let error = take_in(&png_of(8000, 8000, 16, 6)).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the PNG photo takes 489 MB once unpacked and 244 MB is the most that is taken: save it with 8 bits a \
         channel, or as JPEG, and choose that"
    );
}

/// A PNG with this header and no more than a byte of pixels.
fn png_of(width: u32, height: u32, bits: u8, colour: u8) -> Vec<u8> {
    let header = [
        &width.to_be_bytes()[..],
        &height.to_be_bytes(),
        &[bits, colour, 0, 0, 0],
    ]
    .concat();
    let plain = [
        b"\x89PNG\r\n\x1a\n",
        &png_chunk(b"IHDR", &header)[..],
        &png_chunk(b"IEND", b""),
    ]
    .concat();
    png_with(&plain, &[png_chunk(b"IDAT", b"\x78")])
}

#[test]
fn a_jpeg_of_a_kind_that_no_camera_writes_is_refused() {
    let jpeg = written(MediaType::Jpeg, &DynamicImage::ImageRgb8(blocks(12, 8)));
    let frame = jpeg.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    for marker in [0xc3, 0xc9, 0xcf] {
        let mut jpeg = jpeg.clone();
        jpeg[frame + 1] = marker;
        assert!(matches!(take_in(&jpeg), Err(PhotoError::Unusual { .. })));
    }
    let mut no_height = jpeg.clone();
    no_height[frame + 5..frame + 7].fill(0);
    let error = take_in(&no_height).unwrap_err().to_string();
    assert_eq!(
        error,
        "this kind of JPEG cannot be read here, save it as an ordinary JPEG and choose that: the height is told after \
         the picture"
    );
    let end = jpeg.len() - 2;
    let scan = [&[0xff, 0xda, 0, 6, 1, 1, 0, 0][..], &[0; 4]].concat();
    let many = [&jpeg[..end], &scan.repeat(100), &jpeg[end..]].concat();
    assert!(matches!(take_in(&many), Err(PhotoError::Unusual { .. })));
}

#[test]
fn a_name_is_read_back_in_one_spelling_only() {
    let id = PhotoId::of(b"a photo");
    assert_eq!(id.to_string().parse::<PhotoId>(), Ok(id));
    assert_eq!(PhotoId::from_bytes(*id.as_bytes()), id);
    let text = id.to_string();
    for wrong in [
        text.to_uppercase(),
        text[1..].to_owned(),
        format!("{text}0"),
        format!(" {}", &text[1..]),
        "g".repeat(64),
        "\u{e9}".repeat(32),
        String::new(),
    ] {
        let error = wrong.parse::<PhotoId>().unwrap_err();
        assert!(
            error
                .to_string()
                .ends_with("give all 64 digits, 0 to 9 and a to f"),
            "{error}"
        );
    }
    // BLAKE3 of nothing, from the test vectors of its authors; from memory.
    assert_eq!(
        PhotoId::of(b"").to_string(),
        "af1349b9f5f9a1a6a0404dea36dcc9499bcb25c9adc112b7cc9a93cae41f3262"
    );
}

#[test]
fn kinds_have_their_endings_and_media_types() {
    let all: Vec<_> = ALL
        .iter()
        .map(|kind| (kind.extension(), kind.mime(), kind.to_string()))
        .collect();
    assert_eq!(
        all,
        [
            ("jpg", "image/jpeg", "JPEG".to_owned()),
            ("png", "image/png", "PNG".to_owned()),
            ("webp", "image/webp", "WebP".to_owned()),
        ]
    );
}
