//! What a page can call.

use std::sync::Arc;

use desk::{Code, Refusal, RefusalWire, SharedDesk, WorkWire, envelope};
use tauri::async_runtime::spawn_blocking;
use tauri::ipc::{InvokeBody, Request, Response};
use tauri::{AppHandle, Runtime, State};

use crate::downloads;

type Desk<'a> = State<'a, Arc<SharedDesk>>;

/// Carries out the command that a header names. An envelope comes in as bytes, an envelope goes out.
#[tauri::command]
pub(crate) async fn desk(request: Request<'_>, desk: Desk<'_>) -> Result<Response, RefusalWire> {
    let header = |name: &str| request.headers().get(name)?.to_str().ok();
    let command = header("trammel-command").ok_or_else(|| bad("the request names no command"))?;
    let work = header("trammel-work").map(|number| number.parse().map_err(|_| bad("a work is a number")));
    let work = work.transpose()?;
    let InvokeBody::Raw(envelope) = request.body() else {
        return Err(bad("the request is no envelope"));
    };
    let (command, envelope, desk) = (command.to_owned(), envelope.clone(), Arc::clone(&desk));
    let answered = spawn_blocking(move || desk.answer(&command, &envelope, work)).await;
    match answered {
        Ok(answer) => answer.map(Response::new).map_err(|refusal| refusal.wire()),
        Err(_) => Err(Refusal::fault().wire()),
    }
}

/// How far a long work is; nothing where there is none of that number.
#[tauri::command]
pub(crate) fn work(number: u64, desk: Desk<'_>) -> Option<WorkWire> {
    desk.work(number)
}

/// Asks a long work to stop.
#[tauri::command]
pub(crate) fn stop(number: u64, desk: Desk<'_>) {
    desk.stop(number);
}

/// Saves a file with the downloads, and says where. An envelope comes in: its name, then its bytes.
#[tauri::command]
pub(crate) async fn save<R: Runtime>(request: Request<'_>, app: AppHandle<R>) -> Result<String, RefusalWire> {
    let InvokeBody::Raw(envelope) = request.body() else {
        return Err(bad("the request is no envelope"));
    };
    let (said, bytes) = envelope::opened(envelope).map_err(|error| Refusal::from(error).wire())?;
    let name = said["name"]
        .as_str()
        .ok_or_else(|| bad("the file has no name"))?
        .to_owned();
    let bytes = bytes.to_vec();
    match spawn_blocking(move || downloads::save(&app, &name, &bytes)).await {
        Ok(saved) => saved
            .map(|path| path.display().to_string())
            .map_err(|refusal| refusal.wire()),
        Err(_) => Err(Refusal::fault().wire()),
    }
}

fn bad(message: &str) -> RefusalWire {
    let refusal = Refusal {
        code: Code::BadRequest,
        message: message.to_owned(),
        problems: Vec::new(),
    };
    refusal.wire()
}
