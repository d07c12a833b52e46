//! Days in kept summaries: as `2031-05-06`.

/// A day that may be absent.
pub(super) mod some {
    use serde::{Deserialize, Deserializer, Serializer};
    use units::Date;

    /// Writes the day.
    #[allow(clippy::ref_option)]
    pub fn serialize<S: Serializer>(day: &Option<Date>, to: S) -> Result<S::Ok, S::Error> {
        match day {
            Some(day) => to.collect_str(day),
            None => to.serialize_none(),
        }
    }

    /// Reads the day.
    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Date>, D::Error> {
        let text = Option::<String>::deserialize(from)?;
        text.map(|text| text.parse().map_err(|_| serde::de::Error::custom("not a day"))).transpose()
    }
}
