//! Quote and invoice: hours from the clock, gas from the scale, exact money, documents that do not change.

#![allow(clippy::unwrap_used)]

use job::bill::{self, Bill, Decimal, FrozenFault};
use job::visit::Visit;
use proptest::prelude::*;
use record::{Event, Paper, Prices, Work, read_job_file, read_prices};
use report::Message;
use std::path::PathBuf;

const SHOP: &str = "gastight_prices = 1\n[shop]\nname = \"Invented\"\ncurrency = \"CAD\"\n";

fn file(path: &str) -> String {
    std::fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(path))
        .unwrap()
}

fn events(text: &str) -> Vec<Event> {
    read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}")).events
}

fn visit(text: &str) -> Visit {
    Visit::new("", &events(text))
}

fn prices(more: &str) -> Prices {
    read_prices(format!("{SHOP}{more}").as_bytes()).unwrap_or_else(|problems| panic!("{problems}"))
}

fn example_prices() -> Prices {
    read_prices(file("prices.toml").as_bytes()).unwrap()
}

fn say(message: &Message) -> String {
    wording::Wording::new("en").say(message)
}

fn rows(bill: &Bill) -> Vec<String> {
    bill.lines
        .iter()
        .map(|line| format!("{} {} {} {}", line.what.said(&say), line.quantity, line.price, line.amount))
        .map(|row| row.replace('\u{a0}', " "))
        .collect()
}

fn adds_up(bill: &Bill) -> bool {
    let taxes: Decimal = bill.taxes.iter().map(|tax| tax.amount).sum();
    bill.net().plus(taxes) == bill.total
}

const HEAD: &str = "gastight = 1\n[site]\njurisdiction = \"Quebec, Canada\"\noffset = \"-04:00\"\n[visit]\ndate = 2031-05-07\n\
                    [system]\nrefrigerant = \"R-449A\"\n[[cylinder]]\nid = \"S\"\nrefrigerant = \"R-449A\"\n\
                    [[cylinder]]\nid = \"R\"\nrefrigerant = \"R-449A\"\nused_for = \"recovery\"\n";

#[test]
fn the_example_s_invoice_by_hand() {
    let bill = bill::invoice(&visit(&file("jobs/room-7-repair.toml")), &example_prices(), false).unwrap();
    // 27 lb 5.0 oz - 24 lb 7.6 oz = 45.4 oz = 1.28707 kg, less 40 g in the hoses: 1.25 kg at 84.00.
    assert!(
        rows(&bill).contains(&"Refrigerant R-449A, weighed 1.25 84.00 105.00".to_owned()),
        "{:#?}",
        rows(&bill)
    );
    // 3.2 oz taken from the section: 0.0907 kg.
    assert!(rows(&bill).contains(&"Refrigerant R-449A, taken away 0.09 12.00 1.08".to_owned()));
    // 13:20 weighed, 14:10 mended: 50 min, and 10 min from the last reading to the insulation closed again.
    assert!(rows(&bill).contains(&"Repair 1.00 118.00 118.00".to_owned()));
    assert_eq!(bill.taxes.len(), 1);
    assert_eq!(bill.taxes[0].name, "HST 13 %");
    assert_eq!(bill.taxes[0].amount, bill.net().times(Decimal::new(13, 2)).rounded(2));
    assert!(adds_up(&bill));
    assert_eq!(bill.notes.len(), 1, "the night is not counted, and that is said");
}

