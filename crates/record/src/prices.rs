//! The shop's price list: one TOML file, read as strictly as a job file.

use crate::file::{list, syntax_problem, text_of};
use crate::known::{Money, Percent};
use crate::problem::{Problems, Sensible, What};
use crate::table::{Cx, FromToml, Path, Section, SectionKey, table};
use crate::when::{When, WhenFault};
use crate::words::*;
use toml_edit::{Document, Item, TableLike};

table! {
    /// The shop that bills.
    Shop {
        /// Its name.
        need name: String,
        /// Its address.
        may address: String,
        /// How it is reached.
        may contact: String,
        /// Its numbers with the tax offices, as they must stand on an invoice.
        may registration: String,
        /// The currency of every price, three letters of ISO 4217.
        need currency: String,
        /// How many decimals an amount has; two when nothing is said.
        may decimals: u32,
        /// When a working day begins, "07:00"; every hour is plain where this is left out.
        may opens: String,
        /// When it ends.
        may closes: String,
        /// Who pays for the gas in the hoses; the shop when nothing is said.
        may hose_gas: HoseGas,
        /// For how many days a repair is warranted; not at all when nothing is said.
        may warranty_days: u32,
        /// Words at the foot of every document: terms, how to pay.
        may terms: String,
    }
}

table! {
    /// The price of an hour.
    HourPrice {
        /// The kind of work; every kind that has no line of its own, where none is named.
        may work: Work,
        /// The price of an hour.
        need price: Money,
        /// The price outside the working day and on Saturday and Sunday; the plain one when nothing is said.
        may after_hours: Money,
        /// What an hour costs the shop.
        may cost: Money,
    }
}

table! {
    /// A price that counts by trip or by call.
    FixedPrice {
        /// What.
        need what: String,
        /// How often.
        need per: Per,
        /// The price.
        need price: Money,
        /// What it costs the shop.
        may cost: Money,
    }
}

table! {
    /// The price of a refrigerant.
    GasPrice {
        /// The designation.
        need refrigerant: String,
        /// The unit it is sold in.
        need unit: GasUnit,
        /// The price of one.
        need price: Money,
        /// What one costs the shop.
        may cost: Money,
        /// The price of taking one away.
        may take_back: Money,
    }
}

table! {
    /// A line of the list of parts and works.
    PriceItem {
        /// The shop's own code; entries name it.
        need code: String,
        /// What.
        need what: String,
        /// The functions it serves, in the words of entries.
        many serves: String,
        /// The unit, such as "each" or "m".
        may unit: String,
        /// The price of one.
        need price: Money,
        /// What one costs the shop.
        may cost: Money,
        /// What makers call it: the shop's own cross-reference.
        many also: String,
        /// How many are on the van.
        may on_van: u32,
    }
}

table! {
    /// A tax.
    TaxRule {
        /// Its name on the invoice.
        need name: String,
        /// Where it holds: the jurisdiction of the site begins with it; everywhere when nothing is said.
        may place: String,
        /// Its rate.
        need rate: Percent,
        /// The first day.
        may from: When,
        /// The last day.
        may until: When,
        /// What it is raised on; everything when nothing is said.
        many on: PriceFor,
        /// The taxes that are counted into its base.
        many above: String,
    }
}

/// A shop's price list.
#[derive(Clone, Debug, PartialEq)]
pub struct Prices {
    /// The shop.
    pub shop: Shop,
    /// Hours.
    pub hours: Vec<HourPrice>,
    /// By trip or call.
    pub fixed: Vec<FixedPrice>,
    /// Refrigerants.
    pub gas: Vec<GasPrice>,
    /// Parts and works.
    pub items: Vec<PriceItem>,
    /// Taxes.
    pub taxes: Vec<TaxRule>,
}

const TOP: &[&str] = &["gastight_prices", "shop", "hour", "fixed", "gas", "item", "tax"];

