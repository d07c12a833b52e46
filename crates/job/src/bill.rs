//! From the record to money: hours, gas and parts by the shop's price list, the quote, the invoice.
//!
//! The rule of rounding: a quantity is rounded to two decimals (hours, kilograms, pounds), the amount of a line to the
//! currency's decimals, each tax once on the sum of the lines it is raised on; halves go away from zero. The total is
//! the sum of the amounts and taxes as they stand on the paper.

mod clock;
mod decimal;
mod gas;
mod goods;
mod paper;
mod quote;
mod sent;
pub mod shelf;
mod tax;

pub use clock::{Spent, Worked};
pub use decimal::Decimal;
pub(crate) use paper::field as csv_cell;
pub use paper::{csv, document, owner, quote_document};
pub(crate) use quote::choice;
pub use quote::{OfferedOption, Quote, Side, quote};
pub use sent::{
    Compared, FrozenFault, Parties, compared, frozen, invoice_of, next_after, quote_of, sent_fields, thawed,
};
pub use tax::Tax;

use crate::Refused;
use crate::visit::Visit;
use record::{Body, HourPrice, Money, Per, PriceFor, Prices, Work};
use report::{Message, Text};

/// A line of a quote or an invoice.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What.
    pub what: Text,
    /// How much of it.
    pub quantity: Decimal,
    /// In which unit.
    pub unit: Text,
    /// The price of one.
    pub price: Decimal,
    /// Quantity times price, rounded.
    pub amount: Decimal,
    /// What it is for: taxes go by it.
    pub of: PriceFor,
    /// What it costs the shop, where the list says.
    pub cost: Option<Decimal>,
}

/// Lines with their taxes.
#[derive(Clone, Debug, PartialEq)]
pub struct Bill {
    /// The lines.
    pub lines: Vec<Line>,
    /// The taxes.
    pub taxes: Vec<Tax>,
    /// Lines and taxes together.
    pub total: Decimal,
    /// The currency.
    pub currency: String,
    /// What is to be known of it: what was not counted, what was assumed.
    pub notes: Vec<Message>,
    /// The times behind the hours.
    pub worked: Worked,
}

impl Bill {
    /// Returns the sum of the lines.
    #[must_use]
    pub fn net(&self) -> Decimal {
        self.lines.iter().map(|line| line.amount).sum()
    }

    /// Returns what the lines with a known cost leave over it, and how many lines have no known cost.
    #[must_use]
    pub fn margin(&self) -> (Decimal, usize) {
        let known = self.lines.iter().filter_map(|line| Some(line.amount.minus(line.cost?))).sum();
        (known, self.lines.iter().filter(|line| line.cost.is_none() && !line.amount.is_negative()).count())
    }
}

/// Something that has no price, or another thing that keeps a bill from being right.
pub(crate) struct Pen<'a> {
    pub prices: &'a Prices,
    pub decimals: u32,
    pub lines: Vec<Line>,
    pub missing: Vec<Missing>,
    pub notes: Vec<Message>,
}

/// What keeps a bill from being right.
pub(crate) struct Missing {
    /// Where the price or the fact should stand.
    pub field: String,
    /// What stands there.
    pub given: String,
    /// What would be sensible.
    pub sensible: String,
    /// In a sentence.
    pub message: Message,
}

impl<'a> Pen<'a> {
    pub fn new(prices: &'a Prices) -> Self {
        let decimals = prices.shop.decimals.unwrap_or(2).min(4);
        Self { prices, decimals, lines: Vec::new(), missing: Vec::new(), notes: Vec::new() }
    }

    /// Writes a line.
    pub fn line(
        &mut self,
        of: PriceFor,
        what: impl Into<Text>,
        (quantity, unit): (Decimal, Text),
        price: &Money,
        cost: Option<&Money>,
    ) {
        if quantity.is_zero() {
            return;
        }
        let price = Decimal::of(price);
        // A price has at least the currency's decimals when it is written.
        let price = price.plus(Decimal::new(0, self.decimals));
        let amount = quantity.times(price).rounded(self.decimals);
        let cost = cost.map(|cost| quantity.times(Decimal::of(cost)).rounded(self.decimals));
        self.lines.push(Line { what: what.into(), quantity, unit, price, amount, of, cost });
    }

