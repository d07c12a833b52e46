//! What is looked at on every screen: what axe finds, the contrast of every text by our own account, pictures.

use e2e::{Outcome, Phone};
use serde_json::Value;
use std::path::PathBuf;

const AXE: &str = include_str!("../../vendor/axe.min.js");
const CONTRAST: &str = include_str!("contrast.js");

/// The least contrast of a text with what is behind it.
const LEAST: f64 = 7.0;

/// Returns the texts whose contrast is under 7:1, and adds how many were looked at.
pub async fn contrast(phone: &Phone, texts: &mut u64) -> Outcome<Vec<String>> {
    let found = phone.eval(&format!("({CONTRAST})({LEAST})")).await?;
    let looked = found["looked"].as_u64().unwrap_or(0);
    if looked < 3 {
        return Ok(vec![format!("only {looked} texts to be seen")]);
    }
    *texts += looked;
    let low = found["low"].as_array().cloned().unwrap_or_default();
    Ok(low.iter().filter_map(Value::as_str).map(|one| format!("contrast {one}")).collect())
}

/// What axe finds on the page as it stands, one line a rule.
pub async fn axe(phone: &Phone) -> Vec<String> {
    if phone.eval("typeof window.axe").await.unwrap() == "undefined" {
        phone.page().evaluate(AXE).await.unwrap();
    }
    let found = phone
        .eval(
            "axe.run(document, {runOnly: ['wcag2a','wcag2aa','wcag21a','wcag21aa','wcag22aa'], resultTypes: ['violations'], iframes: false})
              .then(r => r.violations.map(v => v.id + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 140) + ' ' + (n.any[0]?.message ?? n.failureSummary ?? '').slice(0, 160)).join(' || ')))",
        )
        .await
        .unwrap();
    found.as_array().unwrap().iter().filter_map(|one| one.as_str().map(str::to_owned)).collect()
}

/// Returns the folder of the pictures of screens.
pub fn shots() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../target/e2e-shots"))
}