#[test]
fn the_clock_splits_the_working_day_and_tells_trips() {
    let text = format!(
        "{HEAD}[[entry]]\nkind = \"arrival\"\nat = 16:00\nplace = \"box\"\ntravel = \"30 min\"\n\
         [[entry]]\nkind = \"leak check\"\nat = 17:30\nmethod = \"soap\"\nresult = \"hit\"\n\
         [[entry]]\nkind = \"departure\"\nat = 17:40\nplace = \"box\"\n\
         [[entry]]\nkind = \"arrival\"\nat = 17:50\nplace = \"roof\"\n\
         [[entry]]\nkind = \"repair\"\nat = 18:20\nwhat = \"x\"\n\
         [[entry]]\nkind = \"departure\"\nat = 18:30\nplace = \"roof\"\n\
         [[entry]]\nkind = \"arrival\"\nat = 2031-05-10T09:00\nplace = \"roof\"\n\
         [[entry]]\nkind = \"reading\"\nat = 2031-05-10T10:00\nbox_air = \"2 °C\"\n"
    );
    let prices = prices(
        "opens = \"07:00\"\ncloses = \"17:00\"\n[[hour]]\nprice = \"100 CAD\"\nafter_hours = \"150 CAD\"\n",
    );
    let bill = bill::invoice(&visit(&text), &prices, false).unwrap();
    assert_eq!((bill.worked.trips, bill.worked.climbs), (2, 2));
    let spent = |work: Work| bill.worked.spent.get(&work).map(|s| (s.plain / 60_000, s.after_hours / 60_000));
    assert_eq!(spent(Work::Travel), Some((30, 0)));
    assert_eq!(spent(Work::Search), Some((60, 30)));
    // The way to the roof and the repair: 17:40 to 18:20, all after hours.
    assert_eq!(spent(Work::Repair), Some((0, 40)));
    // A Saturday.
    assert_eq!(spent(Work::Prove), Some((0, 60)));
    assert!(bill.notes.is_empty());
}

#[test]
fn gas_goes_by_what_left_and_came_back() {
    let weigh = |cylinder: &str, direction: &str, before: &str, after: &str| {
        format!(
            "[[entry]]\nkind = \"weighing\"\ncylinder = \"{cylinder}\"\ndirection = \"{direction}\"\nbefore = \"{before}\"\nafter = \"{after}\"\n"
        )
    };
    let gas =
        "[[gas]]\nrefrigerant = \"R-449A\"\nunit = \"lb\"\nprice = \"10.00 CAD\"\ntake_back = \"1.00 CAD\"\n";
    let text = [
        HEAD.to_owned(),
        weigh("R", "recovered", "30 lb", "36 lb"),
        weigh("R", "charged", "36 lb", "31 lb"),
        weigh("S", "charged", "20 lb", "17 lb 8 oz"),
        weigh("S", "recovered", "17 lb 8 oz", "18 lb"),
    ]
    .concat();
    let bill = bill::invoice(&visit(&text), &prices(gas), false).unwrap();
    assert_eq!(
        rows(&bill),
        ["Refrigerant R-449A, weighed 2.00 10.00 20.00", "Refrigerant R-449A, taken away 1.00 1.00 1.00"]
    );
    let owed = format!(
        "{HEAD}[[entry]]\nkind = \"weighing\"\ncylinder = \"S\"\ndirection = \"charged\"\nbefore = \"20 lb\"\n"
    );
    let refused = bill::invoice(&visit(&owed), &prices(gas), false).unwrap_err();
    assert_eq!((refused.code, refused.field.as_str()), ("bill_lacks", "weighing.after"));
}

