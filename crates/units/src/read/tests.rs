use super::*;
use crate::Quantity;

#[track_caller]
fn reads<Q: FromStr<Err = ReadError> + Quantity>(text: &str, si: f64) {
    let value = text.parse::<Q>().unwrap_or_else(|error| panic!("{error}")).si();
    assert!((value - si).abs() <= 1e-9 * si.abs().max(1.0), "{text}: {value}, wanted {si}");
}

#[track_caller]
fn gauge(text: &str, pascal: f64) {
    match text.parse::<PressureReading>() {
        Ok(PressureReading::Gauge(p)) => {
            assert!((p.pascal() - pascal).abs() < 1e-6 * pascal.abs(), "{text}: {p:?}")
        }
        other => panic!("{text}: {other:?}"),
    }
}

#[track_caller]
fn absolute(text: &str, pascal: f64) {
    match text.parse::<PressureReading>() {
        Ok(PressureReading::Absolute(p)) => {
            assert!((p.pascal() - pascal).abs() < 1e-6 * pascal.abs(), "{text}: {p:?}");
        }
        other => panic!("{text}: {other:?}"),
    }
}

#[track_caller]
fn refuses<Q: FromStr<Err = ReadError> + core::fmt::Debug>(text: &str, fault: ReadFault) {
    let error = text.parse::<Q>().expect_err(text);
    assert_eq!(error.fault, fault, "{text}");
    assert_eq!(error.given, text);
}

#[test]
fn pressures_as_the_trade_types_them() {
    gauge("62.5 psig", 62.5 * PASCAL_PER_PSI);
    gauge("62,5 psig", 62.5 * PASCAL_PER_PSI);
    gauge("62.5psig", 62.5 * PASCAL_PER_PSI);
    gauge("62.5 PSI g", 62.5 * PASCAL_PER_PSI);
    gauge("3.2 bar(g)", 3.2e5);
    gauge("3.2 barg", 3.2e5);
    gauge("-0.3 bar g", -0.3e5);
    gauge("−5 psig", -5.0 * PASCAL_PER_PSI);
    gauge("250 kPa gauge", 2.5e5);
    gauge("12 inHg", -12.0 * PASCAL_PER_INHG);
    gauge("12 in Hg vac", -12.0 * PASCAL_PER_INHG);
    absolute("136.4 psia", 136.4 * PASCAL_PER_PSI);
    absolute("101325 Pa abs", 101_325.0);
    absolute("450 kPa abs", 450e3);
    absolute("450 kPa(a)", 450e3);
    absolute("1.2 MPa abs", 1.2e6);
    absolute("500 micron", 500.0 * PASCAL_PER_MICRON);
    absolute("500 microns", 500.0 * PASCAL_PER_MICRON);
    absolute("29.92 inHg abs", 29.92 * PASCAL_PER_INHG);
    absolute("1,5 mbar abs", 150.0);
}

#[test]
fn gauge_or_absolute_is_never_guessed() {
    for text in ["62.5 psi", "450 kPa", "3.2 bar", "1.2 MPa", "101325 Pa", "1 atm"] {
        refuses::<PressureReading>(text, ReadFault::GaugeOrAbsolute);
    }
    refuses::<PressureReading>("62.5", ReadFault::MissingUnit);
    refuses::<PressureReading>("1.2 mPa abs", ReadFault::AmbiguousUnit);
}

#[test]
fn a_comma_before_three_digits_is_asked_about() {
    refuses::<PressureReading>("1,500 micron", ReadFault::AmbiguousComma);
    refuses::<PressureReading>("1,500.5 psig", ReadFault::AmbiguousComma);
    refuses::<Mass>("1,500 g", ReadFault::AmbiguousComma);
    absolute("1,50 micron", 1.5 * PASCAL_PER_MICRON);
    absolute("1,5000 micron", 1.5 * PASCAL_PER_MICRON);
}

#[test]
fn there_is_no_vacuum_below_vacuum() {
    refuses::<PressureReading>("31 inHg", ReadFault::BeyondVacuum);
    refuses::<PressureReading>("-12 inHg", ReadFault::BeyondVacuum);
    refuses::<PressureReading>("-20 psig", ReadFault::BeyondVacuum);
    refuses::<PressureReading>("-1 psia", ReadFault::BelowZero);
}

