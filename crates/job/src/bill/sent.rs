//! Numbered documents: a frozen copy in the record, that a later one may correct and nothing changes.

use super::{Bill, Decimal};
use crate::visit::Visit;
use record::{Body, Paper, Prices, Sent};
use report::{Message, Text};

/// Why a numbered document cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FrozenFault {
    /// An amount in it is no plain decimal.
    NoNumber {
        /// What stands there.
        given: String,
    },
    /// Its amounts do not sum to its total.
    DoesNotAddUp {
        /// What they sum to.
        sum: String,
        /// The total it states.
        total: String,
    },
}

/// Returns the number of a numbered document with its amounts, checked: the sum of lines and taxes is its total.
///
/// # Errors
/// [`FrozenFault`] where it does not add up.
pub fn frozen(sent: &Sent) -> Result<Decimal, FrozenFault> {
    let read =
        |text: &String| Decimal::read(text).ok_or_else(|| FrozenFault::NoNumber { given: text.clone() });
    let mut sum = Decimal::ZERO;
    for line in &sent.line {
        read(&line.quantity)?;
        read(&line.price)?;
        sum = sum.plus(read(&line.amount)?);
    }
    for tax in &sent.tax {
        sum = sum.plus(read(&tax.amount)?);
    }
    let total = Decimal::of(&sent.total);
    if sum == total {
        Ok(total)
    } else {
        Err(FrozenFault::DoesNotAddUp { sum: sum.to_string(), total: total.to_string() })
    }
}

/// Returns a sent document as a bill of these lines; nothing of it is worked out again.
#[must_use]
pub fn thawed(sent: &Sent, total: Decimal) -> Bill {
    let read = |text: &String| Decimal::read(text).unwrap_or(Decimal::ZERO);
    let line = |line: &record::SentLine| super::Line {
        what: Text::verbatim(line.what.as_str()),
        quantity: read(&line.quantity),
        unit: Text::verbatim(line.unit.as_str()),
        price: read(&line.price),
        amount: read(&line.amount),
        of: record::PriceFor::Parts,
        cost: None,
    };
    let lines: Vec<super::Line> = sent.line.iter().map(line).collect();
    let net = lines.iter().map(|line| line.amount).sum::<Decimal>();
    let tax =
        |tax: &record::SentTax| super::Tax { name: tax.name.clone(), base: net, amount: read(&tax.amount) };
    Bill {
        lines,
        taxes: sent.tax.iter().map(tax).collect(),
        total,
        currency: sent.total.currency.clone(),
        notes: Vec::new(),
        worked: super::Worked::default(),
    }
}

fn papers(visit: &Visit, paper: Paper) -> impl Iterator<Item = &Sent> {
    visit
        .entries(|body| match body {
            Body::Sent(sent) => Some(&**sent),
            _ => None,
        })
        .map(|(_, sent)| sent)
        .filter(move |sent| sent.what == paper)
}

/// Returns the invoice of this visit that stands: the last one sent.
#[must_use]
pub fn invoice_of(visit: &Visit) -> Option<&Sent> {
    papers(visit, Paper::Invoice).last()
}

/// Returns the quote that an invoice is held against: the last one sent, on this visit or the one before it.
#[must_use]
pub fn quote_of(visit: &Visit) -> Option<&Sent> {
    papers(visit, Paper::Quote)
        .last()
        .or_else(|| visit.earlier.last().and_then(|before| papers(before, Paper::Quote).last()))
}

/// Returns why a document cannot get this number: it was given before, or what it corrects was never sent, or one was sent
/// and the new one does not say that it corrects it.
#[must_use]
pub fn next_after(visit: &Visit, paper: Paper, number: &str, corrects: Option<&str>) -> Option<Message> {
    let all: Vec<&Sent> = visit
        .earlier
        .iter()
        .chain(core::iter::once(visit))
        .flat_map(|visit| [Paper::Quote, Paper::Invoice].map(|paper| papers(visit, paper)))
        .flatten()
        .collect();
    if all.iter().any(|sent| crate::place::same(&sent.number, number)) {
        return Some(Message::new("bill-number-taken"));
    }
    let named = |corrects: &str| {
        all.iter().any(|sent| sent.what == paper && crate::place::same(&sent.number, corrects))
    };
    match (corrects, papers(visit, paper).last()) {
        (Some(corrects), _) if !named(corrects) => {
            Some(Message::new("bill-nothing-to-correct").with("corrects", corrects))
        }
        (None, Some(before)) if paper == Paper::Invoice => {
            Some(Message::new("bill-must-correct").with("before", before.number.as_str()))
        }
        _ => None,
    }
}

