//! A report with every block and every picture, from the invented scenario of the demo.

use report::{
    AllowedZone, Block, Caution, Cell, Chance, ColdSpan, Column, CyclePoint, Document, Doubt, Figure,
    Finding, FittedPart, HoldTest, Input, IntervalBar, Ledger, LedgerEnd, LedgerRefill, LedgerStart, List,
    LookedFor, Mark, Moment, Now, Number, Opened, Picture, Point, PressureEnthalpy, Reading, RiseTest, Row,
    Section, Signature, Table, Text, Trend, Value, VerdictMark,
};

fn v(text: &str) -> Text {
    Text::verbatim(text)
}

fn value(value: &str, half: &str, unit: &str) -> Value {
    let half_width = (!half.is_empty()).then(|| half.to_owned());
    Value { value: value.to_owned(), half_width, unit: unit.to_owned() }
}

fn opened(inputs: &[(&str, Value, &str)], method: &str, doubts: &[(&str, u8)], source: &str) -> Opened {
    let input = |(name, value, origin): &(&str, Value, &str)| {
        Input::new(v(name), value.clone()).from_origin(v(origin))
    };
    Opened {
        inputs: inputs.iter().map(input).collect(),
        method: v(method),
        doubts: doubts.iter().map(|(cause, percent)| Doubt { cause: v(cause), percent: *percent }).collect(),
        source: v(source),
    }
}

fn superheat() -> Number {
    Number::new(v("Superheat, coil outlet"), value("6.7", "0.9", "K")).opens(opened(
        &[
            ("Coil outlet", value("2.1", "0.8", "°C"), "clamp 2, 16:28"),
            ("Suction, gauge", value("3.35", "0.05", "bar"), "gauge A, 16:28"),
            ("Air pressure", value("1.013", "", "bar"), "sea level assumed"),
            ("Dew of R-449A", value("\u{2212}4.6", "0.3", "°C"), "grade A\u{2212}"),
        ],
        "Line temperature less dew temperature at the same place: 2.1 \u{2212} (\u{2212}4.6) = 6.7 K.",
        &[("The clamp on the pipe", 86), ("The gauge", 14)],
        "Uncertainty: JCGM 100, equation 10. Dew: our property tables, version 1.",
    ))
}

fn subcooling() -> Number {
    Number::new(v("Subcooling, receiver outlet"), value("1.3", "0.7", "K")).opens(opened(
        &[
            ("Liquid line", value("24.1", "0.6", "°C"), "clamp 1, 16:28"),
            ("Liquid, gauge", value("10.4", "0.1", "bar"), "gauge B, 16:28"),
        ],
        "Bubble temperature at the same place less line temperature: 25.4 \u{2212} 24.1 = 1.3 K.",
        &[("The clamp on the pipe", 74), ("The gauge", 26)],
        "Uncertainty: JCGM 100, equation 10. Bubble: our property tables, version 1.",
    ))
}

fn finding(
    mark: VerdictMark,
    name: &str,
    number: Number,
    (low, high): (Option<f64>, Option<f64>),
    (best, half_width): (f64, f64),
    words: &str,
) -> Finding {
    let allowed = AllowedZone { low, high };
    Finding {
        number: Some(number),
        bar: Some(IntervalBar { best, half_width, allowed, reference: None, words: v(words) }),
        ..Finding::new(mark, v(name))
    }
}

