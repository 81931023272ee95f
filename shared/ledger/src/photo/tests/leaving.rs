//! What leaves a device, and what stays.

use exif::{Context, Tag};
use image::{DynamicImage, ImageDecoder, ImageReader};

use super::super::testing::{
    LATITUDE, PLANTED, QUARTERS, photo_with_positions, planted, profile, segment, vp8x, webp_chunk, webp_of,
};
use super::*;

fn pixels(bytes: &[u8]) -> DynamicImage {
    image::load_from_memory(bytes).unwrap()
}

fn holds(bytes: &[u8], wanted: &[u8]) -> bool {
    bytes.windows(wanted.len()).any(|window| window == wanted)
}

/// The tags that another library finds.
fn tags(bytes: &[u8]) -> Vec<Tag> {
    match exif::Reader::new().read_from_container(&mut std::io::Cursor::new(bytes)) {
        Ok(exif) => exif.fields().map(|field| field.tag).collect(),
        Err(exif::Error::NotFound(_)) => Vec::new(),
        Err(error) => panic!("{error}"),
    }
}

#[test]
fn no_position_leaves() {
    for media_type in ALL {
        let bytes = photo_with_positions(media_type);
        // What is looked for is there to begin with.
        assert!(holds(&bytes, PLANTED));
        assert!(holds(&bytes, &LATITUDE.to_be_bytes()) || holds(&bytes, &LATITUDE.to_le_bytes()));
        assert!(tags(&bytes).iter().any(|tag| tag.0 == Context::Gps));

        let photo = take_in(&bytes).unwrap();
        let left = to_leave(&bytes).unwrap();
        for out in [&left, &photo.small, &photo.large] {
            for trace in [
                PLANTED,
                &LATITUDE.to_be_bytes(),
                &LATITUDE.to_le_bytes(),
                b"GPS",
                b"http",
                b"xmp",
                b"8BIM",
                b"MPF",
                b"ftyp",
                b"tIME",
            ] {
                assert!(
                    !holds(out, trace),
                    "{media_type}: {}",
                    String::from_utf8_lossy(trace)
                );
            }
        }
        assert_eq!(tags(&photo.small), []);
        assert_eq!(tags(&photo.large), []);
        let mut found = tags(&left);
        found.sort();
        let mut kept = [Tag::Orientation, Tag::ExifVersion, Tag::DateTimeOriginal];
        kept.sort();
        assert_eq!(found, kept, "{media_type}");
    }
}

#[test]
fn what_leaves_looks_the_same_elsewhere() {
    for media_type in ALL {
        let bytes = photo_with_positions(media_type);
        let here = take_in(&bytes).unwrap();
        let left = to_leave(&bytes).unwrap();
        assert!(pixels(&left) == pixels(&bytes), "{media_type}");

        let there = take_in(&left).unwrap();
        assert_eq!(there.id.as_bytes(), &here.leaves_as);
        let expected = Photo {
            id: there.id,
            ..here.clone()
        };
        assert_eq!(there, expected);
        assert_eq!(here.taken.as_deref(), Some("2026-04-03 10:12:00"));

        let reader = ImageReader::new(std::io::Cursor::new(&left))
            .with_guessed_format()
            .unwrap();
        let mut decoder = reader.into_decoder().unwrap();
        assert_eq!(decoder.icc_profile().unwrap(), Some(profile()), "{media_type}");
        assert_eq!(decoder.orientation().unwrap().to_exif(), 6, "{media_type}");
    }
}

#[test]
fn what_left_leaves_again_unchanged() {
    let written_elsewhere = WRITTEN_ELSEWHERE.map(|(_, _, bytes)| bytes.to_vec());
    for bytes in ALL.map(photo_with_positions).into_iter().chain(written_elsewhere) {
        let once = to_leave(&bytes).unwrap();
        assert_eq!(to_leave(&once).unwrap(), once);
        assert!(pixels(&once) == pixels(&bytes));
    }
}

