//! Every screen of the phone, both themes: readable, reachable, nothing cut off, nothing asked of another server.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Phone, Screen, within};
use way::look::{axe, contrast, shots};
use way::{form, go, opened, shop, with_examples};

/// The screens by name and address.
fn screens(job: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = [
        ("jobs", "#/"),
        ("new", "#/new"),
        ("ask", "#/ask"),
        ("ask-saturation", "#/ask/saturation"),
        ("ask-superheat", "#/ask/superheat"),
        ("ask-hold", "#/ask/hold"),
        ("ask-recovery", "#/ask/recovery"),
        ("ask-evacuation", "#/ask/evacuation"),
        ("ask-pulldown", "#/ask/pulldown"),
        ("ask-displays", "#/ask/displays"),
        ("ask-box", "#/ask/box"),
        ("ask-fractionation", "#/ask/fractionation"),
        ("van", "#/van"),
        ("pictures", "#/pictures"),
        ("waiting", "#/waiting"),
        ("pair", "#/pair"),
        ("settings", "#/settings"),
        ("about", "#/about"),
    ]
    .map(|(name, hash)| (name.to_owned(), hash.to_owned()))
    .to_vec();
    for stage in
        ["arrive", "diagnose", "search", "decide", "test", "evacuate", "charge", "set", "prove", "close"]
    {
        all.push((format!("stage-{stage}"), format!("#/job/{job}/stage/{stage}")));
    }
    for (name, rest) in [
        ("place", ""),
        ("stages", "/stages"),
        ("record", "/record"),
        ("report", "/report"),
        ("sign", "/sign"),
    ] {
        all.push((name.to_owned(), format!("#/job/{job}{rest}")));
    }
    let forms = [
        ("entry-reading", form(job, "reading", &["suction_pressure", "suction_line", "glass"], &[])),
        ("entry-check", form(job, "leak check", &["place", "method", "result", "minutes"], &[])),
        ("entry-weighing", form(job, "weighing", &["cylinder", "direction", "before", "after"], &[])),
        ("entry-system", format!("#/job/{job}/entry/system")),
    ];
    all.extend(forms.map(|(name, hash)| (name.to_owned(), hash)));
    all
}

async fn show(phone: &Phone, hash: &str) {
    go(phone, hash).await.unwrap();
    phone.until(hash, 20, "!!document.querySelector('h1') && !/^Opening/.test(document.querySelector('main').innerText.trim())").await.unwrap();
    if hash.contains("/job/") {
        let heading = phone.eval("document.querySelector('h1').textContent").await.unwrap();
        assert_ne!(heading, "gastight", "{hash} leads to the list of jobs");
    }
    // Pictures and frames come a moment later than the words.
    tokio::time::sleep(std::time::Duration::from_millis(250)).await;
}

/// Targets under 56 px, text under 18 px, anything wider than the screen.
const OWN: &str = r"(() => {
  const out = [];
  const seen = e => { const b = e.getBoundingClientRect(); return b.width > 1 && b.height > 1 && getComputedStyle(e).visibility !== 'hidden'; };
  const short = e => (e.getAttribute('aria-label') || e.textContent || e.id || e.tagName).trim().replace(/\s+/g, ' ').slice(0, 50);
  for (const e of document.querySelectorAll('button, summary, a[href], select, textarea, input')) {
    if (!seen(e) || e.closest('.unseen') || e.classList.contains('unseen-input') || e.type === 'file') continue;
    const b = (e.closest('label.button') || e).getBoundingClientRect();
    if (b.height < 55.5 || b.width < 55.5) out.push(`target ${Math.round(b.width)} x ${Math.round(b.height)}: ${short(e)}`);
  }
  for (const e of document.querySelectorAll('main *, header *, nav *')) {
    if (e.closest('svg, .unseen, sub, sup') || !seen(e)) continue;
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    const size = parseFloat(getComputedStyle(e).fontSize);
    if (own && size < 17.9) out.push(`text ${size} px: ${short(e)}`);
  }
  const wide = document.documentElement.scrollWidth - innerWidth;
  if (wide > 1) out.push(`wider than the screen by ${wide} px`);
  return [...new Set(out)].slice(0, 12);
})()";

