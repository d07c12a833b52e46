//! A newer program is offered and never forced, and what is half typed survives it; the language changes at any time.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Between, NEWER, Phone, Screen, within};
use serde_json::Value;
use way::{begun, go, opened, shop, with_examples};

/// Whether the page that stands is that of the newer site.
async fn is_newer(phone: &Phone) -> e2e::Outcome<bool> {
    assert!(NEWER.contains("e2e-version"));
    Ok(phone.eval("!!document.querySelector('meta[name=e2e-version]')").await? == Value::Bool(true))
}

#[tokio::test(flavor = "multi_thread")]
async fn a_newer_program_waits_until_it_is_taken_and_nothing_half_typed_is_lost() {
    within("the newer program", 240, async {
        let mut shop = shop("newer").await;
        let between = Between::open(shop.port()).await?;
        let mut phone = Phone::open("newer", &between.url(), Screen::PHONE).await?;
        opened(&phone).await?;
        phone
            .until("the whole app is kept", 60, "navigator.serviceWorker.ready.then(r => !!r.active)")
            .await?;
        phone.reload().await?;
        opened(&phone).await?;
        phone.until("it serves the page", 20, "!!navigator.serviceWorker.controller").await?;
        assert!(!is_newer(&phone).await?);
        begun(&mut phone).await;
        for key in ["4", "7"] {
            phone.tap(key).await?;
        }
        phone.shows("Dew").await?;
        // What is typed is on the disk a moment later.
        tokio::time::sleep(std::time::Duration::from_millis(400)).await;
        between.bring_newer();
        // The browser looks for a newer worker when it loads a page: the old page stands, with what was typed.
        phone.reload().await?;
        opened(&phone).await?;
        let typed = "document.querySelector('main form input')?.value === '47'";
        phone.until("what was half typed stands with the newer one coming", 20, typed).await?;
        let waits = "navigator.serviceWorker.getRegistration().then(r => !!r?.waiting)";
        phone.until("the newer one waits", 60, waits).await?;
        assert!(!is_newer(&phone).await?, "it is not forced");
        let offered = "/newer program is ready/.test(document.body.innerText)";
        assert_eq!(phone.eval(offered).await?, Value::Bool(false), "not in the midst of an entry");
        phone.reload().await?;
        opened(&phone).await?;
        phone.until("what was half typed stands after another load", 20, typed).await?;
        assert!(!is_newer(&phone).await?, "nor by loading the page again");
        go(&phone, "#/").await?;
        phone.until("it is offered", 20, offered).await?;
        assert!(!is_newer(&phone).await?);
        phone.tap("Take it now").await?;
        phone.until("the newer page", 60, "!!document.querySelector('meta[name=e2e-version]')").await?;
        opened(&phone).await?;
        phone
            .until(
                "the newer one serves",
                20,
                "navigator.serviceWorker.getRegistration().then(r => !!r.active && !r.waiting)",
            )
            .await?;
        phone.shows("Typed and not kept").await?;
        assert_eq!(phone.eval(offered).await?, Value::Bool(false), "offered no more");
        phone.tap("Carry on").await?;
        phone.until("what was half typed stands after it was taken", 20, typed).await?;
        // Without the shop the newer one is whole.
        shop.stop().await?;
        phone.reload().await?;
        opened(&phone).await?;
        assert!(is_newer(&phone).await?);
        phone.until("what was half typed stands without the shop", 20, typed).await?;
        phone.close().await;
        Ok(())
    })
    .await
    .unwrap();
}

/// The events of an example as the shop took them in.
fn imported(shop: &e2e::Shop, name: &str) -> Vec<record::Event> {
    let text = std::fs::read_to_string(shop.data().join(format!("{name}.jsonl"))).unwrap();
    text.lines().filter_map(|line| record::read_line(line.as_bytes()).ok()).collect()
}

/// A text with plain spaces.
fn plain(text: &str) -> String {
    let signs = text.chars().filter(|c| !matches!(c, '\u{2068}' | '\u{2069}'));
    signs.map(|c| if matches!(c, '\u{a0}' | '\u{202f}') { ' ' } else { c }).collect()
}

