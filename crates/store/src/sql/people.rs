//! People, devices, codes, sessions, the audit, settings.

use crate::api::{Audit, Device, Pairing, Passkey, Person, Role, Session};
use crate::cell::{Row, Tx, cells};
use crate::error::{Error, Result};
use uuid::Uuid;

const PERSON: &str = "SELECT id, name, role, password, active, created FROM people";
const DEVICE: &str = "SELECT id, person, name, token, created, seen, revoked FROM devices";

/// Returns a name as names are compared: small letters, single blanks.
fn folded(name: &str) -> String {
    name.split_whitespace().map(str::to_lowercase).collect::<Vec<_>>().join(" ")
}

fn person(row: &Row) -> Result<Person> {
    let role = row.text(2)?;
    Ok(Person {
        id: row.id(0)?,
        name: row.text(1)?,
        role: Role::read(&role).ok_or_else(|| Error::failed(format!("there is no role {role}")))?,
        password: row.maybe_text(3)?,
        active: row.int(4)? != 0,
        created: row.int(5)?,
    })
}

pub fn put(tx: &mut dyn Tx, person: &Person) -> Result<()> {
    let folded = folded(&person.name);
    let taken =
        tx.first("SELECT id FROM people WHERE folded = ?1 AND id <> ?2", cells![&folded, person.id])?;
    if taken.is_some() {
        return Err(Error::NameTaken { name: person.name.clone() });
    }
    tx.run(
        "INSERT INTO people (id, name, folded, role, password, active, created) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT (id) DO UPDATE SET name = excluded.name, \
         folded = excluded.folded, role = excluded.role, password = excluded.password, active = excluded.active",
        cells![
            person.id,
            &person.name,
            &folded,
            person.role.as_str(),
            person.password.as_deref(),
            person.active,
            person.created
        ],
    )?;
    Ok(())
}

pub fn one(tx: &mut dyn Tx, id: Uuid) -> Result<Option<Person>> {
    tx.first(&format!("{PERSON} WHERE id = ?1"), cells![id])?.as_ref().map(person).transpose()
}

pub fn named(tx: &mut dyn Tx, name: &str) -> Result<Option<Person>> {
    tx.first(&format!("{PERSON} WHERE folded = ?1"), cells![&folded(name)])?.as_ref().map(person).transpose()
}

pub fn all(tx: &mut dyn Tx) -> Result<Vec<Person>> {
    tx.rows(&format!("{PERSON} ORDER BY folded"), &[])?.iter().map(person).collect()
}

fn read_device(row: &Row) -> Result<Device> {
    Ok(Device {
        id: row.id(0)?,
        person: row.id(1)?,
        name: row.text(2)?,
        token: row.hash(3)?,
        created: row.int(4)?,
        seen: row.maybe_int(5)?,
        revoked: row.maybe_int(6)?,
    })
}

pub fn put_device(tx: &mut dyn Tx, device: &Device) -> Result<()> {
    tx.run(
        "INSERT INTO devices (id, person, name, token, created, seen, revoked) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT (id) DO UPDATE SET person = excluded.person, \
         name = excluded.name, token = excluded.token, seen = excluded.seen, revoked = excluded.revoked",
        cells![
            device.id,
            device.person,
            &device.name,
            &device.token,
            device.created,
            device.seen,
            device.revoked
        ],
    )?;
    Ok(())
}

pub fn device(tx: &mut dyn Tx, id: Uuid) -> Result<Option<Device>> {
    tx.first(&format!("{DEVICE} WHERE id = ?1"), cells![id])?.as_ref().map(read_device).transpose()
}

pub fn device_with(tx: &mut dyn Tx, token: &[u8; 32]) -> Result<Option<Device>> {
    tx.first(&format!("{DEVICE} WHERE token = ?1"), cells![token])?.as_ref().map(read_device).transpose()
}

pub fn devices(tx: &mut dyn Tx) -> Result<Vec<Device>> {
    tx.rows(&format!("{DEVICE} ORDER BY name, id"), &[])?.iter().map(read_device).collect()
}

pub fn device_seen(tx: &mut dyn Tx, id: Uuid, now: i64) -> Result<()> {
    tx.run("UPDATE devices SET seen = ?2 WHERE id = ?1 AND (seen IS NULL OR seen < ?2)", cells![id, now])?;
    Ok(())
}

pub fn revoke_device(tx: &mut dyn Tx, id: Uuid, now: i64) -> Result<bool> {
    let changed =
        tx.run("UPDATE devices SET revoked = ?2 WHERE id = ?1 AND revoked IS NULL", cells![id, now])?;
    Ok(changed > 0)
}

pub fn put_pairing(tx: &mut dyn Tx, pairing: &Pairing) -> Result<()> {
    tx.run(
        "INSERT INTO pairings (code, person, expires) VALUES (?1, ?2, ?3) \
         ON CONFLICT (code) DO UPDATE SET person = excluded.person, expires = excluded.expires",
        cells![&pairing.code, pairing.person, pairing.expires],
    )?;
    Ok(())
}

pub fn take_pairing(tx: &mut dyn Tx, code: &[u8; 32], now: i64) -> Result<Option<Uuid>> {
    let found =
        tx.first("SELECT person FROM pairings WHERE code = ?1 AND expires > ?2", cells![code, now])?;
    tx.run("DELETE FROM pairings WHERE code = ?1", cells![code])?;
    found.map(|row| row.id(0)).transpose()
}

