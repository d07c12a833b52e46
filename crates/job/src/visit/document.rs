//! The report of a visit: what was found, what was done, proof, refrigerant account, open points, cautions.

pub(crate) mod account;
pub(crate) mod done;
pub(crate) mod found;
mod now;
pub(crate) mod open;
pub(crate) mod proof;
pub(crate) mod words;

pub use words::reading as reading_name;

use super::Visit;
use super::account::{Account, account};
use super::charge::{ChargeResult, charge};
use super::doubtful::doubts;
use super::proofs::{HoldResult, RiseResult, holds, rises};
use super::readings::{ReadingResult, results};
use field::doubtful::Doubtful;
use record::Known;
use report::{Block, Document, List, Mark, Message, Section, Signature, Text};
use units::Writer;

/// A visit with everything that was computed from it.
pub struct Results<'a> {
    /// The visit.
    pub visit: &'a Visit,
    /// The readings.
    pub readings: Vec<ReadingResult<'a>>,
    /// What is doubtful in each set of readings.
    pub doubtful: Vec<Vec<Doubtful>>,
    /// The hold tests.
    pub holds: Vec<HoldResult<'a>>,
    /// The vacuum rises.
    pub rises: Vec<RiseResult<'a>>,
    /// The refrigerant account.
    pub account: Account,
    /// Charge and vessels.
    pub charge: ChargeResult,
}

impl<'a> Results<'a> {
    /// Returns everything that the visit shows.
    #[must_use]
    pub fn of(visit: &'a Visit) -> Self {
        Self::with_tests(visit, true, true)
    }

    /// Returns everything but the tests that are not asked for; those cost more than all the rest.
    pub(crate) fn with_tests(visit: &'a Visit, with_holds: bool, with_rises: bool) -> Self {
        let readings = results(visit);
        let doubtful = readings.iter().map(|result| doubts(visit, result)).collect();
        Self {
            visit,
            readings,
            doubtful,
            holds: if with_holds { holds(visit) } else { Vec::new() },
            rises: if with_rises { rises(visit) } else { Vec::new() },
            account: account(visit),
            charge: charge(visit),
        }
    }

    /// Returns the sentence that the report begins with.
    #[must_use]
    pub fn now(&self, writer: &Writer) -> report::Now {
        now::now(self, writer)
    }

    /// Returns the report, in the units of `writer`.
    #[must_use]
    pub fn document(&self, writer: &Writer) -> Document {
        let visit = self.visit;
        let mark = if visit.is_demo() { Mark::Demo } else { Mark::Real };
        let mut document = Document::new(Message::new("visit-title"), "en", mark);
        document.subtitle = Some(visit.headline());
        document.details = self.details();
        document.now = Some(now::now(self, writer));
        let sections = [
            (Message::new("visit-found"), {
                let mut blocks = found::blocks(self, writer);
                blocks.extend(super::speaks::speaks(self).blocks(writer));
                blocks
            }),
            (Message::new("visit-done"), done::blocks(self, writer)),
            (Message::new("visit-plans"), super::plans::blocks(visit, writer)),
            (Message::new("visit-proof"), proof::blocks(self, writer)),
            (Message::new("visit-account"), account::blocks(self, writer)),
            (Message::new("visit-open"), open::blocks(self, writer)),
            (Message::new("visit-cautions"), cautions(self)),
        ];
        document.sections.extend(
            sections
                .into_iter()
                .filter(|(_, blocks)| !blocks.is_empty())
                .map(|(name, blocks)| Section::new(name, blocks)),
        );
        document.sections.extend(crate::stage::of_the_report(self, writer));
        document.sections.extend(crate::follow_up::section(self, writer));
        document.sections.extend(crate::law::of_the_report(visit, writer));
        // Only where somebody searched: a report of a charge or a setting says nothing of leaks.
        let search = crate::search::Search::with(visit, &self.account);
        document.sections.extend(crate::search::section(visit, &search, writer));
        if visit.day().is_some() {
            document.sections.push(Section::new(
                Message::new("visit-signatures"),
                vec![Block::Signatures(self.signatures())],
            ));
        }
        document.methods = self.methods(writer);
        document
    }

    fn details(&self) -> Vec<Text> {
        let visit = self.visit;
        let mut lines = Vec::new();
        if let Some(day) = visit.day() {
            lines.push(Text::verbatim(words::date(day)));
        }
        if let Some(day) = visit.earlier.last().and_then(Visit::day) {
            lines.push(Message::new("visit-follows").with("date", words::date(day)).into());
        }
        lines.extend(visit.visit.value.by.as_ref().map(|by| Message::new("visit-by").with("who", by).into()));
        lines.extend(
            visit
                .visit
                .value
                .order
                .as_ref()
                .map(|order| Message::new("visit-order").with("order", order).into()),
        );
        lines
    }

    fn signatures(&self) -> Vec<Signature> {
        let by = self.visit.visit.value.by.clone();
        // Who signed for the choice last, by name, by hand or by telephone.
        let signed = self.visit.current.signed.iter().rev();
        let customer =
            signed.map(|one| &one.result).find(|result| result.of == crate::entry::sign::SIGNED_CHOICE);
        let customer = customer.map(|result| Text::verbatim(result.signed_by.as_str()));
        vec![
            Signature { role: Message::new("visit-sign-technician").into(), name: by.map(Text::verbatim) },
            Signature { role: Message::new("visit-sign-customer").into(), name: customer },
        ]
    }

    fn methods(&self, writer: &Writer) -> Vec<Block> {
        let mut items: Vec<Text> = vec![crate::ask::air_sentence(self.visit.air, writer).into()];
        if let Some(substance) = &self.visit.substance {
            for block in crate::ask::substance_rows(substance, writer) {
                if let Block::Paragraph(text) = block {
                    items.push(text);
                }
            }
            if let Some(known) = substance.known {
                items.extend(known.sources().equations.iter().map(|(name, source)| {
                    Message::new("visit-equation")
                        .with("name", *name)
                        .with("source", source.to_string())
                        .into()
                }));
            }
        }
        items.push(Message::new("visit-versions").with("program", env!("CARGO_PKG_VERSION")).into());
        vec![Block::List(List { ordered: false, items })]
    }
}

/// The cautions that this visit's state makes true.
fn cautions(results: &Results<'_>) -> Vec<Block> {
    let caution = |first: Message, rest: Message| {
        Block::Caution(report::Caution { first: first.into(), rest: Some(rest.into()) })
    };
    let mut out = Vec::new();
    if results.holds.iter().any(|hold| hold.recorded.gas == record::TestGas::Nitrogen) {
        out.push(caution(Message::new("caution-nitrogen-first"), Message::new("caution-nitrogen-rest")));
    }
    if !results.charge.cylinders.is_empty() {
        out.push(caution(Message::new("caution-cylinder-first"), Message::new("caution-cylinder-rest")));
    }
    let blend = results.visit.substance.as_ref().is_some_and(|substance| !substance.is_single());
    if blend && results.account.net_today.is_some() {
        out.push(caution(Message::new("caution-blend-first"), Message::new("caution-blend-rest")));
    }
    if is_flammable(results.visit) {
        out.push(caution(Message::new("caution-flammable-first"), Message::new("caution-flammable-rest")));
    }
    out
}

/// Returns whether the refrigerant is one of the hydrocarbons that burn.
pub fn is_flammable(visit: &Visit) -> bool {
    let name = visit.system.value.refrigerant.as_ref().and_then(Known::value);
    name.is_some_and(|name| matches!(name.as_str(), "R-290" | "R-600a" | "R-1270"))
}
