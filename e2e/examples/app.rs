//! How quick the app is on a slow phone: a browser whose processor is slowed four times, without a network.
//!
//! Prints a table. The site, the server and the command line must have been built; `cargo xtask evaluate app` does it.
#![allow(clippy::unwrap_used)]

#[path = "../tests/way/mod.rs"]
mod way;

use chromiumoxide::cdp::browser_protocol::page::AddScriptToEvaluateOnNewDocumentParams;
use e2e::{Outcome, Phone, Shop};
use std::fmt::Write as _;
use std::time::Duration;
use way::{form, go, opened, with_examples};

/// By how much the processor is slowed.
const SLOW: f64 = 4.0;
/// How often each is measured.
const TIMES: usize = 30;

/// Notes, in every page from its first moment, when what is asked for stands there.
const WATCH: &str = r"
  window.__at = {};
  const list = () => document.querySelectorAll('main .row-target').length > 4 && !/Opening/.test(document.querySelector('.head')?.innerText ?? 'Opening');
  const form = () => !!document.querySelector('main form input') && !!document.querySelector('.keys');
  const look = () => {
    if (!('list' in __at) && list()) __at.list = performance.now();
    if (!('form' in __at) && form()) __at.form = performance.now();
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
";

/// Notes of the next key when it was pressed, and when the answer under the field had changed and was painted.
const KEY: &str = r"(() => {
  window.__key = null;
  const field = document.activeElement.closest('.entry-field');
  const before = field.querySelector('.answer')?.textContent ?? '';
  let pressed = null;
  addEventListener('keydown', e => { pressed ??= e.timeStamp; }, {capture: true, once: true});
  const watch = new MutationObserver(() => {
    const now = field.querySelector('.answer')?.textContent ?? '';
    if (now === before || pressed === null) return;
    watch.disconnect();
    requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = () => { window.__key = performance.now() - pressed; }; c.port2.postMessage(0); });
  });
  watch.observe(field, {subtree: true, childList: true, characterData: true});
  return true;
})()";

/// Notes of the next Keep when it was touched, and when the form was left: that is after the strict commit.
const KEEP: &str = r"(() => {
  window.__keep = null;
  window.__touched = null;
  if (window.__watched) return true;
  window.__watched = true;
  addEventListener('click', e => { window.__touched ??= e.timeStamp; }, {capture: true});
  const left = () => {
    if (location.hash.includes('/entry/') || window.__touched === null || window.__keep !== null) return;
    window.__keep = performance.now() - window.__touched;
  };
  // Back to where one came from, or, where the form was opened by its address, to what it belongs to.
  addEventListener('popstate', left);
  const replace = history.replaceState.bind(history);
  history.replaceState = (...all) => { replace(...all); left(); };
  return true;
})()";

#[tokio::main]
async fn main() {
    if let Err(why) = measured().await {
        eprintln!("{why}");
        std::process::exit(1);
    }
}

async fn measured() -> Outcome<()> {
    let (mut shop, mut phone, jobs) = with_examples("speed").await;
    let job = jobs.last().ok_or("no job")?.clone();
    phone.until("the whole app is kept", 60, "navigator.serviceWorker.ready.then(r => !!r.active)").await?;
    phone
        .page()
        .execute(AddScriptToEvaluateOnNewDocumentParams::new(WATCH))
        .await
        .map_err(|e| e.to_string())?;
    gone(&mut shop, &mut phone).await?;
    phone.slow(SLOW).await?;
    let reading = form(&job, "reading", &["suction_pressure"], &[]);
    let list = reloads(&mut phone, "#/", "list").await?;
    let entry = reloads(&mut phone, &reading, "form").await?;
    let keys = keystrokes(&phone).await?;
    eprintln!(
        "list {:.0} ms, form {:.0} ms, key {:.0} ms",
        quantile(&list, 0.5),
        quantile(&entry, 0.5),
        quantile(&keys, 0.5)
    );
    let kept = keeps(&mut phone, &job).await?;
    let mut table = String::new();
    let _ = writeln!(
        table,
        "Chromium without a window on {} cores, 390 x 844, its processor slowed {SLOW} times, the server stopped; the invented visit of Room 7 on the phone. {} programs wanted the cores when it ended.\n",
        std::thread::available_parallelism().map_or(0, std::num::NonZero::get),
        std::fs::read_to_string("/proc/loadavg").unwrap_or_default().split(' ').next().unwrap_or("?"),
    );
    table.push_str("| what | times | median | 95 % under | limit |\n|---|---|---|---|---|\n");
    let mut missed = Vec::new();
    for (what, all, limit) in [
        ("page loaded again without a network, until the list of jobs stands and answers", &list, 700.0),
        ("the same in the midst of an entry, until its field and its keys stand", &entry, 700.0),
        ("a digit typed into a pressure, until its dew temperature is painted", &keys, 50.0),
        ("Keep touched, until the entry is acknowledged after the strict commit", &kept, 60.0),
    ] {
        let (median, late) = (quantile(all, 0.5), quantile(all, 0.95));
        let _ = writeln!(table, "| {what} | {} | {median:.0} ms | {late:.0} ms | {limit:.0} ms |", all.len());
        if median > limit {
            missed.push(what);
        }
    }
    print!("{table}");
    phone.close().await;
    match missed.is_empty() {
        true => Ok(()),
        false => Err(format!("over the limit: {}", missed.join("; "))),
    }
}

