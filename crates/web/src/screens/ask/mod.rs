//! Quick questions without a job: a refrigerant, a number or two, an answer as large as it matters.

mod plans;

pub use plans::asked_name;

use crate::app::App;
use crate::parts::act::{Fault, fault_line};
use crate::parts::blocks::section;
use crate::parts::field::field;
use crate::parts::frame::{foot_button, frame, open_row};
use crate::parts::icon::Icon;
use crate::parts::keys::{escape, keys, put_away};
use crate::parts::mark::mark;
use crate::parts::sheet::{Sheet, usual_refrigerants};
use crate::route::Screen;
use job::ask::{Answer, hold, saturation, superheat, vessels};
use job::doubts::{ASSUMED_GAUGE_STEP, ASSUMED_HIGH_SIDE_GAUGE, ASSUMED_LOW_SIDE_GAUGE, ASSUMED_PROBE};
use job::{Refused, Substance};
use leptos::prelude::*;
use record::form::{Carries, Field, NameOf, Takes};
use report::{Document, Message, VerdictMark};
use std::str::FromStr;
use std::sync::Arc;
use units::{
    AbsolutePressure, Atmosphere, Cause, Doubt, Duration, Fraction, Mass, MassFlow, PressureDifference,
    PressureReading, Quantity, ReadError, Temperature, TemperatureDifference, Uncertain, Volume,
};

/// A question, with the fields it asks.
struct Question {
    key: &'static str,
    name: Message,
    fields: Vec<Field>,
}

fn asks(key: &'static str, takes: Takes, need: bool, example: &str) -> Field {
    Field { key, takes, need, many: false, carries: Carries::Nothing, example: example.to_owned() }
}

fn questions() -> Vec<Question> {
    let refrigerant = || asks("refrigerant", Takes::Name(NameOf::Refrigerant), true, "R-449A");
    let pressure = |key| asks(key, Takes::Pressure, true, "62.5 psig");
    let temperature = |key| asks(key, Takes::Temperature, true, "40 °F");
    let mass = |key, need| asks(key, Takes::Mass, need, "27 lb 5 oz");
    let volume = |key| asks(key, Takes::Volume, true, "20 L");
    let question = |key, name, fields| Question { key, name, fields };
    let mut all = vec![
        question(
            "saturation",
            Message::new("app-ask-saturation"),
            vec![
                refrigerant(),
                asks("at-pressure", Takes::Pressure, false, "62.5 psig"),
                asks("at-temperature", Takes::Temperature, false, "25 °F"),
            ],
        ),
        question(
            "superheat",
            Message::new("app-ask-superheat"),
            vec![refrigerant(), pressure("suction"), temperature("line-temperature")],
        ),
        question(
            "subcooling",
            Message::new("app-ask-subcooling"),
            vec![refrigerant(), pressure("liquid"), temperature("line-temperature")],
        ),
        question(
            "hold",
            Message::new("app-ask-hold"),
            vec![
                refrigerant(),
                pressure("working"),
                pressure("start-pressure"),
                temperature("start-temperature"),
                pressure("end-pressure"),
                temperature("end-temperature"),
                asks("lasted", Takes::Duration, true, "24 h"),
                volume("volume"),
                asks("wanted", Takes::MassFlow, false, "50 g/yr"),
            ],
        ),
        question(
            "cylinder",
            Message::new("app-ask-cylinder"),
            vec![refrigerant(), mass("water-capacity", true), mass("tare", true), mass("gross", false)],
        ),
        question(
            "receiver",
            Message::new("app-ask-receiver"),
            vec![
                refrigerant(),
                volume("receiver-volume"),
                temperature("hottest"),
                asks("fill", Takes::Fraction, false, "80 %"),
                mass("charge", false),
            ],
        ),
        question(
            "winter",
            Message::new("app-ask-winter"),
            vec![
                refrigerant(),
                volume("condenser-volume"),
                asks("design-split", Takes::TemperatureDifference, true, "15 F"),
                temperature("head-setting"),
                temperature("coldest"),
            ],
        ),
    ];
    all.extend(plans::questions());
    all
}

/// Returns the list of questions, or one of them.
pub fn view(app: App, key: Option<&str>) -> AnyView {
    match questions().into_iter().find(|question| Some(question.key) == key) {
        Some(question) => one(app, question),
        None => {
            let rows: Vec<AnyView> = questions()
                .into_iter()
                .map(|question| {
                    open_row(app.say(&question.name), "", move || {
                        app.go(&Screen::Ask(Some(question.key.to_owned())));
                    })
                })
                .collect();
            let body = view! { <ul class="rows part">{rows}</ul> };
            frame(app, app.say(&Message::new("app-ask")), "", body, Vec::new())
        }
    }
}

