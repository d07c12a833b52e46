//! The search as data.

use super::{Search, names};
use diagnosis::search::book::Shows;
use diagnosis::search::found::Explained;
use diagnosis::search::next::Instead;
use report::Message;
use serde_json::{Value, json};

fn rounded(value: f64) -> f64 {
    // Ten digits: enough for anybody, and the same on every platform.
    let scale = 1e10;
    ((value * scale + if value < 0.0 { -0.5 } else { 0.5 }) as i64) as f64 / scale
}

/// Returns the answer to "where next".
#[must_use]
pub fn next_json(search: &Search, say: &dyn Fn(&Message) -> String) -> Value {
    let name = |at: usize| names::place(&search.places[at]).said(say);
    let hypotheses: Vec<Value> = search
        .hypotheses()
        .iter()
        .map(|(name, probability)| json!({ "name": name.said(say), "probability": rounded(*probability) }))
        .collect();
    let places: Vec<Value> = (0..search.places.len())
        .map(|at| {
            json!({
                "id": search.places[at].key,
                "name": name(at),
                "probability": rounded(search.now.places[at]),
                "looked": rounded(search.now.looked[at]),
                "ruled_out": search.now.ruled_out[at],
            })
        })
        .collect();
    let next = search.advice.next.as_ref().filter(|_| search.looks_on()).map(|act| {
        let mut conditions = vec![say(&names::state(act.state))];
        if act.opened && search.places[act.place].access.opens() {
            conditions.push(say(&Message::new("seek-opened")));
        }
        json!({
            "place": search.places[act.place].key,
            "method": act.method.key(),
            "conditions": conditions,
            "chance_now": rounded(search.advice.chance_now),
            "minutes": rounded(search.advice.minutes),
            "gain_per_minute": rounded(search.advice.gain_per_minute),
            "why": search.now().1.map(|why| say(&why)).unwrap_or_default(),
        })
    });
    let plan: Vec<Value> = search
        .advice
        .plan_chance
        .iter()
        .map(|(minutes, chance)| json!({ "minutes": minutes, "chance": rounded(*chance) }))
        .collect();
    let instead = search.advice.instead.filter(|_| search.found.is_none()).map(|instead| match instead {
        Instead::NoLeak => "look at the charge and the books",
        Instead::Isolate { .. } => "shut in a section",
        Instead::Wait(Shows::Cold) => "wait for the cold",
        Instead::Wait(Shows::Hot) => "wait for the heat",
        Instead::Wait(_) => "look in a defrost",
        Instead::PressureTest => "test with pressure",
    });
    let mut out = json!({ "hypotheses": hypotheses, "places": places, "next": next, "plan_chance": plan });
    if let (Some(instead), Some(map)) = (instead, out.as_object_mut()) {
        map.insert("instead".to_owned(), json!(instead));
    }
    out
}

/// Returns the answer to "how does it stand": the same with the loss, the detector, and what was found.
#[must_use]
pub fn status_json(search: &Search, say: &dyn Fn(&Message) -> String) -> Value {
    let mut out = next_json(search, say);
    if let Some(map) = out.as_object_mut() {
        if search.evidence.intervals > 0 {
            map.insert("loss_kg_per_year".into(), json!(rounded(search.rate.mean)));
            map.insert("loss_u_kg_per_year".into(), json!(rounded(search.rate.u)));
            map.insert(
                "loss_interval_kg_per_year".into(),
                json!([rounded(search.rate.interval.0), rounded(search.rate.interval.1)]),
            );
        }
        if let Some(ratio) = search.detector_ratio() {
            map.insert("detector_ratio".into(), json!(rounded(ratio)));
        }
        map.insert("learnt_from_finds".into(), json!(search.learnt));
        if !search.edited.is_empty() {
            let edited: Vec<Value> = search
                .edited
                .iter()
                .map(|edited| json!({ "place": edited.words, "change": edited.change.word() }))
                .collect();
            map.insert("edited_places".into(), json!(edited));
        }
        if let Some(found) = &search.found {
            let explains = match found.explained {
                Explained::Yes => "yes",
                Explained::No => "no",
                Explained::NotResolved => "not resolved",
            };
            map.insert(
                "found".into(),
                json!({ "place": search.places[found.place].key, "words": found.words, "mended": found.mended,
                        "explains_the_loss": explains, "chance": rounded(found.chance) }),
            );
        }
    }
    out
}

/// Returns the answer with what it was made of.
#[must_use]
pub fn explain_json(search: &Search, say: &dyn Fn(&Message) -> String) -> Value {
    let mut out = status_json(search, say);
    if let Some(map) = out.as_object_mut() {
        map.insert("evidence".into(), json!(search.evidence));
        map.insert("pressures_bar_absolute".into(), json!(search.pressures));
        map.insert("looks".into(), json!(search.looks));
        map.insert("marks".into(), json!(search.marks));
        let plan: Vec<Value> = search
            .advice
            .plan
            .iter()
            .map(|act| json!({ "place": search.places[act.place].key, "method": act.method.key(), "opened": act.opened, "until_minutes": rounded(act.until) }))
            .collect();
        map.insert("plan".into(), json!(plan));
    }
    out
}