/// Who bills whom, for which place, on which terms: what stands above and below the lines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parties {
    /// Whom it is for: the customer, else the name of the site.
    pub to: Option<String>,
    /// The place and the system.
    pub site: Option<String>,
    /// The shop: name, address, how it is reached, its numbers.
    pub shop: Vec<String>,
    /// The words at the foot.
    pub terms: Option<String>,
}

impl Parties {
    /// Returns the parties as record and price list have them now.
    #[must_use]
    pub fn of(visit: &Visit, prices: &Prices) -> Parties {
        let joined = |parts: &[&Option<String>]| {
            let parts: Vec<&str> = parts
                .iter()
                .filter_map(|part| part.as_deref())
                .map(str::trim)
                .filter(|part| !part.is_empty())
                .collect();
            (!parts.is_empty()).then(|| parts.join(", "))
        };
        let (customer, site) = (&visit.customer.value, &visit.site.value);
        let name = if customer.name.is_some() { &customer.name } else { &site.name };
        let shop = &prices.shop;
        Parties {
            to: joined(&[name, &customer.contact]),
            site: joined(&[&site.name, &site.address, &visit.system.value.name]),
            shop: core::iter::once(&shop.name)
                .chain([&shop.address, &shop.contact, &shop.registration].into_iter().flatten())
                .cloned()
                .collect(),
            terms: shop.terms.clone(),
        }
    }

    /// Returns the parties of a document that was sent, as they stood then; what its entry does not say (one of before
    /// they were kept) is as it stands now.
    #[must_use]
    pub fn as_sent(self, sent: &Sent) -> Parties {
        Parties {
            to: sent.to.clone().or(self.to),
            site: sent.site.clone().or(self.site),
            shop: match &sent.shop {
                Some(shop) => shop.split("; ").map(str::to_owned).collect(),
                None => self.shop,
            },
            // A shop kept without terms had none.
            terms: if sent.shop.is_some() { sent.terms.clone() } else { self.terms },
        }
    }
}

/// Returns the fields of the entry that freezes a bill, by their paths, in the words of `say`.
#[must_use]
pub fn sent_fields(
    bill: &Bill,
    (paper, number): (Paper, &str),
    (corrects, option): (Option<&str>, Option<&str>),
    parties: &Parties,
    say: &dyn Fn(&Message) -> String,
) -> Vec<(String, String)> {
    let said = |text: &Text| text.said(say);
    let mut out =
        vec![("what".to_owned(), paper.word().to_owned()), ("number".to_owned(), number.to_owned())];
    out.extend(corrects.map(|corrects| ("corrects".to_owned(), corrects.to_owned())));
    out.extend(option.map(|option| ("option".to_owned(), option.to_owned())));
    let shop = (!parties.shop.is_empty()).then(|| parties.shop.join("; "));
    let said_of = [("to", &parties.to), ("site", &parties.site), ("shop", &shop), ("terms", &parties.terms)];
    out.extend(said_of.into_iter().filter_map(|(field, text)| Some((field.to_owned(), text.clone()?))));
    for (index, line) in bill.lines.iter().enumerate() {
        let at = |field: &str| format!("line[{}].{field}", index + 1);
        out.push((at("what"), said(&line.what)));
        out.push((at("quantity"), line.quantity.to_string()));
        out.push((at("unit"), said(&line.unit)));
        out.push((at("price"), line.price.to_string()));
        out.push((at("amount"), line.amount.to_string()));
    }
    for (index, tax) in bill.taxes.iter().enumerate() {
        out.push((format!("tax[{}].name", index + 1), tax.name.clone()));
        out.push((format!("tax[{}].amount", index + 1), tax.amount.to_string()));
    }
    out.push(("total".to_owned(), format!("{} {}", bill.total, bill.currency)));
    out
}

/// A line of the quote beside what it came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Compared {
    /// What.
    pub what: String,
    /// What was quoted; nothing where the quote did not have it.
    pub quoted: Option<Decimal>,
    /// What it came to; nothing where it was not done.
    pub actual: Option<Decimal>,
}

/// Returns the lines of a quote beside those of a bill, before tax, by their words; the last row is the sum.
#[must_use]
pub fn compared(quote: &Sent, bill: &Bill, say: &dyn Fn(&Message) -> String) -> Vec<Compared> {
    let mut out: Vec<Compared> = quote
        .line
        .iter()
        .map(|line| Compared { what: line.what.clone(), quoted: Decimal::read(&line.amount), actual: None })
        .collect();
    for line in &bill.lines {
        let what = line.what.said(say).replace('\u{a0}', " ");
        let same = out.iter_mut().find(|row| crate::place::same(&row.what.replace('\u{a0}', " "), &what));
        match same {
            Some(row) => row.actual = Some(row.actual.unwrap_or(Decimal::ZERO).plus(line.amount)),
            None => out.push(Compared { what, quoted: None, actual: Some(line.amount) }),
        }
    }
    out
}
