//! Before the call: what the customer said, and what to load into the van for what the job is likely to need.

use crate::carry::Carry;
use crate::place;
use crate::sheet;
use crate::van::{Gas, Van, check_words};
use crate::visit::Visit;
use crate::visit::account::Account;
use field::annual_loss::Amount;
use record::{Answer, Body, BookedFor, CylinderUse, Known, Measures, Part, PassFail, When, YesNo};
use report::{Block, Document, List, Message, Section, Text};
use units::{Date, Mass, Writer};

/// An instrument is compared with something better once a year (common practice, no source).
const COMPARED_WITHIN_DAYS: i32 = 365;

/// Returns what was said when the call came in: the complaint, what it is booked for, what is at risk, how to come in.
#[must_use]
pub fn intake(visit: &Visit) -> Vec<Message> {
    let told = &visit.visit.value;
    let mut out = Vec::new();
    out.extend(told.complaint.as_deref().map(|words| Message::new("load-said").with("words", words)));
    let booked = told.booked_for.map(|kind| crate::entry::labels::word(kind.word()));
    let urgency = told.urgency.map(|urgency| crate::entry::labels::word(urgency.word()));
    out.extend(booked.map(|kind| Message::new("load-booked").with("kind", kind)));
    out.extend(urgency.map(|urgency| Message::new("load-urgency").with("urgency", urgency)));
    out.extend(told.at_risk.as_deref().map(|goods| Message::new("load-at-risk").with("goods", goods)));
    out.extend(told.hours.as_deref().map(|hours| Message::new("load-hours").with("hours", hours)));
    let access = visit.site.value.access.as_deref();
    out.extend(access.map(|access| Message::new("load-access").with("access", access)));
    out.extend(declined(visit));
    out
}

/// What was declined before and not put right since: it is worth asking again.
fn declined(visit: &Visit) -> Vec<Message> {
    let findings = visit.earlier.iter().chain(core::iter::once(visit)).flat_map(|each| {
        let of = each.entries(|body| match body {
            Body::Finding(finding) => Some(&**finding),
            _ => None,
        });
        of.map(move |(_, finding)| (each, finding))
    });
    let mut last: Vec<(String, Option<Message>)> = Vec::new();
    for (of, finding) in findings {
        let key = finding.what.trim().to_lowercase();
        let open = finding.answer == Some(Answer::Declined) && finding.done != Some(YesNo::Yes);
        // What was declined on this very visit was just asked.
        let before = of.job != visit.job;
        let asked = (open && before).then(|| {
            let said = Message::new("load-declined").with("what", finding.what.as_str());
            match (&finding.answered_by, of.day()) {
                (Some(who), Some(day)) => Message::new("load-declined-by")
                    .with("what", finding.what.as_str())
                    .with("who", who.as_str())
                    .with("date", day.to_string()),
                _ => said,
            }
        });
        last.retain(|(known, _)| *known != key);
        last.push((key, asked));
    }
    last.into_iter().filter_map(|(_, asked)| asked).collect()
}

/// Returns what to load: instruments with their checks, gas by cylinder, parts; with what the van has of it, where that is told.
#[must_use]
pub fn list(visit: &Visit, account: &Account, van: Option<&Van>, writer: &Writer) -> Vec<Carry> {
    let mut out = Vec::new();
    let today = visit.day();
    let booked = visit.visit.value.booked_for;
    // What is not said is taken for the most that it may need.
    let leak = !matches!(booked, Some(BookedFor::Noise | BookedFor::Maintenance | BookedFor::Ice));
    let gas = leak && booked != Some(BookedFor::FollowUp);
    let mut carry = |what: Text, why: Option<Message>| out.push(Carry { what, why });
    for (measures, what, wanted) in [
        (Measures::Pressure, Message::new("carry-gauges"), true),
        (Measures::Temperature, Message::new("carry-clamp"), true),
        (Measures::Leak, Message::new("carry-detector"), leak),
        (Measures::Mass, Message::new("carry-scale"), gas),
        (Measures::Vacuum, Message::new("carry-vacuum-gauge"), gas),
    ] {
        if !wanted {
            continue;
        }
        let check = check(measures);
        let mut known = visit.bench.instruments().filter(|one| one.measures == measures).peekable();
        if known.peek().is_none() {
            let mut tools = van.iter().flat_map(|van| &van.tools);
            // A tool of the van that failed its check is said even where this visit's record does not name it.
            match tools.find(|tool| tool.instrument.measures == measures) {
                Some(tool) if tool.result == Some(PassFail::Fail) => {
                    carry(Text::verbatim(tool.instrument.id.as_str()), Some(check_words(tool)));
                }
                _ => carry(what.into(), check.clone()),
            }
        }
        for one in known {
            let compared = one.compared.as_ref().and_then(When::local_day);
            let why = match (compared, today) {
                (Some(day), Some(today)) if today.days_since(day) > COMPARED_WITHIN_DAYS => {
                    Some(Message::new("load-compare").with("date", day.to_string()))
                }
                _ => match van.and_then(|van| van.tool(&one.id)).filter(|tool| tool.result.is_some()) {
                    // A pass counts for its day; a failure until it is mended.
                    Some(tool)
                        if tool.result == Some(PassFail::Fail)
                            || tool.at.as_ref().and_then(When::local_day) == today =>
                    {
                        Some(check_words(tool))
                    }
                    _ => check.clone(),
                },
            };
            carry(Text::verbatim(one.id.as_str()), why);
        }
    }
    if gas {
        carry(Message::new("carry-nitrogen").into(), None);
        carry(Message::new("carry-pump").into(), None);
        refrigerant(visit, account, van, writer, today, &mut carry);
    }
    // What an earlier visit left to bring stands among this one's parts.
    let mut parts: Vec<&Part> = Vec::new();
    for each in visit.earlier.last().into_iter().chain(core::iter::once(visit)) {
        let of = each.entries(|body| if let Body::Part(part) = body { Some(part) } else { None });
        for (_, part) in of {
            if !parts.iter().any(|other| place::same(&other.function, &part.function)) {
                parts.push(part);
            }
        }
    }
    for part in parts {
        let with = crate::parts::companions(crate::parts::function(&part.function));
        let has = van.and_then(|van| van.left_of(&part.function, part.item.as_deref()));
        let why = match (has.map(|left| on_van(left, part.count.unwrap_or(1))), with) {
            (Some(has), Some(with)) => Some(Message::new("load-both").with("first", has).with("then", with)),
            (has, with) => has.or(with),
        };
        carry(Text::verbatim(part.function.as_str()), why);
    }
    out
}

