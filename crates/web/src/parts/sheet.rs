//! A form being filled in: its texts, what they are understood as, and the entry they become.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::blocks::said;
use crate::parts::field::{is_number, quantity, whole};
use crate::parts::keys::{Active, Typing};
use crate::route::Screen;
use job::entry::units::Unit;
use job::entry::{Echo, Here, labels};
use job::visit::Visit;
use leptos::prelude::*;
use record::form::{Carries, FACT_SECTIONS, Field, Form, NameOf, Takes};
use record::{Around, Body, Observation, Problems, System};
use report::Message;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};
use units::{AbsolutePressure, PressureReading, Writer};
use uuid::Uuid;

/// What stands between the parts of a draft's key.
const BETWEEN: char = '\u{1f}';

/// A form being filled in.
pub struct Sheet {
    /// The app.
    pub app: App,
    /// The job; absent for a question without one.
    pub job: Option<Uuid>,
    /// The kind of entry, or the section of facts, or a question.
    pub kind: String,
    /// What it is about.
    pub about: About,
    /// Its fields, those of every entry among them.
    pub form: Form,
    /// The visit.
    pub visit: Option<Arc<Visit>>,
    /// The field typed in now.
    pub active: Active,
    /// Why the entry was not kept.
    pub faults: RwSignal<Vec<String>>,
    /// What is doubtful in the readings together; kept all the same at the second touch.
    pub doubts: RwSignal<Vec<String>>,
    /// Owns what the form remembers of its fields: they come and go, and it must outlast them.
    owner: Owner,
    around: Around,
    prefix: String,
    base: Vec<(String, String)>,
    units: Mutex<BTreeMap<String, RwSignal<String>>>,
    withs: Mutex<BTreeMap<String, RwSignal<Option<String>>>>,
    typings: Mutex<BTreeMap<String, Typing>>,
}

/// The key under which what is typed in a form is kept until it is entered.
#[must_use]
pub fn draft_key(job: Option<Uuid>, kind: &str, about: &str) -> String {
    let job = job.map(|job| job.to_string()).unwrap_or_default();
    format!("{job}{BETWEEN}{kind}{BETWEEN}{about}{BETWEEN}")
}

/// Returns the screen on which a half-typed text was left, from its key.
#[must_use]
pub fn screen_of_draft(key: &str) -> Option<Screen> {
    let mut parts = key.split(BETWEEN);
    let (job, kind, about) = (parts.next()?, parts.next()?, parts.next()?);
    let about = (!about.is_empty()).then(|| about.to_owned());
    match job.parse() {
        Ok(job) => Some(Screen::Entry(job, kind.to_owned(), about)),
        Err(_) => kind.strip_prefix("ask ").map(|question| Screen::Ask(Some(question.to_owned()))),
    }
}

/// Returns the part of a key up to the field: what belongs to one form.
#[must_use]
pub fn form_of_draft(key: &str) -> &str {
    key.rfind(BETWEEN).map_or(key, |end| &key[..end + BETWEEN.len_utf8()])
}

/// Returns the kind of entry in a key.
#[must_use]
pub fn kind_of_draft(key: &str) -> &str {
    key.split(BETWEEN).nth(1).unwrap_or_default()
}

impl Sheet {
    /// Returns the form of an entry of a job.
    pub fn of_entry(app: App, job: Uuid, kind: &str, about: About) -> Option<Arc<Sheet>> {
        let mut form = record::form::form(kind)?;
        if !FACT_SECTIONS.contains(&kind) {
            form.fields.extend(record::form::entry_head().fields);
        }
        let visit = app.visit(job).get();
        let now = crate::clock::now();
        let base = about.onto.and_then(|id| base_of(&visit, id)).unwrap_or_default();
        let around = job::entry::around(&visit, &now);
        let prefix = draft_key(Some(job), kind, &about.written().unwrap_or_default());
        Some(Arc::new(Sheet {
            app,
            job: Some(job),
            kind: kind.to_owned(),
            about,
            form,
            visit: Some(visit),
            active: RwSignal::new(None),
            faults: RwSignal::new(Vec::new()),
            doubts: RwSignal::new(Vec::new()),
            owner: Owner::current().unwrap_or_default(),
            around,
            prefix,
            base,
            units: Mutex::default(),
            withs: Mutex::default(),
            typings: Mutex::default(),
        }))
    }

