//! The search for the leak of a visit: what explains the loss, where to look next, what has really been ruled out.

mod answers;
pub(crate) mod edits;
mod find;
mod ground;
mod held;
mod lessons;
mod loss;
mod names;
mod picture;
mod section;
mod standing;

pub use answers::{explain_json, next_json, status_json};
pub use edits::Edited;
pub use find::Half;
pub use lessons::{Find, finds, finds_of, lessons};
pub use loss::{Flow, SideLeak, When, allowed};
pub use section::{document, next, section};
pub use standing::{Raised, Says, Standing, Way};

use crate::visit::Visit;
use crate::visit::account::{Account, account};
use diagnosis::search::book::Weather;
use diagnosis::search::found::{Explained, Size, explains};
use diagnosis::search::posterior::{Mark, Pressures, System};
use diagnosis::search::{
    Advice, Book, Evidence, Ground, Look, Method, Place, Posterior, Rate, State, evidence, posterior,
};
use report::Text;

/// The rating of a detector that nobody named, kg a year: 5 g, between the steps of SAE J2791 (4, 7, 14 g a year).
pub(crate) const USUAL_RATING: f64 = 0.005;

/// In the field half is seen at so many times the rating, which is a bench figure (judgement, as in the data).
pub(crate) const FIELD_HALF_SEEN: f64 = 6.0;

/// Returns whether the refills read as a winter's share of the charge that was never put in, rather than as a leak: only where the
/// head is held by flooding, and while nothing was found and nothing mended.
#[must_use]
pub fn lacks_winter(visit: &Visit, account: &Account) -> bool {
    use record::{Body, CheckResult, HeadControl, Known};
    let floods = matches!(
        visit.system.value.head_control.as_ref().and_then(Known::value),
        Some(HeadControl::FloodingValve | HeadControl::ValveAndFans)
    );
    let found = visit.current.entries.iter().any(|entry| match entry.what() {
        Body::Repair(_) => true,
        Body::LeakCheck(check) => check.result == CheckResult::Hit,
        _ => false,
    });
    floods && !found && account.loss.is_some() && Search::with(visit, account).lacks_winter()
}

/// A find that has made its steps.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The place.
    pub place: usize,
    /// In the words of the entry.
    pub words: String,
    /// Something was mended there since.
    pub mended: bool,
    /// The chance that it makes up half of the loss or more.
    pub chance: f64,
    /// Whether it explains the loss.
    pub explained: Explained,
    /// Its size as far as it was seen, as the yearly mean of what it loses.
    pub size: Size,
    /// It was looked at and found clean, or held, since it was mended.
    pub proved: bool,
}

/// The state of a search.
#[derive(Clone, Debug)]
pub struct Search {
    /// The numbers of the search.
    pub book: Book,
    /// The places of this circuit.
    pub places: Vec<Place>,
    /// Absolute pressures by side and state.
    pub pressures: Pressures,
    /// What the refills say.
    pub evidence: Evidence,
    /// Every look that counts.
    pub looks: Vec<Look>,
    /// Oil marks.
    pub marks: Vec<Mark>,
    /// Where a leak may be.
    pub now: Posterior,
    /// Where to look next.
    pub advice: Advice,
    /// The present loss, if it is a leak.
    pub rate: Rate,
    /// The rating of the detector, kg a year, where it is known.
    pub detector: Option<f64>,
    /// The find.
    pub found: Option<Found>,
    /// The places that the record adds, changes or takes out.
    pub edited: Vec<edits::Edited>,
    /// How many confirmed leaks of the shop the beliefs about places hold.
    pub learnt: usize,
    /// Electronic marks of today that count for nothing, since the detector failed its check.
    pub voided: usize,
    /// Where one is, by region.
    pub here: usize,
    /// What the system does.
    pub state: State,
    /// The share of the time that it runs, and whether that was assumed.
    pub run_share: (f64, bool),
}

impl Search {
    /// Returns the search of a visit. Nothing is refused for want of data: what is not known makes the answer wider.
    ///
    /// What the shop learnt elsewhere counts where the visit carries it ([`Visit::lessons`]).
    #[must_use]
    pub fn of(visit: &Visit) -> Search {
        Self::taught(visit, &account(visit), &visit.lessons)
    }

    /// Returns the search of a visit by its own record alone, whose account is there already: what a report shows.
    #[must_use]
    pub fn with(visit: &Visit, account: &Account) -> Search {
        Self::taught(visit, account, &[])
    }

