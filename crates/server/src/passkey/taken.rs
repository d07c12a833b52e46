//! A server that takes passkeys.
//!
//! What was begun is held in memory, since it is worth nothing after five minutes; a restart in between means beginning
//! anew. It holds once: whatever comes back ends it.

use super::{Begun, Made, Takes, Unfit, Used, not_taken};
use crate::problem::{Done, Problem};
use crate::secret;
use report::Message;
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use std::time::Duration;
use store::{Passkey as Kept, Person};
use uuid::Uuid;
use webauthn_rs::prelude::{
    DiscoverableAuthentication, DiscoverableKey, Passkey, PasskeyRegistration, PublicKeyCredential,
    RegisterPublicKeyCredential, Url, WebauthnError,
};
use webauthn_rs::{Webauthn, WebauthnBuilder};

/// How long what was begun holds, in milliseconds.
const HOLDS_MS: i64 = 5 * 60_000;
/// The most that is begun at a time: past it a browser is asked to wait.
const BEGUN: usize = 2_000;

/// The passkeys of a shop.
pub struct Passkeys {
    webauthn: Option<Webauthn>,
    begun: Mutex<BTreeMap<String, Waiting>>,
}

struct Waiting {
    until: i64,
    what: What,
}

enum What {
    Adding { person: Uuid, name: String, state: Box<PasskeyRegistration> },
    SignIn(Box<DiscoverableAuthentication>),
}

/// Returns what checks passkeys for an address, where the address can have any.
fn for_address(public_url: &str) -> Option<Webauthn> {
    let url = Url::parse(public_url).ok()?;
    // A passkey names a domain; a number is none (Web Authentication, "relying party identifier"). Browsers hand them out
    // over HTTPS alone, but for the same machine.
    let domain = url.domain()?.to_owned();
    if url.scheme() != "https" && !(url.scheme() == "http" && domain == "localhost") {
        return None;
    }
    let built = WebauthnBuilder::new(&domain, &url);
    built.and_then(|with| with.timeout(Duration::from_millis(HOLDS_MS as u64)).build()).ok()
}

impl Passkeys {
    /// Returns the passkeys of a shop at an address.
    #[must_use]
    pub fn new(public_url: &str) -> Self {
        Self { webauthn: for_address(public_url), begun: Mutex::default() }
    }

    /// Returns whether they are taken.
    #[must_use]
    pub fn takes(&self) -> Takes {
        if self.webauthn.is_some() { Takes::Taken } else { Takes::NoDomain }
    }

    fn webauthn(&self) -> Done<&Webauthn> {
        self.webauthn.as_ref().ok_or_else(|| not_taken(Takes::NoDomain))
    }

    fn hold(&self, what: What, now: i64) -> Done<String> {
        let ceremony = secret::token()?;
        let mut begun = self.begun.lock().unwrap_or_else(PoisonError::into_inner);
        if begun.len() >= BEGUN {
            begun.retain(|_, waiting| waiting.until > now);
            if begun.len() >= BEGUN {
                return Err(Problem::busy());
            }
        }
        begun.insert(ceremony.clone(), Waiting { until: now + HOLDS_MS, what });
        Ok(ceremony)
    }

    fn take(&self, ceremony: &str, now: i64) -> Option<What> {
        let taken = self.begun.lock().unwrap_or_else(PoisonError::into_inner).remove(ceremony)?;
        (taken.until > now).then_some(taken.what)
    }

    /// Begins adding a passkey of a person, by a name; those the person has are not made twice on one key.
    ///
    /// # Errors
    /// None are taken, or too many begin at once.
    pub fn begin_adding(
        &self,
        person: &Person,
        have: &[Kept],
        name: String,
        shop: &str,
        now: i64,
    ) -> Done<Begun> {
        let known = have.iter().filter_map(read).map(|key| key.cred_id().clone()).collect();
        let started =
            self.webauthn()?.start_passkey_registration(person.id, &person.name, &person.name, Some(known));
        let (mut asked, state) = started.map_err(failed)?;
        asked.public_key.rp.name = shop.to_owned();
        // Kept where it is made, so that signing in needs no name typed. The library itself asks for none such.
        let mut options = value(&asked)?;
        options["publicKey"]["authenticatorSelection"]["residentKey"] = "required".into();
        options["publicKey"]["authenticatorSelection"]["requireResidentKey"] = true.into();
        let ceremony = self.hold(What::Adding { person: person.id, name, state: Box::new(state) }, now)?;
        Ok(Begun { ceremony, options })
    }

    /// Returns the passkey that a person's browser made.
    ///
    /// # Errors
    /// It was not begun by this person, too late, or is not what was asked for.
    pub fn finish_adding(&self, ceremony: &str, person: Uuid, credential: Value, now: i64) -> Done<Made> {
        let webauthn = self.webauthn()?;
        let unfit = |why: &dyn std::fmt::Display| {
            tracing::info!(%why, "a passkey was not taken");
            Problem::conflict("passkey-not-made", Message::new("server-passkey-not-made"))
        };
        let Some(What::Adding { person: begun_by, name, state }) = self.take(ceremony, now) else {
            return Err(unfit(&"nothing was begun, or too long ago"));
        };
        if begun_by != person {
            return Err(unfit(&"another person began it"));
        }
        let made: RegisterPublicKeyCredential =
            serde_json::from_value(credential).map_err(|why| Problem::unreadable(why.to_string()))?;
        let key = webauthn.finish_passkey_registration(&made, &state).map_err(|why| unfit(&why))?;
        Ok(Made { name, credential: value(&key)?.to_string() })
    }

