//! A fixed document as text and as HTML: what it must show, and what it must never let through.

#![allow(clippy::unwrap_used)]

#[path = "../examples/gallery/document.rs"]
mod document;

use report::{
    Arg, Block, Caution, Cell, Chance, Column, Document, Figure, Finding, List, Mark, Message, Now, Number,
    Opened, Picture, Row, Section, Signature, Table, Text, TextOptions, Trend, Value, VerdictMark, to_html,
    to_text,
};
use wording::Wording;

const OPTIONS: TextOptions = TextOptions { width: 80, explain: false };

fn html(document: &Document) -> String {
    let wording = Wording::new("en");
    to_html(document, &|message| wording.say(message))
}

fn text(document: &Document, options: TextOptions) -> String {
    let wording = Wording::new("en");
    to_text(document, &|message| wording.say(message), options)
}

/// The body as XML: what HTML leaves unclosed is closed first.
fn body(html: &str) -> String {
    let start = html.find("<body>").unwrap();
    let end = html.find("</body>").unwrap() + "</body>".len();
    html[start..end].replace("<br>", "<br/>")
}

fn typed(words: &str) -> Document {
    let v = || Text::verbatim(words);
    let opened = || Opened {
        inputs: vec![report::Input::new(v(), words).from_origin(v())],
        method: v(),
        doubts: vec![report::Doubt { cause: v(), percent: 250 }],
        source: v(),
    };
    let number = || {
        Number::new(v(), Value { value: words.into(), half_width: Some(words.into()), unit: words.into() })
            .opens(opened())
    };
    let bar = report::IntervalBar {
        best: 1.0,
        half_width: 0.5,
        allowed: report::AllowedZone { low: Some(0.0), high: None },
        reference: None,
        words: v(),
    };
    let trend = Trend {
        value_axis: v(),
        time_axis: v(),
        readings: vec![report::Reading::new(0.0, 1.0), report::Reading::new(1.0, 2.0)],
        allowed: None,
        settled: Some(report::Moment { time: 0.5, label: v() }),
    };
    let mut document = Document::new(v(), words, Mark::Real);
    document.subtitle = Some(v());
    document.details = vec![v()];
    document.now = Some(Now { sentence: v(), why: Some(v()), numbers: vec![number()] });
    document.methods = vec![Block::Paragraph(v())];
    let finding = Finding {
        word: Some(v()),
        number: Some(number()),
        bar: Some(bar),
        advice: Some(v()),
        ..Finding::new(VerdictMark::Met, v())
    };
    let row =
        || Row::new(vec![Cell::Text(v()), Cell::Value(words.into()), Cell::Number(number()), Cell::Empty]);
    let columns = || vec![Column::words(v()), Column::numbers(v()), Column::numbers(v()), Column::words(v())];
    document.sections = vec![Section::new(
        v(),
        vec![
            Block::Paragraph(
                Message::new("report-charge-added").with("unit", Arg::Text(words.to_owned())).into(),
            ),
            Block::Caution(Caution { first: v(), rest: Some(v()) }),
            Block::Findings(vec![finding]),
            Block::Numbers(vec![number().doubtful()]),
            Block::Table(Table { caption: Some(v()), columns: columns(), rows: vec![row(), Row::default()] }),
            Block::List(List { ordered: true, items: vec![v()] }),
            Block::Figure(Box::new(Figure { title: v(), description: v(), picture: Picture::Trend(trend) })),
            Block::Chances(vec![Chance { name: v(), probability: 0.3 }]),
            Block::Signatures(vec![Signature { role: v(), name: Some(v()) }]),
        ],
    )];
    document
}

