//! What went in, came out and got away: the yearly account, and the figures of releases.

use crate::book::basis_of;
use crate::case::Case;
use crate::facts::{Event, Facts, GasFrom, What};
use crate::gas::tonnes_co2e;
use crate::judge::half_year_report_by;
use crate::{Book, Date, ExactMass, Ratio};

/// The refrigerant account of one system for a calendar year.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct YearAccount {
    /// The year.
    pub year: i32,
    /// Added, by origin of the gas; nothing as origin where it is not on record.
    pub added: Vec<(Option<GasFrom>, ExactMass)>,
    /// Taken out.
    pub removed: ExactMass,
    /// Known to have got away.
    pub released: ExactMass,
    /// Entries without a mass: the sums are floors by so many.
    pub unweighed: u32,
}

/// Returns the account of each calendar year with an entry, up to `date`, oldest first.
#[must_use]
pub fn year_accounts(book: &Book, facts: &Facts, date: Date) -> Vec<YearAccount> {
    let case = Case::new(book, facts, date, false);
    let mut accounts: Vec<YearAccount> = Vec::new();
    for event in &case.events {
        let mass = match &event.what {
            What::Added { mass, .. } | What::Removed { mass, .. } | What::Released { mass } => *mass,
            _ => continue,
        };
        let year = event.on.year();
        if accounts.last().is_none_or(|last| last.year != year) {
            accounts.push(YearAccount { year, ..YearAccount::default() });
        }
        let Some(account) = accounts.last_mut() else { continue };
        let Some(mass) = mass else {
            account.unweighed += 1;
            continue;
        };
        match &event.what {
            What::Added { gas, .. } => match account.added.iter_mut().find(|(from, _)| from == gas) {
                Some((_, sum)) => *sum = *sum + mass,
                None => account.added.push((*gas, mass)),
            },
            What::Removed { .. } => account.removed = account.removed + mass,
            _ => account.released = account.released + mass,
        }
    }
    accounts
}

/// A release with what the Canadian federal report asks of it.
#[derive(Clone, Debug, PartialEq)]
pub struct ReleaseFigure<'a> {
    /// The event.
    pub event: &'a Event,
    /// Its mass, where known.
    pub mass: Option<ExactMass>,
    /// Tonnes of CO2 equivalent by the list of the jurisdiction asked for.
    pub tonnes_co2e: Option<Ratio>,
    /// Which report it belongs to.
    pub class: Option<ReleaseClass>,
}

/// The report a release belongs to, SOR/2022-110 sections 24 and 25.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReleaseClass {
    /// 10 kg or less: none.
    NoReport,
    /// More than 10 kg and less than 100 kg: by this day, with the other releases of the half-year.
    HalfYear(Date),
    /// 100 kg or more: a first report within 24 hours, the full report by this day.
    Large(Date),
}

/// Returns the class of a release by its mass and the day it was detected.
///
/// Source: SOR/2022-110 sections 24 and 25.
#[must_use]
pub fn release_class(mass: ExactMass, detected: Date) -> ReleaseClass {
    if mass >= ExactMass::kilograms(100) {
        ReleaseClass::Large(detected.days_after(30))
    } else if mass > ExactMass::kilograms(10) {
        ReleaseClass::HalfYear(half_year_report_by(detected))
    } else {
        ReleaseClass::NoReport
    }
}

/// Returns the releases on record up to `date`, in tonnes by the list of `jurisdiction`.
#[must_use]
pub fn release_figures<'a>(
    book: &'a Book,
    facts: &'a Facts,
    date: Date,
    jurisdiction: &str,
) -> Vec<ReleaseFigure<'a>> {
    let case = Case::new(book, facts, date, false);
    let gwp = case.gas.and_then(|gas| book.gases().gwp(gas, basis_of(jurisdiction)));
    let figures = case.events.iter().filter_map(|event| match event.what {
        What::Released { mass } => Some(ReleaseFigure {
            event,
            mass,
            tonnes_co2e: mass.zip(gwp.as_ref()).and_then(|(mass, gwp)| tonnes_co2e(mass, gwp.value)),
            class: mass.map(|mass| release_class(mass, event.on)),
        }),
        _ => None,
    });
    figures.collect()
}
