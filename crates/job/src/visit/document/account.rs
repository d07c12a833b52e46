//! The refrigerant account: refills, loss a year, legal rates, today's cylinders, receiver, winter charge, controls.

use super::{Results, words};
use crate::ask::vessels::winter_number;
use crate::opening::{input, number};
use crate::show::superheat::{verdict_mark, verdict_text};
use crate::visit::account::LegalRate;
use field::annual_loss::{AnnualLoss, LossNote, LossRate, Trend};
use field::controls::{MissingFact, Rule, Standing};
use report::{
    Block, Cell, ColdSpan, Column, Figure, Finding, Ledger, LedgerRefill, LedgerStart, Message, Number,
    Picture, Row, Table, Text, Value, VerdictMark,
};
use units::{MassUnit, Writer, combine};

pub fn blocks(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let mut out = history(results, writer);
    out.extend(cylinders(results, writer));
    out.extend(vessels(results, writer));
    out.extend(controls(results, writer));
    out
}

/// Returns the refills, the loss a year, its picture, and the legal rates.
pub fn history(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let account = &results.account;
    let mut out = Vec::new();
    if !account.refills.is_empty() {
        out.push(Block::Table(refills(results, writer)));
    }
    if !account.removals.is_empty() {
        let all: Vec<String> = account
            .removals
            .iter()
            .map(|removal| format!("{} {}", words::date(removal.day), removal.typed).trim_end().to_owned())
            .collect();
        out.push(Block::Paragraph(Message::new("account-taken-out").with("all", all.join(", ")).into()));
    }
    if let Some(habit) = &account.habit {
        let sentence = Message::new("account-habit").with("interval", habit.text());
        out.push(Block::Paragraph(sentence.into()));
    }
    if let Some(loss) = &account.loss {
        out.extend(loss_blocks(results, loss, writer));
    }
    out.extend(figure(results, writer).map(|figure| Block::Figure(Box::new(figure))));
    let rates: Vec<Number> = [
        (Message::new("account-annualizing"), &account.annualizing),
        (Message::new("account-rolling"), &account.rolling),
    ]
    .into_iter()
    .filter_map(|(name, rate)| rate.as_ref().map(|rate| legal(name, rate, writer)))
    .collect();
    if !rates.is_empty() {
        out.push(Block::Numbers(rates));
        out.push(Block::Paragraph(Message::new("account-legal-note").into()));
    }
    out
}

fn refills(results: &Results<'_>, writer: &Writer) -> Table {
    let rows = results
        .account
        .refills
        .iter()
        .map(|refill| {
            let day = refill.day.map(words::date);
            let day: Text = match (day, refill.reckoned) {
                (Some(day), false) => Text::verbatim(day),
                (Some(day), true) => Message::new("account-about").with("day", day).into(),
                (None, _) => Message::new("account-no-day").into(),
            };
            let amount = if refill.today {
                match &refill.amount {
                    field::annual_loss::Amount::Known(mass) => {
                        Cell::Value(Value::from(writer.write_uncertain(mass)))
                    }
                    _ => Cell::Empty,
                }
            } else {
                Cell::Value(Value::as_written(refill.typed.as_str()))
            };
            let how = match (refill.today, refill.told) {
                (true, _) => Message::new("account-weighed-today"),
                (false, true) => Message::new("account-told"),
                (false, false) => Message::new("account-from-record"),
            };
            Row::new(vec![Cell::Text(day), amount, Cell::Text(how.into())])
        })
        .collect();
    Table {
        caption: Some(Message::new("account-refills").into()),
        columns: vec![
            Column::words(Message::new("account-day")),
            Column::numbers(Message::new("account-added")),
            Column::words(Message::new("account-how")),
        ],
        rows,
    }
}

