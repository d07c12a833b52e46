//! Pictures of any data: always well-formed, never a number that is none, never wider than asked for.

#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use report::{
    AllowedZone, Circuit, CircuitBlock, ColdSpan, CyclePoint, Figure, FittedPart, HoldTest, Ink, IntervalBar,
    Ledger, LedgerEnd, LedgerRefill, LedgerStart, LookedFor, Message, Moment, Picture, Point,
    PressureEnthalpy, Reading, RiseTest, Size, Strip, StripRow, StripState, Text, Trend, draw, interval_bar,
    shade,
};

fn size(width: f64) -> Size {
    Size { width, text: 16.0, ink: Ink::Page, id: "p".to_owned(), decimal_comma: false }
}

fn say(message: &Message) -> String {
    message.id.to_owned()
}

/// Numbers of every kind: sensible, huge, tiny, equal, and none at all.
fn any_number() -> BoxedStrategy<f64> {
    prop_oneof![
        4 => -50.0..50.0_f64,
        1 => Just(0.0),
        1 => Just(5.0),
        1 => any::<f64>(),
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY), Just(f64::MAX), Just(1e-300)],
    ].boxed()
}

fn any_text() -> BoxedStrategy<Text> {
    prop_oneof![Just("K".to_owned()), ".{0,40}", Just("<&\"'\u{0}\u{ffff}>".to_owned())]
        .prop_map(Text::verbatim)
        .boxed()
}

fn any_point() -> BoxedStrategy<Point> {
    (any_number(), any_number()).prop_map(|(x, y)| Point { x, y }).boxed()
}

fn any_points() -> BoxedStrategy<Vec<Point>> {
    prop::collection::vec(any_point(), 0..6).boxed()
}

fn any_readings() -> BoxedStrategy<Vec<Reading>> {
    let reading = (any_number(), any_number(), prop::option::of(any_number()));
    let reading = reading.prop_map(|(time, value, half_width)| Reading { time, value, half_width });
    prop::collection::vec(reading, 0..8).boxed()
}

fn any_zone() -> BoxedStrategy<AllowedZone> {
    (prop::option::of(any_number()), prop::option::of(any_number()))
        .prop_map(|(low, high)| AllowedZone { low, high })
        .boxed()
}

fn strip() -> BoxedStrategy<Picture> {
    let state = prop::sample::select(vec![
        StripState::Part,
        StripState::Closes,
        StripState::LeaksBy,
        StripState::Untried,
    ]);
    let row = (any_text(), state, prop::option::of(any_text()), any::<bool>(), any::<bool>())
        .prop_map(|(name, state, word, enclosed, leak)| StripRow { name, state, word, enclosed, leak });
    prop::collection::vec(row, 0..50).prop_map(|rows| Picture::Strip(Strip { rows })).boxed()
}

fn any_moment() -> BoxedStrategy<Option<Moment>> {
    prop::option::of((any_number(), any_text()).prop_map(|(time, label)| Moment { time, label })).boxed()
}

fn pressure_enthalpy() -> BoxedStrategy<Picture> {
    let corner =
        (any_text(), any_point()).prop_map(|(place, at)| CyclePoint { number: "1".into(), place, at });
    let cycle = prop::collection::vec(corner, 0..5);
    (any_text(), any_points(), any_points(), cycle)
        .prop_map(|(axis, bubble, dew, cycle)| {
            Picture::PressureEnthalpy(PressureEnthalpy {
                refrigerant: "R-449A <b>".to_owned(),
                enthalpy_axis: axis.clone(),
                pressure_axis: axis,
                bubble,
                dew,
                cycle,
            })
        })
        .boxed()
}

fn ledger() -> BoxedStrategy<Picture> {
    let refill =
        (any_number(), prop::option::of(any_number()), any_number()).prop_map(|(day, before, after)| {
            LedgerRefill { day, date: "a day".into(), before, after, added: "+1".into() }
        });
    let end = (any_number(), any_number(), any_number()).prop_map(|(day, low, high)| LedgerEnd {
        day,
        date: "<today>".into(),
        low,
        high,
        written: "low to high".into(),
    });
    let cold = (any_number(), any_number()).prop_map(|(from, until)| ColdSpan { from, until });
    (
        (any_number(), any_number()),
        prop::collection::vec(refill, 0..6),
        prop::option::of(end),
        prop::option::of(any_number()),
        prop::collection::vec(cold, 0..4),
        prop::collection::vec((any_number(), ".{0,8}"), 0..4),
    )
        .prop_map(|((day, charge), refills, end, full, cold, dates)| {
            let start = LedgerStart { day, date: "start".into(), charge };
            Picture::Ledger(Ledger { unit: "kg".into(), start, refills, end, full, cold, dates })
        })
        .boxed()
}

