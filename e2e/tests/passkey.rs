//! Passkeys in a real browser, with a key of software in it.
//!
//! With E2E_PASSKEY=1 the server under test is one built with passkeys, and the whole way is gone; else it is one without,
//! and the pages must offer none.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Outcome, Phone, Screen, Shop, within};
use way::look::{axe, contrast, shots};
use way::{go, opened};

const PASSWORD: &str = "a long enough password";
const BY_PASSKEY: &str = "Sign in with a passkey";

fn with_passkeys() -> bool {
    std::env::var_os("E2E_PASSKEY").is_some_and(|set| set == "1")
}

async fn owner(shop: &Shop) -> Outcome<()> {
    let words = ["person", "add", "owner", "--role", "owner", "--password"];
    shop.command(&words, &format!("{PASSWORD}\n")).await.map(|_| ())
}

/// Waits for the page to sign in, and returns whether it offers a passkey once the server has said.
async fn offers(phone: &Phone) -> Outcome<bool> {
    go(phone, "#/office").await?;
    phone.until("the way in", 20, "!!document.querySelector('#office-password')").await?;
    let said = phone.eval("fetch('/api/v1/passkeys').then(r => r.json()).then(r => r.passkeys)").await?;
    if said == "taken" {
        phone.shows(BY_PASSKEY).await?;
        return Ok(true);
    }
    tokio::time::sleep(std::time::Duration::from_millis(500)).await;
    Ok(phone.text().await?.contains(BY_PASSKEY))
}

async fn inside(phone: &Phone) -> Outcome<()> {
    phone.until("signed in", 20, "!!document.querySelector('.office-head nav')").await
}

async fn sign_in(phone: &mut Phone) -> Outcome<()> {
    phone.tap("css:#office-name").await?;
    phone.type_text("owner").await?;
    phone.tap("css:#office-password").await?;
    phone.type_text(PASSWORD).await?;
    phone.tap("css:.office-form button[type=submit]").await?;
    inside(phone).await
}

async fn add(phone: &mut Phone, name: &str) -> Outcome<()> {
    phone.tap("css:#passkey-name").await?;
    phone.eval("document.querySelector('#passkey-name').select()").await?;
    phone.type_text(name).await?;
    phone.tap("css:.office-form button[type=submit]").await
}

/// Looks at the page at the size of a desk and of a phone.
async fn look(phone: &mut Phone, page: &str, wrong: &mut Vec<String>) -> Outcome<()> {
    let mut texts = 0;
    for (size, screen) in [("1280", Screen::DESK), ("390", Screen { touch: false, ..Screen::PHONE })] {
        phone.screen(screen).await?;
        tokio::time::sleep(std::time::Duration::from_millis(150)).await;
        phone.picture(&shots().join(format!("office-{page}-{size}.png")), true).await?;
        wrong.extend(axe(phone).await.into_iter().map(|one| format!("{page} {size}: {one}")));
        wrong.extend(
            contrast(phone, &mut texts).await?.into_iter().map(|one| format!("{page} {size}: {one}")),
        );
        let wide = phone.eval("document.documentElement.scrollWidth - innerWidth").await?;
        if wide.as_f64().unwrap_or(999.0) > 1.0 {
            wrong.push(format!("{page} {size}: wider than the screen by {wide} px"));
        }
    }
    phone.screen(Screen::DESK).await
}

#[tokio::test(flavor = "multi_thread")]
async fn an_owner_adds_a_passkey_signs_in_with_it_and_removes_it() {
    within("passkeys", 180, async {
        let mut shop = Shop::open_as("passkey", "localhost").await?;
        owner(&shop).await?;
        let mut phone = Phone::open("passkey", &shop.url(), Screen::DESK).await?;
        phone.with_key().await?;
        opened(&phone).await?;
        assert_eq!(offers(&phone).await?, with_passkeys(), "what the page to sign in offers");
        sign_in(&mut phone).await?;
        let link = "!!document.querySelector('.office-head a[href$=\"office/passkeys\"]')";
        assert_eq!(phone.eval(link).await?, with_passkeys(), "the page among the others");
        let mut wrong = Vec::new();
        if with_passkeys() {
            whole_way(&mut phone, &mut wrong).await?;
        }
        // By a number there is no domain: no passkey, and the owner is told what is wanting.
        let mut by_number = Shop::open("passkey-number").await?;
        owner(&by_number).await?;
        phone.goto(&by_number.url()).await?;
        opened(&phone).await?;
        assert!(!offers(&phone).await?, "by a number");
        if with_passkeys() {
            sign_in(&mut phone).await?;
            phone.tap("Passkeys").await?;
            phone.shows("binds to a domain").await?;
            assert_eq!(phone.eval("document.querySelector('#passkey-name')").await?, serde_json::Value::Null);
        }
        phone.close().await;
        shop.stop().await?;
        by_number.stop().await?;
        assert!(wrong.is_empty(), "{} findings:\n{}", wrong.len(), wrong.join("\n"));
        Ok(())
    })
    .await
    .unwrap();
}

async fn whole_way(phone: &mut Phone, wrong: &mut Vec<String>) -> Outcome<()> {
    phone.tap("Passkeys").await?;
    phone.shows("You have no passkey here yet.").await?;
    add(phone, "laptop").await?;
    phone.shows("not yet").await?;
    let row = "document.querySelector('main tbody th')?.textContent";
    assert_eq!(phone.eval(row).await?, "laptop");
    look(phone, "passkeys", wrong).await?;
    // The same key is not made twice.
    add(phone, "again").await?;
    phone.shows("holds a passkey of yours").await?;
    phone.tap("Sign out").await?;
    phone.shows(BY_PASSKEY).await?;
    look(phone, "sign-in-passkey", wrong).await?;
    phone.tap(BY_PASSKEY).await?;
    inside(phone).await?;
    phone.tap("Passkeys").await?;
    phone.until("one row", 10, "document.querySelectorAll('main tbody tr').length === 1").await?;
    assert!(!phone.text().await?.contains("not yet"), "it was used");
    phone.tap("Remove the passkey laptop").await?;
    phone.shows("You have no passkey here yet.").await?;
    // The browser has it still; the server does not.
    phone.tap("Sign out").await?;
    phone.tap(BY_PASSKEY).await?;
    phone.shows("does not let anybody in here").await
}
