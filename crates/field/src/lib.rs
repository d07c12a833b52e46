//! Calculations made on site: superheat, leak flow, pressure and vacuum tests, charge, recovery, controls.

pub mod annual_loss;
pub mod day;
pub mod exact;
pub mod ledger;
pub mod legal_rate;
