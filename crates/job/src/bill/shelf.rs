//! What the office sees of a job's money: the drafts as they stand now, the numbered documents, quote against invoice.

use super::{Bill, Decimal, OfferedOption, Parties, Quote, compared, frozen, invoice_of, quote_of};
use crate::Refused;
use crate::visit::Visit;
use record::{Body, Observation, Paper, Prices, Sent};
use report::{Message, Text};
use serde::{Deserialize, Serialize};

/// A line as it is shown.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ShownLine {
    /// What.
    pub what: String,
    /// How much of it, a plain decimal.
    pub quantity: String,
    /// In which unit.
    pub unit: String,
    /// The price of one.
    pub price: String,
    /// Quantity times price, rounded.
    pub amount: String,
    /// What it costs the shop; the owner's alone, and only where the list says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost: Option<String>,
    /// What it leaves; the owner's alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub margin: Option<String>,
}

/// A tax as it is shown.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ShownTax {
    /// Its name with its rate.
    pub name: String,
    /// What it comes to.
    pub amount: String,
}

/// What the owner alone sees of a bill.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ShownMargin {
    /// What the lines with a known cost leave over it.
    pub margin: String,
    /// How many lines have no known cost.
    pub without_cost: usize,
    /// How many trips there were.
    pub trips: u32,
}

/// A quote's option or an invoice as it is shown.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ShownBill {
    /// The option's name, where it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub option: Option<String>,
    /// Whether the customer chose it.
    #[serde(default)]
    pub chosen: bool,
    /// The lines.
    pub lines: Vec<ShownLine>,
    /// The sum before tax.
    pub net: String,
    /// The taxes.
    pub tax: Vec<ShownTax>,
    /// Lines and taxes together.
    pub total: String,
    /// The currency.
    pub currency: String,
    /// What is to be known of it.
    pub notes: Vec<String>,
    /// The owner's alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<ShownMargin>,
}

/// A numbered document as it is listed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ShownPaper {
    /// `quote` or `invoice`.
    pub paper: String,
    /// Its number.
    pub number: String,
    /// The number of the document that it corrects.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<String>,
    /// The number of the document that corrects it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrected_by: Option<String>,
    /// The option that a quote is of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub option: Option<String>,
    /// Its total.
    pub total: String,
    /// Its currency.
    pub currency: String,
    /// Whether its lines and taxes add up to its total.
    pub adds_up: bool,
}

/// A line of the quote beside what it came to.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct ShownAgainst {
    /// What.
    pub what: String,
    /// What was quoted; absent where the quote did not have it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quoted: Option<String>,
    /// What it came to; absent where it was not done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub actual: Option<String>,
}

/// A job's money.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Shelf {
    /// The numbered documents, in the order they were sent, with those of the visits before.
    pub papers: Vec<ShownPaper>,
    /// The options of the quote as they would be now.
    pub quote: Vec<ShownBill>,
    /// Why there is no quote.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub no_quote: Option<String>,
    /// The invoice as it would be now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub invoice: Option<ShownBill>,
    /// Why there is no invoice.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub no_invoice: Option<String>,
    /// The number of the quote that the invoice is held against.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub against_number: Option<String>,
    /// That quote beside the invoice, before tax.
    pub against: Vec<ShownAgainst>,
    /// The number of the invoice that stands and that a new one corrects.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standing: Option<String>,
}

fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

/// Returns a bill as it is shown; what it costs and leaves only where `costs` says so.
#[must_use]
pub fn shown(bill: &Bill, costs: bool, say: &dyn Fn(&Message) -> String) -> ShownBill {
    let said = |text: &Text| plain(&text.said(say));
    let (margin, without_cost) = bill.margin();
    let line = |line: &super::Line| {
        let cost = line.cost.filter(|_| costs);
        ShownLine {
            what: said(&line.what),
            quantity: line.quantity.to_string(),
            unit: said(&line.unit),
            price: line.price.to_string(),
            amount: line.amount.to_string(),
            cost: cost.map(|cost| cost.to_string()),
            margin: cost.map(|cost| line.amount.minus(cost).to_string()),
        }
    };
    ShownBill {
        option: None,
        chosen: false,
        lines: bill.lines.iter().map(line).collect(),
        net: bill.net().to_string(),
        tax: bill
            .taxes
            .iter()
            .map(|tax| ShownTax { name: tax.name.clone(), amount: tax.amount.to_string() })
            .collect(),
        total: bill.total.to_string(),
        currency: bill.currency.clone(),
        notes: bill.notes.iter().map(|note| plain(&say(note))).collect(),
        owner: costs.then(|| ShownMargin {
            margin: margin.to_string(),
            without_cost,
            trips: bill.worked.trips,
        }),
    }
}

