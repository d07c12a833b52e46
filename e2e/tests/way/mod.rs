//! How a test goes through the app: what a form is typed with, where a screen is, who runs the shop.
#![allow(dead_code, clippy::unwrap_used)]

pub mod example;
pub mod look;

use e2e::{Outcome, Phone, Screen, Shop, built};
use report::{Message, Text};
use serde_json::Value;
use wording::Wording;

/// Says a text in English, as the app does.
pub fn english(text: &Text) -> String {
    let wording = Wording::new("en");
    text.said(&|message: &Message| wording.say(message))
}

/// A shop with an owner and a technician, and the code by which a phone of the technician pairs.
pub async fn shop(name: &str) -> Shop {
    let shop = Shop::open(name).await.unwrap();
    let owner = ["person", "add", "owner", "--role", "owner", "--password"];
    shop.command(&owner, "a long enough password\n").await.unwrap();
    shop.command(&["person", "add", "technician A"], "").await.unwrap();
    shop
}

/// Returns a code for one phone of the technician.
pub async fn code(shop: &Shop) -> String {
    code_for(shop, "technician A").await
}

/// Returns a code for one phone of a person.
pub async fn code_for(shop: &Shop, person: &str) -> String {
    let said = shop.command(&["pair", person], "").await.unwrap();
    let from_link =
        said.split("#/pair/").nth(1).map(|rest| rest.split_whitespace().next().unwrap_or_default());
    from_link
        .map(|code| code.trim_end_matches([',', '.']).to_owned())
        .unwrap_or_else(|| panic!("no code: {said}"))
}

/// A shop that holds the two visits to room 7, and a phone that has them.
pub async fn with_examples(name: &str) -> (Shop, Phone, Vec<String>) {
    with_visits(name, &["room-7-first-call", "room-7-repair"]).await
}

/// A shop that holds these examples, and a phone that has them.
pub async fn with_visits(name: &str, examples: &[&str]) -> (Shop, Phone, Vec<String>) {
    let shop = shop(name).await;
    let mut jobs = Vec::new();
    for example in examples {
        let file = format!("{}/../examples/jobs/{example}.toml", env!("CARGO_MANIFEST_DIR"));
        let output = std::process::Command::new(built("gastight").unwrap())
            .args(["job", "events", &file])
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let log = shop.data().join(format!("{example}.jsonl"));
        std::fs::write(&log, &output.stdout).unwrap();
        shop.command(&["import", log.to_str().unwrap()], "").await.unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        let job = text.lines().find_map(|line| {
            let event = serde_json::from_str::<Value>(line).ok().filter(|event| event["id"].is_string())?;
            event["job"].as_str().map(str::to_owned)
        });
        jobs.push(job.unwrap());
    }
    let phone = joined(name, &shop, &shop.url()).await;
    phone
        .until(
            "the visits are here",
            60,
            "+(document.body.innerText.match(/Entries on this phone\\s*(\\d+)/)?.[1] ?? 0) > 60",
        )
        .await
        .unwrap();
    (shop, phone, jobs)
}

/// A phone that has joined the shop, which it reaches at an address.
pub async fn joined(name: &str, shop: &Shop, url: &str) -> Phone {
    joined_as(name, "technician A", shop, url).await
}

/// A phone of this person that has joined the shop.
pub async fn joined_as(name: &str, person: &str, shop: &Shop, url: &str) -> Phone {
    let mut phone = Phone::open(name, url, Screen::PHONE).await.unwrap();
    opened(&phone).await.unwrap();
    go(&phone, &format!("#/pair/{}", code_for(shop, person).await)).await.unwrap();
    phone.tap("Join").await.unwrap();
    phone.until("joined", 20, "location.hash === '#/waiting'").await.unwrap();
    phone
}

