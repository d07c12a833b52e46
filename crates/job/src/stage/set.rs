//! Set: cut-in, cut-out, fan and head-pressure settings, as found and as left.

use super::offer::Offer;
use super::{Ground, Now, View, year};
use crate::entry::labels;
use crate::visit::document::{account, done};
use field::controls::{MissingFact, Standing};
use record::{Body, Entry, Known, Setting, SettingOf};
use report::{Block, Message, VerdictMark};

pub fn view(ground: &Ground<'_>) -> View {
    let mut view = View::new(super::Stage::Set, now(ground));
    view.offers = offers(ground);
    view.section(
        Message::new("set-pairs"),
        done::settings(ground.visit).map(Block::Table).into_iter().collect(),
    );
    view.section(Message::new("set-control"), account::controls(ground.results, ground.writer));
    view.section(Message::new("year-starts-head"), year::starts(ground));
    view.section(Message::new("year-head"), year::head(ground));
    view.section(
        Message::new("year-valve"),
        year::valve(ground).map(|sentence| Block::Paragraph(sentence.into())).into_iter().collect(),
    );
    view.section(Message::new("year-ice"), year::ice(ground));
    view.sharpen = sharpen(ground);
    view
}

fn settings<'a>(ground: &Ground<'a>) -> impl Iterator<Item = (&'a Entry, &'a Setting)> {
    ground.visit.entries(|body| match body {
        Body::Setting(setting) => Some(&**setting),
        _ => None,
    })
}

fn now(ground: &Ground<'_>) -> Now {
    if let Some((_, setting)) = settings(ground).find(|(_, setting)| setting.left.is_none()) {
        return Now::new(Message::new("set-left-owed").with("what", labels::word(setting.what.word())));
    }
    let changed = |setting: &Setting| match (&setting.found, &setting.left) {
        (Some(found), Some(left)) => found.text() != left.text(),
        _ => false,
    };
    if let Some((_, setting)) = settings(ground).find(|(_, s)| changed(s) && s.why.is_none()) {
        return Now::new(Message::new("set-why-owed").with("what", labels::word(setting.what.word())))
            .because(Message::new("set-why-owed-why"));
    }
    let Some(check) = &ground.results.charge.control else {
        return match settings(ground).count() {
            0 => Now::new(Message::new("set-nothing")).because(Message::new("set-nothing-why")),
            count => Now::new(Message::new("set-recorded").with("count", count))
                .because(Message::new("set-control-unknown")),
        };
    };
    let count = |wanted: fn(&Standing) -> bool| {
        check.findings.iter().filter(|finding| wanted(&finding.standing)).count()
    };
    let fails = count(|standing| *standing == Standing::Fails);
    let open = count(|standing| *standing == Standing::NotResolved);
    let unknown = count(|standing| matches!(standing, Standing::NotKnown(_)));
    let means = Message::new("set-means")
        .with("in", ground.writer.write(check.cut_in_means))
        .with("out", ground.writer.write(check.cut_out_means));
    if fails > 0 {
        let first = check.findings.iter().find(|finding| finding.standing == Standing::Fails);
        let sentence = match first {
            Some(finding) if fails == 1 => {
                Message::new("set-fails-one").with("rule", account::rule_name(finding.rule))
            }
            _ => Message::new("set-fails").with("count", fails),
        };
        Now::new(sentence).because(means).marked(VerdictMark::Breached)
    } else if open > 0 {
        Now::new(Message::new("set-not-resolved")).because(means).marked(VerdictMark::NotResolved)
    } else if unknown > 0 {
        Now::new(Message::new("set-holds-so-far")).because(means).marked(VerdictMark::Unknown)
    } else {
        Now::new(Message::new("set-holds")).because(means).marked(VerdictMark::Met)
    }
}

fn offers(ground: &Ground<'_>) -> Vec<Offer> {
    let system = &ground.visit.system.value;
    let mut out = Vec::new();
    for (_, (entry, setting)) in settings(ground).enumerate().filter(|(_, (_, s))| s.left.is_none()) {
        let label = Message::new("offer-as-left").with("what", labels::word(setting.what.word()));
        out.push(Offer::new("setting", label, &["left", "why"]).onto(entry.id));
    }
    let pressure = |known: &Option<Known<units::PressureReading>>| {
        known.as_ref().and_then(Known::typed).map(|typed| typed.text.clone())
    };
    let controls = [
        (SettingOf::LowCutOut, Message::new("offer-low-cut-out"), pressure(&system.low_cut_out)),
        (SettingOf::LowCutIn, Message::new("offer-low-cut-in"), pressure(&system.low_cut_in)),
        (
            SettingOf::HeadPressure,
            Message::new("offer-head-pressure"),
            system.head_setting.as_ref().and_then(Known::typed).map(|typed| typed.text.clone()),
        ),
        (SettingOf::FanOn, Message::new("offer-fan-on"), None),
        (SettingOf::FanOff, Message::new("offer-fan-off"), None),
        (SettingOf::HighCutOut, Message::new("offer-high-cut-out"), pressure(&system.high_cut_out)),
        (SettingOf::Superheat, Message::new("offer-valve-superheat"), None),
        (SettingOf::DefrostInterval, Message::new("offer-defrost-interval"), None),
        (SettingOf::DefrostLength, Message::new("offer-defrost-length"), None),
        (SettingOf::DefrostEnd, Message::new("offer-defrost-end"), None),
    ];
    for (what, label, known) in controls {
        let mut offer = Offer::new("setting", label, &["found", "left", "why"]).with("what", what.word());
        offer.last = last(ground, what).or(known).map(|text| super::Last { text, at: None });
        out.push(offer);
    }
    out.push(
        Offer::new("picture", Message::new("offer-setting-picture"), &[])
            .with("shows", "old setting")
            .with("read", "no"),
    );
    out
}

/// What a setting was left at last on this visit.
fn last(ground: &Ground<'_>, what: SettingOf) -> Option<String> {
    settings(ground)
        .filter(|(_, setting)| setting.what == what)
        .filter_map(|(_, setting)| setting.left.as_ref().map(Known::text))
        .last()
}

fn sharpen(ground: &Ground<'_>) -> Vec<Message> {
    let system = &ground.visit.system.value;
    let mut out = Vec::new();
    if system.low_pressure_job.as_ref().is_none_or(Known::is_unknown) {
        out.push(Message::new("sharpen-control-job"));
    }
    if system.coldest_ambient.as_ref().is_none_or(Known::is_unknown) {
        out.push(Message::new("sharpen-coldest-ambient"));
    }
    let wants = |fact: MissingFact| {
        ground.results.charge.control.as_ref().is_some_and(|check| {
            check.findings.iter().any(|finding| finding.standing == Standing::NotKnown(fact))
        })
    };
    if wants(MissingFact::LowestSaturatedSuction) {
        out.push(Message::new("control-want-lowest"));
    }
    if system.head_control.is_none() {
        out.push(Message::new("sharpen-head"));
    }
    out
}
