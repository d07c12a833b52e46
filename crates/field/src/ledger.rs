//! The refrigerant account: what went in and out of a system, by cylinder and by date, and whether it closes.

use units::Date;
use units::{Density, Length, Mass, Quantity, Uncertain, combine};

/// Where a service loss came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ServiceLossKind {
    /// Left in hoses and manifold.
    Hoses,
    /// Let out with a part that was opened.
    OpenedPart,
    /// Let out otherwise, such as the purge of a hose.
    Purge,
}

/// One movement of refrigerant.
#[derive(Clone, Debug, PartialEq)]
pub enum Movement {
    /// From a cylinder on the scale into the system: its gross mass before and after.
    Charged {
        /// The cylinder.
        cylinder: String,
        /// Gross mass before.
        before: Uncertain<Mass>,
        /// Gross mass after.
        after: Uncertain<Mass>,
    },
    /// From the system into a cylinder on the scale: its gross mass before and after.
    Recovered {
        /// The cylinder.
        cylinder: String,
        /// Gross mass before.
        before: Uncertain<Mass>,
        /// Gross mass after.
        after: Uncertain<Mass>,
    },
    /// Into the system, as told or billed; no cylinder was weighed.
    ChargedAsTold(Uncertain<Mass>),
    /// Out of the system, as told; no cylinder was weighed.
    RecoveredAsTold(Uncertain<Mass>),
    /// Out of the system to the air during service.
    ServiceLoss(ServiceLossKind, Uncertain<Mass>),
}

/// A movement with its day.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The day.
    pub day: Date,
    /// What moved.
    pub movement: Movement,
}

/// One line of the account.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Which entry it comes from, by its place in the list given.
    pub entry: usize,
    /// The day.
    pub day: Date,
    /// The cylinder, if one was weighed.
    pub cylinder: Option<String>,
    /// What the movement added to the system; negative if it took out.
    pub change: Uncertain<Mass>,
    /// The sum of changes so far, on top of the opening balance if one is known.
    pub balance: Uncertain<Mass>,
    /// The change has the wrong sign: a cylinder that gained while charging, or lost while recovering.
    pub wrong_way: bool,
}

/// A difference between two weighings of one cylinder with no movement between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// The entry after which the cylinder was weighed first.
    pub after_entry: usize,
    /// The entry before which it was weighed again.
    pub before_entry: usize,
    /// Mass that appeared between the weighings; negative if it went missing.
    pub gap: Uncertain<Mass>,
    /// The whole k = 2 interval lies off zero: more than the scales explain.
    pub unexplained: bool,
}

/// The account of one cylinder.
#[derive(Clone, Debug, PartialEq)]
pub struct CylinderAccount {
    /// The cylinder.
    pub cylinder: String,
    /// What it gave to the system.
    pub given: Uncertain<Mass>,
    /// What it took from the system.
    pub taken: Uncertain<Mass>,
    /// Its last gross mass.
    pub last_gross: Uncertain<Mass>,
    /// Differences between one weighing and the next.
    pub gaps: Vec<Gap>,
}

/// The whole account.
#[derive(Clone, Debug, PartialEq)]
pub struct Ledger {
    /// The lines by day; those of one day in the order given.
    pub rows: Vec<Row>,
    /// The cylinders in the order of their names.
    pub cylinders: Vec<CylinderAccount>,
    /// All that was charged.
    pub charged: Uncertain<Mass>,
    /// All that was recovered.
    pub recovered: Uncertain<Mass>,
    /// All service losses: a line of their own.
    pub service_losses: Uncertain<Mass>,
    /// Opening balance, plus charged, less recovered, less service losses.
    pub balance: Uncertain<Mass>,
}

/// Whether an account agrees with what was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Closure {
    /// Found less expected; negative means that refrigerant is missing.
    pub error: Uncertain<Mass>,
    /// The k = 2 interval of the error holds zero: the scales explain it.
    pub closes: bool,
}

