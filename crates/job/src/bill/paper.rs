//! Quote and invoice as documents, and as a table for other programs.

use super::{Bill, Decimal, Line, Parties, Quote, Tax, compared};
use crate::visit::Visit;
use record::{Answer, Prices, Sent};
use report::{
    Arg, Block, Cell, Column, Document, List, Mark, Message, Now, Row, Section, Table, Text, Value,
};

fn bare(
    visit: &Visit,
    parties: &Parties,
    title: Message,
    (number, corrects): (Option<&str>, Option<&str>),
) -> Document {
    let mark = if visit.is_demo() { Mark::Demo } else { Mark::Real };
    let mut document = Document::new(title, "en", mark);
    let system = &visit.system.value;
    let parts = [&visit.site.value.name, &system.name];
    let about = parts.into_iter().flatten().cloned().collect::<Vec<_>>().join(", ");
    document.subtitle = Some(Text::verbatim(about));
    let details = &mut document.details;
    match number {
        Some(number) => details.push(Message::new("bill-number").with("number", number).into()),
        None => details.push(Message::new("bill-draft").into()),
    }
    details.extend(corrects.map(|number| Message::new("bill-corrects").with("number", number).into()));
    details.extend(visit.day().map(|day| Text::verbatim(day.to_string())));
    if let Some(order) = &visit.visit.value.order {
        details.push(Message::new("bill-order").with("order", order.as_str()).into());
    }
    details.extend(parties.shop.iter().map(|text| Text::verbatim(text.as_str())));
    document
}

/// Whom it is for, and where the work was.
fn addressed(document: &mut Document, parties: &Parties) {
    let paragraph = |text: Text| vec![Block::Paragraph(text)];
    let to = match &parties.to {
        Some(to) => Text::verbatim(to.as_str()),
        None => Message::new("bill-nobody").into(),
    };
    document.sections.push(Section::new(Message::new("bill-to"), paragraph(to)).beside());
    if let Some(site) = &parties.site {
        let site = paragraph(Text::verbatim(site.as_str()));
        document.sections.push(Section::new(Message::new("bill-site"), site).beside());
    }
}

fn number(value: impl ToString, comma: bool) -> Cell {
    Cell::Value(Value::as_written(written(value, comma)))
}

fn written(value: impl ToString, comma: bool) -> String {
    let text = value.to_string();
    if comma { text.replace('.', ",") } else { text }
}

fn table(lines: &[Line], taxes: &[Tax], total: Decimal, currency: &str, comma: bool) -> Block {
    let mut rows: Vec<Row> = lines
        .iter()
        .map(|line| {
            Row::new(vec![
                Cell::Text(line.what.clone()),
                number(line.quantity, comma),
                Cell::Text(line.unit.clone()),
                number(line.price, comma),
                number(line.amount, comma),
            ])
        })
        .collect();
    let sum = |what: Text, amount: Decimal| {
        vec![Cell::Text(what), Cell::Empty, Cell::Empty, Cell::Empty, number(amount, comma)]
    };
    if !taxes.is_empty() {
        let net = lines.iter().map(|line| line.amount).sum::<Decimal>();
        rows.push(Row::total(sum(Message::new("bill-net").into(), net)));
    }
    for tax in taxes {
        let name =
            Message::new("bill-tax").with("tax", tax.name.as_str()).with("base", written(tax.base, comma));
        rows.push(Row::new(sum(name.into(), tax.amount)));
    }
    rows.push(Row::total(sum(Message::new("bill-total").with("currency", currency).into(), total)));
    Block::Table(Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("bill-what")),
            Column::numbers(Message::new("bill-quantity")),
            Column::words(Message::new("bill-unit")),
            Column::numbers(Message::new("bill-price")),
            Column::numbers(Message::new("bill-amount")),
        ],
        rows,
    })
}

/// A note with its decimals as the language writes them.
fn noted(note: &Message, comma: bool) -> Text {
    let mut note = note.clone();
    for (_, arg) in &mut note.args {
        if let Arg::Text(text) = arg
            && Decimal::read(text).is_some()
        {
            *text = written(&*text, comma);
        }
    }
    note.into()
}

