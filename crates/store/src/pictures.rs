//! Pictures: files named by their hash, in a folder beside the database.

use crate::api::PictureState;
use crate::error::{Error, Result};
use record::sync::{CHUNK_BYTES, PICTURE_BYTES};
use sha2::{Digest, Sha256};
use std::fs::{File, OpenOptions};
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// The pictures of a store.
///
/// A picture on its way is `begun/NAME`; whole it is `NA/NAME`, where `NA` are the first two digits. The file itself
/// says how much is here: no table can disagree with it.
pub(crate) struct Pictures {
    dir: PathBuf,
    /// One upload at a time; a piece is small and a second one of the same picture must not come between.
    lock: Mutex<()>,
}

/// Returns a name in small letters, if it is the hexadecimal SHA-256 of something.
pub(crate) fn name(given: &str) -> Result<String> {
    if given.len() == 64 && given.bytes().all(|b| b.is_ascii_hexdigit()) {
        return Ok(given.to_ascii_lowercase());
    }
    Err(Error::NotAHash { given: given.chars().take(80).collect() })
}

/// Returns the SHA-256 of a file in hexadecimal, and its size.
pub(crate) fn hash_file(path: &Path) -> Result<(String, u64)> {
    let mut file = File::open(path).map_err(Error::at(path))?;
    let mut hash = Sha256::new();
    let mut piece = vec![0; 64 * 1024];
    let mut size = 0;
    loop {
        let count = file.read(&mut piece).map_err(Error::at(path))?;
        if count == 0 {
            break;
        }
        hash.update(&piece[..count]);
        size += count as u64;
    }
    Ok((hex(&hash.finalize()), size))
}

/// Returns bytes in hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    bytes.iter().fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
        // Writing to a string does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Makes the names in a folder durable, where the system allows it.
pub(crate) fn sync_dir(dir: &Path) -> Result<()> {
    match File::open(dir) {
        Ok(open) => open.sync_all().map_err(Error::at(dir)),
        Err(_) if cfg!(windows) => Ok(()),
        Err(e) => Err(Error::at(dir)(e)),
    }
}

impl Pictures {
    pub fn open(dir: &Path) -> Result<Self> {
        let begun = dir.join("begun");
        std::fs::create_dir_all(&begun).map_err(Error::at(&begun))?;
        Ok(Pictures { dir: dir.to_owned(), lock: Mutex::new(()) })
    }

    fn alone(&self) -> MutexGuard<'_, ()> {
        self.lock.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn begun(&self, name: &str) -> PathBuf {
        self.dir.join("begun").join(name)
    }

    /// Returns where a whole picture stands.
    pub fn place(&self, name: &str) -> PathBuf {
        self.dir.join(&name[..2]).join(name)
    }

    pub fn state(&self, given: &str) -> Result<PictureState> {
        let name = name(given)?;
        let size = |path: PathBuf| match std::fs::metadata(&path) {
            Ok(data) => Ok(Some(data.len())),
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(e) => Err(Error::at(&path)(e)),
        };
        if let Some(offset) = size(self.place(&name))? {
            return Ok(PictureState { offset, complete: true });
        }
        Ok(PictureState { offset: size(self.begun(&name))?.unwrap_or(0), complete: false })
    }

    pub fn append(&self, given: &str, offset: u64, bytes: &[u8]) -> Result<u64> {
        let name = name(given)?;
        if bytes.len() > CHUNK_BYTES {
            return Err(Error::ChunkTooLarge { given: bytes.len(), most: CHUNK_BYTES });
        }
        let _alone = self.alone();
        let state = self.state(&name)?;
        let end = offset.saturating_add(bytes.len() as u64);
        // What came twice because its reply was lost changes nothing.
        if end <= state.offset || state.complete {
            return Ok(state.offset);
        }
        if offset > state.offset {
            return Err(Error::Offset { expected: state.offset, given: offset });
        }
        if end > PICTURE_BYTES {
            return Err(Error::PictureTooLarge { given: end, most: PICTURE_BYTES });
        }
        let path = self.begun(&name);
        let mut file = OpenOptions::new()
            .create(true)
            .write(true)
            .truncate(false)
            .open(&path)
            .map_err(Error::at(&path))?;
        file.seek(SeekFrom::Start(offset)).map_err(Error::at(&path))?;
        file.write_all(bytes).map_err(Error::at(&path))?;
        Ok(end)
    }

