//! Reading JSON strictly: no key twice, not too deep, whole.

use serde::de::{DeserializeSeed, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};
use std::fmt;

/// How deep values may lie in each other.
pub const DEPTH: usize = 48;

/// Returns the value that a text is.
///
/// # Errors
/// Says what is wrong and where.
pub fn read(text: &str) -> Result<Value, serde_json::Error> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = Level(0).deserialize(&mut reader)?;
    reader.end()?;
    Ok(value)
}

#[derive(Clone, Copy)]
struct Level(usize);

impl<'de> DeserializeSeed<'de> for Level {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl Level {
    fn deeper<E: serde::de::Error>(self) -> Result<Self, E> {
        if self.0 >= DEPTH {
            return Err(E::custom(format_args!("more than {DEPTH} levels deep")));
        }
        Ok(Level(self.0 + 1))
    }
}

impl<'de> Visitor<'de> for Level {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<Value, E> {
        Number::from_f64(value).map(Value::Number).ok_or_else(|| E::custom("a number that is not finite"))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(value.to_owned()))
    }

    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(Value::String(value))
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        let mut all = Vec::new();
        while let Some(value) = list.next_element_seed(inner)? {
            all.push(value);
        }
        Ok(Value::Array(all))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut object: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        let mut map = Map::new();
        while let Some(key) = object.next_key::<String>()? {
            if map.contains_key(&key) {
                let short: String = key.chars().take(40).collect();
                return Err(A::Error::custom(format_args!("the key \"{short}\" stands twice")));
            }
            let value = object.next_value_seed(inner)?;
            map.insert(key, value);
        }
        Ok(Value::Object(map))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_key_twice_is_refused() {
        assert!(read(r#"{"a":1,"b":{"a":2}}"#).is_ok());
        assert!(read(r#"{"a":1,"b":{"c":2,"c":3}}"#).unwrap_err().to_string().contains("\"c\" stands twice"));
        // The same key written otherwise is the same key.
        assert!(read(r#"{"a":1,"\u0061":2}"#).is_err());
    }

    #[test]
    fn too_deep_is_refused() {
        let nested = |levels: usize| format!("{}{}", "[".repeat(levels), "]".repeat(levels));
        assert!(read(&nested(DEPTH)).is_ok());
        assert!(read(&nested(DEPTH + 1)).is_err());
        assert!(read(&"[".repeat(1_000_000)).is_err());
        assert!(read(&"{\"a\":".repeat(1_000_000)).is_err());
    }

    #[test]
    fn what_follows_is_refused() {
        assert!(read("1 2").is_err());
        assert!(read("").is_err());
    }

    proptest! {
        #[test]
        fn plain_json_reads_as_it_always_does(text in r#"[\[\]{}:,"a-c0-9.eE+\- ]{0,40}"#) {
            let plain = serde_json::from_str::<Value>(&text);
            if let Ok(strict) = read(&text) {
                prop_assert_eq!(strict, plain.unwrap());
            } else if let Ok(value) = plain {
                // Only a key that stands twice parts them at this depth.
                prop_assert!(text.matches(':').count() > 1, "{value}");
            }
        }
    }
}
