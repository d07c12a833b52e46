//! Search: what was looked at, how, and what it gave.

use super::offer::Offer;
use super::{Ground, NextCheck, Now, View, circuit, hooks};
use crate::place;
use crate::visit::document::{done, open, words};
use record::{Body, CheckResult, Entry, Known, LeakCheck, Method, PassFail, YesNo};
use report::{Block, Cell, Column, Message, Row, Table, Text, Value, VerdictMark};

/// A hit, and what was done about it since.
pub struct Hit<'a> {
    /// The entry.
    pub entry: &'a Entry,
    /// The check.
    pub check: &'a LeakCheck,
    /// Something was mended after it.
    pub mended: bool,
}

impl Hit<'_> {
    /// Returns the place in the words of the entry.
    pub fn place(&self) -> Text {
        match &self.entry.seen.place {
            Some(place) => Text::verbatim(place.as_str()),
            None => Message::new("search-no-place").into(),
        }
    }

    /// Whether all three steps were made: hit, came again, gone when the probe was moved.
    pub fn is_sure(&self) -> bool {
        // Bubbles are seen where they rise: moving a probe away is a step of a sniffing detector.
        !matches!(self.check.method, Method::Electronic | Method::Tracer | Method::Ultrasonic)
            || (self.check.repeated == Some(YesNo::Yes) && self.check.gone_when_moved == Some(YesNo::Yes))
    }

    /// Whether one of the steps spoke against it.
    pub fn is_refuted(&self) -> bool {
        self.check.repeated == Some(YesNo::No) || self.check.gone_when_moved == Some(YesNo::No)
    }
}

/// Returns the hits of the visit, in their order.
///
/// A repair mends the hit at the place of the same words, else at the same part of the circuit, else the last one that
/// is not mended.
pub fn hits<'a>(ground: &Ground<'a>) -> Vec<Hit<'a>> {
    let mut hits: Vec<Hit<'a>> = Vec::new();
    for entry in &ground.visit.current.entries {
        match entry.what() {
            Body::LeakCheck(check) if check.result == CheckResult::Hit => {
                hits.push(Hit { entry, check, mended: false });
            }
            Body::Repair(repair) => {
                let spot = entry.seen.place.as_deref().unwrap_or(repair.what.as_str());
                let at = |hit: &Hit<'_>| hit.entry.seen.place.as_deref().unwrap_or_default().to_owned();
                let part = circuit::part_of(spot);
                let open = || (0..hits.len()).rev().filter(|index| !hits[*index].mended);
                let mends = open()
                    .find(|index| place::same(&at(&hits[*index]), spot))
                    .or_else(|| {
                        open().find(|index| part.is_some() && circuit::part_of(&at(&hits[*index])) == part)
                    })
                    .or_else(|| open().next());
                if let Some(index) = mends {
                    hits[index].mended = true;
                }
            }
            _ => {}
        }
    }
    hits
}

fn checks<'a>(ground: &Ground<'a>) -> impl Iterator<Item = (&'a Entry, &'a LeakCheck)> {
    ground.visit.entries(|body| match body {
        Body::LeakCheck(check) => Some(&**check),
        _ => None,
    })
}

pub fn view(ground: &Ground<'_>) -> View {
    // A hit that waits for its steps comes before any other look.
    let waits = hits(ground).iter().any(|hit| !hit.mended && !hit.is_refuted());
    let next = if waits { None } else { hooks::next_check(ground) };
    let mut view = View::new(super::Stage::Search, now(ground, next.as_ref()));
    view.next = next;
    view.offers = offers(ground);
    if let Some(next) = &view.next {
        view.offers.insert(0, next.offer.clone());
    }
    let visit = ground.visit;
    view.section(Message::new("search-log"), done::checks(visit).map(Block::Table).into_iter().collect());
    view.section(Message::new("search-earlier"), earlier(ground));
    view.section(Message::new("search-spots"), spots(ground));
    view.sharpen = sharpen(ground);
    view
}

