//! The shop's list of customers: taken from a table by columns that are told once, checked row by row, nothing half taken.

use record::{Around, Problem, read_facts};
use report::Message;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The fields that a column can be, as the job file writes them.
pub const FIELDS: &[&str] = &[
    "customer.name",
    "customer.contact",
    "customer.phone",
    "customer.mail",
    "customer.note",
    "site.name",
    "site.address",
    "site.jurisdiction",
    "site.owner",
    "site.access",
];
/// The most customers that a list may have.
pub const MOST: usize = 5_000;
/// How many faults are told at most.
const TOLD: usize = 20;

/// A customer with one site, each field as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(transparent)]
pub struct Customer(pub BTreeMap<String, String>);

impl Customer {
    /// Returns a field, where it is there.
    #[must_use]
    pub fn field(&self, path: &str) -> Option<&str> {
        self.0.get(path).map(String::as_str)
    }

    /// Returns what the list calls it: the customer, and the site where that is another.
    #[must_use]
    pub fn name(&self) -> String {
        let (name, site) = (self.field("customer.name"), self.field("site.name"));
        let other = site.filter(|site| name.is_none_or(|name| !crate::place::same(name, site)));
        name.into_iter().chain(other).collect::<Vec<_>>().join(", ")
    }

    /// Returns whether every word of `typed` begins some word of the names or the address.
    #[must_use]
    pub fn is_meant(&self, typed: &str) -> bool {
        let fields = ["customer.name", "site.name", "site.address"].map(|path| self.field(path));
        let text = fields.into_iter().flatten().collect::<Vec<_>>().join(" ").to_lowercase();
        typed
            .to_lowercase()
            .split_whitespace()
            .all(|word| text.split(|sign: char| !sign.is_alphanumeric()).any(|one| one.starts_with(word)))
    }

    /// Returns the facts that a visit to it begins with.
    #[must_use]
    pub fn facts(&self, around: &Around) -> Vec<record::Observation> {
        let of = |section: &str| {
            let fields: Vec<(&str, &str)> = self
                .0
                .iter()
                .filter_map(|(path, text)| {
                    let (one, field) = path.split_once('.')?;
                    (one == section).then_some((field, text.as_str()))
                })
                .collect();
            // What was taken in was readable then; a program that reads it otherwise leaves it out.
            if fields.is_empty() {
                Vec::new()
            } else {
                read_facts(section, &fields, around).unwrap_or_default()
            }
        };
        let mut all = of("customer");
        all.extend(of("site"));
        all
    }
}

/// A row that is no customer.
#[derive(Clone, Debug, PartialEq)]
pub struct BadRow {
    /// Its line in the file.
    pub line: u64,
    /// What is wrong, with the value seen and what would be sensible.
    pub why: Message,
}

/// Why a table is not taken.
#[derive(Clone, Debug, PartialEq)]
pub enum NotTaken {
    /// No column is told to be the customer's name, or a told column is not in the table.
    Columns(Message),
    /// Rows that are none: the first of them, and how many there are.
    Rows(Vec<BadRow>, usize),
}

impl NotTaken {
    /// Returns the sentences about it.
    #[must_use]
    pub fn sentences(&self) -> Vec<Message> {
        match self {
            NotTaken::Columns(why) => vec![why.clone()],
            NotTaken::Rows(rows, total) => {
                let row = |row: &BadRow| {
                    Message::new("customers-row")
                        .with("line", row.line.to_string())
                        .with("why", row.why.clone())
                };
                let all = Message::new("customers-none-taken").with("count", *total);
                core::iter::once(all).chain(rows.iter().map(row)).collect()
            }
        }
    }
}

/// Returns the columns that the heads of a table say by themselves: those that are named as a field is, with its section or
/// without.
#[must_use]
pub fn columns_by_name(heads: &[String]) -> BTreeMap<String, String> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['_', '.'], " ");
    let field = |head: &String| {
        let head = plain(head);
        let whole = FIELDS.iter().find(|field| plain(field) == head);
        let last = |field: &&&str| field.rsplit('.').next() == Some(head.as_str());
        match head.as_str() {
            "customer" => Some("customer.name"),
            "site" => Some("site.name"),
            // A name could be either's.
            "name" | "note" => None,
            _ => whole.or_else(|| FIELDS.iter().find(last)).copied(),
        }
    };
    heads.iter().filter_map(|head| Some((head.clone(), field(head)?.to_owned()))).collect()
}

