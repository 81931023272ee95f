//! Pictures by their hash, and pins.

use desk::{Call, Code, Desk, Device, Refusal, SharedDesk};
use serde_json::{Value, json};

use crate::{acts, code, does, fresh, one, open};

/// A small PNG of one shade.
pub(crate) fn picture(shade: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    let picture = image::RgbImage::from_pixel(8, 8, image::Rgb([shade; 3]));
    let mut file = std::io::Cursor::new(&mut bytes);
    picture.write_to(&mut file, image::ImageFormat::Png).unwrap();
    bytes
}

/// Adds a photo, of a point where one is named; the hash.
pub(crate) fn added(desk: &mut Desk, shade: u8, point: Option<&str>) -> String {
    let call = Call {
        ask: json!({"by": "Ana", "photo": {"point": point, "file": "left.png"}}),
        bytes: picture(shade),
    };
    let answer = desk.call("add-photo", call).unwrap().answer;
    answer["photo"]["id"].as_str().unwrap().to_owned()
}

/// A JPEG of 64 by 48 pixels.
fn jpeg() -> Vec<u8> {
    let mut bytes = Vec::new();
    let picture = image::RgbImage::from_fn(64, 48, |x, y| image::Rgb([x as u8 * 3, y as u8 * 4, 90]));
    let mut file = std::io::Cursor::new(&mut bytes);
    picture.write_to(&mut file, image::ImageFormat::Jpeg).unwrap();
    bytes
}

/// The JPEG with these segments of application data after the mark that begins it.
fn with_notes(jpeg: &[u8], notes: &[&[u8]]) -> Vec<u8> {
    let mut all = jpeg[..2].to_vec();
    for note in notes {
        all.extend_from_slice(b"\xff\xe1");
        all.extend_from_slice(&u16::try_from(note.len() + 2).unwrap().to_be_bytes());
        all.extend_from_slice(note);
    }
    all.extend_from_slice(&jpeg[2..]);
    all
}

fn adds(desk: &mut Desk, file: &str, bytes: Vec<u8>) -> Result<Value, Refusal> {
    let ask = json!({"by": "Ana", "photo": {"file": file}});
    desk.call("add-photo", Call { ask, bytes })
        .map(|reply| reply.answer)
}

fn bytes_of(desk: &mut Desk, name: &str, ask: Value) -> Vec<u8> {
    desk.call(name, Call { ask, bytes: vec![] }).unwrap().bytes
}

fn pins(desk: &mut Desk) -> Value {
    does(desk, "photos", json!({}))[0]["pins"].clone()
}

#[test]
fn a_picture_is_given_by_all_of_its_hash_and_by_nothing_else() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    let hash = added(&mut desk, 40, None);
    let call = Call {
        ask: json!({"photo": hash, "size": "original"}),
        bytes: vec![],
    };
    let reply = desk.call("picture", call).unwrap();
    assert_eq!(
        (reply.media_type, &reply.bytes),
        (Some("image/png"), &picture(40))
    );
    let refused =
        |desk: &mut Desk, photo: &str| code(desk, "picture", json!({"photo": photo, "size": "small"}));
    assert_eq!(refused(&mut desk, &"0".repeat(64)), Code::PhotoNotHere);
    for photo in [
        "",
        &hash[..12],
        &hash.to_uppercase(),
        &format!("{hash} "),
        "../../../etc/passwd",
    ] {
        assert_eq!(refused(&mut desk, photo), Code::BadRequest, "{photo}");
    }
    // A photo that was taken out can be brought back, and is looked at before.
    acts(&mut desk, json!({"do": "remove-photo", "photo": hash}));
    does(&mut desk, "picture", json!({"photo": hash, "size": "small"}));
}

