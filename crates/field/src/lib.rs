//! Calculations made on site: superheat, leak flow, pressure and vacuum tests, charge, recovery, controls.

pub mod annual_loss;
pub mod day;
pub mod exact;
mod least_squares;
pub mod ledger;
pub mod legal_rate;
pub mod rise;
pub mod water;
