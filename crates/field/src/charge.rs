//! How much refrigerant where: receiver, liquid line, flooded condenser, and the condensing target that goes with it.

use fluid::{Fluid, FluidError};
use units::{
    AbsolutePressure, Density, Fraction, Length, Limit, Mass, Temperature, TemperatureDifference, Uncertain,
    Verdict, Volume, combine,
};

/// The part of a receiver that liquid may fill, where nothing else is stated.
pub const RECEIVER_FILL: Fraction = Fraction::from_ratio(0.8);

/// Why no charge can be given.
#[derive(Clone, Debug, PartialEq)]
pub enum ChargeError {
    /// The fluid has no such state.
    Fluid(FluidError),
    /// A volume or length that must be above zero is not, in SI.
    Size(f64),
    /// The fill is outside 0 to 1.
    Fill(Fraction),
    /// The design split is not above zero.
    Split(TemperatureDifference),
}

impl From<FluidError> for ChargeError {
    fn from(error: FluidError) -> Self {
        Self::Fluid(error)
    }
}

/// What a receiver may hold.
#[derive(Clone, Debug, PartialEq)]
pub struct ReceiverCapacity {
    /// The mass.
    pub capacity: Uncertain<Mass>,
    /// Liquid density at the hottest temperature.
    pub liquid_density: Density,
    /// The hottest temperature.
    pub hottest: Temperature,
    /// The part filled.
    pub fill: Fraction,
    /// The fill was not stated but assumed.
    pub fill_assumed: bool,
}

/// Returns what a receiver holds as liquid at the hottest temperature it will see: fill x volume x liquid density.
///
/// Today's temperature is the wrong one: a receiver pumped full in the cold is over-full in the sun. Bubble-point
/// liquid; the vapour above it is left out.
///
/// # Errors
/// [`ChargeError`] for a volume not above zero, a fill outside 0 to 1, or no liquid at that temperature.
pub fn receiver_capacity(
    fluid: &Fluid,
    volume: &Uncertain<Volume>,
    hottest: Temperature,
    fill: Option<Fraction>,
) -> Result<ReceiverCapacity, ChargeError> {
    let v = above_zero(volume.value().cubic_metre())?;
    let part = fill.unwrap_or(RECEIVER_FILL);
    if !(part.ratio() > 0.0 && part.ratio() <= 1.0) {
        return Err(ChargeError::Fill(part));
    }
    let liquid_density = fluid.bubble_at_temperature(hottest)?.density;
    let per_volume = part.ratio() * liquid_density.kilogram_per_cubic_metre();
    Ok(ReceiverCapacity {
        capacity: volume.map(Mass::from_kilogram(v * per_volume), per_volume),
        liquid_density,
        hottest,
        fill: part,
        fill_assumed: fill.is_none(),
    })
}

/// Whether a charge fits a receiver.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpDownRoom {
    /// Capacity less charge less margin.
    pub room: Uncertain<Mass>,
    /// Whether that is at least nothing. Inside: the charge may be pumped down. Else recover, or measure better.
    pub fits: Verdict,
}

/// Returns the room that is left in a receiver when the whole charge and a margin are in it.
#[must_use]
pub fn pump_down_room(
    capacity: &ReceiverCapacity,
    total_charge: &Uncertain<Mass>,
    margin: Mass,
) -> PumpDownRoom {
    let room = capacity.capacity.value() - total_charge.value() - margin;
    let room = combine(room, [capacity.capacity.part(1.0), total_charge.part(-1.0)]);
    let fits = Limit::AtLeast(Mass::from_kilogram(0.0)).judge(&room);
    PumpDownRoom { room, fits }
}

/// What a liquid line holds.
#[derive(Clone, Debug, PartialEq)]
pub struct LineCharge {
    /// The mass.
    pub mass: Uncertain<Mass>,
    /// The mass in a metre, kg/m.
    pub by_length: f64,
    /// Liquid density.
    pub liquid_density: Density,
}

/// Returns what a liquid line of this inside diameter holds: pi/4 ID^2 l rho.
///
/// Bubble-point liquid at the line's temperature; subcooling below it adds some tenths of a per cent.
///
/// # Errors
/// [`ChargeError`] for a diameter or length not above zero, or no liquid at that temperature.
pub fn liquid_line_charge(
    fluid: &Fluid,
    inside_diameter: Length,
    length: &Uncertain<Length>,
    temperature: Temperature,
) -> Result<LineCharge, ChargeError> {
    let d = above_zero(inside_diameter.metre())?;
    let l = above_zero(length.value().metre())?;
    let liquid_density = fluid.bubble_at_temperature(temperature)?.density;
    let by_length = core::f64::consts::FRAC_PI_4 * d * d * liquid_density.kilogram_per_cubic_metre();
    Ok(LineCharge {
        mass: length.map(Mass::from_kilogram(by_length * l), by_length),
        by_length,
        liquid_density,
    })
}

/// The winter charge and what it was made of.
#[derive(Clone, Debug, PartialEq)]
pub struct WinterCharge {
    /// The part of the condenser that must stand full of liquid on the coldest day.
    pub flooded: Fraction,
    /// The extra mass that takes, on top of the summer charge.
    pub extra: Uncertain<Mass>,
    /// The liquid temperature used.
    pub liquid_temperature: Temperature,
    /// That temperature was not stated: the mean of head setting and coldest ambient was taken.
    pub liquid_temperature_assumed: bool,
    /// Liquid density there.
    pub liquid_density: Density,
    /// Density of the vapour that the liquid displaces, at the head setting.
    pub vapour_density: Density,
}

