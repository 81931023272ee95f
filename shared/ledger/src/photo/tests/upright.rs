//! Which way is up.

use super::super::testing::{COLOURS, block_colour, blocks, exif_of, orientation_field, photo_with_exif};
use super::*;

/// A stored picture that is the upright `blocks(width, height)` once it is turned as `orientation` says. Drawn from the
/// words of CIPA DC-008 4.6.4 A (from memory), which tell where the 0th row and the 0th column are seen.
fn stored(orientation: u16, width: u32, height: u32) -> RgbImage {
    let (right, bottom) = (width - 1, height - 1);
    let seen_at = |row: u32, column: u32| match orientation {
        1 => (column, row),                  // row: top, column: left
        2 => (right - column, row),          // row: top, column: right
        3 => (right - column, bottom - row), // row: bottom, column: right
        4 => (column, bottom - row),         // row: bottom, column: left
        5 => (row, column),                  // row: left, column: top
        6 => (right - row, column),          // row: right, column: top
        7 => (right - row, bottom - column), // row: right, column: bottom
        8 => (row, bottom - column),         // row: left, column: bottom
        _ => unreachable!(),
    };
    let (stored_width, stored_height) = if orientation < 5 {
        (width, height)
    } else {
        (height, width)
    };
    RgbImage::from_fn(stored_width, stored_height, |column, row| {
        let (x, y) = seen_at(row, column);
        block_colour(x, y, width, height)
    })
}

#[track_caller]
fn assert_upright(picture: &RgbImage) {
    let (width, height) = picture.dimensions();
    for (i, colour) in COLOURS.into_iter().enumerate() {
        let (column, row) = (i as u32 % 3, i as u32 / 3);
        let (x, y) = (width * (2 * column + 1) / 6, height * (2 * row + 1) / 4);
        assert_near(*picture.get_pixel(x, y), colour, 10);
    }
}

#[test]
fn every_orientation_comes_out_upright_from_every_kind_of_photo() {
    for media_type in ALL {
        for orientation in 1..=8 {
            for little_endian in [false, true] {
                let exif = exif_of(&[orientation_field(orientation)], little_endian);
                let bytes = photo_with_exif(media_type, &stored(orientation, 480, 240), &exif);
                let photo = take_in(&bytes).unwrap();
                println!("{media_type} {orientation} {little_endian}");
                assert_eq!((photo.width, photo.height), (480, 240));
                assert_eq!(thumbnail(&photo.large).dimensions(), (480, 240));
                assert_eq!(thumbnail(&photo.small).dimensions(), (256, 128));
                assert_upright(&thumbnail(&photo.large));
                assert_upright(&thumbnail(&photo.small));

                let left = to_leave(&bytes).unwrap();
                let there = take_in(&left).unwrap();
                assert_eq!(
                    (there.width, there.height, &there.small),
                    (480, 240, &photo.small)
                );
            }
        }
    }
}

#[test]
fn an_orientation_that_is_none_leaves_a_photo_as_it_is() {
    for orientation in [0, 9, 256 + 6, u16::MAX] {
        let exif = exif_of(&[orientation_field(orientation)], true);
        let photo = take_in(&photo_with_exif(MediaType::Jpeg, &blocks(480, 240), &exif)).unwrap();
        assert_upright(&thumbnail(&photo.large));
    }
}

#[test]
fn exif_with_the_prefix_of_jpeg_is_read_in_png_and_webp_too() {
    let exif = [b"Exif\0\0", &exif_of(&[orientation_field(8)], true)[..]].concat();
    for media_type in [MediaType::Png, MediaType::Webp] {
        let bytes = photo_with_exif(media_type, &stored(8, 480, 240), &exif);
        assert_upright(&thumbnail(&take_in(&bytes).unwrap().large));
    }
}

#[test]
fn the_first_exif_of_a_jpeg_counts() {
    let first = exif_of(&[orientation_field(6)], true);
    let second = exif_of(&[orientation_field(1)], true);
    let once = photo_with_exif(MediaType::Jpeg, &stored(6, 480, 240), &second);
    let segment = super::super::testing::segment(0xe1, &[b"Exif\0\0", &first[..]].concat());
    let twice = super::super::testing::jpeg_with(&once, &[segment]);
    assert_upright(&thumbnail(&take_in(&twice).unwrap().large));
}