fn one(app: App, question: Question) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let sheet = Sheet::of_question(app, question.key, question.fields);
    let refrigerant = sheet.text("refrigerant");
    // The refrigerant of the job touched last is the likeliest.
    if refrigerant.get_untracked().is_empty() {
        let first = untrack(|| app.jobs()).first().and_then(|head| head.refrigerant.clone());
        if let Some(name) = first {
            refrigerant.set(name);
        }
    }
    let key = question.key;
    let asked = Arc::clone(&sheet);
    let answer = move || {
        let filled = untrack_filled(&asked);
        match answer_to(key, &filled) {
            None => view! { <p class="soft">{app.say(&Message::new("app-ask-waits"))}</p> }.into_any(),
            Some(Ok(answer)) => shown(app, &answer(&app.writer())),
            Some(Err(refused)) => view! {
                <div class="verdict">{mark(VerdictMark::Unknown)}<p>{app.say(&refused.message)}</p></div>
            }
            .into_any(),
        }
    };
    let chosen = {
        let names: Vec<AnyView> = usual_refrigerants(app)
            .into_iter()
            .take(9)
            .map(|name| {
                let (pressed, set, shown) = (name.clone(), name.clone(), name);
                view! {
                    <button
                        type="button"
                        class="button small"
                        aria-pressed=move || (refrigerant.get() == pressed).to_string()
                        on:click=move |_| refrigerant.set(set.clone())
                    >
                        {shown}
                    </button>
                }
                .into_any()
            })
            .collect();
        sheet.asked().iter().any(|path| path == "refrigerant").then(|| view! {
            <details class="opens" open=move || refrigerant.get().is_empty()>
                <summary class="edge">
                    <span class="pair"><span>{app.say(&Message::new("entry-field-refrigerant"))}</span><b>{move || refrigerant.get()}</b></span>
                </summary>
                <div class="buttons">{names}</div>
                <label class="label" for="ask-refrigerant">{app.say(&Message::new("app-new-other"))}</label>
                <div class="field">
                    <input id="ask-refrigerant" type="text" autocomplete="off" prop:value=move || refrigerant.get()
                        on:input:target=move |event| refrigerant.set(event.target().value()) />
                </div>
            </details>
        })
    };
    let fields: Vec<AnyView> = sheet
        .asked()
        .iter()
        .filter(|path| *path != "refrigerant")
        .filter_map(|path| field(&sheet, path))
        .collect();
    let first = sheet.asked().into_iter().find(|path| path != "refrigerant");
    if let Some(path) = first {
        sheet.focus(&path);
    }
    let keep = Arc::clone(&sheet);
    let body = view! {
        {fault_line(fault)}
        <section class="answer-box" aria-live="polite">{answer}</section>
        <section class="part" on:keydown=escape(sheet.active)>{chosen}{fields}</section>
        {keys(
            app,
            sheet.active,
            move || app.say(&Message::new("app-done")),
            {
                let sheet = StoredValue::new(Arc::clone(&sheet));
                move || sheet.with_value(|sheet| put_away(sheet.active))
            },
            {
                let sheet = StoredValue::new(Arc::clone(&sheet));
                move |goes| sheet.with_value(|sheet| sheet.next(goes))
            },
        )}
    };
    let into_job = foot_button(Icon::Saved, app.say(&Message::new("app-keep-into-job")), true, move || {
        into_job(app, key, &keep, fault);
    });
    frame(app, app.say(&question.name), "", body, vec![into_job])
}

/// Returns what stands in the form; follows every text and unit of it.
fn untrack_filled(sheet: &Arc<Sheet>) -> Vec<(String, String)> {
    for path in sheet.asked() {
        let _ = sheet.text(&path).get();
        if let Some(field) = sheet.form.at(&path).cloned() {
            let _ = sheet.unit(&path, &field).get();
        }
    }
    sheet.filled()
}

fn shown(app: App, document: &Document) -> AnyView {
    let now = document.now.as_ref().map(|now| {
        let words = now.sentence.said(&|message| app.say(message));
        view! { <p class="answer">{words}</p> }
    });
    let sections: Vec<AnyView> = document.sections.iter().map(|one| section(app, one)).collect();
    view! { {now}{sections} }.into_any()
}

/// An answer, ready to be written in the units of a person.
type Written = Box<dyn Fn(&units::Writer) -> Document>;

fn written(answer: impl Answer + 'static) -> Written {
    Box::new(move |writer| answer.document(writer))
}

struct Texts<'a>(&'a [(String, String)]);

