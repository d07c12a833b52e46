//! The folder of a backup: writing it, checking it, and bringing a store back from it.

use crate::api::{BackupFile, Manifest, Store};
use crate::error::{Error, Result};
use crate::pictures::{hash_file, hex, sync_dir};
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::{Component, Path, PathBuf};
use uuid::Uuid;

/// The version of the shape of a backup.
pub(crate) const BACKUP_VERSION: u32 = 1;
const MANIFEST: &str = "manifest.json";

/// A backup that is being written.
pub(crate) struct Writing {
    dir: PathBuf,
    files: Vec<BackupFile>,
}

/// A file of it that is being written.
pub(crate) struct Lines {
    name: String,
    path: PathBuf,
    out: BufWriter<File>,
    hash: Sha256,
    bytes: u64,
}

impl Lines {
    pub fn line(&mut self, text: &str) -> Result<()> {
        for piece in [text.as_bytes(), b"\n"] {
            self.hash.update(piece);
            self.bytes += piece.len() as u64;
            self.out.write_all(piece).map_err(Error::at(&self.path))?;
        }
        Ok(())
    }
}

impl Writing {
    /// Begins a backup in a folder that is empty or not there.
    pub fn begin(dir: &Path) -> Result<Self> {
        std::fs::create_dir_all(dir).map_err(Error::at(dir))?;
        if std::fs::read_dir(dir).map_err(Error::at(dir))?.next().is_some() {
            return Err(Error::NotEmpty);
        }
        Ok(Writing { dir: dir.to_owned(), files: Vec::new() })
    }

    pub fn file(&mut self, name: &str) -> Result<Lines> {
        let path = self.dir.join(name);
        let out = BufWriter::new(File::create(&path).map_err(Error::at(&path))?);
        Ok(Lines { name: name.to_owned(), path, out, hash: Sha256::new(), bytes: 0 })
    }

    pub fn end(&mut self, file: Lines) -> Result<()> {
        let Lines { name, path, out, hash, bytes } = file;
        let out = out.into_inner().map_err(|e| Error::at(&path)(e.into_error()))?;
        out.sync_all().map_err(Error::at(&path))?;
        self.files.push(BackupFile { name, bytes, sha256: hex(&hash.finalize()) });
        Ok(())
    }

    /// Copies a file in. What is written down is the hash of the copy.
    pub fn copy(&mut self, from: &Path, name: &str) -> Result<()> {
        let path = self.dir.join(name);
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder).map_err(Error::at(folder))?;
        }
        std::fs::copy(from, &path).map_err(Error::at(from))?;
        File::open(&path).and_then(|file| file.sync_all()).map_err(Error::at(&path))?;
        let (sha256, bytes) = hash_file(&path)?;
        self.files.push(BackupFile { name: name.to_owned(), bytes, sha256 });
        Ok(())
    }

    /// Writes the manifest, by which a backup is known to be whole.
    pub fn finish(self, manifest: Manifest) -> Result<Manifest> {
        let manifest = Manifest { files: self.files, ..manifest };
        let text = serde_json::to_string_pretty(&manifest).map_err(Error::failed)?;
        let path = self.dir.join(MANIFEST);
        let mut file = File::create(&path).map_err(Error::at(&path))?;
        file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(Error::at(&path))?;
        sync_dir(&self.dir)?;
        Ok(manifest)
    }
}

/// Returns the manifest of a backup.
pub(crate) fn read_manifest(dir: &Path) -> Result<Manifest> {
    let path = dir.join(MANIFEST);
    let text = std::fs::read(&path).map_err(|e| Error::Backup {
        why: format!("{}: {e}; a backup has a manifest, written last", path.display()),
    })?;
    let manifest: Manifest = serde_json::from_slice(&text)
        .map_err(|e| Error::Backup { why: format!("{}: {e}", path.display()) })?;
    if manifest.gastight_backup > BACKUP_VERSION {
        return Err(Error::Newer {
            found: i64::from(manifest.gastight_backup),
            known: i64::from(BACKUP_VERSION),
        });
    }
    Ok(manifest)
}

/// Checks every file of a backup against its manifest, and returns the manifest.
///
/// # Errors
/// [`Error::Backup`] with the first file that is missing or changed.
pub fn check_backup(dir: &Path) -> Result<Manifest> {
    let manifest = read_manifest(dir)?;
    for file in &manifest.files {
        let plain = Path::new(&file.name).components().all(|part| matches!(part, Component::Normal(_)));
        if !plain {
            return Err(Error::Backup { why: format!("{} leads out of the backup", file.name) });
        }
        let path = dir.join(&file.name);
        let (sha256, bytes) =
            hash_file(&path).map_err(|e| Error::Backup { why: format!("{}: {e}", file.name) })?;
        if bytes != file.bytes || sha256 != file.sha256 {
            return Err(Error::Backup {
                why: format!(
                    "{} has {bytes} bytes and the hash {sha256}; the manifest says {} bytes and {}",
                    file.name, file.bytes, file.sha256
                ),
            });
        }
    }
    Ok(manifest)
}

/// Fills an empty store from a backup, after checking all of it. The store gets `epoch`, which must be new, so that
/// phones send again what they have: what came after the backup was made is only with them.
///
/// # Errors
/// [`Error::NotEmpty`], [`Error::Backup`], [`Error::Newer`].
pub fn restore(store: &dyn Store, from: &Path, epoch: Uuid) -> Result<Manifest> {
    let manifest = check_backup(from)?;
    let counts = store.counts()?;
    if counts.events > 0 || counts.people > 0 {
        return Err(Error::NotEmpty);
    }
    store.fill(from, epoch)?;
    Ok(manifest)
}
