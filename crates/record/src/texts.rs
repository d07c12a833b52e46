//! An observation taken apart into the texts of its form: what a person corrects begins with what was typed.

use crate::event::Observation;
use crate::form::{Carries, Field, Form, Takes, form};
use serde_json::Value;

/// The texts of a form, each with its path.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filled {
    /// The kind of entry, or the section of a fact.
    pub kind: String,
    /// The texts as they were typed, in the order of the form, each behind its path; the head of the entry left out.
    pub fields: Vec<(String, String)>,
}

/// Returns the texts that [`crate::read_entry`], of a fact [`crate::read_facts`], reads as this observation; nothing
/// for a kind that this program does not know.
#[must_use]
pub fn texts_of(seen: &Observation) -> Option<Filled> {
    let kind = seen.what.form_name()?;
    let body = serde_json::to_value(&seen.what).ok()?;
    let mut fields = Vec::new();
    of_form(&form(kind)?, &body, "", &mut fields);
    Some(Filled { kind: kind.to_owned(), fields })
}

/// Returns the texts of the head of an entry: when, where, with what, told by whom, the note.
#[must_use]
pub fn head_texts_of(seen: &Observation) -> Vec<(String, String)> {
    let mut fields = Vec::new();
    let mut put = |path: &str, text: Option<String>| fields.extend(text.map(|text| (path.to_owned(), text)));
    put("at", seen.at.as_ref().map(ToString::to_string));
    put("place", seen.place.clone());
    put("told_by", seen.told_by.clone());
    put("note", seen.note.clone());
    for (index, name) in seen.with.iter().enumerate() {
        fields.push((format!("with[{}]", index + 1), name.clone()));
    }
    fields
}

fn of_form(form: &Form, body: &Value, before: &str, out: &mut Vec<(String, String)>) {
    for field in &form.fields {
        let Some(value) = body.get(field.key) else { continue };
        let path = format!("{before}{}", field.key);
        match value.as_array().filter(|_| field.many) {
            Some(all) => {
                for (index, value) in all.iter().enumerate() {
                    of_field(field, value, format!("{path}[{}]", index + 1), out);
                }
            }
            None => of_field(field, value, path, out),
        }
    }
}

fn of_field(field: &Field, value: &Value, path: String, out: &mut Vec<(String, String)>) {
    match (&field.takes, field.carries) {
        (Takes::Group(inner), _) => of_form(inner, value, &format!("{path}."), out),
        (Takes::Point, _) => {
            out.extend(value.get("time").and_then(plain).map(|text| (format!("{path}[1]"), text)));
            out.extend(value.get("pressure").and_then(plain).map(|text| (format!("{path}[2]"), text)));
        }
        (Takes::Shares, _) => {
            for (name, share) in value.as_object().into_iter().flatten() {
                out.extend(plain(share).map(|text| (format!("{path}.{name}"), text)));
            }
        }
        (_, Carries::Measured) => {
            out.extend(value.get("value").and_then(plain).map(|text| (path.clone(), text)));
            for beside in ["with", "tap"] {
                out.extend(value.get(beside).and_then(plain).map(|text| (format!("{path}.{beside}"), text)));
            }
        }
        (_, Carries::Known) => known(value, path, out),
        (_, Carries::Nothing) => out.extend(plain(value).map(|text| (path, text))),
    }
}

/// What is known of a thing, in the forms that the reader takes.
fn known(value: &Value, path: String, out: &mut Vec<(String, String)>) {
    if let Some(told) = value.get("told") {
        let what = told.get("what").unwrap_or(&Value::Null);
        match told.get("by").and_then(plain) {
            Some(by) => {
                known(what, path.clone(), out);
                out.push((format!("{path}.told_by"), by));
            }
            None => out.extend(known_text(what).map(|text| (path, format!("{text}, as told")))),
        }
        return;
    }
    if let Some(range) = value.get("range") {
        for end in ["from", "to"] {
            out.extend(range.get(end).and_then(plain).map(|text| (format!("{path}.{end}"), text)));
        }
        return;
    }
    out.extend(known_text(value).map(|text| (path, text)));
}

fn known_text(value: &Value) -> Option<String> {
    if value == "unknown" {
        return Some("unknown".to_owned());
    }
    if let Some(about) = value.get("about") {
        return plain(about).map(|text| format!("about {text}"));
    }
    if let Some(range) = value.get("range") {
        let end = |end: &str| range.get(end).and_then(plain);
        return Some(format!("{} .. {}", end("from")?, end("to")?));
    }
    value.get("value").and_then(plain)
}

/// A value as it was typed: with its text, or a word, a number, a moment, an amount of money.
fn plain(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        Value::Object(map) => match (map.get("text"), map.get("time"), map.get("number")) {
            (Some(text), ..) => plain(text),
            (None, Some(time), _) => plain(time),
            (None, None, Some(number)) => money(number, map.get("decimals")?, map.get("currency")?),
            _ => None,
        },
        _ => None,
    }
}

fn money(number: &Value, decimals: &Value, currency: &Value) -> Option<String> {
    let decimals = usize::try_from(decimals.as_u64()?).ok()?;
    let digits = format!("{:0>width$}", number.as_i64()?, width = decimals + 1);
    let (whole, part) = digits.split_at_checked(digits.len() - decimals)?;
    let point = if part.is_empty() { "" } else { "." };
    Some(format!("{whole}{point}{part} {}", currency.as_str()?))
}
