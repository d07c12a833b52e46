//! The names of jobs and events.

use crate::event::Observation;
use serde_json::Value;
use sha2::{Digest, Sha256};
use uuid::Uuid;

/// Returns the id of an entry made on a device: version 7, of the wall clock and random bytes that the device gives.
///
/// Times before 1970 count as 1970.
#[must_use]
pub fn device_id(unix_millis: i64, random: [u8; 10]) -> Uuid {
    let millis = u64::try_from(unix_millis).unwrap_or(0);
    uuid::Builder::from_unix_timestamp_millis(millis, &random).into_uuid()
}

/// Returns the id made of a hash: version 8, of the first 16 bytes of the SHA-256 over the parts and their lengths.
fn hashed(parts: &[&[u8]]) -> Uuid {
    let mut hash = Sha256::new();
    for part in parts {
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part);
    }
    let mut bytes = [0; 16];
    bytes.copy_from_slice(&hash.finalize()[..16]);
    Uuid::new_v8(bytes)
}

/// Returns the id of the job that a job file is about.
#[must_use]
pub fn job_id(name: &str) -> Uuid {
    hashed(&[b"gastight job", name.as_bytes()])
}

/// Returns the id of an observation read from a job file: of the job, the entry's own name if it has one, its number
/// among equal ones, who made it, and what it says.
#[must_use]
pub fn entry_id(job: Uuid, key: Option<&str>, number: usize, by: Option<&str>, seen: &Observation) -> Uuid {
    let place = key.map_or_else(|| format!("#{number}"), |key| format!("#{number}={key}"));
    hashed(&[b"gastight entry", job.as_bytes(), place.as_bytes(), &author(by), &content(seen)])
}

/// Returns the id of a correction read from an edited job file: of what it corrects, its number among equal ones, who
/// made it, and what it says.
#[must_use]
pub fn correction_id(of: Uuid, number: usize, by: Option<&str>, now: &Observation) -> Uuid {
    let place = format!("#{number}");
    hashed(&[b"gastight correction", of.as_bytes(), place.as_bytes(), &author(by), &content(now)])
}

/// Returns the id of the withdrawal of an event that an edited job file no longer holds.
#[must_use]
pub fn withdrawal_id(of: Uuid, by: Option<&str>) -> Uuid {
    hashed(&[b"gastight withdrawal", of.as_bytes(), &author(by)])
}

/// Returns the SHA-256 of bytes in hexadecimal.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    use core::fmt::Write;
    Sha256::digest(bytes).iter().fold(String::with_capacity(64), |mut text, byte| {
        // Writing to a string does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

fn author(by: Option<&str>) -> Vec<u8> {
    by.map_or_else(Vec::new, |by| format!("={by}").into_bytes())
}

/// Returns the canonical JSON of an observation.
fn content(seen: &Observation) -> Vec<u8> {
    serde_json::to_value(seen).map(|value| canonical(&value).into_bytes()).unwrap_or_default()
}

/// Returns the JSON text with the keys of every object in the order of their bytes and no blanks.
///
/// The order of the map type is not relied on: a feature of the JSON crate that anything in the build may turn on
/// changes it, and ids are made of this text.
pub(crate) fn canonical(value: &Value) -> String {
    let mut out = String::new();
    write(value, &mut out);
    out
}

fn write(value: &Value, out: &mut String) {
    match value {
        Value::Array(all) => {
            out.push('[');
            for (index, one) in all.iter().enumerate() {
                if index > 0 {
                    out.push(',');
                }
                write(one, out);
            }
            out.push(']');
        }
        Value::Object(map) => {
            let mut keys: Vec<&String> = map.keys().collect();
            keys.sort_unstable();
            out.push('{');
            for (index, key) in keys.into_iter().enumerate() {
                if index > 0 {
                    out.push(',');
                }
                out.push_str(&Value::from(key.as_str()).to_string());
                out.push(':');
                write(&map[key], out);
            }
            out.push('}');
        }
        plain => out.push_str(&plain.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_and_variant_are_as_rfc_9562_has_them() {
        let device = device_id(1_700_000_000_000, [7; 10]);
        assert_eq!((device.get_version_num(), device.get_variant()), (7, uuid::Variant::RFC4122));
        let job = job_id("a");
        assert_eq!((job.get_version_num(), job.get_variant()), (8, uuid::Variant::RFC4122));
        assert!(device_id(-5, [0; 10]) < device_id(1, [0; 10]));
    }

    #[test]
    fn canonical_json_does_not_depend_on_the_order_of_keys() {
        let read = |text: &str| serde_json::from_str::<Value>(text).unwrap();
        let one = canonical(&read(r#"{"b": [1, {"z": null, "a": 2.50}], "a": "\"x\""}"#));
        assert_eq!(one, canonical(&read(r#"{"a": "\"x\"", "b": [1, {"a": 2.5, "z": null}]}"#)));
        assert_eq!(one, r#"{"a":"\"x\"","b":[1,{"a":2.5,"z":null}]}"#);
    }

    #[test]
    fn a_known_hash() {
        // FIPS 180-4 example: SHA-256 of "abc".
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn parts_do_not_run_into_each_other() {
        assert_ne!(hashed(&[b"ab", b"c"]), hashed(&[b"a", b"bc"]));
    }
}