fn ending(document: &mut Document, parties: &Parties, notes: &[Message]) {
    if !notes.is_empty() {
        let comma = document.decimal_comma;
        let items = notes.iter().map(|note| noted(note, comma)).collect();
        document.sections.push(Section::new(
            Message::new("bill-notes"),
            vec![Block::List(List { ordered: false, items })],
        ));
    }
    if let Some(terms) = &parties.terms {
        document.sections.push(Section::new(
            Message::new("bill-terms"),
            vec![Block::Paragraph(Text::verbatim(terms.as_str()))],
        ));
    }
    document.methods = vec![Block::Paragraph(Message::new("bill-rounding").into())];
}

/// Returns the invoice as a document; with the quote beside it where one was sent.
#[must_use]
pub fn document(
    visit: &Visit,
    parties: &Parties,
    bill: &Bill,
    head: (Option<&str>, Option<&str>),
    (quoted, comma): (Option<&Sent>, bool),
    say: &dyn Fn(&Message) -> String,
) -> Document {
    let mut document = bare(visit, parties, Message::new("bill-invoice"), head);
    document.decimal_comma = comma;
    addressed(&mut document, parties);
    let total = Value { value: bill.total.to_string(), half_width: None, unit: bill.currency.clone() };
    let total = if comma { Value { value: total.value.replace('.', ","), ..total } } else { total };
    document.now = Some(Now::new(Message::new("bill-to-pay").with("total", total)));
    let lines = table(&bill.lines, &bill.taxes, bill.total, &bill.currency, comma);
    document.sections.push(Section::new(Message::new("bill-lines"), vec![lines]));
    if let Some(quoted) = quoted {
        let optional = |value: Option<Decimal>| value.map_or(Cell::Empty, |value| number(value, comma));
        let rows = compared(quoted, bill, say)
            .into_iter()
            .map(|row| {
                Row::new(vec![
                    Cell::Text(Text::verbatim(row.what)),
                    optional(row.quoted),
                    optional(row.actual),
                ])
            })
            .collect();
        let table = Table {
            caption: None,
            columns: vec![
                Column::words(Message::new("bill-what")),
                Column::numbers(Message::new("bill-quoted")),
                Column::numbers(Message::new("bill-actual")),
            ],
            rows,
        };
        let heading = Message::new("bill-against").with("number", quoted.number.as_str());
        document.sections.push(Section::new(heading, vec![Block::Table(table)]));
    }
    ending(&mut document, parties, &bill.notes);
    document
}

/// Returns the quote as a document: each option with its lines, what was seen besides, and lines to sign on.
#[must_use]
pub fn quote_document(
    visit: &Visit,
    parties: &Parties,
    quote: &Quote,
    number: Option<&str>,
    comma: bool,
) -> Document {
    let mut document = bare(visit, parties, Message::new("bill-quote"), (number, None));
    document.decimal_comma = comma;
    addressed(&mut document, parties);
    for option in &quote.options {
        let bill = &option.bill;
        let heading: Text = match (&option.name, option.chosen) {
            (Some(name), true) => Message::new("bill-option-chosen").with("option", name).into(),
            (Some(name), false) => Text::verbatim(name.as_str()),
            (None, _) => Message::new("bill-would-cost").into(),
        };
        let lines = table(&bill.lines, &bill.taxes, bill.total, &bill.currency, comma);
        document.sections.push(Section::new(heading, vec![lines]));
    }
    if !quote.besides.is_empty() {
        let rows = quote
            .besides
            .iter()
            .map(|side| {
                let price = match &side.price {
                    Some(price) => Cell::Text(Text::verbatim(price.as_str())),
                    None => Cell::Text(Message::new("bill-no-price-yet").into()),
                };
                let answer = match side.answer {
                    Some(Answer::Accepted) => Cell::Text(Message::new("open-accepted").into()),
                    Some(Answer::Later) => Cell::Text(Message::new("open-later").into()),
                    Some(Answer::Declined) | None => Cell::Empty,
                };
                Row::new(vec![Cell::Text(Text::verbatim(side.what.as_str())), price, answer])
            })
            .collect();
        let table = Table {
            caption: None,
            columns: vec![
                Column::words(Message::new("bill-what")),
                Column::words(Message::new("bill-before-tax")),
                Column::words(Message::new("bill-answer")),
            ],
            rows,
        };
        document.sections.push(Section::new(Message::new("bill-besides"), vec![Block::Table(table)]));
    }
    ending(&mut document, parties, &[]);
    let sign = report::Signature { role: Message::new("visit-sign-customer").into(), name: None };
    document
        .sections
        .push(Section::new(Message::new("visit-signatures"), vec![Block::Signatures(vec![sign])]));
    document
}

