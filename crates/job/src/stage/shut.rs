//! Which valves enclose a leak, whether that section can be emptied by the compressor, and in which order to shut them.

use super::circuit::{Part, part_of};
use record::{Holds, Known, ShutOff};
use report::Message;

/// A point on the way of the refrigerant, from the compressor's discharge round to its suction: tenths of a part.
type Place = u32;

/// The compressor's suction: the end of the way.
const END: Place = 90;

/// Where a part lies on the way; the controls hang on either side and lie nowhere.
const fn of_part(part: Part) -> Option<Place> {
    Some(match part {
        Part::Compressor => 0,
        Part::Condenser => 10,
        Part::Receiver => 20,
        Part::Drier => 30,
        Part::Solenoid => 40,
        Part::Valve => 50,
        Part::Coil => 60,
        Part::Suction => 70,
        Part::Controls => return None,
    })
}

/// Words of a shut-off point and where it lies, the more particular first; English and French.
const POINTS: [(Place, &[&str]); 8] = [
    (40, &["solenoid", "électrovanne", "electrovanne"]),
    (5, &["discharge", "refoulement"]),
    (15, &["receiver inlet", "condenser outlet", "entrée du réservoir", "sortie du condenseur"]),
    (25, &["receiver outlet", "king", "sortie du réservoir", "liquid service", "départ liquide"]),
    (27, &["before the drier", "before drier", "drier inlet", "avant le filtre"]),
    (
        35,
        &[
            "after the drier",
            "after drier",
            "drier outlet",
            "après le filtre",
            "liquid line",
            "conduite liquide",
        ],
    ),
    (
        75,
        &[
            "suction service",
            "suction valve",
            "compressor suction",
            "robinet d'aspiration",
            "robinet d’aspiration",
        ],
    ),
    (65, &["suction", "coil outlet", "aspiration"]),
];

fn of_point(name: &str) -> Option<Place> {
    let name = name.to_lowercase();
    POINTS.iter().find(|(_, words)| words.iter().any(|word| name.contains(word))).map(|(place, _)| *place)
}

/// Returns the parts and the valves in the order of flow, each valve as it closes, with the section that `plan` shuts in and the
/// leak in it.
#[must_use]
pub fn strip(leak: &str, points: &[ShutOff], found: &Plan<'_>) -> report::Strip {
    let parts = [
        Part::Compressor,
        Part::Condenser,
        Part::Receiver,
        Part::Drier,
        Part::Solenoid,
        Part::Valve,
        Part::Coil,
        Part::Suction,
    ];
    let leaking = part_of(leak);
    let ends: Option<(&str, Option<&str>)> = match found {
        Plan::PumpDown { shut, then, .. } => Some((&shut.name, then.map(|point| point.name.as_str()))),
        Plan::Recover { between: Some((first, second)) } => Some((&first.name, Some(&second.name))),
        Plan::Recover { between: None } | Plan::WhichSide => None,
    };
    let at =
        |name: &str| points.iter().find(|point| point.name == name).and_then(|point| of_point(&point.name));
    // Without a second valve the compressor's suction is the end.
    let span = ends.and_then(|(first, second)| Some((at(first)?, second.map_or(Some(END), at)?)));
    let inside = |place: Place| span.is_some_and(|(from, to)| (from..=to).contains(&place));
    let mut rows: Vec<(Place, report::StripRow)> = parts
        .into_iter()
        .filter_map(|part| {
            let place = of_part(part)?;
            let row = report::StripRow {
                name: part.label(None).into(),
                state: report::StripState::Part,
                word: None,
                enclosed: inside(place),
                leak: leaking == Some(part),
            };
            // The solenoid is a part and a valve; where it is named as a point that stands for both.
            let named = points.iter().any(|point| of_point(&point.name) == Some(place));
            (!named || row.leak).then_some((place, row))
        })
        .collect();
    rows.extend(points.iter().filter_map(|point| {
        let (state, word) = match closes(point) {
            Some(true) => (report::StripState::Closes, Message::new("decide-holds")),
            Some(false) => (report::StripState::LeaksBy, Message::new("decide-leaks-by")),
            None => (report::StripState::Untried, Message::new("decide-holds-unknown")),
        };
        let place = of_point(&point.name)?;
        let name = report::Text::verbatim(point.name.as_str());
        let row =
            report::StripRow { name, state, word: Some(word.into()), enclosed: inside(place), leak: false };
        Some((place, row))
    }));
    units::sort_small(&mut rows, |a, b| a.0.cmp(&b.0));
    report::Strip { rows: rows.into_iter().map(|(_, row)| row).collect() }
}

