//! A phone: a headless Chromium with a touch screen.

use crate::{Outcome, chromium, within};
use chromiumoxide::browser::{Browser, BrowserConfig};
use chromiumoxide::cdp::browser_protocol::emulation::{
    SetCpuThrottlingRateParams, SetDeviceMetricsOverrideParams, SetTouchEmulationEnabledParams,
};
use chromiumoxide::cdp::browser_protocol::input::{
    DispatchKeyEventParams, DispatchKeyEventType, InsertTextParams,
};
use chromiumoxide::cdp::browser_protocol::network;
use chromiumoxide::cdp::browser_protocol::target::SetAutoAttachParams;
use chromiumoxide::cdp::browser_protocol::web_authn::{
    self, AddVirtualAuthenticatorParams, AuthenticatorProtocol, AuthenticatorTransport,
    VirtualAuthenticatorOptions,
};
use chromiumoxide::page::{Page, ScreenshotParams};
use chromiumoxide::types::{Command, Method, MethodId};
use futures::StreamExt as _;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The size of a screen and whether it is touched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screen {
    /// Its width in CSS pixels.
    pub width: i64,
    /// Its height in CSS pixels.
    pub height: i64,
    /// A phone: touch, and two device pixels to a CSS pixel.
    pub touch: bool,
}

impl Screen {
    /// The phone that the app is drawn for.
    pub const PHONE: Screen = Screen { width: 390, height: 844, touch: true };
    /// The smallest phone.
    pub const SMALL: Screen = Screen { width: 320, height: 640, touch: true };
    /// An office's screen.
    pub const DESK: Screen = Screen { width: 1280, height: 900, touch: false };
}

/// Finds what a person would touch: by its accessible name, among what is seen.
const FIND: &str = r#"
window.__name = e => {
  const of = id => document.getElementById(id)?.textContent ?? '';
  const by = e.getAttribute('aria-labelledby');
  if (by) return by.split(/\s+/).map(of).join(' ').replace(/\s+/g, ' ').trim();
  const own = e.getAttribute('aria-label');
  if (own) return own.replace(/\s+/g, ' ').trim();
  const label = e.labels && e.labels[0];
  if (label) return label.textContent.replace(/\s+/g, ' ').trim();
  return (e.textContent || e.value || '').replace(/\s+/g, ' ').trim();
};
window.__seen = e => {
  const box = e.getBoundingClientRect();
  // What lies in something closed has a size and is not seen.
  return box.width > 0 && box.height > 0 && e.checkVisibility() && getComputedStyle(e).visibility !== 'hidden' && !e.closest('[inert]');
};
window.__all = () => [...document.querySelectorAll('button, a[href], input, select, textarea, summary, [role=button], [role=radio], [role=checkbox], [tabindex="0"]')].filter(__seen);
window.__find = (what, nth) => {
  if (what.startsWith('css:')) return [...document.querySelectorAll(what.slice(4))].filter(__seen)[nth];
  const all = __all();
  const low = what.toLowerCase();
  const same = all.filter(e => __name(e) === what);
  const starts = all.filter(e => __name(e).toLowerCase().startsWith(low));
  const has = all.filter(e => __name(e).toLowerCase().includes(low));
  return [...new Set([...same, ...starts, ...has])][nth];
};
window.__way = to => {
  const all = [...document.querySelectorAll('button, a[href], input, select, textarea, summary, iframe, [tabindex]')]
    .filter(e => __seen(e) && e.tabIndex >= 0 && !e.disabled && e.type !== 'hidden');
  const there = all.indexOf(to);
  if (there < 0) return null;
  const now = document.activeElement;
  const here = all.indexOf(now);
  if (here >= 0) return there - here;
  // On something that Tab passes by: how many come before it.
  const before = now && now !== document.body
    ? all.filter(e => now.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_PRECEDING).length : 0;
  return there >= before ? there - before + 1 : there - before;
};
window.__shows_focus = e => {
  if (!e.matches(':focus-visible')) return false;
  const box = e.getBoundingClientRect();
  if (box.bottom <= 0 || box.top >= innerHeight) return false;
  // Under the head or the foot it would not be seen either.
  const top = document.elementFromPoint(box.x + box.width / 2, Math.max(1, Math.min(innerHeight - 1, box.y + box.height / 2)));
  if (top && !e.contains(top) && !top.contains(e) && ![...(e.labels ?? [])].some(l => l.contains(top))) return false;
  const wide = one => { const s = getComputedStyle(one); return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 3; };
  const frame = e.closest('.field, .picture-button');
  return wide(e) || (frame && (wide(frame) || getComputedStyle(frame).boxShadow !== 'none'));
};
true"#;

