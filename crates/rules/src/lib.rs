//! What the law asks of these facts on this date, with the article that says so.
//!
//! It receives [`Facts`] and a [`Date`] and returns an [`Assessment`]: may refrigerant be added, what is due and by when,
//! which records must have which fields, which figure crosses which threshold, and what is not known. Every duty is an
//! entry of `data/law` with its section, source and status; a verdict is firm only where the law's own text was read, and
//! nothing else is ever a permission. Not legal advice.
//!
//! No physics, no record format, no clock: days are days of the site's own calendar, and the caller turns instants into
//! them. Holidays are not assumed.

mod account;
mod assess;
mod book;
mod calendar;
mod case;
mod charging;
mod duty;
mod evacuation;
mod exact;
mod facts;
mod gas;
mod judge;
pub mod leak_rate;
mod read;

pub use account::{ReleaseClass, ReleaseFigure, YearAccount, release_class, release_figures, year_accounts};
pub use assess::{
    Assessment, ChargeFigure, Choice, LeakRateLine, RecordAsked, Standing, Verdict, assess, leak_rate_history,
};
pub use book::{Book, FileFault, Jurisdiction, basis_of, jurisdictions};
pub use calendar::{CalendarLine, calendar};
pub use case::Why;
pub use charging::{ActAsIf, Answer, Charging, Condition, GasAnswer, GasVerdict, WhyUnknown};
pub use duty::{
    Applies, Checked, Duty, Effect, Field, Holds, Judge, Numbers, Origin, Source, Status, Use, Version,
};
pub use evacuation::{EvacuationLevel, PressureClass, evacuation_level, pressure_class};
pub use exact::{ExactMass, ExactMassError, Ratio};
pub use facts::{
    Event, Facts, FullCharge, GasFrom, Intended, Method, Missing, Owner, Place, Reason, SpecialUse, What,
};
pub use gas::{Basis, Class, Component, Gases, Gwp, Part, Potential, Refrigerant, mixture_gwp, tonnes_co2e};
pub use judge::{Due, Outcome};
pub use read::DutyFault;
pub use units::{Date, DateError, TimeOfDay};
