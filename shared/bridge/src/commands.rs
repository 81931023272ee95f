//! Commands: an envelope in, an envelope out.

use std::sync::Arc;

use axum::Json;
use axum::body::Bytes;
use axum::extract::{FromRequest, Path, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use desk::envelope::{EnvelopeError, LONGEST};
use desk::{Code, Refusal, SharedDesk, WorkWire};

use crate::refused::Refused;

/// Carries out a command.
pub(crate) async fn command(
    State(desk): State<Arc<SharedDesk>>,
    Path(name): Path<String>,
    request: Request,
) -> Result<Response, Refused> {
    let work = request.headers().get(WORK).map(work_number).transpose()?;
    let envelope = read(request).await?;
    // The desk waits for the disk, and for whoever is at it already.
    let answered = tokio::task::spawn_blocking(move || desk.answer(&name, &envelope, work)).await;
    let envelope = answered.map_err(|_| Refusal::fault())??;
    Ok((
        [
            (header::CONTENT_TYPE, "application/octet-stream"),
            (header::CACHE_CONTROL, "no-store"),
        ],
        envelope,
    )
        .into_response())
}

/// Tells how far a long work is.
pub(crate) async fn work(
    State(desk): State<Arc<SharedDesk>>,
    Path(number): Path<u64>,
) -> Json<Option<WorkWire>> {
    Json(desk.work(number))
}

/// Asks a long work to stop.
pub(crate) async fn stop(State(desk): State<Arc<SharedDesk>>, Path(number): Path<u64>) -> Json<()> {
    desk.stop(number);
    Json(())
}

/// The header with the number that a call may have of its own.
const WORK: &str = "trammel-work";

fn work_number(shown: &HeaderValue) -> Result<u64, Refused> {
    let number = shown.to_str().ok().and_then(|text| text.parse().ok());
    number.ok_or_else(|| Refused::with(StatusCode::BAD_REQUEST, Code::BadRequest, "a work is a number"))
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
        &format!("the request is not taken: {}", EnvelopeError::TooLong),
    )
}
