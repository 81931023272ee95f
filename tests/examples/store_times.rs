//! Times the store on this disk: a durable append beside a bare sync, opening a job of 10,000 changes, bytes a change.
//!
//! `cargo run --release -p trials --example store_times [FOLDER]`; the folder says which disk is meant.

use std::error::Error;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use ledger::store::{Access, Store};
use ledger::{JobId, Keep};
use trials::plain::{JUDGE, PlainLog};
use uuid::Uuid;

const CHANGES: i64 = 10_000;
const SYNCS: usize = 1_000;

fn main() -> Result<(), Box<dyn Error>> {
    let parent = std::env::args()
        .nth(1)
        .map_or_else(std::env::temp_dir, PathBuf::from);
    let folder = parent.join(format!("trammel-store-times-{}", std::process::id()));
    std::fs::create_dir_all(&folder)?;
    let timed = times(&folder);
    std::fs::remove_dir_all(&folder)?;
    timed
}

fn times(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut file = File::create(folder.join("bare"))?;
    let mut syncs = Vec::new();
    for _ in 0..SYNCS {
        let begun = Instant::now();
        file.write_all(&[7; 4096])?;
        file.sync_all()?;
        syncs.push(begun.elapsed());
    }
    println!("write and sync of 4 KiB: {}", told(&mut syncs));

    let path = folder.join("store");
    let mut store = Store::open(&path, &JUDGE, Access::Write)?.store;
    let job = JobId(Uuid::from_u128(1));
    let (mut log, chunk, heads) = PlainLog::make(job, 1)?;
    store.create(job, 0, &chunk, &heads)?;
    let mut appends = Vec::new();
    let mut chunk_bytes = 0;
    for change in 0..CHANGES {
        let (chunk, heads) = log.put(&format!("register-{change}"), change)?;
        chunk_bytes += chunk.len();
        let begun = Instant::now();
        store.append(job, &chunk, &heads)?;
        appends.push(begun.elapsed());
    }
    println!("durable append:          {}", told(&mut appends));
    drop(store);
    println!(
        "a change: {:.0} bytes as given, {:.0} in the database, row by row",
        chunk_bytes as f64 / CHANGES as f64,
        database(&path)? as f64 / CHANGES as f64
    );
    let mut store = opened(&path, job, "as 10,001 rows")?;
    let begun = Instant::now();
    store.compact(job)?;
    println!("compacting:              {:.1} ms", ms(begun.elapsed()));
    drop(store);
    drop(opened(
        &path,
        job,
        "compacted, the rows kept as the generation before",
    )?);
    let mut store = Store::open(&path, &JUDGE, Access::Write)?.store;
    let (chunk, heads) = log.put("one more", 1)?;
    store.append(job, &chunk, &heads)?;
    store.compact(job)?;
    let begun = Instant::now();
    let found = store.check()?;
    println!(
        "a full check:            {:.1} ms, {} wrong",
        ms(begun.elapsed()),
        found.wrong.len()
    );
    drop(store);
    drop(opened(&path, job, "compacted twice")?);
    let copy = std::fs::metadata(path.join("copies").join(format!("{job}.automerge")))?.len();
    println!("a change, compacted: {:.1} bytes", copy as f64 / CHANGES as f64);
    Ok(())
}

fn opened(path: &Path, job: JobId, what: &str) -> Result<Store, Box<dyn Error>> {
    let begun = Instant::now();
    let store = Store::open(path, &JUDGE, Access::Write)?.store;
    let open = begun.elapsed();
    let begun = Instant::now();
    let bytes = store.bytes(job)?;
    let read = begun.elapsed();
    let begun = Instant::now();
    PlainLog::read(job, &bytes, 2)?;
    println!(
        "opening {what}: store {:.1} ms, bytes {:.1} ms, document {:.1} ms",
        ms(open),
        ms(read),
        ms(begun.elapsed())
    );
    Ok(store)
}

fn database(path: &Path) -> std::io::Result<u64> {
    Ok(std::fs::metadata(path.join("trammel.sqlite"))?.len())
}

fn told(times: &mut [Duration]) -> String {
    times.sort_unstable();
    let at = |share: f64| ms(times[((times.len() - 1) as f64 * share) as usize]);
    format!(
        "median {:.3} ms, 99 % {:.3} ms, longest {:.3} ms",
        at(0.5),
        at(0.99),
        at(1.0)
    )
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
