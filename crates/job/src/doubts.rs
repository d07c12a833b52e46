//! From what was typed to a value with its doubts: instruments as stated or assumed, ranges, hearsay.

use record::{Exactness, Instrument, Known, Measured, Measures, PressureOrTemperature};
use std::collections::BTreeMap;
use units::{
    AbsolutePressure, Atmosphere, Cause, Doubt, Mass, PressureDifference, PressureReading, Quantity,
    Temperature, TemperatureDifference, Uncertain,
};

/// Half-width of a low-side gauge nobody stated: 1 % of a 250 psi span. Assumed, and named so.
pub const ASSUMED_LOW_SIDE_GAUGE: PressureDifference = PressureDifference::from_psi(2.5);
/// Half-width of a high-side gauge nobody stated: 1 % of a 500 psi span. Assumed, and named so.
pub const ASSUMED_HIGH_SIDE_GAUGE: PressureDifference = PressureDifference::from_psi(5.0);
/// Half-width of a clamp or air probe nobody stated: 1 °F. Assumed, and named so.
pub const ASSUMED_PROBE: TemperatureDifference = TemperatureDifference::from_fahrenheit(1.0);
/// Smallest step of a gauge nobody stated: 1 psi. Assumed, and named so.
pub const ASSUMED_GAUGE_STEP: PressureDifference = PressureDifference::from_psi(1.0);
/// Half-width of a scale nobody stated. A judgement, and named as assumed.
pub const ASSUMED_SCALE: Mass = Mass::from_kilogram(0.02);
/// Half-width of what was told or said to be "about", as a part of the value. A judgement.
pub const HEARSAY_PART: f64 = 0.1;

/// The side of the circuit a pressure was read on; it decides what is assumed of an unstated gauge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Suction and evaporator.
    Low,
    /// Discharge and liquid.
    High,
}

/// The instruments of a visit, by their names.
#[derive(Clone, Debug, Default)]
pub struct Bench {
    instruments: BTreeMap<String, Instrument>,
}

impl Bench {
    /// Returns the bench of these instruments.
    pub fn new<'a>(instruments: impl IntoIterator<Item = &'a Instrument>) -> Self {
        Self { instruments: instruments.into_iter().map(|i| (i.id.clone(), i.clone())).collect() }
    }

    /// Puts an instrument on the bench, in place of one of the same name.
    pub fn put(&mut self, instrument: &Instrument) {
        self.instruments.insert(instrument.id.clone(), instrument.clone());
    }

    /// Returns the instruments, by their names.
    pub fn instruments(&self) -> impl Iterator<Item = &Instrument> {
        self.instruments.values()
    }

    /// Returns the instrument of a reading: the one it names, else the first of the entry's that measures this.
    #[must_use]
    pub fn instrument(
        &self,
        named: Option<&str>,
        entry: &[String],
        measures: Measures,
    ) -> Option<&Instrument> {
        let by_name = |name: &str| self.instruments.get(name);
        named.and_then(by_name).or_else(|| {
            entry.iter().filter_map(|name| by_name(name)).find(|instrument| instrument.measures == measures)
        })
    }

    /// Returns a pressure with the doubts of its gauge; `reading` is the caller's key of this one reading.
    #[must_use]
    pub fn pressure(
        &self,
        measured: &Measured<PressureReading>,
        entry: &[String],
        side: Side,
        reading: &str,
        air: Atmosphere,
    ) -> Uncertain<AbsolutePressure> {
        let value = measured.get().absolute(air);
        let instrument = self.instrument(measured.with.as_deref(), entry, Measures::Pressure);
        let assumed = match side {
            Side::Low => ASSUMED_LOW_SIDE_GAUGE,
            Side::High => ASSUMED_HIGH_SIDE_GAUGE,
        };
        let size = |exactness: Exactness, span: Option<f64>| match exactness {
            Exactness::Pressure(p) => Some((p.pascal(), Cause::Accuracy)),
            Exactness::Share(part) => Some(match span {
                Some(span) => (part.ratio() * span, Cause::Accuracy),
                None => (part.ratio() * measured_size(measured.get()), Cause::Scale),
            }),
            _ => None,
        };
        let span = instrument.and_then(|i| i.span.as_ref()).and_then(|span| match span.value {
            PressureOrTemperature::Pressure(PressureReading::Gauge(p)) => Some(p.pascal()),
            PressureOrTemperature::Pressure(PressureReading::Absolute(p)) => Some(p.pascal()),
            PressureOrTemperature::Temperature(_) => None,
        });
        with_doubts(value, instrument, assumed.pascal(), reading, |exactness| size(exactness, span))
    }

    /// Returns a temperature with the doubts of its probe.
    #[must_use]
    pub fn temperature(
        &self,
        measured: &Measured<Temperature>,
        entry: &[String],
        reading: &str,
    ) -> Uncertain<Temperature> {
        let instrument = self.instrument(measured.with.as_deref(), entry, Measures::Temperature);
        with_doubts(
            measured.get(),
            instrument,
            ASSUMED_PROBE.kelvin(),
            reading,
            |exactness| match exactness {
                Exactness::Temperature(t) => Some((t.kelvin(), Cause::Accuracy)),
                _ => None,
            },
        )
    }

    /// Returns a weight with the doubts of its scale.
    #[must_use]
    pub fn mass(&self, measured: &Measured<Mass>, entry: &[String], reading: &str) -> Uncertain<Mass> {
        let instrument = self.instrument(measured.with.as_deref(), entry, Measures::Mass);
        let value = measured.get();
        with_doubts(value, instrument, ASSUMED_SCALE.kilogram(), reading, |exactness| match exactness {
            Exactness::Mass(m) => Some((m.kilogram(), Cause::Accuracy)),
            Exactness::Share(part) => Some((part.ratio() * value.kilogram(), Cause::Scale)),
            _ => None,
        })
    }
}

