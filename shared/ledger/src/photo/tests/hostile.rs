//! Files that are cut, flipped, made up, or made to hurt.

use proptest::prelude::*;

use super::super::testing::{exif_of, orientation_field, photo_with_positions, planted, segment};
use super::*;

/// Small photos of every kind and make.
fn seeds() -> Vec<Vec<u8>> {
    let mut all: Vec<_> = WRITTEN_ELSEWHERE
        .iter()
        .map(|(_, _, bytes)| bytes.to_vec())
        .collect();
    all.extend(ALL.map(|kind| written(kind, &DynamicImage::ImageRgb8(blocks(40, 24)))));
    all.extend(ALL.map(photo_with_positions));
    all
}

/// Whatever comes in: no panic, and what is taken keeps its promises. Says whether it was taken.
fn keeps_its_promises(bytes: &[u8]) -> bool {
    let left = to_leave(bytes);
    if let Ok(left) = &left {
        assert_eq!(to_leave(left).as_ref(), Ok(left));
    }
    match take_in(bytes) {
        Ok(photo) => {
            let left = left.unwrap();
            let there = take_in(&left).unwrap();
            assert_eq!(there.id.as_bytes(), &photo.leaves_as);
            assert_eq!(there.leaves_as, photo.leaves_as);
            assert_eq!((there.small, there.large), (photo.small, photo.large));
            // Whoever decodes the original sees what leaves. A decoder that reads past damaged pixels meets there what
            // does not leave.
            let late = planted("late-comment");
            if let Ok(original) = image::load_from_memory(bytes)
                && !bytes.windows(late.len()).any(|window| window == late)
            {
                assert!(image::load_from_memory(&left).unwrap() == original);
            }
            true
        }
        Err(error) => {
            assert!(error.to_string().contains(": "), "says what to do: {error}");
            false
        }
    }
}

#[test]
fn a_photo_cut_anywhere_is_refused() {
    for bytes in seeds() {
        let left = to_leave(&bytes).unwrap();
        for length in 0..left.len() {
            let error = take_in(&left[..length]).unwrap_err();
            if length > 12 {
                assert!(
                    matches!(error, PhotoError::CutOff { .. }),
                    "{length} of {}: {error}",
                    left.len()
                );
            }
        }
    }
}

#[test]
fn a_jpeg_that_ends_in_zeros_is_cut_off() {
    // A copy that broke off leaves room that was set aside and never written.
    let mut bytes = written(MediaType::Jpeg, &DynamicImage::ImageRgb8(blocks(400, 240)));
    let half = bytes.len() / 2;
    bytes[half..].fill(0);
    assert_eq!(
        take_in(&bytes).unwrap_err().to_string(),
        "the JPEG photo is cut off before its end: copy or send it again"
    );
}

#[test]
fn a_jpeg_with_fewer_bytes_than_its_picture_takes_is_cut_off() {
    // Its end is there; the decoder alone would show grey.
    for (at, sizes) in [(5, [0x10, 0]), (7, [0x10, 0])] {
        let mut bytes = written(MediaType::Jpeg, &DynamicImage::ImageRgb8(blocks(400, 240)));
        let frame = bytes.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
        bytes[frame + at..frame + at + 2].copy_from_slice(&sizes);
        assert_eq!(
            take_in(&bytes),
            Err(PhotoError::CutOff {
                media_type: MediaType::Jpeg
            })
        );
    }
}

#[test]
fn a_jpeg_of_one_colour_is_not_taken_for_cut_off() {
    for picture in [
        DynamicImage::ImageRgb8(RgbImage::from_pixel(1601, 1203, Rgb([128; 3]))),
        DynamicImage::ImageLuma8(GrayImage::from_pixel(1601, 1203, Luma([128]))),
    ] {
        assert!(take_in(&written(MediaType::Jpeg, &picture)).is_ok());
    }
}

#[test]
fn a_frame_of_another_size_than_its_pixels_is_damaged() {
    // The decoder of WebP panics over such.
    let pixels = written(MediaType::Webp, &DynamicImage::ImageRgb8(blocks(40, 24)))[12..].to_vec();
    for (width, height) in [(39u8, 24u8), (40, 23), (41, 24)] {
        let place = [0, 0, 0, 0, 0, 0, width - 1, 0, 0, height - 1, 0, 0, 0, 0, 0, 0];
        let frame = webp_chunk(b"ANMF", &[&place[..], &pixels].concat());
        let bytes = webp_of(&[vp8x(0x02, 40, 24), webp_chunk(b"ANIM", &[0; 6]), frame]);
        let error = take_in(&bytes).unwrap_err();
        assert!(matches!(error, PhotoError::Damaged { .. }), "{error}");
    }
}

