//! One field of a form: a value with its unit, a choice of words, a name, or words.

use crate::parts::blocks::said;
use crate::parts::icon::{Icon, icon};
use crate::parts::keys::Typing;
use crate::parts::mark::mark;
use crate::parts::sheet::Sheet;
use job::entry::labels;
use job::entry::units::{POUND_OUNCE, Unit, convert, setting_takes, with_unit};
use leptos::prelude::*;
use record::form::{Carries, Field, Takes};
use record::{Reads, SettingOf};
use report::{Message, Text, VerdictMark};
use std::sync::Arc;
use units::Atmosphere;

/// Returns whether a field is typed with our own keys.
pub fn is_number(takes: &Takes, units: &[Unit]) -> bool {
    !units.is_empty() || matches!(takes, Takes::Count | Takes::Moment | Takes::Fraction | Takes::Money)
}

/// Returns the name under which the unit of a quantity is remembered.
pub const fn quantity(takes: &Takes) -> &'static str {
    match takes {
        Takes::Pressure | Takes::PressureOrTemperature | Takes::Point => "pressure",
        Takes::PressureDifference => "pressure difference",
        Takes::Barometer => "barometer",
        Takes::Temperature => "temperature",
        Takes::TemperatureDifference => "temperature difference",
        Takes::Mass => "mass",
        Takes::Volume => "volume",
        Takes::Length => "length",
        Takes::Duration => "time",
        Takes::Power => "power",
        Takes::MassFlow => "loss",
        Takes::VolumeFlow => "pump",
        Takes::Exactness => "exactness",
        Takes::Money => "money",
        _ => "share",
    }
}

/// Returns the field at a path, whatever it takes; nothing where the form has none there.
pub fn field(sheet: &Arc<Sheet>, path: &str) -> Option<AnyView> {
    let of = sheet.form.at(path)?.clone();
    let units = sheet.units(path, &of);
    Some(match &of.takes {
        Takes::Group(inner) => {
            let fields: Vec<AnyView> =
                inner.fields.iter().filter_map(|one| field(sheet, &format!("{path}.{}", one.key))).collect();
            view! { <fieldset class="box"><legend><b>{name_of(sheet, path)}</b></legend>{fields}</fieldset> }
                .into_any()
        }
        Takes::Words(words) => choice(sheet, path, words),
        Takes::Name(_) => named(sheet, path, &of),
        takes if is_number(takes, units) => keyed(sheet, path, &of, units),
        _ => words(sheet, path, &of),
    })
}

/// The name of the field at a path, with that of the group it stands in, each with its number in a list.
fn name_of(sheet: &Sheet, path: &str) -> String {
    let app = sheet.app;
    let named = |part: &str| {
        let mut pieces = part.split('[');
        let key = pieces.next().unwrap_or_default();
        let numbers: Vec<&str> = pieces.map(|piece| piece.trim_end_matches(']')).collect();
        let name: Text = match (key, numbers.as_slice()) {
            (_, [_, "1"]) if sheet.kind == "rise" => Message::new("app-point-time").into(),
            (_, [_, "1"]) => Message::new("app-point-time-began").into(),
            (_, [_, _]) => Message::new("app-point-pressure").into(),
            _ if sheet.kind.starts_with("ask ") => asked_name(key),
            _ => labels::field(&sheet.kind, key),
        };
        let name = said(app, &name);
        match numbers.first() {
            Some(number) if *number != "1" || numbers.len() > 1 => format!("{name} {number}"),
            _ => name,
        }
    };
    match path.rsplit_once('.') {
        Some((group, part)) => {
            let message = Message::new("app-in-group").with("group", named(group)).with("name", named(part));
            said(app, &message.into())
        }
        None => named(path),
    }
}

