//! The people of the shop.

use super::words::{Name, Password};
use crate::auth::Owner;
use crate::body::{Id, Json};
use crate::csv::Csv;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::secret;
use crate::shop::{Shop, now};
use axum::extract::State;
use axum::http::StatusCode;
use report::Message;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{Person, Role, Store};
use utoipa::ToSchema;
use uuid::Uuid;

/// What somebody may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum RoleWord {
    /// Everything, people and devices included.
    Owner,
    /// All jobs, reports and accounts.
    Office,
    /// The shop's jobs, through a paired phone.
    Technician,
    /// As a technician, without money, and with work that waits for a licensed technician's word.
    Apprentice,
}

impl From<RoleWord> for Role {
    fn from(word: RoleWord) -> Self {
        match word {
            RoleWord::Owner => Role::Owner,
            RoleWord::Office => Role::Office,
            RoleWord::Technician => Role::Technician,
            RoleWord::Apprentice => Role::Apprentice,
        }
    }
}

/// A person.
#[derive(Serialize, ToSchema)]
pub struct PersonRow {
    /// The id.
    id: Uuid,
    /// The name.
    name: String,
    /// What the person may do.
    #[schema(value_type = RoleWord)]
    role: Role,
    /// Whether the person belongs to the shop.
    active: bool,
    /// Whether the person can log in with a password.
    has_password: bool,
    /// Since when, in milliseconds since 1970.
    created: i64,
}

impl From<Person> for PersonRow {
    fn from(person: Person) -> Self {
        Self {
            id: person.id,
            name: person.name,
            role: person.role,
            active: person.active,
            has_password: person.password.is_some(),
            created: person.created,
        }
    }
}

/// All people.
#[derive(Serialize, ToSchema)]
pub struct People {
    /// By name.
    rows: Vec<PersonRow>,
}

/// Lists the people of the shop.
#[utoipa::path(get, path = "/people", tag = "people", responses((status = 200, body = People), Problems))]
pub async fn list(State(shop): State<Arc<Shop>>, Owner(who): Owner) -> Done<axum::Json<People>> {
    shop.note(who.did("people.read", None)).await?;
    let people = shop.ask(|store| store.people()).await?;
    Ok(axum::Json(People { rows: people.into_iter().map(PersonRow::from).collect() }))
}

/// The people of the shop as a table.
#[utoipa::path(get, path = "/people.csv", tag = "people",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn table(State(shop): State<Arc<Shop>>, Owner(who): Owner) -> Done<Csv> {
    shop.note(who.did("people.csv", None)).await?;
    let people = shop.ask(|store| store.people()).await?;
    let mut table = Csv::new("people", &["id", "name", "role", "active", "created_ms"]);
    for person in people {
        let active = if person.active { "yes" } else { "no" };
        table.row([
            person.id.to_string(),
            person.name,
            person.role.as_str().into(),
            active.into(),
            person.created.to_string(),
        ]);
    }
    Ok(table)
}

/// A new person.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewPerson {
    /// The name.
    name: Name,
    /// What the person may do.
    role: RoleWord,
    /// A password; a technician with a phone needs none.
    #[serde(default)]
    password: Option<Password>,
}

async fn hashed(shop: &Shop, password: Option<Password>) -> Done<Option<String>> {
    let Some(password) = password else { return Ok(None) };
    let password = password.read()?;
    let _permit = shop.hashing.acquire().await.map_err(|_| Problem::ours())?;
    Ok(Some(shop.call(move |_| secret::hash_password(&password)).await??))
}

/// Adds a person.
#[utoipa::path(post, path = "/people", tag = "people", request_body = NewPerson,
    responses((status = 201, body = PersonRow), Problems))]
pub async fn add(
    State(shop): State<Arc<Shop>>,
    Owner(who): Owner,
    Json(new): Json<NewPerson>,
) -> Done<(StatusCode, axum::Json<PersonRow>)> {
    let now = now();
    let name = new.name.read()?;
    let password = hashed(&shop, new.password).await?;
    let person =
        Person { id: secret::id(now)?, name, role: new.role.into(), password, active: true, created: now };
    let audit = who.did("person.add", Some(person.id.to_string()));
    let row = PersonRow::from(person.clone());
    shop.ask(move |store| {
        store.put_person(&person)?;
        store.audit(&[audit])
    })
    .await?;
    Ok((StatusCode::CREATED, axum::Json(row)))
}

/// What changes about a person; what is absent stays.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangePerson {
    /// The name.
    #[serde(default)]
    name: Option<Name>,
    /// What the person may do.
    #[serde(default)]
    role: Option<RoleWord>,
    /// A new password.
    #[serde(default)]
    password: Option<Password>,
    /// Whether the person belongs to the shop.
    #[serde(default)]
    active: Option<bool>,
}

/// Changes a person. Somebody who leaves, or whose password or role changes, is logged out everywhere; the phones of
/// somebody who leaves are let in no more. Somebody who leaves or is given a new password has no passkey any more.
#[utoipa::path(patch, path = "/people/{id}", tag = "people", request_body = ChangePerson,
    params(("id" = Uuid, Path, description = "The person.")),
    responses((status = 200, body = PersonRow), Problems))]
pub async fn change(
    State(shop): State<Arc<Shop>>,
    Owner(who): Owner,
    Id(id): Id,
    Json(change): Json<ChangePerson>,
) -> Done<axum::Json<PersonRow>> {
    let name = change.name.map(Name::read).transpose()?;
    let password = hashed(&shop, change.password).await?;
    let (role, active) = (change.role.map(Role::from), change.active);
    let audit = who.did("person.change", Some(id.to_string()));
    let outcome = shop
        .ask(move |store| {
            let Some(mut person) = store.person(id)? else { return Ok(Changed::Missing) };
            let (new_password, leaves) = (password.is_some(), active == Some(false));
            let out = new_password || leaves || role.is_some();
            person.name = name.unwrap_or(person.name);
            person.role = role.unwrap_or(person.role);
            person.active = active.unwrap_or(person.active);
            person.password = password.or(person.password);
            let stays_owner = person.active && person.role == Role::Owner;
            if !stays_owner && !has_other_owner(store, id)? {
                return Ok(Changed::LastOwner);
            }
            store.put_person(&person)?;
            if out {
                store.end_sessions_of(id)?;
            }
            if new_password || leaves {
                // Whoever got in with the old password may have added one.
                store.remove_passkeys_of(id)?;
            }
            store.audit(&[audit])?;
            Ok(Changed::Done(person))
        })
        .await?;
    match outcome {
        Changed::Done(person) => Ok(axum::Json(person.into())),
        Changed::Missing => Err(Problem::missing(Message::new("server-no-person"))),
        Changed::LastOwner => Err(Problem::conflict("last-owner", Message::new("server-last-owner"))),
    }
}

enum Changed {
    Done(Person),
    Missing,
    LastOwner,
}

fn has_other_owner(store: &dyn Store, but: Uuid) -> store::Result<bool> {
    let people = store.people()?;
    Ok(people.iter().any(|person| person.id != but && person.active && person.role == Role::Owner))
}
