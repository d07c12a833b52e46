//! The numbers behind the search: places, ways of looking, people, explanations. Shipped as judgement, learnt by a shop.

/// The data files as constants.
#[allow(missing_docs)]
mod data {
    use super::Beta;
    pub struct MethodRow {
        pub key: &'static str,
        pub half_seen: f64,
        pub slope: f64,
        pub still: Beta,
        pub moving: Beta,
        pub spoilt: f64,
        pub minutes: f64,
        pub false_alarm: f64,
    }
    pub struct AccessRow {
        pub key: &'static str,
        pub outside: Beta,
        pub opened: Beta,
        pub by_others: f64,
    }
    pub struct PlaceRow {
        pub key: &'static str,
        pub part: &'static str,
        pub region: &'static str,
        pub access: &'static str,
        pub side: &'static str,
        pub weight: f64,
        pub minutes: f64,
        pub opening: f64,
        pub needs: &'static str,
        pub words: &'static [&'static str],
    }
    include!(concat!(env!("OUT_DIR"), "/search.rs"));
}

pub use data::{
    CHARGE_TYPICAL_KG, HIT_MOVED_AWAY, HIT_ONCE, HIT_REPEATED, OIL_AT_LEAK, OIL_AT_LEAK_BACK, OIL_ELSEWHERE,
    OIL_ELSEWHERE_BACK, PAIR_SMALL_SHARE, RESERVE_SERVICE_HIGH, RESERVE_SERVICE_LOW, RESERVE_SHARE_HIGH,
    RESERVE_SHARE_LOW, RESERVE_WINTER_HIGH, RESERVE_WINTER_LOW, SIZE_MEDIAN_SHARE_OF_CHARGE, SIZE_SPREAD_LN,
    SWITCH_MINUTES, WEIGHT_IN_LEAKS,
};

use serde::{Deserialize, Serialize};

/// A chance that is itself in doubt, as counts of finds and misses.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Beta {
    /// Finds.
    pub a: f64,
    /// Misses.
    pub b: f64,
}

impl Beta {
    /// Returns the mean.
    #[must_use]
    pub fn mean(self) -> f64 {
        self.a / (self.a + self.b)
    }

    /// Returns the chance after these confirmed finds and misses; given negative it takes them back.
    #[must_use]
    pub fn after(self, finds: f64, misses: f64) -> Beta {
        Beta { a: (self.a + finds).max(1e-6), b: (self.b + misses).max(1e-6) }
    }
}

/// A way of looking.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Method {
    /// Electronic detector.
    Electronic,
    /// Soap solution.
    Soap,
    /// Ultrasonic detector.
    Ultrasonic,
    /// Dye and lamp.
    Dye,
    /// Tracer gas.
    Tracer,
    /// A joint bagged, and time.
    Bagging,
    /// Eyes.
    Visual,
    /// Ears.
    Listening,
    /// A section shut in and watched.
    Isolation,
}

impl Method {
    /// Every way, in the order of the data.
    pub const ALL: [Method; 9] = [
        Method::Electronic,
        Method::Soap,
        Method::Ultrasonic,
        Method::Dye,
        Method::Tracer,
        Method::Bagging,
        Method::Visual,
        Method::Listening,
        Method::Isolation,
    ];

    /// Returns its key in data and answers.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Method::Electronic => "electronic",
            Method::Soap => "soap",
            Method::Ultrasonic => "ultrasonic",
            Method::Dye => "dye",
            Method::Tracer => "tracer gas",
            Method::Bagging => "bagging",
            Method::Visual => "visual",
            Method::Listening => "listening",
            Method::Isolation => "isolation",
        }
    }
}

/// What lies between a leak and a probe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Access {
    /// A bare joint.
    Bare,
    /// The face of a coil.
    Coil,
    /// Insulation.
    Insulated,
    /// A cover.
    Covered,
    /// A wall or the ground.
    Buried,
}

impl Access {
    const ALL: [(Access, &'static str); 5] = [
        (Access::Bare, "bare"),
        (Access::Coil, "coil"),
        (Access::Insulated, "insulated"),
        (Access::Covered, "covered"),
        (Access::Buried, "buried"),
    ];

    /// Whether something can be taken off for a better look.
    #[must_use]
    pub const fn opens(self) -> bool {
        matches!(self, Access::Insulated | Access::Covered)
    }
}

/// A side of the circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Side {
    /// From the expansion device to the compressor.
    Low = 0,
    /// From the compressor to the expansion device.
    High = 1,
}

/// What the system does while a place is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum State {
    /// Off, its sides come together.
    Off = 0,
    /// Running.
    Running = 1,
    /// In a defrost.
    Defrost = 2,
}

/// When a leak shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Shows {
    /// Whenever there is pressure.
    Always,
    /// While the compressor runs.
    Running,
    /// While it is off.
    Off,
    /// In a defrost.
    Defrost,
    /// When it is hot.
    Hot,
    /// When it is cold.
    Cold,
}

