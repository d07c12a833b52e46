//! What hangs at the unit: charge, winter part, settings as left, who was here and when.

use super::{headed, settings_left};
use crate::visit::Results;
use record::Known;
use report::{Block, Cell, Column, Document, Message, Row, Section, Table, Text};
use units::Writer;

pub fn document(results: &Results<'_>, writer: &Writer) -> Document {
    let visit = results.visit;
    let system = &visit.system.value;
    let mut document = headed(visit, super::Sheet::Label);
    let mut rows: Vec<Row> = Vec::new();
    let mut row = |what: Text, value: Text| {
        rows.push(Row::new(vec![Cell::Text(what), Cell::Text(value)]));
    };
    let fact = |key: &str| crate::entry::labels::field("system", key);
    let refrigerant = system.refrigerant.as_ref().and_then(Known::value);
    if let Some(name) = refrigerant {
        row(fact("refrigerant"), Text::verbatim(name.as_str()));
    }
    if let Some(oil) = &system.oil {
        row(fact("oil"), Text::verbatim(oil.text()));
    }
    if let Some(charge) = &system.charge {
        row(fact("charge"), Text::verbatim(charge.text()));
    }
    let winter = system.winter_charge.as_ref().filter(|winter| winter.bounds().is_some()).map(Known::text);
    match (winter, &results.charge.winter) {
        (Some(winter), _) => row(fact("winter_charge"), Text::verbatim(winter)),
        (None, Some(winter)) => {
            let mass = writer.write_uncertain(&winter.charge.extra).to_string();
            let until = writer.write(winter.coldest);
            row(
                fact("winter_charge"),
                Message::new("sheet-winter").with("mass", mass).with("coldest", until).into(),
            );
        }
        (None, None) => row(fact("winter_charge"), Message::new("sheet-not-known").into()),
    }
    if let Some(net) = &results.account.net_today {
        row(Message::new("sheet-weighed").into(), Text::verbatim(writer.write_uncertain(net).to_string()));
    }
    for (what, place, left) in settings_left(visit) {
        let name = crate::entry::labels::word(what.word());
        let name: Text = match place {
            Some(place) => Message::new("sheet-at").with("what", name).with("place", place).into(),
            None => name,
        };
        row(name, Text::verbatim(left));
    }
    if let Some(follow) = crate::follow_up::of(visit, &results.account)
        && follow.state == crate::follow_up::State::Open
    {
        row(Message::new("follow-title").into(), Text::verbatim(follow.on.to_string()));
    }
    let columns =
        vec![Column::words(Message::new("bill-what")), Column::words(Message::new("sheet-as-left"))];
    let table = Table { caption: None, columns, rows };
    document.sections.push(Section::new(Message::new("sheet-as-left"), vec![Block::Table(table)]));
    document
}