fn all_sent(visit: &Visit) -> Vec<&Sent> {
    let all = visit.earlier.iter().chain(core::iter::once(visit));
    all.flat_map(|visit| {
        visit.entries(|body| match body {
            Body::Sent(sent) => Some(&**sent),
            _ => None,
        })
    })
    .map(|(_, sent)| sent)
    .collect()
}

/// Returns the numbered documents of a visit and of those before it, in their order.
#[must_use]
pub fn papers(visit: &Visit) -> Vec<ShownPaper> {
    let all = all_sent(visit);
    let paper = |sent: &&Sent| {
        let corrected = all.iter().find(|other| {
            other.what == sent.what
                && other.corrects.as_ref().is_some_and(|number| crate::place::same(number, &sent.number))
        });
        ShownPaper {
            paper: sent.what.word().to_owned(),
            number: sent.number.clone(),
            corrects: sent.corrects.clone(),
            corrected_by: corrected.map(|other| other.number.clone()),
            option: sent.option.clone(),
            total: Decimal::of(&sent.total).to_string(),
            currency: sent.total.currency.clone(),
            adds_up: frozen(sent).is_ok(),
        }
    };
    all.iter().map(paper).collect()
}

/// Returns a row for each line, tax and total of the numbered documents of a visit: paper, number, corrects, kind of row,
/// what, quantity, unit, price, amount, currency.
#[must_use]
pub fn rows(visit: &Visit) -> Vec<[String; 10]> {
    let mut out = Vec::new();
    for sent in all_sent(visit) {
        let corrects = sent.corrects.clone().unwrap_or_default();
        let mut row = |kind: &str, what: &str, [quantity, unit, price, amount]: [&str; 4]| {
            let head = [sent.what.word(), &sent.number, &corrects, kind, what];
            let tail = [quantity, unit, price, amount, &sent.total.currency];
            let mut row: [String; 10] = Default::default();
            for (cell, text) in row.iter_mut().zip(head.into_iter().chain(tail)) {
                *cell = plain(text);
            }
            out.push(row);
        };
        for line in &sent.line {
            row("line", &line.what, [&line.quantity, &line.unit, &line.price, &line.amount]);
        }
        for tax in &sent.tax {
            row("tax", &tax.name, ["", "", "", &tax.amount]);
        }
        row("total", "", ["", "", "", &Decimal::of(&sent.total).to_string()]);
    }
    out
}

/// Returns the document of a number, of this visit or one before it.
#[must_use]
pub fn numbered<'a>(visit: &'a Visit, number: &str) -> Option<&'a Sent> {
    all_sent(visit).into_iter().find(|sent| crate::place::same(&sent.number, number))
}

/// Returns a job's money by this price list; what it costs and leaves only where `costs` says so.
#[must_use]
pub fn shelf(visit: &Visit, prices: &Prices, costs: bool, say: &dyn Fn(&Message) -> String) -> Shelf {
    let mut shelf = Shelf { papers: papers(visit), ..Shelf::default() };
    match super::quote(visit, prices) {
        Ok(quote) => {
            let option = |one: &OfferedOption| ShownBill {
                option: one.name.clone(),
                chosen: one.chosen,
                ..shown(&one.bill, costs, say)
            };
            shelf.quote = quote.options.iter().map(option).collect();
        }
        Err(refused) => shelf.no_quote = Some(plain(&say(&refused.message))),
    }
    match super::invoice(visit, prices, false) {
        Ok(bill) => {
            if let Some(quote) = quote_of(visit) {
                let text = |value: Option<Decimal>| value.map(|value| value.to_string());
                shelf.against_number = Some(quote.number.clone());
                shelf.against = compared(quote, &bill, say)
                    .into_iter()
                    .map(|row| ShownAgainst {
                        what: row.what,
                        quoted: text(row.quoted),
                        actual: text(row.actual),
                    })
                    .collect();
            }
            shelf.invoice = Some(shown(&bill, costs, say));
        }
        Err(refused) => shelf.no_invoice = Some(plain(&say(&refused.message))),
    }
    shelf.standing = invoice_of(visit).map(|sent| sent.number.clone());
    shelf
}