impl Texts<'_> {
    fn text(&self, key: &str) -> Option<&str> {
        self.0
            .iter()
            .find(|(path, _)| path == key)
            .map(|(_, text)| text.trim())
            .filter(|text| !text.is_empty())
    }

    /// What was typed, for a refusal.
    fn given(&self, key: &str) -> &str {
        self.text(key).unwrap_or_default()
    }

    fn read<T: FromStr<Err = ReadError>>(&self, key: &str) -> Result<Option<T>, Refused> {
        self.text(key).map(|text| text.parse().map_err(|e| Refused::unreadable(key, &e))).transpose()
    }
}

/// Returns the answer to a question as far as it is typed; nothing while something is missing.
fn answer_to(key: &str, filled: &[(String, String)]) -> Option<Result<Written, Refused>> {
    let texts = Texts(filled);
    let without_refrigerant = match key {
        "evacuation" => Some(plans::evacuation_of(&texts)),
        "box" => Some(plans::box_of(&texts)),
        _ => None,
    };
    if let Some(made) = without_refrigerant {
        return made.unwrap_or_else(|refused| Some(Err(refused)));
    }
    let substance = match Substance::read(texts.text("refrigerant")?, None) {
        Ok(substance) => substance,
        Err(refused) => return Some(Err(refused)),
    };
    let made = match key {
        "saturation" => saturation_of(&substance, &texts),
        "superheat" => place(&texts, "suction", ASSUMED_LOW_SIDE_GAUGE)
            .map(|place| place.map(|place| superheat::superheat(&substance, &place).map(written))),
        "subcooling" => place(&texts, "liquid", ASSUMED_HIGH_SIDE_GAUGE)
            .map(|place| place.map(|place| superheat::subcooling(&substance, &place).map(written))),
        "hold" => hold_of(&substance, &texts),
        "cylinder" => cylinder_of(&substance, &texts),
        "receiver" => receiver_of(&substance, &texts),
        "winter" => winter_of(&substance, &texts),
        _ => plans::answer_to(key, &substance, &texts),
    };
    match made {
        Ok(None) => None,
        Ok(Some(answer)) => Some(answer),
        Err(refused) => Some(Err(refused)),
    }
}

type Made = Result<Option<Result<Written, Refused>>, Refused>;

fn saturation_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let typed = ["at-pressure", "at-temperature"].into_iter().filter_map(|key| texts.text(key));
    let at = typed
        .map(|text| saturation::At::read(text).map(|at| (text.to_owned(), at)))
        .collect::<Result<Vec<_>, _>>()?;
    if at.is_empty() {
        return Ok(None);
    }
    Ok(Some(saturation::saturation(substance, &at, Atmosphere::sea_level_assumed()).map(written)))
}

fn place<'a>(
    texts: &'a Texts<'_>,
    key: &str,
    assumed: PressureDifference,
) -> Result<Option<superheat::Place<'a>>, Refused> {
    let air = Atmosphere::sea_level_assumed();
    let (Some(reading), Some(line)) =
        (texts.read::<PressureReading>(key)?, texts.read::<Temperature>("line-temperature")?)
    else {
        return Ok(None);
    };
    let value = absolute(&reading, air, key, texts)?;
    Ok(Some(superheat::Place {
        pressure: Uncertain::within(value, Doubt::new(Cause::AssumedAccuracy, "gauge"), assumed.si()),
        pressure_given: texts.text(key).unwrap_or_default(),
        by_gauge: reading.is_gauge(),
        line: Uncertain::within(line, Doubt::new(Cause::AssumedAccuracy, "probe"), ASSUMED_PROBE.si()),
        limit: None,
        air,
    }))
}

fn absolute(
    reading: &PressureReading,
    air: Atmosphere,
    key: &str,
    texts: &Texts<'_>,
) -> Result<AbsolutePressure, Refused> {
    let value = reading.absolute(air);
    if value.pascal() > 0.0 {
        return Ok(value);
    }
    let given = texts.text(key).unwrap_or_default();
    Err(Refused::new("below_zero", key, given, "62.5 psig", Message::new("refused-below-zero")))
}