fn now(ground: &Ground<'_>, next: Option<&NextCheck>) -> Now {
    let hits = hits(ground);
    if let Some(hit) = hits.iter().rev().find(|hit| !hit.mended && !hit.is_refuted()) {
        let place = hit.place();
        return if hit.is_sure() {
            let sentence = Message::new("search-found").with("place", place);
            Now::new(sentence).because(Message::new("search-found-why")).marked(VerdictMark::Breached)
        } else if hit.check.repeated.is_none() {
            Now::new(Message::new("search-again").with("place", place))
                .because(Message::new("search-again-why"))
        } else {
            Now::new(Message::new("search-move").with("place", place))
                .because(Message::new("search-move-why"))
        };
    }
    let last = checks(ground).last().map(|(entry, _)| entry.stamp);
    if let Some(hit) = hits.last().filter(|hit| hit.is_refuted() && Some(hit.entry.stamp) == last) {
        let refuted = Now::new(Message::new("search-refuted").with("place", hit.place()));
        return refuted.because(Message::new("search-refuted-why"));
    }
    if let Some(next) = next {
        return Now { sentence: next.sentence.clone(), why: next.why.clone(), mark: None };
    }
    if let Some(hit) = hits.iter().rev().find(|hit| hit.mended) {
        let again = checks(ground)
            .filter(|(entry, _)| entry.stamp > hit.entry.stamp)
            .filter(|(_, check)| check.result == CheckResult::Clean)
            .count();
        let place = hit.place();
        return if again == 0 {
            Now::new(Message::new("search-mended-look").with("place", place))
                .because(Message::new("now-why-untested"))
        } else {
            Now::new(Message::new("search-mended-clean").with("place", place))
                .because(Message::new("search-other-places"))
        };
    }
    if let Some(hit) = hits.last() {
        return Now::new(Message::new("search-refuted").with("place", hit.place()))
            .because(Message::new("search-refuted-why"));
    }
    let clean = checks(ground).filter(|(_, check)| check.result == CheckResult::Clean).count();
    let skipped = checks(ground).filter(|(_, check)| check.result == CheckResult::NotDone).count();
    if clean > 0 {
        let now = Now::new(Message::new("search-clean").with("count", clean));
        return if skipped > 0 {
            now.because(Message::new("search-skipped").with("count", skipped))
        } else {
            now.because(Message::new("search-clean-why"))
        };
    }
    if detector_failed(ground) {
        return Now::new(Message::new("search-detector-failed")).marked(VerdictMark::Breached);
    }
    Now::new(Message::new("search-begin")).because(Message::new("search-begin-why"))
}

fn detector_failed(ground: &Ground<'_>) -> bool {
    let last = ground.visit.entries(|body| match body {
        Body::DetectorCheck(check) => Some(check),
        _ => None,
    });
    last.last().is_some_and(|(_, check)| check.result == PassFail::Fail)
}

fn offers(ground: &Ground<'_>) -> Vec<Offer> {
    let visit = ground.visit;
    let mut out = Vec::new();
    // A hit is taken in three steps: each adds to the entry of the first.
    if let Some(hit) =
        hits(ground).iter().rev().find(|hit| !hit.mended && !hit.is_refuted() && !hit.is_sure())
    {
        let (path, yes, no) = if hit.check.repeated.is_none() {
            ("repeated", Message::new("offer-came-again"), Message::new("offer-not-again"))
        } else {
            ("gone_when_moved", Message::new("offer-gone-moved"), Message::new("offer-stays-moved"))
        };
        out.push(Offer::new("leak check", yes, &[]).with(path, "yes").onto(hit.entry.id));
        out.push(Offer::new("leak check", no, &[]).with(path, "no").onto(hit.entry.id));
    }
    let detector_checked = visit
        .entries(|body| match body {
            Body::DetectorCheck(check) => Some(check),
            _ => None,
        })
        .next()
        .is_some();
    // The three answers stand alike; none is a default.
    for (result, label) in [
        (CheckResult::Clean, Message::new("offer-clean")),
        (CheckResult::Hit, Message::new("offer-hit")),
        (CheckResult::NotDone, Message::new("offer-not-done")),
    ] {
        let mut offer = Offer::new("leak check", label, &["place", "method", "pressure"]);
        if let Some((_, last)) = checks(ground).last() {
            offer = offer.with("method", last.method.word());
        }
        out.push(offer.with("result", result.word()));
    }
    let sweep = Offer::new("leak check", Message::new("offer-sweep"), &["place", "except", "method"]);
    out.push(sweep.with("result", CheckResult::Clean.word()).because(Message::new("offer-sweep-why")));
    if !detector_checked {
        let check = Offer::new("detector check", Message::new("offer-detector"), &["result", "test_leak"]);
        out.push(check.because(Message::new("offer-detector-why")));
    }
    out.push(Offer::new("opened", Message::new("offer-opened"), &["what"]));
    out.push(Offer::new("picture", Message::new("offer-picture"), &["shows"]));
    out.push(Offer::new(
        "earlier search",
        Message::new("offer-earlier-search"),
        &["covered", "method", "found"],
    ));
    out
}