fn findings() -> Vec<Finding> {
    let simple = |name: &str, value: Value| Number::new(v(name), value);
    let mut subcooled = finding(
        VerdictMark::NotResolved,
        "Subcooling, receiver outlet",
        subcooling(),
        (Some(1.0), None),
        (1.3, 0.7),
        "at least 1 K",
    );
    subcooled.advice = Some(v("The clamp is the larger doubt: wrap it, wait 5 min, read again."));
    let mut controller = finding(
        VerdictMark::Doubtful,
        "Controller's suction pressure",
        simple("Controller less gauge", value("\u{2212}0.14", "0.09", "bar")).doubtful(),
        (None, None),
        (-0.14, 0.09),
        "0 if both are right",
    );
    if let Some(bar) = &mut controller.bar {
        bar.reference = Some(0.0);
    }
    controller.advice = Some(v("Stop the unit, let it stand, read both."));
    let mut leak = finding(
        VerdictMark::Breached,
        "Loss in a year",
        simple("Loss in a year", value("31.7", "2.8", "%")),
        (None, Some(20.0)),
        (31.7, 2.8),
        "at most 20 %, the shop's own limit",
    );
    leak.advice = Some(v("Repair, then check again within the month: the shop's own rule."));
    let mut check = Finding::new(VerdictMark::Due, v("Check after repair"));
    check.advice = Some(v("19 Nov to 18 Dec 2026."));
    let mut national = Finding::new(VerdictMark::Unknown, v("National duties"));
    national.advice = Some(v("For want of the country. Name it, and the duties are listed."));
    vec![
        finding(
            VerdictMark::Met,
            "Superheat, coil outlet",
            superheat(),
            (Some(5.0), Some(8.0)),
            (6.7, 0.9),
            "5 to 8 K",
        ),
        subcooled,
        finding(
            VerdictMark::Met,
            "Air to coil",
            simple("Air to coil", value("7.0", "0.5", "K")),
            (None, Some(8.0)),
            (7.0, 0.5),
            "at most 8 K",
        ),
        Finding {
            word: Some(v("tight within limit")),
            ..finding(
                VerdictMark::Met,
                "Nitrogen, 20 bar, 3 h 12 min",
                simple("Change after correction", value("+0.004", "0.032", "bar")),
                (Some(-0.032), None),
                (0.004, 0.032),
                "\u{2212}0.032 bar would be the leak",
            )
        },
        controller,
        leak,
        check,
        national,
        Finding::new(VerdictMark::Nothing, v("Oil level")),
    ]
}

fn cycle() -> Figure {
    let curve = |points: &[(f64, f64)]| points.iter().map(|(x, y)| Point { x: *x, y: *y }).collect();
    let corner = |number: &str, place: &str, x: f64, y: f64| CyclePoint {
        number: number.to_owned(),
        place: v(place),
        at: Point { x, y },
    };
    Figure {
        title: v("The cycle at 16:28"),
        description: v(
            "1 suction, 2 discharge, 3 receiver outlet, 4 coil inlet. The discharge is 24 K above dew.",
        ),
        picture: Picture::PressureEnthalpy(PressureEnthalpy {
            refrigerant: "R-449A".to_owned(),
            enthalpy_axis: v("enthalpy, kJ/kg"),
            pressure_axis: v("bar absolute"),
            // Illustrative curves, drawn by hand for this picture.
            bubble: curve(&[
                (144.0, 1.0),
                (160.0, 1.8),
                (175.0, 2.9),
                (188.0, 4.2),
                (200.0, 5.9),
                (215.0, 8.4),
                (230.0, 11.6),
                (245.0, 15.5),
                (262.0, 20.6),
                (280.0, 27.0),
                (300.0, 34.0),
                (322.0, 40.5),
                (345.0, 44.0),
            ]),
            dew: curve(&[
                (382.0, 1.0),
                (388.0, 1.6),
                (395.0, 2.6),
                (401.0, 3.9),
                (407.0, 5.8),
                (412.0, 8.6),
                (416.0, 12.4),
                (418.5, 17.0),
                (418.0, 23.0),
                (413.0, 29.5),
                (403.0, 36.0),
                (388.0, 41.0),
                (365.0, 44.0),
            ]),
            cycle: vec![
                corner("1", "suction", 412.0, 4.36),
                corner("2", "discharge", 449.0, 11.5),
                corner("3", "receiver outlet", 234.0, 11.4),
                corner("4", "coil inlet", 234.0, 4.5),
            ],
        }),
    }
}

fn ledger() -> Figure {
    let refill = |day: f64, date: &str, before: f64, added: &str| LedgerRefill {
        day,
        date: date.to_owned(),
        before: Some(before),
        after: 14.2,
        added: added.to_owned(),
    };
    Figure {
        title: v("Charge since January 2025, kg"),
        description: v(
            "Starts at 14.2 kg; falls 1.1 kg in 40 weeks, 1.6 kg in 19, 1.5 kg in 11, refilled each time; \
             11.5 to 12.4 kg expected today.",
        ),
        picture: Picture::Ledger(Ledger {
            unit: "kg".to_owned(),
            start: LedgerStart { day: 6.0, date: "6 Jan 2025".to_owned(), charge: 14.2 },
            refills: vec![
                refill(286.0, "13 Oct 2025", 13.1, "+1.1"),
                refill(419.0, "23 Feb 2026", 12.6, "+1.6"),
                refill(496.0, "11 May 2026", 12.7, "+1.5"),
            ],
            end: Some(LedgerEnd {
                day: 687.0,
                date: "18 Nov 2026".to_owned(),
                low: 11.5,
                high: 12.4,
                written: "11.5 to 12.4".to_owned(),
            }),
            full: Some(14.2),
            cold: vec![
                ColdSpan { from: 0.0, until: 90.0 },
                ColdSpan { from: 304.0, until: 455.0 },
                ColdSpan { from: 669.0, until: 760.0 },
            ],
            dates: vec![(6.0, "2025".to_owned()), (366.0, "2026".to_owned())],
        }),
    }
}

