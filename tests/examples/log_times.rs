//! Times the log on this disk: a reading logged beside a bare sync, opening a job of 10,000 readings, bytes a reading,
//! a photo of 12 megapixels. `cargo run --release -p trials --example log_times [FOLDER]`; the folder says which disk.
//!
//! The machine decides the figures, so nothing here passes or fails.

use std::error::Error;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use ledger::store::{Access, Documents, PhotoRow, Store};
use ledger::{Edit, Job, JobId, Keep, ReadingText, Stage, Stamp, photo};
use uuid::Uuid;

const READINGS: u32 = 10_000;
const SYNCS: usize = 1_000;
const POINTS: u32 = 120;

fn main() -> Result<(), Box<dyn Error>> {
    let parent = std::env::args()
        .nth(1)
        .map_or_else(std::env::temp_dir, PathBuf::from);
    let folder = parent.join(format!("trammel-log-times-{}", std::process::id()));
    std::fs::create_dir_all(&folder)?;
    println!("| what | median | 99 % | longest |");
    println!("| --- | --- | --- | --- |");
    let timed = syncs(&folder)
        .and_then(|()| readings(&folder))
        .and_then(|()| photos(&folder));
    std::fs::remove_dir_all(&folder)?;
    timed
}

/// What the disk asks for a sync, with nothing of ours.
fn syncs(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut file = File::create(folder.join("bare"))?;
    let mut times = Vec::new();
    for _ in 0..SYNCS {
        let begun = Instant::now();
        file.write_all(&[7; 4096])?;
        file.sync_all()?;
        times.push(begun.elapsed());
    }
    row("4 KiB written and synced, by itself", &mut times);
    Ok(())
}

fn readings(folder: &Path) -> Result<(), Box<dyn Error>> {
    let path = folder.join("store");
    let mut store = Store::open(&path, &Documents, Access::Write)?.store;
    let id = JobId(Uuid::from_u128(1));
    let mut job = Job::new(id, "ten thousand", Uuid::from_u128(2), &stamp(0));
    store.create(id, 0, &job.save(), &job.heads())?;
    let (mut early, mut late) = (Vec::new(), Vec::new());
    for count in 1..=READINGS {
        let edit = Edit::LogReading(ReadingText {
            kind: "tape".to_owned(),
            points: vec![
                format!("P{}", count % POINTS),
                format!("P{}", (count * 7 + 1) % POINTS),
            ],
            value: format!("{} mm", 400 + count % 3000),
            stand: "on blocks".to_owned(),
            note: if count % 10 == 0 {
                "hard to reach".to_owned()
            } else {
                String::new()
            },
            ..ReadingText::default()
        });
        let begun = Instant::now();
        let kept = job.kept(&mut store, |job| job.apply(&edit, &stamp(count)));
        let took = begun.elapsed();
        // Every seventh line would have both ends the same.
        if kept.is_ok() {
            if count <= 1000 {
                early.push(took)
            } else if count > READINGS - 1000 {
                late.push(took)
            }
        }
    }
    row("a reading logged and kept, the first thousand", &mut early);
    row("a reading logged and kept, in a job of 10,000", &mut late);
    drop(store);
    let count = job.records().readings.len() as f64;
    println!(
        "| bytes a reading on the disk, as logged | {:.0} | | |",
        size(&path)? as f64 / count
    );
    opened(&path, id, "opening 10,000 readings, never tidied")?;
    let mut store = Store::open(&path, &Documents, Access::Write)?.store;
    store.compact(id)?;
    store.compact(id)?;
    drop(store);
    println!(
        "| bytes a reading on the disk, tidied twice | {:.0} | | |",
        size(&path)? as f64 / count
    );
    println!(
        "| bytes a reading in the document | {:.0} | | |",
        job.save().len() as f64 / count
    );
    opened(&path, id, "opening 10,000 readings, tidied")?;
    let mut times = Vec::new();
    for _ in 0..11 {
        let begun = Instant::now();
        std::hint::black_box(job.records().survey(&Stage::All));
        times.push(begun.elapsed());
    }
    row("10,000 readings as a survey", &mut times);
    let mut times = Vec::new();
    for _ in 0..11 {
        let begun = Instant::now();
        std::hint::black_box((job.changes().len(), job.disputes().len(), job.can_undo("Ana")));
        times.push(begun.elapsed());
    }
    row("its history in order, disputes, what can be undone", &mut times);
    Ok(())
}

/// From nothing to records that can be worked with: the store, the bytes, the document, what it says.
fn opened(path: &Path, id: JobId, what: &str) -> Result<(), Box<dyn Error>> {
    let mut times = Vec::new();
    for count in 0..5 {
        let begun = Instant::now();
        let store = Store::open(path, &Documents, Access::Write)?.store;
        let job = Job::open(&store.bytes(id)?, Uuid::from_u128(100 + count))?;
        std::hint::black_box(job.records().readings.len());
        times.push(begun.elapsed());
    }
    row(what, &mut times);
    Ok(())
}

/// Noise is the hardest a camera can deliver.
fn photos(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut random = fastrand::Rng::with_seed(1);
    let noisy = image::RgbImage::from_fn(4000, 3000, |x, y| {
        let base = ((x / 40 + y / 30) % 200) as u8;
        image::Rgb([
            base.wrapping_add(random.u8(..32)),
            base,
            base.wrapping_add(random.u8(..16)),
        ])
    });
    let mut bytes = std::io::Cursor::new(Vec::new());
    noisy.write_to(&mut bytes, image::ImageFormat::Jpeg)?;
    let mut bytes = bytes.into_inner();
    let mut store = Store::open(&folder.join("photos"), &Documents, Access::Write)?.store;
    let mut times = Vec::new();
    for count in 0..7u8 {
        // A remark that differs makes another photo of it, with the same work.
        bytes.splice(2..2, [0xff, 0xfe, 0, 3, count]);
        let begun = Instant::now();
        let taken = photo::take_in(&bytes)?;
        store.put_photo(&PhotoRow {
            id: *taken.id.as_bytes(),
            media_type: taken.media_type.mime(),
            width: taken.width,
            height: taken.height,
            bytes: &bytes,
            small: &taken.small,
            large: &taken.large,
        })?;
        times.push(begun.elapsed());
    }
    let megabytes = bytes.len() as f64 / 1e6;
    row(
        &format!("a photo of 12 megapixels ({megabytes:.1} MB), both small pictures, kept"),
        &mut times,
    );
    Ok(())
}

fn stamp(count: u32) -> Stamp {
    Stamp {
        by: ["Ana", "Ben"][count as usize % 2].to_owned(),
        at_ms: 1_780_000_000_000 + 30_000 * i64::from(count),
        // As random as real ones: numbers in a row would pack too well.
        fresh: Uuid::from_u128(fastrand::Rng::with_seed(u64::from(count)).u128(..)),
    }
}

fn size(store: &Path) -> std::io::Result<u64> {
    Ok(std::fs::metadata(store.join("trammel.sqlite"))?.len())
}

fn row(what: &str, times: &mut [Duration]) {
    times.sort_unstable();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
    println!(
        "| {what} | {:.2} ms | {:.2} ms | {:.2} ms |",
        at(0.5),
        at(0.99),
        at(1.0)
    );
}
