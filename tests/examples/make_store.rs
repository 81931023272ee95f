//! Writes a store in the newest format into a folder, for `tests/data/stores`. Released ones are never written again.

use std::error::Error;
use std::path::Path;

use ledger::store::{Access, PhotoRow, Store};
use ledger::{Heads, JobId, Keep};
use trials::plain::{JUDGE, PlainLog};
use uuid::Uuid;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args()
        .nth(1)
        .ok_or("name the folder to write the store into")?;
    let mut store = Store::open(Path::new(&folder), &JUDGE, Access::Write)?.store;
    for (number, entries) in [(1, 30), (2, 4)] {
        let job = JobId(Uuid::from_u128(number));
        let (mut log, chunk, heads) = PlainLog::make(job, number as u64)?;
        store.create(job, 1_700_000_000_000 + number as i64, &chunk, &heads)?;
        let mut last = Heads::default();
        for entry in 0..entries {
            let (chunk, heads) = log.put(&format!("entry-{entry}"), entry)?;
            store.append(job, &chunk, &heads)?;
            if entry == 19 {
                store.compact(job)?;
            }
            last = heads;
        }
        store.set_solved(job, &last, "solver 1", "a solve")?;
    }
    let noise = image::RgbImage::from_fn(16, 9, |x, y| image::Rgb([x as u8 * 7, y as u8 * 11, 40]));
    let mut original = std::io::Cursor::new(Vec::new());
    noise.write_to(&mut original, image::ImageFormat::Png)?;
    let original = original.into_inner();
    store.put_photo(&PhotoRow {
        id: *blake3::hash(&original).as_bytes(),
        media_type: "image/png",
        width: 16,
        height: 9,
        bytes: &original,
        small: b"small",
        large: b"large",
    })?;
    store.set_setting("crew", "Ash and Bo")?;
    Ok(())
}
