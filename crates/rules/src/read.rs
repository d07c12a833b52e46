//! Duty files: plain text to [`Duty`]. The text comes from the program itself or from a shell; nothing is opened here.

use crate::duty::{
    Applies, Checked, Duty, Effect, Field, Holds, Judge, Numbers, Origin, Source, Status, Use, Version,
};
use crate::{Date, ExactMass, Ratio};
use toml_edit::{DocumentMut, Item, TableLike, Value};

/// Why a text is no duty file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DutyFault {
    /// Not TOML; what the reader said.
    NotToml(String),
    /// A key that must be there is not.
    Missing(&'static str),
    /// A key nobody knows: a spelling mistake would silently widen a rule.
    UnknownKey(String),
    /// A value that is not what the key takes.
    BadValue {
        /// The key.
        key: String,
        /// What stood there.
        given: String,
    },
    /// No version at all.
    NoVersion,
    /// A number the judging function needs is not in the file.
    MissingNumber {
        /// The function.
        judge: Judge,
        /// The key it needs.
        key: &'static str,
    },
    /// An id that is already in the book.
    DuplicateId(String),
}

/// Returns the duty a file describes.
///
/// # Errors
/// [`DutyFault`] with the key that is missing, unknown or wrong.
pub fn read_duty(text: &str, origin: Origin) -> Result<Duty, DutyFault> {
    let document: DocumentMut =
        text.parse().map_err(|e: toml_edit::TomlError| DutyFault::NotToml(e.to_string()))?;
    let table = document.as_table();
    known(
        table,
        &["id", "jurisdiction", "instrument", "section", "asks", "note", "judged_by", "applies", "version"],
    )?;
    let applies = match table.get("applies").and_then(Item::as_table_like) {
        Some(t) => read_applies(t)?,
        None => Applies::default(),
    };
    let judged_by = named(table, "judged_by", Judge::named)?.ok_or(DutyFault::Missing("judged_by"))?;
    let mut versions = Vec::new();
    if let Some(list) = table.get("version").and_then(Item::as_array_of_tables) {
        for version in list {
            versions.push(read_version(version)?);
        }
    }
    if versions.is_empty() {
        return Err(DutyFault::NoVersion);
    }
    for version in &versions {
        needs(judged_by, version)?;
    }
    Ok(Duty {
        id: required(table, "id")?,
        jurisdiction: required(table, "jurisdiction")?,
        instrument: required(table, "instrument")?,
        section: required(table, "section")?,
        asks: required(table, "asks")?,
        note: text_of(table, "note")?,
        judged_by,
        applies,
        versions,
        origin,
    })
}

fn read_applies(t: &dyn TableLike) -> Result<Applies, DutyFault> {
    known(
        t,
        &[
            "holds",
            "uses",
            "not_uses",
            "contested_uses",
            "hermetic_from_tonnes",
            "hermetic_from_hfo",
            "residential_hermetic_from",
            "charge_at_least",
            "charge_over",
            "charge_below",
            "largest_circuit_over",
            "hfo_at_least",
            "hfo_below",
            "or_hfo_at_least",
            "tonnes_co2e_at_least",
            "tonnes_co2e_below",
            "gwp_at_least",
            "kilowatts_over",
            "kilowatts_at_least",
            "installed_from",
            "installed_until",
        ],
    )?;
    Ok(Applies {
        holds: named(t, "holds", Holds::named)?,
        uses: list(t, "uses", Use::named)?,
        not_uses: list(t, "not_uses", Use::named)?,
        contested_uses: list(t, "contested_uses", Use::named)?,
        hermetic_from_tonnes: ratio(t, "hermetic_from_tonnes")?,
        hermetic_from_hfo: mass(t, "hermetic_from_hfo")?,
        residential_hermetic_from: mass(t, "residential_hermetic_from")?,
        charge_at_least: mass(t, "charge_at_least")?,
        charge_over: mass(t, "charge_over")?,
        charge_below: mass(t, "charge_below")?,
        largest_circuit_over: mass(t, "largest_circuit_over")?,
        hfo_at_least: mass(t, "hfo_at_least")?,
        hfo_below: mass(t, "hfo_below")?,
        or_hfo_at_least: mass(t, "or_hfo_at_least")?,
        tonnes_co2e_at_least: ratio(t, "tonnes_co2e_at_least")?,
        tonnes_co2e_below: ratio(t, "tonnes_co2e_below")?,
        gwp_at_least: ratio(t, "gwp_at_least")?,
        kilowatts_over: ratio(t, "kilowatts_over")?,
        kilowatts_at_least: ratio(t, "kilowatts_at_least")?,
        installed_from: date(t, "installed_from")?,
        installed_until: date(t, "installed_until")?,
    })
}

