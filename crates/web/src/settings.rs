//! What a person has set: theme, language, units, the own name.

use crate::browser::{document, early, keep_early, window};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use units::{MassUnit, PressureUnit, SizeUnit, TemperatureUnit, Writer};

/// The two themes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Theme {
    /// Light, for the roof.
    Sun,
    /// Dark, for plant rooms.
    Plant,
}

impl Theme {
    /// Returns the theme's name, as the style sheet knows it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Theme::Sun => "sun",
            Theme::Plant => "plant",
        }
    }

    /// Returns the theme that the system asks for.
    #[must_use]
    pub fn of_system() -> Theme {
        let dark = window().match_media("(prefers-color-scheme: dark)").ok().flatten();
        if dark.is_some_and(|query| query.matches()) { Theme::Plant } else { Theme::Sun }
    }
}

/// What a person has set. What is absent was never set.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// The theme.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub theme: Option<Theme>,
    /// The language, as a tag.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub language: Option<String>,
    /// The name of who makes the entries on this phone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Whether the decimal mark is a comma.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decimal_comma: Option<bool>,
    /// Whether the finds on this phone teach where to look; where nobody chose, they do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub learns: Option<bool>,
    /// The shop's price list, as its file was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prices: Option<String>,
    /// The van's own log, once something was counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub van: Option<uuid::Uuid>,
    /// The unit last used, by quantity.
    pub units: BTreeMap<String, String>,
    /// The instruments last used, by what they are for.
    pub instruments: BTreeMap<String, String>,
}

impl Settings {
    /// Returns the theme to show: the person's, else the system's.
    #[must_use]
    pub fn theme(&self) -> Theme {
        self.theme.unwrap_or_else(Theme::of_system)
    }

    /// Returns the language to speak: the person's, else the browser's.
    #[must_use]
    pub fn language(&self) -> String {
        match &self.language {
            Some(language) => language.clone(),
            None => browser_language(),
        }
    }

    /// Returns whether numbers have a decimal comma: as set, else as the language has it.
    #[must_use]
    pub fn decimal_comma(&self) -> bool {
        self.decimal_comma.unwrap_or_else(|| self.language().to_lowercase().starts_with("fr"))
    }

    /// Returns the units and the decimal mark to write with: those last used, else those of the place.
    #[must_use]
    pub fn writer(&self) -> Writer {
        let mut writer = if customary() { Writer::us() } else { Writer::metric() };
        writer.decimal_comma = self.decimal_comma();
        let used = |quantity: &str| self.units.get(quantity).map(|unit| unit.to_lowercase());
        if let Some(unit) = used("temperature") {
            let fahrenheit = unit.contains('f');
            writer.temperature =
                if fahrenheit { TemperatureUnit::Fahrenheit } else { TemperatureUnit::Celsius };
        }
        if let Some(unit) = used("pressure") {
            writer.pressure = match unit.as_str() {
                _ if unit.starts_with("psi") || unit.starts_with("inhg") => PressureUnit::Psi,
                _ if unit.starts_with("bar") => PressureUnit::Bar,
                _ => PressureUnit::Kilopascal,
            };
        }
        if let Some(unit) = used("mass") {
            let pound = unit.contains("lb") || unit.contains("oz");
            writer.mass = if pound { MassUnit::PoundOunce } else { MassUnit::Kilogram };
        }
        if let Some(unit) = used("length") {
            let metric = unit == "m" || unit == "mm";
            writer.size = if metric { SizeUnit::Metric } else { SizeUnit::Customary };
        }
        writer
    }

    /// Sets what the page itself shows of the settings, and what is needed before the store is open.
    pub fn show(&self, language: &str) {
        if let Some(root) = document().document_element() {
            // Attributes of the root always take a text.
            let _ = root.set_attribute("data-theme", self.theme().name());
            let _ = root.set_attribute("lang", language);
        }
        keep_early("theme", self.theme.map(Theme::name));
        keep_early("language", self.language.as_deref());
    }

    /// Returns the settings as far as they are known before the store is open.
    #[must_use]
    pub fn early() -> Settings {
        let theme = match early("theme").as_deref() {
            Some("sun") => Some(Theme::Sun),
            Some("plant") => Some(Theme::Plant),
            _ => None,
        };
        Settings { theme, language: early("language"), ..Settings::default() }
    }
}

fn browser_language() -> String {
    window().navigator().language().unwrap_or_else(|| "en".to_owned())
}

/// Returns whether technicians of the place read psig and °F. Both are read everywhere; this only chooses the first.
fn customary() -> bool {
    let language = browser_language();
    language.ends_with("-US") || language.ends_with("-CA")
}
