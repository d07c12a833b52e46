//! Saturation for many readings at once, each a refrigerant and a temperature or pressure.
//!
//! Answered from the tables of saturation, good to 1e-5, and by the full model beyond their ends.

use super::saturation::{At, full};
use crate::{Refused, Substance};
use fluid::SaturationTable;
use units::Atmosphere;

/// Bubble and dew of one reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BatchRow {
    /// Temperature of the bubble point, in kelvin.
    pub bubble_temperature_k: f64,
    /// Pressure of the bubble point, in pascal.
    pub bubble_pressure_pa: f64,
    /// Temperature of the dew point, in kelvin.
    pub dew_temperature_k: f64,
    /// Pressure of the dew point, in pascal.
    pub dew_pressure_pa: f64,
    /// Density of the liquid, in kilogram per cubic metre.
    pub bubble_density_kg_m3: f64,
    /// Density of the vapour, in kilogram per cubic metre.
    pub dew_density_kg_m3: f64,
}

/// The refrigerants met so far, so that a name is looked up once.
#[derive(Default)]
pub struct Batch {
    /// Names as they were written, and what they mean.
    known: Vec<(String, Substance)>,
    /// The place of the one asked for last: readings come in runs.
    last: usize,
}

impl Batch {
    /// Makes the table of a refrigerant, which all batches then share; nothing where the name is unknown.
    pub fn make_table(refrigerant: &str) {
        if let Ok(substance) = Substance::read(refrigerant, None) {
            let _ = substance.fluid.saturation_table();
        }
    }

    /// Returns bubble and dew of a reading: a refrigerant's name, and a temperature or a pressure as typed.
    ///
    /// # Errors
    /// [`Refused`]: an unknown refrigerant, a reading that is none, or no saturation there.
    pub fn row(&mut self, refrigerant: &str, given: &str, air: Atmosphere) -> Result<BatchRow, Refused> {
        let place = match self.known.get(self.last) {
            Some((name, _)) if name == refrigerant => self.last,
            _ => match self.known.iter().position(|(name, _)| name == refrigerant) {
                Some(place) => place,
                None => {
                    self.known.push((refrigerant.to_owned(), Substance::read(refrigerant, None)?));
                    self.known.len() - 1
                }
            },
        };
        self.last = place;
        let substance = &self.known[place].1;
        let at = At::read(given)?;
        if let Some(found) = substance.fluid.saturation_table().and_then(|table| of_table(table, at, air)) {
            return Ok(found);
        }
        let row = full(substance, given, at, air)?;
        Ok(BatchRow {
            bubble_temperature_k: row.bubble.temperature_k,
            bubble_pressure_pa: row.bubble.pressure_pa,
            dew_temperature_k: row.dew.temperature_k,
            dew_pressure_pa: row.dew.pressure_pa,
            bubble_density_kg_m3: row.bubble.density_kg_m3,
            dew_density_kg_m3: row.dew.density_kg_m3,
        })
    }
}

fn of_table(table: &SaturationTable, at: At, air: Atmosphere) -> Option<BatchRow> {
    let (t, p) = match at {
        At::Temperature(t) => ([t; 2], [table.bubble_pressure(t)?, table.dew_pressure(t)?]),
        At::Pressure(p) => {
            let p = p.absolute(air);
            ([table.bubble_temperature(p)?, table.dew_temperature(p)?], [p; 2])
        }
    };
    Some(BatchRow {
        bubble_temperature_k: t[0].kelvin(),
        bubble_pressure_pa: p[0].pascal(),
        dew_temperature_k: t[1].kelvin(),
        dew_pressure_pa: p[1].pascal(),
        bubble_density_kg_m3: table.bubble_density(t[0])?.kilogram_per_cubic_metre(),
        dew_density_kg_m3: table.dew_density(t[1])?.kilogram_per_cubic_metre(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_batch_says_what_the_single_question_says() {
        let mut batch = Batch::default();
        for (name, given) in [
            ("R-448A", "25F"),
            ("R-404A", "62.5psig"),
            ("R-448A", "3bar gauge"),
            ("R-744", "-20C"),
            ("404a", "71C"),
        ] {
            let substance = Substance::read(name, None).unwrap();
            let single =
                full(&substance, given, At::read(given).unwrap(), Atmosphere::sea_level_assumed()).unwrap();
            let row = batch.row(name, given, Atmosphere::sea_level_assumed()).unwrap();
            for (own, wanted) in [
                (row.bubble_temperature_k, single.bubble.temperature_k),
                (row.bubble_pressure_pa, single.bubble.pressure_pa),
                (row.dew_temperature_k, single.dew.temperature_k),
                (row.dew_pressure_pa, single.dew.pressure_pa),
                (row.bubble_density_kg_m3, single.bubble.density_kg_m3),
                (row.dew_density_kg_m3, single.dew.density_kg_m3),
            ] {
                assert!((own / wanted - 1.0).abs() < 1e-5, "{name} {given}: {own}, {wanted}");
            }
        }
    }

    #[test]
    fn a_bad_reading_is_refused_and_the_next_is_answered() {
        let mut batch = Batch::default();
        assert!(batch.row("R-9999", "25F", Atmosphere::sea_level_assumed()).is_err());
        assert!(batch.row("R-404A", "25", Atmosphere::sea_level_assumed()).is_err());
        assert!(batch.row("R-404A", "200C", Atmosphere::sea_level_assumed()).is_err());
        assert!(batch.row("R-404A", "25F", Atmosphere::sea_level_assumed()).is_ok());
    }
}
