//! Two phones and a shop: a picture from one to the other, a drawn name bound to what was shown, one field that two
//! people set.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Between, Phone, within};
use record::{Content, Event};
use serde_json::Value;
use std::path::Path;
use way::example::exported;
use way::{begun, enter, exchanged, go, joined, joined_as, opened, shop};

/// How many bytes of a picture go in one piece.
const PIECE: u64 = record::sync::CHUNK_BYTES as u64;

/// Writes a picture that no compression makes small: noise, as a bitmap.
fn noise(path: &Path, width: u32, height: u32) {
    let row = (width * 3).div_ceil(4) * 4;
    let size = 54 + row * height;
    let mut bytes = Vec::with_capacity(size as usize);
    bytes.extend(b"BM");
    for number in [size, 0, 54, 40, width, height] {
        bytes.extend(number.to_le_bytes());
    }
    bytes.extend([1, 0, 24, 0]);
    bytes.extend([0; 24]);
    let mut state = 20_261_125_u32;
    for _ in 0..row * height {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        bytes.push((state >> 24) as u8);
    }
    std::fs::write(path, bytes).unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn a_picture_goes_from_phone_to_phone_in_pieces_and_stands_in_the_report() {
    within("the picture", 300, async {
        let mut shop = shop("picture").await;
        let between = Between::open(shop.port()).await?;
        let mut first = joined("picture-1", &shop, &between.url()).await;
        let job = begun(&mut first).await;
        go(&first, &format!("#/job/{job}")).await?;
        first.until("the place", 15, "!!document.querySelector('main input[type=file]')").await?;
        let file = shop.data().join("gauge.bmp");
        noise(&file, 1500, 1100);
        // The shop takes two pieces, and the phone never hears of the second.
        between.lose_answer_to_piece(2);
        first.give_file("main input[type=file]", &file).await?;
        first.until("it is in the record", 20, "/Undo/.test(document.querySelector('nav').innerText) && /icture/.test(document.getElementById('undo').getAttribute('aria-label'))").await?;
        exchanged(&mut first).await;
        let pieces = between.pieces();
        assert!(pieces.len() >= 4, "in {} pieces", pieces.len());
        assert!(pieces.windows(2).all(|two| two[0] < two[1]), "no piece goes twice: {pieces:?}");
        assert!(pieces.iter().all(|at| at % PIECE == 0), "{pieces:?}");
        println!("the picture went in {} pieces, the answer to the second was lost, none went twice", pieces.len());

        let mut second = joined("picture-2", &shop, &shop.url()).await;
        exchanged(&mut second).await;
        go(&second, "#/pictures").await?;
        let seen = "document.querySelector('main img.shown')?.naturalWidth === 1500";
        second.until("the second phone sees it", 30, seen).await?;
        let mut pages = Vec::new();
        for phone in [&first, &second] {
            go(phone, &format!("#/job/{job}/report")).await?;
            let in_report = "document.querySelector('iframe')?.contentDocument?.querySelector('figure.taken img')?.naturalWidth === 1500";
            phone.until("the report shows it", 30, in_report).await?;
            pages.push(phone.eval("document.querySelector('iframe').srcdoc").await?);
        }
        assert_eq!(pages[0], pages[1], "the same report on both");
        assert!(pages[0].as_str().is_some_and(|page| page.contains("SHA-256 begins")), "the report names it");
        first.close().await;
        second.close().await;
        shop.stop().await
    })
    .await
    .unwrap();
}

/// The events that the shop holds.
async fn events(shop: &mut e2e::Shop, name: &str) -> Vec<Event> {
    let log = exported(shop, name).await;
    let text = std::fs::read_to_string(log).unwrap();
    let lines = text
        .lines()
        .filter(|line| serde_json::from_str::<Value>(line).is_ok_and(|value| value["id"].is_string()));
    lines.map(|line| record::read_line(line.as_bytes()).unwrap()).collect()
}

/// The page of the report as a phone with English and no settings of its own shows it.
fn page_of(events: &[Event]) -> String {
    let visit = job::visit::Visit::of_chain("", &[events.to_vec()]);
    let writer = units::Writer { decimal_comma: false, ..visit.writer() };
    let mut document = job::visit::Results::of(&visit).document(&writer);
    document.language = "en".to_owned();
    let wording = wording::Wording::new("en");
    report::to_html(&document, &|message| wording.say(message))
}

#[tokio::test(flavor = "multi_thread")]
async fn a_drawn_name_is_bound_to_what_was_shown() {
    within("the signature", 240, async {
        let mut shop = shop("signature").await;
        let mut phone = joined("signature", &shop, &shop.url()).await;
        let job = begun(&mut phone).await;
        let choice = [("option", "mend it today"), ("chosen_by", "the day manager")];
        enter(&mut phone, &job, "choice", &choice.map(|(at, text)| (at.to_owned(), text.to_owned()))).await?;
        go(&phone, &format!("#/job/{job}/sign")).await?;
        phone.until("the place to sign", 15, "!!document.querySelector('#drawn-name')").await?;
        phone.tap("css:#sign-name").await?;
        phone.type_text("the day manager").await?;
        phone.tap("Signed as drawn").await?;
        phone.shows("Nothing is drawn yet").await?;
        phone.eval("(document.querySelector('#drawn-name').scrollIntoView({block: 'center', behavior: 'instant'}), true)").await?;
        let place = phone.eval("(() => { const b = document.querySelector('#drawn-name').getBoundingClientRect(); return [b.x, b.y, b.width, b.height]; })()").await?;
        let at = |index: usize| place[index].as_f64().unwrap_or(0.0);
        let stroke: Vec<(f64, f64)> = (0..24)
            .map(|step| {
                let along = f64::from(step) / 23.0;
                let up = if step % 2 == 0 { 0.3 } else { 0.7 };
                (at(0) + at(2) * (0.1 + 0.8 * along), at(1) + at(3) * up)
            })
            .collect();
        phone.draw(&stroke).await?;
        let inked = "(() => { const c = document.querySelector('#drawn-name'); const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data; let n = 0; for (let i = 3; i < d.length; i += 4) if (d[i] > 0) n += 1; return n; })()";
        let ink = phone.eval(inked).await?;
        assert!(ink.as_u64().unwrap_or(0) > 2_000, "the line follows the finger: {ink} points of ink");
        // Now and then the browser takes the first touch after a drawn line for the line's own end: it is touched again,
        // as a person would.
        for _ in 0..3 {
            phone.tap("Signed as drawn").await?;
            let signed = "/Signed by the day manager/.test(document.body.innerText)";
            if phone.until("signed", 4, signed).await.is_ok() {
                break;
            }
        }
        phone.shows("Signed by the day manager").await?;
        exchanged(&mut phone).await;

        let all = events(&mut shop, "signed").await;
        let signed = all.iter().find_map(|event| match &event.content {
            Content::SignedResult(signed) => Some(signed.clone()),
            _ => None,
        });
        let signed = signed.ok_or("no signature in the shop")?;
        let before: Vec<Event> =
            all.iter().filter(|event| !matches!(event.content, Content::SignedResult(_))).cloned().collect();
        let shown = page_of(&before);
        assert_eq!(job::entry::sign::was_shown(&signed, &shown), Some(true), "bound to the page that stood there");
        let other = shown.replace("mend it today", "mend it tomorrow");
        assert_ne!(other, shown);
        assert_eq!(job::entry::sign::was_shown(&signed, &other), Some(false));
        let drawing = signed.result["drawing_sha256"].as_str().ok_or("no drawing")?.to_owned();

        // Another phone has the name and the drawing, in the report too.
        let mut second = joined("signature-2", &shop, &shop.url()).await;
        exchanged(&mut second).await;
        go(&second, &format!("#/job/{job}/report")).await?;
        let drawn = "document.querySelector('iframe')?.contentDocument?.querySelector('figure.taken img')?.naturalWidth === 700";
        second.until("the drawing stands in the report", 30, drawn).await?;
        let named = second.eval("document.querySelector('iframe').contentDocument.querySelector('figure.taken').innerText").await?;
        assert!(named.as_str().is_some_and(|text| text.contains("the day manager")), "{named}");
        assert_eq!(drawing.len(), 64);
        phone.close().await;
        second.close().await;
        shop.stop().await
    })
    .await
    .unwrap();
}

/// What a phone says of entries that differ: in the record of the visit, and in the list of jobs.
async fn says_unsettled(phone: &Phone, job: &str, wanted: bool) -> e2e::Outcome<()> {
    for (hash, words) in
        [(format!("#/job/{job}/record"), "Entries that differ"), ("#/".to_owned(), "entries differ")]
    {
        go(phone, &hash).await?;
        let here = format!("location.hash === '{hash}' && !!document.querySelector('main li')");
        phone.until(&hash, 15, &here).await?;
        let says = format!("document.body.innerText.includes('{words}') === {wanted}");
        phone.until(&format!("{hash} says {words:?}: {wanted}"), 15, &says).await?;
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn one_field_set_on_two_phones_is_unsettled_on_both_until_a_person_settles_it() {
    within("the field", 300, async {
        let mut shop = shop("field").await;
        let mut first = joined("field-1", &shop, &shop.url()).await;
        let job = begun(&mut first).await;
        exchanged(&mut first).await;
        shop.command(&["person", "add", "technician B"], "").await?;
        let mut second = joined_as("field-2", "technician B", &shop, &shop.url()).await;
        exchanged(&mut second).await;
        // Neither knows of the other: the shop is gone while they type.
        shop.stop().await?;
        for (phone, charge) in [(&mut first, "14.2 kg"), (&mut second, "13.1 kg")] {
            phone.reload().await?;
            opened(phone).await?;
            enter(phone, &job, "system", &[("charge".to_owned(), charge.to_owned())]).await?;
            says_unsettled(phone, &job, false).await?;
        }
        shop.start().await?;
        for phone in [&mut first, &mut second] {
            exchanged(phone).await;
        }
        exchanged(&mut first).await;
        for phone in [&first, &second] {
            says_unsettled(phone, &job, true).await?;
        }
        // What needs the field says so, and takes neither.
        for phone in [&first, &second] {
            go(phone, &format!("#/job/{job}/stage/close")).await?;
            phone.shows("charge: entries differ; a person must choose").await?;
        }
        go(&second, &format!("#/job/{job}/record")).await?;
        second.shows("Entries that differ").await?;
        let sides =
            second.eval("[...document.querySelectorAll('main .stacked')].map(e => e.innerText)").await?;
        let sides = sides.as_array().cloned().unwrap_or_default();
        assert_eq!(sides.len(), 2, "{sides:?}");
        let chosen = sides.iter().position(|side| side.as_str().is_some_and(|text| text.contains("14.2 kg")));
        second.tap_nth("css:main .stacked", chosen.ok_or_else(|| format!("{sides:?}"))?).await?;
        second.until("settled here", 15, "!document.body.innerText.includes('Entries that differ')").await?;
        exchanged(&mut second).await;
        exchanged(&mut first).await;
        for phone in [&first, &second] {
            says_unsettled(phone, &job, false).await?;
        }
        let all = events(&mut shop, "settled").await;
        assert_eq!(all.iter().filter(|event| matches!(event.content, Content::Settlement(_))).count(), 1);
        let visit = job::visit::Visit::of_chain("", &[all]);
        let charge = visit.system.value.charge.as_ref().map(record::Known::text);
        assert_eq!(charge.as_deref(), Some("14.2 kg"), "nothing is lost, and one holds");
        first.close().await;
        second.close().await;
        shop.stop().await
    })
    .await
    .unwrap();
}