/// Returns the lines with what they cost the shop and what they leave: for the owner alone.
#[must_use]
pub fn owner(visit: &Visit, prices: &Prices, bill: &Bill, comma: bool) -> Document {
    let mut document = bare(visit, &Parties::of(visit, prices), Message::new("bill-owner"), (None, None));
    document.decimal_comma = comma;
    let optional = |value: Option<Decimal>| value.map_or(Cell::Empty, |value| number(value, comma));
    let mut rows: Vec<Row> = bill
        .lines
        .iter()
        .map(|line| {
            Row::new(vec![
                Cell::Text(line.what.clone()),
                number(line.amount, comma),
                optional(line.cost),
                optional(line.cost.map(|cost| line.amount.minus(cost))),
            ])
        })
        .collect();
    let (margin, unknown) = bill.margin();
    let costs: Decimal = bill.lines.iter().filter_map(|line| line.cost).sum();
    rows.push(Row::total(vec![
        Cell::Text(Message::new("bill-net").into()),
        number(bill.net(), comma),
        number(costs, comma),
        number(margin, comma),
    ]));
    let table = Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("bill-what")),
            Column::numbers(Message::new("bill-amount")),
            Column::numbers(Message::new("bill-cost")),
            Column::numbers(Message::new("bill-margin")),
        ],
        rows,
    };
    let mut blocks = vec![Block::Table(table)];
    if unknown > 0 {
        blocks.push(Block::Paragraph(Message::new("bill-cost-unknown").with("count", unknown).into()));
    }
    let worked = &bill.worked;
    let touches = Message::new("bill-touches")
        .with("trips", worked.trips)
        .with("climbs", worked.climbs)
        .with("entries", worked.entries);
    blocks.push(Block::Paragraph(touches.into()));
    document.sections.push(Section::new(Message::new("bill-margin"), blocks));
    document
}

/// Returns the lines and taxes as CSV (RFC 4180), a heading row first; amounts in plain decimals.
#[must_use]
pub fn csv(bill: &Bill, number: Option<&str>, say: &dyn Fn(&Message) -> String) -> String {
    let mut out = "number,what,quantity,unit,price,amount,currency\r\n".to_owned();
    let mut row = |cells: [&str; 7]| {
        let cells: Vec<String> = cells.iter().map(|cell| field(cell)).collect();
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    };
    let (number, currency) = (number.unwrap_or_default(), bill.currency.as_str());
    for line in &bill.lines {
        let (what, unit) = (line.what.said(say), line.unit.said(say));
        let (quantity, price, amount) =
            (line.quantity.to_string(), line.price.to_string(), line.amount.to_string());
        row([number, &what, &quantity, &unit, &price, &amount, currency]);
    }
    for tax in &bill.taxes {
        row([number, &tax.name, "", "", "", &tax.amount.to_string(), currency]);
    }
    out
}

/// A cell: quoted where it must be; what a spreadsheet would run as a formula is kept from it by an apostrophe.
pub(crate) fn field(text: &str) -> String {
    let text = text.replace('\u{a0}', " ");
    let is_number = Decimal::read(&text).is_some();
    let text = if !is_number && text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text
    };
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}
