//! What the owner's pages are made of: summaries of jobs, systems by what they lose, what is due, the account.

#![allow(clippy::unwrap_used)]

use job::shop::tables;
use job::shop::{Closes, DueKind, LossKind, Standing, Summary, Trend, accounts, overview, summary, years};
use record::{JobFile, read_job_file};
use std::collections::BTreeSet;
use units::Date;

const FIRST: &str = include_str!("../../../examples/jobs/room-7-first-call.toml");
const REPAIR: &str = include_str!("../../../examples/jobs/room-7-repair.toml");
const AUTUMN: &str = include_str!("../../../examples/jobs/room-2-autumn.toml");

fn read(text: &str) -> JobFile {
    read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}"))
}

fn day(text: &str) -> Date {
    text.parse().unwrap()
}

fn of(texts: &[&str], on: &str) -> Summary {
    let visits: Vec<_> = texts.iter().map(|text| read(text).events).collect();
    summary(&visits, day(on))
}

/// A visit with weighings, each `(cylinder, direction, before, after)`.
fn weighed(name: &str, date: &str, weighings: &[(&str, &str, &str, Option<&str>)]) -> Summary {
    let mut text = format!(
        "gastight = 1\njob = \"{name}\"\n[visit]\ndate = {date}\n[system]\nname = \"{name}\"\nrefrigerant = \"R-449A\"\n\
         charge = \"10 kg\"\n[[instrument]]\nid = \"scale\"\nmeasures = \"mass\"\naccuracy = \"20 g\"\nresolution = \"10 g\"\n"
    );
    let names: BTreeSet<String> = weighings.iter().map(|(cylinder, ..)| (*cylinder).to_owned()).collect();
    for cylinder in names {
        text.push_str(&format!("[[cylinder]]\nid = \"{cylinder}\"\n"));
    }
    for (cylinder, direction, before, after) in weighings {
        let after = after.map(|after| format!("after = \"{after}\"\n")).unwrap_or_default();
        text.push_str(&format!(
            "[[entry]]\nkind = \"weighing\"\ncylinder = \"{cylinder}\"\ndirection = \"{direction}\"\n\
             before = {{ value = \"{before}\", with = \"scale\" }}\n{after}"
        ));
    }
    of(&[&text], "2031-12-31")
}

#[test]
fn a_summary_says_what_the_report_of_the_job_says() {
    let file = read(FIRST);
    let made = of(&[FIRST], "2031-05-07");
    assert_eq!(made.job, Some(file.job));
    assert_eq!((made.name(), made.site.as_deref()), (Some("Room 7"), Some("Wrenford Flower Exchange")));
    assert_eq!(made.refrigerant.as_deref(), Some("R-449A"));
    assert_eq!(made.charge_kg, Some(14.2));
    assert_eq!(made.day, Some(day("2031-05-06")));
    assert!(made.invented);
    let loss = made.loss.as_ref().unwrap();
    // The account's own answer, worked out again from the visit: nothing is rounded on the way.
    let visit = job::visit::Visit::new("", &file.events);
    let account = job::visit::account::account(&visit);
    let field::annual_loss::LossRate::Known { rate, low, high } = account.loss.as_ref().unwrap().leak.clone()
    else {
        panic!("a rate");
    };
    assert_eq!(loss.kind, LossKind::Known);
    assert_eq!(loss.kg, Some(rate.value().kilogram_per_year()));
    assert_eq!(loss.low_kg, Some(low.kilogram_per_year()));
    assert_eq!(loss.high_kg, Some(high.kilogram_per_year()));
    assert_eq!(loss.percent, Some(100.0 * rate.value().kilogram_per_year() / 14.2));
    let trend = match account.loss.as_ref().unwrap().trend {
        field::annual_loss::Trend::Faster => Trend::Faster,
        field::annual_loss::Trend::Slower => Trend::Slower,
        field::annual_loss::Trend::NotResolved => Trend::NotResolved,
    };
    assert_eq!(loss.trend, trend);
    let percents: Vec<f64> = made.rates.iter().map(|rate| rate.percent).collect();
    let legal = [account.annualizing, account.rolling];
    assert_eq!(percents, legal.iter().flatten().map(|rate| rate.percent).collect::<Vec<_>>());
}

