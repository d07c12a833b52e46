//! Quick questions about what is planned on the circuit: opening, recovery, evacuation, a pump-down that stalls, two
//! displays that differ; and what a leak leaves of a blend.

use super::{Made, Question, Texts, asks, written};
use job::Substance;
use job::ask::{cold_box, displays, evacuation, fractionation, opening, pulldown, recovery};
use job::doubts::ASSUMED_LOW_SIDE_GAUGE;
use record::form::{Field, NameOf, Takes};
use report::Message;
use units::{
    Atmosphere, Cause, Doubt, Duration, Fraction, Length, Mass, PressureDifference, PressureReading,
    Temperature, TemperatureDifference, Uncertain, Volume, VolumeFlow,
};

/// The last digit of a display: a degree (common practice, no source).
const STEP: TemperatureDifference = TemperatureDifference::from_fahrenheit(1.0);

fn refrigerant() -> Field {
    asks("refrigerant", Takes::Name(NameOf::Refrigerant), true, "R-449A")
}

/// Returns the questions, as they stand in the list.
pub fn questions() -> Vec<Question> {
    let need = |key, takes, example| asks(key, takes, true, example);
    let may = |key, takes, example| asks(key, takes, false, example);
    vec![
        Question {
            key: "opening",
            name: Message::new("app-ask-opening"),
            fields: vec![
                refrigerant(),
                need("section-volume", Takes::Volume, "20 L"),
                need("walls", Takes::Temperature, "40 °F"),
                need("bore", Takes::Length, "4.8 mm"),
                need("open-for", Takes::Duration, "5 s"),
                may("stands-at", Takes::Pressure, "10 psig"),
            ],
        },
        Question {
            key: "recovery",
            name: Message::new("app-ask-recovery"),
            fields: vec![
                refrigerant(),
                need("drawn-from", Takes::Volume, "60 L"),
                need("walls", Takes::Temperature, "70 °F"),
                need("machine", Takes::VolumeFlow, "2 cfm"),
                may("stands-at", Takes::Pressure, "120 psig"),
                may("liquid-left", Takes::Mass, "5 lb"),
                may("full-charge", Takes::Mass, "27 lb 5 oz"),
                may("end-at", Takes::Pressure, "0 psig"),
            ],
        },
        Question {
            key: "evacuation",
            name: Message::new("app-ask-evacuation"),
            fields: vec![
                need("emptied", Takes::Volume, "20 L"),
                need("pump", Takes::VolumeFlow, "6 cfm"),
                need("hose", Takes::Length, "8 mm"),
                need("hose-length", Takes::Length, "1.5 m"),
                need("target", Takes::Pressure, "500 micron"),
                may("cores", Takes::Count, "0"),
                may("wet", Takes::Mass, "10 g"),
                may("coldest-wall", Takes::Temperature, "35 °F"),
            ],
        },
        Question {
            key: "pulldown",
            name: Message::new("app-ask-pulldown"),
            fields: vec![
                refrigerant(),
                need("stalled", Takes::Pressure, "4 psig"),
                need("head-then", Takes::Pressure, "203 psig"),
                need("rise-over", Takes::Duration, "3 min"),
                may("rise", Takes::PressureDifference, "6 psi"),
                may("second-rise", Takes::PressureDifference, "0 psi"),
                may("later-rise", Takes::PressureDifference, "2 psi"),
                may("suction-rise", Takes::PressureDifference, "0 psi"),
                may("lowest-suction", Takes::Temperature, "15 °F"),
                may("cut-in", Takes::Pressure, "25 psig"),
            ],
        },
        Question {
            key: "box",
            name: Message::new("app-ask-box"),
            fields: vec![
                need("length", Takes::Length, "10 ft"),
                need("width", Takes::Length, "10 ft"),
                need("height", Takes::Length, "8 ft"),
                need("inside", Takes::Temperature, "38 °F"),
                may("warmest", Takes::Temperature, "41 °F"),
                may("goods", Takes::Mass, "600 lb"),
                may("foam", Takes::Length, "4 in"),
                may("around", Takes::Temperature, "75 °F"),
                may("wanted-inside", Takes::Temperature, "36 °F"),
                may("capacity", Takes::Power, "8000 Btu/h"),
            ],
        },
        Question {
            key: "fractionation",
            name: Message::new("app-ask-fractionation"),
            fields: vec![
                refrigerant(),
                need("lost", Takes::Fraction, "30 %"),
                need("stood-at", Takes::Temperature, "77 °F"),
                need("leaked", Takes::Words(&["vapour", "liquid"]), "vapour"),
                may("vapour-share", Takes::Fraction, "20 %"),
            ],
        },
        Question {
            key: "displays",
            name: Message::new("app-ask-displays"),
            fields: vec![
                refrigerant(),
                need("tap-pressure", Takes::Pressure, "60 psig"),
                need("first-shows", Takes::Temperature, "23 °F"),
                need("second-shows", Takes::Temperature, "22 °F"),
                may("tap-drop", Takes::PressureDifference, "1 psi"),
            ],
        },
    ]
}