#[test]
fn temperatures_and_their_differences() {
    reads::<Temperature>("-3 °C", 270.15);
    reads::<Temperature>("-3C", 270.15);
    reads::<Temperature>("26F", 485.67 / 1.8);
    reads::<Temperature>("300 K", 300.0);
    reads::<Temperature>("35 deg F", 494.67 / 1.8);
    reads::<TemperatureDifference>("15F", 15.0 / 1.8);
    reads::<TemperatureDifference>("15 F°", 15.0 / 1.8);
    reads::<TemperatureDifference>("0.5 K", 0.5);
    reads::<TemperatureDifference>("-2 °C", -2.0);
    refuses::<Temperature>("26", ReadFault::MissingUnit);
    refuses::<Temperature>("-500 F", ReadFault::BelowZero);
    refuses::<Temperature>("26 psig", ReadFault::UnknownUnit);
}

#[test]
fn masses_in_pounds_and_ounces() {
    reads::<Mass>("27 lb 5 oz", (27.0 + 5.0 / 16.0) * KILOGRAM_PER_POUND);
    reads::<Mass>("27lb5oz", (27.0 + 5.0 / 16.0) * KILOGRAM_PER_POUND);
    reads::<Mass>("27 lbs. 5.5 oz", (27.0 + 5.5 / 16.0) * KILOGRAM_PER_POUND);
    reads::<Mass>("34 lb 12 oz", 34.75 * KILOGRAM_PER_POUND);
    reads::<Mass>("14.2 kg", 14.2);
    reads::<Mass>("14,2 kg", 14.2);
    reads::<Mass>("550 g", 0.55);
    reads::<Mass>("1 1/2 lb", 1.5 * KILOGRAM_PER_POUND);
    reads::<Mass>("-2 lb 8 oz", -2.5 * KILOGRAM_PER_POUND);
    refuses::<Mass>("27 lb 5", ReadFault::MissingUnit);
    refuses::<Mass>("27 lb 17 oz", ReadFault::UnknownUnit);
    refuses::<Mass>("5 oz 27 lb", ReadFault::UnknownUnit);
    refuses::<Mass>("27 lb 5 oz 3 g", ReadFault::UnknownUnit);
}

#[test]
fn lengths_with_fractions() {
    reads::<Length>("1 3/8 in", 1.375 * 0.0254);
    reads::<Length>("1-3/8 in", 1.375 * 0.0254);
    reads::<Length>("1⅜ in", 1.375 * 0.0254);
    reads::<Length>("3/8 in", 0.375 * 0.0254);
    reads::<Length>("5 ft 6 in", 66.0 * 0.0254);
    reads::<Length>("5ft3in", 63.0 * 0.0254);
    reads::<Length>("-30 m", -30.0);
    reads::<Length>("1500m", 1500.0);
    refuses::<Length>("1 3/0 in", ReadFault::DivisionByZero);
}

#[test]
fn the_other_kinds() {
    reads::<PressureDifference>("0.5psi", 0.5 * PASCAL_PER_PSI);
    reads::<PressureDifference>("2 kPa", 2e3);
    reads::<PressureDifference>("10 micron", 10.0 * PASCAL_PER_MICRON);
    refuses::<PressureDifference>("0.5 psig", ReadFault::UnknownUnit);
    refuses::<PressureDifference>("5 psia", ReadFault::UnknownUnit);
    reads::<Volume>("20L", 0.02);
    reads::<Volume>("0.5ft3", 0.5 * CUBIC_METRE_PER_CUBIC_FOOT);
    reads::<Volume>("0.35 cu ft", 0.35 * CUBIC_METRE_PER_CUBIC_FOOT);
    refuses::<Volume>("3 gal", ReadFault::AmbiguousUnit);
    refuses::<Volume>("-3 L", ReadFault::BelowZero);
    reads::<Duration>("24 h", 86400.0);
    reads::<Duration>("1 h 30 min", 5400.0);
    reads::<Duration>("26 weeks", 26.0 * 7.0 * 86400.0);
    reads::<Duration>("3 months", SECONDS_PER_YEAR / 4.0);
    refuses::<Duration>("24", ReadFault::MissingUnit);
    reads::<Power>("1.5 kW", 1500.0);
    reads::<Power>("12000 Btu/h", 12000.0 * JOULE_PER_BTU / 3600.0);
    reads::<MassFlow>("50g/yr", 0.05 / SECONDS_PER_YEAR);
    reads::<MassFlow>("2 kg per year", 2.0 / SECONDS_PER_YEAR);
    reads::<MassFlow>("2,5 kg par an", 2.5 / SECONDS_PER_YEAR);
    reads::<VolumeFlow>("6 cfm", 6.0 * CUBIC_METRE_PER_CUBIC_FOOT / 60.0);
    reads::<VolumeFlow>("6 ft³/min", 6.0 * CUBIC_METRE_PER_CUBIC_FOOT / 60.0);
    reads::<VolumeFlow>("2,5 m3/h", 2.5 / 3600.0);
    refuses::<VolumeFlow>("6", ReadFault::MissingUnit);
    refuses::<VolumeFlow>("6 kg/s", ReadFault::UnknownUnit);
    reads::<LeakRate>("1e-6 Pa m3/s", 1e-6);
    reads::<LeakRate>("1e-5 mbar l/s", 1e-6);
    reads::<Fraction>("80 %", 0.8);
    reads::<Fraction>("0.8", 0.8);
    reads::<SpecificEnthalpy>("250 kJ/kg", 250e3);
    reads::<SpecificEntropy>("1.1 kJ/kg K", 1100.0);
    reads::<SpecificEntropy>("1.1 kJ/(kg K)", 1100.0);
    assert!((read_barometer("29.92 inHg").unwrap().pascal() - 101_320.75).abs() < 0.1);
    assert!((read_barometer("1013 hPa").unwrap().pascal() - 101_300.0).abs() < 1e-6);
}