#[test]
fn a_kept_summary_is_read_back_as_it_was() {
    for texts in [&[FIRST][..], &[FIRST, REPAIR], &[AUTUMN]] {
        let made = of(texts, "2031-11-30");
        let text = serde_json::to_string(&made).unwrap();
        assert_eq!(serde_json::from_str::<Summary>(&text).unwrap(), made);
    }
    let empty = summary(&[], day("2031-01-01"));
    assert_eq!(serde_json::from_str::<Summary>("{\"reckoned\":\"2031-01-01\"}").unwrap(), empty);
    assert!(serde_json::from_str::<Summary>("{\"reckoned\":\"2031-13-01\"}").is_err());
}

#[test]
fn what_was_weighed_is_what_the_ledger_of_the_visit_says() {
    let made = of(&[REPAIR], "2031-11-30");
    let file = read(REPAIR);
    let visit = job::visit::Visit::new("", &file.events);
    let account = job::visit::account::account(&visit);
    assert!(!made.moved.is_empty());
    for cylinder in &account.ledger.cylinders {
        let sum = |recovered: bool| -> f64 {
            let moved = made.moved.iter().filter(|one| one.recovered == recovered);
            moved
                .filter(|one| one.cylinder == cylinder.cylinder)
                .filter_map(|one| one.mass)
                .map(|mass| mass.kg)
                .sum()
        };
        assert!((sum(false) - cylinder.given.value().kilogram()).abs() < 1e-9);
        assert!((sum(true) - cylinder.taken.value().kilogram()).abs() < 1e-9);
    }
}

#[test]
fn due_is_what_is_open_and_what_the_law_asks() {
    let text = r#"
gastight = 1
[visit]
date = 2031-05-06
[system]
name = "Room 7"
refrigerant = "R-449A"
charge = "14.2 kg"
[[cylinder]]
id = "supply A"
refrigerant = "R-449A"
retest = 2031-07-01
[[entry]]
kind = "weighing"
cylinder = "supply A"
direction = "charged"
before = "20 kg"
[[entry]]
kind = "opened"
what = "receiver outlet shut"
place = "plant yard"
[[entry]]
kind = "finding"
what = "insulation missing"
urgency = "soon"
[[entry]]
kind = "finding"
what = "fan about to fail"
urgency = "now"
answer = "declined"
[[entry]]
kind = "part"
function = "seals the flare"
source = "order"
order_line = "2 flare nuts, 1/2 in"
"#;
    let made = of(&[text], "2031-05-07");
    let has = |kind| made.due.iter().filter(|due| due.kind == kind).collect::<Vec<_>>();
    assert_eq!(has(DueKind::Weight)[0].of, "supply A");
    assert_eq!(has(DueKind::Opened)[0].of, "receiver outlet shut");
    assert_eq!(has(DueKind::Opened)[0].place.as_deref(), Some("plant yard"));
    // What was declined is answered.
    assert_eq!(
        has(DueKind::Answer).iter().map(|due| due.of.as_str()).collect::<Vec<_>>(),
        ["insulation missing"]
    );
    assert_eq!(has(DueKind::Part)[0].of, "2 flare nuts, 1/2 in");
    assert_eq!(has(DueKind::Retest)[0].day, Some(day("2031-07-01")));
    assert!(has(DueKind::Retest)[0].is_overdue(day("2031-07-02")));
    assert!(!has(DueKind::Retest)[0].is_overdue(day("2031-07-01")));

    let later = overview([&made], day("2031-08-01"));
    assert_eq!(later.overdue, later.due.iter().filter(|line| line.overdue).count() as u64);
    assert!(later.due[0].overdue && later.systems[0].standing == Standing::Late);
    assert_eq!(later.due_in_all, made.due.len() as u64);
}

