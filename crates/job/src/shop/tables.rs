//! The owner's lists as tables: a heading with its units, and rows of plain text.

use super::{AccountLine, Accounts, DueLine, Overview, Summary, SystemLine};
use units::Date;
use uuid::Uuid;

/// A table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// Its name, which is also that of its file.
    pub name: &'static str,
    /// The names of its columns, with their units.
    pub heading: &'static [&'static str],
    /// Its rows; a cell without a value is empty.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// Returns the table as CSV (RFC 4180), safe to open in a spreadsheet: a text that it would take for a formula gets an
    /// apostrophe before it.
    ///
    /// ```
    /// use job::shop::tables::Table;
    /// let rows = vec![vec!["=1+2".to_owned(), "-0.5".to_owned()], vec!["say \"no\"".to_owned(), String::new()]];
    /// let table = Table { name: "t", heading: &["words", "mass_kg"], rows };
    /// assert_eq!(table.csv(), "words,mass_kg\r\n'=1+2,-0.5\r\n\"say \"\"no\"\"\",\r\n");
    /// ```
    #[must_use]
    pub fn csv(&self) -> String {
        let mut out = String::new();
        line(&mut out, self.heading.iter().copied());
        for row in &self.rows {
            line(&mut out, row.iter().map(String::as_str));
        }
        out
    }
}

fn line<'a>(out: &mut String, cells: impl Iterator<Item = &'a str>) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            out.push(',');
        }
        let is_number = cell.parse::<f64>().is_ok();
        // Spaces of any kind before the sign do not stop a spreadsheet.
        let begins =
            cell.trim_start().starts_with(['=', '+', '-', '@']) || cell.starts_with(['\t', '\r', '\n']);
        let disarmed = if begins && !is_number { format!("'{cell}") } else { cell.to_owned() };
        let quoted =
            disarmed.contains([',', '"', '\r', '\n']) || disarmed.starts_with(' ') || disarmed.ends_with(' ');
        if quoted {
            out.push('"');
            out.push_str(&disarmed.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(&disarmed);
        }
    }
    out.push_str("\r\n");
}

fn text(text: Option<&String>) -> String {
    text.cloned().unwrap_or_default()
}

fn id(id: Option<Uuid>) -> String {
    id.map(|id| id.to_string()).unwrap_or_default()
}

fn day(day: Option<Date>) -> String {
    day.map(|day| day.to_string()).unwrap_or_default()
}

fn number(value: Option<f64>) -> String {
    value.map(|value| format!("{value:.4}")).unwrap_or_default()
}

/// Returns the systems as a table.
#[must_use]
pub fn systems(overview: &Overview) -> Table {
    let row = |line: &SystemLine| {
        let loss = line.loss.as_ref();
        vec![
            id(line.id),
            text(line.name.as_ref()),
            text(line.site.as_ref()),
            text(line.refrigerant.as_ref()),
            number(line.charge_kg),
            line.visits.to_string(),
            day(line.last_visit),
            id(line.job),
            loss.map(|loss| kind(loss).to_owned()).unwrap_or_default(),
            number(loss.and_then(|loss| loss.kg)),
            number(loss.and_then(|loss| loss.low_kg)),
            number(loss.and_then(|loss| loss.high_kg)),
            number(loss.and_then(|loss| loss.percent)),
            number(loss.and_then(|loss| loss.low_percent)),
            number(loss.and_then(|loss| loss.high_percent)),
            line.due.to_string(),
            line.overdue.to_string(),
        ]
    };
    Table {
        name: "systems",
        heading: &[
            "system",
            "name",
            "site",
            "refrigerant",
            "charge_kg",
            "visits",
            "last_visit",
            "newest_job",
            "loss_known",
            "loss_kg_per_year",
            "loss_low_kg_per_year_k2",
            "loss_high_kg_per_year_k2",
            "loss_percent_of_charge_per_year",
            "loss_low_percent_per_year_k2",
            "loss_high_percent_per_year_k2",
            "due",
            "overdue",
        ],
        rows: overview.systems.iter().map(row).collect(),
    }
}

