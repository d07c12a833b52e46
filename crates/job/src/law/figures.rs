//! Leak rates, the charge in each law's unit, the account by year, releases: as parts of a report.

use super::document::{list, table};
use super::{Law, words};
use report::{Block, Cell, Column, Message, Row, Text, Value};
use rules::{ExactMass, Method, Missing, ReleaseClass, release_figures, year_accounts};
use units::Writer;

/// Writes a mass in the writer's unit; the law counts with the exact one.
fn mass(mass: ExactMass, writer: &Writer) -> Cell {
    Cell::Value(Value::from(writer.weight(mass.to_mass())))
}

impl Law<'_> {
    /// Returns the leak rates by each method, against the thresholds there are.
    #[must_use]
    pub fn rate_blocks(&self) -> Vec<Block> {
        let rows = self.assessment.leak_rates.iter().map(|line| {
            let percent = line.percent_per_year.map(|percent| format!("{} %", percent.rounded(1)));
            let percent: Text = match (percent, line.wanting) {
                (Some(percent), Some(fact)) => Message::new("law-rate-at-least")
                    .with("percent", percent)
                    .with("fact", words::missing(fact))
                    .into(),
                (Some(percent), None) => Text::verbatim(percent),
                (None, Some(fact)) => {
                    Message::new("law-rate-wants").with("fact", words::missing(fact)).into()
                }
                (None, None) => Message::new("law-rate-none").into(),
            };
            let over: Text = match (line.threshold, line.over) {
                (Some(limit), Some(true)) => Message::new("law-rate-over").with("limit", limit).into(),
                (Some(limit), Some(false)) => Message::new("law-rate-not-over").with("limit", limit).into(),
                (Some(limit), None) => Message::new("law-rate-limit").with("limit", limit).into(),
                (None, _) => Message::new("law-rate-no-limit").into(),
            };
            let law = line.duty.map(|duty| format!("{}, {}", duty.instrument, duty.section));
            Row::new(vec![
                Cell::Text(method(line.method).into()),
                Cell::Text(percent),
                Cell::Text(over),
                Cell::Text(Text::verbatim(law.unwrap_or_default())),
                Cell::Text(line.status.map_or_else(|| Text::verbatim(""), |s| words::status(s).into())),
            ])
        });
        let columns = vec![
            Column::words(Message::new("law-column-method")),
            Column::words(Message::new("law-column-rate")),
            Column::words(Message::new("law-column-threshold")),
            Column::words(Message::new("law-column-law")),
            Column::words(Message::new("law-column-known")),
        ];
        let mut out: Vec<Block> =
            table(Message::new("law-rates-caption"), columns, rows.collect()).into_iter().collect();
        let charges: Vec<Text> = self
            .assessment
            .charges
            .iter()
            .filter_map(|charge| {
                let tonnes = charge.tonnes_co2e?;
                Some(
                    Message::new("law-charge-tonnes")
                        .with("law", words::jurisdiction(&charge.jurisdiction))
                        .with("tonnes", tonnes.rounded(3))
                        .with("gwp", charge.gwp.value.rounded(2))
                        .with("basis", charge.gwp.basis.name())
                        .into(),
                )
            })
            .collect();
        out.extend(list(charges));
        out
    }

    /// Returns the refrigerant account of each year and the figures of releases.
    #[must_use]
    pub fn account_blocks(&self, writer: &Writer) -> Vec<Block> {
        let (date, facts) = (self.assessment.date, &self.read.facts);
        let booked = rules::Facts { events: self.read.booked.clone(), ..facts.clone() };
        let rows = year_accounts(self.book, &booked, date).into_iter().map(|year| {
            let added: ExactMass = year.added.iter().map(|(_, mass)| *mass).sum();
            let from: Vec<Message> = year
                .added
                .iter()
                .map(|(from, of_it)| {
                    Message::new("law-account-from")
                        .with("gas", from.map_or(Message::new("law-gas-not-said"), words::gas))
                        .with("mass", writer.weight(of_it.to_mass()))
                })
                .collect();
            let mut notes = from;
            if year.unweighed > 0 {
                notes.push(Message::new("law-account-unweighed").with("count", year.unweighed));
            }
            Row::new(vec![
                Cell::Text(Text::verbatim(year.year.to_string())),
                mass(added, writer),
                mass(year.removed, writer),
                mass(year.released, writer),
                Cell::Text(words::listed(notes).map_or_else(|| Text::verbatim(""), Text::from)),
            ])
        });
        let columns = vec![
            Column::words(Message::new("law-column-year")),
            Column::numbers(Message::new("law-column-added")),
            Column::numbers(Message::new("law-column-removed")),
            Column::numbers(Message::new("law-column-released")),
            Column::words(Message::new("law-column-of-it")),
        ];
        let mut out: Vec<Block> =
            table(Message::new("law-account-caption"), columns, rows.collect()).into_iter().collect();
        out.extend(self.release_table(&booked, writer));
        out
    }

    fn release_table(&self, booked: &rules::Facts, writer: &Writer) -> Option<Block> {
        let first = self.assessment.jurisdictions.first().map(|law| law.id.as_str()).unwrap_or_default();
        let rows =
            release_figures(self.book, booked, self.assessment.date, first).into_iter().map(|release| {
                let report: Text = match release.class {
                    Some(ReleaseClass::NoReport) => Message::new("law-release-none").into(),
                    Some(ReleaseClass::HalfYear(day)) => {
                        Message::new("law-release-half-year").with("day", day.to_string()).into()
                    }
                    Some(ReleaseClass::Large(day)) => {
                        Message::new("law-release-large").with("day", day.to_string()).into()
                    }
                    None => words::missing(Missing::ReleasedMass).into(),
                };
                Row::new(vec![
                    Cell::Text(Text::verbatim(release.event.on.to_string())),
                    release.mass.map_or(Cell::Empty, |of_it| mass(of_it, writer)),
                    Cell::Text(Text::verbatim(release.tonnes_co2e.map_or(String::new(), |t| t.rounded(3)))),
                    Cell::Text(report),
                ])
            });
        let columns = vec![
            Column::words(Message::new("law-column-day")),
            Column::numbers(Message::new("law-column-released")),
            Column::numbers(Message::new("law-column-tonnes")),
            Column::words(Message::new("law-column-release-report")),
        ];
        table(Message::new("law-releases-caption"), columns, rows.collect())
    }
}

const fn method(method: Method) -> Message {
    match method {
        Method::Annualizing => Message::new("account-annualizing"),
        Method::Rolling => Message::new("account-rolling"),
    }
}