#[test]
fn pictures_are_read_beside_the_desk_and_the_store_is_free_when_it_is_put_away() {
    let (folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    let hash = added(&mut desk, 40, None);
    drop(desk);
    let path = folder.path().to_owned();
    let shared = SharedDesk::new(move || Desk::open(&path, Box::new(Device)));
    let first = shared.picture("original", &hash).unwrap();
    assert_eq!((first.media_type, &first.bytes), ("image/png", &picture(40)));
    // One that came since is seen too, while the desk is in somebody's hands.
    let later = shared
        .with(|desk| {
            let later = added(desk, 90, None);
            assert_eq!(shared.picture("small", &later).unwrap().media_type, "image/jpeg");
            Ok(later)
        })
        .unwrap();
    assert_eq!(shared.picture("original", &later).unwrap().bytes, picture(90));
    for (size, photo, expected) in [
        ("small", "0".repeat(64), Code::PhotoNotHere),
        ("small", hash.to_uppercase(), Code::BadRequest),
        ("to-leave", hash.clone(), Code::BadRequest),
        ("", hash, Code::BadRequest),
    ] {
        assert_eq!(
            shared.picture(size, &photo).unwrap_err().code,
            expected,
            "{size} {photo}"
        );
    }
    shared.put_away();
    open(folder.path());
}

#[test]
fn a_pin_says_what_is_there_until_it_is_tied_to_a_point_and_each_step_is_told_and_taken_back() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    let photo = added(&mut desk, 40, None);
    let place =
        json!({"do": "pin-photo", "photo": photo, "x": 0.25, "y": 0.75, "note": "bracket, no mark yet"});
    let pinned = acts(&mut desk, place);
    assert_eq!(
        pinned["words"],
        "pinned \u{201c}bracket, no mark yet\u{201d} on the photo left.png"
    );
    let pin = pins(&mut desk)[0].clone();
    assert_eq!(
        (&pin["point"], &pin["note"], &pin["x"]),
        (&json!(""), &json!("bracket, no mark yet"), &json!(0.25))
    );
    let tie = json!({"do": "tie-pin", "pin": pin["id"], "point": "bracket-L"});
    let tied = acts(&mut desk, tie.clone());
    assert_eq!(tied["words"], "tied a pin on the photo left.png to bracket-L");
    assert_eq!(acts(&mut desk, tie)["words"], "it is so already");
    assert_eq!(pins(&mut desk)[0]["point"], "bracket-L");
    let shape = does(&mut desk, "shape", json!({}));
    assert_eq!(one(&shape["points"], "label", "bracket-L")["photos"], 1);
    let undone = does(&mut desk, "undo", json!({"by": "Ana"}));
    assert_eq!(
        undone["words"],
        "undid: tied a pin on the photo left.png to bracket-L"
    );
    assert_eq!(pins(&mut desk)[0]["point"], "");
    does(&mut desk, "redo", json!({"by": "Ana"}));
    assert_eq!(pins(&mut desk)[0]["point"], "bracket-L");

    let nothing = json!({"do": "pin-photo", "photo": photo, "x": 0.5, "y": 0.5, "note": " "});
    assert_eq!(code(&mut desk, "act", json!({"act": nothing})), Code::Unusable);
    let nobody = json!({"do": "tie-pin", "pin": "0", "point": "A"});
    assert_eq!(code(&mut desk, "act", json!({"act": nobody})), Code::NotThere);
}

#[test]
fn photos_that_cannot_be_taken_are_refused_with_the_reason_and_what_to_do() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    // A header of 12,000 by 9,000 pixels, as of a camera with 108 megapixels.
    let mut huge = jpeg();
    let frame = huge.windows(2).position(|two| two == [0xff, 0xc0]).unwrap();
    huge[frame + 5..frame + 9].copy_from_slice(&[0x23, 0x28, 0x2e, 0xe0]);
    let half = jpeg()[..jpeg().len() / 2].to_vec();
    let mut heavy = jpeg();
    heavy.resize((48 << 20) + 1, 0);
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic".to_vec();
    let cases = [
        (
            "huge.jpg",
            huge,
            "12000 x 9000 pixels; 64 million in all",
            "save it with fewer pixels",
        ),
        (
            "half.jpg",
            half,
            "cut off before its end",
            "copy or send it again",
        ),
        (
            "heavy.jpg",
            heavy,
            "48 MB is the most that is taken",
            "save it smaller, as JPEG",
        ),
        (
            "IMG_1.heic",
            heic,
            "HEIC photo",
            "in the phone's camera settings choose the most compatible format",
        ),
        ("note.jpg", b"hook at the edge\n".to_vec(), "text", "choose"),
        (
            "empty.jpg",
            Vec::new(),
            "the file is empty",
            "send the photo again",
        ),
    ];
    for (file, bytes, so, to_do) in cases {
        let refused = adds(&mut desk, file, bytes).unwrap_err();
        assert_eq!(refused.code, Code::BadPhoto, "{file}");
        let said = &refused.message;
        assert!(said.contains(so) && said.contains(to_do), "{file}: {said}");
    }
    assert_eq!(does(&mut desk, "photos", json!({})), json!([]));
}