/// Begins a visit with R-449A from the list of jobs, and returns its job; the form of its first reading stands open.
pub async fn begun(phone: &mut Phone) -> String {
    go(phone, "#/").await.unwrap();
    phone.tap("New").await.unwrap();
    phone.tap("R-449A").await.unwrap();
    phone.until("the first reading", 20, "location.hash.includes('/entry/reading')").await.unwrap();
    let hash = phone.eval("location.hash").await.unwrap();
    hash.as_str().unwrap().split('/').nth(2).unwrap().to_owned()
}

/// Sends what waits and takes what the shop has.
pub async fn exchanged(phone: &mut Phone) {
    go(phone, "#/waiting").await.unwrap();
    for _ in 0..8 {
        phone.tap("Send now").await.unwrap();
        let sent = phone.until("all is sent", 8, "/All sent/.test(document.querySelector('.head').innerText) && /Waiting to be sent\\s*0/.test(document.body.innerText) && /Pictures waiting\\s*0/.test(document.body.innerText)").await;
        if sent.is_ok() {
            return;
        }
    }
    panic!("not all is sent: {}", phone.text().await.unwrap());
}

/// Goes to a screen by its address, as a link does.
pub async fn go(phone: &Phone, hash: &str) -> Outcome<()> {
    let hash = serde_json::to_string(hash).map_err(|e| e.to_string())?;
    phone.eval(&format!("(location.hash = {hash}, true)")).await.map(drop)
}

/// Waits until the app has opened its store.
pub async fn opened(phone: &Phone) -> Outcome<()> {
    phone.until("the app is there", 60, "!!document.querySelector('h1') && !/Opening/.test(document.querySelector('.head')?.innerText ?? 'Opening')").await
}

/// Returns the address of a form that asks these paths, with what is known already.
pub fn form(job: &str, kind: &str, ask: &[&str], known: &[(&str, &str)]) -> String {
    let clean = |text: &str| {
        text.chars()
            .map(|c| match c {
                '~' | ';' | '=' | '/' => format!("~{:02x}", c as u32),
                c => c.to_string(),
            })
            .collect::<String>()
    };
    let mut parts: Vec<String> = ask.iter().map(|path| format!("ask={}", clean(path))).collect();
    parts
        .extend(known.iter().map(|(path, text)| format!("{}={}", clean(&format!("is.{path}")), clean(text))));
    format!("#/job/{job}/entry/{}/{}", percent(kind), percent(&parts.join(";")))
}

fn percent(word: &str) -> String {
    word.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
                char::from(byte).to_string()
            }
            _ => format!("%{byte:02X}"),
        })
        .collect()
}

/// Types an entry into its form, field by field, and keeps it.
pub async fn enter(phone: &mut Phone, job: &str, kind: &str, texts: &[(String, String)]) -> Outcome<()> {
    let beside = |path: &str| path.ends_with(".with") || path.ends_with(".tap");
    let known: Vec<(&str, &str)> =
        texts.iter().filter(|(path, _)| beside(path)).map(|(p, t)| (p.as_str(), t.as_str())).collect();
    let asked: Vec<&str> = texts.iter().map(|(path, _)| path.as_str()).filter(|path| !beside(path)).collect();
    go(phone, &form(job, kind, &asked, &known)).await?;
    let heading = english(&job::entry::labels::kind(kind));
    let want = serde_json::to_string(&heading).map_err(|e| e.to_string())?;
    phone
        .until(
            &format!("the form of {kind}"),
            15,
            &format!("document.querySelector('h1')?.textContent === {want} && !!document.querySelector('main form')"),
        )
        .await?;
    fill(phone, kind, texts).await
}