fn loss_blocks(results: &Results<'_>, loss: &AnnualLoss, writer: &Writer) -> Vec<Block> {
    let mut out = Vec::new();
    match &loss.leak {
        LossRate::Known { rate, low, high } => {
            let mut inputs =
                vec![report::Input::new(Message::new("account-time"), Value::from(writer.write(loss.time)))];
            if let Some(counted) = loss.counted {
                inputs.push(report::Input::new(Message::new("account-counted"), writer.weight(counted)));
            }
            if let Some(charge) = &results.charge.nameplate {
                inputs.push(input(Message::new("account-charge"), charge, writer));
            }
            let name = Message::new("account-loss");
            let (method, source) = (Message::new("method-loss"), Message::new("source-loss"));
            out.push(Block::Numbers(vec![number(name, rate, writer, inputs, method, source)]));
            // The half-width says it, but where the interval is cut off: a loss cannot be below nothing.
            if low.kilogram_per_second() <= 0.0 {
                let sentence = Message::new("account-loss-interval").with("high", writer.write(*high));
                out.push(Block::Paragraph(sentence.into()));
            }
        }
        LossRate::AtLeast(least) => {
            out.push(Block::Paragraph(
                Message::new("account-loss-least").with("least", writer.write(*least)).into(),
            ));
        }
        // One refill alone: said below, and there is nothing else to say.
        LossRate::Unknown if loss.notes.contains(&LossNote::OneAddition) => {
            return vec![Block::Paragraph(Message::new("account-one").into())];
        }
        LossRate::Unknown => out.push(Block::Paragraph(Message::new("account-loss-unknown").into())),
    }
    let rows: Vec<Row> = loss
        .intervals
        .iter()
        .map(|interval| {
            let rate = match &interval.rate {
                LossRate::Known { rate, .. } => Cell::Value(Value::from(writer.write_uncertain(rate))),
                LossRate::AtLeast(least) => {
                    Cell::Text(Message::new("account-at-least").with("least", writer.write(*least)).into())
                }
                LossRate::Unknown => Cell::Empty,
            };
            Row::new(vec![
                Cell::Text(Text::verbatim(words::date(interval.from))),
                Cell::Text(Text::verbatim(words::date(interval.to))),
                rate,
            ])
        })
        .collect();
    if rows.len() > 1 {
        out.push(Block::Table(Table {
            caption: Some(Message::new("account-intervals").into()),
            columns: vec![
                Column::words(Message::new("account-from")),
                Column::words(Message::new("account-to")),
                Column::numbers(Message::new("account-loss")),
            ],
            rows,
        }));
        let trend = match loss.trend {
            Trend::Faster => Message::new("account-faster"),
            Trend::Slower => Message::new("account-slower"),
            Trend::NotResolved => Message::new("account-trend-unknown"),
        };
        out.push(Block::Paragraph(trend.into()));
    }
    for note in &loss.notes {
        let sentence = match note {
            LossNote::RestoredWithinAssumed(part) => {
                Message::new("account-restored").with("part", writer.write(*part))
            }
            LossNote::ChargeUnknown => Message::new("account-charge-unknown"),
            LossNote::AmountsUnknown(count) => Message::new("account-amounts-unknown").with("count", *count),
            LossNote::OneAddition => Message::new("account-one"),
            LossNote::NotAboveZero => Message::new("account-not-above-zero"),
        };
        out.push(Block::Paragraph(sentence.into()));
    }
    out
}

/// Charge over the seasons: a tooth for each refill.
fn figure(results: &Results<'_>, writer: &Writer) -> Option<Figure> {
    let account = &results.account;
    let full = results.charge.nameplate.as_ref()?.value();
    let kilogram = writer.mass == MassUnit::Kilogram;
    let shown = |mass: units::Mass| if kilogram { mass.kilogram() } else { mass.pound() };
    let unit = if kilogram { "kg" } else { "lb" };
    let dated: Vec<_> = account.refills.iter().filter_map(|refill| Some((refill.day?, refill))).collect();
    let (first, last) = (dated.first()?.0, dated.last()?.0);
    let start = account.full_on.unwrap_or(first);
    let refills: Vec<LedgerRefill> = dated
        .iter()
        .filter(|(day, _)| *day > start)
        .map(|(day, refill)| {
            let amount = match &refill.amount {
                field::annual_loss::Amount::Known(mass) => Some(mass.value()),
                field::annual_loss::Amount::Between(low, high) => Some((*low + *high) / 2.0),
                _ => None,
            };
            LedgerRefill {
                day: f64::from(day.day_number()),
                date: words::date(*day),
                before: amount.map(|amount| shown(full - amount)),
                after: shown(full),
                added: amount.map_or_else(
                    || "+?".to_owned(),
                    |amount| format!("+{}", writer.number(shown(amount), 1)),
                ),
            }
        })
        .collect();
    if refills.len() < 2 {
        return None;
    }
    // Strips from November to March; where the site lies in the south they would be the warm ones, so they are named.
    let (from_year, to_year) = (start.year(), last.year());
    let cold = (from_year - 1..=to_year)
        .filter_map(|year| {
            let begin = units::Date::new(year, 11, 1).ok()?.max(start);
            let end = units::Date::new(year + 1, 3, 31).ok()?.min(last);
            (begin < end)
                .then(|| ColdSpan { from: f64::from(begin.day_number()), until: f64::from(end.day_number()) })
        })
        .collect();
    let dates = std::iter::once(start)
        .chain(dated.iter().map(|(day, _)| *day))
        .map(|day| (f64::from(day.day_number()), words::date(day)))
        .collect();
    Some(Figure {
        title: Message::new("account-figure").with("unit", unit).into(),
        description: Message::new("account-figure-says")
            .with("count", refills.len())
            .with("from", words::date(start))
            .with("to", words::date(last))
            .into(),
        picture: Picture::Ledger(Ledger {
            unit: unit.to_owned(),
            start: LedgerStart {
                day: f64::from(start.day_number()),
                date: words::date(start),
                charge: shown(full),
            },
            refills,
            end: None,
            full: Some(shown(full)),
            cold,
            dates,
        }),
    })
}