fn earlier(ground: &Ground<'_>) -> Vec<Block> {
    let rows: Vec<Row> = ground
        .visit
        .entries(|body| match body {
            Body::EarlierSearch(search) => Some(&**search),
            _ => None,
        })
        .map(|(_, search)| {
            let text = |known: &Option<Known<String>>| {
                Cell::Text(Text::verbatim(known.as_ref().map(Known::text).unwrap_or_default()))
            };
            let visits = search.visits.as_ref().map(Known::text).unwrap_or_default();
            Row::new(vec![
                text(&search.covered),
                text(&search.method),
                text(&search.found),
                Cell::Value(Value::as_written(visits)),
            ])
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table(Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("search-covered")),
            Column::words(Message::new("done-method")),
            Column::words(Message::new("done-result")),
            Column::numbers(Message::new("search-visits")),
        ],
        rows,
    })]
}

/// The places of the circuit in words: the same as its picture says.
fn spots(ground: &Ground<'_>) -> Vec<Block> {
    let circuit = circuit::circuit(ground.visit);
    let rows: Vec<Row> = circuit
        .blocks
        .iter()
        .map(|block| {
            let methods: Vec<&str> = block.looked_by.iter().map(|method| method.word()).collect();
            Row::new(vec![
                Cell::Text(block.label.clone().into()),
                Cell::Text(block.state.word().into()),
                Cell::Text(Text::verbatim(methods.join(", "))),
            ])
        })
        .collect();
    vec![Block::Table(Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("done-place")),
            Column::words(Message::new("search-state")),
            Column::words(Message::new("done-method")),
        ],
        rows,
    })]
}

fn sharpen(ground: &Ground<'_>) -> Vec<Message> {
    let mut out = Vec::new();
    if checks(ground).any(|(_, check)| check.result == CheckResult::Clean && check.pressure.is_none()) {
        out.push(Message::new("sharpen-check-pressure"));
    }
    let sniffed = checks(ground).any(|(_, check)| check.method == Method::Electronic);
    let sensitivity = ground.visit.entries(|body| match body {
        Body::Instrument(instrument) if instrument.sensitivity.is_some() => Some(&**instrument),
        _ => None,
    });
    if sniffed && sensitivity.count() == 0 {
        out.push(Message::new("sharpen-sensitivity"));
    }
    out.extend(open::sharpen(ground.results).into_iter().filter(|message| message.id == "sharpen-refills"));
    out
}

/// Returns the hits as rows, for the stages that decide upon them.
pub fn hit_rows(ground: &Ground<'_>) -> Vec<Block> {
    let items: Vec<Text> = hits(ground)
        .iter()
        .map(|hit| {
            Message::new("search-hit-row")
                .with("place", hit.place())
                .with("method", words::way(hit.check.method))
                .into()
        })
        .collect();
    if items.is_empty() { Vec::new() } else { vec![Block::List(report::List { ordered: false, items })] }
}
