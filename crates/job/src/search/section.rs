//! The search in sentences: for the phone's stage, for the report, as an answer of its own.

use super::names;
use super::{Found, Search};
use crate::stage::circuit::Part;
use crate::stage::{NextCheck, Offer};
use crate::visit::Visit;
use diagnosis::search::book::Shows;
use diagnosis::search::found::{Explained, Size};
use diagnosis::search::next::{Act, Instead};
use record::PlaceChange;
use report::{
    Block, Caution, Cell, Chance, Column, Document, List, Mark, Message, Row, Section, Table, Text, Value,
};
use units::{MassFlow, Writer};

/// The parts of the circuit that places belong to.
const PARTS: [Part; 9] = [
    Part::Compressor,
    Part::Condenser,
    Part::Receiver,
    Part::Drier,
    Part::Solenoid,
    Part::Valve,
    Part::Coil,
    Part::Suction,
    Part::Controls,
];

/// Seconds of a year.
pub const YEAR: f64 = 365.25 * 86_400.0;

/// Returns a chance in whole percent.
pub fn percent(chance: f64) -> Text {
    let whole = (chance.clamp(0.0, 1.0) * 100.0 + 0.5) as u32;
    if whole == 0 && chance > 0.0 {
        Message::new("seek-under-one").into()
    } else if whole == 100 && chance < 1.0 {
        Message::new("seek-over-99").into()
    } else {
        Text::verbatim(format!("{whole}\u{a0}%"))
    }
}

/// Returns a flow given in kg a year.
pub fn per_year(writer: &Writer, kg: f64) -> String {
    writer.write(MassFlow::from_kilogram_per_second(kg / YEAR)).to_string()
}

fn minutes(minutes: f64) -> String {
    format!("{} min", (minutes + 0.5) as i64)
}

/// What a section shows.
#[derive(Clone, Copy)]
struct Show {
    /// The picture of the circuit; the phone has its own, to touch.
    picture: bool,
    /// The loss as a leak, in tables.
    loss: bool,
    /// How many places.
    most: usize,
}

impl Search {
    /// The order to look there.
    fn act(&self, act: &Act) -> Message {
        let place = &self.places[act.place];
        let (name, way) = (names::place(place), names::method(act.method));
        if act.opened && place.access.opens() {
            Message::new("seek-do-open").with("place", name).with("method", way)
        } else {
            Message::new("seek-do").with("place", name).with("method", way)
        }
    }

    /// The look as a part of another sentence or of a list.
    fn look(&self, act: &Act) -> Message {
        let place = &self.places[act.place];
        let (name, way) = (names::place(place), names::method(act.method));
        if act.opened && place.access.opens() {
            Message::new("seek-look-open").with("place", name).with("method", way)
        } else {
            Message::new("seek-look").with("place", name).with("method", way)
        }
    }

    /// Returns the sentence that matters now and why.
    #[must_use]
    pub fn now(&self) -> (Message, Option<Message>) {
        if let Some(found) = &self.found {
            let on = self.advice.next.as_ref().filter(|_| self.looks_on());
            let then = match (found.mended, found.proved) {
                _ if on.is_some() => on.map(|act| self.act(act)),
                (false, _) => Some(Message::new("seek-then-mend")),
                (true, false) => Some(Message::new("seek-then-prove")),
                (true, true) => None,
            };
            return (self.found_sentence(found), then);
        }
        if let Some(instead) = self.advice.instead {
            let otherwise = self.advice.next.as_ref();
            let otherwise =
                otherwise.map(|act| Message::new("seek-if-you-must").with("what", self.look(act)));
            return (self.instead(instead), otherwise);
        }
        match &self.advice.next {
            Some(act) => {
                let why = Message::new("seek-why")
                    .with("chance", percent(self.advice.chance_now))
                    .with("hour", percent(self.advice.hour_chance))
                    .with("minutes", minutes(self.advice.minutes))
                    .with("state", names::state(act.state));
                (self.act(act), Some(why))
            }
            None => (Message::new("seek-nothing-left"), None),
        }
    }

    fn found_sentence(&self, found: &Found) -> Message {
        let (place, chance) = (Text::verbatim(found.words.as_str()), percent(found.chance));
        match found.explained {
            Explained::Yes => Message::new("seek-explains").with("place", place).with("chance", chance),
            Explained::No => Message::new("seek-explains-not").with("place", place).with("chance", chance),
            Explained::NotResolved => {
                Message::new("seek-explains-open").with("place", place).with("chance", chance)
            }
        }
    }

