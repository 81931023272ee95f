//! Photos of the jobs, for the pages to show: `photo://localhost/<size>/<hash>`, where the size is `small`, `large` or
//! `original`. On Windows and Android it is `http://photo.localhost/…`.
//!
//! A picture never changes under its hash, so that the web view may keep it. Only what the pages show as a picture may
//! come from here: the security policy names this scheme for pictures alone.

use std::sync::Arc;

use desk::{Code, Refusal, SharedDesk};
use tauri::async_runtime::spawn_blocking;
use tauri::http::{Request, Response, StatusCode, header};
use tauri::{Builder, Manager, Runtime};

/// A window whose pages can show photos.
pub(crate) fn with_pictures<R: Runtime>(builder: Builder<R>) -> Builder<R> {
    builder.register_asynchronous_uri_scheme_protocol("photo", |context, request, responder| {
        let desk = context.app_handle().try_state::<Arc<SharedDesk>>();
        let desk = desk.map(|desk| Arc::clone(&desk));
        // Reading a large picture must not keep the window from drawing.
        spawn_blocking(move || responder.respond(answered(desk.as_deref(), &request)));
    })
}

fn answered(desk: Option<&SharedDesk>, request: &Request<Vec<u8>>) -> Response<Vec<u8>> {
    let path = request.uri().path().trim_start_matches('/');
    let picture = match desk {
        Some(desk) => desk.picture(path),
        None => Err(Refusal::fault()),
    };
    let made = match picture {
        Ok((media_type, bytes)) => Response::builder()
            .header(header::CONTENT_TYPE, media_type)
            .header(header::CACHE_CONTROL, "private, max-age=31536000, immutable")
            .header(header::X_CONTENT_TYPE_OPTIONS, "nosniff")
            .body(bytes),
        Err(refusal) => Response::builder()
            .status(match refusal.code {
                Code::PhotoNotHere => StatusCode::NOT_FOUND,
                Code::BadRequest => StatusCode::BAD_REQUEST,
                _ => StatusCode::INTERNAL_SERVER_ERROR,
            })
            .header(header::CONTENT_TYPE, "text/plain; charset=utf-8")
            .header(header::CACHE_CONTROL, "no-store")
            .body(refusal.message.into_bytes()),
    };
    made.expect("the headers are our own")
}
