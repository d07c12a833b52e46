//! A shop, its phones and a bad network between them, played from a seed against a real store.
//!
//! The phones apply what [`record::sync::Replica`] says, as the app does; the network loses, doubles, delays and
//! reorders; phones are killed in the middle of a step, forget everything, have wrong clocks; the server restarts and is
//! brought back from a backup. In the end nothing may be lost, nothing doubled, and everybody has the same.

mod phone;
pub mod shop;
pub mod world;

use phone::Phone;
pub use shop::Shop;
use world::{Tally, World};

/// A way to get the protocol wrong. Each is here to show that the model sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// An event leaves the outbox when it is sent, not when it is acknowledged.
    ForgetsOnSending,
    /// The outbox row is written in another transaction than the event.
    OutboxApart,
    /// The cursor is saved in another transaction than the events it stands for.
    CursorApart,
    /// Whatever cursor a reply names is taken, however late the reply is.
    TakesAnyCursor,
    /// What is known already is not written over: erasures and first stamps do not arrive.
    KeepsItsOwn,
    /// The erasure is stored, what it erases is left as it was.
    DoesNotErase,
    /// A refused request is dropped whole.
    DropsRefused,
    /// A restored server is taken for the same as before.
    IgnoresEpoch,
    /// The server acknowledges before it stores, and is killed in between.
    AcknowledgesFirst,
    /// Of two contents under one id a phone keeps the server's and throws its own away.
    ForgetsWhatIsRefused,
    /// The server never sends a device what came from it.
    NeverEchoes,
    /// The server leaves the stamp and the content as each device has them.
    SilentOnDifference,
    /// The server counts its news from where the reply ends, one too far.
    CursorTooFar,
    /// A new server does not mark its history as another.
    SameEpochAfterRestore,
}

/// Every one of them.
pub const FAULTS: &[Fault] = &[
    Fault::ForgetsOnSending,
    Fault::OutboxApart,
    Fault::CursorApart,
    Fault::TakesAnyCursor,
    Fault::KeepsItsOwn,
    Fault::DoesNotErase,
    Fault::DropsRefused,
    Fault::IgnoresEpoch,
    Fault::AcknowledgesFirst,
    Fault::ForgetsWhatIsRefused,
    Fault::NeverEchoes,
    Fault::SilentOnDifference,
    Fault::CursorTooFar,
    Fault::SameEpochAfterRestore,
];

/// Plays one schedule and checks its end.
///
/// # Errors
/// What was wrong, in a sentence with the seed.
pub fn play(shop: &mut dyn Shop, seed: u64, fault: Option<Fault>) -> Result<Tally, String> {
    let mut world = World::new(shop, seed, fault).map_err(|e| format!("seed {seed}: {e}"))?;
    world.play().and_then(|()| world.settle()).map_err(|why| format!("seed {seed}: {why}"))?;
    Ok(world.tally)
}