fn legal(name: Message, rate: &LegalRate, writer: &Writer) -> Number {
    let unit = if writer.decimal_comma { "% par an" } else { "% a year" };
    let value = Value { value: writer.number(rate.percent, 2), half_width: None, unit: unit.to_owned() };
    let opened = report::Opened {
        inputs: vec![
            report::Input::new(Message::new("account-counted"), writer.weight(rate.added)),
            report::Input::new(Message::new("account-charge"), writer.weight(rate.full_charge)),
            report::Input::new(Message::new("account-days"), rate.days.to_string()),
        ],
        method: Message::new("method-legal").into(),
        doubts: Vec::new(),
        source: Message::new("source-legal").into(),
    };
    Number::new(name, value).opens(opened)
}

/// Returns the weighings with their sum, gaps between them, and the cylinders against their limits.
pub fn cylinders(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let account = &results.account;
    let mut out = Vec::new();
    let ledger = &account.ledger;
    if !ledger.rows.is_empty() {
        let rows = ledger
            .rows
            .iter()
            .map(|row| {
                let what: Text = match &row.cylinder {
                    Some(name) => Text::verbatim(name.as_str()),
                    None => Message::new("account-hoses").into(),
                };
                let mark = if row.wrong_way { Cell::Verdict(VerdictMark::Doubtful) } else { Cell::Empty };
                Row::new(vec![
                    Cell::Text(Text::verbatim(words::date(row.day))),
                    Cell::Text(what),
                    Cell::Value(Value::from(writer.write_uncertain(&row.change))),
                    Cell::Value(Value::from(writer.write_uncertain(&row.balance))),
                    mark,
                ])
            })
            .collect();
        out.push(Block::Table(Table {
            caption: Some(Message::new("account-today").into()),
            columns: vec![
                Column::words(Message::new("account-day")),
                Column::words(Message::new("account-cylinder")),
                Column::numbers(Message::new("account-change")),
                Column::numbers(Message::new("account-balance")),
                Column::words(Message::new("account-mark")),
            ],
            rows,
        }));
    }
    let gaps: Vec<Finding> = ledger
        .cylinders
        .iter()
        .flat_map(|cylinder| {
            cylinder.gaps.iter().filter(|gap| gap.unexplained).map(|gap| {
                let name = Message::new("account-gap")
                    .with("cylinder", cylinder.cylinder.as_str())
                    .with("gap", writer.write_uncertain(&gap.gap));
                Finding::new(VerdictMark::Doubtful, name)
            })
        })
        .collect();
    if !gaps.is_empty() {
        out.push(Block::Findings(gaps));
    }
    for (name, limit) in &results.charge.cylinders {
        let last = ledger.cylinders.iter().find(|cylinder| cylinder.cylinder == *name);
        let mut finding = Finding::new(
            VerdictMark::Met,
            Message::new("account-cylinder-limit").with("cylinder", name.as_str()),
        );
        let tare = limit.gross - limit.net;
        let gross = Number::new(Message::new("cylinder-gross"), writer.weight(limit.gross));
        finding.number = Some(gross.opens(crate::ask::vessels::fill_opened(limit, tare, writer)));
        match last {
            Some(last) => {
                let at_most = units::Limit::AtMost(limit.gross);
                let verdict = at_most.judge(&last.last_gross);
                finding.mark = verdict_mark(&verdict);
                finding.word = Some(verdict_text(&verdict).into());
                let shows = Message::new("account-cylinder-shows")
                    .with("weight", writer.weight(last.last_gross.value()));
                finding.advice = Some(shows.into());
            }
            None => finding.mark = VerdictMark::Nothing,
        }
        out.push(Block::Findings(vec![finding]));
    }
    out
}

