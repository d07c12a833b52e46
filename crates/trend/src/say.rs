//! A finding in sentences.

use crate::{Cause, Change, Feature, Finding};
use report::Message;
use units::{Quantity, TemperatureDifference, Writer};

/// Returns the first sentence of a finding: what is likely and since when; `day` is its day already written.
#[must_use]
pub fn headline(finding: &Finding, day: &str) -> Message {
    let (cause, share) = finding.causes.first().copied().unwrap_or((Cause::Charge, 0.0));
    let percent = format!("{:.0}", 100.0 * share);
    if !finding.is_alarm() {
        return Message::new("watch-quiet");
    }
    if share < 0.5 {
        return Message::new("watch-unclear")
            .with("cause", named(cause))
            .with("share", percent)
            .with("day", day);
    }
    Message::new("watch-likely").with("cause", named(cause)).with("share", percent).with("day", day)
}

/// Returns the reasons of a finding, one sentence for each feature that moved, and last what to look at first.
#[must_use]
pub fn because(finding: &Finding, writer: &Writer) -> Vec<Message> {
    let mut all: Vec<Message> = finding.changes.iter().map(|change| moved(change, writer)).collect();
    if finding.is_alarm()
        && let Some((cause, _)) = finding.causes.first()
    {
        all.push(first_look(*cause));
    }
    all
}

fn named(cause: Cause) -> Message {
    match cause {
        Cause::Charge => Message::new("watch-cause-charge"),
        Cause::Condenser => Message::new("watch-cause-condenser"),
        Cause::Coil => Message::new("watch-cause-coil"),
        Cause::HighUp | Cause::HighDown => Message::new("watch-cause-high"),
        Cause::LowUp | Cause::LowDown => Message::new("watch-cause-low"),
    }
}

fn first_look(cause: Cause) -> Message {
    match cause {
        Cause::Charge => Message::new("watch-first-charge"),
        Cause::Condenser => Message::new("watch-first-condenser"),
        Cause::Coil => Message::new("watch-first-coil"),
        Cause::HighUp | Cause::HighDown | Cause::LowUp | Cause::LowDown => Message::new("watch-first-gauge"),
    }
}

fn moved(change: &Change, writer: &Writer) -> Message {
    let up = change.size > 0.0;
    let is_share = matches!(change.feature, Feature::Level | Feature::Run);
    let written = |size: f64| {
        if is_share {
            writer.number(100.0 * size, 0)
        } else {
            writer.write(TemperatureDifference::from_si(size)).to_string()
        }
    };
    // Two standard uncertainties either side.
    let (size, doubt) = (written(change.size.abs()), written(2.0 * change.doubt));
    let message = match (change.feature, up) {
        (Feature::Split, true) => Message::new("watch-split-up"),
        (Feature::Split, false) => Message::new("watch-split-down"),
        (Feature::Subcooling, true) => Message::new("watch-subcooling-up"),
        (Feature::Subcooling, false) => Message::new("watch-subcooling-down"),
        (Feature::Superheat, true) => Message::new("watch-superheat-up"),
        (Feature::Superheat, false) => Message::new("watch-superheat-down"),
        (Feature::Difference, true) => Message::new("watch-td-up"),
        (Feature::Difference, false) => Message::new("watch-td-down"),
        (Feature::Discharge, true) => Message::new("watch-discharge-up"),
        (Feature::Discharge, false) => Message::new("watch-discharge-down"),
        (Feature::Level, true) => Message::new("watch-level-up"),
        (Feature::Level, false) => Message::new("watch-level-down"),
        (Feature::Run, true) => Message::new("watch-run-up"),
        (Feature::Run, false) => Message::new("watch-run-down"),
    };
    message.with("size", size).with("doubt", doubt)
}