    pub fn finish(&self, given: &str) -> Result<()> {
        let name = name(given)?;
        let _alone = self.alone();
        if self.place(&name).exists() {
            return Ok(());
        }
        let begun = self.begun(&name);
        if !begun.exists() {
            return Err(Error::NotFound { what: "picture" });
        }
        let (found, _) = hash_file(&begun)?;
        if found != name {
            std::fs::remove_file(&begun).map_err(Error::at(&begun))?;
            return Err(Error::HashMismatch { named: name, found });
        }
        self.keep(&begun, &name)
    }

    /// Moves a file whose hash was checked to its place, durably.
    fn keep(&self, file: &Path, name: &str) -> Result<()> {
        let place = self.place(name);
        let folder = self.dir.join(&name[..2]);
        if !folder.exists() {
            std::fs::create_dir_all(&folder).map_err(Error::at(&folder))?;
            sync_dir(&self.dir)?;
        }
        OpenOptions::new()
            .write(true)
            .open(file)
            .and_then(|open| open.sync_all())
            .map_err(Error::at(file))?;
        std::fs::rename(file, &place).map_err(Error::at(file))?;
        sync_dir(&folder)
    }

    pub fn whole(&self, given: &str) -> Result<Option<PathBuf>> {
        let place = self.place(&name(given)?);
        Ok(place.is_file().then_some(place))
    }

    /// Takes a file in as it is, if its hash is its name.
    pub fn take_in(&self, file: &Path, given: &str) -> Result<()> {
        let name = name(given)?;
        let _alone = self.alone();
        if self.place(&name).exists() {
            return Ok(());
        }
        let copy = self.begun(&name);
        std::fs::copy(file, &copy).map_err(Error::at(file))?;
        let (found, _) = hash_file(&copy)?;
        if found != name {
            std::fs::remove_file(&copy).map_err(Error::at(&copy))?;
            return Err(Error::HashMismatch { named: name, found });
        }
        self.keep(&copy, &name)
    }

    /// Deletes a picture, whole or begun.
    pub fn delete(&self, name: &str) -> Result<()> {
        let _alone = self.alone();
        for path in [self.place(name), self.begun(name)] {
            match std::fs::remove_file(&path) {
                Ok(()) => {}
                Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
                Err(e) => return Err(Error::at(&path)(e)),
            }
        }
        Ok(())
    }

    /// Returns the names of the whole pictures, in order.
    pub fn all(&self) -> Result<Vec<String>> {
        let mut names = Vec::new();
        for folder in entries(&self.dir)? {
            let short = folder.file_name().and_then(|n| n.to_str()).is_some_and(|n| n.len() == 2);
            if short {
                names.extend(file_names(&folder)?);
            }
        }
        names.retain(|found| name(found).is_ok());
        names.sort_unstable();
        Ok(names)
    }

    /// Returns how many uploads are begun.
    pub fn begun_count(&self) -> Result<u64> {
        Ok(entries(&self.dir.join("begun"))?.len() as u64)
    }
}

fn entries(dir: &Path) -> Result<Vec<PathBuf>> {
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(dir).map_err(Error::at(dir))? {
        paths.push(entry.map_err(Error::at(dir))?.path());
    }
    paths.sort_unstable();
    Ok(paths)
}

fn file_names(dir: &Path) -> Result<Vec<String>> {
    Ok(entries(dir)?
        .iter()
        .filter_map(|path| path.file_name().and_then(|name| name.to_str()).map(str::to_owned))
        .collect())
}
