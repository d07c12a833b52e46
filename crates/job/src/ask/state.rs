//! The state of a refrigerant at a pressure and one more property.

use super::{Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use fluid::Phase;
use report::{Block, Document, Mark, Message, Number, Section, Text, Value};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, Density, Fraction, PressureReading, SpecificEnthalpy, SpecificEntropy,
    Speed, Temperature, Writer,
};

/// The property given beside the pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Second {
    /// Temperature.
    Temperature(Temperature),
    /// Enthalpy on the IIR reference.
    Enthalpy(SpecificEnthalpy),
    /// Entropy on the IIR reference.
    Entropy(SpecificEntropy),
    /// Part of the mass that is vapour.
    Quality(Fraction),
}

/// A state; what has no meaning there is absent.
#[derive(Clone)]
pub struct StateAnswer {
    substance: Substance,
    air: Atmosphere,
    /// The figures.
    pub figures: StateFigures,
}

/// The figures of a state in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct StateFigures {
    /// `liquid`, `vapour`, `two_phase` or `supercritical`.
    pub phase: &'static str,
    /// Temperature.
    pub temperature_k: f64,
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// Density.
    pub density_kg_m3: f64,
    /// Enthalpy, 200 kJ/kg for saturated liquid at 0 °C.
    pub enthalpy_j_kg: f64,
    /// Entropy, 1 kJ/(kg K) for saturated liquid at 0 °C.
    pub entropy_j_kg_k: f64,
    /// Heat capacity at constant pressure; absent in two phases.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cp_j_kg_k: Option<f64>,
    /// Heat capacity at constant volume; absent in two phases.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cv_j_kg_k: Option<f64>,
    /// Speed of sound; absent in two phases.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed_of_sound_m_s: Option<f64>,
    /// Viscosity; absent in two phases and where a component's is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub viscosity_pa_s: Option<f64>,
    /// Its relative standard uncertainty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub viscosity_relative_u: Option<f64>,
    /// Thermal conductivity; absent as the viscosity is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conductivity_w_m_k: Option<f64>,
    /// Its relative standard uncertainty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conductivity_relative_u: Option<f64>,
    /// Surface tension of the saturated liquid at this temperature; present in two phases.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub surface_tension_n_m: Option<f64>,
    /// Part of the mass that is vapour; present in two phases and on their edge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quality: Option<f64>,
    /// Above the critical pressure: the temperature at which the heat capacity peaks at this pressure. It stands in for a
    /// saturation temperature, which there is none of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pseudo_critical_temperature_k: Option<f64>,
    /// Whether sea level was assumed to make a gauge pressure absolute.
    pub sea_level_assumed: bool,
}

impl Serialize for StateAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Returns the state at `pressure` and `second`.
///
/// # Errors
/// [`Refused`]: a place the equations do not cover, a quality outside 0 to 1.
pub fn state(
    substance: &Substance,
    pressure: PressureReading,
    second: (Second, &str),
    air: Atmosphere,
) -> Result<StateAnswer, Refused> {
    let p = pressure.absolute(air);
    let fluid = &substance.fluid;
    let (second, given) = second;
    let (field, found) = match second {
        Second::Temperature(t) => ("--temperature", fluid.state_at_pressure_temperature(p, t)),
        Second::Enthalpy(h) => ("--enthalpy", fluid.state_at_pressure_enthalpy(p, h)),
        Second::Entropy(s) => ("--entropy", fluid.state_at_pressure_entropy(p, s)),
        Second::Quality(x) => {
            if !(0.0..=1.0).contains(&x.ratio()) {
                let message = Message::new("refused-not-a-part");
                return Err(Refused::new("not_a_part", "--quality", given, "0.3", message));
            }
            ("--quality", fluid.state_at_pressure_quality(p, x))
        }
    };
    let found = found.map_err(|error| fluid_refused(field, given, &error))?;
    let pseudo_critical = (found.phase == Phase::Supercritical)
        .then(|| field::supercritical::above_critical(fluid, p, found.temperature).ok()?.pseudo_critical)
        .flatten();
    let transport = (found.phase != Phase::TwoPhase)
        .then(|| refrigerant::transport(fluid, found.density, found.temperature))
        .flatten();
    let tension = (found.phase == Phase::TwoPhase)
        .then(|| refrigerant::surface_tension(fluid, found.temperature))
        .flatten();
    let conductivity =
        transport.and_then(|own| own.conductivity_w_m_k.zip(Some(own.conductivity_relative_u)));
    let figures = StateFigures {
        phase: match found.phase {
            Phase::Liquid => "liquid",
            Phase::Vapour => "vapour",
            Phase::TwoPhase => "two_phase",
            Phase::Supercritical => "supercritical",
        },
        temperature_k: found.temperature.kelvin(),
        pressure_pa: found.pressure.pascal(),
        density_kg_m3: found.density.kilogram_per_cubic_metre(),
        enthalpy_j_kg: found.enthalpy.joule_per_kilogram(),
        entropy_j_kg_k: found.entropy.joule_per_kilogram_kelvin(),
        cp_j_kg_k: found.cp.map(SpecificEntropy::joule_per_kilogram_kelvin),
        cv_j_kg_k: found.cv.map(SpecificEntropy::joule_per_kilogram_kelvin),
        speed_of_sound_m_s: found.speed_of_sound.map(Speed::metre_per_second),
        viscosity_pa_s: transport.map(|own| own.viscosity_pa_s),
        viscosity_relative_u: transport.map(|own| own.viscosity_relative_u),
        conductivity_w_m_k: conductivity.map(|(own, _)| own),
        conductivity_relative_u: conductivity.map(|(_, u)| u),
        surface_tension_n_m: tension,
        quality: found.quality.map(Fraction::ratio),
        pseudo_critical_temperature_k: pseudo_critical.map(Temperature::kelvin),
        sea_level_assumed: pressure.is_gauge() && super::AirAnswer::from(air).sea_level_assumed,
    };
    Ok(StateAnswer { substance: substance.clone(), air, figures })
}