/// What the van has of something of which so many are needed.
fn on_van(left: u32, needed: u32) -> Message {
    if left >= needed {
        return Message::new("load-on-van").with("count", left.to_string());
    }
    Message::new("load-too-few").with("count", left.to_string()).with("needed", needed.to_string())
}

fn check(measures: Measures) -> Option<Message> {
    Some(match measures {
        Measures::Pressure => Message::new("load-check-gauges"),
        Measures::Leak => Message::new("load-check-detector"),
        Measures::Mass => Message::new("load-check-scale"),
        Measures::Vacuum => Message::new("load-check-vacuum"),
        _ => return None,
    })
}

/// The refrigerant as much as the largest refill took, and a cylinder for what comes out.
fn refrigerant(
    visit: &Visit,
    account: &Account,
    van: Option<&Van>,
    writer: &Writer,
    today: Option<Date>,
    carry: &mut impl FnMut(Text, Option<Message>),
) {
    let system = &visit.system.value;
    if let Some(name) = system.refrigerant.as_ref().and_then(Known::value) {
        let most = account.refills.iter().filter_map(|refill| match &refill.amount {
            Amount::Known(mass) => Some(mass.value()),
            Amount::Between(_, most) => Some(*most),
            Amount::AtLeast(least) => Some(*least),
            Amount::Unknown => None,
        });
        let most = most.reduce(|a: Mass, b| if b > a { b } else { a });
        let why = most.map(|most| Message::new("load-gas-most").with("mass", writer.write(most)));
        let there = van.map(|van| held(van, name, most, writer));
        let why = match (why, there.flatten()) {
            (Some(why), Some(there)) => {
                Some(Message::new("load-both").with("first", why).with("then", there))
            }
            (why, there) => why.or(there),
        };
        carry(Text::verbatim(name.as_str()), why);
    }
    let mut any = false;
    for cylinder in visit.cylinders.values().filter(|one| one.used_for == Some(CylinderUse::Recovery)) {
        any = true;
        let retest = cylinder.retest.as_ref().and_then(When::local_day);
        let why = match (retest, today) {
            (Some(day), Some(today)) if day < today => {
                Some(Message::new("load-retest-past").with("date", day.to_string()))
            }
            _ => None,
        };
        carry(Text::verbatim(cylinder.id.as_str()), why);
    }
    if !any {
        carry(Message::new("load-recovery-cylinder").into(), None);
    }
}

/// What the van has of a refrigerant: by cylinder, or none; nothing where no cylinder of the van is told at all.
fn held(van: &Van, name: &str, most: Option<Mass>, writer: &Writer) -> Option<Message> {
    if van.cylinders.is_empty() {
        return None;
    }
    let net: Vec<Mass> = van.supply(name).filter_map(Gas::net).collect();
    let Some(sum) = net.iter().copied().reduce(|a, b| a + b) else {
        let any = van.supply(name).next().is_some();
        return Some(if any { Message::new("load-gas-not-weighed") } else { Message::new("load-gas-none") });
    };
    let said = Message::new("load-gas-held").with("mass", writer.write(sum)).with("count", net.len());
    let short = most.is_some_and(|most| sum < most);
    Some(if short { Message::new("load-gas-short").with("mass", writer.write(sum)) } else { said })
}

/// Returns intake and load as sections of a screen or sheet.
#[must_use]
pub fn sections(visit: &Visit, account: &Account, van: Option<&Van>, writer: &Writer) -> Vec<Section> {
    let block = |items: Vec<Text>| vec![Block::List(List { ordered: false, items })];
    let mut out = Vec::new();
    let said: Vec<Text> = intake(visit).into_iter().map(Text::from).collect();
    if !said.is_empty() {
        out.push(Section::new(Message::new("load-intake"), block(said)));
    }
    let items = list(visit, account, van, writer).into_iter().map(|carry| match carry.why {
        Some(why) => Message::new("load-item").with("what", carry.what).with("why", why).into(),
        None => carry.what,
    });
    out.push(Section::new(Message::new("load-title"), block(items.collect())));
    out
}

/// Returns intake and load as a sheet.
#[must_use]
pub fn document(visit: &Visit, account: &Account, van: Option<&Van>, writer: &Writer) -> Document {
    let mut document = sheet::titled(visit, Message::new("load-before"));
    document.decimal_comma = writer.decimal_comma;
    document.sections = sections(visit, account, van, writer);
    document
}