fn read_version(t: &dyn TableLike) -> Result<Version, DutyFault> {
    known(
        t,
        &[
            "from",
            "until",
            "status",
            "starts",
            "record_years",
            "kept_by",
            "fields",
            "contractor_fields",
            "asks_for_detection",
            "owner_told_first",
            "effect",
            "source",
            "checked",
            "days",
            "days_with_shutdown",
            "days_after_delivery",
            "outer_days",
            "outer_days_with_shutdown",
            "working_days",
            "hours",
            "months",
            "outer_months",
            "years",
            "percent",
            "kilograms",
            "kilograms_below",
            "by",
            "treated_gas_until",
        ],
    )?;
    let source = t.get("source").and_then(Item::as_table_like).ok_or(DutyFault::Missing("source"))?;
    let checked = t.get("checked").and_then(Item::as_table_like).ok_or(DutyFault::Missing("checked"))?;
    Ok(Version {
        from: date(t, "from")?,
        until: date(t, "until")?,
        status: named(t, "status", Status::named)?.ok_or(DutyFault::Missing("status"))?,
        numbers: Numbers {
            days: count(t, "days")?,
            days_with_shutdown: count(t, "days_with_shutdown")?,
            days_after_delivery: count(t, "days_after_delivery")?,
            outer_days: count(t, "outer_days")?,
            outer_days_with_shutdown: count(t, "outer_days_with_shutdown")?,
            working_days: count(t, "working_days")?,
            hours: count(t, "hours")?,
            months: count(t, "months")?,
            outer_months: count(t, "outer_months")?,
            years: count(t, "years")?,
            percent: count(t, "percent")?,
            kilograms: count(t, "kilograms")?,
            kilograms_below: count(t, "kilograms_below")?,
            by: date(t, "by")?,
            treated_gas_until: date(t, "treated_gas_until")?,
        },
        starts: text_of(t, "starts")?,
        record_years: count(t, "record_years")?,
        kept_by: text_of(t, "kept_by")?,
        fields: list(t, "fields", Field::named)?,
        contractor_fields: list(t, "contractor_fields", Field::named)?,
        asks_for_detection: truth(t, "asks_for_detection")?,
        owner_told_first: truth(t, "owner_told_first")?,
        effect: named(t, "effect", Effect::named)?,
        source: read_source(source)?,
        checked: read_checked(checked)?,
    })
}

pub(crate) fn read_source(t: &dyn TableLike) -> Result<Source, DutyFault> {
    known(t, &["title", "article", "href", "read_in"])?;
    let source = Source {
        title: required(t, "title")?,
        article: text_of(t, "article")?,
        href: text_of(t, "href")?,
        read_in: text_of(t, "read_in")?,
    };
    if source.href.is_none() && source.read_in.is_none() {
        return Err(DutyFault::Missing("source.href or source.read_in"));
    }
    Ok(source)
}

pub(crate) fn read_checked(t: &dyn TableLike) -> Result<Checked, DutyFault> {
    known(t, &["on", "by"])?;
    Ok(Checked { on: date(t, "on")?.ok_or(DutyFault::Missing("checked.on"))?, by: required(t, "by")? })
}

/// The numbers without which a judging function would have to invent one.
fn needs(judge: Judge, version: &Version) -> Result<(), DutyFault> {
    let n = &version.numbers;
    let missing = |key| Err(DutyFault::MissingNumber { judge, key });
    match judge {
        Judge::RepairAfterExceedance
        | Judge::InitialVerification
        | Judge::FollowUpVerification
        | Judge::RepairExtension
        | Judge::RetrofitPlan
        | Judge::PlanRelief
        | Judge::EmergencyReport
        | Judge::LargeReleaseFullReport
            if n.days.is_none() =>
        {
            missing("days")
        }
        Judge::InspectionAfterExceedance
        | Judge::DetectionCheck
        | Judge::PlanFinished
        | Judge::PlanExtension
        | Judge::LeakTestEachYear
        | Judge::LeakTestEachPeriod
        | Judge::RecheckAfterRepair
        | Judge::LeakCheckInterval
            if n.months.is_none() =>
        {
            missing("months")
        }
        Judge::LeakRateThreshold | Judge::ChronicLeakReport | Judge::RechargeShareReport
            if n.percent.is_none() =>
        {
            missing("percent")
        }
        Judge::LeakRepairedWithin if n.days.is_none() && n.hours.is_none() && n.working_days.is_none() => {
            missing("days, hours or working_days")
        }
        Judge::LargeReleaseFirstReport if n.hours.is_none() => missing("hours"),
        Judge::LargeReleaseFirstReport | Judge::LargeReleaseFullReport | Judge::HalfYearReleaseReport
            if n.kilograms.is_none() =>
        {
            missing("kilograms")
        }
        Judge::DetectionFittedBy if n.days.is_none() && n.by.is_none() => missing("days or by"),
        Judge::Record if version.fields.is_empty() => missing("fields"),
        _ => Ok(()),
    }
}