    /// Returns the form of a question without a job.
    pub fn of_question(app: App, question: &str, fields: Vec<Field>) -> Arc<Sheet> {
        let kind = format!("ask {question}");
        let prefix = draft_key(None, &kind, "");
        let around = Around { local: crate::clock::local(), ..Around::default() };
        Arc::new(Sheet {
            app,
            job: None,
            kind,
            about: About {
                ask: fields.iter().map(|field| field.key.to_owned()).collect(),
                ..About::default()
            },
            form: Form { fields },
            visit: None,
            active: RwSignal::new(None),
            faults: RwSignal::new(Vec::new()),
            doubts: RwSignal::new(Vec::new()),
            owner: Owner::current().unwrap_or_default(),
            around,
            prefix,
            base: Vec::new(),
            units: Mutex::default(),
            withs: Mutex::default(),
            typings: Mutex::default(),
        })
    }

    /// Returns the paths asked first.
    pub fn asked(&self) -> Vec<String> {
        if !self.about.ask.is_empty() {
            return self.about.ask.clone();
        }
        job::entry::short(&self.kind, &self.form).into_iter().flat_map(|key| self.paths_of(key)).collect()
    }

    /// Returns the paths behind "more": every other field, groups by their own fields.
    pub fn others(&self) -> Vec<String> {
        let asked = self.asked();
        let known = |path: &String| {
            asked.contains(path) || self.about.preset.iter().any(|(preset, _)| preset == path)
        };
        let all = self.form.fields.iter().flat_map(|field| self.paths_of(field.key));
        all.filter(|path| !known(path) && path != "sha256" && path != "typed_into").collect()
    }

    fn paths_of(&self, key: &str) -> Vec<String> {
        self.paths_at(key, 1)
    }

