//! The phone itself: it touches what a person would, counts, and notices what lies over a button.
#![allow(clippy::unwrap_used)]

use e2e::{Phone, Screen};

const PAGE: &str = "data:text/html,<meta name=viewport content='width=device-width'><body style='margin:0'>\
<button style='height:60px' ontouchstart='document.title=`touched`' onclick='this.textContent=`Kept`'>Keep it</button>\
<label>Suction<input oninput='out.textContent=this.value' style='height:60px'></label><p id=out>nothing yet</p>\
<button id=u style='position:absolute;top:200px;height:60px'>Under</button><div style='position:absolute;top:190px;width:300px;height:90px;background:white'></div>";

#[tokio::test(flavor = "multi_thread")]
async fn a_phone_touches_types_and_counts() {
    let mut phone = Phone::open("harness", PAGE, Screen::PHONE).await.unwrap();
    phone.tap("Keep it").await.unwrap();
    phone.shows("Kept").await.unwrap();
    assert_eq!(phone.eval("document.title").await.unwrap(), "touched");
    phone.tap("Suction").await.unwrap();
    phone.type_text("62,5").await.unwrap();
    phone.shows("62,5").await.unwrap();
    assert_eq!(phone.touches(), 2);
    assert_eq!(phone.touches(), 0);
    assert_eq!(phone.eval("innerWidth").await.unwrap(), 390);
    assert!(phone.tap("Under").await.unwrap_err().contains("lies over"));
    phone.offline(true).await.unwrap();
    phone.until("offline", 5, "navigator.onLine === false").await.unwrap();
    phone.offline(false).await.unwrap();
    phone.until("online", 5, "navigator.onLine === true").await.unwrap();
    phone.kill_tab().await.unwrap();
    phone.shows("nothing yet").await.unwrap();
    phone.close().await;
}
