//! What an entry is about, written so that it can stand in an address: it survives a killed tab.

use job::stage::Offer;
use uuid::Uuid;

/// What an entry being made is about.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct About {
    /// The paths that are asked first.
    pub ask: Vec<String>,
    /// What is already known: path and text.
    pub preset: Vec<(String, String)>,
    /// The entry that it adds to or corrects.
    pub onto: Option<Uuid>,
    /// The picture that is typed up by it.
    pub picture: Option<Uuid>,
}

impl About {
    /// Returns what an offer of a stage is about.
    pub fn of(offer: &Offer) -> About {
        About { ask: offer.ask.clone(), preset: offer.preset.clone(), onto: offer.onto, picture: None }
    }

    /// Returns it as one word of an address; nothing where there is nothing to say.
    pub fn written(&self) -> Option<String> {
        let mut parts: Vec<String> = Vec::new();
        let mut put = |key: &str, value: &str| parts.push(format!("{}={}", escape(key), escape(value)));
        for path in &self.ask {
            put("ask", path);
        }
        for (path, text) in &self.preset {
            put(&format!("is.{path}"), text);
        }
        if let Some(onto) = self.onto {
            put("onto", &onto.to_string());
        }
        if let Some(picture) = self.picture {
            put("picture", &picture.to_string());
        }
        (!parts.is_empty()).then(|| parts.join(";"))
    }

    /// Reads what [`About::written`] wrote; what it does not know is left out.
    pub fn read(word: &str) -> About {
        let mut about = About::default();
        for part in word.split(';') {
            let Some((key, value)) = part.split_once('=') else { continue };
            let (key, value) = (unescape(key), unescape(value));
            match key.as_str() {
                "ask" => about.ask.push(value),
                "onto" => about.onto = value.parse().ok(),
                "picture" => about.picture = value.parse().ok(),
                _ => {
                    if let Some(path) = key.strip_prefix("is.") {
                        about.preset.push((path.to_owned(), value));
                    }
                }
            }
        }
        about
    }
}

/// Writes the signs that part words as their codes.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '~' | ';' | '=' | '/' => out.push_str(&format!("~{:02x}", c as u32)),
            c => out.push(c),
        }
    }
    out
}

fn unescape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('~') {
        out.push_str(&rest[..at]);
        let code = rest.get(at + 1..at + 3).and_then(|code| u32::from_str_radix(code, 16).ok());
        match code.and_then(char::from_u32) {
            Some(c) => {
                out.push(c);
                rest = &rest[at + 3..];
            }
            None => {
                out.push('~');
                rest = &rest[at + 1..];
            }
        }
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_an_entry_is_about_comes_back_from_its_word() {
        let about = About {
            ask: vec!["end.pressure".into(), "must[1]".into()],
            preset: vec![
                ("place".into(), "roof; unit=2 / west ~3".into()),
                ("cylinder".into(), "Nº 3".into()),
            ],
            onto: Some(Uuid::from_u128(9)),
            picture: Some(Uuid::from_u128(10)),
        };
        assert_eq!(about.written().map(|word| About::read(&word)), Some(about));
        assert_eq!(About::default().written(), None);
    }

    #[test]
    fn a_word_nobody_wrote_is_about_nothing() {
        assert_eq!(About::read("~;~zz=~4;onto=none;=;"), About::default());
    }
}