/// Returns the account of these movements, from an opening balance if one is known.
///
/// A doubt that two weighings share, such as the zero of one scale, cancels in their difference; give it the same
/// [`units::Doubt`] in both. Without an opening balance the balance is what went in on top of what was there.
#[must_use]
pub fn ledger(opening: Option<&Uncertain<Mass>>, entries: &[Entry]) -> Ledger {
    let mut order: Vec<usize> = (0..entries.len()).collect();
    units::sort_small(&mut order, |a, b| entries[*a].day.cmp(&entries[*b].day));
    let nothing = || Uncertain::exact(Mass::from_kilogram(0.0));
    let mut balance = opening.cloned().unwrap_or_else(nothing);
    let (mut charged, mut recovered, mut lost) = (nothing(), nothing(), nothing());
    let mut rows = Vec::with_capacity(entries.len());
    let mut cylinders: Vec<(CylinderAccount, usize)> = Vec::new();
    for at in order {
        let entry = &entries[at];
        let (cylinder, change) = match &entry.movement {
            Movement::Charged { cylinder, before, after } => {
                let moved = difference(before, after);
                charged = sum(&charged, &moved, 1.0);
                let account = weighed(&mut cylinders, cylinder, at, before, after);
                account.given = sum(&account.given, &moved, 1.0);
                (Some(cylinder.clone()), moved)
            }
            Movement::Recovered { cylinder, before, after } => {
                let moved = difference(after, before);
                recovered = sum(&recovered, &moved, 1.0);
                let account = weighed(&mut cylinders, cylinder, at, before, after);
                account.taken = sum(&account.taken, &moved, 1.0);
                (Some(cylinder.clone()), sum(&nothing(), &moved, -1.0))
            }
            Movement::ChargedAsTold(mass) => {
                charged = sum(&charged, mass, 1.0);
                (None, mass.clone())
            }
            Movement::RecoveredAsTold(mass) => {
                recovered = sum(&recovered, mass, 1.0);
                (None, sum(&nothing(), mass, -1.0))
            }
            Movement::ServiceLoss(_, mass) => {
                lost = sum(&lost, mass, 1.0);
                (None, sum(&nothing(), mass, -1.0))
            }
        };
        balance = sum(&balance, &change, 1.0);
        let into = matches!(entry.movement, Movement::Charged { .. } | Movement::ChargedAsTold(_));
        let change_value = change.value().kilogram();
        rows.push(Row {
            entry: at,
            day: entry.day,
            cylinder,
            wrong_way: if into { change_value < 0.0 } else { change_value > 0.0 },
            change,
            balance: balance.clone(),
        });
    }
    units::sort_small(&mut cylinders, |a, b| a.0.cylinder.cmp(&b.0.cylinder));
    let cylinders = cylinders.into_iter().map(|(account, _)| account).collect();
    Ledger { rows, cylinders, charged, recovered, service_losses: lost, balance }
}

/// Returns how what was found, such as a weighed recovery of the whole charge, agrees with what the account expects.
#[must_use]
pub fn closure(expected: &Uncertain<Mass>, found: &Uncertain<Mass>) -> Closure {
    let error = difference(found, expected);
    let closes = error.value().kilogram().abs() <= 2.0 * error.u();
    Closure { error, closes }
}

/// Returns the mass that a hose holds, at the density of the liquid or vapour in it.
///
/// pi/4 d^2 l rho; a hose left full of liquid holds some ten to fifty times what it holds of vapour.
#[must_use]
pub fn hose_contents(
    inside_diameter: Length,
    length: &Uncertain<Length>,
    density: &Uncertain<Density>,
) -> Uncertain<Mass> {
    let d = inside_diameter.metre();
    let area = core::f64::consts::FRAC_PI_4 * d * d;
    let (l, rho) = (length.value().metre(), density.value().kilogram_per_cubic_metre());
    combine(Mass::from_kilogram(area * l * rho), [length.part(area * rho), density.part(area * l)])
}

