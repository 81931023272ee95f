//! Pictures by their hash, and pins.

use desk::{Call, Code, Desk, Device, SharedDesk};
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
