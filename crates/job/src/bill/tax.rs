//! The taxes of a place on a day.

use super::{Decimal, Line, Missing};
use crate::law::jurisdiction::{Read, read};
use crate::visit::Visit;
use record::{PriceFor, Prices, TaxRule, When};
use report::Message;
use rules::Place;

/// A tax of a bill.
#[derive(Clone, Debug, PartialEq)]
pub struct Tax {
    /// Its name with its rate.
    pub name: String,
    /// What it is raised on.
    pub base: Decimal,
    /// How much.
    pub amount: Decimal,
}

/// Returns the taxes on these lines, by the place of the site and the day of the visit.
pub fn taxes(prices: &Prices, lines: &[Line], visit: &Visit, decimals: u32) -> Result<Vec<Tax>, Missing> {
    let lack = |field: &str, sensible: &str, message| Missing {
        field: field.to_owned(),
        given: String::new(),
        sensible: sensible.to_owned(),
        message,
    };
    let placed = prices.taxes.iter().any(|rule| rule.place.is_some());
    let here = visit.site.value.jurisdiction.as_deref().map(read);
    let here = match here {
        Some(Read::Place(place)) => Some(place),
        _ if placed => {
            return Err(lack("site.jurisdiction", "Ontario, Canada", Message::new("bill-no-place")));
        }
        _ => None,
    };
    let dated = prices.taxes.iter().any(|rule| rule.from.is_some() || rule.until.is_some());
    let day = visit.day();
    if dated && day.is_none() {
        return Err(lack("visit.date", "2031-05-06", Message::new("bill-no-day")));
    }
    let mut out: Vec<(String, Tax)> = Vec::new();
    for rule in prices.taxes.iter().filter(|rule| holds(rule, here.as_ref(), day)) {
        let on = |of: PriceFor| rule.on.is_empty() || rule.on.contains(&of);
        let base: Decimal = lines.iter().filter(|line| on(line.of)).map(|line| line.amount).sum();
        let under: Decimal =
            out.iter().filter(|(name, _)| rule.above.contains(name)).map(|(_, tax)| tax.amount).sum();
        let base = base.plus(under);
        let amount = base.times(Decimal::share(rule.rate)).rounded(decimals);
        if base.is_zero() {
            continue;
        }
        let rate = Decimal::new(i64::from(rule.rate.number), u32::from(rule.rate.decimals));
        let name = format!("{} {rate} %", rule.name);
        out.push((rule.name.clone(), Tax { name, base: base.rounded(decimals), amount }));
    }
    Ok(out.into_iter().map(|(_, tax)| tax).collect())
}

fn holds(rule: &TaxRule, here: Option<&Place>, day: Option<units::Date>) -> bool {
    let place = rule.place.as_deref().is_none_or(|place| {
        let Read::Place(there) = read(place) else { return false };
        here.is_some_and(|here| {
            here.country == there.country && (there.region.is_none() || here.region == there.region)
        })
    });
    let from =
        rule.from.as_ref().and_then(When::local_day).is_none_or(|from| day.is_some_and(|day| from <= day));
    let until =
        rule.until.as_ref().and_then(When::local_day).is_none_or(|until| day.is_some_and(|day| day <= until));
    place && from && until
}
