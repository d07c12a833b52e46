//! The phone's whole record as files: the last resort, and the way to another phone.

use crate::app::App;
use crate::browser::{document, fault_text};
use crate::clock::now_ms;
use crate::entering::NotSaved;
use crate::photo::blob_of;
use crate::store::{Fault, StoredPicture};
use js_sys::Uint8Array;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{File, HtmlAnchorElement, Url};

/// What was taken in from a file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TakenIn {
    /// Events that were new.
    pub new: u32,
    /// Events in the file.
    pub read: usize,
    /// Lines that are no events; they are left out.
    pub aside: usize,
    /// Pictures.
    pub pictures: usize,
}

impl App {
    /// Gives the whole record of this phone as one log file, the events held back and those not yet sent with it.
    ///
    /// # Errors
    /// [`NotSaved`] where the store cannot be read.
    pub async fn export_record(self) -> Result<(), NotSaved> {
        let store = self.store().await?;
        let mut text = record::write_log(&[]);
        for line in store.all_lines().await?.into_iter().chain(store.held_lines().await?) {
            text.push_str(&line);
            text.push('\n');
        }
        save_file(&format!("gastight-{}.jsonl", day()), text.as_bytes(), "application/jsonl")
    }

    /// Gives every picture on this phone as one tar file.
    ///
    /// # Errors
    /// [`NotSaved`] where the store cannot be read.
    pub async fn export_pictures(self) -> Result<(), NotSaved> {
        let store = self.store().await?;
        let mut tar = Vec::new();
        for name in store.picture_names().await? {
            if let Some(picture) = store.picture(&name).await? {
                add_to_tar(&mut tar, &format!("{name}.jpg"), &picture.bytes);
            }
        }
        // A tar file ends with two empty blocks.
        tar.resize(tar.len() + 2 * BLOCK, 0);
        save_file(&format!("gastight-{}-pictures.tar", day()), &tar, "application/x-tar")
    }

    /// Takes the shop's price list in from its file; what stood before goes only where the new one can be read.
    ///
    /// # Errors
    /// A sentence: the file cannot be read, or its first mistake with its line.
    pub async fn take_prices(self, file: &File) -> Result<(), String> {
        let buffer = JsFuture::from(file.array_buffer()).await.map_err(|fault| fault_text(&fault))?;
        let bytes = Uint8Array::new(&buffer).to_vec();
        match record::read_prices(&bytes) {
            Ok(_) => {
                let text = String::from_utf8_lossy(&bytes).into_owned();
                self.set(|settings| settings.prices = Some(text));
                Ok(())
            }
            Err(found) => {
                let first = found.first.first();
                let why = first.map(|one| self.say(&job::problems::sentence(one))).unwrap_or_default();
                let line = first.map_or(0, |one| one.line);
                Err(self.say(&report::Message::new("app-prices-wrong").with("line", line).with("why", why)))
            }
        }
    }

    /// Takes in a file that [`App::export_record`] or [`App::export_pictures`] gave, here or elsewhere.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing of the file's events is taken in.
    pub async fn take_in(self, file: &File) -> Result<TakenIn, NotSaved> {
        let buffer =
            JsFuture::from(file.array_buffer()).await.map_err(|fault| NotSaved::Other(fault_text(&fault)))?;
        let bytes = Uint8Array::new(&buffer).to_vec();
        let store = self.store().await?;
        let mut taken = TakenIn::default();
        if let Some(files) = read_tar(&bytes) {
            for (_, bytes) in files {
                let sha256 = record::sha256(bytes);
                let kind = "image/jpeg".to_owned();
                store.put_picture(&StoredPicture { sha256, kind, bytes: bytes.to_vec() }, true).await?;
                taken.pictures += 1;
            }
        } else {
            let log = record::read_log(&bytes);
            taken.read = log.events.len();
            taken.aside = log.aside.len() + usize::from(log.torn.is_some());
            taken.new = store.take_in(&log.events).await?;
            let mut jobs: Vec<uuid::Uuid> = log.events.iter().map(|event| event.job).collect();
            jobs.sort_unstable();
            jobs.dedup();
            self.tell_other_pages(&jobs);
            self.changed_elsewhere(jobs).await;
        }
        self.count().await;
        self.exchange_soon();
        Ok(taken)
    }
}

