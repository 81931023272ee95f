//! A refusal as an answer.

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use desk::{Code, Refusal};

/// A refusal and the status that goes with it.
pub(crate) struct Refused {
    status: StatusCode,
    refusal: Refusal,
}

impl Refused {
    /// The request is turned away before the desk sees it.
    pub(crate) fn with(status: StatusCode, code: Code, message: &str) -> Refused {
        let refusal = Refusal {
            code,
            message: message.to_owned(),
            problems: Vec::new(),
        };
        Refused { status, refusal }
    }
}

impl From<Refusal> for Refused {
    fn from(refusal: Refusal) -> Refused {
        let status = match refusal.code {
            Code::BadRequest => StatusCode::BAD_REQUEST,
            _ => StatusCode::UNPROCESSABLE_ENTITY,
        };
        Refused { status, refusal }
    }
}

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        let mut response = (self.status, Json(self.refusal.wire())).into_response();
        response
            .headers_mut()
            .insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        response
    }
}
