//! One question: the facts in canonical order, with what several duties need of them.

use crate::book::{Book, basis_of};
use crate::duty::{Applies, Duty, Holds, Judge, Use, Version, names};
use crate::facts::{Event, Facts, Missing, Reason, What};
use crate::gas::{Class, Refrigerant, tonnes_co2e};
use crate::leak_rate::{annualizing, is_seasonal_variance, rolling};
use crate::{Date, ExactMass, Ratio, TimeOfDay};

names! {
    /// Why a duty does not apply.
    Why {
        /// Not in force on the day.
        NotInForce = "not-in-force",
        /// Another refrigerant.
        Refrigerant = "refrigerant",
        /// Another use.
        Use = "use",
        /// Charge outside the range.
        Charge = "charge",
        /// Labelled hermetically sealed and small enough.
        Hermetic = "hermetic",
        /// Rated power outside the range.
        Power = "power",
        /// Installed outside the range of dates.
        Installed = "installed",
        /// No leakage detection system to check.
        NoDetectionSystem = "no-detection-system",
        /// Nothing has happened that would start it.
        NothingStarted = "nothing-started",
        /// Mothballed: its clock stands still.
        Mothballed = "mothballed",
        /// It has run its course.
        Finished = "finished",
    }
}

/// Whether a duty applies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Scope {
    Applies,
    No(Why),
    Unknown(Vec<Missing>),
}

/// A leak from its finding to its end.
#[derive(Clone, Debug)]
pub(crate) struct Leak<'a> {
    pub key: Option<&'a str>,
    pub found: usize,
    pub located: bool,
    pub told: Option<usize>,
    pub repaired: Option<usize>,
    pub emptied: Option<usize>,
}

/// An addition with its leak rates.
#[derive(Clone, Debug)]
pub(crate) struct Addition<'a> {
    pub event: usize,
    pub on: Date,
    pub mass: Option<ExactMass>,
    pub leak: Option<&'a str>,
    pub counted: bool,
}

/// A leak rate as far as it is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Rate {
    /// Known.
    Is(Ratio),
    /// At least this; what would settle it.
    AtLeast(Ratio, Missing),
    /// Nothing can be said.
    Unknown(Missing),
}

/// Both rates after one addition.
#[derive(Clone, Debug)]
pub(crate) struct Rates {
    pub addition: usize,
    pub on: Date,
    pub annualizing: Rate,
    pub rolling: Rate,
    pub on_the_edge: bool,
}

/// Yes, no, or unknown for want of facts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Tri {
    Yes,
    No,
    Unknown(Vec<Missing>),
}

pub(crate) struct Case<'a> {
    pub book: &'a Book,
    pub facts: &'a Facts,
    pub date: Date,
    /// Up to the date, in order of day, time, kind and id: the order of entry does not matter.
    pub events: Vec<&'a Event>,
    pub gas: Option<&'a Refrigerant>,
    pub charge: Option<ExactMass>,
    pub leaks: Vec<Leak<'a>>,
    pub additions: Vec<Addition<'a>>,
    pub rates: Vec<Rates>,
}

impl<'a> Case<'a> {
    pub fn new(book: &'a Book, facts: &'a Facts, date: Date, every_rate: bool) -> Self {
        let mut events: Vec<&Event> = facts.events.iter().filter(|event| event.on <= date).collect();
        events.sort_by(|a, b| (a.on, a.at, &a.what, &a.id).cmp(&(b.on, b.at, &b.what, &b.id)));
        let mut case = Self {
            book,
            facts,
            date,
            gas: facts.refrigerant.as_deref().and_then(|name| book.gases().find(name)),
            charge: facts.full_charge.map(|charge| charge.mass()),
            leaks: leaks(&events),
            additions: Vec::new(),
            rates: Vec::new(),
            events,
        };
        case.additions = case.find_additions();
        let counted: Vec<usize> = (0..case.additions.len()).filter(|&i| case.additions[i].counted).collect();
        // Where no law of the place has a threshold, the latest figure is enough.
        let skipped = if every_rate { 0 } else { counted.len().saturating_sub(1) };
        case.rates = counted[skipped..].iter().map(|&i| case.rates_of(i)).collect();
        case
    }

