//! What a controller shows beside what the gauges give at the same moment.

use super::Visit;
use super::readings::{Place, ReadingResult};
use crate::doubts::Side;
use crate::opening::{input, number};
use report::{Finding, Message, VerdictMark};
use units::{GaugePressure, PressureDifference, TemperatureDifference, Uncertain, Writer, combine};

/// A pressure transducer's own doubt, where nobody stated it: 1 % of a 250 psi span, a judgement.
pub const TRANSDUCER: PressureDifference = PressureDifference::from_psi(2.5);

/// One thing shown, against the gauges.
#[derive(Clone, Debug)]
pub enum Compared {
    /// The suction pressure.
    Pressure {
        /// What the controller shows.
        shown: Uncertain<GaugePressure>,
        /// What the gauges give.
        found: Uncertain<GaugePressure>,
        /// Shown less found.
        difference: Uncertain<PressureDifference>,
        /// The two agree within their doubts.
        agrees: bool,
    },
    /// The superheat.
    Superheat {
        /// What the controller shows.
        shown: TemperatureDifference,
        /// What gauges and probe give.
        found: Uncertain<TemperatureDifference>,
        /// Shown less found.
        difference: Uncertain<TemperatureDifference>,
        /// What is shown lies within the doubt of what was found.
        agrees: bool,
    },
}

/// Returns what a set of readings lets compare: pressure and superheat.
///
/// A saturation temperature shown is judged with the readings themselves ([`ReadingResult::shown_saturation`]).
#[must_use]
pub fn compared(visit: &Visit, result: &ReadingResult<'_>) -> Vec<Compared> {
    let reading = result.reading;
    let mut out = Vec::new();
    // The transducer sits where the gauges do: at the coil where that was read, else at the compressor.
    let gauges = [
        ("suction_pressure", &reading.suction_pressure),
        ("evaporator_pressure", &reading.evaporator_pressure),
    ];
    let found = gauges.into_iter().find_map(|(key, measured)| {
        let measured = measured.as_ref()?;
        Some(visit.bench.pressure(measured, &result.entry.seen.with, Side::Low, key, visit.air))
    });
    if let (Some(measured), Some(found)) = (&reading.shown_suction_pressure, found) {
        let shown = measured.get().absolute(visit.air).gauge(visit.air);
        let shown = Uncertain::within(
            shown,
            units::Doubt::new(units::Cause::AssumedAccuracy, "shown_suction_pressure"),
            TRANSDUCER.pascal(),
        );
        let found = found.map(found.value().gauge(visit.air), 1.0);
        let difference = combine(
            PressureDifference::from_pascal(shown.value().pascal() - found.value().pascal()),
            [shown.part(1.0), found.part(-1.0)],
        );
        let agrees = difference.value().pascal().abs() <= 2.0 * difference.u();
        out.push(Compared::Pressure { shown, found, difference, agrees });
    }
    let superheat = result
        .working_superheat()
        .filter(|(place, _)| matches!(place, Place::Evaporator | Place::EvaporatorByCompressor));
    if let (Some(measured), Some((_, found))) = (&reading.shown_superheat, superheat) {
        let shown = measured.get();
        let found = found.superheat.clone();
        let difference = found.map(shown - found.value(), -1.0);
        let agrees = difference.value().kelvin().abs() <= 2.0 * difference.u();
        out.push(Compared::Superheat { shown, found, difference, agrees });
    }
    out
}

impl Compared {
    /// Returns the comparison as a row.
    #[must_use]
    pub fn finding(&self, writer: &Writer) -> Finding {
        let (name, agrees) = match self {
            Compared::Pressure { agrees, .. } => (Message::new("compared-pressure"), *agrees),
            Compared::Superheat { agrees, .. } => (Message::new("compared-superheat"), *agrees),
        };
        let mark = if agrees { VerdictMark::Met } else { VerdictMark::Doubtful };
        let mut finding = Finding::new(mark, name);
        let word =
            if agrees { Message::new("found-display-agrees") } else { Message::new("found-display-differs") };
        finding.word = Some(word.into());
        let (method, source) = (Message::new("method-compared"), Message::new("source-jcgm"));
        let label = Message::new("found-display-by");
        let shown_name = Message::new("compared-shown");
        let found_name = Message::new("compared-found");
        finding.number = Some(match self {
            Compared::Pressure { shown, found, difference, .. } => {
                let inputs = vec![input(shown_name, shown, writer), input(found_name, found, writer)];
                number(label, difference, writer, inputs, method, source)
            }
            Compared::Superheat { shown, found, difference, .. } => {
                let shown = Uncertain::exact(*shown);
                let inputs = vec![input(shown_name, &shown, writer), input(found_name, found, writer)];
                number(label, difference, writer, inputs, method, source)
            }
        });
        if !agrees {
            finding.advice = Some(Message::new("compared-reconcile").into());
        }
        finding
    }
}
