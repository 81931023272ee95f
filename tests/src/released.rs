//! A job with something of everything, for the formats that must be read for ever.

use std::io::Cursor;
use std::path::Path;
use std::sync::Mutex;

use desk::{
    Act, AddPhoto, Correction, Desk, InstrumentFacts, LogReading, NamedThing, NewPoint, PhotoSize,
    PointFacts, Refusal, SheetBytes, SheetsGiven, Surroundings,
};
use serde_json::{Value, json};
use uuid::Uuid;

/// A clock that goes on by a minute each time, and numbers in a row: the same each time it is run.
pub struct Counted(pub Mutex<u64>);

impl Counted {
    /// Counts from there.
    pub fn from(start: u64) -> Box<Counted> {
        Box::new(Counted(Mutex::new(start)))
    }

    fn next(&self) -> u64 {
        let mut count = self.0.lock().expect("nobody panics while counting");
        *count += 1;
        *count
    }
}

impl Surroundings for Counted {
    fn now_ms(&self) -> i64 {
        1_780_000_000_000 + 60_000 * i64::try_from(self.next() % 100_000).unwrap_or_default()
    }

    fn fresh(&self) -> Uuid {
        Uuid::from_u128(u128::from(self.next()))
    }
}

/// Makes the job in a store that is not there yet, with a second tablet in `other` that disagrees about something.
///
/// # Errors
/// Where a command refuses, which none should.
pub fn make(folder: &Path, other: &Path) -> Result<(), Refusal> {
    let mut ana = Desk::open(folder, Counted::from(0))?;
    ana.set_person("Ana")?;
    ana.new_job("released", Some(desk::LengthUnit::Inch), None)?;
    let instrument = InstrumentFacts {
        kind: Some("tape".into()),
        class: Some("II".into()),
        graduation: Some("1/16".into()),
        case_length: Some("3".into()),
        ..InstrumentFacts::default()
    };
    ana.act(
        None,
        &Act::DescribeInstrument {
            name: "tape 1".into(),
            facts: instrument,
        },
        None,
    )?;
    let sheet = |name: &str, text: &str| {
        Some(SheetBytes {
            name: name.into(),
            bytes: text.into(),
        })
    };
    let sheets = SheetsGiven {
        readings: sheet("readings.csv", READINGS),
        points: sheet("points.csv", POINTS),
        ..SheetsGiven::default()
    };
    ana.import_sheets(None, &sheets, None)?;
    for act in acts() {
        ana.act(None, &act, None)?;
    }
    let reading = |points: [&str; 2], value: &str| LogReading {
        kind: "tape".into(),
        points: points.map(String::from).to_vec(),
        value: value.into(),
        instrument: "tape 1".into(),
        from: "case".into(),
        ..LogReading::default()
    };
    ana.log_reading(None, &reading(["sill-L", "roof"], "40 5/8"), None)?;
    ana.log_reading(None, &reading(["sill-R", "roof"], "41 1/4"), Some("Ben"))?;
    ana.undo(None, Some("Ben"))?;
    ana.redo(None, Some("Ben"))?;
    ana.log_reading(None, &reading(["sill-R", "spare"], "9"), None)?;
    ana.undo(None, None)?;
    let said = AddPhoto {
        file: "left.png".into(),
        caption: "left sill".into(),
        point: Some("sill-L".into()),
        reading: None,
    };
    let photo = ana.add_photo(None, &said, &picture(1), None)?.photo.id;
    let pin = Act::PinPhoto {
        photo: photo.clone(),
        point: "tower-L".into(),
        note: String::new(),
        x: 0.25,
        y: 0.5,
    };
    ana.act(None, &pin, None)?;
    let out = ana
        .add_photo(None, &AddPhoto::default(), &picture(2), None)?
        .photo
        .id;
    ana.act(None, &Act::RemovePhoto { photo: out }, None)?;

    // The other tablet has a copy and corrects the same reading.
    let mut ben = Desk::open(other, Counted::from(1 << 32))?;
    ben.take_in(Cursor::new(file(&mut ana)?))?;
    let corrected = |value: &str| Act::CorrectReading {
        reading: "1".into(),
        why: "looked again".into(),
        correction: Correction {
            value: Some(value.into()),
            ..Correction::default()
        },
    };
    ben.act(None, &corrected("1363 mm"), Some("Ben"))?;
    ana.act(None, &corrected("1366 mm"), None)?;
    ana.take_in(Cursor::new(file(&mut ben)?))?;
    ana.solve(None, None).ok();
    Ok(())
}

fn file(desk: &mut Desk) -> Result<Vec<u8>, Refusal> {
    let mut file = Cursor::new(Vec::new());
    desk.export(None, &mut file)?;
    Ok(file.into_inner())
}

