//! A whole visit typed on a phone without a network: nothing acknowledged is lost, the shop has it once, a second phone
//! sees it, and what it computes equals what the command line computes from the file, to the last digit.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Phone, Screen, built, within};
use record::{Body, Content, Observation};
use serde_json::Value;
use std::collections::BTreeSet;
use way::{code, enter, go, opened, shop};

const EXAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../examples/jobs/room-7-repair.toml");

/// What the example says, in its order: kind and texts of each form; facts of one section in one form.
fn forms() -> Vec<(String, Vec<(String, String)>)> {
    let file = record::read_job_file(&std::fs::read(EXAMPLE).unwrap()).unwrap();
    let mut out: Vec<(String, Vec<(String, String)>)> = Vec::new();
    for event in &file.events {
        let Content::Observed(seen) = &event.content else { continue };
        let filled = record::texts_of(seen).unwrap();
        let mut texts = filled.fields;
        let is_fact =
            matches!(seen.what, Body::Site(_) | Body::Customer(_) | Body::Visit(_) | Body::System(_));
        if is_fact {
            // Lines stand in a list of their own; who and on which device the phone says itself.
            texts.retain(|(path, _)| !path.starts_with("line[") && path != "by" && path != "device");
            if texts.is_empty() {
                continue;
            }
            match out.iter_mut().find(|(kind, _)| *kind == filled.kind) {
                Some((_, known)) => known.extend(texts),
                None => out.push((filled.kind, texts)),
            }
            continue;
        }
        if !matches!(seen.what, Body::Instrument(_) | Body::Cylinder(_)) {
            texts.extend(head(seen));
        }
        out.push((filled.kind, texts));
    }
    out
}

/// The head of an entry: when and where; the instruments used stand with the values.
fn head(seen: &Observation) -> Vec<(String, String)> {
    record::head_texts_of(seen)
        .into_iter()
        .filter(|(path, _)| matches!(path.as_str(), "at" | "place" | "note") || path.starts_with("with"))
        .collect()
}

