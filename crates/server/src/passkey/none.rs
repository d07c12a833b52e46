//! A server that was built without passkeys.

use super::{Begun, Made, Takes, Unfit, Used, not_taken};
use crate::problem::Done;
use serde_json::Value;
use store::{Passkey, Person};
use uuid::Uuid;

/// No passkeys.
#[derive(Debug)]
pub struct Passkeys;

impl Passkeys {
    /// Returns that there are none.
    #[must_use]
    pub fn new(_public_url: &str) -> Self {
        Self
    }

    /// Returns that it was built without them.
    #[must_use]
    pub fn takes(&self) -> Takes {
        Takes::NotBuilt
    }

    /// Begins nothing.
    ///
    /// # Errors
    /// Always: none are taken.
    pub fn begin_adding(&self, _: &Person, _: &[Passkey], _: String, _: &str, _: i64) -> Done<Begun> {
        Err(not_taken(self.takes()))
    }

    /// Takes nothing.
    ///
    /// # Errors
    /// Always: none are taken.
    pub fn finish_adding(&self, _: &str, _: Uuid, _: Value, _: i64) -> Done<Made> {
        Err(not_taken(self.takes()))
    }

    /// Begins nothing.
    ///
    /// # Errors
    /// Always: none are taken.
    pub fn begin_sign_in(&self, _: i64) -> Done<Begun> {
        Err(not_taken(self.takes()))
    }

    /// Returns nobody.
    #[must_use]
    pub fn whose(&self, _: &Value) -> Option<Uuid> {
        None
    }

    /// Lets nobody in.
    ///
    /// # Errors
    /// Always: none are taken.
    pub fn finish_sign_in(&self, _: &str, _: Value, _: &[Passkey], _: i64) -> Result<Used, Unfit> {
        Err(Unfit::Refused)
    }
}