/// Takes the network away, for real and in the page's eyes.
async fn gone(shop: &mut Shop, phone: &mut Phone) -> Outcome<()> {
    phone.reload().await?;
    opened(phone).await?;
    shop.stop().await?;
    phone.offline(true).await
}

fn quantile(all: &[f64], part: f64) -> f64 {
    let mut sorted = all.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = (part * (sorted.len() as f64 - 1.0)).round();
    sorted.get(at as usize).copied().unwrap_or(f64::NAN)
}

async fn reloads(phone: &mut Phone, hash: &str, what: &str) -> Outcome<Vec<f64>> {
    go(phone, hash).await?;
    let mut all = Vec::new();
    // The first fills the browser's own caches, as the first days of use do.
    for time in 0..=TIMES {
        phone.reload().await?;
        phone.until(what, 60, &format!("'{what}' in (window.__at ?? {{}})")).await?;
        let took = phone.eval(&format!("__at['{what}']")).await?;
        if time > 0 {
            all.push(took.as_f64().ok_or("no time")?);
        }
        // What the page still does behind is not part of the next.
        tokio::time::sleep(Duration::from_millis(900)).await;
    }
    Ok(all)
}

/// The form of a reading stands; digits are typed and taken back.
async fn keystrokes(phone: &Phone) -> Outcome<Vec<f64>> {
    phone
        .until("the field has the focus", 20, "document.activeElement?.id === 'f-reading-suction-pressure'")
        .await?;
    let mut all = Vec::new();
    phone.key("4").await?;
    tokio::time::sleep(Duration::from_millis(500)).await;
    for time in 0..TIMES {
        phone.eval(KEY).await?;
        let key = if time % 2 == 0 { "7" } else { "Backspace" };
        phone.key(key).await?;
        phone.until("the answer", 20, "typeof window.__key === 'number'").await?;
        all.push(phone.eval("window.__key").await?.as_f64().ok_or("no time")?);
        tokio::time::sleep(Duration::from_millis(150)).await;
    }
    phone.key("Backspace").await?;
    phone.key("Backspace").await?;
    Ok(all)
}

async fn keeps(phone: &mut Phone, job: &str) -> Outcome<Vec<f64>> {
    let mut all = Vec::new();
    for time in 0..TIMES {
        go(phone, &format!("#/job/{job}/stage/prove")).await?;
        phone.until("Prove", 20, "!!document.querySelector('.now-sentence')").await?;
        go(phone, &form(job, "reading", &["box_air"], &[])).await?;
        phone.until("the form", 20, "!!document.querySelector('.keys')").await?;
        phone.type_text(&format!("2.{}", time % 10)).await?;
        tokio::time::sleep(Duration::from_millis(400)).await;
        phone.eval(KEEP).await?;
        phone.tap("css:.keys .go").await?;
        phone.until("kept", 20, "typeof window.__keep === 'number'").await?;
        all.push(phone.eval("window.__keep").await?.as_f64().ok_or("no time")?);
    }
    Ok(all)
}
