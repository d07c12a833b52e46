//! The owner's pages in a browser of the office and on a phone, both themes: readable, and nothing cut off.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Outcome, Phone, Screen, Shop, within};
use serde_json::Value;
use way::look::{axe, contrast, shots};
use way::{go, opened};

/// Waits until the page of the office has what the server answered.
async fn answered(phone: &Phone, hash: &str) -> Outcome<()> {
    go(phone, hash).await?;
    let here = "!!document.querySelector('main h1') && !document.querySelector('main [aria-busy]') && !/^(Asking|Opening|Waiting)/.test(document.querySelector('main').innerText.trim())";
    phone.until(hash, 20, here).await?;
    tokio::time::sleep(std::time::Duration::from_millis(300)).await;
    Ok(())
}

/// Signs the owner in.
async fn sign_in(phone: &mut Phone, password: &str) -> Outcome<()> {
    phone.tap("css:#office-name").await?;
    phone.type_text("owner").await?;
    phone.tap("css:#office-password").await?;
    phone.type_text(password).await?;
    phone.tap("css:.office-form button[type=submit]").await?;
    phone.until("signed in", 20, "!!document.querySelector('.office-head nav')").await
}

/// Takes a theme.
async fn theme(phone: &mut Phone, name: &str) -> Outcome<()> {
    go(phone, "#/settings").await?;
    phone.tap(if name == "sun" { "For the sun" } else { "For plant rooms" }).await?;
    let wanted = format!("document.documentElement.dataset.theme === '{name}'");
    phone.until("the theme", 5, &wanted).await
}

#[tokio::test(flavor = "multi_thread")]
async fn every_page_of_the_office_is_readable_in_both_themes() {
    within("the office", 500, async {
        let mut shop = Shop::open("office").await?;
        let said = shop.command(&["demo"], "").await?;
        let password = said
            .lines()
            .find_map(|line| line.trim().strip_prefix("owner")?.split_whitespace().next().map(str::to_owned))
            .ok_or_else(|| format!("no password of the owner: {said}"))?;
        let mut phone = Phone::open("office", &shop.url(), Screen::DESK).await?;
        opened(&phone).await?;
        let mut wrong: Vec<String> = Vec::new();
        let mut texts = 0;
        for name in ["sun", "plant"] {
            theme(&mut phone, name).await?;
            go(&phone, "#/office").await?;
            phone.until("the way in", 20, "!!document.querySelector('#office-password')").await?;
            look(&mut phone, name, "sign-in", &mut wrong, &mut texts).await?;
        }
        sign_in(&mut phone, &password).await?;
        let system = first(&phone, "#/office/systems", "#/office/system/").await?;
        let job = first(&phone, "#/office/jobs", "#/office/job/").await?;
        let pages = [
            ("systems", "#/office/systems"),
            ("system", system.as_str()),
            ("drift", "#/office/drift"),
            ("account", "#/office/account"),
            ("due", "#/office/due"),
            ("jobs", "#/office/jobs"),
            ("job", job.as_str()),
            ("find", "#/office/find/flare"),
            ("devices", "#/office/devices"),
            ("people", "#/office/people"),
            ("lists", "#/office/lists"),
            ("audit", "#/office/audit"),
        ];
        for name in ["sun", "plant"] {
            theme(&mut phone, name).await?;
            for (page, hash) in pages {
                answered(&phone, hash).await?;
                look(&mut phone, name, page, &mut wrong, &mut texts).await?;
            }
        }
        println!("{texts} texts of the office's pages looked at, in both themes and at both sizes");
        assert!(texts > 1_000, "only {texts} texts were looked at");
        phone.close().await;
        shop.stop().await?;
        assert!(wrong.is_empty(), "{} findings:\n{}", wrong.len(), wrong.join("\n"));
        Ok(())
    })
    .await
    .unwrap();
}

/// Returns the address of the first link of a page that leads further.
async fn first(phone: &Phone, page: &str, leads: &str) -> Outcome<String> {
    answered(phone, page).await?;
    let link = format!("document.querySelector('main a[href^=\"{leads}\"]')");
    phone.until("a link", 20, &format!("!!{link}")).await?;
    let hash = phone.eval(&format!("{link}.getAttribute('href')")).await?;
    hash.as_str().map(str::to_owned).ok_or_else(|| format!("{page} leads nowhere"))
}

/// Looks at a page at the size of a desk and of a phone.
async fn look(
    phone: &mut Phone,
    theme: &str,
    page: &str,
    wrong: &mut Vec<String>,
    texts: &mut u64,
) -> Outcome<()> {
    for (size, screen) in [("1280", Screen::DESK), ("390", Screen { touch: false, ..Screen::PHONE })] {
        phone.screen(screen).await?;
        tokio::time::sleep(std::time::Duration::from_millis(150)).await;
        phone.picture(&shots().join(format!("office-{theme}-{page}-{size}.png")), true).await?;
        let at = format!("{theme} {page} {size}");
        wrong.extend(axe(phone).await.into_iter().map(|one| format!("{at}: {one}")));
        wrong.extend(contrast(phone, texts).await?.into_iter().map(|one| format!("{at}: {one}")));
        let wide = phone.eval("document.documentElement.scrollWidth - innerWidth").await?;
        if wide.as_f64().unwrap_or(999.0) > 1.0 {
            wrong.push(format!("{at}: wider than the screen by {wide} px"));
        }
    }
    phone.screen(Screen::DESK).await?;
    let faults = phone.eval("[...document.querySelectorAll('[role=alert]')].map(e => e.textContent)").await?;
    if faults != Value::Array(Vec::new()) {
        wrong.push(format!("{theme} {page}: {faults}"));
    }
    Ok(())
}