/// Returns the part of a condenser that floods to hold the head: 1 - split/(head setting - ambient), from 0 to 1.
///
/// Constant UA by length and constant load; part load, unloaders and split condensers change it. Where the ambient
/// leaves the whole condenser in use, nothing floods.
///
/// # Errors
/// [`ChargeError::Split`] for a design split not above zero.
///
/// Source: the rule that doubling the temperature difference floods half and tripling it two thirds (trade articles
/// on flooded head-pressure control).
pub fn flooded_fraction(
    design_split: TemperatureDifference,
    head_setting: Temperature,
    coldest_ambient: Temperature,
) -> Result<Fraction, ChargeError> {
    let td = design_split.kelvin();
    if td.is_nan() || td <= 0.0 {
        return Err(ChargeError::Split(design_split));
    }
    let available = (head_setting - coldest_ambient).kelvin();
    if available <= td {
        return Ok(Fraction::from_ratio(0.0));
    }
    Ok(Fraction::from_ratio(1.0 - td / available))
}

/// Returns the extra charge that a flooded condenser needs on the coldest day.
///
/// f V (rho_liquid - rho_vapour): liquid at `liquid_temperature`, else at the mean of head setting and coldest ambient;
/// vapour saturated at the head setting. The receiver must hold the summer charge and this.
///
/// # Errors
/// [`ChargeError`] for a volume or split not above zero, or no such saturation.
pub fn winter_charge(
    fluid: &Fluid,
    condenser_volume: &Uncertain<Volume>,
    flooded: Fraction,
    head_setting: Temperature,
    coldest_ambient: Temperature,
    liquid_temperature: Option<Temperature>,
) -> Result<WinterCharge, ChargeError> {
    let v = above_zero(condenser_volume.value().cubic_metre())?;
    let f = flooded.ratio();
    if !(0.0..=1.0).contains(&f) {
        return Err(ChargeError::Fill(flooded));
    }
    let mean = Temperature::from_kelvin(0.5 * (head_setting.kelvin() + coldest_ambient.kelvin()));
    let at = liquid_temperature.unwrap_or(mean);
    let liquid_density = fluid.bubble_at_temperature(at)?.density;
    let vapour_density = fluid.dew_at_temperature(head_setting)?.density;
    let per_volume =
        f * (liquid_density.kilogram_per_cubic_metre() - vapour_density.kilogram_per_cubic_metre());
    Ok(WinterCharge {
        flooded,
        extra: condenser_volume.map(Mass::from_kilogram(v * per_volume), per_volume),
        liquid_temperature: at,
        liquid_temperature_assumed: liquid_temperature.is_none(),
        liquid_density,
        vapour_density,
    })
}

/// Where a clean condenser at design load should stand.
#[derive(Clone, Debug, PartialEq)]
pub struct CondensingTarget {
    /// The condensing temperature, by dew: ambient plus split.
    pub temperature: Uncertain<Temperature>,
    /// The dew pressure there.
    pub pressure: Uncertain<AbsolutePressure>,
    /// A head-pressure control holds this pressure, which is above the target: the split says nothing.
    pub held_by_control: bool,
}

/// Returns the condensing target for an ambient and a split, and whether a head-pressure control stands above it.
///
/// Holds at design load, all fans on, clean coil, and not while a control holds the head.
///
/// # Errors
/// The fluid's own, such as a temperature above the critical one.
pub fn condensing_target(
    fluid: &Fluid,
    ambient: &Uncertain<Temperature>,
    split: &Uncertain<TemperatureDifference>,
    head_setting: Option<Temperature>,
) -> Result<CondensingTarget, ChargeError> {
    let temperature = combine(ambient.value() + split.value(), [ambient.part(1.0), split.part(1.0)]);
    let point = fluid.dew_at_temperature(temperature.value())?;
    Ok(CondensingTarget {
        pressure: temperature.map(point.pressure, point.slope),
        held_by_control: head_setting.is_some_and(|held| held > temperature.value()),
        temperature,
    })
}

fn above_zero(si: f64) -> Result<f64, ChargeError> {
    if si > 0.0 && si.is_finite() { Ok(si) } else { Err(ChargeError::Size(si)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doubling_the_difference_floods_half() {
        let f = |td, set, ambient| {
            let at = Temperature::from_fahrenheit;
            flooded_fraction(TemperatureDifference::from_fahrenheit(td), at(set), at(ambient))
                .unwrap()
                .ratio()
        };
        assert!((f(15.0, 90.0, 60.0) - 0.5).abs() < 1e-12);
        assert!((f(15.0, 90.0, 45.0) - 2.0 / 3.0).abs() < 1e-12);
        assert_eq!(f(15.0, 90.0, 80.0), 0.0);
        assert_eq!(f(15.0, 90.0, 110.0), 0.0);
        assert!(matches!(
            flooded_fraction(
                TemperatureDifference::from_kelvin(0.0),
                Temperature::from_fahrenheit(90.0),
                Temperature::from_fahrenheit(0.0)
            ),
            Err(ChargeError::Split(_))
        ));
    }
}
