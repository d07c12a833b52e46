//! The place whose law holds, read from the words of the record: "Ontario, Canada", "CA-ON", "Spain".

use rules::Place;

/// What the words say.
#[derive(Clone, Debug, PartialEq)]
pub enum Read {
    /// A place.
    Place(Place),
    /// Two places that are not one inside the other.
    Two(Place, Place),
    /// A name that more than one country has; what to write instead.
    Ambiguous(&'static str),
    /// No place that is known here.
    Unknown,
}

/// Country names, folded, with their ISO 3166-1 code. The codes are from memory; so are those below.
const COUNTRIES: &[(&str, &str)] = &[
    ("canada", "CA"),
    ("united states", "US"),
    ("united states of america", "US"),
    ("usa", "US"),
    ("u s a", "US"),
    ("us", "US"),
    ("u s", "US"),
    ("united kingdom", "GB"),
    ("uk", "GB"),
    ("u k", "GB"),
    ("austria", "AT"),
    ("belgium", "BE"),
    ("bulgaria", "BG"),
    ("croatia", "HR"),
    ("cyprus", "CY"),
    ("czechia", "CZ"),
    ("czech republic", "CZ"),
    ("denmark", "DK"),
    ("estonia", "EE"),
    ("finland", "FI"),
    ("france", "FR"),
    ("germany", "DE"),
    ("greece", "GR"),
    ("hungary", "HU"),
    ("ireland", "IE"),
    ("italy", "IT"),
    ("latvia", "LV"),
    ("lithuania", "LT"),
    ("luxembourg", "LU"),
    ("malta", "MT"),
    ("netherlands", "NL"),
    ("the netherlands", "NL"),
    ("poland", "PL"),
    ("portugal", "PT"),
    ("romania", "RO"),
    ("slovakia", "SK"),
    ("slovenia", "SI"),
    ("spain", "ES"),
    ("espana", "ES"),
    ("sweden", "SE"),
    ("mexico", "MX"),
    ("australia", "AU"),
    ("new zealand", "NZ"),
    ("norway", "NO"),
    ("switzerland", "CH"),
];

/// Names of parts of a country, folded, with the ISO 3166-2 code.
const REGIONS: &[(&str, &str, &str)] = &[
    ("alberta", "CA", "AB"),
    ("british columbia", "CA", "BC"),
    ("manitoba", "CA", "MB"),
    ("new brunswick", "CA", "NB"),
    ("newfoundland and labrador", "CA", "NL"),
    ("northwest territories", "CA", "NT"),
    ("nova scotia", "CA", "NS"),
    ("nunavut", "CA", "NU"),
    ("ontario", "CA", "ON"),
    ("prince edward island", "CA", "PE"),
    ("quebec", "CA", "QC"),
    ("saskatchewan", "CA", "SK"),
    ("yukon", "CA", "YT"),
    ("great britain", "GB", "GBN"),
    ("england", "GB", "ENG"),
    ("scotland", "GB", "SCT"),
    ("wales", "GB", "WLS"),
    ("northern ireland", "GB", "NIR"),
    ("alabama", "US", "AL"),
    ("alaska", "US", "AK"),
    ("arizona", "US", "AZ"),
    ("arkansas", "US", "AR"),
    ("california", "US", "CA"),
    ("colorado", "US", "CO"),
    ("connecticut", "US", "CT"),
    ("delaware", "US", "DE"),
    ("district of columbia", "US", "DC"),
    ("florida", "US", "FL"),
    ("georgia", "US", "GA"),
    ("hawaii", "US", "HI"),
    ("idaho", "US", "ID"),
    ("illinois", "US", "IL"),
    ("indiana", "US", "IN"),
    ("iowa", "US", "IA"),
    ("kansas", "US", "KS"),
    ("kentucky", "US", "KY"),
    ("louisiana", "US", "LA"),
    ("maine", "US", "ME"),
    ("maryland", "US", "MD"),
    ("massachusetts", "US", "MA"),
    ("michigan", "US", "MI"),
    ("minnesota", "US", "MN"),
    ("mississippi", "US", "MS"),
    ("missouri", "US", "MO"),
    ("montana", "US", "MT"),
    ("nebraska", "US", "NE"),
    ("nevada", "US", "NV"),
    ("new hampshire", "US", "NH"),
    ("new jersey", "US", "NJ"),
    ("new mexico", "US", "NM"),
    ("new york", "US", "NY"),
    ("north carolina", "US", "NC"),
    ("north dakota", "US", "ND"),
    ("ohio", "US", "OH"),
    ("oklahoma", "US", "OK"),
    ("oregon", "US", "OR"),
    ("pennsylvania", "US", "PA"),
    ("rhode island", "US", "RI"),
    ("south carolina", "US", "SC"),
    ("south dakota", "US", "SD"),
    ("tennessee", "US", "TN"),
    ("texas", "US", "TX"),
    ("utah", "US", "UT"),
    ("vermont", "US", "VT"),
    ("virginia", "US", "VA"),
    ("washington", "US", "WA"),
    ("washington state", "US", "WA"),
    ("west virginia", "US", "WV"),
    ("wisconsin", "US", "WI"),
    ("wyoming", "US", "WY"),
];

/// Returns the place that the words name.
///
/// Parts stand between commas, semicolons, slashes or brackets. Two letters stand for a part of a country only behind
/// its country's code (`CA-ON`) or beside its name (`ON, Canada`). Parts that name no place here are passed over, as
/// long as one does.
#[must_use]
pub fn read(words: &str) -> Read {
    let parts: Vec<String> =
        words.split([',', ';', '/', '(', ')']).map(folded).filter(|part| !part.is_empty()).collect();
    let mut countries: Vec<&str> = Vec::new();
    let mut regions: Vec<(&str, &str)> = Vec::new();
    for part in &parts {
        if let Some((_, code)) = COUNTRIES.iter().find(|(name, _)| name == part) {
            countries.push(code);
        } else if let Some((_, country, region)) = REGIONS.iter().find(|(name, ..)| name == part) {
            regions.push((country, region));
        } else if let Some((country, region)) = code(part) {
            match region {
                Some(region) => regions.push((country, region)),
                None => countries.push(country),
            }
        }
    }
    // "ON, Canada": two letters count where the country stands beside them.
    if let [country] = countries[..] {
        let short = |part: &String| {
            let upper = part.to_ascii_uppercase();
            REGIONS.iter().find(|(_, c, r)| *c == country && *r == upper).map(|(_, c, r)| (*c, *r))
        };
        regions.extend(parts.iter().filter_map(short));
    }
    regions.sort_unstable();
    regions.dedup();
    countries.sort_unstable();
    countries.dedup();
    // Georgia the state only beside its country; a name like "Washington" has no country of its own.
    if countries.is_empty() && regions == [("US", "GA")] && !words.contains('-') {
        return Read::Ambiguous("Georgia, USA");
    }
    let place = |country: &str, region: Option<&str>| Place {
        country: country.to_owned(),
        region: region.map(str::to_owned),
    };
    match (&countries[..], &regions[..]) {
        ([], []) => Read::Unknown,
        ([country], []) => Read::Place(place(country, None)),
        ([], [(country, region)]) => Read::Place(place(country, Some(region))),
        ([country], [(of, region)]) if country == of => Read::Place(place(country, Some(region))),
        ([country, ..], [(of, region), ..]) => Read::Two(place(country, None), place(of, Some(region))),
        ([one, two, ..], []) => Read::Two(place(one, None), place(two, None)),
        ([], [one, two, ..]) => Read::Two(place(one.0, Some(one.1)), place(two.0, Some(two.1))),
    }
}

/// A code such as `ca on`, `ca` or `uk`, folded; only of places that stand in the lists.
fn code(part: &str) -> Option<(&'static str, Option<&'static str>)> {
    let upper = part.to_ascii_uppercase();
    let mut words = upper.split(' ');
    let (country, region) = (words.next()?, words.next());
    if words.next().is_some() || country.len() != 2 {
        return None;
    }
    let country = if country == "UK" { "GB" } else { country };
    match region {
        Some(region) => {
            REGIONS.iter().find(|(_, c, r)| *c == country && *r == region).map(|(_, c, r)| (*c, Some(*r)))
        }
        // A lone "ca" is Canada by the country code, and California in the mouth of many: it is asked about.
        None if country == "CA" => None,
        None => COUNTRIES.iter().find(|(_, c)| *c == country).map(|(_, c)| (*c, None)),
    }
}

/// Lower case, without accents, with single spaces for everything else.
fn folded(part: &str) -> String {
    let mut out = String::new();
    for c in part.trim().chars() {
        let c = match c {
            'é' | 'è' | 'ê' | 'É' | 'È' => 'e',
            'ñ' | 'Ñ' => 'n',
            'ô' | 'Ô' => 'o',
            c if c.is_alphanumeric() => c.to_lowercase().next().unwrap_or(c),
            _ => ' ',
        };
        if c != ' ' || !(out.is_empty() || out.ends_with(' ')) {
            out.push(c);
        }
    }
    out.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code_of(words: &str) -> String {
        match read(words) {
            Read::Place(place) => place.to_string(),
            other => format!("{other:?}"),
        }
    }

    #[test]
    fn words_and_codes_name_the_same_place() {
        for (words, code) in [
            ("Ontario, Canada", "CA-ON"),
            ("canada / ontario", "CA-ON"),
            ("CA-ON", "CA-ON"),
            ("Toronto, ON, Canada", "CA-ON"),
            ("Québec (Canada)", "CA-QC"),
            ("Quebec", "CA-QC"),
            ("Canada", "CA"),
            ("USA", "US"),
            ("New York, U.S.A.", "US-NY"),
            ("GA, United States", "US-GA"),
            ("España", "ES"),
            ("UK", "GB"),
            ("England", "GB-ENG"),
            ("Northern Ireland, United Kingdom", "GB-NIR"),
            ("fr", "FR"),
        ] {
            assert_eq!(code_of(words), code, "{words}");
        }
    }

    #[test]
    fn what_is_not_sure_is_not_guessed() {
        assert_eq!(read(""), Read::Unknown);
        assert_eq!(read("Narnia"), Read::Unknown);
        // Two letters alone could be anything: Ontario or nothing, Canada or California.
        assert_eq!(read("ON"), Read::Unknown);
        assert_eq!(read("CA"), Read::Unknown);
        assert_eq!(read("Georgia"), Read::Ambiguous("Georgia, USA"));
        assert!(matches!(read("Ontario, Quebec"), Read::Two(..)));
        assert!(matches!(read("Ontario, Spain"), Read::Two(..)));
    }

    #[test]
    fn every_region_stands_under_a_country_of_the_list() {
        for (name, country, region) in REGIONS {
            assert!(COUNTRIES.iter().any(|(_, code)| code == country), "{name}");
            assert_eq!(code_of(&format!("{country}-{region}")), format!("{country}-{region}"));
        }
    }
}