#[test]
fn what_the_law_asks_is_what_the_law_s_own_list_says() {
    // The same record under a law that asks for regular leak checks.
    let spain = |text: &&str| read(&text.replace("Ontario, Canada", "Spain")).events;
    let visits: Vec<_> = [FIRST, REPAIR].iter().map(spain).collect();
    let on = day("2031-11-30");
    let systems = job::law::systems(visits.clone());
    let laws = job::law::laws(job::law::Book::shipped(), &systems, on);
    let mut asked: Vec<(String, bool)> =
        job::law::due(&laws, None).iter().map(|line| (line.duty.id.clone(), line.firm)).collect();
    let made = summary(&visits, on);
    let mut due: Vec<(String, bool)> = made
        .due
        .iter()
        .filter_map(|due| due.law.as_ref())
        .map(|law| (law.id.clone(), law.confirmed))
        .collect();
    asked.sort();
    asked.dedup();
    due.sort();
    due.dedup();
    assert!(!asked.is_empty());
    assert_eq!(due, asked);
}

#[test]
fn what_was_asked_again_and_answered_is_not_due() {
    let finding = |date: &str, answer: &str| {
        format!(
            "gastight = 1\n[visit]\ndate = {date}\n[[entry]]\nkind = \"finding\"\nwhat = \"Insulation missing\"\n{answer}"
        )
    };
    let (asked, put_off) = (finding("2031-05-06", ""), finding("2031-06-06", "answer = \"later\"\n"));
    let yes = finding("2031-07-06", "answer = \"accepted\"\n");
    let kinds = |texts: &[&str]| of(texts, "2031-08-01").due.iter().map(|due| due.kind).collect::<Vec<_>>();
    assert_eq!(kinds(&[&asked]), [DueKind::Answer]);
    assert_eq!(kinds(&[&asked, &put_off]), [DueKind::Later]);
    assert_eq!(kinds(&[&asked, &put_off, &yes]), []);
}

#[test]
fn systems_stand_by_what_they_lose() {
    let (room7, room2) = (of(&[FIRST], "2031-05-07"), of(&[AUTUMN], "2031-05-07"));
    let bare = of(&["gastight = 1\n[system]\nname = \"Shop reach-in\"\n"], "2031-05-07");
    let made = overview([&bare, &room2, &room7], day("2031-05-07"));
    assert_eq!(made.systems[0].name.as_deref(), Some("Room 7"));
    assert_eq!(made.systems[2].name.as_deref(), Some("Shop reach-in"));
    assert!(made.systems[2].loss.is_none());
    assert_eq!(made.systems_in_all, 3);
    let sum: f64 = made
        .systems
        .iter()
        .filter_map(|line| line.loss.as_ref())
        .filter(|loss| loss.kind == LossKind::Known)
        .filter_map(|loss| loss.kg)
        .sum();
    assert!((made.lost_kg - sum).abs() < 1e-12 && sum > 0.0);
}

#[test]
fn an_account_closes_where_the_scale_explains_every_gap() {
    let jobs = [
        weighed("a", "2031-01-10", &[("S1", "charged", "20.00 kg", Some("18.50 kg"))]),
        weighed("b", "2031-03-10", &[("s1", "charged", "18.51 kg", Some("17.00 kg"))]),
    ];
    let made = accounts(&jobs, None);
    let line = &made.by_cylinder[0];
    assert_eq!((made.by_cylinder.len(), line.jobs, line.compared), (1, 2, 1));
    assert_eq!(line.closes, Closes::Yes);
    assert!((line.charged.kg - 3.01).abs() < 1e-9 && (line.gap.kg - 0.01).abs() < 1e-9);
    assert_eq!(line.last_gross.unwrap().kg, 17.0);
    assert_eq!(made.by_refrigerant[0].closes, Closes::Yes);
    assert!(made.gaps.is_empty());
    // Gross weights: what is charged and what is gapped explain the whole way from the first to the last.
    assert!((20.0 - line.charged.kg + line.gap.kg - 17.0).abs() < 1e-9);
}