impl Answer for StateAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let figures = &self.figures;
        let phase = match figures.phase {
            "liquid" => Message::new("ask-phase-liquid"),
            "vapour" => Message::new("ask-phase-vapour"),
            "two_phase" => Message::new("ask-phase-two"),
            _ => Message::new("ask-phase-supercritical"),
        };
        let title = Message::new("ask-state-title")
            .with("refrigerant", self.substance.name.as_str())
            .with("phase", phase);
        let mut document = Document::new(Text::from(title), "en", Mark::Answer);
        let pressure = AbsolutePressure::from_pascal(figures.pressure_pa);
        let mut numbers = vec![
            Number::new(
                Message::new("ask-temperature"),
                Value::from(writer.write(Temperature::from_kelvin(figures.temperature_k))),
            ),
            Number::new(
                Message::new("ask-gauge-pressure"),
                Value::from(writer.write(pressure.gauge(self.air))),
            ),
            Number::new(Message::new("ask-absolute-pressure"), Value::from(writer.write(pressure))),
            Number::new(
                Message::new("ask-density"),
                Value::from(writer.write(Density::from_kilogram_per_cubic_metre(figures.density_kg_m3))),
            ),
            Number::new(
                Message::new("ask-enthalpy"),
                Value::from(writer.write(SpecificEnthalpy::from_joule_per_kilogram(figures.enthalpy_j_kg))),
            ),
            Number::new(
                Message::new("ask-entropy"),
                Value::from(
                    writer.write(SpecificEntropy::from_joule_per_kilogram_kelvin(figures.entropy_j_kg_k)),
                ),
            ),
        ];
        let heat =
            |value: f64| Value::from(writer.write(SpecificEntropy::from_joule_per_kilogram_kelvin(value)));
        if let Some(cp) = figures.cp_j_kg_k {
            numbers.push(Number::new(Message::new("ask-cp"), heat(cp)));
        }
        if let Some(cv) = figures.cv_j_kg_k {
            numbers.push(Number::new(Message::new("ask-cv"), heat(cv)));
        }
        if let Some(speed) = figures.speed_of_sound_m_s {
            let speed = Value::from(writer.write(Speed::from_metre_per_second(speed)));
            numbers.push(Number::new(Message::new("ask-speed-of-sound"), speed));
        }
        if let Some((viscosity, u)) = figures.viscosity_pa_s.zip(figures.viscosity_relative_u) {
            let name = Message::new("ask-viscosity").with("u", writer.number(100.0 * u, 0));
            numbers.push(Number::new(name, writer.number(1e6 * viscosity, 1)));
        }
        if let Some((conductivity, u)) = figures.conductivity_w_m_k.zip(figures.conductivity_relative_u) {
            let name = Message::new("ask-conductivity").with("u", writer.number(100.0 * u, 0));
            numbers.push(Number::new(name, writer.number(1e3 * conductivity, 1)));
        }
        if let Some(tension) = figures.surface_tension_n_m {
            numbers.push(Number::new(Message::new("ask-surface-tension"), writer.number(1e3 * tension, 2)));
        }
        if let Some(peak) = figures.pseudo_critical_temperature_k {
            let peak = Value::from(writer.write(Temperature::from_kelvin(peak)));
            numbers.push(Number::new(Message::new("ask-pseudo-critical"), peak));
        }
        if let Some(quality) = figures.quality {
            numbers.push(Number::new(Message::new("ask-quality"), writer.number(quality, 3)));
        }
        let mut blocks =
            vec![Block::Numbers(numbers), Block::Paragraph(air_sentence(self.air, writer).into())];
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
