//! Texts of a request that are kept: what they may be.

use crate::problem::{Done, Problem};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A name: one line of 1 to 100 characters, not beginning with a blank.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(transparent)]
#[schema(
    pattern = r"^[^\u0000-\u0020\u007f-\u009f][^\u0000-\u001f\u007f-\u009f]{0,99}$",
    examples("technician A")
)]
pub struct Name(String);

impl Name {
    /// Returns the name.
    ///
    /// # Errors
    /// It is empty, too long, begins with a blank or has a character that cannot be shown.
    pub fn read(self) -> Done<String> {
        let fault = if self.0.is_empty() {
            "a name is empty"
        } else if self.0.chars().count() > 100 {
            "a name is longer than 100 characters"
        } else if self.0.starts_with(' ') || self.0.chars().any(char::is_control) {
            "a name begins with a blank or has a character that cannot be shown"
        } else {
            return Ok(self.0);
        };
        Err(Problem::unreadable(fault))
    }
}

/// A password: 10 to 200 characters.
#[derive(Clone, Deserialize, ToSchema)]
#[serde(transparent)]
#[schema(min_length = 10, max_length = 200, format = Password, examples("roses in room seven"))]
pub struct Password(String);

impl Password {
    /// Returns the password.
    ///
    /// # Errors
    /// It is too short or too long.
    pub fn read(self) -> Done<String> {
        if (10..=200).contains(&self.0.chars().count()) {
            return Ok(self.0);
        }
        Err(Problem::unreadable("a password has 10 to 200 characters"))
    }
}