/// Returns whether the charge fits the receiver, and the winter charge.
pub fn vessels(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let charge = &results.charge;
    let mut out = Vec::new();
    if let (Some(room), Some(nameplate)) = (&charge.room, &charge.nameplate) {
        let name = Message::new("receiver-fits").with("charge", writer.write_uncertain(nameplate));
        let mut finding = Finding::new(verdict_mark(&room.fits), name);
        finding.word = Some(verdict_text(&room.fits).into());
        let mut inputs = vec![input(Message::new("account-charge"), nameplate, writer)];
        inputs.extend(
            charge.receiver.as_ref().map(|r| input(Message::new("receiver-capacity"), &r.capacity, writer)),
        );
        let (method, source) = (Message::new("method-room"), Message::new("source-receiver"));
        finding.number =
            Some(number(Message::new("receiver-room"), &room.room, writer, inputs, method, source));
        finding.advice = charge.receiver.as_ref().map(|receiver| {
            Message::new("account-receiver")
                .with("capacity", writer.write_uncertain(&receiver.capacity))
                .with("hottest", writer.write(receiver.hottest))
                .into()
        });
        let mut findings = vec![finding];
        findings.extend(charge.winter.as_ref().zip(charge.receiver.as_ref()).map(|(winter, receiver)| {
            let both = combine(
                nameplate.value() + winter.charge.extra.value(),
                [nameplate.part(1.0), winter.charge.extra.part(1.0)],
            );
            let room = field::charge::pump_down_room(receiver, &both, units::Mass::from_kilogram(0.0));
            let name = Message::new("receiver-fits-winter").with("charge", writer.write_uncertain(&both));
            let mut finding = Finding::new(verdict_mark(&room.fits), name);
            finding.word = Some(verdict_text(&room.fits).into());
            let inputs = vec![
                input(Message::new("account-charge"), nameplate, writer),
                input(Message::new("receiver-winter"), &winter.charge.extra, writer),
                input(Message::new("receiver-capacity"), &receiver.capacity, writer),
            ];
            let (method, source) = (Message::new("method-room"), Message::new("source-receiver"));
            finding.number =
                Some(number(Message::new("receiver-room"), &room.room, writer, inputs, method, source));
            finding.advice = Some(Message::new("receiver-winter-note").into());
            finding
        }));
        out.push(Block::Findings(findings));
    }
    if let Some(winter) = &charge.winter {
        let figure = winter_number(&winter.charge, &winter.volume, winter.coldest, winter.head, writer);
        out.push(Block::Numbers(vec![figure]));
        out.push(Block::Paragraph(Message::new("winter-limits").into()));
    }
    out
}

/// Returns the name of a rule of the low-pressure control.
pub const fn rule_name(rule: Rule) -> Message {
    match rule {
        Rule::CutInAboveCutOut => Message::new("control-order"),
        Rule::Differential => Message::new("control-differential"),
        Rule::CutInReachedAtColdestPlace => Message::new("control-restarts"),
        Rule::CutOutBelowLowestSuction => Message::new("control-runs-on"),
        Rule::CutOutReachable => Message::new("control-reachable"),
        Rule::CutOutAboveAtmosphere => Message::new("control-above-air"),
        Rule::CutOutReachesBox => Message::new("control-reaches-box"),
        Rule::CutInStartsInTime => Message::new("control-in-time"),
    }
}

/// Returns how the low-pressure control stands by each rule of its job.
pub fn controls(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let Some(check) = &results.charge.control else { return Vec::new() };
    let air = results.visit.air;
    let findings = check
        .findings
        .iter()
        .map(|found| {
            let name = rule_name(found.rule);
            let (mark, word) = match found.standing {
                Standing::Holds => (VerdictMark::Met, Message::new("control-holds")),
                Standing::Fails => (VerdictMark::Breached, Message::new("control-fails")),
                Standing::BridgedByBypass => (VerdictMark::Met, Message::new("control-bypass")),
                Standing::NotResolved => {
                    (VerdictMark::NotResolved, Message::new("report-verdict-not-resolved"))
                }
                Standing::NotKnown(_) => (VerdictMark::Unknown, Message::new("report-verdict-unknown")),
            };
            let mut finding = Finding::new(mark, name);
            finding.word = Some(word.into());
            let setting = writer.write(found.setting.gauge(air));
            finding.advice = Some(match (&found.standing, found.against, found.at) {
                (Standing::NotKnown(missing), ..) => match missing {
                    MissingFact::ColdestPlace => Message::new("control-want-coldest").into(),
                    MissingFact::LowestSaturatedSuction => Message::new("control-want-lowest").into(),
                    MissingFact::Deepest => Message::new("control-want-deepest").into(),
                    MissingFact::BoxRange => Message::new("control-want-box").into(),
                },
                (_, Some(against), Some(at)) => Message::new("control-against-at")
                    .with("setting", setting)
                    .with("against", writer.write(against.gauge(air)))
                    .with("at", writer.write(at))
                    .into(),
                (_, Some(against), None) => Message::new("control-against")
                    .with("setting", setting)
                    .with("against", writer.write(against.gauge(air)))
                    .into(),
                _ => Message::new("control-setting").with("setting", setting).into(),
            });
            finding
        })
        .collect();
    vec![Block::Findings(findings), Block::Paragraph(Message::new("control-note").into())]
}