#[test]
fn what_went_missing_between_two_jobs_is_shown() {
    let jobs = [
        weighed("a", "2031-01-10", &[("S1", "charged", "20.00 kg", Some("18.50 kg"))]),
        weighed("b", "2032-03-10", &[("S1", "charged", "17.50 kg", Some("16.00 kg"))]),
        weighed("c", "2032-04-10", &[("R1", "recovered", "9.00 kg", Some("12.00 kg"))]),
    ];
    let made = accounts(&jobs, None);
    assert_eq!(made.gaps.len(), 1);
    assert!((made.gaps[0].mass.kg + 1.0).abs() < 1e-9);
    assert_eq!((made.gaps[0].from_job, made.gaps[0].to_job), (jobs[0].job, jobs[1].job));
    let line =
        |name: &str| made.by_cylinder.iter().find(|line| line.of.cylinder.as_deref() == Some(name)).unwrap();
    assert_eq!(line("S1").closes, Closes::No);
    // A cylinder weighed in one job alone has nothing to be compared with.
    assert_eq!(line("R1").closes, Closes::NotResolved);
    assert!((line("R1").net.kg + 3.0).abs() < 1e-9);
    assert_eq!(made.by_refrigerant[0].closes, Closes::No);
    assert!((made.by_refrigerant[0].net.kg - 0.0).abs() < 1e-9);

    // The gap belongs to the year in which it was found.
    assert_eq!(years(&jobs), [2032, 2031]);
    let (first, second) = (accounts(&jobs, Some(2031)), accounts(&jobs, Some(2032)));
    assert!(first.gaps.is_empty() && second.gaps.len() == 1);
    assert_eq!(first.by_cylinder.len(), 1);
    assert_eq!(first.by_cylinder[0].last_gross.unwrap().kg, 18.5);
    assert_eq!(accounts(&jobs, Some(1999)).by_cylinder, []);
    let sum: f64 = made.by_year.iter().map(|line| line.charged.kg).sum();
    assert!((sum - made.by_refrigerant[0].charged.kg).abs() < 1e-9);
}

#[test]
fn a_weight_that_is_owed_leaves_the_account_open() {
    let jobs = [
        weighed("a", "2031-01-10", &[("S1", "charged", "20.00 kg", Some("18.50 kg"))]),
        weighed("b", "2031-03-10", &[("S1", "charged", "18.50 kg", None)]),
    ];
    let made = accounts(&jobs, None);
    assert_eq!((made.by_cylinder[0].owed, made.by_cylinder[0].closes), (1, Closes::NotResolved));
    assert!((made.by_cylinder[0].charged.kg - 1.5).abs() < 1e-9);
    assert_eq!(made.by_cylinder[0].last_gross.unwrap().kg, 18.5);
}

#[test]
fn doubts_of_one_scale_add_straight() {
    let job = weighed(
        "a",
        "2031-01-10",
        &[("S1", "charged", "20.00 kg", Some("18.50 kg")), ("S1", "charged", "18.50 kg", Some("17.00 kg"))],
    );
    let each = job.moved[0].mass.unwrap().u_kg;
    assert!(each > 0.0);
    let made = accounts([&job], None);
    let both = job.moved.iter().filter_map(|moved| moved.mass).map(|mass| mass.u_kg).sum::<f64>();
    assert!((made.by_cylinder[0].charged.u_kg - both).abs() < 1e-12);
    // What went back out does not make what went in surer.
    let back = weighed("b", "2031-02-10", &[("S1", "recovered", "17.00 kg", Some("17.50 kg"))]);
    let net = accounts([&job, &back], None).by_cylinder[0].net;
    assert!((net.kg - 2.5).abs() < 1e-9 && net.u_kg > both);
}

