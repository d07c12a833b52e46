//! The shop's own lists: its customers and its prices. Each is replaced whole, or not at all.

use crate::auth::{Member, Office, Owner};
use crate::body::Json;
use crate::csv::Csv;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::secret;
use crate::shop::{Shop, now};
use axum::extract::State;
use axum::http::StatusCode;
use job::customers::{self, Customer};
use report::Message;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;
use store::{Role, Store};
use utoipa::ToSchema;

/// The most bytes of a list.
const LIST: usize = 1024 * 1024;
/// The settings of the store that hold the lists, and the state that changes with them.
const CUSTOMERS: &str = "customers";
const PRICES: &str = "prices";
const STATE: &str = "lists";

/// The customers as the store keeps them, with the columns that were told.
#[derive(Default, Serialize, Deserialize)]
struct Kept {
    columns: BTreeMap<String, String>,
    rows: Vec<Customer>,
}

fn kept(store: &dyn Store) -> store::Result<Kept> {
    let text = store.setting(CUSTOMERS)?;
    Ok(text.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

/// Keeps the lists of the invented shop.
///
/// # Errors
/// What the store says.
pub(crate) fn put_invented(
    store: &dyn Store,
    prices: &str,
    customers: &[&[(&str, &str)]],
) -> store::Result<()> {
    let one = |fields: &&[(&str, &str)]| {
        Customer(fields.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect())
    };
    let kept = Kept { columns: BTreeMap::new(), rows: customers.iter().map(one).collect() };
    store.put_setting(CUSTOMERS, &serde_json::to_string(&kept).unwrap_or_default())?;
    store.put_setting(PRICES, prices)?;
    store.put_setting(STATE, "invented")
}

/// Returns the state of the lists for somebody of this role.
pub(super) fn state(store: &dyn Store, role: Role) -> store::Result<Option<String>> {
    let state = store.setting(STATE)?;
    Ok(state.map(|state| if sees_prices(role) { state } else { format!("{state}-bare") }))
}

const fn sees_prices(role: Role) -> bool {
    !matches!(role, Role::Apprentice)
}

/// Returns the shop's price list, for whoever computes with it here.
pub(super) fn prices(store: &dyn Store) -> store::Result<Option<record::Prices>> {
    // It was read when it was taken.
    Ok(store.setting(PRICES)?.and_then(|text| record::read_prices(text.as_bytes()).ok()))
}

/// Returns a price list without what things cost the shop.
fn without_costs(text: &str) -> Option<String> {
    let mut list: toml::Table = text.parse().ok()?;
    for (_, value) in &mut list {
        for line in value.as_array_mut().into_iter().flatten() {
            if let Some(line) = line.as_table_mut() {
                line.remove("cost");
            }
        }
    }
    toml::to_string(&list).ok()
}

fn seen_by(role: Role, prices: Option<String>) -> Option<String> {
    match role {
        Role::Owner => prices,
        Role::Office | Role::Technician => prices.and_then(|text| without_costs(&text)),
        Role::Apprentice => None,
    }
}

/// The shop's lists, as far as somebody may see them.
#[derive(Serialize, ToSchema)]
pub struct Lists {
    /// Their state.
    #[serde(skip_serializing_if = "Option::is_none")]
    state: Option<String>,
    /// The customers: each field as it was typed, by its path in the job file.
    customers: Vec<Customer>,
    /// Which column of the table is which field.
    columns: BTreeMap<String, String>,
    /// The price list as TOML; what things cost the shop is the owner's alone, and an apprentice gets none.
    #[serde(skip_serializing_if = "Option::is_none")]
    prices: Option<String>,
}

/// Returns the shop's customers and prices, as far as the role may see them.
#[utoipa::path(get, path = "/lists", tag = "lists", responses((status = 200, body = Lists), Problems))]
pub async fn lists(State(shop): State<Arc<Shop>>, Member(who): Member) -> Done<axum::Json<Lists>> {
    let role = who.person.role;
    shop.note(who.did("lists.read", None)).await?;
    let found = shop
        .ask(move |store| {
            let Kept { columns, rows } = kept(store)?;
            let prices = seen_by(role, store.setting(PRICES)?);
            Ok(Lists { state: state(store, role)?, customers: rows, columns, prices })
        })
        .await?;
    Ok(axum::Json(found))
}

/// The customers as a table.
#[utoipa::path(get, path = "/customers.csv", tag = "lists",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn table(State(shop): State<Arc<Shop>>, Office(who): Office) -> Done<Csv> {
    shop.note(who.did("customers.csv", None)).await?;
    let kept = shop.ask(kept).await?;
    let mut table = Csv::new("customers", customers::FIELDS);
    for one in &kept.rows {
        table.row(customers::FIELDS.iter().map(|field| one.field(field).unwrap_or_default().to_owned()));
    }
    Ok(table)
}

/// A table of customers.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CustomerTable {
    /// The table: CSV with a head, parted by comma, semicolon or tab.
    #[schema(max_length = 1_000_000, example = "Client;Street\nWrenford Flower Exchange;1 Quay Road\n")]
    table: String,
    /// Which column is which field. Where it is absent: as it was told before, else as the heads say by themselves.
    #[serde(default)]
    #[schema(example = json!({ "Client": "customer.name", "Street": "site.address" }))]
    columns: Option<BTreeMap<String, String>>,
}