/// Returns the customers of a table; `columns` says which head is which field, and each row has the number of its line.
///
/// # Errors
/// [`NotTaken`]: the columns do not fit, or rows are none. Then nothing is taken.
pub fn read(
    heads: &[String],
    rows: &[(u64, Vec<String>)],
    columns: &BTreeMap<String, String>,
) -> Result<Vec<Customer>, NotTaken> {
    let shown = || heads.join(", ");
    let fields = || FIELDS.join(", ");
    for (head, field) in columns {
        if !FIELDS.contains(&field.as_str()) {
            let message = Message::new("customers-no-field").with("field", field.as_str());
            return Err(NotTaken::Columns(message.with("fields", fields())));
        }
        if !heads.contains(head) {
            let message = Message::new("customers-no-column").with("head", head.as_str());
            return Err(NotTaken::Columns(message.with("heads", shown())));
        }
    }
    if !columns.values().any(|field| field == "customer.name") {
        return Err(NotTaken::Columns(Message::new("customers-no-name").with("heads", shown())));
    }
    if rows.len() > MOST {
        let message = Message::new("customers-too-many").with("count", rows.len()).with("most", MOST);
        return Err(NotTaken::Columns(message));
    }
    let (mut out, mut bad, mut total) = (Vec::new(), Vec::new(), 0);
    let mut seen: BTreeMap<String, u64> = BTreeMap::new();
    for (line, cells) in rows {
        match customer(heads, cells, columns) {
            Ok(None) => {}
            Ok(Some(one)) => match seen.get(&one.name().to_lowercase()) {
                Some(first) => {
                    total += 1;
                    let why = Message::new("customers-twice").with("name", one.name());
                    bad.push(BadRow { line: *line, why: why.with("first", first.to_string()) });
                }
                None => {
                    seen.insert(one.name().to_lowercase(), *line);
                    out.push(one);
                }
            },
            Err(why) => {
                total += 1;
                bad.push(BadRow { line: *line, why });
            }
        }
    }
    if total > 0 {
        bad.truncate(TOLD);
        return Err(NotTaken::Rows(bad, total));
    }
    Ok(out)
}

/// Reads a row; one without anything in it is none.
fn customer(
    heads: &[String],
    cells: &[String],
    columns: &BTreeMap<String, String>,
) -> Result<Option<Customer>, Message> {
    let mut fields: BTreeMap<String, String> = BTreeMap::new();
    for (head, cell) in heads.iter().zip(cells) {
        let text = cell.trim();
        if let Some(field) = columns.get(head)
            && !text.is_empty()
            && let Some(before) = fields.insert(field.clone(), text.to_owned())
        {
            // Two columns of one field stand one after the other, as a street and a town do.
            fields.insert(field.clone(), format!("{before}, {text}"));
        }
    }
    if fields.is_empty() {
        return if cells.iter().all(|cell| cell.trim().is_empty()) { Ok(None) } else { Err(nameless(cells)) };
    }
    if !fields.contains_key("customer.name") {
        return Err(nameless(cells));
    }
    for (path, text) in &fields {
        let Some((section, field)) = path.split_once('.') else { continue };
        if text.chars().count() > 500 {
            let given: String = text.chars().take(40).collect();
            return Err(Message::new("customers-too-long").with("given", given));
        }
        if let Err(found) = read_facts(section, &[(field, text.as_str())], &Around::default()) {
            let first: Option<&Problem> = found.first.first();
            return Err(first.map_or_else(|| nameless(cells), crate::problems::sentence));
        }
    }
    Ok(Some(Customer(fields)))
}

fn nameless(cells: &[String]) -> Message {
    let given: String = cells.join(", ").chars().take(60).collect();
    Message::new("customers-nameless").with("given", given)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heads(text: &str) -> Vec<String> {
        text.split(';').map(str::to_owned).collect()
    }

    #[test]
    fn a_table_is_taken_whole_or_not_at_all() {
        let head = heads("Client;Street;Town;Law");
        let columns: BTreeMap<String, String> = [
            ("Client", "customer.name"),
            ("Street", "site.address"),
            ("Town", "site.address"),
            ("Law", "site.jurisdiction"),
        ]
        .map(|(head, field)| (head.to_owned(), field.to_owned()))
        .into();
        let row = |line, text: &str| (line, heads(text));
        let good = [row(2, "Wrenford Flower Exchange;1 Quay Road;Wrenford;Ontario"), row(3, ";;;")];
        let taken = read(&head, &good, &columns).unwrap();
        assert_eq!(taken.len(), 1);
        assert_eq!(taken[0].field("site.address"), Some("1 Quay Road, Wrenford"));
        assert!(taken[0].is_meant("flow wren") && taken[0].is_meant("QUAY") && !taken[0].is_meant("lower"));
        let facts = taken[0].facts(&Around::default());
        assert_eq!(facts.len(), 3);

        let bad = [good[0].clone(), row(3, ";2 Quay Road;Wrenford;"), row(4, "wrenford flower exchange;;;")];
        let Err(NotTaken::Rows(rows, 2)) = read(&head, &bad, &columns) else { panic!() };
        assert_eq!(rows.iter().map(|row| row.line).collect::<Vec<_>>(), [3, 4]);
    }

    #[test]
    fn columns_are_known_by_their_names_or_must_be_told() {
        let head = heads("Customer;Phone;site_address;Name;Colour");
        let known = columns_by_name(&head);
        let fields: Vec<&str> = known.values().map(String::as_str).collect();
        assert_eq!(fields, ["customer.name", "customer.phone", "site.address"]);
        let none = columns_by_name(&heads("Name;Colour"));
        assert!(matches!(read(&heads("Name;Colour"), &[], &none), Err(NotTaken::Columns(_))));
    }
}
