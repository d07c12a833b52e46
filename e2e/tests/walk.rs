//! Three invented visits carried from the find to the proof by what the screens offer, as somebody does who has no manual: each
//! step is a touch on an offer of its stage, and each stage then says what it has to.
#![allow(clippy::unwrap_used)]

mod way;

use e2e::{Outcome, Phone, within};
use way::look::shots;
use way::{fill, go, with_visits};

/// Goes to a stage, touches an offer by its label, types what it asks and keeps it.
async fn offered(
    phone: &mut Phone,
    at: (&str, &str),
    label: &str,
    kind: &str,
    texts: &[(&str, &str)],
) -> Outcome<()> {
    let (job, stage) = at;
    stands(phone, job, stage).await?;
    phone.tap(label).await.map_err(|error| format!("{stage}, {label}: {error}"))?;
    let texts: Vec<(String, String)> =
        texts.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
    fill(phone, kind, &texts).await.map_err(|error| format!("{stage}, {label}: {error}"))
}

async fn stands(phone: &Phone, job: &str, stage: &str) -> Outcome<()> {
    go(phone, &format!("#/job/{job}/stage/{stage}")).await?;
    let there = "!!document.querySelector('main .offers, main section') && !/^Opening/.test(document.querySelector('main').innerText.trim())";
    phone.until(stage, 20, there).await?;
    tokio::time::sleep(std::time::Duration::from_millis(300)).await;
    Ok(())
}

/// Says what a stage must say, and leaves its picture.
async fn says(phone: &Phone, at: (&str, &str), name: &str, wanted: &[&str]) -> Outcome<()> {
    let (job, stage) = at;
    stands(phone, job, stage).await?;
    phone.picture(&shots().join(format!("walk-{name}-{stage}.png")), true).await?;
    let text = phone.text().await?;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for one in wanted {
        if !text.contains(one) {
            return Err(format!("{name}, {stage}: no {one:?} in: {text}"));
        }
    }
    Ok(())
}

#[tokio::test(flavor = "multi_thread")]
async fn three_visits_go_from_the_find_to_the_proof() {
    within("three visits", 540, async {
        let names = ["room-7-first-call", "room-2-autumn", "room-4-display"];
        let (mut shop, mut phone, jobs) = with_visits("walk", &names).await;
        liquid_line(&mut phone, &jobs[0]).await?;
        autumn(&mut phone, &jobs[1]).await?;
        display(&mut phone, &jobs[2]).await?;
        phone.close().await;
        shop.stop().await?;
        Ok(())
    })
    .await
    .unwrap();
}

/// A leak at the liquid line: enclosed, mended, held, evacuated, charged, set, proved.
async fn liquid_line(phone: &mut Phone, job: &str) -> Outcome<()> {
    says(phone, (job, "search"), "line", &[]).await?;
    prices(phone, job).await?;
    says(phone, (job, "decide"), "line-priced", &["Costs before tax", "183 to 393 CAD"]).await?;
    says(phone, (job, "decide"), "line", &["Empty the section, change the part", "Shut receiver outlet"])
        .await?;
    offered(phone, (job, "decide"), "Mended", "repair", &[("what", "flare cut out, joint brazed")]).await?;
    says(phone, (job, "test"), "line", &["Raising nitrogen"]).await?;
    let start =
        [("start.pressure", "240 psig"), ("start.temperature", "18.0 °C"), ("section", "liquid line")];
    offered(phone, (job, "test"), "Hold with nitrogen", "hold", &start).await?;
    let end = [("end.pressure", "240 psig"), ("end.temperature", "18.1 °C")];
    offered(phone, (job, "test"), "End of the hold", "hold", &end).await?;
    says(phone, (job, "test"), "line-held", &["What this pressure shows"]).await?;
    says(phone, (job, "evacuate"), "line", &[]).await?;
    says(phone, (job, "charge"), "line", &[]).await?;
    says(phone, (job, "set"), "line", &["The head through the year", "How often it starts"]).await?;
    let coil = [("evaporator_pressure", "48.5 psig"), ("evaporator_line", "2.2 °C"), ("box_air", "2.1 °C")];
    offered(phone, (job, "prove"), "At the coil", "reading", &coil).await?;
    offered(
        phone,
        (job, "prove"),
        "Keep this as normal here",
        "normal",
        &[("because", "held, charged, read")],
    )
    .await?;
    says(phone, (job, "prove"), "line", &["What is normal here", "held, charged, read"]).await?;
    says(phone, (job, "close"), "line", &[]).await
}

