//! Parts by function: what a replacement must satisfy here, what the shop has, the order.

#![allow(clippy::unwrap_used)]

use job::parts::{Function, csv, document, function, must};
use job::visit::{Results, Visit};
use record::{read_job_file, read_prices};
use report::TextOptions;
use std::path::PathBuf;

fn file(path: &str) -> String {
    std::fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(path))
        .unwrap()
}

fn visit(change: &dyn Fn(String) -> String) -> Visit {
    let text = change(file("jobs/room-7-first-call.toml"));
    Visit::new("", &read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}")).events)
}

fn said(visit: &Visit, function: Function) -> String {
    let wording = wording::Wording::new("en");
    must(visit, function, &visit.writer()).iter().map(|one| wording.say(one)).collect::<Vec<_>>().join(" | ")
}

#[test]
fn words_name_a_function_by_what_is_nearest() {
    for (words, expected) in [
        ("filter drier, liquid line", Function::Drier),
        ("joint of the liquid line to the solenoid valve", Function::Joint),
        ("insulation of the suction line", Function::Insulation),
        ("Électrovanne de liquide", Function::Solenoid),
        ("low-pressure control", Function::LowControl),
        ("condenser fan motor", Function::Fan),
        ("door heater", Function::Other),
    ] {
        assert_eq!(function(words), expected, "{words}");
    }
}

#[test]
fn a_drier_must_fit_gas_oil_pressure_line_and_capacity() {
    let text = said(&visit(&|text| text), Function::Drier);
    for part in ["R-449A and POE oil", "450 psig or more", "1/2 in", "7.5 kW"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let poor = said(&visit(&|text| text.replace("high_side_limit = \"450 psig\"\n", "")), Function::Drier);
    assert!(poor.contains("cannot be said without"), "{poor}");
    // A fan does not touch the gas.
    assert!(!said(&visit(&|text| text), Function::Fan).contains("R-449A"));
}

#[test]
fn a_control_s_range_reaches_past_every_setting() {
    // 5 psig less 10 psi, and 38 psig and 10 psi more.
    let text =
        said(&visit(&|text| text), Function::LowControl).replace('\u{a0}', " ").replace('\u{2212}', "-");
    assert!(text.contains("-5.0 psig or less to 48.0 psig"), "{text}");
    assert!(text.contains("resets by itself"), "{text}");
}

#[test]
fn the_list_and_the_order_go_by_the_shop_s_own_codes() {
    let visit = visit(&|text| text);
    let prices = read_prices(file("prices.toml").as_bytes()).unwrap();
    let order = csv(&visit, Some(&prices));
    assert!(
        order.starts_with("code,function,count,order_line,also\r\nFD-12,\"filter drier, liquid line\",1,"),
        "{order}"
    );
    assert_eq!(order.lines().count(), 2, "what is on the van is not ordered: {order}");
    let results = Results::of(&visit);
    let wording = wording::Wording::new("en");
    let document = document(&results, Some(&prices), None, &visit.writer());
    let text = report::to_text(&document, &|one| wording.say(one), TextOptions::default());
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("nitrogen to flow"), "{text}");
    assert!(csv(&visit, None).contains("\r\n,\"filter drier"));
}