fn figures(files: &[&str]) -> Value {
    let program = built("gastight").unwrap();
    let output =
        std::process::Command::new(program).args(["job", "report", "--json"]).args(files).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Every number in a result with the way to it.
fn numbers(value: &Value, at: &str, out: &mut Vec<(String, String)>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(key, inner)| numbers(inner, &format!("{at}.{key}"), out)),
        Value::Array(all) => {
            all.iter().enumerate().for_each(|(index, inner)| numbers(inner, &format!("{at}[{index}]"), out));
        }
        Value::Number(number) => out.push((at.to_owned(), number.to_string())),
        _ => {}
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_visit_without_network_is_lost_nowhere_and_computes_the_same() {
    within("the whole visit", 540, async {
        the_visit().await;
        Ok(())
    })
    .await
    .unwrap();
}

async fn the_visit() {
    let mut shop = shop("visit").await;
    let mut phone = Phone::open("visit", &shop.url(), Screen::PHONE).await.unwrap();
    opened(&phone).await.unwrap();
    phone
        .until("the service worker has it all", 60, "navigator.serviceWorker.ready.then(r => !!r.active && !!navigator.serviceWorker.controller || (r.active && caches.keys().then(k => k.length > 0)))")
        .await
        .unwrap();
    // Joined while there is a network, then none: the server is really gone, and the phone is told so.
    go(&phone, &format!("#/pair/{}", code(&shop).await)).await.unwrap();
    phone.tap("Join").await.unwrap();
    phone.until("joined", 20, "location.hash === '#/waiting'").await.unwrap();
    phone.reload().await.unwrap();
    opened(&phone).await.unwrap();
    shop.stop().await.unwrap();
    phone.offline(true).await.unwrap();
    phone.reload().await.unwrap();
    opened(&phone).await.unwrap();

    // A new visit in two touches, and the first number.
    go(&phone, "#/").await.unwrap();
    phone.touches();
    phone.tap("New").await.unwrap();
    phone.tap("R-449A").await.unwrap();
    phone
        .until(
            "the first reading",
            20,
            "location.hash.includes('/entry/reading') && !!document.querySelector('main input')",
        )
        .await
        .unwrap();
    for key in ["4", "7"] {
        phone.tap(key).await.unwrap();
    }
    phone.shows("Dew").await.unwrap();
    let first = phone.touches();
    println!("touches to the first number: {first}");
    assert!(first <= 6, "{first} touches to the first number");
    let hash = phone.eval("location.hash").await.unwrap();
    let job = hash.as_str().unwrap().split('/').nth(2).unwrap().to_owned();

    // Half typed, and the tab is killed: it is offered again where it was typed.
    tokio::time::sleep(std::time::Duration::from_millis(400)).await;
    phone.kill_tab().await.unwrap();
    opened(&phone).await.unwrap();
    phone
        .until(
            "what was half typed stands again",
            15,
            "document.querySelector('main form input')?.value === '47'",
        )
        .await
        .unwrap();
    go(&phone, "#/").await.unwrap();
    phone.shows("Typed and not kept").await.unwrap();
    phone.tap("Drop it").await.unwrap();

    // The whole visit, form by form, with the tab killed in the midst of it.
    let forms = forms();
    let count = forms.len();
    for (index, (kind, texts)) in forms.iter().enumerate() {
        enter(&mut phone, &job, kind, texts)
            .await
            .unwrap_or_else(|why| panic!("form {index} of {count}, {kind}: {why}"));
        if index == count / 2 {
            phone.kill_tab().await.unwrap();
            opened(&phone).await.unwrap();
        }
    }
    lines(&mut phone, &job).await;
    phone.touches();

    // Everything acknowledged is still there after a reload without a network.
    phone.reload().await.unwrap();
    opened(&phone).await.unwrap();
    go(&phone, "#/waiting").await.unwrap();
    phone.shows("Entries on this phone").await.unwrap();

    // The server is back: everything is sent, once.
    shop.start().await.unwrap();
    phone.offline(false).await.unwrap();
    phone.tap("Send now").await.unwrap();
    phone
        .until("all is sent", 60, "/All sent/.test(document.querySelector('.head').innerText)")
        .await
        .unwrap();
    let log = exported(&mut shop, "once").await;
    let events: Vec<Value> = std::fs::read_to_string(&log)
        .unwrap()
        .lines()
        .filter_map(|line| serde_json::from_str::<Value>(line).ok())
        .filter(|value| value["id"].is_string())
        .collect();
    let ids: BTreeSet<&str> = events.iter().filter_map(|event| event["id"].as_str()).collect();
    assert_eq!(ids.len(), events.len(), "an event stands twice");
    let shown =
        phone.eval("document.body.innerText.match(/Entries on this phone\\s*(\\d+)/)?.[1]").await.unwrap();
    assert_eq!(
        shown.as_str().unwrap().parse::<usize>().unwrap(),
        events.len(),
        "phone and shop count the same"
    );

    // What it computes equals what the command line computes from the file.
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    numbers(&figures(&[log.to_str().unwrap()]), "", &mut ours);
    numbers(&figures(&[EXAMPLE]), "", &mut theirs);
    assert!(theirs.len() > 30, "only {} numbers to compare", theirs.len());
    assert_eq!(ours, theirs);

    // A second phone sees it, and its report is equal.
    let report = "document.querySelector('iframe').srcdoc";
    go(&phone, &format!("#/job/{job}/report")).await.unwrap();
    phone.until("the report", 20, "!!document.querySelector('iframe')").await.unwrap();
    let one = phone.eval(report).await.unwrap();
    let mut second = Phone::open("second", &shop.url(), Screen::PHONE).await.unwrap();
    opened(&second).await.unwrap();
    go(&second, &format!("#/pair/{}", code(&shop).await)).await.unwrap();
    second.tap("Join").await.unwrap();
    second.until("joined", 20, "location.hash === '#/waiting'").await.unwrap();
    second
        .until(
            "all is here",
            60,
            &format!(
                "document.body.innerText.match(/Entries on this phone\\s*(\\d+)/)?.[1] === '{}'",
                events.len()
            ),
        )
        .await
        .unwrap();
    go(&second, &format!("#/job/{job}/report")).await.unwrap();
    second.until("the report", 20, "!!document.querySelector('iframe')").await.unwrap();
    let other = second.eval(report).await.unwrap();
    assert!(one.as_str().unwrap().len() > 5_000);
    assert_eq!(one, other, "the reports of the two phones");
    second.close().await;
    phone.close().await;
    shop.stop().await.unwrap();
}

/// The lines of the system, each in a form of its own.
async fn lines(phone: &mut Phone, job: &str) {
    let file = record::read_job_file(&std::fs::read(EXAMPLE).unwrap()).unwrap();
    for event in &file.events {
        let Content::Observed(seen) = &event.content else { continue };
        let Body::System(system) = &seen.what else { continue };
        for number in 1..=system.line.len() {
            let stem = format!("line[{number}].");
            let texts: Vec<(String, String)> = record::texts_of(seen)
                .unwrap()
                .fields
                .into_iter()
                .filter_map(|(path, text)| path.strip_prefix(&stem).map(|path| (path.to_owned(), text)))
                .collect();
            enter(phone, job, "line", &texts).await.unwrap();
        }
    }
}

/// Returns the record that the shop exports.
async fn exported(shop: &mut e2e::Shop, name: &str) -> std::path::PathBuf {
    let into = shop.data().join(format!("export-{name}"));
    shop.command(&["export", into.to_str().unwrap()], "").await.unwrap();
    let mut found = Vec::new();
    for entry in std::fs::read_dir(&into).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "jsonl") {
            found.push(path);
        }
    }
    assert_eq!(found.len(), 1, "one log is exported: {found:?}");
    found.remove(0)
}
