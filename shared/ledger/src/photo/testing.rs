//! Photos for the tests: drawn, written, and loaded with everything that must not leave.

use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

use super::MediaType;

/// The colours of [`blocks`], in rows of three.
pub(super) const COLOURS: [[u8; 3]; 6] = [
    [200, 40, 30],
    [30, 160, 60],
    [40, 60, 190],
    [230, 210, 90],
    [20, 20, 20],
    [240, 240, 240],
];

/// The four quarters of the files in `testdata`, written by Pillow 13.0 from flat colours, 48 x 32 pixels.
pub(super) const QUARTERS: [[u8; 3]; 4] = [COLOURS[0], COLOURS[1], COLOURS[2], COLOURS[3]];

/// The files in `testdata`.
pub(super) const WRITTEN_ELSEWHERE: [(&str, MediaType, &[u8]); 7] = [
    (
        "progressive.jpg",
        MediaType::Jpeg,
        include_bytes!("testdata/progressive.jpg"),
    ),
    ("cmyk.jpg", MediaType::Jpeg, include_bytes!("testdata/cmyk.jpg")),
    ("rgb.jpg", MediaType::Jpeg, include_bytes!("testdata/rgb.jpg")),
    (
        "lossy.webp",
        MediaType::Webp,
        include_bytes!("testdata/lossy.webp"),
    ),
    (
        "lossy-alpha.webp",
        MediaType::Webp,
        include_bytes!("testdata/lossy-alpha.webp"),
    ),
    (
        "animated.webp",
        MediaType::Webp,
        include_bytes!("testdata/animated.webp"),
    ),
    (
        "palette.png",
        MediaType::Png,
        include_bytes!("testdata/palette.png"),
    ),
];

/// The colour of a pixel of a picture of `width` x `height` in two rows of three blocks: no turn and no mirror image of
/// it looks like itself.
pub(super) fn block_colour(x: u32, y: u32, width: u32, height: u32) -> Rgb<u8> {
    Rgb(COLOURS[(3 * (2 * y / height) + 3 * x / width) as usize])
}

/// Two rows of three blocks.
pub(super) fn blocks(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| block_colour(x, y, width, height))
}

/// The picture as a file.
pub(super) fn written(media_type: MediaType, picture: &DynamicImage) -> Vec<u8> {
    let mut out = Vec::new();
    match media_type {
        MediaType::Jpeg => JpegEncoder::new_with_quality(&mut out, 92).encode_image(picture),
        MediaType::Png => picture.write_to(&mut std::io::Cursor::new(&mut out), ImageFormat::Png),
        MediaType::Webp => picture.write_to(&mut std::io::Cursor::new(&mut out), ImageFormat::WebP),
    }
    .unwrap();
    out
}

/// An EXIF block, written by another library.
pub(super) fn exif_of(fields: &[Field], little_endian: bool) -> Vec<u8> {
    let mut writer = Writer::new();
    fields.iter().for_each(|field| writer.push_field(field));
    let mut out = std::io::Cursor::new(Vec::new());
    writer.write(&mut out, little_endian).unwrap();
    out.into_inner()
}

pub(super) fn field(tag: Tag, value: Value) -> Field {
    Field {
        tag,
        ifd_num: In::PRIMARY,
        value,
    }
}

pub(super) fn orientation_field(value: u16) -> Field {
    field(Tag::Orientation, Value::Short(vec![value]))
}

pub(super) fn date_field(text: &str) -> Field {
    field(
        Tag::DateTimeOriginal,
        Value::Ascii(vec![text.as_bytes().to_vec()]),
    )
}

/// What is planted, and must not be found again, spells this.
pub(super) const PLANTED: &[u8] = b"PLANTED";

/// The numerator of the planted latitude.
pub(super) const LATITUDE: u32 = 481_173_205;

/// A mark for one place.
pub(super) fn planted(place: &str) -> Vec<u8> {
    [PLANTED, b"-", place.as_bytes()].concat()
}