/// Returns the name of a field of these questions.
pub fn asked_name(key: &str) -> Option<Message> {
    Some(match key {
        "section-volume" => Message::new("app-asked-section"),
        "walls" => Message::new("app-asked-walls"),
        "bore" => Message::new("app-asked-bore"),
        "open-for" => Message::new("app-asked-open-for"),
        "stands-at" => Message::new("app-asked-stands-at"),
        "drawn-from" => Message::new("cli-recovery-volume"),
        "machine" => Message::new("cli-recovery-machine"),
        "liquid-left" => Message::new("cli-recovery-liquid"),
        "full-charge" => Message::new("cli-recovery-charge"),
        "end-at" => Message::new("cli-recovery-end"),
        "emptied" => Message::new("cli-evacuation-volume"),
        "pump" => Message::new("cli-evacuation-pump"),
        "hose" => Message::new("cli-evacuation-hose"),
        "hose-length" => Message::new("cli-evacuation-hose-length"),
        "target" => Message::new("cli-evacuation-target"),
        "cores" => Message::new("app-asked-cores"),
        "wet" => Message::new("app-asked-wet"),
        "coldest-wall" => Message::new("cli-evacuation-coldest"),
        "stalled" => Message::new("cli-pulldown-stalled"),
        "head-then" => Message::new("cli-pulldown-head"),
        "rise-over" => Message::new("app-asked-rise-over"),
        "rise" => Message::new("cli-pulldown-rise"),
        "second-rise" => Message::new("cli-pulldown-second"),
        "later-rise" => Message::new("cli-pulldown-later"),
        "suction-rise" => Message::new("cli-pulldown-suction"),
        "lowest-suction" => Message::new("cli-pulldown-lowest"),
        "cut-in" => Message::new("cli-pulldown-cut-in"),
        "length" => Message::new("cli-box-length"),
        "width" => Message::new("cli-box-width"),
        "height" => Message::new("cli-box-height"),
        "inside" => Message::new("cli-box-inside"),
        "warmest" => Message::new("cli-box-limit"),
        "goods" => Message::new("cli-box-goods"),
        "foam" => Message::new("cli-box-insulation"),
        "around" => Message::new("cli-box-around"),
        "wanted-inside" => Message::new("cli-box-target"),
        "capacity" => Message::new("cli-box-capacity"),
        "tap-pressure" => Message::new("cli-displays-pressure"),
        "first-shows" => Message::new("cli-displays-first"),
        "second-shows" => Message::new("cli-displays-second"),
        "tap-drop" => Message::new("cli-displays-drop"),
        "lost" => Message::new("app-asked-lost"),
        "stood-at" => Message::new("app-asked-stood-at"),
        "leaked" => Message::new("app-asked-leaked"),
        "vapour-share" => Message::new("app-asked-vapour-share"),
        _ => return None,
    })
}

