//! A whole visit with the keyboard alone: Tab, Shift and Tab, Enter, Escape and typing, from the first page to the
//! signed choice. No touch and no address is given to the page; what it computes equals the command line's.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Outcome, Phone, Screen, within};
use record::form::Takes;
use record::{Body, Content};
use serde_json::Value;
use way::example::{EXAMPLE, exported, figures, forms, numbers};
use way::{code, english, opened, shop};

#[tokio::test(flavor = "multi_thread")]
async fn a_whole_visit_by_keyboard_alone() {
    within("the visit by keyboard", 560, async {
        let mut shop = shop("keyboard").await;
        let mut phone = Phone::open("keyboard", &shop.url(), Screen::DESK).await?;
        opened(&phone).await?;
        join(&phone, &code(&shop).await).await?;
        begin(&phone).await?;
        let forms = forms();
        let count = forms.len();
        for (index, (kind, texts)) in forms.iter().enumerate() {
            fill(&phone, kind, texts)
                .await
                .map_err(|why| format!("form {index} of {count}, {kind}: {why}"))?;
        }
        for texts in lines() {
            fill(&phone, "line", &texts).await?;
        }
        undone(&phone).await?;
        sent(&phone).await?;
        let log = exported(&mut shop, "keyboard").await;
        let (mut ours, mut theirs) = (Vec::new(), Vec::new());
        numbers(&figures(&[log.to_str().ok_or("path")?]), "", &mut ours);
        numbers(&figures(&[EXAMPLE]), "", &mut theirs);
        assert!(theirs.len() > 30, "only {} numbers to compare", theirs.len());
        assert_eq!(ours, theirs);
        signed(&phone).await?;
        assert_eq!(phone.touches(), 0, "the keyboard alone");
        phone.close().await;
        shop.stop().await
    })
    .await
    .unwrap();
}

/// Joins the shop: the settings, the code, Enter.
async fn join(phone: &Phone, code: &str) -> Outcome<()> {
    phone.enter_leads("Settings", "the settings", "location.hash === '#/settings'").await?;
    phone.enter_leads("Join a shop", "the code's field", "!!document.getElementById('pair-code')").await?;
    phone.tab_to("css:#pair-code").await?;
    phone.type_keys(code).await?;
    // A code is good once: no second key.
    phone.enter_on("Join").await?;
    phone.until("joined", 30, "location.hash === '#/waiting'").await?;
    focus_is_somewhere(phone).await
}

/// Begins a visit, reads the first number, puts the keys away with Escape, and drops what was typed.
async fn begin(phone: &Phone) -> Outcome<()> {
    for _ in 0..3 {
        if phone.eval("location.hash === '' || location.hash === '#/'").await? == Value::Bool(true) {
            break;
        }
        let here = phone.eval("location.hash").await?;
        phone.enter_leads("Back", "a step back", &format!("location.hash !== {here}")).await?;
        focus_is_somewhere(phone).await?;
    }
    phone.shows("Without a job").await?;
    phone
        .enter_leads("New", "the question which refrigerant", "/R-449A/.test(document.body.innerText)")
        .await?;
    let first =
        "document.activeElement?.id === 'f-reading-suction-pressure' && !!document.querySelector('.keys')";
    phone.enter_on("R-449A").await?;
    phone.until("the first field has the focus and its keys", 20, first).await?;
    phone.type_keys("47").await?;
    phone.shows("Dew").await?;
    phone.key("Escape").await?;
    phone.until("Escape puts the keys away", 5, "!document.querySelector('.keys')").await?;
    phone.until("the focus stays", 5, "document.activeElement?.id === 'f-reading-suction-pressure'").await?;
    // The keys come again with the next field, and Escape on the key that keeps leads back to the field typed in last.
    phone.tab_to("css:#f-reading-suction-line").await?;
    phone.until("the keys of the next field", 5, "!!document.querySelector('.keys')").await?;
    phone.tab_to("css:.keys .go").await?;
    phone.key("Escape").await?;
    let back = "document.activeElement?.matches('main form input') && !document.querySelector('.keys')";
    phone.until("back in a field", 5, back).await?;
    phone.tab_to("css:#f-reading-suction-pressure").await?;
    phone.key("Backspace").await?;
    phone.key("Backspace").await?;
    phone.until("nothing typed", 5, "document.activeElement.value === ''").await?;
    phone.enter_leads("Back", "Arrive", "location.hash.endsWith('/stage/arrive')").await?;
    focus_is_somewhere(phone).await
}

/// After a change of the screen the focus stands on something of it.
async fn focus_is_somewhere(phone: &Phone) -> Outcome<()> {
    phone
        .until(
            "the focus stands somewhere",
            5,
            "!!document.activeElement && document.activeElement !== document.body",
        )
        .await
}

