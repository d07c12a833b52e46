//! The law's answers as parts of a report.

use super::{Law, words};
use crate::entry::labels;
use crate::visit::Visit;
use report::{Block, Cell, Column, Document, Finding, List, Mark, Message, Now, Row, Section, Table, Text};
use rules::{CalendarLine, ExactMass, GasVerdict, Missing, Outcome, Verdict};
use std::collections::BTreeMap;
use units::Writer;

pub(super) fn paragraph(message: Message) -> Block {
    Block::Paragraph(message.into())
}

pub(super) fn list(items: Vec<Text>) -> Option<Block> {
    (!items.is_empty()).then_some(Block::List(List { ordered: false, items }))
}

pub(super) fn table(caption: Message, columns: Vec<Column>, rows: Vec<Row>) -> Option<Block> {
    (!rows.is_empty()).then_some(Block::Table(Table { caption: Some(caption.into()), columns, rows }))
}

impl Law<'_> {
    /// Returns the whole answer as a document of its own, in the units of `writer`.
    #[must_use]
    pub fn document(&self, visit: &Visit, writer: &Writer, explain: bool) -> Document {
        let mark = if visit.is_demo() { Mark::Demo } else { Mark::Real };
        let mut document = Document::new(Message::new("law-title"), "en", mark);
        document.subtitle = Some(subtitle(visit));
        document.details.push(Text::verbatim(self.assessment.date.to_string()));
        let mut now = Now::new(self.answer());
        now.why = self.why().map(Text::from);
        document.now = Some(now);
        document.sections = self.sections(visit, writer);
        let sources = self.sources();
        if explain && !sources.is_empty() {
            document.sections.push(Section::new(Message::new("law-section-sources"), sources));
        }
        document.methods = vec![
            paragraph(Message::new("law-how-read")),
            paragraph(Message::new("law-no-advice")),
            paragraph(Message::new("visit-versions").with("program", env!("CARGO_PKG_VERSION"))),
        ];
        document
    }

    /// Returns the sections: may I add, what is due, what must be written, leak rates, the account, a notice.
    #[must_use]
    pub fn sections(&self, visit: &Visit, writer: &Writer) -> Vec<Section> {
        let sections = [
            (Message::new("law-section-charging"), self.charging_blocks()),
            (Message::new("law-section-due"), self.due_blocks(writer)),
            (Message::new("law-section-written"), self.written_blocks(visit)),
            (Message::new("law-section-rates"), self.rate_blocks()),
            (Message::new("law-section-account"), self.account_blocks(writer)),
            (Message::new("law-section-notice"), self.notice_blocks(visit)),
            (Message::new("law-section-standing"), self.standing_blocks()),
        ];
        let filled = sections.into_iter().filter(|(_, blocks)| !blocks.is_empty());
        filled.map(|(heading, blocks)| Section::new(heading, blocks)).collect()
    }

    /// Returns the answer on adding with what it rests on.
    #[must_use]
    pub fn charging_blocks(&self) -> Vec<Block> {
        let charging = &self.assessment.charging;
        let mut finding = Finding::new(self.mark(), Message::new("law-may-add"));
        finding.word = Some(match charging.answer {
            rules::Answer::Yes => Message::new("law-word-yes").into(),
            rules::Answer::YesWithDuties => Message::new("law-word-yes-with-duties").into(),
            rules::Answer::NoUntil => Message::new("law-word-no-until").into(),
            rules::Answer::EmergencyOnly => Message::new("law-word-emergency").into(),
            rules::Answer::Unknown => Message::new("law-word-unknown").into(),
        });
        finding.advice = Some(self.answer().into());
        let mut out = vec![Block::Findings(vec![finding])];
        out.push(paragraph(self.governed_by()));
        out.extend(self.read.place_wants().map(paragraph));
        let mut rests: Vec<Text> = Vec::new();
        for id in &charging.because {
            if let Some(duty) = self.book.duty(id) {
                let status = duty.version_on(self.assessment.date).map(|version| version.status);
                let mut line = Message::new("law-rests-on")
                    .with("instrument", &duty.instrument)
                    .with("section", &duty.section)
                    .with("asks", &duty.asks);
                line = line.with("status", status.map_or(Message::new("law-status-read"), words::status));
                rests.push(line.into());
            }
        }
        out.extend(list(rests));
        let acting: Vec<Text> = charging
            .act_as_if
            .iter()
            .map(|ban| {
                Message::new("law-act-line")
                    .with("act", words::act_as_if(ban.wording))
                    .with("why", words::to_read(ban))
                    .into()
            })
            .collect();
        out.extend(list(acting));
        for id in &charging.emergency_exception {
            if let Some(duty) = self.book.duty(id) {
                out.push(paragraph(
                    Message::new("law-exception")
                        .with("instrument", &duty.instrument)
                        .with("section", &duty.section),
                ));
            }
        }
        if !charging.missing.is_empty() {
            out.push(paragraph(Message::new("law-would-decide")));
            let facts = charging.missing.iter().map(|fact| words::missing(*fact).into()).collect();
            out.extend(list(facts));
        }
        out.extend(self.gas_table());
        out
    }

    /// Which law was asked, and from what.
    fn governed_by(&self) -> Message {
        let laws = &self.assessment.jurisdictions;
        let names = laws.iter().map(|law| match words::jurisdiction(&law.id) {
            Text::Message(message) => message,
            Text::Verbatim(code) => Message::new("law-place-other").with("code", code),
        });
        match words::listed(names) {
            None => Message::new("law-governed-by-none"),
            Some(names) => {
                let owner = match self.read.facts.owner {
                    Some(owner) => words::owner(owner),
                    None => Message::new("law-owner-not-said"),
                };
                if laws.iter().any(|law| law.id.starts_with("ca-")) {
                    Message::new("law-governed-by-owner").with("laws", names).with("owner", owner)
                } else {
                    Message::new("law-governed-by").with("laws", names)
                }
            }
        }
    }

    fn gas_table(&self) -> Option<Block> {
        let gases = &self.assessment.charging.gas;
        // Where nothing at all was found against any gas there is no table to show.
        if gases.iter().all(|gas| gas.verdict == GasVerdict::NoBanFound && gas.because.is_empty()) {
            return None;
        }
        let rows = gases.iter().map(|gas| {
            let sections: Vec<&str> = gas
                .because
                .iter()
                .filter_map(|id| self.book.duty(id))
                .map(|duty| duty.section.as_str())
                .collect();
            Row::new(vec![
                Cell::Text(words::gas(gas.from).into()),
                Cell::Text(words::gas_verdict(gas.verdict).into()),
                Cell::Text(Text::verbatim(sections.join("; "))),
            ])
        });
        table(
            Message::new("law-gas-caption"),
            vec![
                Column::words(Message::new("law-column-gas")),
                Column::words(Message::new("law-column-may")),
                Column::words(Message::new("law-column-section")),
            ],
            rows.collect(),
        )
    }

    /// Returns what is due, overdue and open as a choice, what was breached before, and what cannot be said.
    #[must_use]
    pub fn due_blocks(&self, writer: &Writer) -> Vec<Block> {
        let mut lines = rules::calendar([(String::new(), &self.assessment)], self.within);
        // What is to be done before adding stands above already.
        lines.retain(|line| line.due != Some(rules::Due::BeforeAdding));
        let mut out = Vec::new();
        let rows = lines.iter().map(|line| self.due_row(line)).collect();
        out.extend(table(
            Message::new("law-due-caption"),
            vec![
                Column::words(Message::new("law-column-by")),
                Column::words(Message::new("law-column-asks")),
                Column::words(Message::new("law-column-law")),
                Column::words(Message::new("law-column-known")),
                Column::words(Message::new("law-column-evidence")),
            ],
            rows,
        ));
        let ended: Vec<Row> = self
            .assessment
            .duties
            .iter()
            .filter_map(|verdict| match verdict.outcome {
                Outcome::Breached { since, until: Some(until) } => Some((verdict, since, until)),
                _ => None,
            })
            .map(|(verdict, since, until)| {
                let days = match since {
                    Some(since) if since != until => format!("{since} – {until}"),
                    _ => until.to_string(),
                };
                Row::new(vec![
                    Cell::Text(Text::verbatim(days)),
                    Cell::Text(Text::verbatim(&verdict.duty.asks)),
                    Cell::Text(self.law_cell(verdict)),
                    Cell::Text(self.shown_status(verdict).into()),
                    Cell::Text(self.evidence(verdict.evidence.iter().map(|event| event.id.as_str()))),
                ])
            })
            .collect();
        out.extend(table(
            Message::new("law-breached-caption"),
            vec![
                Column::words(Message::new("law-column-days")),
                Column::words(Message::new("law-column-asks")),
                Column::words(Message::new("law-column-law")),
                Column::words(Message::new("law-column-known")),
                Column::words(Message::new("law-column-evidence")),
            ],
            ended,
        ));
        if let Some(unknown) = self.wanting() {
            out.push(paragraph(Message::new("law-wanting")));
            out.push(unknown);
        }
        if out.is_empty() {
            out.push(paragraph(Message::new("law-nothing-due")));
        }
        out.extend(self.remarks(writer).into_iter().map(paragraph));
        out
    }

    fn due_row(&self, line: &CalendarLine<'_>) -> Row {
        let asks: Text = if line.choice {
            Message::new("law-choice").with("asks", &line.duty.asks).into()
        } else {
            Text::verbatim(&line.duty.asks)
        };
        let told = line.evidence.iter().any(|id| self.read.doubtful.contains(id));
        let known: Text = match (line.firm, told) {
            (true, true) => Message::new("law-status-told").into(),
            (true, false) => words::status(rules::Status::ReadInLaw).into(),
            (false, _) if line.status == rules::Status::ReadInLaw => Message::new("law-status-open").into(),
            (false, _) => words::status(line.status).into(),
        };
        Row::new(vec![
            Cell::Text(super::across::by(line)),
            Cell::Text(asks),
            Cell::Text(Text::verbatim(format!("{}, {}", line.duty.instrument, line.duty.section))),
            Cell::Text(known),
            Cell::Text(self.evidence(line.evidence.iter().map(String::as_str))),
        ])
    }

    fn law_cell(&self, verdict: &Verdict<'_>) -> Text {
        Text::verbatim(format!("{}, {}", verdict.duty.instrument, verdict.duty.section))
    }

    /// The names of events, at most three of them.
    fn evidence<'s>(&self, ids: impl Iterator<Item = &'s str>) -> Text {
        let named = ids.filter_map(|id| self.read.names.get(id)).take(3).map(|named| match &named.place {
            Some(place) => Message::new("law-event-at")
                .with("kind", labels::kind(named.kind))
                .with("day", named.on.to_string())
                .with("place", place),
            None => Message::new("law-event")
                .with("kind", labels::kind(named.kind))
                .with("day", named.on.to_string()),
        });
        words::listed(named).map_or_else(|| Text::verbatim(""), Text::from)
    }

    /// Which duties cannot be judged, by the fact that is wanting.
    fn wanting(&self) -> Option<Block> {
        let mut by: BTreeMap<Missing, Vec<&str>> = BTreeMap::new();
        for verdict in &self.assessment.duties {
            for fact in verdict.facts_missing() {
                let sections = by.entry(*fact).or_default();
                if !sections.contains(&verdict.duty.section.as_str()) {
                    sections.push(&verdict.duty.section);
                }
            }
        }
        let items = by.into_iter().map(|(fact, sections)| {
            let count = sections.len();
            let first = sections.into_iter().take(4).collect::<Vec<_>>().join("; ");
            Message::new("law-wanting-line")
                .with("fact", words::missing(fact))
                .with("count", count)
                .with("sections", first)
                .into()
        });
        list(items.collect())
    }

    /// What to know about how the record was read.
    fn remarks(&self, writer: &Writer) -> Vec<Message> {
        let mut out = Vec::new();
        if self.read.use_from_box {
            out.push(Message::new("law-remark-use"));
        }
        if !self.read.without_day.is_empty() {
            out.push(Message::new("law-remark-days").with("count", self.read.without_day.len()));
        }
        if self.read.put_back > ExactMass::ZERO {
            let mass = writer.weight(self.read.put_back.to_mass());
            out.push(Message::new("law-remark-put-back").with("mass", mass));
        }
        if let Some(facts) = words::listed(self.read.told.iter().map(|fact| words::missing(*fact))) {
            out.push(Message::new("law-remark-told").with("facts", facts));
        }
        for law in &self.assessment.not_read {
            out.push(Message::new("law-remark-not-read").with("law", words::jurisdiction(law)));
        }
        out
    }

    /// Returns the records that the law asks for, complete or with what is missing in this visit's record.
    #[must_use]
    pub fn written_blocks(&self, visit: &Visit) -> Vec<Block> {
        let written = super::written(visit, self.read, &self.assessment);
        let rows = self.assessment.records.iter().map(|record| {
            let lacking = written.lacking(record);
            let state: Text = if record.version.fields.is_empty() {
                Message::new("law-fields-not-read").into()
            } else {
                match words::listed(lacking.into_iter().map(words::field)) {
                    None => Message::new("law-fields-complete").into(),
                    Some(fields) => Message::new("law-fields-missing").with("fields", fields).into(),
                }
            };
            let kept: Text = match (record.version.record_years, &record.version.kept_by) {
                (Some(years), Some(by)) => {
                    Message::new("law-kept-by").with("years", years).with("by", by).into()
                }
                (Some(years), None) => Message::new("law-kept").with("years", years).into(),
                (None, Some(by)) => Text::verbatim(by),
                (None, None) => Message::new("law-kept-not-read").into(),
            };
            Row::new(vec![
                Cell::Text(Text::verbatim(&record.duty.asks)),
                Cell::Text(Text::verbatim(format!("{}, {}", record.duty.instrument, record.duty.section))),
                Cell::Text(kept),
                Cell::Text(state),
                Cell::Text(words::status(record.status).into()),
            ])
        });
        let columns = vec![
            Column::words(Message::new("law-column-record")),
            Column::words(Message::new("law-column-law")),
            Column::words(Message::new("law-column-kept")),
            Column::words(Message::new("law-column-state")),
            Column::words(Message::new("law-column-known")),
        ];
        table(Message::new("law-records-caption"), columns, rows.collect()).into_iter().collect()
    }

    /// Returns the duties that stand as long as they apply.
    #[must_use]
    pub fn standing_blocks(&self) -> Vec<Block> {
        let items = self.assessment.standing.iter().map(|standing| {
            Message::new("law-rests-on")
                .with("instrument", &standing.duty.instrument)
                .with("section", &standing.duty.section)
                .with("asks", &standing.duty.asks)
                .with("status", words::status(standing.status))
                .into()
        });
        list(items.collect()).into_iter().collect()
    }

    /// Where each entry that was asked stands, and when and how it was looked at.
    fn sources(&self) -> Vec<Block> {
        let mut ids: Vec<&str> = self.assessment.charging.because.clone();
        ids.extend(self.assessment.charging.act_as_if.iter().map(|ban| ban.id));
        let spoken = |verdict: &&Verdict<'_>| !matches!(verdict.outcome, Outcome::NotApplicable(_));
        ids.extend(self.assessment.duties.iter().filter(spoken).map(|verdict| verdict.duty.id.as_str()));
        ids.extend(self.assessment.records.iter().map(|record| record.duty.id.as_str()));
        ids.sort_unstable();
        ids.dedup();
        let items = ids.into_iter().filter_map(|id| {
            let duty = self.book.duty(id)?;
            let version = duty.version_on(self.assessment.date)?;
            let source = &version.source;
            Some(
                Message::new("law-source")
                    .with("id", id)
                    .with("title", &source.title)
                    .with("article", source.article.as_deref().unwrap_or("–"))
                    .with("href", source.href.as_deref().unwrap_or("–"))
                    .with("on", version.checked.on.to_string())
                    .with("by", &version.checked.by)
                    .into(),
            )
        });
        list(items.collect()).into_iter().collect()
    }
}

fn subtitle(visit: &Visit) -> Text {
    let system = &visit.system.value;
    let mut parts: Vec<String> = Vec::new();
    parts.extend(visit.site.value.name.clone());
    parts.extend(system.name.clone());
    parts.extend(visit.site.value.jurisdiction.clone());
    Text::verbatim(parts.join(", "))
}