/// Returns the answer to one of these questions that asks of a refrigerant; nothing while something is missing.
pub fn answer_to(key: &str, substance: &Substance, texts: &Texts<'_>) -> Made {
    match key {
        "opening" => opening_of(substance, texts),
        "recovery" => recovery_of(substance, texts),
        "pulldown" => pulldown_of(substance, texts),
        "fractionation" => fractionation_of(substance, texts),
        _ => displays_of(substance, texts),
    }
}

fn opening_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let (Some(volume), Some(walls), Some(bore), Some(open_for)) = (
        texts.read::<Volume>("section-volume")?,
        texts.read::<Temperature>("walls")?,
        texts.read::<Length>("bore")?,
        texts.read::<Duration>("open-for")?,
    ) else {
        return Ok(None);
    };
    let asked = opening::OpeningAsked {
        substance: substance.clone(),
        volume: (volume, texts.given("section-volume")),
        temperature: (walls, texts.given("walls")),
        bore: (bore, texts.given("bore")),
        open_for: (open_for, texts.given("open-for")),
        pressure: texts.read::<PressureReading>("stands-at")?.map(|p| (p, texts.given("stands-at"))),
        rise: None,
        residue: None,
        air: Atmosphere::sea_level_assumed(),
    };
    Ok(Some(opening::opening(&asked).map(written)))
}

fn recovery_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let (Some(volume), Some(walls), Some(machine)) = (
        texts.read::<Volume>("drawn-from")?,
        texts.read::<Temperature>("walls")?,
        texts.read::<VolumeFlow>("machine")?,
    ) else {
        return Ok(None);
    };
    let asked = recovery::RecoveryAsked {
        substance: substance.clone(),
        volume: (volume, texts.given("drawn-from")),
        temperature: (walls, texts.given("walls")),
        pressure: texts.read::<PressureReading>("stands-at")?.map(|p| (p, texts.given("stands-at"))),
        end: texts.read::<PressureReading>("end-at")?.map(|p| (p, texts.given("end-at"))),
        machine: (machine, texts.given("machine")),
        liquid: texts.read("liquid-left")?,
        warmed: false,
        charge: texts.read("full-charge")?,
        cylinders: Vec::new(),
        air: Atmosphere::sea_level_assumed(),
    };
    Ok(Some(recovery::recovery(&asked).map(written)))
}

fn fractionation_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let (Some(lost), Some(temperature), Some(from)) =
        (texts.read::<Fraction>("lost")?, texts.read::<Temperature>("stood-at")?, texts.text("leaked"))
    else {
        return Ok(None);
    };
    let asked = fractionation::FractionationAsked {
        substance: substance.clone(),
        lost: (lost, texts.given("lost")),
        temperature: (temperature, texts.given("stood-at")),
        from: match from {
            "liquid" => fractionation::LeakFrom::Liquid,
            _ => fractionation::LeakFrom::Vapour,
        },
        vapour: texts.read::<Fraction>("vapour-share")?.map(|share| (share, texts.given("vapour-share"))),
        air: Atmosphere::sea_level_assumed(),
    };
    Ok(Some(fractionation::fractionation(&asked).map(written)))
}

/// Returns the answer of an evacuation, which asks of no refrigerant; nothing while something is missing.
pub fn evacuation_of(texts: &Texts<'_>) -> Made {
    let (Some(volume), Some(pump), Some(hose), Some(length), Some(target)) = (
        texts.read::<Volume>("emptied")?,
        texts.read::<VolumeFlow>("pump")?,
        texts.read::<Length>("hose")?,
        texts.read::<Length>("hose-length")?,
        texts.read::<PressureReading>("target")?,
    ) else {
        return Ok(None);
    };
    let wall = texts.read::<Temperature>("coldest-wall")?;
    let asked = evacuation::EvacuationAsked {
        volume: (volume, texts.given("emptied")),
        pump: (pump, texts.given("pump")),
        ultimate: None,
        hose: (hose, length, texts.given("hose")),
        hoses: 1,
        cores_in: texts.text("cores").is_some_and(|count| count != "0"),
        target: (target.absolute(Atmosphere::sea_level_assumed()), texts.given("target")),
        temperature: Temperature::from_celsius(20.0),
        water: texts
            .read::<Mass>("wet")?
            .zip(wall)
            .map(|(mass, wall)| (mass, wall, texts.given("coldest-wall"))),
    };
    Ok(Some(evacuation::evacuation(&asked).map(written)))
}