/// The name of a field of a quick question.
fn asked_name(key: &str) -> Text {
    match key {
        "at-pressure" => Message::new("app-asked-pressure").into(),
        "at-temperature" => Message::new("app-asked-temperature").into(),
        "suction" => Message::new("app-asked-suction").into(),
        "liquid" => Message::new("app-asked-liquid").into(),
        "line-temperature" => Message::new("app-asked-line").into(),
        "working" => Message::new("app-asked-working").into(),
        "start-pressure" => Message::new("app-asked-start-pressure").into(),
        "start-temperature" => Message::new("app-asked-start-temperature").into(),
        "end-pressure" => Message::new("app-asked-end-pressure").into(),
        "end-temperature" => Message::new("app-asked-end-temperature").into(),
        "lasted" => Message::new("app-asked-lasted").into(),
        "volume" => Message::new("app-asked-volume").into(),
        "wanted" => Message::new("app-asked-wanted").into(),
        "water-capacity" => Message::new("app-asked-water").into(),
        "tare" => Message::new("app-asked-tare").into(),
        "gross" => Message::new("app-asked-gross").into(),
        "receiver-volume" => Message::new("app-asked-receiver").into(),
        "hottest" => Message::new("app-asked-hottest").into(),
        "fill" => Message::new("app-asked-fill").into(),
        "charge" => Message::new("app-asked-charge").into(),
        "condenser-volume" => Message::new("app-asked-condenser").into(),
        "design-split" => Message::new("app-asked-split").into(),
        "head-setting" => Message::new("app-asked-head").into(),
        "coldest" => Message::new("app-asked-coldest").into(),
        other => match crate::screens::ask::asked_name(other) {
            Some(message) => message.into(),
            None => Text::verbatim(other),
        },
    }
}

/// The id of the field on the page; [`Sheet::focus`] makes the same.
fn id_of(sheet: &Sheet, path: &str) -> String {
    let clean: String = path.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    format!("f-{}-{clean}", sheet.kind.replace(' ', "-"))
}

/// What a field takes here: of a setting by what is set, of a point by its half.
fn takes_here(sheet: &Sheet, path: &str, of: &Field) -> Takes {
    match &of.takes {
        Takes::Setting => {
            let what = sheet.filled().into_iter().find(|(at, _)| at == "what").map(|(_, text)| text);
            let read = what.and_then(|what| SettingOf::read(&what, &crate::clock::local()).ok());
            read.map_or(Takes::Text, setting_takes)
        }
        Takes::Point if path.ends_with("[1]") => Takes::Duration,
        Takes::Point => Takes::Pressure,
        other => other.clone(),
    }
}

/// Pounds typed with their sign between the two numbers: the ounces then need theirs.
#[must_use]
pub fn whole(text: &str, unit: &str) -> String {
    let ends_bare = text.trim_end().ends_with(|c: char| c.is_ascii_digit());
    match unit == POUND_OUNCE && text.contains("lb") && ends_bare {
        true => format!("{} oz", text.trim_end()),
        false => text.to_owned(),
    }
}

/// Returns a plain number and its unit, where a text is one with its unit behind it.
fn parted(text: &str, units: &'static [Unit]) -> Option<(String, &'static str)> {
    let one = units.iter().filter(|one| text.ends_with(one.name)).max_by_key(|one| one.name.len())?;
    let number = text[..text.len() - one.name.len()].trim_end();
    let plain = number.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '\u{2212}'));
    (plain && !number.is_empty()).then(|| (number.to_owned(), one.name))
}