impl Shows {
    /// Every time, in the order of the data.
    pub const ALL: [Shows; 6] =
        [Shows::Always, Shows::Running, Shows::Off, Shows::Defrost, Shows::Hot, Shows::Cold];

    /// Whether a leak that shows then can be seen now.
    #[must_use]
    pub const fn now(self, state: State, weather: Weather) -> bool {
        match self {
            Shows::Always => true,
            Shows::Running => matches!(state, State::Running),
            Shows::Off => matches!(state, State::Off),
            Shows::Defrost => matches!(state, State::Defrost),
            Shows::Hot => matches!(weather, Weather::Hot),
            Shows::Cold => matches!(weather, Weather::Cold),
        }
    }
}

/// The weather of the day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Weather {
    /// Neither.
    #[default]
    Mild,
    /// As hot as it gets.
    Hot,
    /// As cold as it gets.
    Cold,
}

/// A place where the circuit can leak.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// Its key.
    pub key: String,
    /// The part of the circuit it belongs to, by the key of that part.
    pub part: String,
    /// Its region, by its place in [`Book::regions`].
    pub region: usize,
    /// What lies over it.
    pub access: Access,
    /// Its side.
    pub side: Side,
    /// What share of leaks is believed there, in proportion to the others.
    pub weight: f64,
    /// Minutes for a look from outside.
    pub minutes: f64,
    /// Minutes more to open and close it.
    pub opening: f64,
    /// Part of the system without which the place is not there; empty where it always is.
    pub needs: String,
    /// Words by which an entry names it.
    pub words: Vec<String>,
}

/// How one way of looking sees.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sight {
    /// Flow that is seen half the time, kg a year.
    pub half_seen: f64,
    /// Steepness about it.
    pub slope: f64,
    /// Chance that still air lets it be met.
    pub still: Beta,
    /// The same where a fan blows.
    pub moving: Beta,
    /// What wind, sun or gas in the air leave of it.
    pub spoilt: f64,
    /// Minutes against those of a detector at the same place.
    pub minutes: f64,
    /// Chance of a hit without a leak.
    pub false_alarm: f64,
}

/// A kind of shop: the people who wrote the history, searched before and search today are taken to be of one kind.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shop {
    /// Its share of all shops, before the history.
    pub share: f64,
    /// What is left of a probe's chance to get to where a leak comes out.
    pub reach: f64,
    /// The shares of the kinds of people, in the order of [`Book::people`].
    pub people: Vec<f64>,
    /// Doubt of a weighed amount, as the standard deviation of its natural logarithm.
    pub amounts: f64,
}

/// The numbers of a search.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Book {
    /// Every place that a template can hold.
    pub places: Vec<Place>,
    /// How each way sees, in the order of [`Method::ALL`].
    pub sights: Vec<Sight>,
    /// For each access: chance of meeting a leak from outside, once opened, and share of others who went there.
    pub reach: Vec<(Beta, Beta, f64)>,
    /// Kinds of people: the attention of each.
    pub people: Vec<f64>,
    /// Kinds of shops.
    pub shops: Vec<Shop>,
    /// Chances before the history: one leak, two leaks, winter, service, books.
    pub explanations: [f64; 5],
    /// When leaks show: chance and share of time, in the order of [`Shows::ALL`].
    pub shows: [(f64, f64); 6],
    /// Keys of the regions and the minutes to make each ready.
    pub regions: Vec<(String, f64)>,
    /// Minutes between regions: from, to, at ground level, with the unit on a roof.
    pub travel: Vec<(usize, usize, f64, f64)>,
    /// Leaks that the starter belief of places weighs.
    pub weight_in_leaks: f64,
}

