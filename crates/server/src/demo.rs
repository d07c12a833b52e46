//! An invented shop to look around in.

use crate::api::{lists, watch};
use crate::maintenance::{Done, Fault, Line};
use crate::shop::{SHOP, now};
use crate::{secret, summary};
use record::{Content, Event, Observation};
use report::Message;
use serde_json::Value;
use store::{Person, Role, Sender, Store};
use uuid::Uuid;

/// The visits, by system, the oldest first.
const VISITS: &[&[(&str, &str)]] = &[
    &[
        ("room-7-first-call", include_str!("../../../examples/jobs/room-7-first-call.toml")),
        ("room-7-repair", include_str!("../../../examples/jobs/room-7-repair.toml")),
    ],
    &[("room-2-autumn", include_str!("../../../examples/jobs/room-2-autumn.toml"))],
    &[("room-4-display", include_str!("../../../examples/jobs/room-4-display.toml"))],
];

const WATCHED: &str = include_str!("../../../examples/watch.json");
const PRICES: &str = include_str!("../../../examples/prices.toml");
const CUSTOMERS: &[&[(&str, &str)]] = &[&[
    ("customer.name", "Wrenford Flower Exchange"),
    ("site.name", "Wrenford Flower Exchange"),
    ("site.address", "1 Quay Road, Wrenford (invented)"),
    ("site.jurisdiction", "Ontario, Canada"),
]];

const PEOPLE: &[(&str, Role)] = &[
    ("owner", Role::Owner),
    ("office", Role::Office),
    ("technician A", Role::Technician),
    ("apprentice A", Role::Apprentice),
];

/// Fills an empty store with the invented shop, and says how to get in.
///
/// # Errors
/// [`Fault`]; [`store::Error::NotEmpty`] where something is in the store.
pub fn fill(store: &dyn Store, public_url: &str) -> Result<Done, Fault> {
    let counts = store.counts()?;
    if counts.people > 0 || counts.events > 0 {
        return Err(store::Error::NotEmpty.into());
    }
    store.put_setting(SHOP, "Invented shop")?;
    let mut done = Done::default();
    done.said.push(Message::new("server-demo").with("url", public_url).into());
    for (name, role) in PEOPLE {
        let password = secret::password()?;
        let hash = Some(secret::hash_password(&password)?);
        let id = secret::id(now())?;
        store.put_person(&Person {
            id,
            name: (*name).to_owned(),
            role: *role,
            password: hash,
            active: true,
            created: now(),
        })?;
        done.said.push(Line::Plain(format!("  {name}\t{password}")));
    }
    for visits in VISITS {
        let mut before: Option<Uuid> = None;
        for (name, text) in *visits {
            let file = record::read_job_file(text.as_bytes())
                .map_err(|why| Fault::Typed(format!("the example {name} does not read: {why:?}")))?;
            let mut events = file.events;
            let Some(first) = events.first().cloned() else { continue };
            if let Some(before) = before {
                events.push(following(&first, before));
            }
            push(store, &events)?;
            before = Some(first.job);
        }
    }
    lists::put_invented(store, PRICES, CUSTOMERS)?;
    watch::put_invented(store, WATCHED)?;
    summary::refresh_all(store)?;
    Ok(done)
}

/// Returns the fact that a visit follows another.
fn following(first: &Event, before: Uuid) -> Event {
    let fact = record::Visit { follows: Some(before.to_string()), ..record::Visit::default() };
    let seen = Observation {
        at: None,
        place: None,
        with: Vec::new(),
        told_by: None,
        note: None,
        what: record::Body::Visit(Box::new(fact)),
    };
    let id = record::entry_id(first.job, None, 0, first.by.as_deref(), &seen);
    Event { id, key: None, verbatim: None, content: Content::Observed(seen), ..first.clone() }
}

/// Stores events of any number.
///
/// # Errors
/// What the store says.
pub fn push(store: &dyn Store, events: &[Event]) -> Result<(), Fault> {
    for group in events.chunks(record::sync::PUSH_EVENTS) {
        let values: Vec<Value> =
            group.iter().filter_map(|event| serde_json::from_str(&record::write_line(event)).ok()).collect();
        store.push(&Sender::default(), &values, now())?;
    }
    Ok(())
}