    pub fn lacks(&mut self, field: &str, given: &str, sensible: &str, message: Message) {
        let (field, given, sensible) = (field.to_owned(), given.to_owned(), sensible.to_owned());
        self.missing.push(Missing { field, given, sensible, message });
    }

    /// The price of an hour of a kind of work.
    pub fn hour(&self, work: Work) -> Option<&'a HourPrice> {
        let hours = &self.prices.hours;
        hours
            .iter()
            .find(|hour| hour.work == Some(work))
            .or_else(|| hours.iter().find(|hour| hour.work.is_none()))
    }

    /// Writes the hours of a kind of work.
    pub fn hours(&mut self, work: Work, plain: i64, after: i64) {
        if plain + after <= 0 {
            return;
        }
        let Some(hour) = self.hour(work) else {
            let example = format!("120.00 {}", self.prices.shop.currency);
            self.lacks(
                "hour",
                work.word(),
                &example,
                Message::new("bill-no-hour").with("work", work_name(work)),
            );
            return;
        };
        let unit = || Text::verbatim("h");
        let cost = hour.cost.as_ref();
        match &hour.after_hours {
            Some(price) => {
                self.line(PriceFor::Hours, work_name(work), (in_hours(plain), unit()), &hour.price, cost);
                let what = Message::new("bill-after-hours").with("work", work_name(work));
                self.line(PriceFor::Hours, what, (in_hours(after), unit()), price, cost);
            }
            None => {
                self.line(
                    PriceFor::Hours,
                    work_name(work),
                    (in_hours(plain + after), unit()),
                    &hour.price,
                    cost,
                );
            }
        }
    }

    /// Writes what counts by trip and by call.
    pub fn trips(&mut self, trips: u32) {
        for fixed in &self.prices.fixed {
            let (count, unit) = match fixed.per {
                Per::Trip => (trips, Message::new("bill-unit-trip")),
                Per::Call => (1, Message::new("bill-unit-call")),
            };
            let what = Text::verbatim(fixed.what.as_str());
            let quantity = Decimal::new(i64::from(count), 0);
            self.line(PriceFor::Trips, what, (quantity, unit.into()), &fixed.price, fixed.cost.as_ref());
        }
    }

    /// Returns the bill, or what keeps it from being right.
    pub fn finish(self, last: &Visit, worked: Worked) -> Result<Bill, Refused> {
        let mut missing = self.missing;
        let taxes = tax::taxes(self.prices, &self.lines, last, self.decimals).unwrap_or_else(|lack| {
            missing.push(lack);
            Vec::new()
        });
        if let Some(refused) = refusal(missing) {
            return Err(refused);
        }
        let amounts = self.lines.iter().map(|line| line.amount).chain(taxes.iter().map(|tax| tax.amount));
        let total = amounts.sum::<Decimal>().rounded(self.decimals);
        let currency = self.prices.shop.currency.clone();
        Ok(Bill { lines: self.lines, taxes, total, currency, notes: self.notes, worked })
    }
}

/// One refusal of all that is missing: the first in its sentence, each for programs.
fn refusal(missing: Vec<Missing>) -> Option<Refused> {
    let total = missing.len();
    let details = missing
        .iter()
        .map(|one| {
            serde_json::json!({ "code": "bill_lacks", "field": one.field, "given": one.given, "sensible": one.sensible })
        })
        .collect();
    let first = missing.into_iter().next()?;
    let message = Message::new("bill-lacks").with("first", first.message).with("more", total - 1);
    let mut refused = Refused::new("bill_lacks", first.field, first.given, first.sensible, message);
    refused.details = details;
    refused.total = Some(total);
    Some(refused)
}

