//! The settings: theme, language, name, units, what is kept, the way to a file.

use crate::app::App;
use crate::parts::act::{Fault, fault_line};
use crate::parts::frame::{frame, open_row};
use crate::route::Screen;
use crate::settings::Theme;
use leptos::prelude::*;
use report::Message;
use wasm_bindgen::JsCast;

/// Whose prices are here, and for how much.
fn price_words(app: App) -> String {
    match app.prices() {
        Some(prices) => {
            let count = prices.hours.len() + prices.fixed.len() + prices.gas.len() + prices.items.len();
            app.say(
                &Message::new("app-prices-of").with("shop", prices.shop.name.as_str()).with("count", count),
            )
        }
        None => app.say(&Message::new("app-prices-none")),
    }
}

/// Returns the two themes as buttons: by word and by a picture of where they serve.
pub fn theme_buttons(app: App) -> AnyView {
    let button = move |theme: Theme, message: Message, drawing: &'static str| {
        view! {
            <button
                class="button small"
                aria-pressed=move || (app.settings().theme() == theme).to_string()
                on:click=move |_| app.set(|settings| settings.theme = Some(theme))
            >
                <svg class="icon" viewBox="0 0 24 24" aria-hidden="true"><path d=drawing /></svg>
                <span>{app.say(&message)}</span>
            </button>
        }
        .into_any()
    };
    view! {
        <div class="buttons" role="group" aria-label=app.say(&Message::new("app-theme"))>
            {button(
                Theme::Sun,
                Message::new("app-theme-sun"),
                "M12 7A5 5 0 1 1 11.9 7M12 1V4M12 20V23M1 12H4M20 12H23M4.2 4.2 6.3 6.3M17.7 17.7 19.8 19.8M4.2 19.8 6.3 17.7M17.7 6.3 19.8 4.2",
            )}
            {button(Theme::Plant, Message::new("app-theme-plant"), "M5 13 8 3H16L19 13ZM9 13V17H15V13M12 17V22")}
        </div>
    }
    .into_any()
}

/// Returns the languages as buttons, each in its own words.
pub fn language_buttons(app: App) -> AnyView {
    let button = move |tag: &'static str, words: &'static str| {
        view! {
            <button
                class="button small"
                lang=tag
                aria-pressed=move || (app.wording().language() == tag).to_string()
                on:click=move |_| app.set(|settings| settings.language = Some(tag.to_owned()))
            >
                {words}
            </button>
        }
        .into_any()
    };
    view! {
        <div class="buttons" role="group" aria-label=app.say(&Message::new("app-language"))>
            {button("en", "English")}
            {button("fr-CA", "Français")}
        </div>
    }
    .into_any()
}