/// Reads a shop's price list.
///
/// # Errors
/// [`Problems`]: the first 20 with their places, and the count of all.
pub fn read_prices(bytes: &[u8]) -> Result<Prices, Problems> {
    let text = text_of(bytes)?;
    let document = Document::parse(text).map_err(|error| syntax_problem(text, &error))?;
    let top: &dyn TableLike = document.as_table();
    let mut cx = Cx::new(text);
    let root = Path::Root;
    if top.get("gastight_prices").and_then(Item::as_integer) != Some(1) {
        let span = top.get("gastight_prices").and_then(Item::span).or(Some(0..0));
        let path = Path::Key(&root, "gastight_prices");
        cx.problem(span, &path, |_| {
            (What::MissingField, Sensible::Example("gastight_prices = 1".to_owned()))
        });
    }
    cx.check_keys(top, &root, &[TOP]);
    let shop: Option<Shop> = cx.need(top, Some(0..0), "shop", &root);
    let hours = all::<HourPrice>(&mut cx, top, "hour");
    let fixed = all::<FixedPrice>(&mut cx, top, "fixed");
    let gas = all::<GasPrice>(&mut cx, top, "gas");
    let items = all::<PriceItem>(&mut cx, top, "item");
    let taxes = all::<TaxRule>(&mut cx, top, "tax");
    if let Some(shop) = &shop {
        check(&mut cx, top, shop);
        for (index, item) in items.iter().enumerate() {
            if let Some(before) = items[..index].iter().position(|other| other.code == item.code) {
                let rows = list(&mut cx, top, "item");
                let line = |cx: &Cx<'_>, at: usize| cx.line(rows.get(at).and_then(|node| node.span()));
                let first_line = line(&cx, before);
                let span = rows.get(index).and_then(|node| node.table()?.get("code")?.span());
                let path = Path::Index(&Path::Key(&root, "item"), index);
                cx.problem(span, &Path::Key(&path, "code"), |_| {
                    (What::NameTwice { first_line }, Sensible::Nothing)
                });
            }
        }
    }
    match (shop, cx.finish()) {
        (Some(shop), None) => Ok(Prices { shop, hours, fixed, gas, items, taxes }),
        (_, Some(problems)) => Err(problems),
        (None, None) => Err(Problems { first: Vec::new(), total: 0 }),
    }
}

fn all<'a, T: FromToml>(cx: &mut Cx<'a>, top: &'a dyn TableLike, key: &'static str) -> Vec<T> {
    let path = Path::Key(&Path::Root, key);
    let nodes = list(cx, top, key);
    nodes
        .into_iter()
        .enumerate()
        .filter_map(|(index, node)| T::from_toml(cx, node, &Path::Index(&path, index)))
        .collect()
}

/// The clock of the working day, and that every price is in the shop's currency.
fn check<'a>(cx: &mut Cx<'a>, top: &'a dyn TableLike, shop: &Shop) {
    let at =
        |key: &str| top.get("shop").and_then(Item::as_table_like).and_then(|table| table.get(key)?.span());
    let section = Path::Key(&Path::Root, "shop");
    for (key, text) in [("opens", &shop.opens), ("closes", &shop.closes)] {
        if text.as_deref().is_some_and(|text| minute_of_day(text).is_none()) {
            let example = Sensible::Example("07:30".to_owned());
            cx.problem(at(key), &Path::Key(&section, key), |_| {
                (What::BadMoment(WhenFault::Unreadable), example)
            });
        }
    }
    if shop.currency.len() != 3 || !shop.currency.bytes().all(|b| b.is_ascii_uppercase()) {
        let example = Sensible::Example("CAD".to_owned());
        cx.problem(at("currency"), &Path::Key(&section, "currency"), |_| (What::BadMoney, example));
    }
    if shop.decimals.is_some_and(|decimals| decimals > 4) {
        let example = Sensible::Example("2".to_owned());
        cx.problem(at("decimals"), &Path::Key(&section, "decimals"), |_| (What::OutOfRange, example));
    }
    for key in ["hour", "fixed", "gas", "item"] {
        let whole = Path::Key(&Path::Root, key);
        for (index, node) in list(cx, top, key).into_iter().enumerate() {
            for field in ["price", "after_hours", "cost", "take_back"] {
                let Some(item) = node.table().and_then(|table| table.get(field)) else { continue };
                let other = item.as_str().is_some_and(|text| {
                    matches!(
                        <Money as crate::known::Reads>::read(text, &crate::when::Local::default()),
                        Ok(money) if money.currency != shop.currency
                    )
                });
                if other {
                    let example = Sensible::Example(format!("120.00 {}", shop.currency));
                    let path = Path::Index(&whole, index);
                    cx.problem(item.span(), &Path::Key(&path, field), |_| (What::BadMoney, example));
                }
            }
        }
    }
}

/// Returns the minute of the day of a time such as "07:30".
#[must_use]
pub fn minute_of_day(text: &str) -> Option<u32> {
    let (hour, minute) = text.trim().split_once(':')?;
    let number = |text: &str, most: u32| {
        let fits = text.len() == 2 && text.bytes().all(|b| b.is_ascii_digit());
        text.parse().ok().filter(|number: &u32| fits && *number <= most)
    };
    let (hour, minute) = (number(hour, 24)?, number(minute, 59)?);
    (hour < 24 || minute == 0).then_some(hour * 60 + minute)
}

/// Returns every key of the price list, with the section it stands in; what documents it is tested against this.
#[must_use]
pub fn price_keys() -> Vec<SectionKey> {
    let mut all: Vec<SectionKey> = TOP.iter().map(|key| (String::new(), *key)).collect();
    Shop::list_fields("shop", &mut all);
    HourPrice::list_fields("hour", &mut all);
    FixedPrice::list_fields("fixed", &mut all);
    GasPrice::list_fields("gas", &mut all);
    PriceItem::list_fields("item", &mut all);
    TaxRule::list_fields("tax", &mut all);
    all
}
