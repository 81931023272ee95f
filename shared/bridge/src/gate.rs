//! Who is let in.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use desk::Code;

use crate::refused::Refused;
use crate::token::Token;

/// What a request is held against.
pub(crate) struct Gate {
    port: u16,
    token: Token,
}

impl Gate {
    pub(crate) fn new(port: u16, token: Token) -> Gate {
        Gate { port, token }
    }

    pub(crate) fn token(&self) -> &Token {
        &self.token
    }

    /// Whether a request was sent to this device by its own name. A page elsewhere can let its name point here, but
    /// its requests go on naming it.
    fn is_host(&self, host: &str) -> bool {
        let own = |name: &str| host.strip_prefix(name) == Some(&format!(":{}", self.port));
        own("127.0.0.1") || own("localhost")
    }

    /// Whether the page that asks is one of ours, where the browser says which it is.
    fn is_from_our_page(&self, headers: &HeaderMap) -> bool {
        let mut origins = headers.get_all(header::ORIGIN).iter();
        let known = origins.all(|origin| {
            let origin = origin.to_str().unwrap_or_default();
            origin
                .strip_prefix("http://")
                .is_some_and(|host| self.is_host(host))
        });
        let site = headers.get("sec-fetch-site");
        known && site.is_none_or(|site| site == "same-origin" || site == "none")
    }
}

/// Lets through what names this device, and comes from one of our pages or from no page.
pub(crate) async fn own_host_and_page(
    State(gate): State<Arc<Gate>>,
    request: Request,
    next: Next,
) -> Response {
    let headers = request.headers();
    let mut hosts = headers.get_all(header::HOST).iter();
    let host = hosts.next().and_then(|host| host.to_str().ok());
    let named = request.uri().host();
    if named.is_some() || hosts.next().is_some() || !host.is_some_and(|host| gate.is_host(host)) {
        return Refused::with(
            StatusCode::FORBIDDEN,
            Code::NoAccess,
            "this is for this device only: open the address as trammel serve printed it",
        )
        .into_response();
    }
    // A link from elsewhere may lead to the pages; a script from elsewhere may do nothing.
    let is_page = request.method().is_safe();
    if !is_page && !gate.is_from_our_page(headers) {
        return another_page().into_response();
    }
    next.run(request).await
}

fn another_page() -> Refused {
    Refused::with(
        StatusCode::FORBIDDEN,
        Code::NoAccess,
        "another page may not ask here: open the address as trammel serve printed it",
    )
}

/// Lets through who has the token, and comes from one of our pages or from no page, whatever the method.
pub(crate) async fn with_token(State(gate): State<Arc<Gate>>, request: Request, next: Next) -> Response {
    if !gate.is_from_our_page(request.headers()) {
        return another_page().into_response();
    }
    let mut shown = request.headers().get_all(TOKEN).iter();
    match (shown.next(), shown.next()) {
        (Some(shown), None) if gate.token.is(shown.as_bytes()) => next.run(request).await,
        _ => Refused::with(
            StatusCode::UNAUTHORIZED,
            Code::NoAccess,
            "this page has not the token of this start of Trammel: open the address that trammel serve printed",
        )
        .into_response(),
    }
}

/// The header that the token is shown in.
const TOKEN: &str = "trammel-token";