fn hold() -> Figure {
    let moved = [0.0, 0.002, -0.006, -0.004, -0.002, -0.010, -0.017, -0.015];
    Figure {
        title: v("Change after correction, bar"),
        description: v("Last value \u{2212}0.015 bar, ± 0.032: it fits a tight line, and it fits the leak."),
        picture: Picture::Hold(HoldTest {
            pressure_axis: v("change, bar"),
            time_axis: v("h"),
            readings: (0..8)
                .map(|at| Reading::new(f64::from(at) * 0.1, moved[at as usize]).within(0.032))
                .collect(),
            expected: Some(AllowedZone { low: Some(-0.006), high: Some(0.006) }),
            looked_for: Some(LookedFor {
                end: Point { x: 3.2, y: -0.033 },
                label: v("the loss we look for"),
            }),
            answer: Some(Moment { time: 3.2, label: v("answer") }),
        }),
    }
}

fn rise() -> Figure {
    let at = |minutes: f64| {
        let vapour = 160.0 * (1.0 - 1.0 / (1.0 + 0.45 * minutes));
        (60.0 + 2.0 * minutes + vapour, 2.0 * minutes, vapour)
    };
    let times: Vec<f64> = (0..=30).map(f64::from).collect();
    let part = |label: &str, get: &dyn Fn(f64) -> f64| FittedPart {
        label: v(label),
        line: times.iter().map(|time| Point { x: *time, y: get(*time) }).collect(),
    };
    Figure {
        title: v("Rise after the pump was shut off, Pa"),
        description: v(
            "The rise bends over and then goes on straight: moisture first, a small leak under it.",
        ),
        picture: Picture::Rise(RiseTest {
            pressure_axis: v("Pa abs"),
            time_axis: v("min"),
            readings: times.iter().map(|time| Reading::new(*time, at(*time).0)).collect(),
            parts: vec![
                part("leak 2.0 ± 0.3 Pa/min", &|t| at(t).1),
                part("moisture 150 ± 20 Pa", &|t| at(t).2),
            ],
            target: Some((67.0, v("wanted: 67 Pa"))),
        }),
    }
}

fn trend() -> Figure {
    let swing = [
        11.2, 10.3, 9.0, 8.1, 7.3, 6.5, 6.1, 6.0, 5.7, 5.9, 6.1, 6.0, 6.3, 6.6, 6.5, 6.7, 6.8, 6.6, 6.8, 6.8,
        6.6, 6.7, 6.8, 6.6, 6.7,
    ];
    let last = swing.len() - 1;
    Figure {
        title: v("Superheat settling, K"),
        description: v("Swings, then stays within 0.3 K of 6.7 K from minute 14 on."),
        picture: Picture::Trend(Trend {
            value_axis: v("superheat, K"),
            time_axis: v("min"),
            readings: swing
                .iter()
                .enumerate()
                .map(|(minute, kelvin)| {
                    let reading = Reading::new(minute as f64, *kelvin);
                    if minute == last { reading.within(0.9) } else { reading }
                })
                .collect(),
            allowed: Some(AllowedZone { low: Some(5.0), high: Some(8.0) }),
            settled: Some(Moment { time: 14.0, label: v("settled") }),
        }),
    }
}

fn chances() -> Vec<Chance> {
    let places = [
        ("Solenoid valve and its nuts", 0.34),
        ("Drier", 0.15),
        ("Suction line in the wall", 0.12),
        ("Controls inside their cover", 0.10),
        ("Coil", 0.09),
        ("Expansion valve", 0.06),
        ("Receiver", 0.05),
        ("Condenser", 0.04),
        ("Compressor", 0.026),
        ("Glass", 0.004),
    ];
    places.iter().map(|(name, probability)| Chance { name: v(name), probability: *probability }).collect()
}