/// The shop's price list is taken in from its file; a broken one is told with its line and takes nothing away. The quote stands beside
/// the report then, without a network.
async fn prices(phone: &mut Phone, job: &str) -> Outcome<()> {
    go(phone, "#/settings").await?;
    phone.shows("The shop's prices").await?;
    // A browser opens no path that goes up a folder.
    let good = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../examples/prices.toml")
        .canonicalize()
        .unwrap();
    let text = std::fs::read_to_string(&good).unwrap();
    let bad = shots().join("bad-prices.toml");
    std::fs::create_dir_all(shots()).unwrap();
    std::fs::write(&bad, text.replace("118.00 CAD", "much")).unwrap();
    let bad = bad.canonicalize().unwrap();
    let input = "input[accept*=toml]";
    phone.give_file(input, &good).await?;
    phone.shows("Wrenford Cold Works (invented)").await?;
    phone.give_file(input, &bad).await?;
    phone.shows("The price list was not taken").await?;
    phone.shows("Wrenford Cold Works (invented)").await?;
    phone.picture(&shots().join("walk-prices-settings.png"), true).await?;
    go(phone, &format!("#/job/{job}/report")).await?;
    phone.tap("Quote").await?;
    let total = "/HST/.test(document.querySelector('iframe').srcdoc) && /178.99/.test(document.querySelector('iframe').srcdoc)";
    phone.until("the quote", 15, total).await?;
    phone.picture(&shots().join("walk-quote-report.png"), true).await
}

#[tokio::test(flavor = "multi_thread")]
async fn the_van_is_counted_and_a_table_is_taken_in() {
    within("the van and a table", 300, async {
        let (mut shop, mut phone, jobs) = with_visits("van", &["room-7-first-call"]).await;
        counted(&mut phone).await?;
        taken_in(&mut phone, &jobs[0]).await?;
        phone.close().await;
        shop.stop().await?;
        Ok(())
    })
    .await
    .unwrap();
}

/// A thing counted and a cylinder weighed stand on the van at once; its log is no visit.
async fn counted(phone: &mut Phone) -> Outcome<()> {
    let own = |texts: &[(&str, &str)]| -> Vec<(String, String)> {
        texts.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
    };
    go(phone, "#/van").await?;
    // What the visit on this phone tells of tools stands there already.
    phone.shows("never checked").await?;
    phone.tap("Count on the van").await?;
    let drier = own(&[("what", "filter drier, liquid line"), ("count", "2"), ("wanted", "3")]);
    fill(phone, "stock", &drier).await?;
    phone.shows("filter drier, liquid line: 1 short").await?;
    phone.tap("Check of a tool").await?;
    let scale = own(&[("tool", "gauges low"), ("against", "zero"), ("result", "fail")]);
    fill(phone, "tool check", &scale).await?;
    phone.shows("gauges low failed its check on").await?;
    phone.picture(&shots().join("walk-van.png"), true).await?;
    go(phone, "#/").await?;
    phone.shows("On the van").await?;
    let text = phone.text().await?;
    if text.contains("Van of") || text.contains("\nVan\n") {
        return Err(format!("the van's own log stands among the visits: {text}"));
    }
    Ok(())
}

