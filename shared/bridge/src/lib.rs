//! Trammel in a browser of the same device: its pages, and desk's commands over HTTP.
//!
//! [`serve`] listens on 127.0.0.1 and nowhere else. Pages are for everybody on the device; a command is carried out
//! and a picture given only for who has the [token](Serving::token), which is made afresh at each start and travels in
//! the part of the address that a browser sends to nobody ([`Serving::link`]).
//!
//! | request | answer |
//! | --- | --- |
//! | `GET /…` | a file of the pages |
//! | `GET /photo/<small, large or original>/<hash>` | the picture of a photo; the token is asked for as with commands |
//! | `POST /desk/<command>` | the command's answer; both are [envelopes](desk::envelope) |
//! | `POST /work/<number>` | how far the call is that carries this number as `Trammel-Work`, as JSON |
//! | `POST /stop/<number>` | `null`; the call with this number is asked to stop |
//!
//! Whatever is refused is answered with a status of 400 to 499 and a [`desk::RefusalWire`] as JSON.
//!
//! Invariant: nothing here knows a command by its name, and nothing is computed. Requests that name another host or
//! come from another page's script are refused before anything else is looked at.

mod commands;
mod gate;
mod pages;
mod pictures;
mod refused;
mod serving;
mod token;

pub use pages::has_pages;
pub use serving::{ServeError, Serving, serve};