/// The sentence that matters at a stage, in a language, in the units of either side of the border.
fn sentences(visit: &job::visit::Visit, stage: job::stage::Stage, language: &str) -> Vec<String> {
    let wording = wording::Wording::new(language);
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap();
    let now = record::When::Instant {
        unix_millis: i64::try_from(since.as_millis()).unwrap(),
        offset_minutes: 0,
        zone: None,
    };
    let both = [units::Writer::metric(), units::Writer::us()];
    both.map(|writer| {
        let writer = units::Writer { decimal_comma: language != "en", ..writer };
        plain(&wording.say(&job::stage::view(stage, visit, &writer, &now).now.sentence))
    })
    .to_vec()
}

#[tokio::test(flavor = "multi_thread")]
async fn the_language_changes_at_any_time_with_its_numbers() {
    within("French", 240, async {
        let (mut shop, mut phone, jobs) = with_examples("french").await;
        let job = &jobs[1];
        // Half typed in English, with a point.
        go(&phone, "#/ask/saturation").await?;
        phone.until("the question", 20, "!!document.querySelector('main input')").await?;
        go(&phone, &format!("#/job/{job}/stages")).await?;
        phone.tap("Français").await?;
        phone.until("French at once, on the same screen", 10, "document.documentElement.lang === 'fr-CA' && location.hash.endsWith('/stages')").await?;
        phone.shows("Étapes").await?;
        let wording = wording::Wording::new("fr-CA");
        let visit = job::visit::Visit::of_chain("", &[imported(&shop, "room-7-repair")]);
        for stage in job::stage::Stage::ALL {
            let heading = wording.say(&stage.name());
            go(&phone, &format!("#/job/{job}/stage/{}", stage.key())).await?;
            phone.until(stage.key(), 20, &format!("document.querySelector('h1')?.textContent === {}", serde_json::to_string(&heading).unwrap())).await?;
            // The sentence that matters now, as the catalogue says it in French.
            let now = phone.eval("document.querySelector('.now-sentence').textContent").await?;
            let now = now.as_str().unwrap_or_default().to_owned();
            let now = plain(&now);
            assert!(sentences(&visit, stage, "fr-CA").contains(&now), "{}: {now}", stage.key());
            assert!(!sentences(&visit, stage, "en").contains(&now), "{}: {now}", stage.key());
        }
        // Numbers with a comma: none that the app writes has a point.
        go(&phone, &format!("#/job/{job}/stage/prove")).await?;
        phone.until("Prove", 20, "!!document.querySelector('.rows.numbers, .number')").await?;
        let text = phone.text().await?;
        assert!(text.contains(','), "{text:.400}");
        let point = phone.eval(r"[...document.querySelectorAll('main b.large, main .value')].map(e => e.textContent).filter(t => /\d\.\d/.test(t))").await?;
        assert_eq!(point, serde_json::json!([]), "numbers with a point in French");
        go(&phone, &format!("#/job/{job}/report")).await?;
        phone.until("the report is French", 20, "document.querySelector('iframe')?.contentDocument?.documentElement?.lang === 'fr-CA'").await?;
        // A comma is typed and read, and the answer has one.
        go(&phone, "#/ask/saturation").await?;
        phone.until("the question", 20, "!!document.querySelector('main input')").await?;
        phone.tap("css:#f-ask-saturation-at-pressure").await?;
        phone.type_text("62,5").await?;
        phone.until("an answer with a comma", 10, r"/\d,\d/.test(document.querySelector('.answer-box').innerText)").await?;
        phone.until("the key shows a comma", 5, "[...document.querySelectorAll('.keys button')].some(b => b.textContent.trim() === ',')").await?;
        // And back, with what was typed still there.
        go(&phone, "#/settings").await?;
        phone.tap("English").await?;
        phone.until("English again", 10, "document.documentElement.lang === 'en'").await?;
        go(&phone, "#/ask/saturation").await?;
        phone.until("what was typed stands", 10, "document.querySelector('#f-ask-saturation-at-pressure')?.value === '62,5'").await?;
        phone.until("an answer with a point", 10, r"/\d\.\d/.test(document.querySelector('.answer-box').innerText)").await?;
        phone.close().await;
        shop.stop().await
    })
    .await
    .unwrap();
}