#[test]
fn compressed_pixels_are_copied_byte_for_byte() {
    let scan_of = |bytes: &[u8]| {
        let start = bytes.windows(2).rposition(|two| two == [0xff, 0xda]).unwrap();
        bytes[start..].to_vec()
    };
    let plain = written(MediaType::Jpeg, &DynamicImage::ImageRgb8(blocks(48, 32)));
    assert!(scan_of(&plain).len() > 100);
    assert_eq!(scan_of(&to_leave(&plain).unwrap()), scan_of(&plain));

    let (_, _, webp) = WRITTEN_ELSEWHERE[3];
    assert_eq!(to_leave(webp).unwrap(), webp);
    let (_, _, png) = WRITTEN_ELSEWHERE[6];
    assert_eq!(to_leave(png).unwrap(), png);
}

#[test]
fn comments_between_the_scans_of_a_jpeg_stay_behind() {
    let (_, _, progressive) = WRITTEN_ELSEWHERE[0];
    let mut bytes = progressive.to_vec();
    let second_scan = bytes.windows(2).rposition(|two| two == [0xff, 0xda]).unwrap();
    let comment = segment(0xfe, &planted("between-scans"));
    let xmp = segment(
        0xe1,
        &[b"http://ns.adobe.com/xap/1.0/\0", &planted("between-scans")[..]].concat(),
    );
    bytes.splice(second_scan..second_scan, [comment, xmp].concat());
    assert_eq!(to_leave(&bytes).unwrap(), to_leave(progressive).unwrap());
}

#[test]
fn a_small_picture_in_the_jfif_header_stays_behind() {
    let plain = written(MediaType::Jpeg, &DynamicImage::ImageRgb8(blocks(12, 8)));
    assert_eq!(&plain[2..11], b"\xff\xe0\0\x10JFIF\0");
    let header = [&plain[6..18], &[3, 3], &planted("jfif")[..], &[0; 13]].concat();
    let bytes = [&plain[..2], &segment(0xe0, &header), &plain[20..]].concat();
    assert_eq!(to_leave(&bytes).unwrap(), plain);
}

#[test]
fn unknown_chunks_within_the_frames_of_an_animation_stay_behind() {
    let (_, _, animated) = WRITTEN_ELSEWHERE[5];
    let at = animated.windows(4).position(|four| four == b"ANMF").unwrap();
    let size = u32::from_le_bytes(animated[at + 4..at + 8].try_into().unwrap()) as usize;
    let frame = &animated[at + 8..at + 8 + size];
    let anim = webp_chunk(b"ANIM", &[0; 6]);
    let of = |frame: &[u8]| webp_of(&[vp8x(0x02, 48, 32), anim.clone(), webp_chunk(b"ANMF", frame)]);
    let loaded = of(&[frame, &webp_chunk(b"XMP ", &planted("frame"))].concat());
    assert_eq!(to_leave(&loaded).unwrap(), of(frame));
    assert_near(
        *thumbnail(&take_in(&loaded).unwrap().small).get_pixel(12, 8),
        QUARTERS[0],
        9,
    );
}

#[test]
fn a_photo_that_says_nothing_gets_no_exif() {
    for media_type in ALL {
        let plain = written(media_type, &DynamicImage::ImageRgb8(blocks(48, 32)));
        assert_eq!(to_leave(&plain).unwrap(), plain);
    }
}

#[test]
fn small_pictures_hold_pixels_and_nothing_else() {
    let photo = take_in(&photo_with_positions(MediaType::Jpeg)).unwrap();
    for picture in [&photo.small, &photo.large] {
        let mut at = 2;
        let mut markers = Vec::new();
        while picture[at + 1] != 0xda {
            assert_eq!(picture[at], 0xff);
            markers.push(picture[at + 1]);
            at += 2 + usize::from(u16::from_be_bytes([picture[at + 2], picture[at + 3]]));
        }
        // JFIF, tables and a frame.
        assert!(
            markers
                .iter()
                .all(|marker| [0xe0, 0xdb, 0xc0, 0xc4].contains(marker)),
            "{markers:x?}"
        );
    }
}
