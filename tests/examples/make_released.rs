//! Writes a store, a job file and a document in the newest formats into a folder, for `tests/data/released`. What is
//! there already is never written again.

use std::error::Error;
use std::path::Path;

use desk::Act;
use ledger::store::{Access, Documents, Store};
use trials::released::{Counted, make, told};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args()
        .nth(1)
        .ok_or("name a folder that is not there yet")?;
    let folder = Path::new(&folder);
    std::fs::create_dir(folder)?;
    let other = std::env::temp_dir().join(format!("trammel-released-{}", std::process::id()));
    make(&folder.join("store"), &other)?;
    std::fs::remove_dir_all(&other)?;
    // So that the store has a whole document, a copy of it beside, and changes after it.
    let mut store = Store::open(&folder.join("store"), &Documents, Access::Write)?.store;
    for row in store.jobs()? {
        store.compact(row.id)?;
    }
    drop(store);
    let mut desk = desk::Desk::open(&folder.join("store"), Counted::from(1 << 40))?;
    desk.act(
        None,
        &Act::SetJob {
            name: Some("released for ever".into()),
            unit: None,
            frame: None,
            above: None,
        },
        None,
    )?;
    let mut file = std::io::Cursor::new(Vec::new());
    desk.export(None, &mut file)?;
    let file = file.into_inner();
    let mut document = Vec::new();
    let contents = ledger::job_file::read(std::io::Cursor::new(&file), &mut |_, _| {
        std::ops::ControlFlow::Continue(())
    })?;
    document.extend_from_slice(&contents.document);
    std::fs::write(folder.join("job.zip"), &file)?;
    std::fs::write(folder.join("job.automerge"), &document)?;
    let told = serde_json::to_string_pretty(&told(&mut desk)?)?;
    std::fs::write(folder.join("told.json"), told + "\n")?;
    Ok(())
}
