//! Calculations made on site: superheat, leak flow, pressure and vacuum tests, charge, recovery, controls.

pub mod day;
pub mod exact;
pub mod legal_rate;
