//! What is R-448A at a suction line of 43.9 psig and 30 °F, at sea level?

use units::{AbsolutePressure, Temperature};

fn main() -> Result<(), fluid::FluidError> {
    let Some(known) = refrigerant::find("R-448A") else { return Ok(()) };
    let fluid = known.fluid();
    let pressure = AbsolutePressure::from_pascal(101_325.0 + 43.9 * 6_894.757_293_168_361);
    let line = Temperature::from_kelvin((30.0 - 32.0) / 1.8 + 273.15);
    let dew = fluid.dew_at_pressure(pressure)?;
    let state = fluid.state_at_pressure_temperature(pressure, line)?;
    println!("dew {:.2} K, superheat {:.2} K", dew.temperature.kelvin(), (line - dew.temperature).kelvin());
    println!(
        "{:.3} kg/m3, {:.1} kJ/kg, grade {:?}",
        state.density.kilogram_per_cubic_metre(),
        state.enthalpy.joule_per_kilogram() / 1e3,
        known.grade()
    );
    Ok(())
}