/// One touch. The library's own type leaves out the empty list of points that ends a touch.
struct Touch(Value);

impl serde::Serialize for Touch {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

impl Method for Touch {
    fn identifier(&self) -> MethodId {
        "Input.dispatchTouchEvent".into()
    }
}

impl Command for Touch {
    type Response = Value;
}

/// A browser with one page, which counts how often it was touched.
pub struct Phone {
    browser: Browser,
    page: Page,
    pump: tokio::task::JoinHandle<()>,
    profile: PathBuf,
    screen: Screen,
    touches: u32,
    start: String,
}

impl Phone {
    /// Starts a browser with an empty profile and opens `url`.
    ///
    /// # Errors
    /// Chromium is not here or does not start.
    pub async fn open(name: &str, url: &str, screen: Screen) -> Outcome<Self> {
        let profile = std::env::temp_dir().join(format!("gastight-phone-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&profile);
        let (browser, pump) = launch(&profile, screen).await?;
        let page = tab(&browser, screen).await?;
        let mut phone = Self { browser, page, pump, profile, screen, touches: 0, start: url.to_owned() };
        phone.goto(url).await?;
        Ok(phone)
    }

    /// Opens an address in the page.
    ///
    /// # Errors
    /// It does not load within 60 s.
    pub async fn goto(&mut self, url: &str) -> Outcome<()> {
        let page = &self.page;
        // The library waits for a load that it may not see where a service worker answers: the tests wait for what the
        // page shows instead.
        match tokio::time::timeout(Duration::from_secs(10), page.goto(url)).await {
            Ok(Err(fault)) if !fault.to_string().contains("timed out") => {
                Err(format!("open the page: {fault}"))
            }
            _ => Ok(()),
        }
    }

    /// Loads the page anew.
    ///
    /// # Errors
    /// It does not load within 60 s.
    pub async fn reload(&mut self) -> Outcome<()> {
        let page = &self.page;
        within("reload", 60, async { page.reload().await.map(|_| ()).map_err(|e| e.to_string()) }).await
    }

    /// Ends the browser without a word, as a phone short of memory does, starts it anew with what it had stored, and
    /// opens the address where it was.
    ///
    /// # Errors
    /// It does not start, or the page does not open.
    pub async fn kill_tab(&mut self) -> Outcome<()> {
        let here = self.page.url().await.ok().flatten().unwrap_or_else(|| self.start.clone());
        // What is killed answers nothing more.
        let _ = tokio::time::timeout(Duration::from_secs(5), self.browser.kill()).await;
        self.pump.abort();
        for left in ["SingletonLock", "SingletonSocket", "SingletonCookie"] {
            let _ = std::fs::remove_file(self.profile.join(left));
        }
        let (browser, pump) = launch(&self.profile, self.screen).await?;
        (self.browser, self.pump) = (browser, pump);
        self.page = tab(&self.browser, self.screen).await?;
        self.goto(&here).await
    }

    /// Returns what an expression gives in the page.
    ///
    /// # Errors
    /// It throws, or takes longer than 30 s.
    pub async fn eval(&self, expression: &str) -> Outcome<Value> {
        within("evaluate", 30, async {
            let wrapped = format!("(async () => {{ {FIND}; return await ({expression}); }})()");
            let result = self.page.evaluate(wrapped).await.map_err(|e| format!("{expression:.120}: {e}"))?;
            Ok(result.value().cloned().unwrap_or(Value::Null))
        })
        .await
    }

    /// Waits until an expression is true.
    ///
    /// # Errors
    /// It is not after `seconds`; what the page shows then.
    pub async fn until(&self, what: &str, seconds: u64, expression: &str) -> Outcome<()> {
        let tries = async {
            loop {
                if self.eval(expression).await.is_ok_and(|value| value == Value::Bool(true)) {
                    return;
                }
                tokio::time::sleep(Duration::from_millis(40)).await;
            }
        };
        if tokio::time::timeout(Duration::from_secs(seconds), tries).await.is_ok() {
            return Ok(());
        }
        let shown = self.text().await.unwrap_or_default();
        Err(format!("{what}: not after {seconds} s; the page shows: {shown:.900}"))
    }

    /// Waits until the page shows a text.
    ///
    /// # Errors
    /// It does not after 15 s.
    pub async fn shows(&self, text: &str) -> Outcome<()> {
        let wanted = serde_json::to_string(text).map_err(|e| e.to_string())?;
        let expression = format!(
            "document.body.innerText.replace(/[\\s\\u00a0\\u202f]+/g, ' ').toLowerCase().includes({wanted}.toLowerCase())"
        );
        self.until(&format!("shows {text:?}"), 15, &expression).await
    }

    /// Returns the text that the page shows.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn text(&self) -> Outcome<String> {
        let value = self.eval("document.body.innerText").await?;
        Ok(value.as_str().unwrap_or_default().replace(['\u{a0}', '\u{202f}'], " "))
    }

    /// Touches what has this accessible name, or `css:SELECTOR`; the first one that is seen.
    ///
    /// # Errors
    /// There is no such thing after 10 s, or something else lies over it.
    pub async fn tap(&mut self, what: &str) -> Outcome<()> {
        self.tap_nth(what, 0).await
    }

    /// Touches the one numbered `nth`, from 0, among those of this name.
    ///
    /// # Errors
    /// As [`Phone::tap`].
    pub async fn tap_nth(&mut self, what: &str, nth: usize) -> Outcome<()> {
        let name = serde_json::to_string(what).map_err(|e| e.to_string())?;
        self.until(&format!("find {what:?}"), 10, &format!("!!__find({name}, {nth})")).await?;
        let look = format!(
            "(() => {{ const e = __find({name}, {nth}); if (!e) return {{ok: false, over: 'it is gone'}};
              e.scrollIntoView({{block: 'center', behavior: 'instant'}});
              const b = e.getBoundingClientRect(); const x = b.x + b.width / 2, y = b.y + b.height / 2;
              const top = document.elementFromPoint(x, y);
              const ok = top && (e === top || e.contains(top) || top.contains(e) || (e.labels && [...e.labels].some(l => l.contains(top))));
              return {{x, y, ok: !!ok, over: ok ? '' : (top?.outerHTML ?? 'nothing').slice(0, 160)}}; }})()"
        );
        // The keys come and go, and the page makes room for them: a finger waits until what it aims at stands still.
        let mut point = self.eval(&look).await?;
        for _ in 0..20 {
            tokio::time::sleep(Duration::from_millis(30)).await;
            let again = self.eval(&look).await?;
            let still = again == point;
            point = again;
            if still {
                break;
            }
        }
        if point["ok"] != Value::Bool(true) {
            return Err(format!("tap {what:?}: something lies over it: {}", point["over"]));
        }
        let (x, y) = (point["x"].as_f64().unwrap_or(0.0), point["y"].as_f64().unwrap_or(0.0));
        self.touches += 1;
        let page = &self.page;
        let touch = self.screen.touch;
        within(&format!("tap {what:?}"), 20, async {
            if !touch {
                return page
                    .click(chromiumoxide::layout::Point { x, y })
                    .await
                    .map(|_| ())
                    .map_err(|e| e.to_string());
            }
            for (kind, points) in [("touchStart", json!([{"x": x, "y": y}])), ("touchEnd", json!([]))] {
                let touch = Touch(json!({"type": kind, "touchPoints": points}));
                page.execute(touch).await.map_err(|e| e.to_string())?;
            }
            Ok(())
        })
        .await
    }

    /// Types a text where the focus is.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn type_text(&self, text: &str) -> Outcome<()> {
        self.page.execute(InsertTextParams::new(text)).await.map(|_| ()).map_err(|e| e.to_string())
    }

    /// Presses a key, such as `Tab`, `Enter`, `Escape`, `ArrowDown`, ` `, or one that types a sign.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn key(&self, key: &str) -> Outcome<()> {
        self.press(key, false).await
    }

    /// Presses a key while Shift is held.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn shift_key(&self, key: &str) -> Outcome<()> {
        self.press(key, true).await
    }

    async fn press(&self, key: &str, shift: bool) -> Outcome<()> {
        let code = match key {
            "Tab" => 9,
            "Enter" => 13,
            "Escape" => 27,
            " " => 32,
            "ArrowLeft" => 37,
            "ArrowUp" => 38,
            "ArrowRight" => 39,
            "ArrowDown" => 40,
            "Backspace" => 8,
            // Of the other signs the numbers differ from keyboard to keyboard, and some are those of keys that delete.
            one => one
                .chars()
                .next()
                .filter(|c| c.is_ascii_alphanumeric())
                .map_or(0, |c| i64::from(u32::from(c.to_ascii_uppercase()))),
        };
        let text = match key {
            "Enter" => Some("\r"),
            one if one.chars().count() == 1 => Some(one),
            _ => None,
        };
        for kind in [DispatchKeyEventType::KeyDown, DispatchKeyEventType::KeyUp] {
            let mut event = DispatchKeyEventParams::new(kind.clone());
            event.key = Some(key.to_owned());
            event.code = Some(if key == " " { "Space".to_owned() } else { key.to_owned() });
            event.windows_virtual_key_code = Some(code);
            event.modifiers = shift.then_some(8);
            if kind == DispatchKeyEventType::KeyDown {
                event.text = text.map(str::to_owned);
            }
            self.page.execute(event).await.map_err(|e| format!("key {key}: {e}"))?;
        }
        Ok(())
    }

    /// Types a text key by key.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn type_keys(&self, text: &str) -> Outcome<()> {
        for sign in text.chars() {
            let key = if sign == '\n' { "Enter".to_owned() } else { sign.to_string() };
            self.key(&key).await?;
        }
        Ok(())
    }

    /// Brings the focus to what has this accessible name, or `css:SELECTOR`, by the Tab key alone, and makes sure that
    /// a person sees where it stands.
    ///
    /// # Errors
    /// There is no such thing after 10 s, Tab does not lead to it, or the focus is not to be seen.
    pub async fn tab_to(&self, what: &str) -> Outcome<()> {
        let name = serde_json::to_string(what).map_err(|e| e.to_string())?;
        self.until(&format!("find {what:?}"), 10, &format!("!!__find({name}, 0)")).await?;
        // How far it is from the focus in the order of the page; the keys themselves are pressed, and where they led is
        // asked. Fields passed on the way may open and add to it.
        for _ in 0..40 {
            let there = self.eval(&format!("document.activeElement === __find({name}, 0)")).await?;
            if there == Value::Bool(true) {
                // The keys come up a moment after the focus, and the page makes room for them.
                let shows = "__shows_focus(document.activeElement)";
                if self.until("shows where it stands", 2, shows).await.is_ok() {
                    return Ok(());
                }
                let at = "(() => { const e = document.activeElement, b = e.getBoundingClientRect(); return [Math.round(b.top), Math.round(b.bottom), document.elementFromPoint(b.x + b.width / 2, b.y + b.height / 2)?.outerHTML.slice(0, 90)]; })()";
                let at = self.eval(at).await?;
                return Err(format!("{what:?} has the focus and does not show it: {at}"));
            }
            let way = self.eval(&format!("__way(__find({name}, 0))")).await?;
            let way = way.as_i64().ok_or_else(|| format!("{what:?} takes no focus"))?;
            for _ in 0..way.unsigned_abs().max(1) {
                if way < 0 { self.shift_key("Tab").await? } else { self.key("Tab").await? }
            }
        }
        let at = self.eval("document.activeElement?.outerHTML.slice(0, 160)").await?;
        Err(format!("Tab does not lead to {what:?}; it stands on {at}"))
    }

    /// Brings the focus to something by the Tab key and presses Enter on it.
    ///
    /// # Errors
    /// As [`Phone::tab_to`].
    pub async fn enter_on(&self, what: &str) -> Outcome<()> {
        let name = serde_json::to_string(what).map_err(|e| e.to_string())?;
        // A screen that has just come takes the focus to its heading a moment later; then Enter would go there.
        for _ in 0..5 {
            self.tab_to(what).await?;
            tokio::time::sleep(Duration::from_millis(80)).await;
            let there = self.eval(&format!("document.activeElement === __find({name}, 0)")).await?;
            if there == Value::Bool(true) {
                break;
            }
        }
        self.key("Enter").await
    }

    /// Brings the focus to something and presses Enter until `there` holds: a screen drawn anew between the look at the
    /// focus and the key takes the key with it, and a person presses once more.
    ///
    /// # Errors
    /// As [`Phone::tab_to`], or it does not hold after four keys.
    pub async fn enter_leads(&self, what: &str, name: &str, there: &str) -> Outcome<()> {
        for _ in 0..3 {
            self.enter_on(what).await?;
            if self.until(name, 5, there).await.is_ok() {
                return Ok(());
            }
        }
        self.enter_on(what).await?;
        self.until(name, 20, there).await
    }

    /// Gives a file to the field for files that `selector` names, as a camera or a chooser of files does.
    ///
    /// # Errors
    /// There is no such field.
    pub async fn give_file(&self, selector: &str, file: &Path) -> Outcome<()> {
        use chromiumoxide::cdp::browser_protocol::dom::SetFileInputFilesParams;
        within(&format!("give a file to {selector}"), 20, async {
            let field = self.page.find_element(selector).await.map_err(|e| e.to_string())?;
            let mut params = SetFileInputFilesParams::new(vec![file.display().to_string()]);
            params.backend_node_id = Some(field.backend_node_id);
            self.page.execute(params).await.map(|_| ()).map_err(|e| e.to_string())
        })
        .await
    }

    /// Draws a line with one finger through points of the page's window.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn draw(&mut self, points: &[(f64, f64)]) -> Outcome<()> {
        self.touches += 1;
        let page = &self.page;
        within("draw", 20, async {
            for (index, (x, y)) in points.iter().enumerate() {
                let kind = if index == 0 { "touchStart" } else { "touchMove" };
                let touch = Touch(json!({"type": kind, "touchPoints": [{"x": x, "y": y}]}));
                page.execute(touch).await.map_err(|e| e.to_string())?;
                tokio::time::sleep(Duration::from_millis(16)).await;
            }
            let touch = Touch(json!({"type": "touchEnd", "touchPoints": []}));
            page.execute(touch).await.map_err(|e| e.to_string())?;
            // A finger is lifted and put down again later than this.
            tokio::time::sleep(Duration::from_millis(400)).await;
            Ok(())
        })
        .await
    }

    /// Returns how often it was touched, and begins to count anew.
    pub fn touches(&mut self) -> u32 {
        std::mem::take(&mut self.touches)
    }

    /// Tells the page that the network is gone, or back. The server under test is stopped besides.
    ///
    /// # Errors
    /// The page does not answer.
    #[expect(
        deprecated,
        reason = "what replaces it does not turn navigator.onLine in every Chromium of today"
    )]
    pub async fn offline(&self, offline: bool) -> Outcome<()> {
        let mut conditions = network::EmulateNetworkConditionsParams::new(offline, 0.0, -1.0, -1.0);
        conditions.connection_type =
            Some(if offline { network::ConnectionType::None } else { network::ConnectionType::Wifi });
        self.page.execute(conditions).await.map(|_| ()).map_err(|e| e.to_string())
    }

    /// Slows the processor by a factor; 1 is its own speed.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn slow(&self, factor: f64) -> Outcome<()> {
        self.page
            .execute(SetCpuThrottlingRateParams::new(factor))
            .await
            .map(|_| ())
            .map_err(|e| e.to_string())
    }

    /// Gives the page a key of software that makes and uses passkeys, as if its person always agreed.
    ///
    /// # Errors
    /// The browser has none such.
    pub async fn with_key(&self) -> Outcome<()> {
        let options = VirtualAuthenticatorOptions::builder()
            .protocol(AuthenticatorProtocol::Ctap2)
            .transport(AuthenticatorTransport::Internal)
            .has_resident_key(true)
            .has_user_verification(true)
            .is_user_verified(true)
            .automatic_presence_simulation(true)
            .build()?;
        self.page.execute(web_authn::EnableParams::default()).await.map_err(|e| e.to_string())?;
        let add = AddVirtualAuthenticatorParams::new(options);
        self.page.execute(add).await.map(|_| ()).map_err(|e| e.to_string())
    }

    /// Takes another screen.
    ///
    /// # Errors
    /// The page does not answer.
    pub async fn screen(&mut self, screen: Screen) -> Outcome<()> {
        self.screen = screen;
        emulate(&self.page, screen).await
    }

    /// Writes a picture of the whole page.
    ///
    /// # Errors
    /// It cannot be taken or written.
    pub async fn picture(&self, path: &Path, whole_page: bool) -> Outcome<()> {
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder).map_err(|e| e.to_string())?;
        }
        let params = ScreenshotParams::builder().full_page(whole_page).build();
        within("picture", 30, async {
            self.page.save_screenshot(params, path).await.map(|_| ()).map_err(|e| e.to_string())
        })
        .await
    }

    /// Returns the page itself, for what is not here.
    #[must_use]
    pub const fn page(&self) -> &Page {
        &self.page
    }

    /// Ends the browser and removes its profile.
    pub async fn close(mut self) {
        let _ = tokio::time::timeout(Duration::from_secs(10), self.browser.close()).await;
        let _ = tokio::time::timeout(Duration::from_secs(10), self.browser.wait()).await;
        self.pump.abort();
        let _ = std::fs::remove_dir_all(&self.profile);
    }
}

