//! What a text is understood as while it is typed: in words, in the other common unit, doubtful, or refused.

use super::labels;
use super::sense::{Expected, Why, expected, written};
use super::units::{setting_takes, units_for, value, with_unit};
use crate::visit::Visit;
use crate::{Refused, problems};
use record::form::{Carries, Field, NameOf, Takes};
use record::{
    Around, Barometer, Exactness, Fault, Known, Local, Money, Offset, PressureOrTemperature, Problem, Reads,
    SettingOf, Typed, When, of_fault, word_in,
};
use report::{Message, Text};
use units::{
    Atmosphere, Duration, Fraction, Length, Mass, MassFlow, Power, PressureDifference, PressureReading,
    Temperature, TemperatureDifference, Volume, VolumeFlow, Writer,
};

/// Where a text is typed.
#[derive(Clone, Copy)]
pub struct Here<'a> {
    /// The clock of the place, and the names known.
    pub around: &'a Around,
    /// The visit so far; absent for a question without a job.
    pub visit: Option<&'a Visit>,
    /// The kind of entry, or the section of a fact.
    pub kind: &'a str,
    /// The path of the field.
    pub path: &'a str,
    /// What stands at the other paths of the same form.
    pub beside: &'a [(String, String)],
}

impl Here<'_> {
    /// Returns what stands at another path of the form.
    #[must_use]
    pub fn beside(&self, path: &str) -> Option<&str> {
        self.beside
            .iter()
            .find(|(at, text)| at == path && !text.trim().is_empty())
            .map(|(_, text)| text.as_str())
    }

    fn air(&self) -> Atmosphere {
        self.visit.map_or(Atmosphere::sea_level_assumed(), |visit| visit.air)
    }
}

/// What a text is understood as.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Echo {
    /// What is kept: the text with the unit of its field.
    pub text: String,
    /// What it is understood as, where that says more than the text.
    pub in_words: Option<Message>,
    /// Why it is doubted, if it is; keeping it is allowed all the same.
    pub doubtful: Option<Doubted>,
    /// Why it cannot be read, if it cannot.
    pub refused: Option<Refused>,
}

/// Why a value is doubted, and what was perhaps meant.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubted {
    /// Why.
    pub why: Message,
    /// What was perhaps meant instead, the likeliest first, as texts that can be kept.
    pub likely: Vec<String>,
}

/// Returns what a text in a field is understood as; `unit` is the unit that the field shows.
#[must_use]
pub fn echo(field: &Field, text: &str, unit: Option<&str>, writer: &Writer, here: &Here<'_>) -> Echo {
    if text.trim().is_empty() {
        return Echo::default();
    }
    let (takes, carries) = resolved(field, here);
    let text = with_unit(text, unit.filter(|_| !units_for(&takes).is_empty()));
    let mut out = Echo { text: text.clone(), ..Echo::default() };
    match understood(&takes, carries, &text, writer, &here.around.local) {
        Ok(in_words) => {
            out.in_words = in_words;
            out.doubtful = doubted(&takes, &text, unit, writer, here);
        }
        Err(fault) => out.refused = Some(refused(fault, field, &text, here)),
    }
    if out.refused.is_none() {
        out.refused = unknown_name(&takes, &text, here);
    }
    out
}

/// Returns what a path of a field takes: the value of a setting goes by what is set, the two halves of a point by their
/// places, and what stands beside a value is a name or words.
fn resolved(field: &Field, here: &Here<'_>) -> (Takes, Carries) {
    let end = here.path.rsplit('.').next().unwrap_or_default();
    match (field.carries, end) {
        (Carries::Measured, "with") => return (Takes::Name(NameOf::Instrument), Carries::Nothing),
        (Carries::Measured, "tap") | (Carries::Known, "told_by") => return (Takes::Text, Carries::Nothing),
        _ => {}
    }
    let takes = match &field.takes {
        Takes::Setting => {
            let what = here.beside("what").and_then(|what| SettingOf::read(what, &here.around.local).ok());
            what.map_or(Takes::Setting, setting_takes)
        }
        Takes::Point if here.path.ends_with("[1]") => Takes::Duration,
        Takes::Point => Takes::Pressure,
        Takes::Shares => Takes::Fraction,
        other => other.clone(),
    };
    (takes, field.carries)
}

