//! From start to end.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{DefaultBodyLimit, Request};
use axum::http::HeaderValue;
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::Response;
use axum::routing::{get, post};
use desk::SharedDesk;
use desk::envelope::LONGEST;
use tokio::net::TcpListener;
use tokio::runtime::Runtime;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

use crate::commands;
use crate::gate::{Gate, own_host_and_page, with_token};
use crate::pages::{HEADERS, page, wrong_method};
use crate::pictures;
use crate::token::Token;

/// Why nothing is served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// Somebody else listens at the port, or it may not be had.
    #[error("port {port} cannot be had: {why}")]
    Port {
        /// The port.
        port: u16,
        /// What the system says.
        why: std::io::Error,
    },
    /// The system gives no random numbers.
    #[error("no token can be made: {0}")]
    Token(#[from] getrandom::Error),
    /// The system gives no threads, or no signals.
    #[error("it cannot be served: {0}")]
    System(std::io::Error),
}

/// What is being served. Dropping it ends it at once; [`stop`](Serving::stop) lets calls come to their end.
pub struct Serving {
    address: SocketAddr,
    gate: Arc<Gate>,
    stop: oneshot::Sender<()>,
    served: JoinHandle<std::io::Result<()>>,
    runtime: Runtime,
}

/// Serves the pages and the desk's commands on 127.0.0.1 at that port; at a free one where it is 0.
///
/// # Errors
/// Where the port cannot be had or the system fails.
pub fn serve(desk: Arc<SharedDesk>, port: u16) -> Result<Serving, ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(ServeError::System)?;
    let no_port = |why| ServeError::Port { port, why };
    let listener = runtime
        .block_on(TcpListener::bind((Ipv4Addr::LOCALHOST, port)))
        .map_err(no_port)?;
    let address = listener.local_addr().map_err(no_port)?;
    let gate = Arc::new(Gate::new(address.port(), Token::fresh()?));
    let (stop, stopped) = oneshot::channel::<()>();
    let server = axum::serve(listener, router(desk, Arc::clone(&gate))).with_graceful_shutdown(async {
        // A sender that was dropped is an end too.
        let _ = stopped.await;
    });
    let served = runtime.spawn(async move { server.await });
    Ok(Serving {
        address,
        gate,
        stop,
        served,
        runtime,
    })
}

impl Serving {
    /// Where.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// What a request must carry as `Trammel-Token`.
    pub fn token(&self) -> &str {
        self.gate.token().as_str()
    }

    /// The address to open in a browser. What follows the `#` stays in the browser.
    pub fn link(&self) -> String {
        format!("http://{}/#token={}", self.address, self.token())
    }

    /// Serves until the person at the terminal interrupts it, or the system ends the program.
    ///
    /// # Errors
    /// Where the system does not tell of interrupts.
    pub fn until_interrupted(self) -> Result<(), ServeError> {
        self.runtime.block_on(interrupted()).map_err(ServeError::System)?;
        self.stop();
        Ok(())
    }

    /// Takes no more calls, and ends when those that came are answered, or after some seconds.
    pub fn stop(self) {
        const AT_MOST: Duration = Duration::from_secs(5);
        // Who listens for it may have ended already.
        let _ = self.stop.send(());
        let _ = self
            .runtime
            .block_on(async { tokio::time::timeout(AT_MOST, self.served).await });
        self.runtime.shutdown_timeout(AT_MOST);
    }
}

fn router(desk: Arc<SharedDesk>, gate: Arc<Gate>) -> Router {
    Router::new()
        .route("/desk/{command}", post(commands::command))
        .route("/work/{number}", post(commands::work))
        .route("/stop/{number}", post(commands::stop))
        .route("/photo/{size}/{hash}", get(pictures::picture))
        .method_not_allowed_fallback(wrong_method)
        .route_layer(from_fn_with_state(Arc::clone(&gate), with_token))
        .layer(DefaultBodyLimit::max(LONGEST))
        .fallback(page)
        .layer(from_fn_with_state(gate, own_host_and_page))
        .layer(from_fn(with_headers))
        .with_state(desk)
}

async fn with_headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    for (name, value) in HEADERS {
        response
            .headers_mut()
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    response
}

#[cfg(unix)]
async fn interrupted() -> std::io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut ended = signal(SignalKind::terminate())?;
    tokio::select! {
        interrupted = tokio::signal::ctrl_c() => interrupted,
        _ = ended.recv() => Ok(()),
    }
}

#[cfg(not(unix))]
async fn interrupted() -> std::io::Result<()> {
    tokio::signal::ctrl_c().await
}