/// Milliseconds as hours with two decimals.
fn in_hours(millis: i64) -> Decimal {
    let hundredths = millis.saturating_mul(100).saturating_add(1_800_000).div_euclid(3_600_000);
    Decimal::new(hundredths, 2)
}

/// Returns the name of a kind of work.
#[must_use]
pub fn work_name(work: Work) -> Message {
    match work {
        Work::Travel => Message::new("bill-work-travel"),
        Work::Search => Message::new("bill-work-search"),
        Work::Repair => Message::new("bill-work-repair"),
        Work::Test => Message::new("bill-work-test"),
        Work::Charge => Message::new("bill-work-charge"),
        Work::Set => Message::new("bill-work-set"),
        Work::Prove => Message::new("bill-work-prove"),
        Work::Close => Message::new("bill-work-close"),
    }
}

/// Returns the invoice of a visit; with `whole_call` also of the earlier visits that no invoice was sent for.
///
/// # Errors
/// [`Refused`] with all that has no price, every weight still owed, and a site that does not say where it is.
pub fn invoice(visit: &Visit, prices: &Prices, whole_call: bool) -> Result<Bill, Refused> {
    let visits: Vec<&Visit> = if whole_call {
        let open = visit.earlier.iter().filter(|before| sent::invoice_of(before).is_none());
        open.chain(core::iter::once(visit)).collect()
    } else {
        vec![visit]
    };
    let mut pen = Pen::new(prices);
    let worked = Worked::of(&visits, Some(prices));
    pen.trips(worked.trips);
    for (work, spent) in &worked.spent {
        pen.hours(*work, spent.plain, spent.after_hours);
    }
    for gap in &worked.gaps {
        let hours = in_hours(*gap).rounded(1).to_string();
        pen.notes.push(Message::new("bill-gap").with("hours", hours));
    }
    gas::lines(&mut pen, &visits);
    goods::parts(&mut pen, &visits);
    goods::findings(&mut pen, &visits);
    warranty(&mut pen, visit);
    pen.finish(visit, worked)
}

/// Takes off what a repair that did not last brings: the hours of finding and mending it again, its gas and its parts.
fn warranty(pen: &mut Pen<'_>, visit: &Visit) {
    let (Some(days), Some(today)) = (pen.prices.shop.warranty_days, visit.day()) else { return };
    let repairs = |visit: &Visit| -> Vec<String> {
        visit
            .entries(|body| match body {
                Body::Repair(repair) => Some(&**repair),
                _ => None,
            })
            .filter_map(|(entry, repair)| repair.leak.clone().or_else(|| entry.seen.place.clone()))
            .collect()
    };
    let now = repairs(visit);
    let again = visit.earlier.iter().rev().find_map(|before| {
        let day = before.day()?;
        let since = today.days_since(day);
        let within = since >= 0 && i64::from(since) <= i64::from(days);
        let then = repairs(before);
        let place = now.iter().find(|place| then.iter().any(|other| crate::place::same(place, other)))?;
        within.then(|| (place.clone(), day))
    });
    let Some((place, day)) = again else { return };
    for of in [PriceFor::Hours, PriceFor::Gas, PriceFor::Parts] {
        let travel = Text::from(work_name(Work::Travel));
        let covered = |line: &&Line| line.of == of && line.what != travel && !line.amount.is_negative();
        let amount: Decimal = pen.lines.iter().filter(covered).map(|line| line.amount).sum();
        if amount.is_zero() {
            continue;
        }
        let what = match of {
            PriceFor::Hours => Message::new("bill-warranty-hours"),
            PriceFor::Gas => Message::new("bill-warranty-gas"),
            PriceFor::Parts | PriceFor::Trips => Message::new("bill-warranty-parts"),
        };
        let what = what.with("place", place.as_str()).with("date", day.to_string());
        let amount = amount.rounded(pen.decimals).negative();
        pen.lines.push(Line {
            what: what.into(),
            quantity: Decimal::ONE,
            unit: Message::new("bill-unit-call").into(),
            price: amount,
            amount,
            of,
            cost: None,
        });
    }
}