#[test]
fn taxes_go_by_place_and_day_and_one_above_the_other() {
    let part =
        "[[entry]]\nkind = \"part\"\nfunction = \"a valve\"\nsource = \"stock\"\nprice = \"199.99 CAD\"\n";
    let taxes = "[[tax]]\nname = \"GST\"\nplace = \"Canada\"\nrate = \"5 %\"\n\
                 [[tax]]\nname = \"QST\"\nplace = \"CA-QC\"\nrate = \"9.975 %\"\nfrom = 2013-01-01\n\
                 [[tax]]\nname = \"old QST\"\nplace = \"CA-QC\"\nrate = \"9.5 %\"\nuntil = 2012-12-31\nabove = [\"GST\"]\n\
                 [[tax]]\nname = \"HST\"\nplace = \"CA-ON\"\nrate = \"13 %\"\n\
                 [[tax]]\nname = \"on hours\"\nrate = \"1 %\"\non = [\"hours\"]\n";
    let of = |day: &str| {
        let text = format!("{HEAD}{part}").replace("2031-05-07", day);
        let bill = bill::invoice(&visit(&text), &prices(taxes), false).unwrap();
        assert!(adds_up(&bill));
        bill.taxes.iter().map(|tax| format!("{} {}", tax.name, tax.amount)).collect::<Vec<_>>()
    };
    // 199.99 x 5 % = 9.9995; x 9.975 % = 19.9490.
    assert_eq!(of("2031-05-07"), ["GST 5 % 10.00", "QST 9.975 % 19.95"]);
    // (199.99 + 10.00) x 9.5 % = 19.94905.
    assert_eq!(of("2012-12-31"), ["GST 5 % 10.00", "old QST 9.5 % 19.95"]);
    let nowhere = format!("{HEAD}{part}").replace("Quebec, Canada", "the other side");
    let refused = bill::invoice(&visit(&nowhere), &prices(taxes), false).unwrap_err();
    assert_eq!(refused.field, "site.jurisdiction");
}

#[test]
fn everything_without_a_price_is_named_at_once() {
    let text = format!(
        "{HEAD}[[entry]]\nkind = \"part\"\nfunction = \"a valve\"\nsource = \"stock\"\n\
         [[entry]]\nkind = \"part\"\nfunction = \"on order\"\nsource = \"order\"\n\
         [[entry]]\nkind = \"finding\"\nwhat = \"a fan\"\nprice = \"10 CAD .. 20 CAD\"\nanswer = \"accepted\"\ndone = \"yes\"\n\
         [[entry]]\nkind = \"finding\"\nwhat = \"no\"\nprice = \"10 CAD\"\nanswer = \"declined\"\ndone = \"yes\"\n\
         [[entry]]\nkind = \"finding\"\nwhat = \"euro\"\nprice = \"10 EUR\"\nanswer = \"accepted\"\ndone = \"yes\"\n\
         [[entry]]\nkind = \"finding\"\nwhat = \"not yet\"\nanswer = \"accepted\"\n"
    );
    let refused = bill::invoice(&visit(&text), &prices(""), false).unwrap_err();
    assert_eq!(refused.total, Some(4), "{:#?}", refused.details);
    assert!(say(&refused.message).contains("3 more"), "{}", say(&refused.message));
}

#[test]
fn a_repair_that_did_not_last_is_not_billed_again() {
    let repair = |day: &str, place: &str| {
        format!(
            "{HEAD}[[entry]]\nkind = \"arrival\"\nat = 09:00\nplace = \"box\"\n\
             [[entry]]\nkind = \"repair\"\nat = 10:00\nplace = \"{place}\"\nwhat = \"brazed\"\n\
             [[entry]]\nkind = \"part\"\nfunction = \"a nut\"\nsource = \"stock\"\nprice = \"5.00 CAD\"\n"
        )
        .replace("2031-05-07", day)
    };
    let hours = "warranty_days = 90\n[[hour]]\nprice = \"100.00 CAD\"\n[[fixed]]\nwhat = \"Van\"\nper = \"trip\"\nprice = \"50.00 CAD\"\n";
    let bill = |second: &str, place: &str| {
        let chain = [events(&repair("2031-05-07", "Flare nut")), events(&repair(second, place))];
        bill::invoice(&Visit::of_chain("", &chain), &prices(hours), false).unwrap()
    };
    let again = bill("2031-06-07", "flare nut");
    assert_eq!(again.net(), Decimal::new(5000, 2), "{:#?}", rows(&again));
    assert_eq!(again.lines.len(), 5);
    assert_eq!(bill("2031-06-07", "elsewhere").net(), Decimal::new(15500, 2));
    assert_eq!(
        bill("2031-08-06", "flare nut").net(),
        Decimal::new(15500, 2),
        "91 days are past the warranty"
    );
    // Of a whole call the first visit is billed too, unless an invoice was sent for it.
    let chain = [events(&repair("2031-05-07", "Flare nut")), events(&repair("2031-08-06", "flare nut"))];
    let whole = bill::invoice(&Visit::of_chain("", &chain), &prices(hours), true).unwrap();
    assert_eq!(whole.net(), Decimal::new(31000, 2));
}