    /// The day and the time of day of an event.
    pub fn when(&self, event: usize) -> (Date, Option<TimeOfDay>) {
        (self.events[event].on, self.events[event].at)
    }

    pub fn on(&self, event: usize) -> Date {
        self.events[event].on
    }

    /// Places of the events that `is` holds for.
    pub fn all(&self, is: impl Fn(&What) -> bool) -> impl DoubleEndedIterator<Item = usize> {
        self.events.iter().enumerate().filter(move |(_, event)| is(&event.what)).map(|(i, _)| i)
    }

    /// The first event on or after a day that `is` holds for.
    pub fn first_from(&self, day: Date, is: impl Fn(&What) -> bool) -> Option<usize> {
        let start = self.events.partition_point(|event| event.on < day);
        (start..self.events.len()).find(|&i| is(&self.events[i].what))
    }

    pub fn reported(&self, duty: &Duty, from: Date) -> Option<usize> {
        self.first_from(from, |what| matches!(what, What::Reported { duty: id } if *id == duty.id))
    }

    /// Leaks found up to now and neither repaired nor emptied.
    pub fn open_leaks(&self) -> impl Iterator<Item = &Leak<'a>> {
        self.leaks.iter().filter(|leak| leak.repaired.is_none())
    }

    fn find_additions(&self) -> Vec<Addition<'a>> {
        let mut list = Vec::new();
        let mut out_for_season: Option<(Date, ExactMass)> = None;
        for (i, event) in self.events.iter().enumerate() {
            match &event.what {
                What::Removed { mass: Some(mass), seasonal: true } => {
                    out_for_season = Some((event.on, *mass))
                }
                What::Added { mass, reason, leak, .. } => {
                    let season = *reason == Some(Reason::Seasonal)
                        && match (out_for_season, mass) {
                            (Some((out, removed)), Some(added)) => {
                                is_seasonal_variance(removed, out, *added, event.on)
                            }
                            _ => false,
                        };
                    let outside = matches!(reason, Some(Reason::NewInstallation | Reason::Retrofit));
                    list.push(Addition {
                        event: i,
                        on: event.on,
                        mass: *mass,
                        leak: leak.as_deref(),
                        counted: !season && !outside,
                    });
                }
                _ => {}
            }
        }
        list
    }

    fn rates_of(&self, i: usize) -> Rates {
        let this = &self.additions[i];
        let Some(full) = self.charge else {
            let unknown = Rate::Unknown(Missing::FullCharge);
            return Rates {
                addition: i,
                on: this.on,
                annualizing: unknown.clone(),
                rolling: unknown,
                on_the_edge: false,
            };
        };
        let before = &self.additions[..=i];
        // One leak counts together, from its last repair on; so do additions of one day.
        let fresh = this.leak.and_then(|key| {
            let repaired = |what: &What| matches!(what, What::Repaired { leak: Some(k), .. } if k == key);
            self.events[..this.event].iter().rposition(|event| repaired(&event.what))
        });
        let together = |a: &&Addition<'_>| {
            a.counted
                && (a.on == this.on
                    || (this.leak.is_some()
                        && a.leak == this.leak
                        && fresh.is_none_or(|repair| a.event > repair)))
        };
        let first = before.iter().filter(together).map(|a| a.on).min().unwrap_or(this.on);
        let sum: ExactMass = before.iter().filter(together).filter_map(|a| a.mass).sum();
        let unweighed = before.iter().filter(together).any(|a| a.mass.is_none());
        let previous = before.iter().filter(|a| a.on < first).map(|a| a.on).max();
        let since = previous.or_else(|| self.facts.installed.filter(|day| *day < first));
        let days = since.map_or(crate::leak_rate::YEAR, |day| first.days_since(day));
        let annual = match annualizing(sum, full, days) {
            Err(_) => Rate::Unknown(Missing::FullCharge),
            Ok(rate) if unweighed => Rate::AtLeast(rate, Missing::AddedMass),
            Ok(rate) if since.is_none() || self.facts.additions_without_day => {
                Rate::AtLeast(rate, Missing::PreviousAddition)
            }
            Ok(rate) => Rate::Is(rate),
        };
        let good = self.events.iter().rev().find(|event| {
            let all = What::FollowUpVerification { passed: true, all_leaks: Some(true) };
            event.on < this.on && event.what == all
        });
        let known: Vec<(Date, ExactMass)> =
            before.iter().filter(|a| a.counted).filter_map(|a| a.mass.map(|mass| (a.on, mass))).collect();
        let mut on_the_edge = false;
        let rolled = match rolling(&known, full, this.on, good.map(|event| event.on)) {
            Err(_) => Rate::Unknown(Missing::FullCharge),
            Ok(rate) => {
                on_the_edge = rate.on_the_edge;
                if before.iter().any(|a| a.counted && a.mass.is_none() && a.on >= rate.from) {
                    Rate::AtLeast(rate.percent, Missing::AddedMass)
                } else if self.facts.additions_without_day {
                    Rate::AtLeast(rate.percent, Missing::PreviousAddition)
                } else {
                    Rate::Is(rate.percent)
                }
            }
        };
        Rates { addition: i, on: this.on, annualizing: annual, rolling: rolled, on_the_edge }
    }

    /// Whether a duty applies, apart from what starts it.
    pub fn scope(&self, duty: &Duty) -> Scope {
        let a = &duty.applies;
        let mut missing = Vec::new();
        let mut want = |m: Missing| {
            if !missing.contains(&m) {
                missing.push(m);
            }
        };
        if let Some(holds) = a.holds {
            match self.holds(holds) {
                Tri::Yes => {}
                Tri::No => return Scope::No(Why::Refrigerant),
                Tri::Unknown(list) => list.into_iter().for_each(&mut want),
            }
        }
        if !(a.uses.is_empty() && a.not_uses.is_empty() && a.contested_uses.is_empty()) {
            match self.facts.use_of {
                None => want(Missing::Use),
                Some(u) if a.not_uses.contains(&u) || !(a.uses.is_empty() || a.uses.contains(&u)) => {
                    return Scope::No(Why::Use);
                }
                Some(u) if a.contested_uses.contains(&u) => want(Missing::EquipmentScope),
                Some(_) => {}
            }
        }
        for (test, why) in [
            (self.charges(a), Why::Charge),
            (self.amounts(a, &duty.jurisdiction), Why::Charge),
            (self.potential(a, &duty.jurisdiction), Why::Refrigerant),
            (self.hermetic(a, &duty.jurisdiction), Why::Hermetic),
            (self.power(a), Why::Power),
            (self.installed(a), Why::Installed),
        ] {
            match test {
                Tri::Yes => {}
                Tri::No => return Scope::No(why),
                Tri::Unknown(list) => list.into_iter().for_each(&mut want),
            }
        }
        if missing.is_empty() { Scope::Applies } else { Scope::Unknown(missing) }
    }

    fn holds(&self, holds: Holds) -> Tri {
        let Some(gas) = self.gas else { return Tri::Unknown(vec![Missing::Refrigerant]) };
        let (cfc, hcfc, hfc, hfo) =
            (gas.has(Class::Cfc), gas.has(Class::Hcfc), gas.has(Class::Hfc), gas.has(Class::Hfo));
        let yes = match holds {
            Holds::Ods => cfc || hcfc,
            Holds::Cfc => cfc,
            Holds::Hcfc => hcfc,
            Holds::Hfc | Holds::Annex1 => hfc,
            Holds::HcfcOrHfc => hcfc || hfc,
            Holds::CfcHcfcHfc => cfc || hcfc || hfc,
            // Whether an unsaturated HFC is an HFC of the schedule, the text as read does not settle.
            Holds::Halocarbon if hfo && !(cfc || hcfc || hfc) => {
                return Tri::Unknown(vec![Missing::RefrigerantScope]);
            }
            Holds::Halocarbon => cfc || hcfc || hfc,
            // Which substitutes are exempt depends on the use: carbon dioxide in any, others in some.
            Holds::OdsOrSubstitute if gas.is_only(&[Class::Hydrocarbon, Class::Inorganic]) => {
                return if gas.name == "R-744" {
                    Tri::No
                } else {
                    Tri::Unknown(vec![Missing::EquipmentScope])
                };
            }
            Holds::OdsOrSubstitute => true,
            Holds::HfcOrGwpOver53 => {
                let gwp = self.book.gases().gwp(gas, crate::gas::Basis::Eu);
                !gas.is_only(&[Class::Cfc, Class::Hcfc])
                    && (hfc || gwp.is_some_and(|g| g.value > Ratio::whole(53)))
            }
            Holds::Annex2 => hfo,
            Holds::Annex1Or2 => hfc || hfo,
            Holds::Fluorinated => cfc || hcfc || hfc || hfo,
            Holds::Hydrocarbon => gas.is_only(&[Class::Hydrocarbon]),
        };
        if yes { Tri::Yes } else { Tri::No }
    }

    fn charges(&self, a: &Applies) -> Tri {
        if let Some(limit) = a.largest_circuit_over {
            return match self.facts.largest_circuit.or(self.charge) {
                None => Tri::Unknown(vec![Missing::FullCharge]),
                Some(mass) if mass > limit => Tri::Yes,
                Some(_) => Tri::No,
            };
        }
        if a.charge_at_least.is_none() && a.charge_over.is_none() && a.charge_below.is_none() {
            return Tri::Yes;
        }
        let Some(mass) = self.charge else { return Tri::Unknown(vec![Missing::FullCharge]) };
        let inside = a.charge_at_least.is_none_or(|limit| mass >= limit)
            && a.charge_over.is_none_or(|limit| mass > limit)
            && a.charge_below.is_none_or(|limit| mass < limit);
        if inside { Tri::Yes } else { Tri::No }
    }

    /// Mass of the unsaturated part of the charge.
    pub fn hfo_mass(&self) -> Option<ExactMass> {
        let share = self.gas?.percent_of(Class::Hfo).times(Ratio::new(1, 100)?)?;
        self.charge?.times(share)
    }

    /// Tonnes of CO2 equivalent, from and up to: apart where the list has no figure for a part. The upper end counts a
    /// hydrocarbon without figure as 10, more than any list gives (from memory); without upper end it is open.
    pub fn tonnes(&self, jurisdiction: &str) -> Option<(Ratio, Option<Ratio>)> {
        let gas = self.gas?;
        let charge = self.charge?;
        let (low, high) = self.gwp_range(gas, jurisdiction)?;
        Some((tonnes_co2e(charge, low)?, high.and_then(|high| tonnes_co2e(charge, high))))
    }

    fn gwp_range(&self, gas: &Refrigerant, jurisdiction: &str) -> Option<(Ratio, Option<Ratio>)> {
        let gwp = self.book.gases().gwp(gas, basis_of(jurisdiction))?;
        let mut high = Some(gwp.value);
        for name in &gwp.missing {
            let part = gas.composition.iter().find(|part| part.name == *name)?;
            high = match part.class {
                Class::Hydrocarbon => Ratio::new(1, 10).and_then(|ten| high?.plus(part.percent.times(ten)?)),
                _ => None,
            };
        }
        Some((gwp.value, high))
    }

    fn amounts(&self, a: &Applies, jurisdiction: &str) -> Tri {
        let by_tonnes = a.tonnes_co2e_at_least.is_some() || a.tonnes_co2e_below.is_some();
        let by_hfo = a.hfo_at_least.is_some() || a.hfo_below.is_some();
        if !by_tonnes && !by_hfo {
            return Tri::Yes;
        }
        if self.gas.is_none() || self.charge.is_none() {
            let mut list = Vec::new();
            if self.gas.is_none() {
                list.push(Missing::Refrigerant);
            }
            if self.charge.is_none() {
                list.push(Missing::FullCharge);
            }
            return Tri::Unknown(list);
        }
        let hfo = self.hfo_mass();
        if by_hfo {
            return match hfo {
                None => Tri::Unknown(vec![Missing::FullCharge]),
                Some(mass)
                    if a.hfo_at_least.is_none_or(|limit| mass >= limit)
                        && a.hfo_below.is_none_or(|limit| mass < limit) =>
                {
                    Tri::Yes
                }
                Some(_) => Tri::No,
            };
        }
        if a.or_hfo_at_least.is_some_and(|limit| hfo.is_some_and(|mass| mass >= limit)) {
            return Tri::Yes;
        }
        let Some((low, high)) = self.tonnes(jurisdiction) else { return Tri::Unknown(vec![Missing::Gwp]) };
        let inside = |t: Ratio| {
            a.tonnes_co2e_at_least.is_none_or(|limit| t >= limit)
                && a.tonnes_co2e_below.is_none_or(|limit| t < limit)
        };
        match high {
            Some(high) if inside(low) == inside(high) => {
                if inside(low) {
                    Tri::Yes
                } else {
                    Tri::No
                }
            }
            None if inside(low) && a.tonnes_co2e_below.is_none() => Tri::Yes,
            _ => Tri::Unknown(vec![Missing::Gwp]),
        }
    }

    fn potential(&self, a: &Applies, jurisdiction: &str) -> Tri {
        let Some(limit) = a.gwp_at_least else { return Tri::Yes };
        let Some(gas) = self.gas else { return Tri::Unknown(vec![Missing::Refrigerant]) };
        match self.gwp_range(gas, jurisdiction) {
            Some((low, _)) if low >= limit => Tri::Yes,
            Some((_, Some(high))) if high < limit => Tri::No,
            _ => Tri::Unknown(vec![Missing::Gwp]),
        }
    }

    fn hermetic(&self, a: &Applies, jurisdiction: &str) -> Tri {
        let tonnes = a.hermetic_from_tonnes.zip(self.tonnes(jurisdiction));
        let under_tonnes = tonnes.is_some_and(|(limit, (low, _))| low < limit);
        let under_hfo = a.hermetic_from_hfo.zip(self.hfo_mass()).is_some_and(|(limit, mass)| mass < limit);
        let under_home =
            a.residential_hermetic_from.zip(self.charge).is_some_and(|(limit, mass)| mass < limit)
                && self.facts.residential == Some(true);
        if !(under_tonnes || under_hfo || under_home) {
            return Tri::Yes;
        }
        match self.facts.labelled_hermetic {
            Some(true) => Tri::No,
            Some(false) => Tri::Yes,
            None => Tri::Unknown(vec![Missing::LabelledHermetic]),
        }
    }

    fn power(&self, a: &Applies) -> Tri {
        if a.kilowatts_over.is_none() && a.kilowatts_at_least.is_none() {
            return Tri::Yes;
        }
        match self.facts.rated_kilowatts {
            None => Tri::Unknown(vec![Missing::RatedPower]),
            Some(power)
                if a.kilowatts_over.is_none_or(|limit| power > limit)
                    && a.kilowatts_at_least.is_none_or(|limit| power >= limit) =>
            {
                Tri::Yes
            }
            Some(_) => Tri::No,
        }
    }

    fn installed(&self, a: &Applies) -> Tri {
        if a.installed_from.is_none() && a.installed_until.is_none() {
            return Tri::Yes;
        }
        match self.facts.installed {
            None => Tri::Unknown(vec![Missing::Installed]),
            Some(day)
                if a.installed_from.is_none_or(|from| day >= from)
                    && a.installed_until.is_none_or(|until| day <= until) =>
            {
                Tri::Yes
            }
            Some(_) => Tri::No,
        }
    }

    /// The threshold for this equipment in the instrument of `duty`: percent, and the entry that says so.
    pub fn threshold(&self, duty: &Duty) -> Option<(u32, &'a Duty)> {
        self.thresholds(duty).find(|(_, entry)| self.scope(entry) == Scope::Applies)
    }

    fn thresholds(&self, duty: &Duty) -> impl Iterator<Item = (u32, &'a Duty)> {
        let book = self.book;
        let date = self.date;
        let (jurisdiction, instrument) = (duty.jurisdiction.clone(), duty.instrument.clone());
        book.duties()
            .iter()
            .filter(move |d| {
                d.judged_by == Judge::LeakRateThreshold
                    && d.jurisdiction == jurisdiction
                    && d.instrument == instrument
            })
            .filter_map(move |d| {
                d.version_on(date).and_then(|v| v.numbers.percent).map(|percent| (percent, d))
            })
    }

    /// Whether the rate after an addition is over a percentage: strictly more.
    pub fn over(&self, rates: &Rates, percent: u32) -> Tri {
        use crate::facts::Method;
        let limit = Ratio::whole(i64::from(percent));
        let test = |rate: &Rate| match rate {
            Rate::Is(r) if *r > limit => Tri::Yes,
            Rate::Is(_) => Tri::No,
            Rate::AtLeast(r, _) if *r > limit => Tri::Yes,
            Rate::AtLeast(_, missing) | Rate::Unknown(missing) => Tri::Unknown(vec![*missing]),
        };
        match self.facts.leak_rate_method {
            Some(Method::Annualizing) => test(&rates.annualizing),
            Some(Method::Rolling) => test(&rates.rolling),
            None => match (test(&rates.annualizing), test(&rates.rolling)) {
                (a, b) if a == b => a,
                (Tri::Unknown(mut missing), other) | (other, Tri::Unknown(mut missing)) => {
                    missing.push(Missing::LeakRateMethod);
                    if let Tri::Unknown(more) = other {
                        missing.extend(more);
                    }
                    missing.dedup();
                    Tri::Unknown(missing)
                }
                _ => Tri::Unknown(vec![Missing::LeakRateMethod]),
            },
        }
    }

    /// Additions from a day on whose rate is over the threshold, and the facts that would tell of the others.
    pub fn exceedances(&self, duty: &Duty, version: &Version) -> (Vec<&Rates>, Vec<Missing>) {
        let Some((percent, _)) = self.threshold(duty) else {
            let missing = if self.facts.use_of.is_none() { vec![Missing::Use] } else { Vec::new() };
            return (Vec::new(), missing);
        };
        let mut over = Vec::new();
        let mut missing = Vec::new();
        for rates in self.rates.iter().filter(|rates| version.from.is_none_or(|from| rates.on >= from)) {
            match self.over(rates, percent) {
                Tri::Yes => over.push(rates),
                Tri::No => {}
                Tri::Unknown(list) => missing.extend(list),
            }
        }
        missing.sort_unstable();
        missing.dedup();
        (over, missing)
    }

    pub fn is_process(&self) -> bool {
        self.facts.use_of == Some(Use::IndustrialProcessRefrigeration)
    }
}

