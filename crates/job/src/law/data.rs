//! The law's answers as data, for programs.

use super::Law;
use crate::visit::Visit;
use rules::{CalendarLine, release_figures, year_accounts};
use serde_json::{Value, json};

/// Returns the answer as JSON: `charging`, `leak_rates`, `duties`, and what else was asked.
///
/// A duty is `confirmed` where the law's own text was read and no event it rests on was only told.
#[must_use]
pub fn data(law: &Law<'_>, visit: &Visit) -> Value {
    let mut value = serde_json::to_value(&law.assessment).unwrap_or(Value::Null);
    if let Some(duties) = value.get_mut("duties").and_then(Value::as_array_mut) {
        for (duty, verdict) in duties.iter_mut().zip(&law.assessment.duties) {
            duty["confirmed"] = law.is_firm(verdict).into();
        }
    }
    let written = super::written(visit, law.read, &law.assessment);
    let facts = &law.read.facts;
    let booked = rules::Facts { events: law.read.booked.clone(), ..facts.clone() };
    let date = law.assessment.date;
    let first = law.assessment.jurisdictions.first().map(|law| law.id.as_str()).unwrap_or_default();
    let more = json!({
        "jurisdictions": law.assessment.jurisdictions.iter().map(|law| &law.id).collect::<Vec<_>>(),
        "place": facts.place.as_ref().map(ToString::to_string),
        "told": law.read.told,
        "without_day": law.read.without_day,
        "choices": law.assessment.choices.iter().map(|choice| json!({
            "id": choice.duty.id, "section": choice.duty.section, "by": choice.by, "status": choice.status,
            "evidence": [choice.event.id],
        })).collect::<Vec<_>>(),
        "records": law.assessment.records.iter().map(|record| json!({
            "id": record.duty.id, "section": record.duty.section, "status": record.status,
            "years": record.version.record_years, "kept_by": record.version.kept_by,
            "fields": record.version.fields, "fields_missing": written.lacking(record),
        })).collect::<Vec<_>>(),
        "standing": law.assessment.standing.iter().map(|standing| json!({
            "id": standing.duty.id, "section": standing.duty.section, "status": standing.status,
            "facts_missing": standing.missing,
        })).collect::<Vec<_>>(),
        "charges": law.assessment.charges.iter().map(|charge| json!({
            "jurisdiction": charge.jurisdiction, "gwp": charge.gwp.value, "gwp_list": charge.gwp.basis.name(),
            "gwp_missing": charge.gwp.missing, "tonnes_co2e": charge.tonnes_co2e,
            "hfo_kg": charge.hfo.map(|mass| mass.in_kilograms()),
        })).collect::<Vec<_>>(),
        "years": year_accounts(law.book, &booked, date).iter().map(|year| json!({
            "year": year.year,
            "added": year.added.iter().map(|(from, mass)| json!({ "gas": from, "kg": mass.in_kilograms() }))
                .collect::<Vec<_>>(),
            "removed_kg": year.removed.in_kilograms(),
            "released_kg": year.released.in_kilograms(),
            "unweighed": year.unweighed,
        })).collect::<Vec<_>>(),
        "releases": release_figures(law.book, &booked, date, first).iter().map(|release| json!({
            "evidence": release.event.id, "on": release.event.on,
            "kg": release.mass.map(|mass| mass.in_kilograms()), "tonnes_co2e": release.tonnes_co2e,
        })).collect::<Vec<_>>(),
    });
    if let (Value::Object(all), Value::Object(more)) = (&mut value, more) {
        all.extend(more);
    }
    value
}

/// Returns what is due across systems as JSON.
#[must_use]
pub fn calendar_data(lines: &[CalendarLine<'_>]) -> Value {
    lines
        .iter()
        .map(|line| {
            json!({
                "system": line.system,
                "id": line.duty.id,
                "section": line.duty.section,
                "asks": line.duty.asks,
                "day": line.day,
                "due": line.due.map(|due| due.to_string()),
                "overdue": line.overdue,
                "choice": line.choice,
                "status": line.status,
                "confirmed": line.firm,
                "evidence": line.evidence,
            })
        })
        .collect()
}