/// What was taken.
#[derive(Serialize, ToSchema)]
pub struct Taken {
    /// How many rows.
    count: usize,
    /// Which column was taken as which field.
    columns: BTreeMap<String, String>,
}

fn refused(sentences: Vec<Message>) -> Problem {
    let title = Message::new("server-list-refused");
    let all = sentences
        .into_iter()
        .rev()
        .reduce(|rest, first| Message::new("server-lines").with("first", first).with("rest", rest));
    let problem = Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "list-refused", title);
    match all {
        Some(all) => problem.detail(all),
        None => problem,
    }
}

/// The rows of a table, each with its line.
type Cells = Vec<(u64, Vec<String>)>;

/// Reads a table into its heads and rows.
fn split(table: &str) -> Done<(Vec<String>, Cells)> {
    let text = table.trim_start_matches('\u{feff}');
    let head = text.lines().next().unwrap_or_default();
    // The mark that stands most often in the head parts the columns; of two alike the comma.
    let mark = [b'\t', b';', b','].into_iter().max_by_key(|mark| head.bytes().filter(|b| b == mark).count());
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(mark.unwrap_or(b','))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let broken = |why: csv::Error| Problem::unreadable(why.to_string());
    let heads = reader.headers().map_err(broken)?.iter().map(str::to_owned).collect();
    let mut rows = Vec::new();
    for row in reader.records() {
        let row = row.map_err(broken)?;
        let line = row.position().map_or(0, csv::Position::line);
        rows.push((line, row.iter().map(str::to_owned).collect()));
    }
    Ok((heads, rows))
}

/// Takes a table of customers in place of the list that was there. Rows that are none are all told, and nothing is taken.
#[utoipa::path(put, path = "/customers", tag = "lists", request_body = CustomerTable,
    responses((status = 200, body = Taken), Problems))]
pub async fn put_customers(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Json(given): Json<CustomerTable, LIST>,
) -> Done<axum::Json<Taken>> {
    let (heads, rows) = split(&given.table)?;
    let told = given.columns.filter(|columns| !columns.is_empty());
    let before = shop.ask(kept).await?.columns;
    let fits = !before.is_empty() && before.keys().all(|head| heads.contains(head));
    let columns = told.unwrap_or_else(|| if fits { before } else { customers::columns_by_name(&heads) });
    let rows = customers::read(&heads, &rows, &columns).map_err(|why| refused(why.sentences()))?;
    let count = rows.len();
    let mut audit = who.did("customers.put", None);
    audit.detail = Some(format!("rows={count}"));
    let kept = Kept { columns: columns.clone(), rows };
    let text = serde_json::to_string(&kept).map_err(|_| Problem::ours())?;
    keep(&shop, CUSTOMERS, text, audit).await?;
    Ok(axum::Json(Taken { count, columns }))
}

async fn keep(shop: &Shop, list: &'static str, text: String, audit: store::Audit) -> Done<()> {
    let state = secret::id(now())?.simple().to_string();
    shop.ask(move |store| {
        store.put_setting(list, &text)?;
        // After the list: a phone that sees the new state gets the new list.
        store.put_setting(STATE, &state)?;
        store.audit(&[audit])
    })
    .await
}

/// A price list.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PriceText {
    /// The file, as docs/prices.md describes it.
    #[schema(max_length = 1_000_000)]
    text: String,
}

/// Takes a price list in place of the one that was there. Its mistakes are told with their lines, and nothing is taken.
#[utoipa::path(put, path = "/prices", tag = "lists", request_body = PriceText,
    responses((status = 200, body = Taken), Problems))]
pub async fn put_prices(
    State(shop): State<Arc<Shop>>,
    Owner(who): Owner,
    Json(given): Json<PriceText, LIST>,
) -> Done<axum::Json<Taken>> {
    let prices = record::read_prices(given.text.as_bytes()).map_err(|found| {
        let line = |one: &record::Problem| {
            let why = job::problems::sentence(one);
            Message::new("prices-line").with("line", one.line.to_string()).with("why", why)
        };
        refused(found.first.iter().map(line).collect())
    })?;
    let count = prices.hours.len() + prices.fixed.len() + prices.gas.len() + prices.items.len();
    let mut audit = who.did("prices.put", None);
    audit.detail = Some(format!("lines={count}"));
    keep(&shop, PRICES, given.text, audit).await?;
    Ok(axum::Json(Taken { count, columns: BTreeMap::new() }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn costs_are_taken_out_and_prices_stay() {
        let text = include_str!("../../../../examples/prices.toml");
        let bare = without_costs(text).unwrap();
        let (whole, bare) =
            (record::read_prices(text.as_bytes()).unwrap(), record::read_prices(bare.as_bytes()).unwrap());
        assert!(whole.hours.iter().any(|hour| hour.cost.is_some()));
        assert!(bare.hours.iter().all(|hour| hour.cost.is_none()));
        assert!(
            bare.gas.iter().all(|gas| gas.cost.is_none())
                && bare.items.iter().all(|item| item.cost.is_none())
        );
        assert_eq!(whole.items.len(), bare.items.len());
        assert_eq!(whole.taxes, bare.taxes);
        assert_eq!(whole.shop, bare.shop);
    }
}