/// Leaks in the order of their finding. A repair without name ends the leak without name, or the only one there is.
fn leaks<'a>(events: &[&'a Event]) -> Vec<Leak<'a>> {
    let mut leaks: Vec<Leak<'a>> = Vec::new();
    for (i, event) in events.iter().enumerate() {
        match &event.what {
            What::LeakChecked { found: Some(true), leak, located } | What::LeakFound { leak, located } => {
                let open = leaks.iter_mut().find(|l| l.repaired.is_none() && l.key == leak.as_deref());
                match open {
                    Some(known) => known.located |= *located == Some(true),
                    None => leaks.push(Leak {
                        key: leak.as_deref(),
                        found: i,
                        located: *located == Some(true),
                        told: None,
                        repaired: None,
                        emptied: None,
                    }),
                }
            }
            What::OwnerTold => {
                for leak in leaks.iter_mut().filter(|l| l.told.is_none()) {
                    leak.told = Some(i);
                }
            }
            What::Repaired { leak, .. } => {
                for at in meant(&leaks, leak.as_deref(), |l| l.repaired.is_none()) {
                    leaks[at].repaired = Some(i);
                    leaks[at].located = true;
                }
            }
            What::Emptied { leak: None } => {
                for leak in leaks.iter_mut().filter(|l| l.emptied.is_none() && l.repaired.is_none()) {
                    leak.emptied = Some(i);
                }
            }
            What::Emptied { leak } => {
                for at in meant(&leaks, leak.as_deref(), |l| l.emptied.is_none() && l.repaired.is_none()) {
                    leaks[at].emptied = Some(i);
                }
            }
            _ => {}
        }
    }
    leaks
}

fn meant(leaks: &[Leak<'_>], key: Option<&str>, open: impl Fn(&Leak<'_>) -> bool) -> Vec<usize> {
    let open: Vec<usize> = (0..leaks.len()).filter(|&at| open(&leaks[at])).collect();
    let same: Vec<usize> = open.iter().copied().filter(|&at| leaks[at].key == key).collect();
    if !same.is_empty() {
        same
    } else if open.len() == 1 && (key.is_none() || leaks[open[0]].key.is_none()) {
        open
    } else {
        Vec::new()
    }
}