/// The lines of the system, each with its texts.
fn lines() -> Vec<Vec<(String, String)>> {
    let file = record::read_job_file(&std::fs::read(EXAMPLE).unwrap()).unwrap();
    let mut out = Vec::new();
    for event in &file.events {
        let Content::Observed(seen) = &event.content else { continue };
        let Body::System(system) = &seen.what else { continue };
        for number in 1..=system.line.len() {
            let stem = format!("line[{number}].");
            let all = record::texts_of(seen).unwrap().fields.into_iter();
            out.push(
                all.filter_map(|(path, text)| path.strip_prefix(&stem).map(|path| (path.to_owned(), text)))
                    .collect(),
            );
        }
    }
    out
}

/// Opens the form of a kind from the list of stages, fills it, keeps it.
async fn fill(phone: &Phone, kind: &str, texts: &[(String, String)]) -> Outcome<()> {
    phone.enter_leads("Stages", "the stages", "location.hash.endsWith('/stages')").await?;
    focus_is_somewhere(phone).await?;
    let open = "!!document.querySelector('details.opens[open]')";
    phone.enter_leads("css:details.opens > summary", "the list of entries", open).await?;
    let heading = english(&job::entry::labels::kind(kind));
    mark(
        phone,
        &format!(
            "[...document.querySelectorAll('details.opens button')].find(b => b.textContent.trim() === {})",
            quoted(&heading)
        ),
    )
    .await?;
    phone.enter_on("css:[data-e2e]").await?;
    let there = format!(
        "document.querySelector('h1')?.textContent === {} && !!document.querySelector('main form')",
        quoted(&heading)
    );
    phone.until(&format!("the form of {kind}"), 15, &there).await?;
    focus_is_somewhere(phone).await?;
    phone.enter_on("More fields").await?;
    for (path, text) in &grouped(kind, texts)? {
        let id = id_of(kind, path);
        let missing = format!("!document.getElementById({})", quoted(&id));
        if place_in_list(path) > 1 && phone.eval(&missing).await? == Value::Bool(true) {
            let key = path.split('[').next().unwrap_or(path);
            phone.enter_on(&format!("css:[data-more={}]", quoted(key))).await?;
            phone.until("one more of the list", 5, &format!("!({missing})")).await?;
        }
        let field = field_at(kind, path)?;
        if let Takes::Words(words) = &field.takes {
            choose(phone, kind, path, record::word_in(text, words).unwrap_or(text)).await?;
            continue;
        }
        phone.tab_to(&format!("css:[id={}]", quoted(&id))).await?;
        phone.type_keys(text).await?;
        if let Some((_, with)) = texts.iter().find(|(at, _)| *at == format!("{path}.with")) {
            instrument(phone, &id, with).await?;
        }
    }
    phone.tab_to("css:main form button[type=submit]").await?;
    phone.key("Enter").await?;
    let left = "!location.hash.includes('/entry/') || /touching Keep again/.test(document.body.innerText)";
    phone.until(&format!("{kind} is kept"), 15, left).await?;
    if phone.eval("location.hash.includes('/entry/')").await? == Value::Bool(true) {
        phone.enter_on("css:main form button[type=submit]").await?;
        phone.until(&format!("{kind} is kept"), 15, "!location.hash.includes('/entry/')").await?;
    }
    focus_is_somewhere(phone).await
}

/// What is typed into which field: what stands in a list of texts has one field for all of it, a line each, and a range
/// is typed as one text.
fn grouped(kind: &str, texts: &[(String, String)]) -> Outcome<Vec<(String, String)>> {
    let mut out: Vec<(String, String)> = Vec::new();
    for (path, text) in texts.iter().filter(|(path, _)| !path.ends_with(".with") && !path.ends_with(".tap")) {
        if let Some(of) = path.strip_suffix(".from") {
            out.push((of.to_owned(), text.clone()));
            continue;
        }
        if let Some(of) = path.strip_suffix(".to") {
            let from = out
                .iter_mut()
                .find(|(at, _)| at == of)
                .ok_or_else(|| format!("{path} without a beginning"))?;
            from.1 = format!("{} .. {text}", from.1);
            continue;
        }
        let field = field_at(kind, path)?;
        let stem = path.split('[').next().unwrap_or(path);
        let of_list = field.many && matches!(field.takes, Takes::Text);
        match out.iter_mut().find(|(at, _)| of_list && at.split('[').next() == Some(stem)) {
            Some((_, lines)) => *lines = format!("{lines}\n{text}"),
            None => out.push((path.clone(), text.clone())),
        }
    }
    Ok(out)
}

fn place_in_list(path: &str) -> usize {
    let number = path.split('[').nth(1).and_then(|rest| rest.split(']').next());
    number.and_then(|number| number.parse().ok()).unwrap_or(1)
}

