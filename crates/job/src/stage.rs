//! What each stage of a visit shows: the sentence that matters now, why, the evidence, what can be entered, what is owed.

mod arrive;
mod charge;
pub mod circuit;
mod clock;
mod close;
mod decide;
mod diagnose;
mod evacuate;
mod hooks;
mod normal;
mod numbers;
mod offer;
mod planned;
mod prove;
mod search;
mod set;
pub mod settle;
mod sheet;
mod shut;
mod test;
mod tight;
mod ways;
mod year;

pub use crate::law::Line as LawLine;
pub use circuit::circuit;
pub use hooks::NextCheck;
pub use normal::last as normal_here;
pub use offer::{Last, Offer, last};
pub use sheet::{document, last_moment};

use crate::van::Van;
use crate::visit::{Results, Visit};
use record::{Prices, When};
use report::{Caution, Message, Number, Section, VerdictMark};
use units::Writer;

/// A stage of a visit. A visit may go through them in any order, and back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// What is this system, what was done to it, is it safe and legal to start?
    Arrive,
    /// What is probably wrong, by the readings of the running system?
    Diagnose,
    /// Where to look next, with what, at what pressure?
    Search,
    /// What is offered to the customer?
    Decide,
    /// Is it tight?
    Test,
    /// Is it dry and tight?
    Evacuate,
    /// How much, how fast, and when to stop?
    Charge,
    /// Cut-in, cut-out, fan and head-pressure settings.
    Set,
    /// Is it right now, and would it show if it were not?
    Prove,
    /// What must be written, and by when must somebody be back?
    Close,
}

impl Stage {
    /// The stages in their usual order.
    pub const ALL: [Stage; 10] = [
        Stage::Arrive,
        Stage::Diagnose,
        Stage::Search,
        Stage::Decide,
        Stage::Test,
        Stage::Evacuate,
        Stage::Charge,
        Stage::Set,
        Stage::Prove,
        Stage::Close,
    ];

    /// Returns the key of the stage in addresses and stored settings.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Stage::Arrive => "arrive",
            Stage::Diagnose => "diagnose",
            Stage::Search => "search",
            Stage::Decide => "decide",
            Stage::Test => "test",
            Stage::Evacuate => "evacuate",
            Stage::Charge => "charge",
            Stage::Set => "set",
            Stage::Prove => "prove",
            Stage::Close => "close",
        }
    }

    /// Returns the stage of a key.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Stage> {
        Stage::ALL.into_iter().find(|stage| stage.key() == key)
    }

    /// Returns the name of the stage.
    #[must_use]
    pub const fn name(self) -> Message {
        match self {
            Stage::Arrive => Message::new("stage-arrive"),
            Stage::Diagnose => Message::new("stage-diagnose"),
            Stage::Search => Message::new("stage-search"),
            Stage::Decide => Message::new("stage-decide"),
            Stage::Test => Message::new("stage-test"),
            Stage::Evacuate => Message::new("stage-evacuate"),
            Stage::Charge => Message::new("stage-charge"),
            Stage::Set => Message::new("stage-set"),
            Stage::Prove => Message::new("stage-prove"),
            Stage::Close => Message::new("stage-close"),
        }
    }
}

/// The sentence that matters now.
#[derive(Clone, Debug, PartialEq)]
pub struct Now {
    /// The sentence: an order or a finding.
    pub sentence: Message,
    /// Why, in a line or two.
    pub why: Option<Message>,
    /// The mark of a verdict, where the sentence is one.
    pub mark: Option<VerdictMark>,
}

impl Now {
    /// Returns the sentence alone.
    #[must_use]
    pub const fn new(sentence: Message) -> Now {
        Now { sentence, why: None, mark: None }
    }

    /// Returns the sentence with why.
    #[must_use]
    pub fn because(mut self, why: Message) -> Now {
        self.why = Some(why);
        self
    }

    /// Returns the sentence with the mark of its verdict.
    #[must_use]
    pub const fn marked(mut self, mark: VerdictMark) -> Now {
        self.mark = Some(mark);
        self
    }
}

/// Something that runs by the clock: a hold or a rise.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    /// What runs.
    pub what: Message,
    /// Since when.
    pub since: When,
    /// By when it can answer, by the readings so far; absent while they cannot tell.
    pub answer_at: Option<When>,
}

/// What a stage shows.
#[derive(Clone, Debug, PartialEq)]
pub struct View {
    /// The stage.
    pub stage: Stage,
    /// The sentence that matters now.
    pub now: Now,
    /// The big numbers.
    pub head: Vec<Number>,
    /// What runs by the clock.
    pub running: Vec<Running>,
    /// Cautions that are true now; they stand before what can be entered.
    pub cautions: Vec<Caution>,
    /// What can be entered, the most useful first.
    pub offers: Vec<Offer>,
    /// The evidence in the order of use.
    pub sections: Vec<Section>,
    /// What, if known, would sharpen the answer: at most three.
    pub sharpen: Vec<Message>,
    /// What the law says of adding refrigerant now, at Arrive and Charge.
    pub law: Option<LawLine>,
    /// Where to look next, at Search.
    pub next: Option<NextCheck>,
}