fn known(t: &dyn TableLike, keys: &[&str]) -> Result<(), DutyFault> {
    match t.iter().find(|(key, _)| !keys.contains(key)) {
        Some((key, _)) => Err(DutyFault::UnknownKey(key.to_owned())),
        None => Ok(()),
    }
}

fn bad(key: &str, item: &Item) -> DutyFault {
    let given = match item {
        Item::Value(Value::String(text)) => text.value().clone(),
        Item::Value(Value::Integer(number)) => number.value().to_string(),
        Item::Value(Value::Float(number)) => number.value().to_string(),
        Item::Value(Value::Boolean(truth)) => truth.value().to_string(),
        Item::Value(Value::Datetime(day)) => day.value().to_string(),
        other => other.type_name().to_owned(),
    };
    DutyFault::BadValue { key: key.to_owned(), given }
}

fn bad_text(key: &str, given: &str) -> DutyFault {
    DutyFault::BadValue { key: key.to_owned(), given: given.to_owned() }
}

pub(crate) fn text_of(t: &dyn TableLike, key: &str) -> Result<Option<String>, DutyFault> {
    match t.get(key) {
        None => Ok(None),
        Some(item) => match item.as_str() {
            Some(text) if !text.trim().is_empty() => Ok(Some(text.to_owned())),
            _ => Err(bad(key, item)),
        },
    }
}

pub(crate) fn required(t: &dyn TableLike, key: &'static str) -> Result<String, DutyFault> {
    text_of(t, key)?.ok_or(DutyFault::Missing(key))
}

pub(crate) fn named<N>(
    t: &dyn TableLike,
    key: &str,
    of: fn(&str) -> Option<N>,
) -> Result<Option<N>, DutyFault> {
    match text_of(t, key)? {
        None => Ok(None),
        Some(name) => of(&name).map(Some).ok_or_else(|| bad_text(key, &name)),
    }
}

fn list<N>(t: &dyn TableLike, key: &str, of: fn(&str) -> Option<N>) -> Result<Vec<N>, DutyFault> {
    let Some(item) = t.get(key) else { return Ok(Vec::new()) };
    let array = item.as_array().ok_or_else(|| bad(key, item))?;
    array.iter().map(|value| value.as_str().and_then(of).ok_or_else(|| bad(key, item))).collect()
}

pub(crate) fn date(t: &dyn TableLike, key: &str) -> Result<Option<Date>, DutyFault> {
    let Some(item) = t.get(key) else { return Ok(None) };
    let date = item.as_datetime().and_then(|d| d.date).ok_or_else(|| bad(key, item))?;
    Date::new(i32::from(date.year), u32::from(date.month), u32::from(date.day))
        .map(Some)
        .map_err(|_| bad(key, item))
}

fn mass(t: &dyn TableLike, key: &str) -> Result<Option<ExactMass>, DutyFault> {
    match text_of(t, key)? {
        None => Ok(None),
        Some(text) => text.parse().map(Some).map_err(|_| bad_text(key, &text)),
    }
}

pub(crate) fn ratio(t: &dyn TableLike, key: &str) -> Result<Option<Ratio>, DutyFault> {
    let Some(item) = t.get(key) else { return Ok(None) };
    item.as_value().and_then(ratio_of).map(Some).ok_or_else(|| bad(key, item))
}

/// The decimal as it was written: the shortest decimal of the float is the one that was typed.
pub(crate) fn ratio_of(value: &Value) -> Option<Ratio> {
    match value {
        Value::Integer(whole) => Some(Ratio::whole(*whole.value())).filter(|_| *whole.value() >= 0),
        Value::Float(float) => Ratio::decimal(&float.value().to_string()),
        _ => None,
    }
}

fn truth(t: &dyn TableLike, key: &str) -> Result<bool, DutyFault> {
    match t.get(key) {
        None => Ok(false),
        Some(item) => item.as_bool().ok_or_else(|| bad(key, item)),
    }
}

fn count(t: &dyn TableLike, key: &str) -> Result<Option<u32>, DutyFault> {
    let Some(item) = t.get(key) else { return Ok(None) };
    item.as_integer()
        .and_then(|n| u32::try_from(n).ok())
        .filter(|n| (1..=100_000).contains(n))
        .map(Some)
        .ok_or_else(|| bad(key, item))
}