/// Returns the answer of a box; nothing while something is missing.
pub fn box_of(texts: &Texts<'_>) -> Made {
    let (Some(length), Some(width), Some(height), Some(inside)) = (
        texts.read::<Length>("length")?,
        texts.read::<Length>("width")?,
        texts.read::<Length>("height")?,
        texts.read::<Temperature>("inside")?,
    ) else {
        return Ok(None);
    };
    let warm = |key: &str| texts.read::<Temperature>(key).map(|read| read.map(|t| (t, texts.given(key))));
    let foam = texts.read::<Length>("foam")?.unwrap_or(job::visit::cold_box::FOAM);
    let asked = cold_box::BoxAsked {
        sides: (length, width, height, texts.given("length")),
        foam: (foam, texts.given("foam")),
        inside: (inside, texts.given("inside")),
        around: warm("around")?.unwrap_or((job::visit::cold_box::AROUND, "")),
        limit: warm("warmest")?,
        target: warm("wanted-inside")?,
        goods: texts.read("goods")?,
        besides: None,
        capacity: texts.read("capacity")?,
    };
    Ok(Some(cold_box::cold_box(&asked).map(written)))
}

fn pulldown_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let (Some(stalled), Some(head), Some(over)) = (
        texts.read::<PressureReading>("stalled")?,
        texts.read::<PressureReading>("head-then")?,
        texts.read::<Duration>("rise-over")?,
    ) else {
        return Ok(None);
    };
    let rise = |key: &str| {
        let read = texts.read::<PressureDifference>(key);
        read.map(|rise| rise.map(|rise| pulldown::RiseSeen { rise, over }))
    };
    let asked = pulldown::PulldownAsked {
        substance: substance.clone(),
        stalled: (stalled, texts.given("stalled")),
        head: (head, texts.given("head-then")),
        lowest_suction: texts
            .read::<Temperature>("lowest-suction")?
            .map(|t| (t, texts.given("lowest-suction"))),
        cut_in: texts.read("cut-in")?,
        seen: pulldown::Seen {
            liquid_shut: rise("rise")?,
            second_shut: rise("second-rise")?,
            later: rise("later-rise")?,
            suction_shut: rise("suction-rise")?,
        },
        air: Atmosphere::sea_level_assumed(),
    };
    Ok(Some(pulldown::pulldown(&asked).map(written)))
}

fn displays_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let air = Atmosphere::sea_level_assumed();
    let (Some(pressure), Some(first), Some(second)) = (
        texts.read::<PressureReading>("tap-pressure")?,
        texts.read::<Temperature>("first-shows")?,
        texts.read::<Temperature>("second-shows")?,
    ) else {
        return Ok(None);
    };
    let value = super::absolute(&pressure, air, "tap-pressure", texts)?;
    let gauge = Doubt::new(Cause::AssumedAccuracy, "gauge");
    let shown = |value, name: &'static str| Uncertain::exact(value).and_resolution(name, STEP.kelvin());
    let asked = displays::DisplaysAsked {
        substance: substance.clone(),
        pressure: (
            Uncertain::within(value, gauge, ASSUMED_LOW_SIDE_GAUGE.pascal()),
            texts.given("tap-pressure"),
        ),
        drop: texts.read("tap-drop")?.unwrap_or(PressureDifference::from_pascal(0.0)),
        first: shown(first, "first"),
        second: shown(second, "second"),
        air,
    };
    Ok(Some(displays::displays(&asked).map(written)))
}
