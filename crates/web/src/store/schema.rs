//! The shape of the store, version by version. A step once shipped never changes; a new shape is a new step.

use indexed_db_futures::KeyPath;
use indexed_db_futures::database::Database;
use indexed_db_futures::error::Error;
use indexed_db_futures::prelude::*;

/// The version of the shape this program writes.
pub const VERSION: u32 = STEPS.len() as u32;

type Step = fn(&Database) -> Result<(), Error>;

/// What makes each version out of the one before it.
const STEPS: &[Step] = &[first];

/// Brings a store of version `from` (0: none) up to [`VERSION`], in the transaction of the upgrade.
pub fn bring_up(from: u32, db: &Database) -> Result<(), Error> {
    STEPS.iter().skip(from as usize).try_for_each(|step| step(db))
}

fn first(db: &Database) -> Result<(), Error> {
    let events = db.create_object_store("events").build()?;
    events.create_index("job", KeyPath::from("job")).build()?;
    events.create_index("picture", KeyPath::from("picture")).build()?;
    for name in ["outbox", "held", "heads", "stale", "pictures", "picture_queue", "drafts", "meta"] {
        db.create_object_store(name).build()?;
    }
    Ok(())
}