impl View {
    fn new(stage: Stage, now: Now) -> View {
        View {
            stage,
            now,
            head: Vec::new(),
            running: Vec::new(),
            cautions: Vec::new(),
            offers: Vec::new(),
            sections: Vec::new(),
            sharpen: Vec::new(),
            law: None,
            next: None,
        }
    }

    /// Adds a section where there is something to show.
    fn section(&mut self, heading: Message, blocks: Vec<report::Block>) {
        if !blocks.is_empty() {
            self.sections.push(Section::new(heading, blocks));
        }
    }
}

/// What a stage is computed from.
struct Ground<'a> {
    visit: &'a Visit,
    results: &'a Results<'a>,
    writer: &'a Writer,
    now: &'a When,
    hand: Hand<'a>,
}

/// Returns what the report says of the ways to go on, of the look at this pressure and of the settings through the year.
pub(crate) fn of_the_report(results: &Results<'_>, writer: &Writer) -> Vec<Section> {
    let visit = results.visit;
    let Some(now) = last_moment(visit) else { return Vec::new() };
    let ground = Ground { visit, results, writer, now: &now, hand: Hand::default() };
    let valve = year::valve(&ground).map(|sentence| report::Block::Paragraph(sentence.into()));
    let mut told = diagnose::of_the_report(&ground);
    told.extend([
        (Message::new("decide-ways"), ways::blocks(&ground)),
        (Message::new("tight-sections"), tight::sections(&ground)),
        (Message::new("tight-own"), tight::own_gas(&ground)),
        (Message::new("year-head"), year::head(&ground)),
        (Message::new("year-starts-head"), year::starts(&ground)),
        (Message::new("year-valve"), valve.into_iter().collect()),
        (Message::new("year-ice"), year::ice(&ground)),
    ]);
    told.into_iter()
        .filter(|(_, blocks)| !blocks.is_empty())
        .map(|(heading, blocks)| Section::new(heading, blocks))
        .collect()
}

/// Works out what a stage shows and no more: a rise is fitted, a hold flashed, only where it is looked at.
fn results(stage: Stage, visit: &Visit) -> Results<'_> {
    let holds = matches!(stage, Stage::Test | Stage::Prove | Stage::Close);
    let rises = matches!(stage, Stage::Evacuate | Stage::Prove);
    Results::with_tests(visit, holds, rises)
}

/// Returns what a stage shows at the moment `now`, in the units of `writer`.
///
/// Units and language never change a verdict: they only write it.
#[must_use]
pub fn view(stage: Stage, visit: &Visit, writer: &Writer, now: &When) -> View {
    view_with(stage, visit, writer, now, Hand::default())
}

/// What a shell has at hand beside the record of the visit.
#[derive(Clone, Copy, Debug, Default)]
pub struct Hand<'a> {
    /// The shop's prices: then the ways have costs.
    pub prices: Option<&'a Prices>,
    /// What is on the van: then the load list says what is there.
    pub van: Option<&'a Van>,
}

/// Returns the same as [`view`], with what the shell has at hand.
#[must_use]
pub fn view_with(stage: Stage, visit: &Visit, writer: &Writer, now: &When, hand: Hand<'_>) -> View {
    let results = results(stage, visit);
    let ground = Ground { visit, results: &results, writer, now, hand };
    let mut view = match stage {
        Stage::Arrive => arrive::view(&ground),
        Stage::Diagnose => diagnose::view(&ground),
        Stage::Search => search::view(&ground),
        Stage::Decide => decide::view(&ground),
        Stage::Test => test::view(&ground),
        Stage::Evacuate => evacuate::view(&ground),
        Stage::Charge => charge::view(&ground),
        Stage::Set => set::view(&ground),
        Stage::Prove => prove::view(&ground),
        Stage::Close => close::view(&ground),
    };
    // Entries that contradict each other come before anything computed from them.
    if !visit.current.disagreements.is_empty() && stage != Stage::Close {
        view.now = Now::new(Message::new("now-disagreement")).marked(VerdictMark::Doubtful);
    } else if let Some(refused) = &visit.refused
        && matches!(stage, Stage::Arrive | Stage::Diagnose | Stage::Charge | Stage::Set | Stage::Prove)
    {
        view.now = Now::new(refused.message.clone()).marked(VerdictMark::Unknown);
    }
    view.sharpen.truncate(3);
    view
}