fn hold() -> BoxedStrategy<Picture> {
    let looked_for = (any_point(), any_text()).prop_map(|(end, label)| LookedFor { end, label });
    (any_text(), any_readings(), prop::option::of(any_zone()), prop::option::of(looked_for), any_moment())
        .prop_map(|(axis, readings, expected, looked_for, answer)| {
            Picture::Hold(HoldTest {
                pressure_axis: axis.clone(),
                time_axis: axis,
                readings,
                expected,
                looked_for,
                answer,
            })
        })
        .boxed()
}

fn rise() -> BoxedStrategy<Picture> {
    let part = (any_text(), any_points()).prop_map(|(label, line)| FittedPart { label, line });
    let parts = prop::collection::vec(part, 0..4);
    (any_text(), any_readings(), parts, prop::option::of((any_number(), any_text())))
        .prop_map(|(axis, readings, parts, target)| {
            Picture::Rise(RiseTest { pressure_axis: axis.clone(), time_axis: axis, readings, parts, target })
        })
        .boxed()
}

fn trend() -> BoxedStrategy<Picture> {
    (any_text(), any_readings(), prop::option::of(any_zone()), any_moment())
        .prop_map(|(axis, readings, allowed, settled)| {
            Picture::Trend(Trend { value_axis: axis.clone(), time_axis: axis, readings, allowed, settled })
        })
        .boxed()
}

fn circuit() -> BoxedStrategy<Picture> {
    let flags = (any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>(), any::<bool>());
    let chance = prop_oneof![Just(None), (0.0..1.0_f64).prop_map(Some), any_number().prop_map(Some)];
    let link = || prop::option::of(0..12_usize);
    let block = (any_text(), (0..10_u8, 0..10_u8), chance, flags, link(), link());
    let block = block.prop_map(|(name, at, chance, flags, to, hangs_on)| CircuitBlock {
        written: name.clone(),
        name,
        at,
        chance,
        looked: flags.0,
        ruled_out: flags.1,
        next: flags.2,
        found: flags.3,
        inside: flags.4,
        to,
        hangs_on,
    });
    (prop::collection::vec(block, 0..10), prop::option::of(any_text()))
        .prop_map(|(blocks, room)| Picture::Circuit(Circuit { blocks, room }))
        .boxed()
}