/// EXIF with a position, a maker's note, a description, a small picture, an orientation of 6 and a date.
pub(super) fn exif_with_position(little_endian: bool) -> Vec<u8> {
    let degrees = |num| {
        Value::Rational(vec![
            Rational {
                num,
                denom: 10_000_000,
            },
            Rational { num: 0, denom: 1 },
            Rational { num: 0, denom: 1 },
        ])
    };
    let fields = [
        orientation_field(6),
        date_field("2026:04:03 10:12:00"),
        field(Tag::ImageDescription, Value::Ascii(vec![planted("description")])),
        field(Tag::OffsetTimeOriginal, Value::Ascii(vec![planted("offset")])),
        field(Tag::MakerNote, Value::Undefined(planted("maker-note"), 0)),
        field(Tag::UserComment, Value::Undefined(planted("user-comment"), 0)),
        field(Tag::GPSLatitudeRef, Value::Ascii(vec![b"N".to_vec()])),
        field(Tag::GPSLatitude, degrees(LATITUDE)),
        field(Tag::GPSLongitudeRef, Value::Ascii(vec![b"E".to_vec()])),
        field(Tag::GPSLongitude, degrees(LATITUDE)),
        field(Tag::GPSAreaInformation, Value::Undefined(planted("area"), 0)),
    ];
    let thumbnail = [b"\xff\xd8\xff\xfe\0\x20", &planted("thumbnail")[..], b"\xff\xd9"].concat();
    let mut writer = Writer::new();
    fields.iter().for_each(|field| writer.push_field(field));
    writer.set_jpeg(&thumbnail, In::THUMBNAIL);
    let mut out = std::io::Cursor::new(Vec::new());
    writer.write(&mut out, little_endian).unwrap();
    out.into_inner()
}

/// XMP with a position.
pub(super) fn xmp_with_position() -> Vec<u8> {
    let mark = String::from_utf8(planted("xmp")).unwrap();
    format!(
        "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF><rdf:Description exif:GPSLatitude=\"{mark}\"/></rdf:RDF></x:xmpmeta>"
    )
    .into_bytes()
}

/// A profile that only has to be found again; longer than the decoders' smallest.
pub(super) fn profile() -> Vec<u8> {
    (0..600u32).map(|i| (i * 7 % 251) as u8).collect()
}

/// A segment of a JPEG.
pub(super) fn segment(marker: u8, content: &[u8]) -> Vec<u8> {
    let length = u16::try_from(content.len() + 2).unwrap().to_be_bytes();
    [&[0xff, marker], &length[..], content].concat()
}

/// Segments put right after the beginning of a JPEG.
pub(super) fn jpeg_with(jpeg: &[u8], segments: &[Vec<u8>]) -> Vec<u8> {
    [&jpeg[..2], &segments.concat(), &jpeg[2..]].concat()
}

/// A chunk of a PNG.
pub(super) fn png_chunk(name: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let named = [&name[..], content].concat();
    let length = u32::try_from(content.len()).unwrap().to_be_bytes();
    [&length[..], &named, &crc32fast::hash(&named).to_be_bytes()].concat()
}

/// Chunks put right after the header of a PNG: 8 bytes of signature, 25 of header.
pub(super) fn png_with(png: &[u8], chunks: &[Vec<u8>]) -> Vec<u8> {
    [&png[..33], &chunks.concat(), &png[33..]].concat()
}

/// A chunk of a WebP.
pub(super) fn webp_chunk(name: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let size = u32::try_from(content.len()).unwrap().to_le_bytes();
    [&name[..], &size, content, &[0][..content.len() % 2]].concat()
}

/// A WebP of these chunks.
pub(super) fn webp_of(chunks: &[Vec<u8>]) -> Vec<u8> {
    let chunks = chunks.concat();
    let size = u32::try_from(chunks.len() + 4).unwrap().to_le_bytes();
    [b"RIFF", &size[..], b"WEBP", &chunks].concat()
}

/// The header of an extended WebP.
pub(super) fn vp8x(flags: u8, width: u32, height: u32) -> Vec<u8> {
    let (w, h) = ((width - 1).to_le_bytes(), (height - 1).to_le_bytes());
    webp_chunk(b"VP8X", &[flags, 0, 0, 0, w[0], w[1], w[2], h[0], h[1], h[2]])
}

/// A photo of a kind with an EXIF block in it.
pub(super) fn photo_with_exif(media_type: MediaType, picture: &RgbImage, exif: &[u8]) -> Vec<u8> {
    let (width, height) = picture.dimensions();
    let plain = written(media_type, &DynamicImage::ImageRgb8(picture.clone()));
    match media_type {
        MediaType::Jpeg => jpeg_with(&plain, &[segment(0xe1, &[b"Exif\0\0", exif].concat())]),
        MediaType::Png => png_with(&plain, &[png_chunk(b"eXIf", exif)]),
        MediaType::Webp => webp_of(&[
            vp8x(0x08, width, height),
            plain[12..].to_vec(),
            webp_chunk(b"EXIF", exif),
        ]),
    }
}