fn parties(text: &str) -> bill::Parties {
    bill::Parties::of(&visit(text), &prices(""))
}

fn sent(text: &str, bill: &Bill, paper: (Paper, &str), corrects: Option<&str>) -> String {
    let mut out = format!("{text}[[entry]]\nkind = \"sent\"\n");
    for (path, value) in bill::sent_fields(bill, paper, (corrects, None), &parties(text), &say) {
        if !path.contains('[') {
            out.push_str(&format!("{path} = {value:?}\n"));
        }
    }
    let row = |line: &bill::Line| {
        format!(
            "{{ what = {:?}, quantity = \"{}\", unit = \"h\", price = \"{}\", amount = \"{}\" }}, ",
            line.what.said(&say).replace('\u{a0}', " "),
            line.quantity,
            line.price,
            line.amount
        )
    };
    out.push_str(&format!("line = [{}]\n", bill.lines.iter().map(row).collect::<String>()));
    out
}

#[test]
fn a_numbered_document_stays_and_is_checked() {
    let text = format!(
        "{HEAD}[[entry]]\nkind = \"part\"\nfunction = \"a nut\"\nsource = \"stock\"\nprice = \"5.00 CAD\"\n"
    );
    let text = text
        .replace(
            "[site]\n",
            "[customer]\nname = \"Wrenford Flower Exchange\"\n[site]\naddress = \"Loading dock C\"\n",
        )
        .replace("[system]\n", "[system]\nname = \"Room 7\"\n");
    let first = bill::invoice(&visit(&text), &prices(""), false).unwrap();
    let kept = sent(&text, &first, (Paper::Invoice, "31-1"), None);
    let one = visit(&kept);
    let invoice = bill::invoice_of(&one).unwrap();
    assert_eq!(bill::frozen(invoice), Ok(first.total));
    assert!(bill::next_after(&one, Paper::Invoice, "31-1", None).is_some(), "a number is given once");
    assert!(
        bill::next_after(&one, Paper::Invoice, "31-2", None).is_some(),
        "a second must say what it corrects"
    );
    assert!(bill::next_after(&one, Paper::Invoice, "31-2", Some("30-9")).is_some());
    assert!(bill::next_after(&one, Paper::Invoice, "31-2", Some("31-1")).is_none());
    // What is recorded later does not change it.
    let later = format!(
        "{kept}[[entry]]\nkind = \"part\"\nfunction = \"b\"\nsource = \"stock\"\nprice = \"7.00 CAD\"\n"
    );
    let later = visit(&later);
    assert_eq!(bill::frozen(bill::invoice_of(&later).unwrap()), Ok(first.total));
    // Whom it is for, the shop and its terms stay as they were sent, whatever record and price list say later.
    let before = parties(&kept);
    assert!(before.to.is_some() && before.site.is_some() && !before.shop.is_empty(), "{before:?}");
    let standing = bill::Parties {
        to: Some("another firm".to_owned()),
        site: None,
        shop: vec!["another shop".to_owned()],
        terms: Some("other terms".to_owned()),
    };
    let thawed = standing.as_sent(bill::invoice_of(&later).unwrap());
    assert_eq!(thawed, before);
    let tampered = visit(&kept.replace("amount = \"5.00\"", "amount = \"4.00\""));
    assert!(matches!(
        bill::frozen(bill::invoice_of(&tampered).unwrap()),
        Err(FrozenFault::DoesNotAddUp { .. })
    ));
    let broken = visit(&kept.replace("amount = \"5.00\"", "amount = \"five\""));
    assert!(matches!(bill::frozen(bill::invoice_of(&broken).unwrap()), Err(FrozenFault::NoNumber { .. })));
}

