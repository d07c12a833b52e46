//! Gas sold: what left the supply cylinders and did not come back, without what stayed in the hoses.

use super::{Decimal, Pen};
use crate::visit::Visit;
use record::{Body, CylinderUse, Direction, GasUnit, HoseGas, Known, PriceFor, Weighing};
use report::{Message, Text};
use rules::ExactMass;
use std::collections::BTreeMap;

/// What was sold of a gas, and what was taken away of it.
#[derive(Clone, Copy)]
struct Moved {
    sold: ExactMass,
    taken: ExactMass,
}

const NOTHING: Moved = Moved { sold: ExactMass::ZERO, taken: ExactMass::ZERO };

pub fn lines(pen: &mut Pen<'_>, visits: &[&Visit]) {
    let mut moved: BTreeMap<String, Moved> = BTreeMap::new();
    for visit in visits {
        let weighings = visit.entries(|body| match body {
            Body::Weighing(weighing) => Some(&**weighing),
            _ => None,
        });
        for (_, weighing) in weighings {
            book(pen, visit, weighing, &mut moved);
        }
    }
    for (gas, Moved { sold, taken }) in moved {
        let price = pen.prices.gas.iter().find(|price| price.refrigerant.eq_ignore_ascii_case(&gas));
        let is_sold = sold > ExactMass::ZERO;
        let Some(price) = price else {
            if is_sold {
                let message = Message::new("bill-no-gas").with("gas", gas.as_str());
                pen.lacks("gas", &gas, &format!("[[gas]] refrigerant = \"{gas}\""), message);
            }
            continue;
        };
        let unit = || Text::verbatim(price.unit.word());
        if is_sold {
            let what = Message::new("bill-gas").with("gas", gas.as_str());
            pen.line(
                PriceFor::Gas,
                what,
                (in_unit(sold, price.unit), unit()),
                &price.price,
                price.cost.as_ref(),
            );
        }
        if let Some(take_back) = price.take_back.as_ref().filter(|_| taken > ExactMass::ZERO) {
            let what = Message::new("bill-gas-taken").with("gas", gas.as_str());
            pen.line(PriceFor::Gas, what, (in_unit(taken, price.unit), unit()), take_back, None);
        }
    }
}

fn book(pen: &mut Pen<'_>, visit: &Visit, weighing: &Weighing, moved: &mut BTreeMap<String, Moved>) {
    let cylinder = visit.cylinders.get(&weighing.cylinder);
    let gas = weighing
        .refrigerant
        .clone()
        .or_else(|| cylinder?.refrigerant.as_ref().and_then(Known::value).cloned())
        .or_else(|| visit.system.value.refrigerant.as_ref().and_then(Known::value).cloned());
    let Some(gas) = gas else {
        let message = Message::new("bill-gas-unnamed").with("cylinder", weighing.cylinder.as_str());
        pen.lacks("cylinder.refrigerant", "", "R-449A", message);
        return;
    };
    let exact = |text: &str| -> Option<ExactMass> { text.replace(',', ".").parse().ok() };
    let Some(after) = &weighing.after else {
        let message = Message::new("open-weight").with("cylinder", weighing.cylinder.as_str());
        pen.lacks("weighing.after", "", "24 lb 7.6 oz", message);
        return;
    };
    let (Some(before), Some(after)) = (exact(&weighing.before.value.text), exact(&after.value.text)) else {
        let message = Message::new("bill-gas-inexact").with("cylinder", weighing.cylinder.as_str());
        pen.lacks("weighing.before", &weighing.before.value.text, "24 lb 7.6 oz", message);
        return;
    };
    let recovery = cylinder.is_some_and(|cylinder| cylinder.used_for == Some(CylinderUse::Recovery));
    let out = before - after;
    let of = moved.entry(gas).or_insert(NOTHING);
    // Gas that goes from the system into a recovery cylinder and back again is the owner's own.
    if recovery {
        of.taken = of.taken - out;
    } else {
        of.sold = of.sold + out;
        let hoses = weighing.hose_loss.as_ref().and_then(Known::bounds).map(|(_, most)| *most);
        let shop_pays = pen.prices.shop.hose_gas != Some(HoseGas::Customer);
        if let (Direction::Charged, Some(hoses), true) = (weighing.direction, hoses, shop_pays)
            && let Ok(hoses) = ExactMass::from_mass(hoses)
        {
            of.sold = of.sold - hoses;
        }
    }
}

/// A mass in the unit it is sold in, with two decimals.
fn in_unit(mass: ExactMass, unit: GasUnit) -> Decimal {
    let ratio = match unit {
        GasUnit::Kilogram => Some(mass.in_kilograms()),
        GasUnit::Pound => mass.part_of(ExactMass::pounds(1)),
    };
    ratio.and_then(|ratio| Decimal::read(&ratio.rounded(2))).unwrap_or(Decimal::ZERO)
}