/// Types the fields of the form that stands open, and keeps it.
pub async fn fill(phone: &mut Phone, kind: &str, texts: &[(String, String)]) -> Outcome<()> {
    let beside = |path: &str| path.ends_with(".with") || path.ends_with(".tap");
    let known: Vec<(&str, &str)> =
        texts.iter().filter(|(path, _)| beside(path)).map(|(p, t)| (p.as_str(), t.as_str())).collect();
    phone.until(&format!("the form of {kind}"), 15, "!!document.querySelector('main form')").await?;
    let form = record::form::form(kind);
    for (path, text) in texts.iter().filter(|(path, _)| !beside(path)) {
        let field = form
            .as_ref()
            .and_then(|form| form.at(path).cloned())
            .or_else(|| record::form::entry_head().at(path).cloned());
        let Some(field) = field else { return Err(format!("{kind}: no field at {path}")) };
        let id: String = path.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        let id = format!("f-{}-{id}", kind.replace(' ', "-"));
        if let record::form::Takes::Words(words) = &field.takes {
            let word = record::word_in(text, words).unwrap_or(text);
            choose(phone, kind, path, word).await?;
            continue;
        }
        phone.tap(&format!("css:[id=\"{id}\"]")).await?;
        phone.type_text(text).await?;
        if let Some((_, with)) = known.iter().find(|(at, _)| *at == format!("{path}.with")) {
            instrument(phone, &id, with).await?;
        }
    }
    phone.tap("css:main form button[type=submit]").await?;
    let left = "!location.hash.includes('/entry/') || /touching Keep again/.test(document.body.innerText)";
    phone.until(&format!("{kind} is kept"), 15, left).await?;
    if phone.eval("location.hash.includes('/entry/')").await? == Value::Bool(true) {
        // What is doubtful is said once, and kept at the second touch.
        phone.tap("css:main form button[type=submit]").await?;
        phone.until(&format!("{kind} is kept"), 15, "!location.hash.includes('/entry/')").await?;
    }
    Ok(())
}

/// Chooses one word of a list.
async fn choose(phone: &mut Phone, kind: &str, path: &str, word: &str) -> Outcome<()> {
    let key = path.rsplit('.').next().unwrap_or(path).split('[').next().unwrap_or(path);
    let legend =
        serde_json::to_string(&english(&job::entry::labels::field(kind, key))).map_err(|e| e.to_string())?;
    let shown =
        serde_json::to_string(&english(&job::entry::labels::word(word))).map_err(|e| e.to_string())?;
    let find = format!(
        "(() => {{ document.querySelectorAll('[data-e2e]').forEach(e => e.removeAttribute('data-e2e'));
          const field = [...document.querySelectorAll('fieldset')].find(f => f.querySelector('legend')?.textContent.trim().startsWith({legend}));
          const button = field && [...field.querySelectorAll('button')].find(b => b.textContent.trim() === {shown});
          button?.setAttribute('data-e2e', ''); return button?.getAttribute('aria-pressed') ?? 'none'; }})()"
    );
    let found = phone.eval(&find).await?;
    if found == "none" {
        return Err(format!("{kind}: no word {word} at {path}"));
    }
    if found == "true" {
        return Ok(());
    }
    phone.tap("css:[data-e2e]").await
}

/// Touches the instrument of a field until it is the one named.
async fn instrument(phone: &mut Phone, id: &str, name: &str) -> Outcome<()> {
    for _ in 0..10 {
        let shown = phone
            .eval(&format!(
                "(() => {{ document.querySelectorAll('[data-e2e]').forEach(e => e.removeAttribute('data-e2e'));
                  const b = document.querySelector('[id=\"{id}\"]').closest('.entry-field').querySelector('.instrument');
                  b?.setAttribute('data-e2e', ''); return b?.textContent.trim() ?? ''; }})()"
            ))
            .await?;
        let shown = shown.as_str().unwrap_or_default().to_owned();
        if shown.is_empty() {
            return Err(format!("{id}: no instrument to choose, wanted {name}"));
        }
        if shown == format!("With {name}") {
            return Ok(());
        }
        phone.tap("css:[data-e2e]").await?;
    }
    Err(format!("{id}: {name} does not come up"))
}