/// A photo with a position in every place that is known to carry one.
pub(super) fn photo_with_positions(media_type: MediaType) -> Vec<u8> {
    let picture = blocks(48, 32);
    let plain = written(media_type, &DynamicImage::ImageRgb8(picture.clone()));
    let exif = exif_with_position(media_type != MediaType::Png);
    let xmp = xmp_with_position();
    let text = planted("text");
    match media_type {
        MediaType::Jpeg => {
            // A second picture and a video behind the first, and what points at them (CIPA DC-007, from memory).
            let second = jpeg_with(&plain, &[segment(0xfe, &planted("second-picture"))]);
            let iptc = [
                b"Photoshop 3.0\08BIM\x04\x04\0\0\0\0\0\x10\x1c\x02\x5a\0\x0c",
                &planted("city")[..],
            ]
            .concat();
            // A digest, the whole length and the place of the piece.
            let extended = [
                b"http://ns.adobe.com/xmp/extension/\0",
                &[b'0'; 32][..],
                &20u32.to_be_bytes(),
                &[0; 4],
                &planted("extended-xmp"),
            ]
            .concat();
            let loaded = jpeg_with(
                &plain,
                &[
                    segment(0xe1, &[b"Exif\0\0", &exif[..]].concat()),
                    segment(0xe1, &[b"http://ns.adobe.com/xap/1.0/\0", &xmp[..]].concat()),
                    segment(0xe1, &extended),
                    segment(0xe2, &[b"ICC_PROFILE\0\x01\x01", &profile()[..]].concat()),
                    segment(0xe2, &[b"MPF\0", &planted("mpf")[..]].concat()),
                    segment(0xe5, &planted("app5")),
                    segment(0xed, &iptc),
                    segment(0xfe, &planted("comment")),
                    segment(0xf0, &planted("reserved")),
                ],
            );
            let jfxx = segment(0xe0, &[b"JFXX\0\x10", &planted("jfxx")[..]].concat());
            let end = loaded.len() - 2;
            let before_end = segment(0xfe, &planted("late-comment"));
            [
                &loaded[..2],
                &jfxx,
                &loaded[2..end],
                &before_end,
                &loaded[end..],
                &second,
                b"....ftypmp42",
                &planted("video"),
            ]
            .concat()
        }
        MediaType::Png => {
            let zlib = png_iccp();
            let mut loaded = png_with(
                &plain,
                &[
                    png_chunk(b"iCCP", &zlib),
                    png_chunk(b"eXIf", &exif),
                    png_chunk(b"tEXt", &[b"Comment\0", &text[..]].concat()),
                    png_chunk(b"zTXt", &[b"Comment\0\0", &text[..]].concat()),
                    png_chunk(b"iTXt", &[b"XML:com.adobe.xmp\0\0\0\0\0", &xmp[..]].concat()),
                    png_chunk(b"tIME", &[7, 234, 4, 3, 10, 12, 0]),
                    png_chunk(b"plNt", &planted("private")),
                ],
            );
            let end = loaded.len() - 12;
            loaded.splice(end..end, png_chunk(b"tEXt", &[b"Late\0", &text[..]].concat()));
            loaded.extend(planted("after-the-end"));
            loaded
        }
        MediaType::Webp => {
            let mut loaded = webp_of(&[
                vp8x(0x2c, 48, 32),
                webp_chunk(b"ICCP", &profile()),
                plain[12..].to_vec(),
                webp_chunk(b"EXIF", &exif),
                webp_chunk(b"XMP ", &xmp),
                webp_chunk(b"PLNT", &planted("unknown")),
            ]);
            loaded.extend(planted("after-the-end"));
            loaded
        }
    }
}

/// The content of an iCCP chunk: a name, a method, and the profile as one stored block of zlib (RFC 1950, RFC 1951).
fn png_iccp() -> Vec<u8> {
    let profile = profile();
    let (mut a, mut b) = (1u32, 0u32);
    for byte in &profile {
        a = (a + u32::from(*byte)) % 65_521;
        b = (b + a) % 65_521;
    }
    let length = u16::try_from(profile.len()).unwrap();
    let mut out = b"shop\0\0\x78\x01\x01".to_vec();
    out.extend(length.to_le_bytes());
    out.extend((!length).to_le_bytes());
    out.extend(profile);
    out.extend((b << 16 | a).to_be_bytes());
    out
}