#[tokio::test(flavor = "multi_thread")]
async fn every_screen_is_readable_and_reachable_in_both_themes() {
    within("every screen", 540, async {
        let (mut shop, mut phone, jobs) = with_examples("screens").await;
        let mut wrong: Vec<String> = Vec::new();
        let mut texts = 0;
        for theme in ["sun", "plant"] {
            show(&phone, "#/settings").await;
            phone.tap(if theme == "sun" { "For the sun" } else { "For plant rooms" }).await?;
            for (name, hash) in screens(&jobs[1]) {
                show(&phone, &hash).await;
                phone.picture(&shots().join(format!("phone-{theme}-{name}.png")), true).await?;
                wrong.extend(axe(&phone).await.into_iter().map(|one| format!("{theme} {name}: {one}")));
                wrong.extend(
                    contrast(&phone, &mut texts)
                        .await?
                        .into_iter()
                        .map(|one| format!("{theme} {name}: {one}")),
                );
                let own = phone.eval(OWN).await?;
                let own = own.as_array().cloned().unwrap_or_default();
                wrong.extend(own.iter().map(|one| format!("{theme} {name}: {one}")));
            }
        }
        println!("{texts} texts of the phone's screens looked at, in both themes");
        assert!(texts > 2_000, "only {texts} texts were looked at");
        // The smallest phone, and text twice as large.
        phone.screen(Screen::SMALL).await?;
        for (name, hash) in screens(&jobs[1]) {
            for size in ["100%", "200%"] {
                show(&phone, &hash).await;
                phone
                    .eval(&format!(
                        "(document.documentElement.style.fontSize = 'calc(112.5% * {})', true)",
                        if size == "100%" { 1 } else { 2 }
                    ))
                    .await?;
                if name == "stage-charge" || name == "entry-reading" {
                    phone
                        .picture(
                            &shots().join(format!("small-{}-{name}.png", size.trim_end_matches('%'))),
                            true,
                        )
                        .await?;
                }
                let wide = phone.eval("document.documentElement.scrollWidth - innerWidth").await?;
                if wide.as_f64().unwrap_or(999.0) > 1.0 {
                    wrong.push(format!("320 px, text {size}, {name}: wider than the screen by {wide} px"));
                }
            }
            phone.eval("(document.documentElement.style.fontSize = '', true)").await?;
        }
        phone.close().await;
        shop.stop().await?;
        assert!(wrong.is_empty(), "{} findings:\n{}", wrong.len(), wrong.join("\n"));
        Ok(())
    })
    .await
    .unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn the_app_installs_asks_nobody_else_and_answers_offline() {
    within("offline", 240, async {
        let mut shop = shop("offline").await;
        let mut phone = Phone::open("offline", &shop.url(), Screen::PHONE).await?;
        opened(&phone).await?;
        let manifest = phone
            .eval("fetch(document.querySelector('link[rel=manifest]').href).then(r => r.json())")
            .await?;
        assert_eq!(manifest["display"], "standalone", "{manifest}");
        assert!(manifest["name"].is_string() && manifest["start_url"].is_string());
        let icons = manifest["icons"].as_array().cloned().unwrap_or_default();
        assert!(icons.iter().any(|icon| icon["sizes"] == "512x512"), "{icons:?}");
        assert!(icons.iter().any(|icon| icon["purpose"].as_str().is_some_and(|p| p.contains("maskable"))));
        phone.until("the service worker is there", 60, "navigator.serviceWorker.ready.then(r => !!r.active)").await?;
        phone.reload().await?;
        opened(&phone).await?;
        phone.until("it serves the page", 20, "!!navigator.serviceWorker.controller").await?;
        let others = phone
            .eval("performance.getEntriesByType('resource').map(r => r.name).filter(n => !n.startsWith(location.origin) && !n.startsWith('blob:') && !n.startsWith('data:'))")
            .await?;
        assert_eq!(others, serde_json::json!([]), "asked of another server");
        shop.stop().await?;
        phone.offline(true).await?;
        phone.reload().await?;
        opened(&phone).await?;
        go(&phone, "#/ask/saturation").await?;
        phone.until("the question", 20, "!!document.querySelector('main input')").await?;
        phone.close().await;
        Ok(())
    })
    .await
    .unwrap();
}
