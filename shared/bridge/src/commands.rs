//! Commands: an envelope in, an envelope out.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{FromRequest, Path, Request, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use desk::envelope::LONGEST;
use desk::{Code, SharedDesk};

use crate::refused::Refused;

/// Carries out a command.
pub(crate) async fn command(
    State(desk): State<Arc<SharedDesk>>,
    Path(name): Path<String>,
    request: Request,
) -> Result<Response, Refused> {
    let envelope = read(request).await?;
    // The desk waits for the disk, and for whoever is at it already.
    let answered = tokio::task::spawn_blocking(move || desk.answer(&name, &envelope)).await;
    let envelope = answered.map_err(|_| failed())??;
    Ok((
        [
            (header::CONTENT_TYPE, "application/octet-stream"),
            (header::CACHE_CONTROL, "no-store"),
        ],
        envelope,
    )
        .into_response())
}

async fn read(request: Request) -> Result<Bytes, Refused> {
    let announced = request.headers().get(header::CONTENT_LENGTH);
    let announced = announced.and_then(|length| length.to_str().ok()?.parse::<u64>().ok());
    if announced.is_some_and(|length| length > LONGEST as u64) {
        return Err(too_long());
    }
    // What comes without a length is cut off at the limit that the router has.
    Bytes::from_request(request, &())
        .await
        .map_err(|rejection| match rejection.status() {
            StatusCode::PAYLOAD_TOO_LARGE => too_long(),
            _ => Refused::with(
                StatusCode::BAD_REQUEST,
                Code::BadRequest,
                "the request broke off on its way",
            ),
        })
}

fn too_long() -> Refused {
    Refused::with(
        StatusCode::PAYLOAD_TOO_LARGE,
        Code::BadRequest,
        &format!("the request is larger than {} MB", LONGEST >> 20),
    )
}

fn failed() -> Refused {
    Refused::with(
        StatusCode::UNPROCESSABLE_ENTITY,
        Code::Fault,
        "Trammel itself failed at this: look whether it was done, and try again",
    )
}