#[test]
fn nothing_is_not_a_number() {
    for text in ["", "   "] {
        refuses::<Mass>(text, ReadFault::Empty);
    }
    for text in ["psig", "kg", "--3 kg", "abc", ". kg", "1.2.3 kg"] {
        refuses::<Mass>(text, ReadFault::NoNumber);
    }
    refuses::<Mass>("1e300 kg", ReadFault::TooLarge);
}

#[test]
fn every_example_reads() {
    for kind in [
        Kind::Pressure,
        Kind::PressureDifference,
        Kind::Barometer,
        Kind::Temperature,
        Kind::TemperatureDifference,
        Kind::Mass,
        Kind::Volume,
        Kind::Length,
        Kind::Duration,
        Kind::Power,
        Kind::MassFlow,
        Kind::VolumeFlow,
        Kind::LeakRate,
        Kind::Fraction,
        Kind::SpecificEnthalpy,
        Kind::SpecificEntropy,
    ] {
        let text = kind.example();
        let read = match kind {
            Kind::Pressure => text.parse::<PressureReading>().is_ok(),
            Kind::PressureDifference => text.parse::<PressureDifference>().is_ok(),
            Kind::Barometer => read_barometer(text).is_ok(),
            Kind::Temperature => text.parse::<Temperature>().is_ok(),
            Kind::TemperatureDifference => text.parse::<TemperatureDifference>().is_ok(),
            Kind::Mass => text.parse::<Mass>().is_ok(),
            Kind::Volume => text.parse::<Volume>().is_ok(),
            Kind::Length => text.parse::<Length>().is_ok(),
            Kind::Duration => text.parse::<Duration>().is_ok(),
            Kind::Power => text.parse::<Power>().is_ok(),
            Kind::MassFlow => text.parse::<MassFlow>().is_ok(),
            Kind::VolumeFlow => text.parse::<VolumeFlow>().is_ok(),
            Kind::LeakRate => text.parse::<LeakRate>().is_ok(),
            Kind::Fraction => text.parse::<Fraction>().is_ok(),
            Kind::SpecificEnthalpy => text.parse::<SpecificEnthalpy>().is_ok(),
            Kind::SpecificEntropy => text.parse::<SpecificEntropy>().is_ok(),
        };
        assert!(read, "{text}");
    }
}

proptest::proptest! {
    /// Whatever is typed, reading answers; it never panics.
    #[test]
    fn any_text_gets_an_answer(text in "\\PC{0,24}") {
        let _ = text.parse::<PressureReading>();
        let _ = text.parse::<Mass>();
        let _ = text.parse::<Length>();
        let _ = text.parse::<Duration>();
        let answer = text.parse::<Temperature>();
        if let Ok(t) = answer {
            proptest::prop_assert!(t.kelvin() >= 0.0 && t.kelvin().is_finite());
        }
    }

    #[test]
    fn digits_and_units_in_any_order_get_an_answer(text in "[0-9/,. lbozkginft½⅜-]{0,16}") {
        if let Ok(m) = text.parse::<Mass>() {
            proptest::prop_assert!(m.kilogram().is_finite());
        }
        let _ = text.parse::<Length>();
    }
}