fn difference<Q: Quantity>(a: &Uncertain<Q>, b: &Uncertain<Q>) -> Uncertain<Q> {
    sum(a, b, -1.0)
}

fn sum<Q: Quantity>(a: &Uncertain<Q>, b: &Uncertain<Q>, sign: f64) -> Uncertain<Q> {
    combine(Q::from_si(a.value().si() + sign * b.value().si()), [a.part(1.0), b.part(sign)])
}

/// Books a weighing on its cylinder and returns that account.
fn weighed<'a>(
    cylinders: &'a mut Vec<(CylinderAccount, usize)>,
    cylinder: &str,
    entry: usize,
    before: &Uncertain<Mass>,
    after: &Uncertain<Mass>,
) -> &'a mut CylinderAccount {
    let place = match cylinders.iter().position(|(account, _)| account.cylinder == cylinder) {
        Some(place) => {
            let (account, last_entry) = &mut cylinders[place];
            let gap = difference(before, &account.last_gross);
            let unexplained = gap.value().kilogram().abs() > 2.0 * gap.u();
            account.gaps.push(Gap { after_entry: *last_entry, before_entry: entry, gap, unexplained });
            account.last_gross = after.clone();
            *last_entry = entry;
            place
        }
        None => {
            let nothing = Uncertain::exact(Mass::from_kilogram(0.0));
            let account = CylinderAccount {
                cylinder: cylinder.to_owned(),
                given: nothing.clone(),
                taken: nothing,
                last_gross: after.clone(),
                gaps: Vec::new(),
            };
            cylinders.push((account, entry));
            cylinders.len() - 1
        }
    };
    &mut cylinders[place].0
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{Cause, Doubt};

    fn day(text: &str) -> Date {
        text.parse().unwrap()
    }
    /// A weighing whose zero belongs to the scale and whose last digit belongs to this reading.
    fn weighed_at(kilogram: f64, reading: &str) -> Uncertain<Mass> {
        Uncertain::new(Mass::from_kilogram(kilogram), Doubt::new(Cause::Zero, "scale"), 0.05)
            .and(Doubt::new(Cause::Resolution, reading), 0.01)
    }
    fn charged(date: &str, cylinder: &str, before: f64, after: f64) -> Entry {
        Entry {
            day: day(date),
            movement: Movement::Charged {
                cylinder: cylinder.into(),
                before: weighed_at(before, &format!("{date} {cylinder} before")),
                after: weighed_at(after, &format!("{date} {cylinder} after")),
            },
        }
    }

    #[test]
    fn movements_are_booked_by_day_and_by_cylinder() {
        let recovered = Entry {
            day: day("2026-03-09"),
            movement: Movement::Recovered {
                cylinder: "R2".into(),
                before: weighed_at(13.0, "r before"),
                after: weighed_at(15.5, "r after"),
            },
        };
        let entries = [
            charged("2026-03-09", "A1", 20.0, 18.4),
            charged("2025-10-28", "A1", 21.1, 20.0),
            recovered,
            Entry {
                day: day("2026-03-09"),
                movement: Movement::ServiceLoss(
                    ServiceLossKind::Hoses,
                    Uncertain::exact(Mass::from_kilogram(0.03)),
                ),
            },
        ];
        let book = ledger(None, &entries);
        assert_eq!(book.rows.iter().map(|row| row.entry).collect::<Vec<_>>(), [1, 0, 2, 3]);
        assert!((book.charged.value().kilogram() - 2.7).abs() < 1e-12);
        assert!((book.recovered.value().kilogram() - 2.5).abs() < 1e-12);
        assert!((book.balance.value().kilogram() - 0.17).abs() < 1e-12);
        assert_eq!(book.cylinders.len(), 2);
        assert_eq!(book.cylinders[0].cylinder, "A1");
        assert_eq!(book.cylinders[0].gaps.len(), 1);
        assert!(!book.cylinders[0].gaps[0].unexplained);
        assert!(book.rows.iter().all(|row| !row.wrong_way));
    }

    #[test]
    fn the_zero_of_one_scale_cancels() {
        let book = ledger(None, &[charged("2026-01-01", "A1", 20.0, 18.0)]);
        assert!((book.charged.u() - 0.01 * units::math::sqrt(2.0)).abs() < 1e-12);
    }

    #[test]
    fn a_cylinder_that_lost_weight_in_the_van_is_seen() {
        let entries = [charged("2026-01-01", "A1", 20.0, 18.0), charged("2026-02-01", "A1", 17.2, 16.0)];
        let book = ledger(None, &entries);
        let gap = &book.cylinders[0].gaps[0];
        assert!(gap.unexplained);
        assert!((gap.gap.value().kilogram() + 0.8).abs() < 1e-12);
    }

    #[test]
    fn a_cylinder_that_gains_while_charging_is_marked() {
        assert!(ledger(None, &[charged("2026-01-01", "A1", 18.0, 20.0)]).rows[0].wrong_way);
    }

    #[test]
    fn an_account_closes_within_the_scale_only() {
        let expected = weighed_at(14.2, "nameplate");
        assert!(closure(&expected, &weighed_at(14.19, "found")).closes);
        let short = closure(&expected, &weighed_at(12.1, "found"));
        assert!(!short.closes);
        assert!((short.error.value().kilogram() + 2.1).abs() < 1e-12);
    }

    #[test]
    fn a_quarter_inch_hose_holds_an_ounce_of_liquid() {
        // 1/4 in hose of 1.5 m, bore 4.8 mm: about 28 g of R-404A liquid (1,044 kg/m3 at 25 °C); computed figure.
        let full = hose_contents(
            Length::from_metre(0.0048),
            &Uncertain::exact(Length::from_metre(1.5)),
            &Uncertain::exact(Density::from_kilogram_per_cubic_metre(1044.0)),
        );
        assert!((full.value().kilogram() - 0.028).abs() < 5e-4);
    }

    proptest::proptest! {
        /// Mass is neither made nor lost by the bookkeeping, in whatever order the entries come.
        #[test]
        fn the_balance_is_what_went_in_less_what_came_out(
            moves in proptest::collection::vec((0i32..400, 0usize..3, 0.0..30.0f64, 0.0..30.0f64), 0..30),
            opening in 0.0..50.0f64,
        ) {
            let opening = Uncertain::exact(Mass::from_kilogram(opening));
            let entries: Vec<Entry> = moves.iter().map(|&(on, which, a, b)| {
                let (before, after) = (Uncertain::exact(Mass::from_kilogram(a)), Uncertain::exact(Mass::from_kilogram(b)));
                let movement = match which {
                    0 => Movement::Charged { cylinder: "A".into(), before, after },
                    1 => Movement::Recovered { cylinder: "B".into(), before, after },
                    _ => Movement::ServiceLoss(ServiceLossKind::Purge, before),
                };
                Entry { day: Date::from_day_number(on), movement }
            }).collect();
            let book = ledger(Some(&opening), &entries);
            let total = opening.value().kilogram() + book.charged.value().kilogram()
                - book.recovered.value().kilogram() - book.service_losses.value().kilogram();
            proptest::prop_assert!((book.balance.value().kilogram() - total).abs() < 1e-9);
            let last = book.rows.last().map_or(opening.value().kilogram(), |row| row.balance.value().kilogram());
            proptest::prop_assert!((last - total).abs() < 1e-9);
            let given: f64 = book.cylinders.iter().map(|c| c.given.value().kilogram() - c.taken.value().kilogram()).sum();
            proptest::prop_assert!(
                (given - book.charged.value().kilogram() + book.recovered.value().kilogram()).abs() < 1e-9);
        }
    }
}