pub fn put_session(tx: &mut dyn Tx, session: &Session) -> Result<()> {
    tx.run(
        "INSERT INTO sessions (token, person, created, expires) VALUES (?1, ?2, ?3, ?4) \
         ON CONFLICT (token) DO UPDATE SET person = excluded.person, expires = excluded.expires",
        cells![&session.token, session.person, session.created, session.expires],
    )?;
    Ok(())
}

pub fn session(tx: &mut dyn Tx, token: &[u8; 32], now: i64) -> Result<Option<Session>> {
    let sql = "SELECT token, person, created, expires FROM sessions WHERE token = ?1 AND expires > ?2";
    let Some(row) = tx.first(sql, cells![token, now])? else { return Ok(None) };
    Ok(Some(Session { token: row.hash(0)?, person: row.id(1)?, created: row.int(2)?, expires: row.int(3)? }))
}

pub fn end_session(tx: &mut dyn Tx, token: &[u8; 32]) -> Result<bool> {
    Ok(tx.run("DELETE FROM sessions WHERE token = ?1", cells![token])? > 0)
}

pub fn end_sessions_of(tx: &mut dyn Tx, person: Uuid) -> Result<u64> {
    tx.run("DELETE FROM sessions WHERE person = ?1", cells![person])
}

pub fn forget_expired(tx: &mut dyn Tx, now: i64) -> Result<u64> {
    let sessions = tx.run("DELETE FROM sessions WHERE expires <= ?1", cells![now])?;
    Ok(sessions + tx.run("DELETE FROM pairings WHERE expires <= ?1", cells![now])?)
}

pub fn put_passkey(tx: &mut dyn Tx, passkey: &Passkey) -> Result<()> {
    tx.run(
        "INSERT INTO passkeys (id, person, name, credential, created, used) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        cells![passkey.id, passkey.person, &passkey.name, &passkey.credential, passkey.created, passkey.used],
    )?;
    Ok(())
}

pub fn passkeys(tx: &mut dyn Tx, person: Uuid) -> Result<Vec<Passkey>> {
    let sql = "SELECT id, person, name, credential, created, used FROM passkeys \
               WHERE person = ?1 ORDER BY created, id";
    tx.rows(sql, cells![person])?
        .iter()
        .map(|row| {
            Ok(Passkey {
                id: row.id(0)?,
                person: row.id(1)?,
                name: row.text(2)?,
                credential: row.text(3)?,
                created: row.int(4)?,
                used: row.maybe_int(5)?,
            })
        })
        .collect()
}

pub fn use_passkey(tx: &mut dyn Tx, id: Uuid, seen: &str, credential: &str, now: i64) -> Result<bool> {
    let sql = "UPDATE passkeys SET credential = ?3, used = ?4 WHERE id = ?1 AND credential = ?2";
    Ok(tx.run(sql, cells![id, seen, credential, now])? > 0)
}

pub fn remove_passkey(tx: &mut dyn Tx, person: Uuid, id: Uuid) -> Result<bool> {
    Ok(tx.run("DELETE FROM passkeys WHERE id = ?1 AND person = ?2", cells![id, person])? > 0)
}

pub fn remove_passkeys_of(tx: &mut dyn Tx, person: Uuid) -> Result<u64> {
    tx.run("DELETE FROM passkeys WHERE person = ?1", cells![person])
}

pub fn audit(tx: &mut dyn Tx, entries: &[Audit]) -> Result<()> {
    let last = tx.first("SELECT coalesce(max(number), 0) FROM audits", &[])?;
    let last = last.map_or(Ok(0), |row| row.int(0))?;
    let sets: Vec<_> = entries
        .iter()
        .zip(last + 1..)
        .map(|(entry, number)| {
            cells![
                number,
                entry.at,
                entry.person,
                entry.device,
                &entry.what,
                entry.on.as_deref(),
                entry.detail.as_deref()
            ]
            .to_vec()
        })
        .collect();
    tx.run_each(
        "INSERT INTO audits (number, at, person, device, what, subject, detail) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        &sets,
    )
}

pub fn audits(tx: &mut dyn Tx, before: Option<u64>, limit: usize) -> Result<Vec<Audit>> {
    let rows = tx.rows(
        "SELECT number, at, person, device, what, subject, detail FROM audits \
         WHERE number < ?1 ORDER BY number DESC LIMIT ?2",
        cells![before.unwrap_or(u64::MAX), limit],
    )?;
    rows.iter()
        .map(|row| {
            Ok(Audit {
                number: row.count(0)?,
                at: row.int(1)?,
                person: row.maybe_id(2)?,
                device: row.maybe_id(3)?,
                what: row.text(4)?,
                on: row.maybe_text(5)?,
                detail: row.maybe_text(6)?,
            })
        })
        .collect()
}

pub fn setting(tx: &mut dyn Tx, name: &str) -> Result<Option<String>> {
    let row = tx.first("SELECT value FROM settings WHERE name = ?1", cells![name])?;
    row.map(|row| row.text(0)).transpose()
}

pub fn put_setting(tx: &mut dyn Tx, name: &str, value: &str) -> Result<()> {
    tx.run(
        "INSERT INTO settings (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
        cells![name, value],
    )?;
    Ok(())
}