/// A value typed with the keys, and its unit.
fn keyed(sheet: &Arc<Sheet>, path: &str, of: &Field, units: &'static [Unit]) -> AnyView {
    let app = sheet.app;
    let text = sheet.text(path);
    let unit = sheet.unit(path, of);
    let takes = takes_here(sheet, path, of);
    let id = id_of(sheet, path);
    let said_id = format!("{id}-said");
    let name = name_of(sheet, path);
    let typing = Typing { text, id: id.clone(), takes: takes.clone(), units, unit };
    sheet.is_typed_by(path, typing.clone());
    let active = sheet.active;
    let own = id.clone();
    let class = move || {
        let is_open = active.with(|typing| typing.as_ref().is_some_and(|typing| typing.id == own));
        if is_open { "field is-open" } else { "field" }
    };
    // Looked at in another unit: the record keeps what was typed.
    let seen = RwSignal::new(None::<String>);
    // What is known already stands there to be corrected, with its own unit on the button.
    let known = untrack(|| sheet.filled()).into_iter().find(|(at, _)| at == path).map(|(_, text)| text);
    let known = known.filter(|_| text.with_untracked(|text| text.trim().is_empty())).unwrap_or_default();
    let known = match parted(&known, units) {
        Some((number, name)) => {
            unit.set(name.to_owned());
            number
        }
        None => known,
    };
    let shown = move || match seen.get() {
        Some(seen) => seen,
        None => text.with(|text| if text.is_empty() { known.clone() } else { text.clone() }),
    };
    let remember = takes.clone();
    let unit_button = (!units.is_empty()).then(|| {
        let label = move || said(app, &Message::new("app-unit").with("unit", unit.get()).into());
        let word = move || units.iter().find(|one| one.name == unit.get()).map_or("", |one| one.label);
        let air = sheet.visit.as_ref().map_or(Atmosphere::sea_level_assumed(), |visit| visit.air);
        let next = move |_| {
            let from = unit.get_untracked();
            let at = units.iter().position(|one| one.name == from).map_or(0, |at| (at + 1) % units.len());
            let to = units[at].name;
            let typed = text.get_untracked();
            let (number, typed_in) = parted(&typed, units).unwrap_or((typed.clone(), from.as_str()));
            if let Some(other) = convert(&takes, &number, typed_in, to, air) {
                text.set(with_unit(&number, Some(typed_in)));
                let comma = app.writer().decimal_comma;
                let other = if comma { other.replace('.', ",") } else { other };
                seen.set(Some(if typed_in == to { number.clone() } else { other }));
            }
            unit.set(to.to_owned());
        };
        view! {
            <button type="button" class="field-unit" aria-label=label on:click=next>
                <span>{word}</span>
                {icon(Icon::Unit)}
            </button>
        }
    });
    // A vacuum read in microns says nothing of the unit that the gauges are read in.
    let is_vacuum = path.starts_with("points");
    Effect::new(move |before: Option<String>| {
        let now = unit.get();
        if before.is_some_and(|before| before != now) && !is_vacuum {
            app.remember_unit(quantity(&remember), &now);
        }
        now
    });
    let own_typing = typing.clone();
    let show_keys = move || {
        let shown = active.with_untracked(|now| now.as_ref().is_some_and(|now| now.id == own_typing.id));
        if !shown {
            active.set(Some(own_typing.clone()));
        }
    };
    // Put away by Escape, they come again at the next touch, though the focus never left.
    let touch_keys = show_keys.clone();
    let input = move |event| {
        seen.set(None);
        text.set(event_target_value(&event));
    };
    // The keys write past the input event; what is looked at in another unit is then typed anew.
    Effect::new(move |before: Option<String>| {
        let now = text.get();
        if let Some(before) = before
            && before != now
            && !now.starts_with(before.trim_end())
        {
            seen.set(None);
        }
        now
    });
    let hint = sheet.last_hint(path);
    let with = instruments(sheet, path, of);
    view! {
        <div class="entry-field">
            <label for=id.clone()>{name}</label>
            <div class=class>
                <input
                    id=id
                    type="text"
                    inputmode="none"
                    autocomplete="off"
                    autocapitalize="off"
                    spellcheck="false"
                    aria-describedby=said_id.clone()
                    prop:value=shown
                    on:input=input
                    on:focus=move |_| show_keys()
                    on:click=move |_| touch_keys()
                />
                {unit_button}
            </div>
            <div id=said_id>{echo(sheet, path, of, text, unit)}</div>
            {at_once(sheet, path, of, text)}
            {hint}
            {how_known(sheet, of, &typing)}
            {with}
        </div>
    }
    .into_any()
}