fn quoted(text: &str) -> String {
    serde_json::to_string(text).unwrap()
}

fn id_of(kind: &str, path: &str) -> String {
    let id: String = path.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    format!("f-{}-{id}", kind.replace(' ', "-"))
}

fn field_at(kind: &str, path: &str) -> Outcome<record::form::Field> {
    let form = record::form::form(kind);
    let own = form.as_ref().and_then(|form| form.at(path).cloned());
    own.or_else(|| record::form::entry_head().at(path).cloned())
        .ok_or_else(|| format!("{kind}: no field at {path}"))
}

/// Marks what an expression finds, so that the focus can be led to it.
async fn mark(phone: &Phone, find: &str) -> Outcome<()> {
    let expression = format!(
        "(() => {{ document.querySelectorAll('[data-e2e]').forEach(e => e.removeAttribute('data-e2e'));
          const it = {find}; it?.setAttribute('data-e2e', ''); return !!it; }})()"
    );
    match phone.eval(&expression).await? == Value::Bool(true) {
        true => Ok(()),
        false => Err(format!("nothing found by {find}")),
    }
}

/// Chooses one word of a list.
async fn choose(phone: &Phone, kind: &str, path: &str, word: &str) -> Outcome<()> {
    let key = path.rsplit('.').next().unwrap_or(path).split('[').next().unwrap_or(path);
    let legend = quoted(&english(&job::entry::labels::field(kind, key)));
    let shown = quoted(&english(&job::entry::labels::word(word)));
    let find = format!(
        "[...([...document.querySelectorAll('fieldset')].find(f => f.querySelector('legend')?.textContent.trim().startsWith({legend}))
           ?.querySelectorAll('button') ?? [])].find(b => b.textContent.trim() === {shown})"
    );
    mark(phone, &find).await.map_err(|_| format!("{kind}: no word {word} at {path}"))?;
    if phone.eval("document.querySelector('[data-e2e]').getAttribute('aria-pressed') === 'true'").await?
        == Value::Bool(true)
    {
        return Ok(());
    }
    let pressed = format!("({find})?.getAttribute('aria-pressed') === 'true'");
    phone.enter_leads("css:[data-e2e]", &format!("{kind}: {word} is chosen"), &pressed).await
}

/// Presses the button of a field's instrument until it names the one wanted.
async fn instrument(phone: &Phone, id: &str, name: &str) -> Outcome<()> {
    let find = format!(
        "document.getElementById({}).closest('.entry-field').querySelector('.instrument')",
        quoted(id)
    );
    mark(phone, &find).await?;
    for _ in 0..10 {
        let shown = phone.eval("document.querySelector('[data-e2e]').textContent.trim()").await?;
        if shown == Value::String(format!("With {name}")) {
            return Ok(());
        }
        phone.enter_on("css:[data-e2e]").await?;
    }
    Err(format!("{id}: {name} does not come up"))
}

/// The last entry is taken back and made again: the question takes the focus, Escape leaves it.
async fn undone(phone: &Phone) -> Outcome<()> {
    let before = phone.eval("document.getElementById('undo').getAttribute('aria-label')").await?;
    phone.enter_on("css:#undo").await?;
    phone.until("the question has the focus", 5, "document.activeElement?.id === 'undo-take-back'").await?;
    phone.key("Escape").await?;
    phone
        .until(
            "Escape leaves it",
            5,
            "document.activeElement?.id === 'undo' && !document.querySelector('.above-foot')",
        )
        .await?;
    let after = phone.eval("document.getElementById('undo').getAttribute('aria-label')").await?;
    assert_eq!(before, after, "Escape takes nothing back");
    Ok(())
}

/// Sends what waits.
async fn sent(phone: &Phone) -> Outcome<()> {
    phone.enter_on("opens what waits").await?;
    phone.enter_on("Send now").await?;
    phone.until("all is sent", 60, "/All sent/.test(document.querySelector('.head').innerText)").await
}

/// The choice is signed by name, and the report opened.
async fn signed(phone: &Phone) -> Outcome<()> {
    phone.enter_leads("Back", "the job", "location.hash.startsWith('#/job/')").await?;
    phone.enter_leads("Stages", "the stages", "location.hash.endsWith('/stages')").await?;
    phone.enter_leads("Close", "Close", "location.hash.endsWith('/stage/close')").await?;
    phone.enter_leads("css:nav .go", "the signature", "location.hash.endsWith('/sign')").await?;
    phone.tab_to("css:#sign-name").await?;
    phone.type_keys("the day manager").await?;
    phone.enter_on("Signed by name").await?;
    phone.shows("Signed by the day manager").await?;
    phone.enter_on("Report").await?;
    phone.until("the report", 20, "!!document.querySelector('iframe')").await?;
    focus_is_somewhere(phone).await
}