/// Starts a browser over a profile.
async fn launch(profile: &Path, screen: Screen) -> Outcome<(Browser, tokio::task::JoinHandle<()>)> {
    let flags = [
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--disable-dev-shm-usage",
        "--hide-scrollbars",
        "--lang=en-CA",
    ];
    let config = BrowserConfig::builder()
        .chrome_executable(chromium()?)
        .no_sandbox()
        .new_headless_mode()
        .window_size(screen.width as u32, screen.height as u32)
        .viewport(None)
        .user_data_dir(profile)
        .launch_timeout(Duration::from_secs(60))
        .request_timeout(Duration::from_secs(60))
        .args(flags)
        .build()?;
    let (browser, mut handler) = Browser::launch(config).await.map_err(|e| format!("Chromium: {e}"))?;
    let pump = tokio::spawn(async move { while handler.next().await.is_some() {} });
    Ok((browser, pump))
}

async fn tab(browser: &Browser, screen: Screen) -> Outcome<Page> {
    let page = browser.new_page("about:blank").await.map_err(|e| e.to_string())?;
    // Left on, the library's own attaching would hold the service worker for ever.
    let mut attach = SetAutoAttachParams::new(false, false);
    attach.flatten = Some(true);
    page.execute(attach).await.map_err(|e| e.to_string())?;
    emulate(&page, screen).await?;
    Ok(page)
}

async fn emulate(page: &Page, screen: Screen) -> Outcome<()> {
    let factor = if screen.touch { 2.0 } else { 1.0 };
    let metrics = SetDeviceMetricsOverrideParams::new(screen.width, screen.height, factor, screen.touch);
    page.execute(metrics).await.map_err(|e| e.to_string())?;
    let mut touch = SetTouchEmulationEnabledParams::new(screen.touch);
    touch.max_touch_points = Some(if screen.touch { 5 } else { 1 });
    page.execute(touch).await.map(|_| ()).map_err(|e| e.to_string())
}
