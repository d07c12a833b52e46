//! What the work would cost, option by option.

use super::goods::{Item, fits, item, unknown};
use super::{Bill, Decimal, Pen, Worked, goods, work_name};
use crate::Refused;
use crate::visit::Visit;
use record::{Answer, Body, Finding, GasUnit, Known, Money, Part, PlannedWork, PriceFor, Prices, Work};
use report::{Message, Text};

/// A quote: what each option would cost, and what was seen besides.
#[derive(Clone, Debug, PartialEq)]
pub struct Quote {
    /// The options, in the order in which they were planned.
    pub options: Vec<OfferedOption>,
    /// What was seen besides and is not declined, each with its price as far as it is known.
    pub besides: Vec<Side>,
}

/// An option with what it would cost.
#[derive(Clone, Debug, PartialEq)]
pub struct OfferedOption {
    /// Its name; of a quote without options none.
    pub name: Option<String>,
    /// Whether the customer chose it.
    pub chosen: bool,
    /// Its lines, taxes and total.
    pub bill: Bill,
}

/// Something seen besides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Side {
    /// What.
    pub what: String,
    /// Its price before tax, as written: one amount, a range, or nothing.
    pub price: Option<String>,
    /// What was said to it.
    pub answer: Option<Answer>,
}

/// Returns the quote that a visit makes: its planned work, its parts, and what was seen besides.
///
/// # Errors
/// [`Refused`] where nothing is planned, and with all that has no price.
pub fn quote(visit: &Visit, prices: &Prices) -> Result<Quote, Refused> {
    let planned: Vec<&PlannedWork> = visit
        .entries(|body| match body {
            Body::PlannedWork(planned) => Some(&**planned),
            _ => None,
        })
        .map(|(_, planned)| planned)
        .collect();
    let mut names: Vec<Option<&str>> = Vec::new();
    for name in planned.iter().filter_map(|planned| planned.option.as_deref()) {
        if !names.iter().flatten().any(|other| crate::place::same(other, name)) {
            names.push(Some(name));
        }
    }
    if names.is_empty() {
        names.push(None);
    }
    let parts: Vec<&Part> = visit
        .entries(|body| match body {
            Body::Part(part) => Some(part),
            _ => None,
        })
        .map(|(_, part)| part)
        .collect();
    if planned.is_empty() && parts.is_empty() {
        let message = Message::new("bill-nothing-planned");
        return Err(Refused::new("nothing_planned", "entry", "", "kind = \"planned work\"", message));
    }
    let chosen = choice(visit);
    let mut options = Vec::new();
    for name in names {
        let mut pen = Pen::new(prices);
        pen.trips(1);
        let of = |planned: &&&PlannedWork| match (planned.option.as_deref(), name) {
            (Some(option), Some(name)) => crate::place::same(option, name),
            (Some(_), None) => false,
            (None, _) => true,
        };
        for planned in planned.iter().filter(of) {
            work(&mut pen, visit, planned);
        }
        parts.iter().for_each(|part| goods::part(&mut pen, part));
        let bill = pen.finish(visit, Worked::default())?;
        let chosen = name.zip(chosen).is_some_and(|(name, chosen)| crate::place::same(name, chosen));
        options.push(OfferedOption { name: name.map(str::to_owned), chosen, bill });
    }
    Ok(Quote { options, besides: besides(visit, prices) })
}

/// Returns the option that was chosen last.
pub fn choice(visit: &Visit) -> Option<&str> {
    let choices = visit.entries(|body| match body {
        Body::Choice(choice) => Some(choice),
        _ => None,
    });
    choices.last().map(|(_, choice)| choice.option.as_str())
}

fn work(pen: &mut Pen<'_>, visit: &Visit, planned: &PlannedWork) {
    let mut said = false;
    if let Some(time) = &planned.time {
        let kind = planned.work.unwrap_or(Work::Repair);
        let from = pen.lines.len();
        pen.hours(kind, (time.value.second() * 1000.0) as i64, 0);
        // The words of who planned it say more than the kind of work.
        for line in &mut pen.lines[from..] {
            let what = planned.what.as_str();
            line.what = Message::new("bill-planned").with("what", what).with("work", work_name(kind)).into();
        }
        said = true;
    }
    if let Some(gas) = &planned.gas {
        said = true;
        let name = visit.system.value.refrigerant.as_ref().and_then(Known::value).map_or("", String::as_str);
        match pen.prices.gas.iter().find(|price| price.refrigerant.eq_ignore_ascii_case(name)) {
            Some(price) => {
                let amount = match price.unit {
                    GasUnit::Kilogram => gas.value.kilogram(),
                    GasUnit::Pound => gas.value.kilogram() / units::Mass::from_pound(1.0).kilogram(),
                };
                let quantity = Decimal::read(&format!("{amount:.2}")).unwrap_or(Decimal::ZERO);
                let what = Message::new("bill-gas").with("gas", name);
                let unit = Text::verbatim(price.unit.word());
                pen.line(PriceFor::Gas, what, (quantity, unit), &price.price, price.cost.as_ref());
            }
            None => {
                let message = Message::new("bill-no-gas").with("gas", name);
                pen.lacks("gas", name, "[[gas]]", message);
            }
        }
    }
    let count = Decimal::new(i64::from(planned.count.unwrap_or(1)), 0);
    let each = || Text::from(Message::new("bill-unit-each"));
    match (item(pen, planned.item.as_deref(), &planned.what), &planned.price) {
        (_, Some(price)) => {
            if fits(pen, price, "planned work.price") {
                pen.line(
                    PriceFor::Parts,
                    Text::verbatim(planned.what.as_str()),
                    (count, each()),
                    price,
                    None,
                );
            }
        }
        (Item::Listed(item), None) => {
            let unit = item.unit.as_deref().map_or_else(each, Text::verbatim);
            let what = Text::verbatim(item.what.as_str());
            pen.line(PriceFor::Parts, what, (count, unit), &item.price, item.cost.as_ref());
        }
        (Item::Unknown(code), None) => unknown(pen, "planned work.item", &code),
        (Item::None, None) if !said => {
            let example = format!("120.00 {}", pen.prices.shop.currency);
            let message = Message::new("bill-no-plan").with("what", planned.what.as_str());
            pen.lacks("planned work.price", &planned.what, &example, message);
        }
        (Item::None, None) => {}
    }
}

fn besides(visit: &Visit, prices: &Prices) -> Vec<Side> {
    let pen = Pen::new(prices);
    let written = |money: &Money| format!("{} {}", Decimal::of(money).rounded(pen.decimals), money.currency);
    visit
        .entries(|body| match body {
            Body::Finding(finding) => Some(&**finding),
            _ => None,
        })
        .filter(|(_, finding)| finding.answer != Some(Answer::Declined))
        .map(|(_, finding): (_, &Finding)| {
            let price = match item(&pen, finding.item.as_deref(), &finding.what) {
                Item::Listed(item) => Some(written(&item.price)),
                Item::Unknown(_) | Item::None => {
                    finding.price.as_ref().filter(|price| price.bounds().is_some()).map(Known::text)
                }
            };
            Side { what: finding.what.clone(), price, answer: finding.answer }
        })
        .collect()
}
