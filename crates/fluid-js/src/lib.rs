//! The engine behind plain functions of numbers, as a wasm module exports them; `package/index.js` gives them names.
//!
//! A question leaves its numbers in a room of fixed size, from which [`value`] reads them one by one: nothing is allocated
//! for the caller, and no tool is needed to build the bridge. A number that does not exist is not a number.

#![allow(unsafe_code)] // The attribute alone: it exports a name to the wasm module.

use fluid::{Fluid, FluidError, Inventory, LeakFrom, Phase, State};
use refrigerant::Grade;
use std::cell::Cell;
use units::{AbsolutePressure, Fraction, SpecificEnthalpy, SpecificEntropy, Temperature};

/// Numbers of one answer.
const ROOM: usize = 20;

/// Where mass fractions begin in the answer of [`after_leak`].
const FRACTIONS: usize = 10;

thread_local! {
    static ANSWER: Cell<[f64; ROOM]> = const { Cell::new([f64::NAN; ROOM]) };
}

/// Returns how many refrigerants there are.
#[unsafe(no_mangle)]
pub extern "C" fn known() -> u32 {
    u32::try_from(refrigerant::all().len()).unwrap_or(0)
}

/// Returns byte `at` of the designation of a refrigerant, 0 past its end.
#[unsafe(no_mangle)]
pub extern "C" fn name_byte(refrigerant: u32, at: u32) -> u32 {
    let name = refrigerant::all().get(refrigerant as usize).map_or("", |known| known.designation());
    name.as_bytes().get(at as usize).map_or(0, |byte| u32::from(*byte))
}

/// Returns byte `at` of the grade of a refrigerant's mixing model, 0 past its end.
#[unsafe(no_mangle)]
pub extern "C" fn grade_byte(refrigerant: u32, at: u32) -> u32 {
    let grade = refrigerant::all().get(refrigerant as usize).map_or("", |known| match known.grade() {
        Grade::Pure => "pure",
        Grade::A => "A",
        Grade::AMinus => "A-",
        Grade::B => "B",
        Grade::Anchored => "anchored",
        Grade::C => "C",
    });
    grade.as_bytes().get(at as usize).map_or(0, |byte| u32::from(*byte))
}

/// Returns a number of the last answer.
#[unsafe(no_mangle)]
pub extern "C" fn value(at: u32) -> f64 {
    ANSWER.get().get(at as usize).copied().unwrap_or(f64::NAN)
}

/// Answers a question and returns 0, or the number of the reason why there is no answer.
///
/// 0 and 1: bubble and dew point at `a` kelvin; 2 and 3: at `a` pascal; 4: state at `a` pascal and `b` kelvin; 5: and `b` J/kg;
/// 6: and `b` J/(kg K).
#[unsafe(no_mangle)]
pub extern "C" fn ask(refrigerant: u32, question: u32, a: f64, b: f64) -> u32 {
    let Some(known) = refrigerant::all().get(refrigerant as usize) else { return UNKNOWN };
    leave(answer(&known.fluid(), question, a, b))
}

/// Returns the pressure on a line at a temperature from the table, good to 1e-5; not a number beyond the table's ends.
///
/// `line` is 0 for bubble, 1 for dew. The table is made when first asked for.
#[unsafe(no_mangle)]
pub extern "C" fn table_pressure(refrigerant: u32, line: u32, kelvin: f64) -> f64 {
    let Some(known) = refrigerant::all().get(refrigerant as usize) else { return f64::NAN };
    thread_local! {
        static LAST: std::cell::RefCell<Option<(u32, Fluid)>> = const { std::cell::RefCell::new(None) };
    }
    LAST.with_borrow_mut(|last| {
        if last.as_ref().is_none_or(|(own, _)| *own != refrigerant) {
            *last = Some((refrigerant, known.fluid()));
        }
        let table = last.as_ref().and_then(|(_, fluid)| fluid.saturation_table());
        let t = Temperature::from_kelvin(kelvin);
        table
            .and_then(|table| if line == 0 { table.bubble_pressure(t) } else { table.dew_pressure(t) })
            .map_or(f64::NAN, AbsolutePressure::pascal)
    })
}

/// Answers what a leak leaves and returns 0, or the number of the reason why there is no answer.
///
/// `from` is 0 for vapour, 1 for liquid; `vapour` the share of the mass that is vapour at the start, in a room that stays as
/// it is, or not a number for liquid alone.
#[unsafe(no_mangle)]
pub extern "C" fn after_leak(refrigerant: u32, kelvin: f64, from: u32, lost: f64, vapour: f64) -> u32 {
    let Some(known) = refrigerant::all().get(refrigerant as usize) else { return UNKNOWN };
    let from = if from == 0 { LeakFrom::Vapour } else { LeakFrom::Liquid };
    let inventory = if vapour.is_nan() {
        Inventory::LiquidAlone
    } else {
        Inventory::VapourAtStart(Fraction::from_ratio(vapour))
    };
    let remains = known.fluid().after_leak(
        Temperature::from_kelvin(kelvin),
        from,
        Fraction::from_ratio(lost),
        inventory,
    );
    leave(remains.map(|remains| {
        let mut out = of_state(&remains.state);
        for (room, part) in out[FRACTIONS..].iter_mut().zip(remains.fluid.mass_fractions()) {
            *room = part;
        }
        out
    }))
}

/// The reason for a number that stands for no refrigerant.
const UNKNOWN: u32 = 12;

