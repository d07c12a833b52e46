//! Parts that were fitted, and findings that were put right.

use super::{Decimal, Pen};
use crate::visit::Visit;
use record::{Answer, Body, Finding, Known, Money, Part, PartSource, PriceFor, PriceItem, YesNo};
use report::{Message, Text};

/// The parts that came from the van; what is on order is billed by the visit that fits it.
pub fn parts(pen: &mut Pen<'_>, visits: &[&Visit]) {
    for visit in visits {
        let parts = visit.entries(|body| match body {
            Body::Part(part) => Some(part),
            _ => None,
        });
        for (_, part) in parts.filter(|(_, part)| part.source == Some(PartSource::Stock)) {
            self::part(pen, part);
        }
    }
}

/// Writes the line of a part.
pub fn part(pen: &mut Pen<'_>, part: &Part) {
    let count = Decimal::new(i64::from(part.count.unwrap_or(1)), 0);
    let each = || Text::from(Message::new("bill-unit-each"));
    match (item(pen, part.item.as_deref(), &part.function), part.price.as_ref().and_then(one)) {
        (Item::Listed(item), None) => {
            let unit = item.unit.as_deref().map_or_else(each, Text::verbatim);
            pen.line(
                PriceFor::Parts,
                Text::verbatim(item.what.as_str()),
                (count, unit),
                &item.price,
                item.cost.as_ref(),
            );
        }
        (listed, Some(price)) => {
            // What was agreed for this one goes before the list.
            let cost = if let Item::Listed(item) = listed { item.cost.as_ref() } else { None };
            if fits(pen, price, "part.price") {
                pen.line(
                    PriceFor::Parts,
                    Text::verbatim(part.function.as_str()),
                    (count, each()),
                    price,
                    cost,
                );
            }
        }
        (Item::Unknown(code), None) => unknown(pen, "part.item", &code),
        (Item::None, None) => {
            let example = format!("120.00 {}", pen.prices.shop.currency);
            let message = Message::new("bill-no-part").with("part", part.function.as_str());
            pen.lacks("part.price", &part.function, &example, message);
        }
    }
}

/// The findings that were accepted and put right.
pub fn findings(pen: &mut Pen<'_>, visits: &[&Visit]) {
    for visit in visits {
        let findings = visit.entries(|body| match body {
            Body::Finding(finding) => Some(&**finding),
            _ => None,
        });
        for (_, finding) in findings.filter(|(_, finding)| finding.done == Some(YesNo::Yes)) {
            if matches!(finding.answer, Some(Answer::Declined | Answer::Later)) {
                let message = Message::new("bill-not-accepted").with("what", finding.what.as_str());
                pen.lacks("finding.answer", finding.answer.map_or("", Answer::word), "accepted", message);
                continue;
            }
            self::finding(pen, finding);
        }
    }
}

fn finding(pen: &mut Pen<'_>, finding: &Finding) {
    let each = || Text::from(Message::new("bill-unit-each"));
    match (item(pen, finding.item.as_deref(), &finding.what), finding.price.as_ref()) {
        (Item::Listed(item), _) => {
            let unit = item.unit.as_deref().map_or_else(each, Text::verbatim);
            pen.line(
                PriceFor::Parts,
                Text::verbatim(item.what.as_str()),
                (Decimal::ONE, unit),
                &item.price,
                item.cost.as_ref(),
            );
        }
        (Item::Unknown(code), _) => unknown(pen, "finding.item", &code),
        (Item::None, price) => match price.and_then(one) {
            Some(price) => {
                if fits(pen, price, "finding.price") {
                    pen.line(
                        PriceFor::Parts,
                        Text::verbatim(finding.what.as_str()),
                        (Decimal::ONE, each()),
                        price,
                        None,
                    );
                }
            }
            None => {
                let given = price.map(Known::text).unwrap_or_default();
                let example = format!("120.00 {}", pen.prices.shop.currency);
                let message = Message::new("bill-no-finding").with("what", finding.what.as_str());
                pen.lacks("finding.price", &given, &example, message);
            }
        },
    }
}

/// What the list has for something.
pub enum Item<'a> {
    Listed(&'a PriceItem),
    /// A code that no line has.
    Unknown(String),
    None,
}

/// Returns the line of the list: by its code, else by a function it serves.
pub fn item<'a>(pen: &Pen<'a>, code: Option<&str>, function: &str) -> Item<'a> {
    let items = &pen.prices.items;
    if let Some(code) = code {
        let found = items.iter().find(|item| crate::place::same(&item.code, code));
        return found.map_or_else(|| Item::Unknown(code.to_owned()), Item::Listed);
    }
    let serves = |item: &&PriceItem| item.serves.iter().any(|serves| crate::place::same(serves, function));
    items.iter().find(serves).map_or(Item::None, Item::Listed)
}

/// Notes a code that the list does not have.
pub fn unknown(pen: &mut Pen<'_>, field: &str, code: &str) {
    let first: Vec<&str> = pen.prices.items.iter().take(5).map(|item| item.code.as_str()).collect();
    let sensible = first.join(", ");
    pen.lacks(field, code, &sensible, Message::new("bill-no-code").with("code", code));
}

/// Whether a price stands in the shop's currency.
pub fn fits(pen: &mut Pen<'_>, price: &Money, field: &str) -> bool {
    let wanted = &pen.prices.shop.currency;
    if price.currency == *wanted {
        return true;
    }
    let given = format!("{} {}", Decimal::of(price), price.currency);
    let example = format!("120.00 {wanted}");
    pen.lacks(field, &given, &example, Message::new("bill-currency"));
    false
}

/// A price that is one amount: neither a range nor about.
fn one(price: &Known<Money>) -> Option<&Money> {
    match price.plain() {
        Known::Value(typed) => Some(&typed.value),
        _ => None,
    }
}