    /// Returns the key of the list that a path leads into; a list of texts or names has one field for all of it.
    pub fn list_of(&self, path: &str) -> Option<&'static str> {
        let field = self.form.field(path.split(['.', '[']).next()?)?;
        let is_list = field.many && matches!(field.takes, Takes::Group(_) | Takes::Point);
        is_list.then_some(field.key)
    }

    /// Returns at which place of its list a path stands, from 1.
    pub fn place_in_list(path: &str) -> usize {
        let number = path.split('[').nth(1).and_then(|rest| rest.split(']').next());
        number.and_then(|number| number.parse().ok()).unwrap_or(1)
    }

    /// Returns the paths of a field; of a list those at one place of it.
    pub fn paths_at(&self, key: &str, place: usize) -> Vec<String> {
        let Some(field) = self.form.field(key) else { return Vec::new() };
        let one = if field.many { format!("{key}[{place}]") } else { key.to_owned() };
        match &field.takes {
            Takes::Group(inner) => inner.fields.iter().map(|field| format!("{one}.{}", field.key)).collect(),
            Takes::Point => vec![format!("{one}[1]"), format!("{one}[2]")],
            Takes::Shares => Vec::new(),
            _ => vec![one],
        }
    }

    /// Returns the text at a path: what was typed and not kept.
    pub fn text(&self, path: &str) -> RwSignal<String> {
        self.app.draft(&format!("{}{path}", self.prefix))
    }

    /// Returns the units of a field.
    pub fn units(&self, path: &str, of: &Field) -> &'static [Unit] {
        let beside = self.beside();
        let here = Here {
            around: &self.around,
            visit: self.visit.as_deref(),
            kind: &self.kind,
            path,
            beside: &beside,
        };
        job::entry::units_here(of, &here)
    }

    /// Returns the unit that a field shows: the one used last for such a quantity, else the first.
    pub fn unit(&self, path: &str, of: &Field) -> RwSignal<String> {
        let Ok(mut all) = self.units.lock() else { return RwSignal::new(String::new()) };
        *all.entry(path.to_owned()).or_insert_with(|| {
            let units = self.units(path, of);
            let used = untrack(|| self.app.units(quantity(&of.takes)));
            let first = units.iter().find(|one| usual(&self.app.writer(), one.name)).or(units.first());
            let known = used.filter(|used| units.iter().any(|one| one.name == used));
            // A vacuum is read in microns whatever the gauges show.
            let vacuum = path.starts_with("points") && path.ends_with("[2]");
            let name = match vacuum {
                true => "micron".to_owned(),
                false => known.unwrap_or_else(|| first.map_or(String::new(), |one| one.name.to_owned())),
            };
            self.owner.with(|| RwSignal::new(name))
        })
    }

    /// Returns the instrument named beside a value.
    pub fn with(&self, path: &str) -> RwSignal<Option<String>> {
        let Ok(mut all) = self.withs.lock() else { return RwSignal::new(None) };
        *all.entry(path.to_owned()).or_insert_with(|| {
            let first = self.instruments(path).first().cloned();
            self.owner.with(|| RwSignal::new(first))
        })
    }

    /// Returns the instruments that can serve a field, the one used last first.
    pub fn instruments(&self, path: &str) -> Vec<String> {
        self.visit
            .as_ref()
            .map(|visit| job::entry::instruments_for(visit, &self.kind, path))
            .unwrap_or_default()
    }

    /// Returns the names that a field may take.
    pub fn names(&self, of: &Field) -> Vec<String> {
        let Takes::Name(kind) = &of.takes else { return Vec::new() };
        let mut names = self.visit.as_ref().map(|v| job::entry::names_for(v, *kind)).unwrap_or_default();
        if *kind == NameOf::Refrigerant {
            for name in usual_refrigerants(self.app) {
                if !names.contains(&name) {
                    names.push(name);
                }
            }
        }
        names
    }

    /// Returns what a text is understood as.
    pub fn echo(&self, path: &str, of: &Field, text: &str, unit: &str) -> Echo {
        let beside = self.beside();
        let here = Here {
            around: &self.around,
            visit: self.visit.as_deref(),
            kind: &self.kind,
            path,
            beside: &beside,
        };
        let unit = Some(unit).filter(|unit| !unit.is_empty());
        let mut echo = job::entry::echo(of, text, unit, &self.app.writer(), &here);
        if of.takes == Takes::Name(NameOf::Cylinder) && self.kind == "weighing" && echo.refused.is_some() {
            echo.refused = None;
            echo.in_words = Some(Message::new("app-new-cylinder").with("name", text.trim()));
        }
        echo
    }

    /// Returns the saturation at a pressure of this system, for the eye: dew for suction, bubble for liquid.
    pub fn saturation(&self, of: &Field, text: &str) -> Option<(String, String)> {
        if of.takes != Takes::Pressure || of.carries != Carries::Measured {
            return None;
        }
        let visit = self.visit.as_ref()?;
        let pressure: PressureReading = text.parse().ok()?;
        let absolute: AbsolutePressure = pressure.absolute(visit.air);
        let fluid = &visit.substance.as_ref()?.fluid;
        let liquid = of.key == "liquid_pressure";
        let (label, temperature) = match liquid {
            true => (Message::new("ask-bubble"), fluid.bubble_at_pressure(absolute).ok()?.temperature),
            false => (Message::new("ask-dew"), fluid.dew_at_pressure(absolute).ok()?.temperature),
        };
        Some((self.app.say(&label), self.app.writer().write(temperature).to_string()))
    }

    /// Returns what was typed last for a field, as a touch that sets it again.
    pub fn last_hint(&self, path: &str) -> AnyView {
        let Some(visit) = &self.visit else { return ().into_any() };
        if self.kind != "reading" {
            return ().into_any();
        }
        match job::stage::last(visit, path) {
            Some(last) => {
                let words = self.app.say(&Message::new("app-last").with("value", last.text));
                view! { <p class="soft">{words}</p> }.into_any()
            }
            None => ().into_any(),
        }
    }

    fn beside(&self) -> Vec<(String, String)> {
        let mut all = self.base.clone();
        all.extend(self.about.preset.iter().cloned());
        let typed = untrack(|| self.typed());
        all.extend(typed);
        all
    }

    /// Returns what was typed, by path, each as it stands in its field.
    fn typed(&self) -> Vec<(String, String)> {
        let texts = self.app.drafts();
        let own = texts.into_iter().filter_map(|(key, text)| {
            let path = key.strip_prefix(&self.prefix)?;
            (!text.trim().is_empty()).then(|| (path.to_owned(), text))
        });
        own.collect()
    }

    /// Returns what the form says, each text with its unit: what was there, what was known, what was typed.
    pub fn filled(&self) -> Vec<(String, String)> {
        let mut all: BTreeMap<String, String> = self.base.iter().cloned().collect();
        all.extend(self.about.preset.iter().cloned());
        for (path, text) in untrack(|| self.typed()) {
            let Some(field) = self.form.at(&path).cloned() else { continue };
            let unit = self.unit(&path, &field).get_untracked();
            let text = match self.units(&path, &field).is_empty() {
                true => text.trim().to_owned(),
                false => {
                    let text = whole(&text, &unit);
                    job::entry::units::with_unit(&text, Some(unit.as_str()).filter(|unit| !unit.is_empty()))
                }
            };
            // A list written in one field, a line each.
            if field.many && matches!(field.takes, Takes::Text | Takes::Name(_)) {
                let stem = path.split('[').next().unwrap_or(&path).to_owned();
                for (index, line) in text.lines().filter(|line| !line.trim().is_empty()).enumerate() {
                    all.insert(format!("{stem}[{}]", index + 1), line.trim().to_owned());
                }
                continue;
            }
            if field.carries == Carries::Measured
                && let Some(with) = self.with(&path).get_untracked()
            {
                all.insert(format!("{path}.with"), with);
            }
            all.insert(path, text);
        }
        // A pressure read now was read now, unless its time is typed too: a hold lives by its times.
        let read: Vec<String> = untrack(|| self.typed())
            .iter()
            .filter_map(|(path, _)| path.strip_suffix(".pressure").map(|group| format!("{group}.at")))
            .collect();
        for at in read.into_iter().filter(|_| self.kind == "hold") {
            all.entry(at).or_insert_with(|| crate::clock::now().to_string());
        }
        all.into_iter().collect()
    }

    /// Returns what the form becomes: one entry, or the facts of a section.
    fn observations(&self) -> Result<Vec<Observation>, Problems> {
        let filled = self.filled();
        let mut around = self.around.clone();
        if self.kind != "visit" {
            around.at = Some(crate::clock::now());
        }
        if let (Some(visit), "line" | "shut_off") = (&self.visit, self.kind.as_str()) {
            let paths = listed(visit, &self.kind, &filled);
            let pairs: Vec<(&str, &str)> = paths.iter().map(|(path, text)| (&**path, &**text)).collect();
            return record::read_facts("system", &pairs, &around);
        }
        let pairs: Vec<(&str, &str)> = filled.iter().map(|(path, text)| (&**path, &**text)).collect();
        if FACT_SECTIONS.contains(&self.kind.as_str()) {
            return record::read_facts(&self.kind, &pairs, &around);
        }
        // A cylinder weighed for the first time is a cylinder of the record from then on.
        let mut first = Vec::new();
        if let Some(name) = self.new_cylinder(&filled) {
            first = record::read_facts("cylinder", &[("id", &name)], &around)?;
            around.cylinders.insert(name);
        }
        if let Some(seen) = self.onto_entry().map(|entry| &entry.seen) {
            around.at.clone_from(&seen.at);
            around.place.clone_from(&seen.place);
            around.with.clone_from(&seen.with);
            around.told_by.clone_from(&seen.told_by);
            around.note.clone_from(&seen.note);
        }
        first.push(record::read_entry(&self.kind, &pairs, &around)?);
        Ok(first)
    }

    /// Returns the name of a cylinder that is weighed and not yet in the record.
    fn new_cylinder(&self, filled: &[(String, String)]) -> Option<String> {
        if self.kind != "weighing" || self.about.onto.is_some() {
            return None;
        }
        let name =
            filled.iter().find(|(path, _)| path == "cylinder").map(|(_, text)| text.trim().to_owned())?;
        (!name.is_empty() && !self.around.cylinders.contains(&name)).then_some(name)
    }

    fn onto_entry(&self) -> Option<&record::Entry> {
        let id = self.about.onto?;
        self.visit.as_ref()?.current.entries.iter().find(|entry| entry.id == id)
    }

    /// Says a problem in the words of the form.
    fn sentence(&self, problem: &record::Problem) -> String {
        let mut named = problem.clone();
        let key = problem.field.rsplit('.').next().unwrap_or_default();
        let key = key.split('[').next().unwrap_or_default();
        named.field = said(self.app, &labels::field(&self.kind, key));
        self.app.say(&job::problems::sentence(&named))
    }

    /// Keeps the entry and goes back. What cannot be read is said, and what was typed stays; what is doubtful is said
    /// once, and kept at the second touch.
    pub fn keep(self: &Arc<Self>) {
        let Some(job) = self.job else { return };
        self.faults.set(Vec::new());
        let seen = match self.observations() {
            Ok(seen) if seen.is_empty() => {
                self.faults.set(vec![self.app.say(&Message::new("app-nothing-typed"))]);
                return;
            }
            Ok(seen) => seen,
            Err(problems) => {
                self.faults.set(problems.first.iter().map(|problem| self.sentence(problem)).collect());
                return;
            }
        };
        if let (Some(visit), [one]) = (&self.visit, seen.as_slice())
            && self.doubts.with_untracked(Vec::is_empty)
        {
            let doubts = job::entry::doubtful_together(visit, one, &self.app.writer());
            if !doubts.is_empty() {
                self.doubts.set(doubts.iter().map(|text| said(self.app, text)).collect());
                return;
            }
        }
        let sheet = Arc::clone(self);
        wasm_bindgen_futures::spawn_local(async move {
            if let Err(why) = sheet.put(job, seen).await {
                sheet.faults.set(vec![sheet.app.say(&why.message())]);
                return;
            }
            sheet.app.drop_drafts(&sheet.prefix);
            sheet.app.back();
        });
    }

    /// Keeps what is known without anything typed: what an offer needs no form for.
    pub fn keep_here(self: &Arc<Self>, fault: RwSignal<Option<String>>) {
        let Some(job) = self.job else { return };
        match self.observations() {
            Ok(seen) => {
                let sheet = Arc::clone(self);
                wasm_bindgen_futures::spawn_local(async move {
                    let saved = sheet.put(job, seen).await;
                    crate::parts::dom::keep_focus();
                    fault.set(saved.err().map(|why| sheet.app.say(&why.message())));
                });
            }
            Err(problems) => {
                let words: Vec<String> =
                    problems.first.iter().map(|problem| self.sentence(problem)).collect();
                fault.set(Some(words.join(" ")));
            }
        }
    }

    async fn put(&self, job: Uuid, seen: Vec<Observation>) -> Result<(), crate::NotSaved> {
        let made = match (self.onto_entry().map(|entry| entry.stands_by), seen.as_slice()) {
            (Some(of), [one]) => vec![self.app.correct(job, of, one.clone(), None).await?],
            _ => self.app.put_all(job, seen).await?,
        };
        let picture = self.about.picture.and_then(|id| {
            let entries = self.visit.as_ref()?.current.entries.iter();
            entries.into_iter().find(|entry| entry.id == id)
        });
        if let Some(entry) = picture
            && let Some(read) = job::entry::typed_up(entry, &made)
        {
            self.app.correct(job, entry.stands_by, read, None).await?;
        }
        Ok(())
    }

    /// Returns whether a number is asked behind the one typed in now; goes there where `goes`.
    pub fn next(&self, goes: bool) -> bool {
        let numbers: Vec<String> = self.asked().into_iter().filter(|path| self.is_number(path)).collect();
        let now = self.active.get_untracked().map(|typing| typing.text);
        let at = numbers.iter().position(|path| Some(self.text(path)) == now);
        let next = at.and_then(|at| numbers.get(at + 1));
        if let Some(next) = next.filter(|_| goes) {
            self.focus(next);
        }
        next.is_some()
    }

    fn is_number(&self, path: &str) -> bool {
        self.form.at(path).is_some_and(|field| is_number(&field.takes, self.units(path, field)))
    }

    /// Takes note of a field that is typed with the keys.
    pub fn is_typed_by(&self, path: &str, typing: Typing) {
        if let Ok(mut all) = self.typings.lock() {
            all.insert(path.to_owned(), typing);
        }
    }

    /// Puts the cursor into a field, and shows its keys: a page that has no focus itself tells nobody of it.
    pub fn focus(&self, path: &str) {
        let typing = self.typings.lock().ok().and_then(|all| all.get(path).cloned());
        if typing.is_some() {
            self.active.set(typing);
        }
        let clean: String = path.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
        let id = format!("f-{}-{clean}", self.kind.replace(' ', "-"));
        crate::parts::dom::focus(&id);
    }
}