/// Everything that the desk tells of its only job.
///
/// # Errors
/// Where something of it cannot be read.
pub fn told(desk: &mut Desk) -> Result<Value, Refusal> {
    let history = desk.history(None, None, usize::MAX)?;
    let stood = desk.as_it_stood(None, &history[history.len() / 2].change)?;
    let photos = desk.photos(None)?;
    let mut pictures = Vec::new();
    for photo in &photos {
        let (media_type, bytes) = desk.photo(None, &photo.id, PhotoSize::ToLeave)?;
        pictures.push(json!([media_type, blake3::hash(&bytes).to_hex().as_str()]));
    }
    Ok(json!({
        "shown": desk.show(None)?,
        "photos": photos,
        "pictures": pictures,
        "history": history,
        "as it stood in the middle": stood,
    }))
}

fn acts() -> Vec<Act> {
    let text = String::from;
    vec![
        Act::Add {
            what: NamedThing::Stand,
            name: text("on blocks"),
        },
        Act::Add {
            what: NamedThing::Epoch,
            name: text("before tacking"),
        },
        Act::Add {
            what: NamedThing::Person,
            name: text("Cleo"),
        },
        Act::Rename {
            what: NamedThing::Person,
            name: text("Cleo"),
            to: text("Cléo"),
        },
        Act::DescribePoint {
            point: text("tower-L"),
            facts: PointFacts {
                side: Some(text("left")),
                mirror: Some(text("tower-R")),
                z: Some(text("30")),
                note: Some(text("rusty")),
                ..PointFacts::default()
            },
        },
        Act::AddPoints {
            points: [
                ("hoop foot L", "left", "hoop foot R"),
                ("hoop foot R", "right", "hoop foot L"),
            ]
            .map(|(label, side, mirror)| NewPoint {
                label: text(label),
                side: text(side),
                mirror: text(mirror),
                ..NewPoint::default()
            })
            .to_vec(),
        },
        Act::RenamePoint {
            point: text("roof"),
            to: text("roof-front"),
        },
        Act::RenamePoint {
            point: text("roof-front"),
            to: text("roof"),
        },
        Act::JoinPoints {
            point: text("mark"),
            into: text("tower-L"),
        },
        Act::BlockLine {
            a: text("sill-L"),
            b: text("tower-R"),
            why: text("engine"),
        },
        Act::SetAside {
            reading: text("3"),
            why: text("tape was bent"),
        },
        Act::KeepReading {
            reading: text("2"),
            why: text("read twice"),
        },
        Act::CorrectReading {
            reading: text("5"),
            why: text("digits swapped"),
            correction: Correction {
                value: Some(text("434 mm")),
                ..Correction::default()
            },
        },
        Act::SetJob {
            name: None,
            unit: None,
            frame: Some(text("three:sill-R,tower-L,sill-L")),
            above: Some(text("roof")),
        },
    ]
}

fn picture(shade: u8) -> Vec<u8> {
    let drawn = image::RgbImage::from_fn(40, 30, |x, y| image::Rgb([x as u8 * 6, y as u8 * 8, shade * 40]));
    let mut bytes = Cursor::new(Vec::new());
    drawn
        .write_to(&mut bytes, image::ImageFormat::Png)
        .expect("memory takes every picture");
    bytes.into_inner()
}

const POINTS: &str = "label,side,mirror,x,y,z,fixed,note\nsill-L,left,sill-R,0 mm,690 mm,160 mm,,\nsill-R,right,,0 mm,-690 mm,160 mm,,\n";
const READINGS: &str = "\
id,kind,a,b,c,d,value,sd,instrument,from,add,stand,state,by,at,note
1,tape,sill-L,sill-R,,,1365 mm,,,,,,,Ana,2026-05-28,
2,tape,sill-L,tower-L,,,3' 4 5/8\",2 mm,tape 1,burn-1in,,,,Ben,,
3,tape,sill-R,tower-L,,,1240 mm,,,,1/2 in,,,,,
4,slope,sill-L,tower-L,,,\"12°24'\",,,,,on its wheels,,,,windy
5,tape,mark,roof,,,344 mm,,,,,,,,,
6,corner,sill-L,sill-R,tower-L,,33 deg,,,,,,,,,
7,string,roof,sill-L,sill-R,,900 mm,,,,,,,,,
8,face,tower-R,sill-L,sill-R,roof,350 mm,,,,,,,,,
9,rise,sill-L,roof,,,1.1 m,,,,,,,,,
10,blocked,sill-R,roof,,,,,,,,,,,,
";