const fn kind(loss: &super::Loss) -> &'static str {
    match loss.kind {
        super::LossKind::Known => "known",
        super::LossKind::AtLeast => "at_least",
        super::LossKind::Unknown => "unknown",
    }
}

/// Returns what is due as a table.
#[must_use]
pub fn due(lines: &[DueLine]) -> Table {
    let row = |line: &DueLine| {
        let law = line.what.law.as_ref();
        vec![
            day(line.what.day),
            line.what.when.as_str().to_owned(),
            if line.overdue { "yes" } else { "no" }.to_owned(),
            text(line.name.as_ref()),
            text(line.site.as_ref()),
            line.what.kind.as_str().to_owned(),
            line.what.of.clone(),
            text(line.what.place.as_ref()),
            day(line.what.since),
            law.map(|law| format!("{}, {}", law.instrument, law.section)).unwrap_or_default(),
            law.map(|law| if law.confirmed { "yes" } else { "no" }.to_owned()).unwrap_or_default(),
            id(line.job),
        ]
    };
    Table {
        name: "due",
        heading: &[
            "by_day",
            "when",
            "overdue",
            "system",
            "site",
            "kind",
            "what",
            "place",
            "open_since",
            "law",
            "law_confirmed",
            "job",
        ],
        rows: lines.iter().map(row).collect(),
    }
}

/// Returns the account as one table: its lines by refrigerant, by cylinder and by year, told apart by the first column.
#[must_use]
pub fn accounts(accounts: &Accounts) -> Table {
    let row = |by: &str, line: &AccountLine| {
        vec![
            by.to_owned(),
            line.of.year.or(accounts.year).map(|year| year.to_string()).unwrap_or_default(),
            text(line.of.refrigerant.as_ref()),
            text(line.of.cylinder.as_ref()),
            line.jobs.to_string(),
            number(Some(line.charged.kg)),
            number(Some(line.charged.u_kg)),
            number(Some(line.recovered.kg)),
            number(Some(line.recovered.u_kg)),
            number(Some(line.net.kg)),
            number(Some(line.net.u_kg)),
            number(Some(line.gap.kg)),
            number(Some(line.gap.u_kg)),
            line.compared.to_string(),
            line.unexplained.to_string(),
            line.owed.to_string(),
            line.closes.as_str().to_owned(),
            number(line.last_gross.map(|mass| mass.kg)),
            number(line.holds.map(|mass| mass.kg)),
            day(line.retest),
        ]
    };
    let parts = [
        ("refrigerant", &accounts.by_refrigerant),
        ("cylinder", &accounts.by_cylinder),
        ("year", &accounts.by_year),
    ];
    Table {
        name: "accounts",
        heading: &[
            "by",
            "year",
            "refrigerant",
            "cylinder",
            "jobs",
            "charged_kg",
            "charged_u_kg",
            "recovered_kg",
            "recovered_u_kg",
            "net_into_systems_kg",
            "net_into_systems_u_kg",
            "gap_kg",
            "gap_u_kg",
            "weighed_again",
            "gaps_unexplained",
            "weights_owed",
            "closes",
            "last_gross_kg",
            "holds_kg",
            "retest_by",
        ],
        rows: parts.into_iter().flat_map(|(by, lines)| lines.iter().map(move |line| row(by, line))).collect(),
    }
}

/// Returns the jobs as a table, in the order given.
#[must_use]
pub fn jobs<'a>(summaries: impl IntoIterator<Item = &'a Summary>) -> Table {
    let row = |job: &Summary| {
        vec![
            id(job.job),
            id(job.first),
            text(job.site.as_ref()),
            text(job.system.as_ref()),
            text(job.refrigerant.as_ref()),
            day(job.day),
            job.visit.to_string(),
            id(job.follows),
            text(job.by.as_ref()),
            text(job.complaint.as_ref()),
            job.due.len().to_string(),
        ]
    };
    Table {
        name: "jobs",
        heading: &[
            "job",
            "system",
            "site",
            "system_name",
            "refrigerant",
            "day",
            "visit",
            "follows",
            "by",
            "complaint",
            "due",
        ],
        rows: summaries.into_iter().map(row).collect(),
    }
}