/// Returns the day in UTC, for the name of a file.
fn day() -> String {
    let date = js_sys::Date::new(&(now_ms() as f64).into());
    String::from(date.to_iso_string()).chars().take(10).collect()
}

/// Hands a file to the person, as a download.
pub fn save_file(name: &str, bytes: &[u8], kind: &str) -> Result<(), NotSaved> {
    let closed = || NotSaved::from(Fault::Closed);
    let blob = blob_of(bytes, kind).ok_or_else(closed)?;
    let address = Url::create_object_url_with_blob(&blob).map_err(|_| closed())?;
    let link: HtmlAnchorElement =
        document().create_element("a").ok().and_then(|element| element.dyn_into().ok()).ok_or_else(closed)?;
    link.set_href(&address);
    link.set_download(name);
    link.click();
    // The download has begun by then; a browser that is slower keeps the file in memory for it.
    gloo_timers::callback::Timeout::new(60_000, move || drop(Url::revoke_object_url(&address))).forget();
    Ok(())
}

/// The size of a block of a tar file (POSIX.1-1988, ustar).
const BLOCK: usize = 512;

/// Adds a file to a tar file.
fn add_to_tar(tar: &mut Vec<u8>, name: &str, bytes: &[u8]) {
    let mut head = [0_u8; BLOCK];
    let mut field = |at: usize, text: &str| head[at..at + text.len()].copy_from_slice(text.as_bytes());
    field(0, name);
    field(100, "0000644\0");
    field(108, "0000000\0");
    field(116, "0000000\0");
    field(124, &format!("{:011o}\0", bytes.len()));
    field(136, "00000000000\0");
    field(148, "        ");
    field(156, "0");
    field(257, "ustar\0");
    field(263, "00");
    let sum: u32 = head.iter().map(|byte| u32::from(*byte)).sum();
    head[148..156].copy_from_slice(format!("{sum:06o}\0 ").as_bytes());
    tar.extend(head);
    tar.extend(bytes);
    tar.resize(tar.len().next_multiple_of(BLOCK), 0);
}

/// Returns the files of a tar file: names and bytes. Absent where it is none, or torn.
fn read_tar(tar: &[u8]) -> Option<Vec<(String, &[u8])>> {
    if tar.get(257..262)? != b"ustar" {
        return None;
    }
    let mut files = Vec::new();
    let mut at = 0;
    while let Some(head) = tar.get(at..at + BLOCK).filter(|head| head[0] != 0) {
        let name = String::from_utf8_lossy(head[..100].split(|byte| *byte == 0).next()?).into_owned();
        let digits = core::str::from_utf8(&head[124..136]).ok()?;
        let size = usize::from_str_radix(digits.trim_end_matches(['\0', ' ']).trim(), 8).ok()?;
        let start = at + BLOCK;
        files.push((name, tar.get(start..start.checked_add(size)?)?));
        at = start + size.next_multiple_of(BLOCK);
    }
    Some(files)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tar_file_reads_back() {
        let mut tar = Vec::new();
        let big = vec![7_u8; 1000];
        add_to_tar(&mut tar, "a.jpg", b"one");
        add_to_tar(&mut tar, "b.jpg", &big);
        add_to_tar(&mut tar, "empty.jpg", b"");
        tar.resize(tar.len() + 2 * BLOCK, 0);
        let files = read_tar(&tar).unwrap();
        let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["a.jpg", "b.jpg", "empty.jpg"]);
        assert_eq!((files[0].1, files[1].1, files[2].1), (&b"one"[..], &big[..], &b""[..]));
    }

    #[test]
    fn what_is_no_tar_file_or_torn_is_not_read_as_one() {
        assert_eq!(read_tar(b"{\"gastight_log\":1}\n"), None);
        let mut tar = Vec::new();
        add_to_tar(&mut tar, "a.jpg", &[1; 2000]);
        assert_eq!(read_tar(&tar[..1500]), None);
    }
}