fn account() -> Table {
    let cell = |text: &str| Cell::Value(Value::as_written(text));
    let row = |name: &str, cells: [&str; 4], mark: VerdictMark| {
        let mut all = vec![Cell::Text(v(name))];
        all.extend(cells.iter().map(|text| cell(text)));
        all.push(Cell::Verdict(mark));
        Row::new(all)
    };
    let mut total = row("All", ["60.80", "30.00", "27.55", "\u{2212}0.02"], VerdictMark::Met);
    total.total = true;
    total.cells[4] =
        Cell::Number(Number::new(v("Book less scale"), value("\u{2212}0.02", "0.30", "kg")).opens(opened(
            &[("Cylinder 3", value("20.05", "0.02", "kg"), "scale 1, 17:05")],
            "Bought less charged, less what stands on the scale.",
            &[("The scale", 100)],
            "Weighings of this job.",
        )));
    total.cells[5] = Cell::Empty;
    Table {
        caption: Some(v("Refrigerant account, 1 Jan to 18 Nov 2026, kg")),
        columns: vec![
            Column::words(v("Refrigerant")),
            Column::numbers(v("at start")),
            Column::numbers(v("bought")),
            Column::numbers(v("charged")),
            Column::numbers(v("book less scale")),
            Column::words(v("account")),
        ],
        rows: vec![
            row("R-449A", ["41.20", "20.00", "20.55", "0.25"], VerdictMark::Met),
            row("R-448A", ["18.60", "10.00", "6.85", "0.95"], VerdictMark::Breached),
            row("R-290", ["1.00", "0.00", "0.15", "0.01"], VerdictMark::NotResolved),
            total,
        ],
    }
}

/// Returns the page.
pub fn gallery() -> Document {
    let mut now = Now::new(v(
        "The leak was a flare nut at the liquid-line solenoid valve, under insulation. It is repaired and the line \
         is tight. Two things are not settled: subcooling, and the controller's pressure.",
    ));
    now.why = Some(v("The clamp is the larger doubt: wrap it, wait 5 min, read again."));
    now.numbers = vec![
        superheat(),
        subcooling(),
        Number::new(v("Loss in the last year"), value("4.5", "0.4", "kg")).doubtful(),
        Number::new(v("Weighed in"), Value::as_written("4 lb 14 oz")),
    ];
    let mut document = Document::new(v("Service report"), "en", Mark::Demo);
    document.subtitle =
        Some(v("Wrenford Flower Exchange, Room 7 (roses, 2 °C) · R-449A, 14.2 kg, 19.8 t CO2e"));
    document.details = vec![v("18 Nov 2026, 08:10 to 17:20"), v("tech A")];
    document.now = Some(now);
    document.sections = vec![
        Section::new(
            v("What was proved, and what was not"),
            vec![
                Block::Findings(findings()),
                Block::Paragraph(v(
                    "Bars show the 95 % interval; the heavy stroke is the limit. \"Not resolved\" means that the \
                     interval holds the limit.",
                )),
            ],
        ),
        Section::new(v("Charge since January 2025, kg"), vec![Block::Figure(Box::new(ledger()))]).beside(),
        Section::new(v("Where it was looked for (before the find)"), vec![Block::Chances(chances())]).beside(),
        Section::new(v("Cycle"), vec![Block::Figure(Box::new(cycle()))]).beside(),
        Section::new(v("Settling"), vec![Block::Figure(Box::new(trend()))]).beside(),
        Section::new(
            v("Tests"),
            vec![
                Block::Caution(Caution {
                    first: v("20 bar in this line."),
                    rest: Some(v(
                        "Lowest plate: drier, 25.0 bar. Do not tighten under pressure. The nameplate and the local \
                         code decide.",
                    )),
                }),
                Block::Figure(Box::new(hold())),
            ],
        )
        .beside(),
        Section::new(v("Evacuation"), vec![Block::Figure(Box::new(rise()))]).beside(),
        Section::new(v("Refrigerant"), vec![Block::Table(account())]),
        Section::new(
            v("What was done"),
            vec![
                Block::List(List {
                    ordered: true,
                    items: vec![
                        v("Shut the receiver's outlet, pumped the liquid line down to 0.2 bar gauge."),
                        v("Cut the insulation back 30 cm; the nut was oily all round."),
                        v("New flare, nut tightened to the maker's torque; line held with nitrogen."),
                    ],
                }),
                Block::Numbers(vec![superheat(), Number::new(v("Weighed in, cylinder 3"), value("2.20", "0.03", "kg"))]),
            ],
        )
        .beside(),
        Section::new(
            v("Also seen"),
            vec![Block::List(List {
                ordered: false,
                items: vec![v("Insulation missing at the coil outlet, 40 cm. Quoted; declined."), v("Door heater of Room 2 cold.")],
            })],
        )
        .beside(),
        Section::new(
            v("Signed"),
            vec![Block::Signatures(vec![
                Signature { role: v("for the customer: choice and reason"), name: None },
                Signature { role: v("tech A, certificate no."), name: Some(v("as in the record")) },
            ])],
        ),
    ];
    document.methods = vec![Block::Paragraph(v("Property tables version 1. Times are those of the site."))];
    document
}
