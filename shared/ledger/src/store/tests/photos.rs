use super::*;
use crate::store::files::hex;
use crate::store::{DATABASE, PhotoError, Thumbnail, Wrong};

#[test]
fn a_photo_is_given_back_as_it_was_put() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let id = put_picture(&mut store, 3);
    drop(store);
    let store = open_whole(folder.path());
    assert!(store.has_photo(&id).unwrap());
    let photo = store.photo(&id).unwrap();
    assert_eq!(photo.bytes, picture(3));
    assert_eq!(
        (photo.media_type.as_str(), photo.width, photo.height),
        ("image/png", 12, 8)
    );
    assert_eq!(store.thumbnail(&id, Thumbnail::Small).unwrap(), [3; 40]);
    assert_eq!(store.thumbnail(&id, Thumbnail::Large).unwrap(), [3; 400]);
    assert_nothing_wrong(&store);
}

#[test]
fn a_photo_is_stored_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    put_picture(&mut store, 3);
    let newest = store.newest;
    put_picture(&mut store, 3);
    assert_eq!(store.newest, newest);
    assert_eq!(store.photos().unwrap().len(), 1);
    assert_eq!(
        std::fs::read_dir(folder.path().join("photos")).unwrap().count(),
        1
    );
}

/// The same photo as another device lets it go: another file under the same id.
fn put_let_go(store: &mut Store, number: u8) -> ([u8; 32], Vec<u8>) {
    let id = *blake3::hash(&picture(number)).as_bytes();
    let bytes = picture(number + 100);
    let photo = PhotoRow {
        id,
        media_type: "image/png",
        width: 12,
        height: 8,
        bytes: &bytes,
        small: &[number; 40],
        large: &[number; 400],
    };
    store.put_photo(&photo).unwrap();
    (id, bytes)
}

#[test]
fn what_another_device_let_go_makes_room_for_the_original_only() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let (id, let_go) = put_let_go(&mut store, 1);
    let photo = store.photo(&id).unwrap();
    assert_eq!((photo.bytes, photo.is_original), (let_go, false));
    assert_nothing_wrong(&store);

    put_picture(&mut store, 1);
    put_let_go(&mut store, 1);
    let photo = store.photo(&id).unwrap();
    assert_eq!((photo.bytes, photo.is_original), (picture(1), true));
    assert_eq!(store.photos().unwrap(), [id]);
    drop(store);
    assert_nothing_wrong(&open_whole(folder.path()));
}

#[test]
fn what_another_device_let_go_is_listed_again_from_its_file() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let (id, let_go) = put_let_go(&mut store, 1);
    drop(store);
    std::fs::remove_file(folder.path().join(DATABASE)).unwrap();
    let opened = open(folder.path());
    assert_eq!(opened.report.unwrap().photos.remade, [id]);
    let photo = opened.store.photo(&id).unwrap();
    assert_eq!((photo.bytes, photo.is_original), (let_go, false));
}

#[test]
fn a_lost_original_is_replaced_by_what_another_device_let_go() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let id = put_picture(&mut store, 1);
    std::fs::remove_file(folder.path().join("photos").join(hex(&id))).unwrap();
    assert!(matches!(store.photo(&id), Err(PhotoError::FileMissing { .. })));
    let (_, let_go) = put_let_go(&mut store, 1);
    assert_eq!(store.photo(&id).unwrap().bytes, let_go);
    assert_nothing_wrong(&store);
}

#[test]
fn a_damaged_or_missing_original_is_told_and_mended_by_putting_it_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let (gone, changed) = (put_picture(&mut store, 1), put_picture(&mut store, 2));
    let path = |id: &[u8; 32]| folder.path().join("photos").join(hex(id));
    std::fs::remove_file(path(&gone)).unwrap();
    let mut bytes = picture(2);
    bytes[20] ^= 1;
    std::fs::write(path(&changed), &bytes).unwrap();

    assert!(matches!(store.photo(&gone), Err(PhotoError::FileMissing { .. })));
    assert!(matches!(store.photo(&changed), Err(PhotoError::Damaged { .. })));
    assert!(matches!(
        store.photo(&[9; 32]),
        Err(PhotoError::NoSuchPhoto { .. })
    ));
    assert!(matches!(
        store.thumbnail(&[9; 32], Thumbnail::Small),
        Err(PhotoError::NoSuchPhoto { .. })
    ));
    let wrong = store.check().unwrap().wrong;
    assert_eq!(wrong.len(), 2);
    assert!(wrong.contains(&Wrong::PhotoMissing { photo: hex(&gone) }));
    assert!(wrong.contains(&Wrong::PhotoDamaged { photo: hex(&changed) }));

    put_picture(&mut store, 1);
    put_picture(&mut store, 2);
    assert_eq!(store.photo(&changed).unwrap().bytes, picture(2));
    assert_nothing_wrong(&store);
}

#[test]
fn half_written_files_are_removed_and_a_file_without_a_row_is_taken_in() {
    let folder = tempfile::tempdir().unwrap();
    drop(open_whole(folder.path()));
    let photos = folder.path().join("photos");
    let original = picture(4);
    let id = *blake3::hash(&original).as_bytes();
    std::fs::write(photos.join(hex(&id)), &original).unwrap();
    std::fs::write(photos.join(format!("{}.part", hex(&[5; 32]))), b"half").unwrap();
    std::fs::write(photos.join("holiday.txt"), b"not ours").unwrap();

    let mut store = open_whole(folder.path());
    assert_eq!(store.photo(&id).unwrap().bytes, original);
    assert_eq!(store.photos_without_thumbnails().unwrap(), [id]);
    assert!(matches!(
        store.thumbnail(&id, Thumbnail::Large),
        Err(PhotoError::NoThumbnail { edge: 1280, .. })
    ));
    assert!(!photos.join(format!("{}.part", hex(&[5; 32]))).exists());
    assert!(photos.join("holiday.txt").exists());
    put_picture(&mut store, 4);
    assert_eq!(store.photos_without_thumbnails().unwrap(), [[0; 32]; 0]);
    assert_nothing_wrong(&store);
}