    /// No leak explains it better, and which of the other explanations does.
    fn stop(&self) -> Message {
        let chance = percent(self.no_leak());
        let now = &self.now;
        if now.winter >= now.service.max(now.books) {
            Message::new("seek-stop-winter").with("chance", chance)
        } else if now.service >= now.books {
            Message::new("seek-stop-service").with("chance", chance)
        } else {
            Message::new("seek-stop-books").with("chance", chance)
        }
    }

    fn instead(&self, instead: Instead) -> Message {
        match instead {
            Instead::NoLeak => self.stop(),
            Instead::Isolate { section, with, without } => {
                let (with, without) = (percent(with), percent(without));
                if section == 0 {
                    Message::new("seek-isolate-receiver").with("with", with).with("without", without)
                } else {
                    Message::new("seek-isolate-low").with("with", with).with("without", without)
                }
            }
            Instead::Wait(Shows::Cold) => Message::new("seek-wait-cold"),
            Instead::Wait(Shows::Hot) => Message::new("seek-wait-hot"),
            Instead::Wait(_) => Message::new("seek-wait-defrost"),
            Instead::PressureTest => {
                Message::new("seek-pressure-test").with("chance", percent(self.advice.hour_chance))
            }
        }
    }

    /// The loss against the detector, as long as nothing is found: a large ratio speaks against another such look.
    fn ratio(&self, writer: &Writer) -> Option<Message> {
        let times = self.detector_ratio().filter(|times| *times > 30.0 && self.found.is_none())?;
        let rated = self.detector.unwrap_or(super::USUAL_RATING);
        let rated = per_year(writer, rated);
        let times = rounded(times).to_string();
        let message = match (self.detector.is_some(), self.looks.iter().any(|look| look.covered > 0.0)) {
            (true, true) => Message::new("seek-ratio"),
            (true, false) => Message::new("seek-ratio-before"),
            (false, true) => Message::new("seek-ratio-usual"),
            (false, false) => Message::new("seek-ratio-usual-before"),
        };
        Some(message.with("times", times).with("rated", rated))
    }

    fn remarks(&self, writer: &Writer) -> Vec<Text> {
        let mut out: Vec<Text> = Vec::new();
        let rate = |kg: f64| per_year(writer, kg);
        if self.evidence.intervals == 0 {
            out.push(Message::new("seek-no-history").into());
        } else {
            let said = match self.found.as_ref().is_some_and(|found| found.mended) {
                true => Message::new("seek-loss-was"),
                false => Message::new("seek-loss"),
            };
            let said = said.with("rate", rate(self.rate.mean));
            let said = said.with("from", rate(self.rate.interval.0)).with("to", rate(self.rate.interval.1));
            out.push(said.into());
            out.extend(self.ratio(writer).map(Text::from));
            let [warm, cold] = self.evidence.returns_in_days();
            let days = |(from, to): (f64, f64)| {
                let (from, to) = (from as i64, to.min(3650.0) as i64);
                Message::new("seek-days").with("from", from.to_string()).with("to", to.to_string())
            };
            if self.no_leak() < 0.5 && self.found.as_ref().is_none_or(|found| !found.mended) {
                out.push(
                    Message::new("seek-returns").with("warm", days(warm)).with("cold", days(cold)).into(),
                );
            }
        }
        if self.evidence.charge_assumed {
            let kg = units::Mass::from_kilogram(self.evidence.charge_kg);
            out.push(Message::new("seek-charge-assumed").with("charge", writer.write(kg)).into());
        }
        if self.evidence.over_reserve {
            out.push(Message::new("seek-over-reserve").into());
        }
        if self.learnt > 0 {
            let starter = format!("{}", self.book.weight_in_leaks as i64);
            let learnt = Message::new("seek-learnt").with("count", self.learnt).with("weight", starter);
            out.push(learnt.into());
        }
        out.extend(self.edited.iter().map(|edited| {
            let message = match edited.change {
                PlaceChange::Added => Message::new("seek-place-added"),
                PlaceChange::Changed => Message::new("seek-place-changed"),
                PlaceChange::NotThere => Message::new("seek-place-not-there"),
            };
            Text::from(message.with("place", Text::verbatim(edited.words.as_str())))
        }));
        if self.voided > 0 {
            out.push(Message::new("seek-voided").with("count", self.voided).into());
        }
        out
    }