/// What the field understood: in words, doubtful with what was likely meant, or refused.
fn echo(
    sheet: &Arc<Sheet>,
    path: &str,
    of: &Field,
    text: RwSignal<String>,
    unit: RwSignal<String>,
) -> AnyView {
    let app = sheet.app;
    let (sheet, path, of) = (Arc::clone(sheet), path.to_owned(), of.clone());
    let kept_as_is = RwSignal::new(String::new());
    (move || {
        let unit_now = unit.get();
        let typed = whole(&text.get(), &unit_now);
        if typed.trim().is_empty() {
            return ().into_any();
        }
        let echo = sheet.echo(&path, &of, &typed, &unit_now);
        if let Some(refused) = echo.refused {
            return view! {
                <div class="verdict echo">
                    {mark(VerdictMark::Breached)}
                    <p>{said(app, &refused.message.clone().into())}</p>
                </div>
            }
            .into_any();
        }
        let saturation = sheet.saturation(&of, &echo.text).map(|(name, value)| {
            view! { <p class="pair"><span>{name}</span> <b class="answer">{value}</b></p> }
        });
        let doubt = echo.doubtful.filter(|_| kept_as_is.get() != echo.text).map(|doubt| {
            let likely: Vec<AnyView> = doubt
                .likely
                .into_iter()
                .map(|meant| {
                    let word = meant.clone();
                    view! {
                        <button type="button" class="button small go" on:click=move |_| text.set(meant.clone())>
                            {word}
                        </button>
                    }
                    .into_any()
                })
                .collect();
            let keep = echo.text.clone();
            let label = said(app, &Message::new("app-keep-as-typed").with("text", keep.as_str()).into());
            view! {
                <div class="verdict echo">
                    {mark(VerdictMark::Doubtful)}
                    <p>{said(app, &doubt.why.into())}</p>
                </div>
                <div class="buttons">
                    {likely}
                    <button type="button" class="button small" on:click=move |_| kept_as_is.set(keep.clone())>
                        {label}
                    </button>
                </div>
            }
        });
        let words = echo.in_words.map(|words| view! { <p class="echo">{said(app, &words.into())}</p> });
        view! { {words} {doubt} {saturation} }.into_any()
    })
    .into_any()
}

/// How well a value is known, while its keys are shown: about so much, as told, not known.
fn how_known(sheet: &Arc<Sheet>, of: &Field, typing: &Typing) -> AnyView {
    if of.carries != Carries::Known {
        return ().into_any();
    }
    let (app, active, own) = (sheet.app, sheet.active, typing.clone());
    (move || {
        if active.with(|typing| typing.as_ref().is_none_or(|typing| typing.id != own.id)) {
            return None;
        }
        let (text, unit) = (own.text, own.unit);
        let stay = |event: web_sys::PointerEvent| event.prevent_default();
        let with = move || with_unit(&whole(&text.get_untracked(), &unit.get_untracked()), Some(&unit.get_untracked()));
        let about = move |_| {
            let now = text.get_untracked();
            if !now.trim().is_empty() && !now.starts_with("about ") {
                text.set(format!("about {}", with()));
            }
        };
        let told = move |_| {
            let now = text.get_untracked();
            if !now.trim().is_empty() && !now.contains("as told") {
                text.set(format!("{}, as told", with()));
            }
        };
        Some(view! {
            <div class="buttons three">
                <button type="button" class="button small" on:pointerdown=stay on:click=about>
                    {app.say(&Message::new("app-about-so-much"))}
                </button>
                <button type="button" class="button small" on:pointerdown=stay on:click=told>
                    {app.say(&Message::new("app-as-told"))}
                </button>
                <button type="button" class="button small" on:pointerdown=stay on:click=move |_| text.set("unknown".to_owned())>
                    {app.say(&Message::new("app-not-known"))}
                </button>
            </div>
        })
    })
    .into_any()
}

