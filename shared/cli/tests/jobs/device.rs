//! A device for one test: a folder with a store of its own, and a home that must stay empty.

use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

pub(crate) struct Device {
    folder: TempDir,
}

/// What a command left behind.
pub(crate) struct Answer {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Device {
    pub(crate) fn new() -> Device {
        let folder = TempDir::new().expect("a folder can be made");
        for part in ["home", "data", "work"] {
            std::fs::create_dir(folder.path().join(part)).expect("a folder can be made");
        }
        Device { folder }
    }

    /// Runs a command in the store of this device.
    pub(crate) fn trammel(&self, args: &[&str]) -> Answer {
        let store = self.store();
        let store = store.to_str().expect("the path is text");
        self.without_store(&[args, &["--store", store]].concat(), &[])
    }

    /// Runs a command with nothing said about the store.
    pub(crate) fn without_store(&self, args: &[&str], set: &[(&str, &str)]) -> Answer {
        let output = Command::new(env!("CARGO_BIN_EXE_trammel"))
            .args(args)
            .current_dir(self.work())
            .env("HOME", self.folder.path().join("home"))
            .env("USERPROFILE", self.folder.path().join("home"))
            .env("APPDATA", self.folder.path().join("data"))
            .env("XDG_DATA_HOME", self.folder.path().join("data"))
            .env("XDG_CONFIG_HOME", self.folder.path().join("home/.config"))
            .env_remove("TRAMMEL_STORE")
            .env_remove("TRAMMEL_BY")
            .envs(set.iter().copied())
            .output()
            .expect("trammel runs");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("what is printed is UTF-8");
        Answer {
            code: output.status.code().expect("it ended by itself"),
            out: text(output.stdout),
            err: text(output.stderr),
        }
    }

    /// Runs a command that must succeed.
    pub(crate) fn done(&self, args: &[&str]) -> Answer {
        let answer = self.trammel(args);
        assert_eq!(answer.code, 0, "{args:?}: {}{}", answer.out, answer.err);
        answer
    }

    /// Runs a command whose answer must be JSON and nothing else.
    pub(crate) fn json(&self, args: &[&str]) -> serde_json::Value {
        serde_json::from_str(&self.done(args).out).expect("JSON alone")
    }

    pub(crate) fn store(&self) -> PathBuf {
        self.work().join("store")
    }

    fn work(&self) -> PathBuf {
        self.folder.path().join("work")
    }

    /// The path of a file in the folder where commands run.
    pub(crate) fn at(&self, name: &str) -> String {
        self.work()
            .join(name)
            .to_str()
            .expect("the path is text")
            .to_owned()
    }

    pub(crate) fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.work().join(name), bytes).expect("a file can be written");
    }

    pub(crate) fn read(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.work().join(name)).expect("the file is there")
    }

    pub(crate) fn write_demo_sheets(&self) {
        for (name, text) in desk::demo::SHEETS {
            self.write(name, text.as_bytes());
        }
    }

    /// The names in the folder where commands run.
    pub(crate) fn files(&self) -> Vec<String> {
        names(&self.work())
    }

    pub(crate) fn data_folder_is_empty(&self) -> bool {
        names(&self.folder.path().join("data")).is_empty()
            && names(&self.folder.path().join("home")).is_empty()
    }

    /// Nothing was written to the home and the data folder.
    pub(crate) fn stayed_in_its_store(&self) {
        assert!(self.data_folder_is_empty());
    }

    /// Changes a byte in each kilobyte of the database.
    pub(crate) fn spoil_database(&self) {
        let path = self.store().join("trammel.sqlite");
        let mut bytes = std::fs::read(&path).expect("the database is there");
        assert!(bytes.len() > 4096, "there is something to spoil");
        for place in (100..bytes.len()).step_by(997) {
            bytes[place] ^= 0x5a;
        }
        std::fs::write(path, bytes).expect("it can be written");
    }

    /// Writes over the beginning of every photo that is kept.
    pub(crate) fn spoil_photos(&self) {
        let mut spoilt = 0;
        let mut folders = vec![self.store()];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).expect("the store can be listed") {
                let path = entry.expect("an entry").path();
                if path.is_dir() {
                    folders.push(path);
                } else if std::fs::read(&path)
                    .expect("a file can be read")
                    .starts_with(b"\xff\xd8")
                {
                    std::fs::write(&path, b"not a photo any more").expect("a file can be written");
                    spoilt += 1;
                }
            }
        }
        assert!(spoilt > 0, "no photo is kept as a file");
    }
}

/// Text with its line ends as spaces.
pub(crate) fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(crate) fn lines_fit(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}\nin\n{text}");
    }
}

/// A JPEG that says where it was taken.
pub(crate) fn photo_with_position() -> Vec<u8> {
    let mut jpeg = Vec::new();
    image::RgbImage::from_fn(64, 48, |x, y| image::Rgb([x as u8, y as u8, 90]))
        .write_to(&mut std::io::Cursor::new(&mut jpeg), image::ImageFormat::Jpeg)
        .expect("a picture can be written");
    let position = exif::Field {
        tag: exif::Tag::GPSLatitudeRef,
        ifd_num: exif::In::PRIMARY,
        value: exif::Value::Ascii(vec![b"N".to_vec()]),
    };
    let mut note = std::io::Cursor::new(Vec::new());
    let mut writer = exif::experimental::Writer::new();
    writer.push_field(&position);
    writer.write(&mut note, false).expect("a note can be written");
    let body = [b"Exif\0\0".as_slice(), &note.into_inner()].concat();
    let length = u16::try_from(body.len() + 2)
        .expect("the note is short")
        .to_be_bytes();
    // After the mark that begins a JPEG.
    [&jpeg[..2], b"\xff\xe1", &length, &body, &jpeg[2..]].concat()
}

/// Whether a photo says where it was taken.
pub(crate) fn has_position(jpeg: &[u8]) -> bool {
    let read = exif::Reader::new().read_from_container(&mut std::io::Cursor::new(jpeg));
    read.is_ok_and(|note| {
        note.get_field(exif::Tag::GPSLatitudeRef, exif::In::PRIMARY)
            .is_some()
    })
}

fn names(folder: &Path) -> Vec<String> {
    std::fs::read_dir(folder)
        .expect("a folder can be listed")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect()
}