/// Every number of the SVG is one, and every place is on the sheet.
fn check(svg: &str) {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let root = tree.root_element();
    let of = |name: &str| root.attribute(name).unwrap().parse::<f64>().unwrap();
    let (width, height) = (of("width"), of("height"));
    for node in tree.descendants() {
        for attribute in node.attributes() {
            let value = attribute.value();
            match attribute.name() {
                "d" => {
                    for pair in value.split(['M', 'L', 'Z']).filter(|pair| !pair.is_empty()) {
                        let inside: Vec<f64> = pair.split(['V', ' ']).map(|n| n.parse().unwrap()).collect();
                        assert!(inside.iter().all(|n| n.is_finite() && n.abs() < 1e5), "{value}");
                    }
                }
                "x" | "y" | "cx" | "cy" | "r" => {
                    let number: f64 = value.parse().unwrap();
                    let most = if attribute.name().ends_with('y') { height } else { width };
                    assert!(
                        (-1.0..=most + 1.0).contains(&number),
                        "{} = {value} past {most}",
                        attribute.name()
                    );
                }
                _ => {}
            }
        }
        let text = node.text().unwrap_or_default();
        assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn pictures_of_any_data_are_well_formed(
        picture in prop_oneof![pressure_enthalpy(), ledger(), hold(), rise(), trend(), circuit(), strip()],
        title in any_text(),
        width in prop_oneof![Just(288.0), Just(500.0), any::<f64>()],
        text in prop_oneof![3 => Just(16.0), 1 => Just(32.0), 1 => any::<f64>()],
    ) {
        let figure = Figure { title: title.clone(), description: title, picture };
        let drawing = draw(&figure, &say, &Size { text, ..size(width) });
        match &drawing.svg {
            Some(svg) => {
                check(svg);
                prop_assert!(svg.contains("<title id=\"p-title\">") && svg.contains("<desc id=\"p-desc\">"));
            }
            None => prop_assert_eq!(drawing.left_out.unwrap().id, "report-nothing-to-draw"),
        }
        for row in &drawing.table.rows {
            prop_assert!(row.cells.len() <= drawing.table.columns.len());
        }
    }

    #[test]
    fn bars_of_any_data_are_well_formed(best in any_number(), half_width in any_number(), allowed in any_zone()) {
        let bar = IntervalBar { best, half_width, allowed, reference: None, words: Text::verbatim("at least 1 K") };
        if let Some(svg) = interval_bar(&bar, &say, &size(112.0)) {
            check(&svg);
        }
    }
}

fn figure(picture: Picture) -> Figure {
    Figure { title: Text::verbatim("title"), description: Text::verbatim("what it shows"), picture }
}

#[test]
fn one_reading_a_constant_and_nothing() {
    let trend = |readings: Vec<Reading>| {
        let axis = || Text::verbatim("K");
        let picture = Trend { value_axis: axis(), time_axis: axis(), readings, allowed: None, settled: None };
        draw(&figure(Picture::Trend(picture)), &say, &size(340.0))
    };
    assert!(trend(vec![]).svg.is_none());
    assert!(trend(vec![Reading::new(f64::NAN, 1.0)]).svg.is_none());
    let one = trend(vec![Reading::new(3.0, 6.7)]).svg.unwrap();
    assert_eq!(one.matches("<circle").count(), 1);
    let flat: Vec<Reading> = (0..5).map(|at| Reading::new(f64::from(at), 6.7)).collect();
    let flat = trend(flat);
    check(&flat.svg.unwrap());
    assert_eq!(flat.table.rows.len(), 5);
    assert!(flat.left_out.is_none());
}

#[test]
fn the_cycle_is_closed_and_its_table_is_in_the_order_of_flow() {
    let corner = |number: &str, x: f64, y: f64| CyclePoint {
        number: number.to_owned(),
        place: Text::verbatim("place"),
        at: Point { x, y },
    };
    let picture = PressureEnthalpy {
        refrigerant: "R-449A".to_owned(),
        enthalpy_axis: Text::verbatim("kJ/kg"),
        pressure_axis: Text::verbatim("bar"),
        bubble: vec![],
        dew: vec![],
        cycle: vec![
            corner("1", 400.0, 4.0),
            corner("2", 440.0, 12.0),
            corner("3", 234.0, 12.0),
            corner("4", 234.0, 4.0),
        ],
    };
    let drawing = draw(&figure(Picture::PressureEnthalpy(picture)), &say, &size(340.0));
    let svg = drawing.svg.unwrap();
    assert_eq!(svg.matches("Z\"/>").count(), 1);
    assert_eq!(drawing.table.rows.len(), 4);
    assert_eq!(drawing.table.rows[1].cells[2], report::Cell::Value("12".into()));
}

#[test]
fn a_picture_on_paper_names_no_variable_and_no_hue() {
    let readings = (0..5).map(|at| Reading::new(f64::from(at), f64::from(at)).within(0.5)).collect();
    let axis = || Text::verbatim("K");
    let settled = Some(Moment { time: 2.0, label: Text::verbatim("settled") });
    let picture = Trend { value_axis: axis(), time_axis: axis(), readings, allowed: None, settled };
    let paper = Size { ink: Ink::Paper, ..size(328.0) };
    let svg = draw(&figure(Picture::Trend(picture)), &say, &paper).svg.unwrap();
    assert!(!svg.contains("var("));
    let colours: std::collections::BTreeSet<&str> = svg
        .match_indices('#')
        .filter(|(at, _)| svg[..*at].ends_with('"'))
        .map(|(at, _)| &svg[at..at + 4])
        .collect();
    assert!(colours.iter().all(|colour| ["#000", "#fff", "#4A5", "#ECE"].contains(colour)), "{colours:?}");
}

#[test]
fn grid_lines_are_at_most_four() {
    for (low, high) in [(0.0, 1.0), (11.4, 14.3), (-0.08, 0.04), (1e-6, 3e-6), (7.0, 1e6)] {
        let axis = || Text::verbatim("unit of some length");
        let readings = vec![Reading::new(0.0, low), Reading::new(10.0, high)];
        let picture = Trend { value_axis: axis(), time_axis: axis(), readings, allowed: None, settled: None };
        let svg = draw(&figure(Picture::Trend(picture)), &say, &size(340.0)).svg.unwrap();
        let lines = svg.matches("stroke-width=\"1.5\"").count();
        assert!((1..=4).contains(&lines), "{low} to {high}: {lines}");
    }
}

fn block(name: &str, at: (u8, u8), chance: f64, to: Option<usize>) -> CircuitBlock {
    CircuitBlock {
        name: Text::verbatim(name),
        at,
        chance: Some(chance),
        written: Text::verbatim(format!("{:.0} %", 100.0 * chance)),
        looked: false,
        ruled_out: false,
        next: false,
        found: false,
        inside: at.0 == 2,
        to,
        hangs_on: None,
    }
}

#[test]
fn a_larger_chance_is_hatched_no_less_and_under_one_percent_not_at_all() {
    // Ink: the length of all lines times their width.
    let ink = |chance: f64| {
        let svg = shade(chance, 90.0, 40.0, Ink::Paper);
        let after =
            |word: &str| svg.split(word).nth(1).unwrap_or("0\"").split('"').next().unwrap().to_owned();
        let lines = svg.matches('M').count() as f64;
        lines * after("stroke-width=\"").parse::<f64>().unwrap_or(0.0)
    };
    let chances = [0.0, 0.009, 0.02, 0.08, 0.2, 0.6, 1.0];
    let inks: Vec<f64> = chances.iter().map(|chance| ink(*chance)).collect();
    assert!(inks.windows(2).all(|two| two[0] <= two[1]), "{inks:?}");
    assert_eq!(inks[1], 0.0);
    // Steps that an eye can tell apart: each at least half as dense again.
    assert!(inks[2..6].windows(2).all(|two| two[1] > 1.5 * two[0]), "{inks:?}");
    assert!(shade(f64::NAN, 90.0, 40.0, Ink::Paper).is_empty());
    assert!(shade(0.5, f64::INFINITY, 40.0, Ink::Paper).is_empty());
}

#[test]
fn the_circuit_writes_every_chance_and_draws_the_ruled_out_and_the_next_by_shape() {
    let picture = |change: &dyn Fn(&mut CircuitBlock)| {
        let mut blocks = vec![
            block("Compressor", (0, 0), 0.05, Some(1)),
            block("Condenser", (0, 1), 0.60, Some(2)),
            block("Coil", (2, 1), 0.35, Some(0)),
        ];
        change(&mut blocks[1]);
        let picture = Circuit { blocks, room: Some(Text::verbatim("Room 7")) };
        draw(&figure(Picture::Circuit(picture)), &say, &size(340.0))
    };
    let plain = picture(&|_| {});
    let svg = plain.svg.unwrap();
    check(&svg);
    let written = svg.replace('\u{a0}', " ");
    assert!(["5 %", "60 %", "35 %", "Room 7"].iter().all(|words| written.contains(words)), "{written}");
    assert_eq!(plain.table.rows.len(), 3);
    let ruled = picture(&|block| block.ruled_out = true).svg.unwrap();
    assert_eq!(ruled.matches("stroke-dasharray=\"7 5\"").count(), 1);
    assert!(!svg.contains("stroke-dasharray=\"7 5\""));
    let next = picture(&|block| block.next = true).svg.unwrap();
    assert!(next.contains("stroke-width=\"7\"") && !svg.contains("stroke-width=\"7\""));
    let found = picture(&|block| block.found = true).svg.unwrap();
    assert!(found.len() > svg.len());
    // A chance that is none is left out and counted.
    let wrong = picture(&|block| block.chance = Some(f64::NAN));
    assert!(wrong.left_out.is_some());
}