#[test]
fn tables_have_as_many_cells_as_columns_and_no_formula_gets_through() {
    let evil = "gastight = 1\n[visit]\ndate = 2031-05-06\n[system]\nname = '=HYPERLINK(\"x\")'\ncharge = \"1 kg\"\n\
                [[entry]]\nkind = \"finding\"\nwhat = '@SUM(A1), \"quoted\"'\n[[cylinder]]\nid = '+1'\n[[entry]]\nkind = \"weighing\"\n\
                cylinder = '+1'\ndirection = \"charged\"\nbefore = \"2 kg\"\nafter = \"1 kg\"\n";
    let made = of(&[evil], "2031-06-01");
    let seen = overview([&made], day("2031-06-01"));
    let all = [
        tables::systems(&seen),
        tables::due(&seen.due),
        tables::accounts(&accounts([&made], None)),
        tables::jobs([&made]),
    ];
    for table in &all {
        assert!(!table.rows.is_empty(), "{}", table.name);
        for row in &table.rows {
            assert_eq!(row.len(), table.heading.len(), "{}", table.name);
        }
        let text = table.csv();
        let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
        let back: Vec<Vec<String>> =
            reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
        assert_eq!(back.len(), table.rows.len());
        for cell in back.iter().flatten() {
            let formula = cell.starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
            assert!(!formula, "{cell}");
        }
    }
    assert!(all[0].csv().contains("\"'=HYPERLINK(\"\"x\"\")\""));
    assert!(all[1].csv().contains("\"'@SUM(A1), \"\"quoted\"\"\""));
}

/// The same cause at another system of the same site, a booked visit, and the follow-up of a repair.
#[test]
fn one_cause_is_flagged_at_the_other_systems_of_its_site() {
    let system = |name: &str, site: &str, more: &str| {
        let text = format!(
            "gastight = 1\njob = \"{name} {site}\"\n[site]\nname = \"{site}\"\n[visit]\ndate = 2031-06-01\n[system]\nname = \"{name}\"\n\
             refrigerant = \"R-449A\"\n{more}"
        );
        summary(&[read_job_file(text.as_bytes()).unwrap().events], day("2031-05-20"))
    };
    let bare = "[[entry]]\nkind = \"finding\"\nwhat = \"no insulation in the yard\"\nabout = \"bare line\"\n";
    let done = format!("{bare}done = \"yes\"\n");
    let all = [
        system("Room 7", "Wrenford Flower Exchange", bare),
        system("Room 2", "Wrenford Flower Exchange", ""),
        system("Room 4", "Wrenford Flower Exchange", &done),
        system("Shop", "Elsewhere", bare),
    ];
    let seen = overview(all.iter(), day("2031-05-20"));
    assert_eq!(seen.shared.len(), 1, "a site with one system has no others: {:?}", seen.shared);
    let one = &seen.shared[0];
    assert_eq!((one.seen.as_str(), one.site.as_str()), ("bare line", "Wrenford Flower Exchange"));
    assert_eq!(
        (one.at.clone(), one.look_at.clone()),
        (vec!["Room 7".to_owned()], vec!["Room 2".to_owned(), "Room 4".to_owned()])
    );
    let booked: Vec<_> = all[1].due.iter().filter(|due| due.kind == DueKind::Visit).collect();
    assert_eq!(booked.iter().map(|due| due.day).collect::<Vec<_>>(), [Some(day("2031-06-01"))]);
    let begun = "[[entry]]\nkind = \"arrival\"\nat = 2031-06-01T09:00+00:00\nplace = \"box\"\n";
    let begun = system("Room 9", "Wrenford Flower Exchange", begun);
    assert!(!begun.due.iter().any(|due| due.kind == DueKind::Visit), "it is no longer only booked");
}
