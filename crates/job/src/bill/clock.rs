//! Hours by kind of work, from the times of the entries.

use crate::place::{PlaceKind, kind};
use crate::visit::Visit;
use record::{Body, Prices, When, Work, minute_of_day};
use std::collections::BTreeMap;

/// Time at one kind of work, in milliseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spent {
    /// In the working day.
    pub plain: i64,
    /// Outside of it.
    pub after_hours: i64,
}

/// What the times of one or more visits show.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Worked {
    /// Time by kind of work.
    pub spent: BTreeMap<Work, Spent>,
    /// How often somebody came.
    pub trips: u32,
    /// How often somebody went up to a roof.
    pub climbs: u32,
    /// How many entries were made.
    pub entries: usize,
    /// Stretches without an entry that are too long to be counted, in milliseconds.
    pub gaps: Vec<i64>,
}

const MINUTE: i64 = 60_000;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;

/// Between two entries somebody was still at work (judgement): a hold is waited for, a night is not.
const LONGEST: i64 = 4 * HOUR;
/// Who leaves one place of a site is at the next within this time (judgement), else it is another trip.
const BETWEEN_PLACES: i64 = 45 * MINUTE;

/// The working day.
#[derive(Clone, Copy)]
struct Hours {
    opens: i64,
    closes: i64,
}

struct Moment {
    at: i64,
    offset: i64,
    what: Kind,
}

enum Kind {
    Came { travel: i64, roof: bool },
    Left,
    At(Work),
}

impl Worked {
    /// Returns what the times of these visits show, by the working day of `prices`.
    #[must_use]
    pub fn of(visits: &[&Visit], prices: Option<&Prices>) -> Self {
        let hours = prices.and_then(|prices| {
            let minute = |text: &Option<String>| text.as_deref().and_then(minute_of_day).map(i64::from);
            let (opens, closes) = (minute(&prices.shop.opens)?, minute(&prices.shop.closes)?);
            Some(Hours { opens: opens * MINUTE, closes: closes * MINUTE })
        });
        let mut out = Self::default();
        for visit in visits {
            out.visit(visit, hours);
        }
        out
    }

    fn visit(&mut self, visit: &Visit, hours: Option<Hours>) {
        let moments = moments(visit);
        self.entries += visit.current.entries.iter().filter(|entry| entry.seen.at.is_some()).count();
        let mut last: Option<(i64, bool)> = None;
        for moment in moments {
            let gap = last.map(|(at, _)| moment.at - at);
            let same_trip = match (last, gap) {
                (Some((_, true)), Some(gap)) => gap <= BETWEEN_PLACES,
                (Some((_, false)), Some(gap)) => gap <= LONGEST,
                _ => false,
            };
            if let (Some((_, false)), Some(gap), false) = (last, gap, same_trip) {
                self.gaps.push(gap);
            }
            if !same_trip {
                self.trips += 1;
            }
            match moment.what {
                Kind::Came { travel, roof } => {
                    self.climbs += u32::from(roof);
                    self.add(Work::Travel, moment.at - travel, moment.at, moment.offset, hours);
                    // The way from one place of the site to the next belongs to what is done there.
                    if !same_trip {
                        last = Some((moment.at, false));
                    } else if let Some((at, _)) = last {
                        last = Some((at, false));
                    }
                }
                Kind::Left | Kind::At(_) => {
                    let left = matches!(moment.what, Kind::Left);
                    let work = if let Kind::At(work) = moment.what { work } else { Work::Close };
                    if same_trip && let Some(gap) = gap {
                        self.add(work, moment.at - gap, moment.at, moment.offset, hours);
                    }
                    last = Some((moment.at, left));
                }
            }
        }
    }

    fn add(&mut self, work: Work, from: i64, to: i64, offset: i64, hours: Option<Hours>) {
        if to <= from {
            return;
        }
        let plain = match hours {
            Some(hours) => inside(from + offset, to + offset, hours),
            None => to - from,
        };
        let spent = self.spent.entry(work).or_default();
        spent.plain += plain;
        spent.after_hours += to - from - plain;
    }
}

/// How much of a stretch of local time lies in working days.
fn inside(from: i64, to: i64, hours: Hours) -> i64 {
    (from.div_euclid(DAY)..=to.div_euclid(DAY))
        .filter(|day| {
            // Day 0 of the count, 1970-01-01, was a Thursday.
            (day + 3).rem_euclid(7) < 5
        })
        .map(|day| {
            let (opens, closes) = (day * DAY + hours.opens, day * DAY + hours.closes);
            (to.min(closes) - from.max(opens)).max(0)
        })
        .sum()
}

fn moments(visit: &Visit) -> Vec<Moment> {
    let mut out: Vec<Moment> = Vec::new();
    let mut changed = false;
    let mut push = |at: &When, what: Kind| {
        if let When::Instant { unix_millis, offset_minutes, .. } = at {
            out.push(Moment { at: *unix_millis, offset: i64::from(*offset_minutes) * MINUTE, what });
        }
    };
    for entry in &visit.current.entries {
        // What others did or told is no work of ours.
        if entry.seen.told_by.is_some() {
            continue;
        }
        changed |= matches!(entry.what(), Body::Repair(_) | Body::Weighing(_));
        if let Body::Hold(hold) = entry.what() {
            let ends = core::iter::once(&hold.start).chain(&hold.between).chain(&hold.end);
            ends.filter_map(|end| end.at.as_ref()).for_each(|at| push(at, Kind::At(Work::Test)));
        }
        let Some(at) = &entry.seen.at else { continue };
        let Some(what) = what(entry.what(), entry.seen.place.as_deref(), changed) else { continue };
        push(at, what);
    }
    units::sort_small(&mut out, |a, b| a.at.cmp(&b.at));
    out
}

fn what(body: &Body, place: Option<&str>, changed: bool) -> Option<Kind> {
    let work = match body {
        Body::Arrival(arrival) => {
            let travel = arrival.travel.as_ref().map_or(0, |time| (time.value.second() * 1000.0) as i64);
            let roof = place.is_some_and(|place| kind(place) == PlaceKind::Roof);
            return Some(Kind::Came { travel, roof });
        }
        Body::Departure(_) => return Some(Kind::Left),
        Body::LeakCheck(_) | Body::DetectorCheck(_) | Body::ToolCheck(_) | Body::CircuitPlace(_) => {
            Work::Search
        }
        Body::Reading(_) => {
            if changed {
                Work::Prove
            } else {
                Work::Search
            }
        }
        Body::Opened(_) | Body::Closed(_) => {
            if changed {
                Work::Repair
            } else {
                Work::Search
            }
        }
        Body::Repair(_) => Work::Repair,
        Body::Hold(_) | Body::Rise(_) | Body::Evacuation(_) => Work::Test,
        Body::Weighing(_) => Work::Charge,
        Body::Normal(_) => Work::Prove,
        Body::Setting(_) => Work::Set,
        Body::Finding(_)
        | Body::Part(_)
        | Body::PlannedWork(_)
        | Body::Choice(_)
        | Body::Step(_)
        | Body::Note(_) => Work::Close,
        _ => return None,
    };
    Some(Kind::At(work))
}
