//! What the law asks of these facts on this date, with the article that says so.
//!
//! It receives [`Facts`] and a [`Date`] and returns an [`Assessment`]: may refrigerant be added, what is due and by when,
//! which records must have which fields, which figure crosses which threshold, and what is not known. Every duty is an
//! entry of `data/law` with its section, source and status; a verdict is firm only where the law's own text was read, and
//! nothing else is ever a permission. Not legal advice.
//!
//! No physics, no record format, no clock: days are days of the site's own calendar, and the caller turns instants into
//! them. Holidays are not assumed.

mod book;
mod case;
mod date;
mod duty;
mod exact;
mod facts;
mod gas;
pub mod leak_rate;
mod read;

pub use book::{Book, FileFault, Jurisdiction, basis_of, jurisdictions};
pub use case::Why;
pub use date::{Date, DateError, TimeOfDay};
pub use duty::{
    Applies, Checked, Duty, Effect, Field, Holds, Judge, Numbers, Origin, Source, Status, Use, Version,
};
pub use exact::{ExactMass, ExactMassError, Ratio};
pub use facts::{
    Event, Facts, FullCharge, GasFrom, Intended, Method, Missing, Owner, Place, Reason, SpecialUse, What,
};
pub use gas::{Basis, Class, Component, Gases, Gwp, Part, Potential, Refrigerant, mixture_gwp, tonnes_co2e};
pub use read::DutyFault;