    fn taught(visit: &Visit, account: &Account, lessons: &[String]) -> Search {
        let lessons: Vec<&str> = lessons.iter().map(String::as_str).collect();
        let book = Book::shipped().learnt(&lessons);
        let mut places = ground::places(&book, visit);
        let edited = edits::edit(visit, &mut places);
        let told = ground::looks(visit, &mut places, &book);
        let mut evidence = evidence(&book, &ground::history(visit, account));
        evidence.holds = held::holds(visit, &places, &book);
        let pressures = ground::pressures(visit);
        let detector = ground::detector(visit);
        let share = visit.system.value.run_share.as_ref().and_then(record::Known::value);
        let share = share.map(|share| share.ratio()).filter(|share| (0.05..=1.0).contains(share));
        let run_share = share.unwrap_or_else(|| field::leak::RUNNING_SHARE.ratio());
        let system = System {
            book: &book,
            places: &places,
            pressures,
            run_share,
            weather: Weather::Mild,
            detector_half_seen: detector.map(|rated| FIELD_HALF_SEEN * rated),
        };
        let here = ground::here(visit, &places, &told);
        let state = told.state;
        let mut now = posterior(&system, &evidence, &told.looks, &told.marks);
        let found = told.found.as_ref().map(|hit| {
            let side = places[hit.place].side;
            let by_hold = if hit.mended { None } else { find::size_of_hold(visit) };
            let (seen, bar) = match (hit.seen, by_hold) {
                (Size::AtLeast(_) | Size::Unknown, Some((size, bar))) => (size, bar),
                (seen, _) => (seen, hit.bar.unwrap_or_else(|| pressures.of(side, hit.state))),
            };
            let size = find::yearly(&pressures, run_share, side, seen, bar);
            // What else may leak is what the looks leave of a second one.
            let others: f64 =
                now.places.iter().enumerate().filter(|(at, _)| *at != hit.place).map(|(_, p)| p).sum();
            let (chance, explained) = explains(&evidence, size, others);
            let words = hit.words.clone();
            Found { place: hit.place, words, mended: hit.mended, chance, explained, size, proved: hit.proved }
        });
        // Where the find explains too little, what is left to find is another leak: the place found is no answer to that.
        let rest: Vec<Place>;
        let mut looks = told.looks;
        let mut marks = told.marks;
        let mut system = system;
        if let Some(found) = found.as_ref().filter(|found| found.explained == Explained::No) {
            let without = |(at, place): (usize, &Place)| {
                let weight = if at == found.place { 0.0 } else { place.weight };
                Place { weight, ..place.clone() }
            };
            rest = places.iter().enumerate().map(without).collect();
            looks.retain(|look| look.place != found.place);
            marks.retain(|mark| mark.place != found.place);
            system.places = &rest;
            now = posterior(&system, &evidence, &looks, &marks);
        }
        let sections = ground::sections(&places);
        let methods = ground::methods(visit);
        let ask = Ground {
            system: system.clone(),
            evidence: &evidence,
            looks: &looks,
            marks: &marks,
            here,
            state,
            on_roof: ground::on_roof(visit),
            methods: &methods,
            session: 0,
            open: &told.open,
            sections: &sections,
        };
        let advice = diagnosis::search::next(&ask, &now);
        let rate = evidence.rate();
        Search {
            pressures,
            looks,
            marks,
            now,
            advice,
            rate,
            detector,
            found,
            edited,
            learnt: lessons.len(),
            voided: told.voided,
            here,
            state,
            run_share: (run_share, share.is_none()),
            evidence,
            places,
            book,
        }
    }

    /// Returns how many times the detector's rated limit the loss is, where the loss is known to be far from nothing.
    #[must_use]
    pub fn detector_ratio(&self) -> Option<f64> {
        let rated = self.detector.unwrap_or(USUAL_RATING);
        (self.evidence.intervals > 0 && rated > 0.0).then(|| self.rate.mean / rated)
    }

    /// Returns the chances of the explanations, the largest first: each place alone, two leaks, winter, service, books.
    #[must_use]
    pub fn hypotheses(&self) -> Vec<(Text, f64)> {
        let mut out: Vec<(Text, f64)> = self
            .now
            .single
            .iter()
            .enumerate()
            .map(|(at, chance)| (self.leak_at(at).into(), *chance))
            .collect();
        out.extend(self.other_explanations());
        units::sort_small(&mut out, |a, b| b.1.total_cmp(&a.1));
        out
    }

    fn leak_at(&self, place: usize) -> report::Message {
        report::Message::new("seek-leak-at").with("place", names::place(&self.places[place]))
    }

    /// The explanations that are no single place.
    fn other_explanations(&self) -> Vec<(Text, f64)> {
        vec![
            (report::Message::new("seek-two").into(), self.now.two),
            (report::Message::new("seek-winter").into(), self.now.winter),
            (report::Message::new("seek-service").into(), self.now.service),
            (report::Message::new("seek-books").into(), self.now.books),
        ]
    }

    /// Returns whether looking goes on: nothing is found yet, or what is found explains too little.
    #[must_use]
    pub fn looks_on(&self) -> bool {
        self.found.as_ref().is_none_or(|found| found.explained == Explained::No)
    }

    /// Returns whether a search would be left, and most likely because the winter's share of the charge was never put in.
    #[must_use]
    pub fn lacks_winter(&self) -> bool {
        self.advice.instead == Some(diagnosis::search::next::Instead::NoLeak)
            && self.now.winter >= self.now.service.max(self.now.books)
    }

    /// Returns the chance that there is no leak.
    #[must_use]
    pub fn no_leak(&self) -> f64 {
        self.now.winter + self.now.service + self.now.books
    }
}

/// What the log of looks says.
struct Told {
    looks: Vec<Look>,
    marks: Vec<Mark>,
    /// Places that stand open.
    open: Vec<usize>,
    /// A find.
    found: Option<find::Hit>,
    voided: usize,
    state: State,
    /// The place looked at last.
    last: Option<usize>,
}

/// Returns the way of looking of an entry's.
const fn method_of(method: record::Method) -> Method {
    match method {
        record::Method::Electronic => Method::Electronic,
        record::Method::Soap => Method::Soap,
        record::Method::Ultrasonic => Method::Ultrasonic,
        record::Method::Dye => Method::Dye,
        record::Method::Tracer => Method::Tracer,
        record::Method::Isolation => Method::Isolation,
        record::Method::Bagging => Method::Bagging,
        record::Method::Visual => Method::Visual,
        record::Method::Listening => Method::Listening,
    }
}