fn leave(answer: Result<[f64; ROOM], FluidError>) -> u32 {
    match answer {
        Ok(values) => {
            ANSWER.set(values);
            0
        }
        Err(why) => {
            ANSWER.set([f64::NAN; ROOM]);
            reason(&why)
        }
    }
}

/// The order is that of the list in `package/index.js`.
fn reason(why: &FluidError) -> u32 {
    match why {
        FluidError::NotANumber => 1,
        FluidError::Solid { .. } => 2,
        FluidError::BelowTriplePressure { .. } => 3,
        FluidError::AboveCriticalTemperature { .. } => 4,
        FluidError::AboveCriticalPressure { .. } => 5,
        FluidError::TooHot { .. } => 6,
        FluidError::PressureTooHigh { .. } => 7,
        FluidError::QualityOutOfRange { .. } => 8,
        FluidError::TwoLiquids => 9,
        FluidError::Unstable => 10,
        FluidError::NotConverged => 11,
    }
}

fn answer(fluid: &Fluid, question: u32, a: f64, b: f64) -> Result<[f64; ROOM], FluidError> {
    let (t, p) = (Temperature::from_kelvin(a), AbsolutePressure::from_pascal(a));
    macro_rules! point {
        ($of:expr) => {{
            let found = $of?;
            let mut out = [f64::NAN; ROOM];
            out[1] = found.temperature.kelvin();
            out[2] = found.pressure.pascal();
            out[3] = found.density.kilogram_per_cubic_metre();
            out[4] = found.enthalpy.joule_per_kilogram();
            out[5] = found.entropy.joule_per_kilogram_kelvin();
            Ok(out)
        }};
    }
    match question {
        0 => point!(fluid.bubble_at_temperature(t)),
        1 => point!(fluid.dew_at_temperature(t)),
        2 => point!(fluid.bubble_at_pressure(p)),
        3 => point!(fluid.dew_at_pressure(p)),
        4 => fluid.state_at_pressure_temperature(p, Temperature::from_kelvin(b)).map(|s| of_state(&s)),
        5 => fluid
            .state_at_pressure_enthalpy(p, SpecificEnthalpy::from_joule_per_kilogram(b))
            .map(|s| of_state(&s)),
        6 => fluid
            .state_at_pressure_entropy(p, SpecificEntropy::from_joule_per_kilogram_kelvin(b))
            .map(|s| of_state(&s)),
        _ => Err(FluidError::NotANumber),
    }
}

fn of_state(state: &State) -> [f64; ROOM] {
    let mut out = [f64::NAN; ROOM];
    out[0] = match state.phase {
        Phase::Liquid => 0.0,
        Phase::Vapour => 1.0,
        Phase::TwoPhase => 2.0,
        Phase::Supercritical => 3.0,
    };
    out[1] = state.temperature.kelvin();
    out[2] = state.pressure.pascal();
    out[3] = state.density.kilogram_per_cubic_metre();
    out[4] = state.enthalpy.joule_per_kilogram();
    out[5] = state.entropy.joule_per_kilogram_kelvin();
    let absent = f64::NAN;
    out[6] = state.cp.map_or(absent, SpecificEntropy::joule_per_kilogram_kelvin);
    out[7] = state.cv.map_or(absent, SpecificEntropy::joule_per_kilogram_kelvin);
    out[8] = state.speed_of_sound.map_or(absent, |w| w.metre_per_second());
    out[9] = state.quality.map_or(absent, Fraction::ratio);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(name: &str) -> u32 {
        let place = refrigerant::all().iter().position(|known| known.designation() == name);
        u32::try_from(place.expect("it is known")).expect("few")
    }

    #[test]
    fn an_answer_stands_in_the_room_and_a_refusal_leaves_none() {
        let r = number("R-134a");
        assert_eq!(ask(r, 0, 300.0, 0.0), 0);
        // Tillner-Roth, Baehr, J. Phys. Chem. Ref. Data 23 (1994) 657, table 8, by way of another program's tests.
        assert!((value(2) / 0.70282e6 - 1.0).abs() < 1e-4 && (value(3) / 1199.7 - 1.0).abs() < 1e-4);
        assert!(value(9).is_nan() && value(99).is_nan());
        assert_eq!(ask(r, 0, 400.0, 0.0), 4);
        assert!(value(2).is_nan());
        assert_eq!((ask(9999, 0, 300.0, 0.0), ask(r, 77, 300.0, 0.0)), (UNKNOWN, 1));
        assert!((table_pressure(r, 1, 300.0) / 0.70282e6 - 1.0).abs() < 1e-4);
    }

    #[test]
    fn a_leak_leaves_fractions_that_sum_to_one() {
        let r = number("R-448A");
        assert_eq!(after_leak(r, 298.15, 0, 0.3, 0.1), 0);
        let sum: f64 = (10..15_u32).map(|at| value(at)).sum();
        assert!((sum - 1.0).abs() < 1e-9 && value(15).is_nan(), "{sum}");
        assert_eq!(value(0), 2.0);
    }

    #[test]
    fn names_end() {
        let name: Vec<u8> =
            (0..40_u32).map(|at| name_byte(0, at)).take_while(|b| *b > 0).map(|b| b as u8).collect();
        assert_eq!(String::from_utf8(name).expect("plain"), refrigerant::all()[0].designation());
        assert!(grade_byte(0, 0) > 0 && known() > 140);
    }
}