fn measured_size(reading: PressureReading) -> f64 {
    match reading {
        PressureReading::Gauge(p) => p.pascal().abs(),
        PressureReading::Absolute(p) => p.pascal(),
    }
}

/// A stated accuracy is an error of the instrument, common to all its readings; a display step belongs to the reading.
fn with_doubts<Q: Quantity>(
    value: Q,
    instrument: Option<&Instrument>,
    assumed: f64,
    reading: &str,
    size: impl Fn(Exactness) -> Option<(f64, Cause)>,
) -> Uncertain<Q> {
    let Some(instrument) = instrument else {
        let doubt = Doubt::new(Cause::AssumedAccuracy, reading);
        return Uncertain::within(value, doubt, assumed);
    };
    let whose = instrument.part_of.as_ref().unwrap_or(&instrument.id);
    let stated_u = instrument.u.as_ref().and_then(|typed| size(typed.value));
    let stated_half = instrument.accuracy.as_ref().and_then(|typed| size(typed.value));
    let mut out = match (stated_u, stated_half) {
        (Some((u, cause)), _) => Uncertain::new(value, Doubt::new(cause, whose.as_str()), u),
        (None, Some((half, cause))) => Uncertain::within(value, Doubt::new(cause, whose.as_str()), half),
        (None, None) => Uncertain::within(value, Doubt::new(Cause::AssumedAccuracy, whose.as_str()), assumed),
    };
    if let Some((step, _)) = instrument.resolution.as_ref().and_then(|typed| size(typed.value)) {
        out = out.and_resolution(reading, step);
    }
    out
}

/// Returns what is known as a value with its doubt, or nothing where nothing is known.
///
/// A range is a rectangle over it; hearsay and "about" take a tenth of the value as half-width, a judgement.
#[must_use]
pub fn known<Q: Quantity>(known: &Known<Q>, of: &str) -> Option<Uncertain<Q>> {
    let told = known.is_told();
    let part = |value: Q| value.si().abs() * HEARSAY_PART;
    match known.plain() {
        Known::Value(typed) if told => {
            Some(Uncertain::within(typed.value, Doubt::new(Cause::Judgement, of), part(typed.value)))
        }
        Known::Value(typed) => Some(Uncertain::exact(typed.value)),
        Known::About(typed) => {
            Some(Uncertain::within(typed.value, Doubt::new(Cause::Judgement, of), part(typed.value)))
        }
        Known::Range { from, to } => {
            let (a, b) = (from.value.si(), to.value.si());
            let doubt = Doubt::new(Cause::Range, of);
            Some(Uncertain::within(Q::from_si((a + b) / 2.0), doubt, (b - a).abs() / 2.0))
        }
        Known::Unknown | Known::Told { .. } => None,
    }
}