#[test]
fn flipped_cut_and_doubled_bytes_are_refused_or_taken_whole() {
    let mut taken = 0;
    let mut refused = 0;
    for (which, original) in seeds().into_iter().enumerate() {
        for round in 0..400 {
            let seed = 1_000_000 * which as u64 + round;
            // Shown when something fails.
            println!("seed {seed}");
            let mut rng = fastrand::Rng::with_seed(seed);
            let mut bytes = original.clone();
            for _ in 0..rng.usize(1..6) {
                let at = rng.usize(..bytes.len());
                match rng.u8(..6) {
                    0 => bytes[at] ^= 1 << rng.u8(..8),
                    1 => bytes[at] = rng.u8(..),
                    2 => bytes[at] = *rng.choice(&[0, 0xff, 0xd8, 0xd9, 0xda, 0x7f]).unwrap(),
                    3 => drop(bytes.drain(at..(at + rng.usize(1..20)).min(bytes.len()))),
                    4 => {
                        let end = (at + rng.usize(1..40)).min(bytes.len());
                        let piece = bytes[at..end].to_vec();
                        let to = rng.usize(..bytes.len());
                        bytes.splice(to..to, piece);
                    }
                    _ => {
                        // Headers and lengths are at the beginning.
                        let at = rng.usize(..bytes.len().min(64));
                        bytes[at] = rng.u8(..);
                    }
                }
                if bytes.is_empty() {
                    bytes.push(0);
                }
            }
            match keeps_its_promises(&bytes) {
                true => taken += 1,
                false => refused += 1,
            }
        }
    }
    println!("{taken} taken, {refused} refused");
    assert!(taken > 100 && refused > 100);
}

#[test]
fn flipped_png_with_sums_made_right_is_refused_or_taken_whole() {
    let original = photo_with_positions(MediaType::Png);
    for seed in 0..2000 {
        println!("seed {seed}");
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut bytes = original.clone();
        let at = rng.usize(8..bytes.len() - 20);
        bytes[at] = rng.u8(..);
        let mut at = 8;
        while let Some(length) = bytes.get(at..at + 4) {
            let end = at + 8 + u32::from_be_bytes(length.try_into().unwrap()) as usize;
            let Some(summed) = bytes.get(at + 4..end) else {
                break;
            };
            let sum = crc32fast::hash(summed).to_be_bytes();
            if bytes.len() < end + 4 {
                break;
            }
            bytes[end..end + 4].copy_from_slice(&sum);
            at = end + 4;
        }
        keeps_its_promises(&bytes);
    }
}

#[test]
fn exif_made_to_hurt_changes_nothing() {
    let picture = blocks(12, 8);
    // Directories that point into each other: 2,700 pointers to 2,700 overlapping directories of as many entries.
    let many = 2700u16;
    let mut bomb = [b"II*\0\x08\0\0\0", &many.to_le_bytes()[..]].concat();
    let base = 14 + 12 * u32::from(many);
    for i in 0..u32::from(many) {
        bomb.extend(b"\x69\x87\x04\0\x01\0\0\0");
        bomb.extend((base + 12 * i).to_le_bytes());
    }
    bomb.extend([0; 4]);
    for i in 0..many {
        bomb.extend((many - i).to_le_bytes());
        bomb.extend([0xf0, 0, 1, 0, 1, 0, 0, 0, 0, 0]);
    }
    let itself = b"II*\0\x08\0\0\0\x01\0\x69\x87\x04\0\x01\0\0\0\x08\0\0\0\0\0\0\0".to_vec();
    let nowhere = b"MM\0*\xff\xff\xff\xff".to_vec();
    let mut cut = exif_of(&[orientation_field(6)], false);
    cut.truncate(17);
    for exif in [bomb, itself, nowhere, cut, Vec::new(), b"II".to_vec()] {
        for kind in ALL {
            let bytes = photo_with_exif(kind, &picture, &exif);
            let photo = take_in(&bytes).unwrap();
            assert_eq!((photo.width, photo.height, photo.taken), (12, 8, None));
            assert!(keeps_its_promises(&bytes));
        }
    }
}

#[test]
fn a_picture_without_pixels_is_damaged() {
    let jpeg = [b"\xff\xd8", &segment(0xfe, b"nothing")[..], b"\xff\xd9"].concat();
    let png = [
        b"\x89PNG\r\n\x1a\n",
        &png_chunk(b"IHDR", b"\0\0\0\x01\0\0\0\x01\x08\x02\0\0\0")[..],
        &png_chunk(b"IEND", b""),
    ]
    .concat();
    let webp = webp_of(&[vp8x(0, 12, 8), webp_chunk(b"ICCP", b"profile")]);
    for bytes in [jpeg, png, webp] {
        let error = take_in(&bytes).unwrap_err();
        assert!(matches!(error, PhotoError::Damaged { .. }), "{error}");
    }
}

proptest! {
    #[test]
    fn bytes_made_up_are_refused(bytes in proptest::collection::vec(any::<u8>(), 0..2000)) {
        prop_assert!(!keeps_its_promises(&bytes));
    }

    #[test]
    fn bytes_made_up_after_a_true_beginning_do_no_harm(
        kind in 0usize..4,
        bytes in proptest::collection::vec(any::<u8>(), 0..2000),
    ) {
        let starts: [&[u8]; 4] = [
            b"\xff\xd8\xff",
            b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR",
            b"RIFF\xff\x07\0\0WEBPVP8X\x0a\0\0\0",
            b"RIFF\xff\x07\0\0WEBPVP8 ",
        ];
        keeps_its_promises(&[starts[kind], &bytes].concat());
    }
}
