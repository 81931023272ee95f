use super::*;
use crate::store::files::hex;
use crate::store::{PhotoError, Thumbnail, Wrong};

#[test]
fn a_photo_is_given_back_as_it_was_put() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let id = put_picture(&mut store, 3);
    drop(store);
    let store = open_whole(folder.path());
    assert!(store.has_photo(&id).unwrap());
    let photo = store.photo(&id).unwrap();
    assert_eq!(photo.original, picture(3));
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

#[test]
fn an_id_that_is_not_the_hash_of_the_original_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = open_whole(folder.path());
    let photo = PhotoRow {
        id: [1; 32],
        media_type: "image/png",
        width: 1,
        height: 1,
        original: b"x",
        small: b"y",
        large: b"z",
    };
    assert!(matches!(store.put_photo(&photo), Err(PhotoError::Damaged { .. })));
    assert!(!store.has_photo(&[1; 32]).unwrap());
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
    assert_eq!(store.photo(&changed).unwrap().original, picture(2));
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
    assert_eq!(store.photo(&id).unwrap().original, original);
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