/// Returns the option of a quote that is meant: the one of that name, or the only one.
#[must_use]
pub fn option<'a>(quote: &'a Quote, wanted: Option<&str>) -> Option<&'a OfferedOption> {
    let named = |one: &&OfferedOption| match (one.name.as_deref(), wanted) {
        (Some(name), Some(wanted)) => crate::place::same(name, wanted),
        (_, None) => true,
        (None, Some(_)) => false,
    };
    let mut fitting = quote.options.iter().filter(named);
    fitting.next().filter(|_| fitting.next().is_none())
}

/// Returns the entry that freezes a quote's option or the invoice under a number.
///
/// # Errors
/// [`Refused`] where the number was given before in these visits or does not say what it corrects, where the option is not
/// plain, and as [`super::quote`] and [`super::invoice`] refuse.
pub fn freeze(
    visit: &Visit,
    prices: &Prices,
    (paper, number): (Paper, &str),
    (corrects, wanted): (Option<&str>, Option<&str>),
    say: &dyn Fn(&Message) -> String,
) -> Result<Observation, Refused> {
    if let Some(message) = super::next_after(visit, paper, number, corrects) {
        return Err(Refused::new("number", "number", number, "corrects", message));
    }
    let parties = Parties::of(visit, prices);
    let (bill, option) = match paper {
        Paper::Quote => {
            let quote = super::quote(visit, prices)?;
            let Some(one) = option(&quote, wanted) else {
                let names: Vec<&str> = quote.options.iter().filter_map(|one| one.name.as_deref()).collect();
                let (given, names) = (wanted.unwrap_or_default(), names.join(" / "));
                let message = Message::new("shelf-which-option").with("names", names.as_str());
                return Err(Refused::new("which_option", "option", given, names, message));
            };
            (one.bill.clone(), one.name.clone())
        }
        Paper::Invoice => (super::invoice(visit, prices, false)?, None),
    };
    let fields = super::sent_fields(&bill, (paper, number), (corrects, option.as_deref()), &parties, say);
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect();
    record::read_entry("sent", &fields, &record::Around::default()).map_err(|found| {
        let first = found.first.first();
        let message = first.map_or_else(|| Message::new("bill-number-taken"), crate::problems::sentence);
        let (field, given) = first.map(|one| (one.field.clone(), one.given.clone())).unwrap_or_default();
        Refused::new("not_kept", field, given, "", message)
    })
}

/// Returns the number that comes after those given so far: the last one with its digits at the end counted on, else the first
/// of a year.
#[must_use]
pub fn number_after(last: Option<&str>, year: i32) -> String {
    let Some(last) = last else { return format!("{year}-001") };
    let digits = last.len() - last.trim_end_matches(|sign: char| sign.is_ascii_digit()).len();
    let (head, tail) = last.split_at(last.len() - digits);
    match tail.parse::<u64>().ok().and_then(|number| number.checked_add(1)) {
        Some(next) => format!("{head}{next:0digits$}"),
        None => format!("{last}-2"),
    }
}

#[cfg(test)]
mod tests {
    use super::number_after;

    #[test]
    fn a_number_counts_on() {
        assert_eq!(number_after(None, 2031), "2031-001");
        assert_eq!(number_after(Some("2031-009"), 2031), "2031-010");
        assert_eq!(number_after(Some("Q-99"), 2031), "Q-100");
        assert_eq!(number_after(Some("draft"), 2031), "draft-2");
    }
}