#[test]
fn a_quote_has_its_options_and_stands_beside_what_it_came_to() {
    let plan = |option: &str, minutes: u32| {
        format!(
            "[[entry]]\nkind = \"planned work\"\noption = \"{option}\"\nwhat = \"Mend it\"\nwork = \"repair\"\ntime = \"{minutes} min\"\n"
        )
    };
    let text = [
        HEAD,
        &plan("tonight", 120),
        &plan("tomorrow", 90),
        "[[entry]]\nkind = \"planned work\"\nwhat = \"Fill\"\ngas = \"1.5 kg\"\n",
        "[[entry]]\nkind = \"finding\"\nwhat = \"fan\"\nprice = \"90 CAD .. 140 CAD\"\n",
        "[[entry]]\nkind = \"choice\"\noption = \"Tomorrow\"\n",
    ]
    .concat();
    let prices = prices(
        "[[hour]]\nprice = \"100.00 CAD\"\n[[gas]]\nrefrigerant = \"R-449A\"\nunit = \"kg\"\nprice = \"80.00 CAD\"\n",
    );
    let quote = bill::quote(&visit(&text), &prices).unwrap();
    let totals: Vec<String> = quote.options.iter().map(|option| option.bill.total.to_string()).collect();
    assert_eq!(totals, ["320.00", "270.00"]);
    assert_eq!(quote.options.iter().map(|option| option.chosen).collect::<Vec<_>>(), [false, true]);
    assert_eq!(quote.besides[0].price.as_deref(), Some("90 CAD .. 140 CAD"));
    let kept = sent(&text, &quote.options[1].bill, (Paper::Quote, "Q-1"), None);
    let done = format!(
        "{kept}[[entry]]\nkind = \"weighing\"\ncylinder = \"S\"\ndirection = \"charged\"\nbefore = \"20 kg\"\nafter = \"18 kg\"\n"
    );
    let done = visit(&done);
    let bill = bill::invoice(&done, &prices, false).unwrap();
    let rows = bill::compared(bill::quote_of(&done).unwrap(), &bill, &say);
    let gas = rows.iter().find(|row| row.what.starts_with("Refrigerant")).unwrap();
    assert_eq!((gas.quoted, gas.actual), (Some(Decimal::new(12000, 2)), Some(Decimal::new(16000, 2))));
    assert_eq!(bill::quote(&visit(HEAD), &prices).unwrap_err().code, "nothing_planned");
}

proptest! {
    #[test]
    fn the_total_is_the_sum_of_what_stands_there(
        parts in proptest::collection::vec((1_u32..50, 0_u32..5_000_000), 1..12),
        rate in 0_u32..30_000, second in 0_u32..30_000, above in any::<bool>(),
    ) {
        let entries: String = parts.iter().enumerate().map(|(at, (count, cents))| format!(
            "[[entry]]\nkind = \"part\"\nfunction = \"p{at}\"\nsource = \"stock\"\ncount = {count}\nprice = \"{}.{:03} CAD\"\n",
            cents / 1000, cents % 1000
        )).collect();
        let taxes = format!(
            "[[tax]]\nname = \"A\"\nrate = \"{}.{:03} %\"\n[[tax]]\nname = \"B\"\nrate = \"{}.{:03} %\"\n{}",
            rate / 1000, rate % 1000, second / 1000, second % 1000, if above { "above = [\"A\"]\n" } else { "" },
        );
        let bill = bill::invoice(&visit(&format!("{HEAD}{entries}")), &prices(&taxes), false).unwrap();
        prop_assert!(adds_up(&bill));
        // Against whole numbers: thousandths of a line, halves away from zero.
        let cents: i64 = parts.iter().map(|(count, price)| (i64::from(*count) * i64::from(*price) * 2 + 10) / 20).sum();
        prop_assert_eq!(bill.net(), Decimal::new(cents, 2));
    }
}