/// The instrument of a measured value: the one used last is chosen, another is one touch away.
fn instruments(sheet: &Arc<Sheet>, path: &str, of: &Field) -> AnyView {
    let names = sheet.instruments(path);
    if of.carries != Carries::Measured || names.is_empty() {
        return ().into_any();
    }
    let (app, with) = (sheet.app, sheet.with(path));
    let label = move || {
        let name = with.get().unwrap_or_else(|| app.say(&Message::new("app-no-instrument")));
        said(app, &Message::new("app-instrument").with("name", name).into())
    };
    let next = move |_| {
        with.update(|now| {
            let at = now.as_ref().and_then(|now| names.iter().position(|name| name == now));
            *now = match at {
                Some(at) => names.get(at + 1).cloned(),
                None => names.first().cloned(),
            };
        });
    };
    view! { <button type="button" class="button small instrument" on:click=next>{label} {icon(Icon::Unit)}</button> }.into_any()
}

/// What is chosen at a path: what was typed, else what was known.
fn chosen(sheet: &Arc<Sheet>, path: &str) -> Memo<String> {
    let text = sheet.text(path);
    let known = untrack(|| sheet.filled()).into_iter().find(|(at, _)| at == path).map(|(_, text)| text);
    let known = known.unwrap_or_default();
    Memo::new(move |_| {
        let typed = text.get();
        if typed.trim().is_empty() { known.clone() } else { typed.trim().to_owned() }
    })
}

/// Whether a reading's field is all that its form asks.
fn is_alone(sheet: &Sheet, path: &str) -> bool {
    sheet.kind == "reading"
        && sheet.about.onto.is_none()
        && matches!(sheet.about.ask.as_slice(), [one] if one == path)
}

/// Values for one touch: what was read last, and of a count the first few numbers.
fn at_once(sheet: &Arc<Sheet>, path: &str, of: &Field, text: RwSignal<String>) -> AnyView {
    if !is_alone(sheet, path) {
        return ().into_any();
    }
    let app = sheet.app;
    let values: Vec<(String, String)> = match &of.takes {
        Takes::Count => (0..=6).map(|count: u32| (count.to_string(), count.to_string())).collect(),
        _ => sheet
            .visit
            .as_ref()
            .and_then(|visit| job::stage::last(visit, path))
            .map(|last| {
                (said(app, &Message::new("app-still").with("value", last.text.as_str()).into()), last.text)
            })
            .into_iter()
            .collect(),
    };
    let buttons: Vec<AnyView> = values
        .into_iter()
        .map(|(shown, value)| {
            let sheet = Arc::clone(sheet);
            let set = move |_| {
                text.set(value.clone());
                sheet.keep();
            };
            view! { <button type="button" class="button small" on:click=set>{shown}</button> }.into_any()
        })
        .collect();
    view! { <div class="buttons counts">{buttons}</div> }.into_any()
}

/// One of a list of words, each a button; none of them is chosen beforehand.
fn choice(sheet: &Arc<Sheet>, path: &str, words: &'static [&'static str]) -> AnyView {
    let app = sheet.app;
    let (text, chosen) = (sheet.text(path), chosen(sheet, path));
    // Where nothing else is asked, the touch that chooses also keeps.
    let alone = is_alone(sheet, path);
    let buttons: Vec<AnyView> = words
        .iter()
        .map(|word| {
            let on = move || (chosen.get() == *word).to_string();
            let sheet = Arc::clone(sheet);
            let set = move |_| {
                let is = text.get_untracked().trim() == *word;
                text.set(if is && !alone { String::new() } else { (*word).to_owned() });
                if alone {
                    sheet.keep();
                }
            };
            view! {
                <button type="button" class="button small" aria-pressed=on on:click=set>
                    {said(app, &labels::word(word))}
                </button>
            }
            .into_any()
        })
        .collect();
    view! {
        <fieldset class="entry-field">
            <legend class="label">{name_of(sheet, path)}</legend>
            <div class="buttons words">{buttons}</div>
        </fieldset>
    }
    .into_any()
}