/// A logger's table: which column is what is said once; the next table with these columns needs no word.
async fn taken_in(phone: &mut Phone, job: &str) -> Outcome<()> {
    let table = |name: &str, text: &str| -> std::path::PathBuf {
        std::fs::create_dir_all(shots()).unwrap();
        let path = shots().join(name);
        std::fs::write(&path, text).unwrap();
        path.canonicalize().unwrap()
    };
    let head = "Stamp;Suct (psig);Line;Note\n";
    let first = table(
        "log-1.csv",
        &format!("{head}2031-05-06 22:00;33.5;41.2;x\n2031-05-06 22:10;33.4;41.0;\nsoon;33.3;40.8;\n"),
    );
    let later = table("log-2.csv", &format!("{head}2031-05-06 23:00;33.1;40.2;\n"));
    let input = "input[accept*=csv]";
    go(phone, &format!("#/job/{job}/take")).await?;
    phone.give_file(input, &first).await?;
    phone.shows("Suct (psig)").await?;
    for (at, field) in [(0, "at"), (1, "suction_pressure"), (2, "suction_line")] {
        let choose = format!(
            "(() => {{ const s = document.getElementById('take-field-{at}'); s.value = '{field}'; \
             s.dispatchEvent(new Event('change', {{ bubbles: true }})); return s.value; }})()"
        );
        let chosen = phone.eval(&choose).await?;
        if chosen.as_str() != Some(field) {
            return Err(format!("column {at} cannot be {field}: {chosen}"));
        }
    }
    // A temperature without a unit is not guessed: every row is bad until it has one.
    phone.shows("0 to take in, 3 that cannot be read").await?;
    let unit = "(() => { const u = document.querySelectorAll('.take-unit')[2]; u.value = 'F'; \
                u.dispatchEvent(new Event('change', { bubbles: true })); return u.value; })()";
    phone.eval(unit).await?;
    phone.shows("2 to take in, 1 that cannot be read").await?;
    phone.picture(&shots().join("walk-table.png"), true).await?;
    phone.tap("Take in").await?;
    phone.shows("Taken: 2.").await?;
    phone.give_file(input, &first).await?;
    phone.shows("0 to take in").await?;
    phone.give_file(input, &later).await?;
    phone.shows("1 to take in, 0 that cannot be read").await?;
    phone.tap("Take in").await?;
    phone.shows("Taken: 1.").await?;
    go(phone, &format!("#/job/{job}/record")).await?;
    phone.shows("33.1 psig").await
}

/// No leak: the winter's share is missing, how much follows from the facts that the stage asks for.
async fn autumn(phone: &mut Phone, job: &str) -> Outcome<()> {
    says(phone, (job, "search"), "autumn", &["Stop looking for a leak"]).await?;
    says(phone, (job, "charge"), "autumn", &["Most likely no leak", "How much: enter the volume"]).await?;
    let facts = [("condenser_volume", "2.2 L"), ("design_split", "15 F")];
    offered(phone, (job, "charge"), "Condenser, split, coldest air", "system", &facts).await?;
    says(
        phone,
        (job, "charge"),
        "autumn-known",
        &["On the coldest day", "the flooded condenser takes", "the winter’s share on top"],
    )
    .await?;
    says(phone, (job, "set"), "autumn", &["The head through the year", "it floods"]).await?;
    says(phone, (job, "prove"), "autumn", &[]).await
}

/// Board and gauges on different settings: reconciled before either is blamed.
async fn display(phone: &mut Phone, job: &str) -> Outcome<()> {
    says(phone, (job, "prove"), "display", &["Controller beside your gauges", "The second fits R-134a"])
        .await?;
    let set = [("found", "R-134a"), ("left", "R-513A"), ("why", "it is R-513A")];
    way::enter(
        phone,
        job,
        "setting",
        &[("what", "refrigerant set"), set[0], set[1], set[2]].map(|(a, b)| (a.to_owned(), b.to_owned())),
    )
    .await?;
    let coil = [("evaporator_pressure", "31.5 psig"), ("evaporator_line", "5.3 °C"), ("box_air", "6.2 °C")];
    offered(phone, (job, "prove"), "At the coil", "reading", &coil).await?;
    says(phone, (job, "prove"), "display-set", &["Superheat at the coil"]).await?;
    says(phone, (job, "set"), "display", &["R-134a", "R-513A"]).await
}