#[test]
fn a_photo_of_50_mb_is_taken_and_kept_whole() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    // As with a video that a phone hides behind the picture.
    let mut heavy = jpeg();
    heavy.resize(50_000_000, 7);
    let added = adds(&mut desk, "motion.jpg", heavy.clone()).unwrap();
    assert_eq!(added["photo"]["bytes"], 50_000_000);
    let id = added["photo"]["id"].clone();
    let original = bytes_of(&mut desk, "picture", json!({"photo": id, "size": "original"}));
    assert!(original == heavy);
    let leaves = bytes_of(&mut desk, "photo", json!({"photo": id, "size": "to-leave"}));
    assert!(leaves.len() < 100_000, "{}", leaves.len());
}

#[test]
fn nothing_that_says_where_a_photo_was_taken_leaves_with_it() {
    // EXIF with a position (Exif 2.32, 4.6.6: GPSLatitudeRef, GPSLatitude), and XMP that says it again.
    let entry = |tag: u16, kind: u16, count: u32, value: &[u8; 4]| {
        [
            &tag.to_le_bytes()[..],
            &kind.to_le_bytes(),
            &count.to_le_bytes(),
            value,
        ]
        .concat()
    };
    let latitude: Vec<u8> = [61_u32, 1, 29, 1, 5_377, 100]
        .iter()
        .flat_map(|part| part.to_le_bytes())
        .collect();
    let exif = [
        b"Exif\0\0II*\0\x08\0\0\0",
        &[1, 0][..],
        &entry(0x8825, 4, 1, &26_u32.to_le_bytes()),
        &[0; 4],
        &[2, 0],
        &entry(1, 2, 2, b"N\0\0\0"),
        &entry(2, 5, 3, &56_u32.to_le_bytes()),
        &[0; 4],
        &latitude,
    ]
    .concat();
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta exif:GPSLatitude=\"61,29.896N\"/>";
    let taken = with_notes(&jpeg(), &[&exif, xmp]);
    let has = |bytes: &[u8], what: &[u8]| bytes.windows(what.len()).any(|part| part == what);
    let tells = |bytes: &[u8]| has(bytes, &latitude) || has(bytes, b"GPSLatitude") || has(bytes, b"61,29");
    assert!(tells(&taken));

    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    let added = adds(&mut desk, "IMG_7.jpg", taken.clone()).unwrap();
    let id = added["photo"]["id"].clone();
    let of_size = |desk: &mut Desk, size: &str| bytes_of(desk, "picture", json!({"photo": id, "size": size}));
    assert_eq!(of_size(&mut desk, "original"), taken);
    for size in ["small", "large", "to-leave"] {
        assert!(!tells(&of_size(&mut desk, size)), "{size}");
    }
    // The job file, as it is and as another device unpacks it.
    let file = bytes_of(&mut desk, "export", json!({}));
    assert!(!tells(&file));
    let (_other, mut other) = fresh();
    let call = Call {
        ask: json!({}),
        bytes: file,
    };
    other.call("take-in", call).unwrap();
    let there = of_size(&mut other, "original");
    assert!(!there.is_empty() && !tells(&there));
    assert_eq!(there, of_size(&mut desk, "to-leave"));
}