    /// The explanations, the largest first; what is left of the places is one row, so that nothing hides in "something
    /// else".
    fn chances(&self) -> Vec<Chance> {
        let mut places: Vec<usize> = (0..self.places.len()).collect();
        units::sort_small(&mut places, |a, b| {
            self.now.single[*b].total_cmp(&self.now.single[*a]).then(a.cmp(b))
        });
        let count = places.iter().take(4).filter(|at| self.now.single[**at] >= 0.01).count();
        let (shown, rest) = places.split_at(count);
        let mut out: Vec<(Text, f64)> =
            shown.iter().map(|at| (self.leak_at(*at).into(), self.now.single[*at])).collect();
        out.extend(self.other_explanations().into_iter().filter(|(_, chance)| *chance >= 0.005));
        units::sort_small(&mut out, |a, b| b.1.total_cmp(&a.1));
        let left: f64 = rest.iter().map(|at| self.now.single[*at]).sum();
        if left > 0.0 {
            out.push((Message::new("seek-leak-elsewhere").with("count", rest.len()).into(), left));
        }
        out.into_iter().map(|(name, probability)| Chance { name, probability }).collect()
    }

    fn places_table(&self, most: usize) -> Table {
        let mut order: Vec<usize> = (0..self.places.len()).collect();
        units::sort_small(&mut order, |a, b| {
            self.now.places[*b].total_cmp(&self.now.places[*a]).then(a.cmp(b))
        });
        let rows = order
            .into_iter()
            .take(most)
            .map(|at| {
                // Of the place found there is no chance left to tell: it leaked.
                let found = self.found.as_ref().is_some_and(|found| found.place == at);
                let chance = if found {
                    Message::new("seek-block-found").into()
                } else {
                    percent(self.now.places[at])
                };
                let ruled = if self.now.ruled_out[at] {
                    Cell::Text(Message::new("seek-yes").into())
                } else {
                    Cell::Empty
                };
                Row::new(vec![
                    Cell::Text(names::place(&self.places[at])),
                    Cell::Text(chance),
                    Cell::Text(percent(self.now.looked[at])),
                    ruled,
                ])
            })
            .collect();
        Table {
            caption: Some(Message::new("seek-places").into()),
            columns: vec![
                Column::words(Message::new("seek-place")),
                Column::numbers(Message::new("seek-chance")),
                Column::numbers(Message::new("seek-looked")),
                Column::words(Message::new("seek-ruled-out")),
            ],
            rows,
        }
    }

    fn plan_blocks(&self) -> Vec<Block> {
        let items: Vec<Text> = self.advice.plan.iter().take(5).map(|act| self.look(act).into()).collect();
        let mut out = Vec::new();
        if !items.is_empty() {
            out.push(Block::Paragraph(Message::new("seek-order").into()));
            out.push(Block::List(List { ordered: true, items }));
            let rows = self
                .advice
                .plan_chance
                .iter()
                .map(|(at, chance)| {
                    Row::new(vec![Cell::Value(Value::as_written(minutes(*at))), Cell::Text(percent(*chance))])
                })
                .collect();
            out.push(Block::Table(Table {
                caption: Some(Message::new("seek-plan-chance").into()),
                columns: vec![
                    Column::numbers(Message::new("seek-within")),
                    Column::numbers(Message::new("seek-chance")),
                ],
                rows,
            }));
        }
        if let Some(other) = &self.advice.alternative {
            let said = Message::new("seek-alternative").with("what", self.look(other));
            out.push(Block::Paragraph(said.into()));
        }
        out
    }

    /// How large the find is as far as it was seen.
    fn size_of_find(&self, found: &Found, writer: &Writer) -> Message {
        match found.size {
            Size::About(kg, spread) => {
                let wide = units::math::exp(2.0 * spread);
                let rate = Message::new("seek-found-about").with("rate", per_year(writer, kg));
                rate.with("from", per_year(writer, kg / wide)).with("to", per_year(writer, kg * wide))
            }
            Size::AtLeast(kg) => Message::new("seek-found-least").with("rate", per_year(writer, kg)),
            Size::Unknown => Message::new("seek-found-unknown"),
        }
    }

    fn cautions(&self, visit: &Visit) -> Vec<Block> {
        if self.speaks_of_nitrogen(visit) {
            vec![Block::Caution(Caution {
                first: Message::new("seek-caution-first").into(),
                rest: Some(Message::new("seek-caution-rest").into()),
            })]
        } else {
            Vec::new()
        }
    }

    fn blocks(&self, visit: &Visit, writer: &Writer, show: Show) -> Vec<Block> {
        let mut out = self.cautions(visit);
        out.extend(
            self.found.as_ref().map(|found| Block::Paragraph(self.size_of_find(found, writer).into())),
        );
        let items = self.remarks(writer);
        out.push(Block::List(List { ordered: false, items }));
        out.push(Block::Chances(self.chances()));
        if show.picture {
            out.push(Block::Figure(Box::new(self.picture(visit))));
        }
        out.push(Block::Table(self.places_table(show.most)));
        // Told to stop, nobody needs the order of the looks.
        if self.looks_on() && self.advice.instead != Some(Instead::NoLeak) {
            out.extend(self.plan_blocks());
            out.extend(self.pressure_blocks(visit, writer));
            out.extend(self.half_blocks(visit, writer));
        } else if self.looks_on() {
            out.extend(self.standing_blocks(visit, writer));
        }
        out.extend(self.proof_blocks(visit, writer));
        if show.loss {
            out.extend(self.loss_tables(visit, writer));
        }
        out.push(Block::Paragraph(Message::new("seek-judgement").into()));
        out
    }
}