#[test]
fn what_a_person_typed_is_shown_and_does_nothing() {
    let attack =
        "\"><script>alert('x')</script><img src=x onerror=alert(1)> & </style></title> \u{1b}[31m\u{0}";
    let page = html(&typed(attack));
    for forbidden in ["<script", "<img", "</title> ", "\u{1b}", "\u{0}"] {
        assert!(!page.contains(forbidden), "{forbidden:?} came through");
    }
    assert!(page.contains("&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;"));
    assert_eq!(page.matches("</style>").count(), 1);
    assert_eq!(page.matches("</title>").count(), 1 + 4, "one of the page, one of each width of the picture");
    roxmltree::Document::parse(&body(&page)).unwrap();
    let plain = text(&typed(attack), TextOptions { width: 80, explain: true });
    assert!(plain.contains("<script>alert('x')</script>"));
    assert!(!plain.contains('\u{1b}') && !plain.contains('\u{0}'));
}

#[test]
fn the_page_loads_nothing_and_runs_nothing() {
    let page = html(&document::gallery());
    for forbidden in ["<script", "src=", "@import", "<link", "<iframe", "javascript:", "onload", "onclick"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
    // Names of XML languages are not addresses; every url() is in the page, as data or as a pattern.
    assert_eq!(
        page.matches("http").count(),
        page.matches("http://www.w3.org/2000/svg").count() + 1,
        "http-equiv"
    );
    assert_eq!(
        page.matches("url(").count(),
        page.matches("url(data:font/woff2").count() + page.matches("url(#").count()
    );
    assert!(page.contains("default-src 'none'"));
}

#[test]
fn the_page_is_well_formed_and_named() {
    let page = html(&document::gallery());
    let body = body(&page);
    let tree = roxmltree::Document::parse(&body).unwrap();
    let mut ids: Vec<&str> = tree.descendants().filter_map(|node| node.attribute("id")).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id stands twice");
    for node in tree.descendants() {
        for name in ["aria-labelledby", "href"] {
            for id in node.attribute(name).unwrap_or_default().split_whitespace() {
                assert!(ids.binary_search(&id.trim_start_matches('#')).is_ok(), "{name} {id} leads nowhere");
            }
        }
        // A picture is named or hidden.
        if node.tag_name().name() == "svg" {
            let named = node.attribute("aria-labelledby").is_some() && node.attribute("role") == Some("img");
            assert!(named || node.attribute("aria-hidden") == Some("true"));
        }
        if node.tag_name().name() == "th" {
            assert!(node.attribute("scope").is_some());
        }
    }
    let levels = tree.descendants().filter_map(|node| match node.tag_name().name() {
        "h1" => Some(1),
        "h2" => Some(2),
        "h3" => Some(3),
        _ => None,
    });
    let mut before = 0;
    for level in levels {
        assert!(level <= before + 1, "a heading of level {level} after one of {before}");
        before = level;
    }
    assert!(page.starts_with("<!doctype html>\n<html lang=\"en\">"));
}

#[test]
fn every_number_opens_and_is_listed_on_paper() {
    let page = html(&document::gallery());
    // Superheat in the sentence, the findings and what was done; subcooling twice; the account; the sentence; 5 pictures.
    assert_eq!(page.matches("<dl class=\"behind\">").count(), 6);
    assert_eq!(page.matches("<details").count(), 6 + 1 + 5);
    let paper = &page[page.find("<div class=\"paper\">").unwrap()..];
    assert_eq!(paper.matches("<th scope=\"row\">").count(), 3, "each number once");
    for shown in ["2.1\u{a0}±\u{a0}0.8\u{a0}°C", "86\u{a0}%", "JCGM 100"] {
        assert!(paper.contains(shown), "{shown}");
    }
}

#[test]
fn text_opens_numbers_when_asked() {
    let closed = text(&document::gallery(), OPTIONS);
    let open = text(&document::gallery(), TextOptions { explain: true, ..OPTIONS });
    assert!(!closed.contains("JCGM 100"));
    assert!(open.contains("Coil outlet: 2.1 ± 0.8 °C (clamp 2, 16:28)"));
    assert!(open.contains("86 % The clamp on the pipe"));
    assert_eq!(open.matches("JCGM 100").count(), 5);
}

#[test]
fn text_keeps_its_width_and_its_columns() {
    for width in [1, 24, 40, 60, 80, 132] {
        let page = text(&document::gallery(), TextOptions { width, explain: true });
        for line in page.lines() {
            assert!(unicode_width::UnicodeWidthStr::width(line) <= width.max(24), "{width}: {line:?}");
            assert_eq!(line.trim_end(), line);
        }
        for word in ["not resolved", "Solenoid", "14.2", "Not legal advice"] {
            assert!(page.replace('\n', " ").contains(word), "{word} at {width}");
        }
    }
}

#[test]
fn text_of_a_small_report() {
    let mut document = Document::new(Text::verbatim("Service report"), "en", Mark::Demo);
    document.now = Some(Now::new(Text::verbatim("Weigh in 0.55 kg more, then stop and read the glass.")));
    let number = Number::new(
        Text::verbatim("Superheat"),
        Value { value: "6.7".into(), half_width: Some("0.9".into()), unit: "K".into() },
    );
    let finding = Finding {
        number: Some(number.clone().doubtful()),
        advice: Some(Text::verbatim("Wrap the clamp, wait 5 min, read again.")),
        ..Finding::new(VerdictMark::NotResolved, Text::verbatim("Superheat, coil outlet"))
    };
    document.sections = vec![
        Section::new(
            Text::verbatim("Found"),
            vec![
                Block::Caution(Caution { first: Text::verbatim("20 bar in this line."), rest: None }),
                Block::Findings(vec![finding]),
            ],
        ),
        Section::new(
            Text::verbatim("Chances"),
            vec![Block::Chances(vec![
                Chance { name: Text::verbatim("Solenoid"), probability: 0.8 },
                Chance { name: Text::verbatim("Coil"), probability: 0.2 },
            ])],
        ),
    ];
    let expected = "\
Service report
==============

  Weigh in 0.55 kg more, then stop and read the glass.
|__________________________________________________________________|

Found
-----
//// Caution: 20 bar in this line.

verdict       what                              value ± 95 %
------------------------------------------------------------
not resolved  Superheat, coil outlet  6.7 ± 0.9 K (doubtful)
    Wrap the clamp, wait 5 min, read again.

Chances
-------
80 %  Solenoid
20 %  Coil
 0 %  something else

Demo: the data are invented. Not legal advice: the nameplate, the
local code and the local authority decide.
";
    let written = text(&document, TextOptions { width: 68, explain: false });
    assert_eq!(written, expected, "\n{written}");
}

#[test]
fn every_word_is_in_the_catalogue() {
    for page in
        [html(&document::gallery()), text(&document::gallery(), TextOptions { width: 80, explain: true })]
    {
        assert!(!page.contains('«'), "{}", &page[page.find('«').unwrap()..][..60]);
    }
}

#[test]
fn what_cannot_be_drawn_is_a_sentence() {
    let trend = |readings: Vec<report::Reading>| {
        let mut document = Document::new(Text::verbatim("t"), "en", Mark::Real);
        let picture = Picture::Trend(Trend {
            value_axis: Text::verbatim("K"),
            time_axis: Text::verbatim("min"),
            readings,
            allowed: None,
            settled: None,
        });
        let figure =
            Figure { title: Text::verbatim("title"), description: Text::verbatim("sentence"), picture };
        document.sections = vec![Section::new(Text::verbatim("s"), vec![Block::Figure(Box::new(figure))])];
        document
    };
    let empty = trend(vec![report::Reading::new(f64::NAN, 1.0)]);
    for page in [html(&empty), text(&empty, OPTIONS)] {
        assert!(page.contains("Nothing to draw"));
        assert!(!page.contains("role=\"img\""));
    }
    let partly = trend(vec![report::Reading::new(0.0, f64::INFINITY), report::Reading::new(1.0, 1.0)]);
    for page in [html(&partly), text(&partly, OPTIONS)] {
        assert!(page.contains("One value is not a number"));
    }
}

#[test]
fn an_empty_document_is_still_a_page() {
    let document = Document::new(Text::verbatim(""), "", Mark::Real);
    roxmltree::Document::parse(&body(&html(&document))).unwrap();
    assert!(text(&document, OPTIONS).contains("Not legal advice"));
}