    /// Begins signing in; whose passkey it will be is not known yet.
    ///
    /// # Errors
    /// None are taken, or too many begin at once.
    pub fn begin_sign_in(&self, now: i64) -> Done<Begun> {
        let (mut asked, state) = self.webauthn()?.start_discoverable_authentication().map_err(failed)?;
        // The person asked for it by a button; the browser shows its list at once.
        asked.mediation = None;
        let ceremony = self.hold(What::SignIn(Box::new(state)), now)?;
        Ok(Begun { ceremony, options: value(&asked)? })
    }

    /// Returns the person that a browser's answer claims to come from.
    #[must_use]
    pub fn whose(&self, credential: &Value) -> Option<Uuid> {
        let used: PublicKeyCredential = serde_json::from_value(credential.clone()).ok()?;
        self.webauthn.as_ref()?.identify_discoverable_authentication(&used).ok().map(|(person, _)| person)
    }

    /// Returns which of a person's passkeys was used rightly.
    ///
    /// # Errors
    /// None; or its count of uses did not grow.
    pub fn finish_sign_in(
        &self,
        ceremony: &str,
        credential: Value,
        of_person: &[Kept],
        now: i64,
    ) -> Result<Used, Unfit> {
        let unfit = |why: &dyn std::fmt::Display| {
            tracing::info!(%why, "a passkey was refused");
            Unfit::Refused
        };
        let Some(What::SignIn(state)) = self.take(ceremony, now) else {
            return Err(unfit(&"nothing was begun, or too long ago"));
        };
        let webauthn = self.webauthn.as_ref().ok_or(Unfit::Refused)?;
        let used: PublicKeyCredential = serde_json::from_value(credential).map_err(|why| unfit(&why))?;
        let found = of_person.iter().find_map(|kept| {
            let key = read(kept)?;
            let is_it = key.cred_id().as_slice() == used.get_credential_id();
            is_it.then_some((kept, key))
        });
        let Some((kept, mut key)) = found else { return Err(unfit(&"the person has no such passkey")) };
        let checked =
            webauthn.finish_discoverable_authentication_v2(&used, *state, DiscoverableKey::from(&key));
        let result = match checked {
            Ok(result) => result,
            Err(WebauthnError::CredentialPossibleCompromise) => return Err(Unfit::TwiceThere(kept.id)),
            Err(why) => return Err(unfit(&why)),
        };
        if !result.user_verified() {
            return Err(unfit(&"the browser did not check who holds it"));
        }
        key.update_credential(&result);
        let credential = serde_json::to_string(&key).map_err(|why| unfit(&why))?;
        Ok(Used { id: kept.id, seen: kept.credential.clone(), credential })
    }
}

/// Returns the key of a passkey as it was kept; one that cannot be read lets nobody in.
fn read(kept: &Kept) -> Option<Passkey> {
    serde_json::from_str(&kept.credential)
        .inspect_err(|why| tracing::error!(passkey = %kept.id, %why, "a passkey cannot be read"))
        .ok()
}

fn value(of: &impl serde::Serialize) -> Done<Value> {
    serde_json::to_value(of).map_err(failed)
}

fn failed(why: impl std::fmt::Display) -> Problem {
    tracing::error!(%why, "passkeys failed");
    Problem::ours()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_without_a_domain_has_no_passkeys() {
        for (address, takes) in [
            ("https://shop.example", Takes::Taken),
            ("https://shop.example:8470", Takes::Taken),
            ("http://localhost:8470", Takes::Taken),
            ("http://shop.example", Takes::NoDomain),
            ("https://192.0.2.7:8470", Takes::NoDomain),
            ("https://[2001:db8::7]:8470", Takes::NoDomain),
            ("http://127.0.0.1:8470", Takes::NoDomain),
            ("https://", Takes::NoDomain),
        ] {
            assert_eq!(Passkeys::new(address).takes(), takes, "{address}");
        }
    }

    #[test]
    fn what_was_begun_holds_once_and_not_for_long() {
        let passkeys = Passkeys::new("https://shop.example");
        let begun = passkeys.begin_sign_in(1_000).unwrap();
        assert!(passkeys.take(&begun.ceremony, 1_000 + HOLDS_MS - 1).is_some());
        assert!(passkeys.take(&begun.ceremony, 1_000).is_none());
        let begun = passkeys.begin_sign_in(1_000).unwrap();
        assert!(passkeys.take(&begun.ceremony, 1_000 + HOLDS_MS).is_none());
        // However many begin and never end, what is held does not grow without end.
        for _ in 0..BEGUN {
            passkeys.begin_sign_in(1_000).unwrap();
        }
        assert!(passkeys.begin_sign_in(1_001).is_err());
        assert!(passkeys.begin_sign_in(1_000 + HOLDS_MS).is_ok());
    }
}
