//! Calculations made on site: superheat, leak flow, pressure and vacuum tests, charge, recovery, controls.

pub mod annual_loss;
pub mod boxload;
pub mod charge;
pub mod compression;
pub mod controls;
pub mod cylinder;
pub mod displays;
pub mod doubtful;
pub mod evacuation;
pub mod follow_up;
pub mod hold;
pub mod inventory;
pub mod leak;
mod least_squares;
pub mod ledger;
mod numeric;
pub mod opening;
pub mod practice;
pub mod pulldown;
pub mod recovery;
pub mod rise;
pub mod saturation;
pub mod speak;
pub mod split;
pub mod supercritical;
pub mod superheat;
pub mod water;
