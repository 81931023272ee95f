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
    // Whatever is not a size and a hash is refused by the desk.
    let path = request.uri().path().trim_start_matches('/');
    let (size, photo) = path.split_once('/').unwrap_or((path, ""));
    let picture = match desk {
        Some(desk) => desk.picture(size, photo),
        None => Err(Refusal::fault()),
    };
    let made = match picture {
        Ok(picture) => Response::builder()
            .header(header::CONTENT_TYPE, picture.media_type)
            .header(header::CACHE_CONTROL, "private, max-age=31536000, immutable")
            .header(header::X_CONTENT_TYPE_OPTIONS, "nosniff")
            .body(picture.bytes),
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

#[cfg(test)]
mod tests {
    use desk::{AddPhoto, Desk, Device};

    use super::*;

    const PHOTO: &[u8] = include_bytes!("../../tests/data/photos/shell-lying.jpg");

    fn asked(desk: Option<&SharedDesk>, address: &str) -> Response<Vec<u8>> {
        let request = Request::builder().uri(address).body(Vec::new());
        answered(desk, &request.expect("it is an address"))
    }

    #[test]
    fn a_photo_is_shown_by_its_size_and_its_hash_and_by_nothing_else() {
        let folder = tempfile::tempdir().expect("a folder can be made");
        let path = folder.path().to_owned();
        let desk = SharedDesk::new(move || Desk::open(&path, Box::new(Device)));
        let hash = desk.with(|desk| {
            desk.new_job("shell", None, Some("Anna"))?;
            Ok(desk.add_photo(None, &AddPhoto::default(), PHOTO, None)?.photo.id)
        });
        let hash = hash.expect("it is a photo");

        let shown = asked(Some(&desk), &format!("photo://localhost/original/{hash}"));
        assert_eq!(shown.status(), StatusCode::OK);
        assert_eq!(shown.headers()[header::CONTENT_TYPE], "image/jpeg");
        assert_eq!(shown.headers()[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
        assert!(
            shown.headers()[header::CACHE_CONTROL]
                .to_str()
                .is_ok_and(|said| said.contains("immutable"))
        );
        assert_eq!(shown.body(), PHOTO);
        let small = asked(Some(&desk), &format!("photo://localhost/small/{hash}"));
        assert!(small.status() == StatusCode::OK && small.body().len() < PHOTO.len());

        let unknown = format!("photo://localhost/small/{}", "0".repeat(64));
        assert_eq!(asked(Some(&desk), &unknown).status(), StatusCode::NOT_FOUND);
        for address in [
            "photo://localhost/".to_owned(),
            format!("photo://localhost/{hash}"),
            format!("photo://localhost/to-leave/../original/{hash}"),
            format!("photo://localhost/huge/{hash}"),
            format!("photo://localhost/small/{hash}/"),
            "photo://localhost/small/..%2f..%2fetc%2fpasswd".to_owned(),
        ] {
            let refused = asked(Some(&desk), &address);
            assert_eq!(refused.status(), StatusCode::BAD_REQUEST, "{address}");
            assert_eq!(
                refused.headers()[header::CONTENT_TYPE],
                "text/plain; charset=utf-8"
            );
        }
    }

    #[test]
    fn before_there_is_a_desk_nothing_is_shown() {
        let refused = asked(None, &format!("photo://localhost/small/{}", "0".repeat(64)));
        assert_eq!(refused.status(), StatusCode::INTERNAL_SERVER_ERROR);
    }
}