/// A name: those known, each a button, and room for another.
fn named(sheet: &Arc<Sheet>, path: &str, of: &Field) -> AnyView {
    let app = sheet.app;
    let (text, chosen) = (sheet.text(path), chosen(sheet, path));
    let mut names = sheet.names(of);
    if of.key == "place"
        && sheet.kind == "leak check"
        && let Some(visit) = &sheet.visit
    {
        for block in job::stage::circuit(visit).blocks {
            let part = block.part.words().to_owned();
            if !names.contains(&part) {
                names.push(part);
            }
        }
    }
    names.truncate(14);
    let buttons: Vec<AnyView> = names
        .into_iter()
        .map(|name| {
            let (is, sets) = (name.clone(), name.clone());
            let on = move || (chosen.get() == is).to_string();
            view! {
                <button type="button" class="button small" aria-pressed=on on:click=move |_| text.set(sets.clone())>
                    {name}
                </button>
            }
            .into_any()
        })
        .collect();
    let id = id_of(sheet, path);
    let (echo_text, no_unit) = (text, RwSignal::new(String::new()));
    let active = sheet.active;
    view! {
        <fieldset class="entry-field">
            <legend class="label">{name_of(sheet, path)}</legend>
            <div class="buttons words">{buttons}</div>
            <label for=id.clone()>{app.say(&Message::new("app-another-name"))}</label>
            <div class="field">
                <input
                    id=id
                    type="text"
                    autocomplete="off"
                    prop:value=move || chosen.get()
                    on:input=move |event| text.set(event_target_value(&event))
                    on:focus=move |_| active.set(None)
                />
            </div>
            {echo(sheet, path, of, echo_text, no_unit)}
        </fieldset>
    }
    .into_any()
}

/// Words, by the system's own keyboard.
fn words(sheet: &Arc<Sheet>, path: &str, of: &Field) -> AnyView {
    let (text, chosen) = (sheet.text(path), chosen(sheet, path));
    let id = id_of(sheet, path);
    let active = sheet.active;
    let typed = move |event| text.set(event_target_value(&event));
    let focus = move |_| active.set(None);
    let is_long = of.many || matches!(of.key, "note" | "text" | "reason" | "why" | "complaint");
    let input = match is_long {
        true => view! {
            <textarea id=id.clone() rows="3" prop:value=move || chosen.get() on:input=typed on:focus=focus></textarea>
        }
        .into_any(),
        false => view! {
            <input id=id.clone() type="text" autocomplete="off" prop:value=move || chosen.get() on:input=typed on:focus=focus />
        }
        .into_any(),
    };
    view! {
        <div class="entry-field">
            <label for=id>{name_of(sheet, path)}</label>
            <div class="field">{input}</div>
        </div>
    }
    .into_any()
}

#[cfg(test)]
mod tests {
    use super::*;
    use job::entry::units::units_for;

    #[test]
    fn a_text_is_parted_from_its_unit() {
        let units = units_for(&Takes::Pressure);
        assert_eq!(parted("62.5 psig", units), Some(("62.5".to_owned(), "psig")));
        assert_eq!(parted("310 kPa abs", units), Some(("310".to_owned(), "kPa abs")));
        assert_eq!(parted("about 62.5 psig", units), None);
        assert_eq!(parted("psig", units), None);
        assert_eq!(parted("27 lb 5 oz", units_for(&Takes::Mass)), None);
    }

    #[test]
    fn ounces_get_their_sign() {
        assert_eq!(whole("27 lb 5", POUND_OUNCE), "27 lb 5 oz");
        assert_eq!(whole("27 lb 5 oz", POUND_OUNCE), "27 lb 5 oz");
        assert_eq!(whole("12.4", "kg"), "12.4");
    }
}
