//! Calculations made on site: superheat, leak flow, pressure and vacuum tests, charge, recovery, controls.