/// Returns the screen.
pub fn view(app: App) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let told = RwSignal::new(None::<String>);
    let name = app.settings().name.unwrap_or_default();
    let comma = move |wanted: bool, words: &'static str| {
        view! {
            <button
                class="button small"
                aria-pressed=move || (app.settings().decimal_comma() == wanted).to_string()
                on:click=move |_| app.set(|settings| settings.decimal_comma = Some(wanted))
            >
                {words}
            </button>
        }
        .into_any()
    };
    let unit = move |quantity: &'static str, units: &'static [&'static str]| {
        let buttons: Vec<AnyView> = units
            .iter()
            .map(|unit| {
                view! {
                    <button
                        class="button small"
                        aria-pressed=move || (app.units(quantity).as_deref() == Some(*unit)).to_string()
                        on:click=move |_| app.remember_unit(quantity, unit)
                    >
                        {*unit}
                    </button>
                }
                .into_any()
            })
            .collect();
        view! { <div class="buttons part">{buttons}</div> }.into_any()
    };
    let kept = move || match app.status().persistent {
        Some(true) => app.say(&Message::new("app-persistent-yes")),
        Some(false) => app.say(&Message::new("app-persistent-no")),
        None => app.say(&Message::new("app-persistent-unknown")),
    };
    let export = move |pictures: bool| {
        wasm_bindgen_futures::spawn_local(async move {
            let done = if pictures { app.export_pictures().await } else { app.export_record().await };
            if let Err(why) = done {
                fault.set(Some(app.say(&why.message())));
            }
        });
    };
    let body = view! {
        {fault_line(fault)}
        <section class="part"><h2>{app.say(&Message::new("app-theme"))}</h2>{theme_buttons(app)}</section>
        <section class="part"><h2>{app.say(&Message::new("app-language"))}</h2>{language_buttons(app)}</section>
        <section class="part">
            <label class="label" for="own-name">{app.say(&Message::new("app-own-name"))}</label>
            <div class="field">
                <input id="own-name" type="text" autocomplete="name" prop:value=name
                    on:change:target=move |event| {
                        let typed = event.target().value().trim().to_owned();
                        app.set(|settings| settings.name = Some(typed).filter(|name| !name.is_empty()));
                    } />
            </div>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-units"))}</h2>
            {unit("pressure", &["psig", "kPa gauge", "bar gauge"])}
            {unit("temperature", &["°F", "°C"])}
            {unit("mass", &["lb oz", "kg"])}
            <h2 class="part">{app.say(&Message::new("app-decimal"))}</h2>
            <div class="buttons">{comma(false, "62.5")}{comma(true, "62,5")}</div>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-keeping"))}</h2>
            <p>{kept}</p>
            <div class="buttons part">
                <button class="button small" on:click=move |_| wasm_bindgen_futures::spawn_local(app.ask_again_to_keep())>
                    {app.say(&Message::new("app-ask-to-keep"))}
                </button>
            </div>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-files"))}</h2>
            <div class="buttons">
                <button class="button small" on:click=move |_| export(false)>{app.say(&Message::new("app-export"))}</button>
                <button class="button small" on:click=move |_| export(true)>{app.say(&Message::new("app-export-pictures"))}</button>
                <label class="button small picture-button">
                    <span>{app.say(&Message::new("app-take-in"))}</span>
                    <input class="unseen-input" type="file" accept=".jsonl,application/jsonl,text/plain" on:change=move |event| {
                        let input = event.target().and_then(|t| t.dyn_into::<web_sys::HtmlInputElement>().ok());
                        let Some(file) = input.and_then(|input| input.files()).and_then(|files| files.get(0)) else { return };
                        wasm_bindgen_futures::spawn_local(async move {
                            match app.take_in(&file).await {
                                Ok(taken) => told.set(Some(app.say(&Message::new("app-taken-in").with("count", taken.new)))),
                                Err(why) => fault.set(Some(app.say(&why.message()))),
                            }
                        });
                    } />
                </label>
            </div>
            {move || told.get().map(|words| view! { <p role="status">{words}</p> })}
        </section>
        <section class="part" hidden=move || app.is_apprentice()>
            <h2>{app.say(&Message::new("app-prices"))}</h2>
            <p>{move || price_words(app)}</p>
            <div class="buttons">
                <label class="button small picture-button">
                    <span>{app.say(&Message::new("app-prices-take"))}</span>
                    <input class="unseen-input" type="file" accept=".toml,application/toml,text/plain" on:change=move |event| {
                        let input = event.target().and_then(|t| t.dyn_into::<web_sys::HtmlInputElement>().ok());
                        let Some(file) = input.and_then(|input| input.files()).and_then(|files| files.get(0)) else { return };
                        wasm_bindgen_futures::spawn_local(async move {
                            match app.take_prices(&file).await {
                                Ok(()) => fault.set(None),
                                Err(why) => fault.set(Some(why)),
                            }
                        });
                    } />
                </label>
            </div>
        </section>
        <section class="part">
            <ul class="rows">
                {open_row(app.say(&Message::new("app-waiting")), app.say(&Message::new("app-waiting-what")), move || app.go(&Screen::Waiting))}
                {open_row(app.say(&Message::new("app-pair")), app.say(&Message::new("app-pair-what")), move || app.go(&Screen::Pair(None)))}
                {open_row(app.say(&Message::new("app-about")), "", move || app.go(&Screen::About))}
            </ul>
        </section>
    };
    frame(app, app.say(&Message::new("app-settings")), "", body, Vec::new())
}
