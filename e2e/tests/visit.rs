//! A whole visit typed on a phone without a network: nothing acknowledged is lost, the shop has it once, a second phone
//! sees it, and what it computes equals what the command line computes from the file, to the last digit.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Phone, Screen, within};
use record::{Body, Content};
use serde_json::Value;
use std::collections::BTreeSet;
use way::example::{EXAMPLE, exported, figures, forms, numbers};
use way::{code, enter, go, opened, shop};

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