/// Returns the units of a field here; see [`units_for`].
#[must_use]
pub fn units_here(field: &Field, here: &Here<'_>) -> &'static [super::units::Unit] {
    units_for(&resolved(field, here).0)
}

fn refused(fault: Fault, field: &Field, text: &str, here: &Here<'_>) -> Refused {
    if let Fault::Unreadable(error) = &fault {
        return Refused::unreadable(here.path, error);
    }
    let (what, sensible) = of_fault(fault, text, &field.example);
    let given: String = text.chars().take(80).collect();
    let problem = Problem { line: 1, column: 1, field: here.path.to_owned(), given, what, sensible };
    let sensible = problems::sensible(&problem.sensible);
    Refused::new(
        problems::code(&problem.what),
        here.path,
        problem.given.as_str(),
        sensible,
        problems::sentence(&problem),
    )
}

/// A name of an instrument or a cylinder that the record does not hold.
fn unknown_name(takes: &Takes, text: &str, here: &Here<'_>) -> Option<Refused> {
    let names = match takes {
        // A cylinder or instrument being described may name whatever it belongs to.
        _ if matches!(here.kind, "instrument" | "cylinder") => return None,
        Takes::Name(NameOf::Instrument) => &here.around.instruments,
        Takes::Name(NameOf::Cylinder) => &here.around.cylinders,
        _ => return None,
    };
    if names.contains(text) {
        return None;
    }
    let near = record::nearest(text, names.iter().map(String::as_str)).map(str::to_owned);
    let sensible = near.unwrap_or_else(|| names.iter().take(5).cloned().collect::<Vec<_>>().join(", "));
    let given: String = text.chars().take(80).collect();
    let message = Message::new("problem-name");
    Some(Refused::new("unknown_name", here.path, given, sensible, message))
}

type Said = Result<Option<Message>, Fault>;

/// Reads a text as its field does, and says it in words.
fn understood(takes: &Takes, carries: Carries, text: &str, writer: &Writer, local: &Local) -> Said {
    let other = other_writer(text, writer);
    match takes {
        Takes::Pressure => say::<PressureReading>(carries, text, local, |p| Some(pressure(*p, &other))),
        Takes::PressureOrTemperature => say::<PressureOrTemperature>(carries, text, local, |value| {
            Some(match value {
                PressureOrTemperature::Pressure(p) => pressure(*p, &other),
                PressureOrTemperature::Temperature(t) => other.write(*t).to_string(),
            })
        }),
        Takes::PressureDifference => {
            say::<PressureDifference>(carries, text, local, |p| Some(other.write(*p).to_string()))
        }
        Takes::Barometer => say::<Barometer>(carries, text, local, |b| Some(other.write(b.0).to_string())),
        Takes::Temperature => say::<Temperature>(carries, text, local, |t| Some(other.write(*t).to_string())),
        Takes::TemperatureDifference => {
            say::<TemperatureDifference>(carries, text, local, |t| Some(other.write(*t).to_string()))
        }
        Takes::Mass => say::<Mass>(carries, text, local, |m| Some(mass(*m, &other))),
        Takes::Volume => say::<Volume>(carries, text, local, |v| Some(other.write(*v).to_string())),
        Takes::Length => say::<Length>(carries, text, local, |l| Some(other.write(*l).to_string())),
        Takes::Duration => say::<Duration>(carries, text, local, |d| Some(other.write(*d).to_string())),
        Takes::Power => say::<Power>(carries, text, local, |p| Some(other.write(*p).to_string())),
        Takes::MassFlow => say::<MassFlow>(carries, text, local, |m| Some(other.write(*m).to_string())),
        Takes::VolumeFlow => say::<VolumeFlow>(carries, text, local, |v| Some(other.write(*v).to_string())),
        Takes::Fraction => say::<Fraction>(carries, text, local, |f| Some(other.write(*f).to_string())),
        Takes::Exactness => say::<Exactness>(carries, text, local, |exactness| match exactness {
            Exactness::Pressure(p) => Some(other.write(*p).to_string()),
            Exactness::Temperature(t) => Some(other.write(*t).to_string()),
            Exactness::Mass(m) => Some(other.write(*m).to_string()),
            Exactness::Share(_) => None,
        }),
        Takes::Count => say::<u32>(carries, text, local, |_| None),
        Takes::Money => say::<Money>(carries, text, local, |_| None),
        Takes::Offset => say::<Offset>(carries, text, local, |_| None),
        Takes::Moment => say::<When>(carries, text, local, |when| Some(moment(when))),
        // The value of a setting that is not yet chosen, and free words, read as anything.
        Takes::Setting | Takes::Text | Takes::Name(_) => say::<String>(carries, text, local, |_| None),
        Takes::Words(words) => {
            let plain = if carries == Carries::Known {
                Known::<String>::read(text, local)?
            } else {
                typed(text, local)?
            };
            let Some(said) = plain.value().or(plain.typed().map(|typed| &typed.value)) else {
                return Ok(beyond(&plain, |_| None));
            };
            let word = word_in(said, words).ok_or(Fault::Word { known: words })?;
            Ok((word != said.as_str())
                .then(|| Message::new("entry-echo-word").with("word", labels::word(word))))
        }
        Takes::Shares | Takes::Point | Takes::Group(_) => Ok(None),
    }
}

fn typed(text: &str, local: &Local) -> Result<Known<String>, Fault> {
    Typed::read(text, local).map(Known::Value)
}

fn say<Q: Reads>(carries: Carries, text: &str, local: &Local, write: impl Fn(&Q) -> Option<String>) -> Said {
    let known = match carries {
        Carries::Known => Known::<Q>::read(text, local)?,
        Carries::Nothing | Carries::Measured => Typed::read(text, local).map(Known::Value)?,
    };
    Ok(beyond(&known, write))
}

/// What is said of a value beyond its own text.
fn beyond<Q>(known: &Known<Q>, write: impl Fn(&Q) -> Option<String>) -> Option<Message> {
    let said = match known.plain() {
        Known::Value(typed) => is(&typed.text, write(&typed.value)?),
        Known::About(typed) => match write(&typed.value) {
            Some(other) => Message::new("entry-echo-about").with("what", is(&typed.text, other)),
            None => Message::new("entry-echo-about").with("what", typed.text.as_str()),
        },
        Known::Range { from, to } => {
            let end = |typed: &Typed<Q>| match write(&typed.value) {
                Some(other) => Text::from(is(&typed.text, other)),
                None => Text::verbatim(typed.text.as_str()),
            };
            Message::new("entry-echo-range").with("from", end(from)).with("to", end(to))
        }
        Known::Unknown | Known::Told { .. } => Message::new("entry-echo-unknown"),
    };
    Some(match (known.is_told(), known.told_by()) {
        (true, Some(by)) => Message::new("entry-echo-told-by").with("what", said).with("who", by),
        (true, None) => Message::new("entry-echo-told").with("what", said),
        (false, _) => said,
    })
}

fn is(typed: &str, other: String) -> Message {
    Message::new("entry-echo-is").with("typed", typed).with("other", other)
}

fn pressure(reading: PressureReading, other: &Writer) -> String {
    match reading {
        PressureReading::Gauge(p) => other.write(p).to_string(),
        // A deep vacuum is thought of in its own unit.
        PressureReading::Absolute(p) if p.pascal() < 2_500.0 => other.vacuum(p).to_string(),
        PressureReading::Absolute(p) => other.write(p).to_string(),
    }
}

fn mass(mass: Mass, other: &Writer) -> String {
    match other.mass {
        units::MassUnit::PoundOunce => other.weight(mass),
        units::MassUnit::Kilogram => other.write(mass).to_string(),
    }
}

fn moment(when: &When) -> String {
    let text = when.to_string();
    match (text.get(..10), text.get(11..16), when) {
        (Some(day), Some(time), When::Instant { .. }) => format!("{day} {time}"),
        _ => text,
    }
}

/// The units that the text is not typed in: metric for what is customary, and the other way round.
fn other_writer(text: &str, writer: &Writer) -> Writer {
    let lower = text.to_lowercase();
    let customary = ["psi", "inhg", "micron", "f", "lb", "oz", "ft", "in", "btu", "\"", "'"];
    let unit = lower.trim_start_matches(|c: char| !c.is_alphabetic() && !matches!(c, '"' | '\''));
    let is_customary = customary.iter().any(|start| unit.starts_with(start));
    let base = if is_customary { Writer::metric() } else { Writer::us() };
    Writer { decimal_comma: writer.decimal_comma, ..base }
}

/// Why a value that reads is doubted.
fn doubted(
    takes: &Takes,
    text: &str,
    unit: Option<&str>,
    writer: &Writer,
    here: &Here<'_>,
) -> Option<Doubted> {
    let expected = expected(takes, here)?;
    let si = number(takes, text, here)?;
    if expected.holds(si) {
        return None;
    }
    let (from, to) = written(&expected, takes, writer);
    let why = match expected.why {
        Why::Saturation { low, high } => {
            let saturation = here
                .visit
                .and_then(|visit| visit.substance.as_ref())
                .and_then(|s| s.fluid.dew_at_pressure(units::AbsolutePressure::from_pascal(si)).ok());
            let (low, high) = (writer.write(low), writer.write(high));
            match saturation {
                Some(point) => Message::new("entry-doubt-saturation")
                    .with("typed", text)
                    .with("saturation", writer.write(point.temperature))
                    .with("low", low)
                    .with("high", high),
                None => Message::new("entry-doubt-no-saturation")
                    .with("typed", text)
                    .with("low", from)
                    .with("high", to),
            }
        }
        Why::Box => Message::new("entry-doubt-box").with("typed", text).with("low", from).with("high", to),
        Why::Usual => {
            Message::new("entry-doubt-usual").with("typed", text).with("low", from).with("high", to)
        }
        Why::Before if expected.low > 0.0 => {
            Message::new("entry-doubt-after-below").with("typed", text).with("before", from)
        }
        Why::Before => Message::new("entry-doubt-after-above").with("typed", text).with("before", to),
        Why::Nameplate => Message::new("entry-doubt-nameplate").with("typed", text).with("limit", to),
        Why::Fans => Message::new("entry-doubt-fans").with("typed", text).with("fans", to),
        Why::Charge => Message::new("entry-doubt-charge").with("typed", text).with("most", to),
    };
    Some(Doubted { why, likely: likely(takes, text, unit, &expected, writer, here) })
}

fn number(takes: &Takes, text: &str, here: &Here<'_>) -> Option<f64> {
    let local = &here.around.local;
    if matches!(takes, Takes::Count) {
        return u32::read(text, local).ok().map(f64::from);
    }
    // Of a value that is known in part the plain one is judged; a range or hearsay is its giver's.
    value(takes, text, here.air(), local)
}

/// What was perhaps meant: a decimal mark left out, another unit, a sign left out; whatever would be no surprise.
fn likely(
    takes: &Takes,
    text: &str,
    unit: Option<&str>,
    expected: &Expected,
    writer: &Writer,
    here: &Here<'_>,
) -> Vec<String> {
    let split = text.find(|c: char| c.is_alphabetic() || matches!(c, '°' | '%')).unwrap_or(text.len());
    let (digits, typed_unit) = (text[..split].trim(), text[split..].trim());
    let one_number =
        digits.trim_start_matches('-').bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b','));
    if digits.is_empty() || !one_number || typed_unit.bytes().any(|b| b.is_ascii_digit()) {
        return Vec::new();
    }
    let mut candidates: Vec<String> = Vec::new();
    let whole = !digits.contains(['.', ',']);
    let size = digits.trim_start_matches('-').len();
    if whole && size >= 2 {
        let at = digits.len() - 1;
        let mark = if writer.decimal_comma { ',' } else { '.' };
        candidates.push(join(&format!("{}{mark}{}", &digits[..at], &digits[at..]), typed_unit));
    }
    for other in units_for(takes).iter().filter(|other| Some(other.name) != unit && other.name != typed_unit)
    {
        // Nobody means a deep vacuum or an absolute pressure by a slip.
        if !matches!(other.name, "micron" | "psia" | "kPa abs" | "bar abs" | super::units::POUND_OUNCE) {
            candidates.push(join(digits, other.name));
        }
    }
    if matches!(takes, Takes::Temperature) {
        let turned = digits.strip_prefix('-').map_or_else(|| format!("-{digits}"), str::to_owned);
        candidates.push(join(&turned, typed_unit));
    }
    candidates.retain(|candidate| number(takes, candidate, here).is_some_and(|si| expected.holds(si)));
    candidates.truncate(2);
    candidates
}

fn join(digits: &str, unit: &str) -> String {
    if unit.is_empty() { digits.to_owned() } else { format!("{digits} {unit}") }
}
