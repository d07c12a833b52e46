//! How many touches the things done most take, against a table.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Outcome, Phone, within};
use way::{enter, go, opened, with_examples};

/// What is counted from the list of jobs, where the app opens, and the most touches it may take. Every key of our own is
/// a touch; the words of a name, typed with the phone's own keyboard, are not counted: how many they are is its matter.
const TABLE: [(&str, u32); 4] = [
    ("the first number: new visit, refrigerant, two digits", 4),
    ("a clean check: the visit, Search, Clean", 3),
    (
        "a cylinder weighed in: the visit, Charge, the cylinder, 24 lb 7 oz, keep; after it 21 lb 9 oz, keep",
        14,
    ),
    ("a visit closed: the visit, Close, sign, the name, signed by name, back, leave", 7),
];

#[tokio::test(flavor = "multi_thread")]
async fn what_is_done_most_takes_few_touches() {
    within("touches", 240, async {
        let (mut shop, mut phone, jobs) = with_examples("touches").await;
        let job = &jobs[1];
        enter(&mut phone, job, "arrival", &[("place".to_owned(), "plant yard".to_owned())]).await?;
        let counted = [
            first_number(&mut phone).await?,
            clean_check(&mut phone, job).await?,
            cylinder(&mut phone, job).await?,
            closed(&mut phone, job).await?,
        ];
        let mut over = Vec::new();
        for ((what, most), touches) in TABLE.into_iter().zip(counted) {
            println!("{touches} touches, at most {most}: {what}");
            if touches > most {
                over.push(format!("{touches} touches, not {most}: {what}"));
            }
        }
        assert!(over.is_empty(), "{}", over.join("\n"));
        phone.close().await;
        shop.stop().await
    })
    .await
    .unwrap();
}

/// Opens the app at the list of jobs, and begins to count.
async fn list(phone: &mut Phone) -> Outcome<()> {
    go(phone, "#/").await?;
    phone.reload().await?;
    opened(phone).await?;
    phone.until("the list", 20, "document.querySelectorAll('main .row-target').length > 4").await?;
    phone.touches();
    Ok(())
}

/// Opens a job from the list, and one of its stages.
async fn stage(phone: &mut Phone, job: &str, name: &str) -> Outcome<()> {
    // The visit touched last stands first; its row is found by where it leads, as a person finds it by its name.
    let rows = phone.eval("document.querySelectorAll('main .part ul.rows')[0].children.length").await?;
    assert!(rows.as_u64().unwrap_or(0) >= 2, "{rows} visits");
    phone.tap("Room 7, Wrenford").await?;
    phone.until("the visit", 20, &format!("location.hash === '#/job/{job}'")).await?;
    phone.tap(name).await?;
    phone
        .until(name, 20, "location.hash.includes('/stage/') && !!document.querySelector('.now-sentence')")
        .await
}

async fn first_number(phone: &mut Phone) -> Outcome<u32> {
    list(phone).await?;
    phone.tap("New").await?;
    phone.tap("R-449A").await?;
    phone.until("the keys", 20, "!!document.querySelector('.keys')").await?;
    phone.tap("4").await?;
    phone.tap("7").await?;
    phone.shows("Dew").await?;
    let touches = phone.touches();
    go(phone, "#/").await?;
    phone.tap("Drop it").await?;
    Ok(touches)
}

async fn clean_check(phone: &mut Phone, job: &str) -> Outcome<u32> {
    list(phone).await?;
    stage(phone, job, "Search").await?;
    phone.tap("Clean").await?;
    let kept = "/leak check/i.test(document.getElementById('undo').getAttribute('aria-label'))";
    phone.until("the check is in the record", 20, kept).await?;
    Ok(phone.touches())
}

async fn cylinder(phone: &mut Phone, job: &str) -> Outcome<u32> {
    list(phone).await?;
    stage(phone, job, "Charge").await?;
    phone.tap("S-14: weight before").await?;
    typed(phone, &["2", "4", "lb", "7"]).await?;
    phone.tap("S-14: weight after").await?;
    typed(phone, &["2", "1", "lb", "9"]).await?;
    let kept = "/cylinder weighed/i.test(document.getElementById('undo').getAttribute('aria-label'))";
    phone.until("the weighing is in the record", 20, kept).await?;
    Ok(phone.touches())
}

/// Types with the keys of the form that stands open, and keeps.
async fn typed(phone: &mut Phone, keys: &[&str]) -> Outcome<()> {
    phone
        .until("the keys", 20, "location.hash.includes('/entry/') && !!document.querySelector('.keys')")
        .await?;
    for key in keys {
        phone.tap(&format!("css:.keys button:nth-of-type({})", place_of(phone, key).await?)).await?;
    }
    phone.tap("css:.keys .go").await?;
    phone.until("kept", 20, "!location.hash.includes('/entry/')").await
}

/// Which of the keys shows this sign, from 1.
async fn place_of(phone: &Phone, key: &str) -> Outcome<u64> {
    let find = format!(
        "[...document.querySelectorAll('.keys button')].findIndex(b => b.textContent.trim() === '{key}') + 1"
    );
    match phone.eval(&find).await?.as_u64() {
        Some(place) if place > 0 => Ok(place),
        _ => Err(format!("no key {key}")),
    }
}

async fn closed(phone: &mut Phone, job: &str) -> Outcome<u32> {
    list(phone).await?;
    stage(phone, job, "Close").await?;
    phone.tap("Sign the choice").await?;
    phone.tap("css:#sign-name").await?;
    phone.type_text("the day manager").await?;
    phone.tap("Signed by name").await?;
    phone.shows("Signed by the day manager").await?;
    phone.tap("Back").await?;
    phone.until("Close", 20, "location.hash.endsWith('/stage/close')").await?;
    phone.tap("Leave plant yard").await?;
    let left = "/leaving/i.test(document.getElementById('undo').getAttribute('aria-label'))";
    phone.until("leaving is in the record", 20, left).await?;
    Ok(phone.touches())
}