impl Book {
    /// Returns the numbers as shipped.
    ///
    /// # Panics
    /// Never: the data are read by a test.
    #[must_use]
    pub fn shipped() -> Book {
        let region = |key: &str| data::REGIONS.iter().position(|(name, _)| *name == key).unwrap_or(0);
        let places = data::PLACES
            .iter()
            .map(|row| Place {
                key: row.key.to_owned(),
                part: row.part.to_owned(),
                region: region(row.region),
                access: Access::ALL.iter().find(|(_, key)| *key == row.access).map_or(Access::Bare, |a| a.0),
                side: if row.side == "low" { Side::Low } else { Side::High },
                weight: row.weight,
                minutes: row.minutes,
                opening: row.opening,
                needs: row.needs.to_owned(),
                words: row.words.iter().map(|word| (*word).to_owned()).collect(),
            })
            .collect();
        let sights = Method::ALL
            .iter()
            .filter_map(|method| data::METHODS.iter().find(|row| row.key == method.key()))
            .map(|row| Sight {
                half_seen: row.half_seen,
                slope: row.slope,
                still: row.still,
                moving: row.moving,
                spoilt: row.spoilt,
                minutes: row.minutes,
                false_alarm: row.false_alarm,
            })
            .collect();
        let reach = Access::ALL
            .iter()
            .filter_map(|(_, key)| data::ACCESS.iter().find(|row| row.key == *key))
            .map(|row| (row.outside, row.opened, row.by_others))
            .collect();
        let mut explanations = [0.0; 5];
        for (at, (_, chance)) in data::EXPLANATIONS.iter().enumerate().take(5) {
            explanations[at] = *chance;
        }
        let mut shows = [(0.0, 1.0); 6];
        for (at, (_, chance, share)) in data::SHOWS.iter().enumerate().take(6) {
            shows[at] = (*chance, *share);
        }
        Book {
            places,
            sights,
            reach,
            people: data::PEOPLE.to_vec(),
            shops: data::SHOPS
                .iter()
                .map(|(share, reach, people, amounts)| Shop {
                    share: *share,
                    reach: *reach,
                    people: people.to_vec(),
                    amounts: *amounts,
                })
                .collect(),
            explanations,
            shows,
            regions: data::REGIONS.iter().map(|(key, setup)| ((*key).to_owned(), *setup)).collect(),
            travel: data::TRAVEL
                .iter()
                .map(|(from, to, ground, roof)| (region(from), region(to), *ground, *roof))
                .collect(),
            weight_in_leaks: data::WEIGHT_IN_LEAKS,
        }
    }

    /// Returns how a way of looking sees.
    #[must_use]
    pub fn sight(&self, method: Method) -> &Sight {
        &self.sights[method as usize]
    }

    /// Returns the chances of meeting a leak at such a place: from outside, and once opened (never less).
    #[must_use]
    pub fn reach_of(&self, access: Access) -> (f64, f64) {
        let (outside, opened, _) = &self.reach[access as usize];
        (outside.mean(), opened.mean().max(outside.mean()))
    }

    /// Returns the minutes from one region to another, making it ready included.
    #[must_use]
    pub fn minutes_between(&self, from: usize, to: usize, on_roof: bool) -> f64 {
        if from == to {
            return 0.0;
        }
        let way = self.travel.iter().find(|(a, b, ..)| (*a, *b) == (from, to) || (*b, *a) == (from, to));
        let setup = self.regions.get(to).map_or(0.0, |(_, setup)| *setup);
        setup + way.map_or(5.0, |(_, _, ground, roof)| if on_roof { *roof } else { *ground })
    }

    /// Returns the belief about places after these confirmed leaks, by the keys of their places.
    ///
    /// A Dirichlet: the starter belief weighs [`Book::weight_in_leaks`] leaks, each confirmed one weighs one. The result
    /// follows from the list alone, so taking a leak out of the list takes back what it taught.
    #[must_use]
    pub fn learnt(&self, confirmed: &[&str]) -> Book {
        let mut book = self.clone();
        let sum: f64 = self.places.iter().map(|place| place.weight).sum();
        let total = self.weight_in_leaks + confirmed.len() as f64;
        for place in &mut book.places {
            let here = confirmed.iter().filter(|key| **key == place.key).count() as f64;
            place.weight = (place.weight / sum * self.weight_in_leaks + here) / total * sum;
        }
        book
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_data_are_whole() {
        let book = Book::shipped();
        assert_eq!(book.sights.len(), Method::ALL.len());
        assert_eq!(book.reach.len(), 5);
        assert!(book.places.len() > 25);
        assert!((book.explanations.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert!((book.shows.iter().map(|s| s.0).sum::<f64>() - 1.0).abs() < 1e-12);
        assert!((book.shops.iter().map(|shop| shop.share).sum::<f64>() - 1.0).abs() < 1e-12);
        for shop in &book.shops {
            assert_eq!(shop.people.len(), book.people.len());
            assert!((shop.people.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            assert!(shop.reach > 0.0 && shop.reach <= 1.0 && shop.amounts > 0.0);
        }
    }

    #[test]
    fn twenty_logged_leaks_halve_the_starter_belief_and_an_empty_list_gives_it_back() {
        let book = Book::shipped();
        let of = |book: &Book, key: &str| {
            let sum: f64 = book.places.iter().map(|place| place.weight).sum();
            book.places.iter().find(|place| place.key == key).map_or(0.0, |place| place.weight) / sum
        };
        let learnt = book.learnt(&["relief"; 20]);
        assert!((of(&learnt, "coil-face") - of(&book, "coil-face") / 2.0).abs() < 1e-12);
        assert!((of(&learnt, "relief") - (of(&book, "relief") / 2.0 + 0.5)).abs() < 1e-12);
        assert!((of(&book.learnt(&[]), "relief") - of(&book, "relief")).abs() < 1e-15);
    }
}
