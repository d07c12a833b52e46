//! What the record's hold tests of a section say of the places in it.

use crate::visit::Visit;
use crate::visit::proofs;
use diagnosis::search::{Book, Hold, Method, Place, Side};
use field::hold::Verdict;
use record::Body;

/// The parts of a circuit that can be shut in, in the order of the flow.
const FLOW: [&str; 8] =
    ["condenser", "receiver", "drier", "solenoid", "valve", "coil", "suction", "compressor"];

/// Returns the sections that were shut in and watched before anything was mended, with what each could see.
///
/// A hold whose section or volume nobody wrote down says nothing of places, nor does a void one. After a repair a hold
/// speaks of the repair.
pub fn holds(visit: &Visit, places: &[Place], book: &Book) -> Vec<Hold> {
    let sight = book.sight(Method::Isolation);
    let mut out = Vec::new();
    for visit in visit.earlier.iter().chain(core::iter::once(visit)) {
        let mended = visit.current.entries.iter().position(|entry| matches!(entry.what(), Body::Repair(_)));
        let before = &visit.current.entries[..mended.unwrap_or(visit.current.entries.len())];
        for result in proofs::holds(visit) {
            if !before.iter().any(|entry| core::ptr::eq(entry, result.entry)) {
                continue;
            }
            let (Ok(found), Some(section)) = (&result.found, &result.recorded.section) else { continue };
            let inside = inside(places, section);
            let smallest = found.smallest.as_ref().and_then(|leak| leak.refrigerant.as_ref());
            let (Some(smallest), false) = (smallest, inside.is_empty()) else { continue };
            let fell = match &found.verdict {
                Verdict::Void(_) => continue,
                Verdict::Leaking => Some(sight.false_alarm),
                Verdict::TightWithinLimit | Verdict::NotResolved(_) => None,
            };
            let limit = smallest.larger().value().kilogram_per_year();
            out.push(Hold { places: inside, limit, miss: 1.0 - sight.still.mean(), fell });
        }
        if mended.is_some() {
            break;
        }
    }
    out
}

/// Returns the places in a section that is told in words: "the low side", "from one part to another", or a list of parts,
/// which may follow a colon; between parts of a list the flow is followed.
fn inside(places: &[Place], words: &str) -> Vec<usize> {
    let words = words.to_lowercase();
    let of = |belongs: &dyn Fn(&Place) -> bool| -> Vec<usize> {
        places.iter().enumerate().filter(|(_, place)| belongs(place)).map(|(at, _)| at).collect()
    };
    if words.contains("low side") || words.contains("high side") {
        let side = if words.contains("low side") { Side::Low } else { Side::High };
        return of(&|place| place.side == side);
    }
    let stretch = |parts: core::ops::Range<usize>| {
        let parts = FLOW.get(parts).unwrap_or_default();
        of(&|place| parts.contains(&place.part.as_str()))
    };
    let part = |words: &str| -> Vec<usize> {
        let named = |place: &&Place| place.words.iter().any(|word| words.contains(word.as_str()));
        // The longest word wins: a suction service valve is no suction line.
        let longest = |place: &Place| {
            place.words.iter().filter(|word| words.contains(word.as_str())).map(String::len).max()
        };
        let most = places.iter().filter_map(longest).max();
        let mut parts: Vec<usize> = places
            .iter()
            .filter(named)
            .filter(|place| longest(place) == most)
            .filter_map(|place| FLOW.iter().position(|part| *part == place.part))
            .collect();
        parts.sort_unstable();
        parts
    };
    if let Some((_, list)) = words.split_once(':') {
        let parts: Vec<usize> = list.split([',', ';']).flat_map(part).collect();
        return match (parts.iter().min(), parts.iter().max()) {
            (Some(first), Some(last)) => stretch(*first..last + 1),
            _ => Vec::new(),
        };
    }
    if let Some((from, to)) = words.split_once(" to ") {
        return match (part(from).last(), part(to).first()) {
            (Some(from), Some(to)) if from < to => stretch(from + 1..*to),
            _ => Vec::new(),
        };
    }
    let parts: Vec<usize> = words.split([',', ';']).flat_map(part).collect();
    match (parts.iter().min(), parts.iter().max()) {
        (Some(first), Some(last)) => stretch(*first..last + 1),
        _ => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_section_in_words_is_the_parts_between_its_ends() {
        let places = Book::shipped().places;
        let keys = |words: &str| -> Vec<String> {
            inside(&places, words).into_iter().map(|at| places[at].key.clone()).collect()
        };
        let list = keys(
            "receiver outlet to suction service valve: liquid line, drier, solenoid valve, coil, suction line",
        );
        let ends = keys("receiver outlet to suction service valve");
        assert_eq!(list, ends);
        for key in
            ["drier", "glass", "liquid-line", "solenoid-inlet", "valve-inlet", "coil-bends", "suction-line"]
        {
            assert!(ends.contains(&key.to_owned()), "{key}: {ends:?}");
        }
        for key in ["receiver", "suction-service-valve", "condenser-face", "compressor-body"] {
            assert!(!ends.contains(&key.to_owned()), "{key}: {ends:?}");
        }
        assert!(keys("the low side").contains(&"coil-face".to_owned()));
        assert!(keys("what the others said").is_empty());
    }
}