/// Two digits of a large number.
pub fn rounded(times: f64) -> i64 {
    let mut step = 1.0;
    while times / step >= 100.0 {
        step *= 10.0;
    }
    ((times / step + 0.5) as i64) * step as i64
}

/// Returns the section of the report: searched, how, what remains; nothing where nobody searched and nothing was lost.
#[must_use]
pub fn section(visit: &Visit, search: &Search, writer: &Writer) -> Option<Section> {
    if search.looks.is_empty() {
        return None;
    }
    let (sentence, why) = search.now();
    let mut blocks = vec![Block::Paragraph(sentence.into())];
    blocks.extend(why.map(|why| Block::Paragraph(why.into())));
    let numbers = search.loss_numbers(visit, writer);
    if !numbers.is_empty() {
        blocks.push(Block::Numbers(numbers));
    }
    blocks.extend(search.blocks(visit, writer, Show { picture: true, loss: true, most: 8 }));
    Some(Section::new(Message::new("seek-section"), blocks))
}

/// Returns the whole answer as a document.
#[must_use]
pub fn document(visit: &Visit, search: &Search, writer: &Writer, explain: bool) -> Document {
    let mark = if visit.is_demo() { Mark::Demo } else { Mark::Real };
    let mut document = Document::new(Message::new("seek-title"), "en", mark);
    let (sentence, why) = search.now();
    let numbers = if explain { search.loss_numbers(visit, writer) } else { Vec::new() };
    document.now = Some(report::Now { sentence: sentence.into(), why: why.map(Text::from), numbers });
    let show = Show { picture: true, loss: explain, most: if explain { usize::MAX } else { 8 } };
    document.sections.push(Section::new(Message::new("seek-section"), search.blocks(visit, writer, show)));
    if explain {
        let items = vec![
            Message::new("seek-method-prior").into(),
            Message::new("seek-method-looks").into(),
            Message::new("seek-method-order").into(),
        ];
        document.methods.push(Block::List(List { ordered: false, items }));
    }
    document
}

/// Returns where to look next, for the stage of the phone; nothing once a leak was found.
#[must_use]
pub fn next(visit: &Visit, writer: &Writer) -> Option<NextCheck> {
    let search = Search::of(visit);
    if !search.looks_on() {
        return None;
    }
    let (sentence, why) = search.now();
    let act = search.advice.next.as_ref();
    let mut offer = Offer::new("leak check", Message::new("seek-enter"), &["result", "pressure"]);
    if let Some(act) = act {
        // The key of a place reads as that place again, in every language.
        let place = &search.places[act.place];
        let words = place.words.first().map_or(place.key.as_str(), String::as_str);
        offer = offer.with("place", words).with("method", record_word(act.method));
    }
    let chances = PARTS.iter().map(|part| (part.key(), 100.0 * search.chance_of_part(part.key()))).collect();
    let mut blocks = search.blocks(visit, writer, Show { picture: false, loss: true, most: 8 });
    let numbers = search.loss_numbers(visit, writer);
    if !numbers.is_empty() {
        // What must be read before a step stays before it.
        let at = blocks.iter().take_while(|block| matches!(block, Block::Caution(_))).count();
        blocks.insert(at, Block::Numbers(numbers));
    }
    let section = Some(Section::new(Message::new("seek-section"), blocks));
    Some(NextCheck { sentence, why, offer, section, chances })
}

fn record_word(method: diagnosis::search::Method) -> &'static str {
    match method {
        diagnosis::search::Method::Electronic => record::Method::Electronic.word(),
        diagnosis::search::Method::Soap => record::Method::Soap.word(),
        diagnosis::search::Method::Ultrasonic => record::Method::Ultrasonic.word(),
        diagnosis::search::Method::Dye => record::Method::Dye.word(),
        diagnosis::search::Method::Tracer => record::Method::Tracer.word(),
        diagnosis::search::Method::Bagging => record::Method::Bagging.word(),
        diagnosis::search::Method::Visual => record::Method::Visual.word(),
        diagnosis::search::Method::Listening => record::Method::Listening.word(),
        diagnosis::search::Method::Isolation => record::Method::Isolation.word(),
    }
}