/// What encloses a leak.
#[derive(Clone, Debug, PartialEq)]
pub enum Plan<'a> {
    /// The compressor can empty it: shut the first, run, and shut the second where there is one.
    PumpDown {
        /// Upstream of the leak.
        shut: &'a ShutOff,
        /// Whether it was seen to close.
        seen_to_close: bool,
        /// Downstream of the leak, to keep the section small while it is open.
        then: Option<&'a ShutOff>,
    },
    /// It lies where the compressor pumps to, or no valve stands before it: recover.
    Recover {
        /// Both ends can be shut, so only this section has to be recovered.
        between: Option<(&'a ShutOff, &'a ShutOff)>,
    },
    /// Which part leaks is not known well enough.
    WhichSide,
}

fn closes(point: &ShutOff) -> Option<bool> {
    match point.holds.as_ref().and_then(Known::value) {
        Some(Holds::Holds) => Some(true),
        Some(Holds::LeaksBy) => Some(false),
        None => None,
    }
}

/// Returns how to enclose a leak at this place, by the points where the circuit can be shut.
///
/// A valve that leaks by encloses nothing; one that nobody tried is taken, and said so. Behind the receiver's outlet, or
/// any valve after it, the compressor empties everything up to itself; before it, it pumps there.
#[must_use]
pub fn plan<'a>(leak: &str, points: &'a [ShutOff]) -> Plan<'a> {
    let Some(leak) = part_of(leak).and_then(of_part) else { return Plan::WhichSide };
    let usable = || {
        points
            .iter()
            .filter(|point| closes(point) != Some(false))
            .filter_map(|point| Some((of_point(&point.name)?, point)))
    };
    // A leak at the solenoid itself is not enclosed by it.
    let before = usable().filter(|(place, _)| *place < leak).max_by_key(|(place, _)| *place);
    let after = usable().filter(|(place, _)| *place > leak && *place < END).min_by_key(|(place, _)| *place);
    match before {
        // From the receiver's outlet on the liquid and the low side lie behind the valve.
        Some((place, shut)) if place >= 25 && leak > 20 => Plan::PumpDown {
            shut,
            seen_to_close: closes(shut) == Some(true),
            then: after.map(|(_, point)| point),
        },
        _ => Plan::Recover { between: before.zip(after).map(|((_, first), (_, second))| (first, second)) },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(name: &str, holds: Option<Holds>) -> ShutOff {
        let text = match holds {
            Some(Holds::Holds) => "holds = \"holds\"",
            Some(Holds::LeaksBy) => "holds = \"leaks by\"",
            None => "",
        };
        let file = format!("gastight = 1\n[[system.shut_off]]\nname = \"{name}\"\n{text}\n");
        let events = record::read_job_file(file.as_bytes()).unwrap().events;
        crate::visit::Visit::new("test", &events).system.value.shut_off[0].clone()
    }

    #[test]
    fn a_leak_at_the_liquid_line_is_pumped_down_one_in_the_condenser_is_not() {
        let points = [point("receiver outlet", Some(Holds::Holds)), point("suction service valve", None)];
        let Plan::PumpDown { shut, seen_to_close, then } = plan("flare nut at the filter drier", &points)
        else {
            panic!("it can be pumped down")
        };
        assert_eq!((shut.name.as_str(), seen_to_close), ("receiver outlet", true));
        assert_eq!(then.map(|point| point.name.as_str()), Some("suction service valve"));
        assert!(matches!(plan("condenser, lower return bend", &points), Plan::Recover { between: None }));
        assert!(matches!(plan("receiver weld", &points), Plan::Recover { .. }));
        assert!(matches!(plan("coil return bend", &points), Plan::PumpDown { .. }));
        assert_eq!(plan("somewhere", &points), Plan::WhichSide);
        assert_eq!(plan("low pressure control", &points), Plan::WhichSide);
    }

    #[test]
    fn a_valve_that_leaks_by_encloses_nothing_and_an_untried_one_is_said() {
        let points = [point("receiver outlet", Some(Holds::LeaksBy)), point("solenoid valve", None)];
        assert!(matches!(plan("filter drier", &points), Plan::Recover { between: None }));
        let Plan::PumpDown { shut, seen_to_close, .. } = plan("expansion valve", &points) else {
            panic!("the solenoid stands before it")
        };
        assert_eq!((shut.name.as_str(), seen_to_close), ("solenoid valve", false));
    }

    #[test]
    fn the_nearest_valves_make_the_smallest_section() {
        let points = [
            point("receiver outlet", Some(Holds::Holds)),
            point("ball valve before the drier", Some(Holds::Holds)),
            point("ball valve after the drier", Some(Holds::Holds)),
        ];
        let Plan::PumpDown { shut, then, .. } = plan("filter drier", &points) else { panic!("enclosed") };
        assert_eq!(shut.name, "ball valve before the drier");
        assert_eq!(then.unwrap().name, "ball valve after the drier");
        let points = [point("receiver inlet", None), point("receiver outlet", None)];
        let Plan::Recover { between } = plan("receiver", &points) else { panic!("not pumped") };
        assert!(between.is_some());
    }
}
