//! Pictures of photos, by their hash.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use desk::{Refusal, SharedDesk};

use crate::refused::Refused;

/// A hash names one picture for ever. It is for this browser alone.
const FOR_EVER: &str = "private, max-age=31536000, immutable";

/// Answers with a picture.
pub(crate) async fn picture(
    State(desk): State<Arc<SharedDesk>>,
    Path((size, hash)): Path<(String, String)>,
) -> Result<Response, Refused> {
    let read = tokio::task::spawn_blocking(move || desk.picture(&size, &hash)).await;
    let picture = read.map_err(|_| Refusal::fault())??;
    Ok((
        [
            (header::CONTENT_TYPE, picture.media_type),
            (header::CACHE_CONTROL, FOR_EVER),
        ],
        picture.bytes,
    )
        .into_response())
}