fn hold_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let air = Atmosphere::sea_level_assumed();
    let end = |which: &str| -> Result<Option<(hold::End, bool)>, Refused> {
        let pressure_key = format!("{which}-pressure");
        let reading: Option<PressureReading> = texts.read(&pressure_key)?;
        let temperature: Option<Temperature> = texts.read(&format!("{which}-temperature"))?;
        let (Some(reading), Some(temperature)) = (reading, temperature) else { return Ok(None) };
        let doubt = Doubt::new(Cause::AssumedAccuracy, format!("{which} pressure"));
        let step = ASSUMED_GAUGE_STEP.pascal() / units::math::sqrt(12.0);
        let pressure = Uncertain::exact(absolute(&reading, air, &pressure_key, texts)?).and(doubt, step);
        let doubt = Doubt::new(Cause::AssumedAccuracy, format!("{which} temperature"));
        let temperature = Uncertain::within(temperature, doubt, ASSUMED_PROBE.si());
        Ok(Some((hold::End { pressure, temperature }, reading.is_gauge())))
    };
    let (Some(working), Some((start, by_gauge)), Some((finish, _)), Some(lasted), Some(volume)) = (
        texts.read::<PressureReading>("working")?,
        end("start")?,
        end("end")?,
        texts.read::<Duration>("lasted")?,
        texts.read::<Volume>("volume")?,
    ) else {
        return Ok(None);
    };
    let asked = hold::HoldAsked {
        substance: substance.clone(),
        working: absolute(&working, air, "working", texts)?,
        working_temperature: None,
        start,
        end: finish,
        volume,
        duration: lasted,
        wanted: texts.read::<MassFlow>("wanted")?,
        settled: None,
        liquid_present: None,
        air,
        by_gauge: by_gauge || working.is_gauge(),
    };
    Ok(Some(hold::hold(&asked).map(written)))
}

fn cylinder_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let (Some(water), Some(tare)) = (texts.read::<Mass>("water-capacity")?, texts.read::<Mass>("tare")?)
    else {
        return Ok(None);
    };
    Ok(Some(vessels::cylinder(substance, water, tare, texts.read("gross")?).map(written)))
}

fn receiver_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let (Some(volume), Some(hottest)) =
        (texts.read::<Volume>("receiver-volume")?, texts.read::<Temperature>("hottest")?)
    else {
        return Ok(None);
    };
    let given = texts.text("hottest").unwrap_or_default();
    let (fill, charge) = (texts.read::<Fraction>("fill")?, texts.read::<Mass>("charge")?);
    Ok(Some(vessels::receiver(substance, volume, (hottest, given), fill, charge).map(written)))
}

fn winter_of(substance: &Substance, texts: &Texts<'_>) -> Made {
    let (Some(condenser_volume), Some(design_split), Some(head_setting), Some(coldest)) = (
        texts.read::<Volume>("condenser-volume")?,
        texts.read::<TemperatureDifference>("design-split")?,
        texts.read::<Temperature>("head-setting")?,
        texts.read::<Temperature>("coldest")?,
    ) else {
        return Ok(None);
    };
    let asked = vessels::WinterAsked { condenser_volume, design_split, head_setting, coldest, liquid: None };
    Ok(Some(vessels::winter(substance, &asked).map(written)))
}

/// Keeps what was typed into the job touched last: readings as readings, the rest as a note of the question's numbers.
fn into_job(app: App, key: &str, sheet: &Arc<Sheet>, fault: Fault) {
    let Some(job) = untrack(|| app.jobs()).first().map(|head| head.job) else {
        fault.set(Some(app.say(&Message::new("app-keep-no-job"))));
        return;
    };
    let filled = sheet.filled();
    let key = key.to_owned();
    let named = |path: &str| match (key.as_str(), path) {
        ("superheat", "suction") => Some("suction_pressure"),
        ("superheat", "line-temperature") => Some("suction_line"),
        ("subcooling", "liquid") => Some("liquid_pressure"),
        ("subcooling", "line-temperature") => Some("liquid_line"),
        ("saturation", "at-pressure") => Some("suction_pressure"),
        _ => None,
    };
    let readings: Vec<(String, String)> = filled
        .iter()
        .filter_map(|(path, text)| named(path).map(|field| (field.to_owned(), text.clone())))
        .collect();
    let (kind, fields) = match readings.is_empty() {
        false => ("reading", readings),
        true => {
            let words =
                filled.iter().map(|(path, text)| format!("{path} {text}")).collect::<Vec<_>>().join("; ");
            ("note", vec![("text".to_owned(), format!("{key}: {words}"))])
        }
    };
    wasm_bindgen_futures::spawn_local(async move {
        // The job's events must be read before something is put among them.
        let visit = app.visit(job).get_untracked();
        let around = job::entry::around(&visit, &crate::clock::now());
        let pairs: Vec<(&str, &str)> = fields.iter().map(|(path, text)| (&**path, &**text)).collect();
        match record::read_entry(kind, &pairs, &around) {
            Ok(seen) => match app.put(job, seen).await {
                Ok(_) => {
                    app.drop_drafts(&crate::parts::sheet::draft_key(None, &format!("ask {key}"), ""));
                    app.go(&Screen::Place(job, None));
                }
                Err(why) => fault.set(Some(app.say(&why.message()))),
            },
            Err(problems) => {
                let words = problems.first.iter().map(|one| app.say(&job::problems::sentence(one)));
                fault.set(Some(words.collect::<Vec<_>>().join(" ")));
            }
        }
    });
}