/// Returns the texts of an entry that is added to.
fn base_of(visit: &Visit, id: Uuid) -> Option<Vec<(String, String)>> {
    let entry = visit.current.entries.iter().find(|entry| entry.id == id)?;
    Some(record::texts_of(&entry.seen)?.fields)
}

/// Returns the whole list of a system's lines or shut-off points with one more: the list is one fact.
fn listed(visit: &Visit, kind: &str, filled: &[(String, String)]) -> Vec<(String, String)> {
    let system = &visit.system.value;
    let (own, count) = match kind {
        "line" => (System { line: system.line.clone(), ..System::default() }, system.line.len()),
        _ => (System { shut_off: system.shut_off.clone(), ..System::default() }, system.shut_off.len()),
    };
    let seen = Observation {
        at: None,
        place: None,
        with: Vec::new(),
        told_by: None,
        note: None,
        what: Body::System(Box::new(own)),
    };
    let mut paths = record::texts_of(&seen).map(|filled| filled.fields).unwrap_or_default();
    paths.extend(filled.iter().map(|(path, text)| (format!("{kind}[{}].{path}", count + 1), text.clone())));
    paths
}

/// Whether a unit is the one that a person's other units go with.
fn usual(writer: &Writer, unit: &str) -> bool {
    let written = |q: units::write::Written| q.unit.to_lowercase();
    let one = unit.to_lowercase();
    one == written(writer.write(units::Temperature::from_kelvin(280.0)))
        || one == written(writer.write(units::TemperatureDifference::from_kelvin(1.0)))
        || (one == "kg" && writer.mass == units::MassUnit::Kilogram)
        || (one == "kpa gauge" && writer.pressure == units::PressureUnit::Kilopascal)
        || (one == "bar gauge" && writer.pressure == units::PressureUnit::Bar)
}

/// Returns refrigerants for one touch: those of the jobs on this phone, then those most met (common practice).
#[must_use]
pub fn usual_refrigerants(app: App) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for name in app.jobs().iter().filter_map(|head| head.refrigerant.clone()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    for name in ["R-404A", "R-449A", "R-448A", "R-134a", "R-407A", "R-513A", "R-22", "R-290", "R-744"] {
        if !names.iter().any(|known| known == name) {
            names.push(name.to_owned());
        }
    }
    names.truncate(12);
    names
}
