//! Passkeys: a browser of the office with a key of software, against the server; and a server without them.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::{Value, json};
use shop::{Folder, Running};
use store::Role;

const FAST: (&str, &str) = ("login-per-minute", "100000");

#[test]
fn a_server_without_a_domain_takes_none_and_says_why() {
    let folder = Folder::new("passkey-none");
    let running = Running::start(folder.path(), &[FAST]);
    let owner = running.person("owner", Role::Owner, Some("roses in room seven"));
    let session = running.session(owner, 60_000);
    let built = cfg!(feature = "passkey");
    let said = running.ask("GET", "/api/v1/passkeys").send().json();
    assert_eq!(said, json!({ "passkeys": if built { "no_domain" } else { "not_built" } }));
    let begin = |path: &str, body: Value| {
        let ask = running.ask("POST", path).header("Cookie", &format!("gastight={session}"));
        ask.header("X-Gastight", "1").json(&body).send()
    };
    let answered = json!({ "ceremony": "x", "credential": {} });
    for (path, body) in [
        ("/api/v1/login/passkey/begin", json!({})),
        ("/api/v1/login/passkey", answered.clone()),
        ("/api/v1/me/passkeys/begin", json!({ "name": "laptop" })),
        ("/api/v1/me/passkeys", answered),
    ] {
        let detail = begin(path, body).problem(404)["detail"].as_str().unwrap().to_owned();
        let word = if built { "--public-url" } else { "built without" };
        assert!(detail.contains(word), "{path}: {detail}");
    }
}

#[cfg(feature = "passkey")]
mod taken {
    use super::*;
    use base64::Engine as _;
    use base64::engine::general_purpose::URL_SAFE_NO_PAD;
    use ring::rand::SystemRandom;
    use ring::signature::{ECDSA_P256_SHA256_ASN1_SIGNING, EcdsaKeyPair, KeyPair as _};
    use sha2::{Digest as _, Sha256};
    use shop::Answer;
    use std::cell::Cell;
    use uuid::Uuid;

    const ORIGIN: &str = "https://shop.example";
    const DOMAIN: &str = "shop.example";
    /// Somebody was there, and was checked (Web Authentication, "authenticator data", flags).
    const CHECKED: u8 = 0b0000_0101;
    const THERE: u8 = 0b0000_0001;
    const WITH_KEY: u8 = 0b0100_0000;

    fn base64(bytes: &[u8]) -> String {
        URL_SAFE_NO_PAD.encode(bytes)
    }

    /// A key of software that does what Web Authentication asks of an authenticator and of the browser before it. Its
    /// fields can be set to lie.
    struct Key {
        pair: EcdsaKeyPair,
        id: Vec<u8>,
        handle: String,
        uses: Cell<u32>,
        flags: u8,
        origin: &'static str,
        domain: &'static str,
    }

    impl Key {
        fn new(handle: Uuid) -> Self {
            let random = SystemRandom::new();
            let pkcs8 = EcdsaKeyPair::generate_pkcs8(&ECDSA_P256_SHA256_ASN1_SIGNING, &random).unwrap();
            let pair =
                EcdsaKeyPair::from_pkcs8(&ECDSA_P256_SHA256_ASN1_SIGNING, pkcs8.as_ref(), &random).unwrap();
            let id = Sha256::digest(pair.public_key().as_ref()).to_vec();
            Key {
                pair,
                id,
                handle: base64(handle.as_bytes()),
                uses: Cell::new(1),
                flags: CHECKED,
                origin: ORIGIN,
                domain: DOMAIN,
            }
        }

        fn client_data(&self, kind: &str, options: &Value) -> Vec<u8> {
            let challenge = &options["publicKey"]["challenge"];
            let data =
                json!({ "type": kind, "challenge": challenge, "origin": self.origin, "crossOrigin": false });
            data.to_string().into_bytes()
        }

        fn authenticator_data(&self, more: u8) -> Vec<u8> {
            let mut data = Sha256::digest(self.domain).to_vec();
            data.push(self.flags | more);
            data.extend(self.uses.get().to_be_bytes());
            data
        }

        /// Makes the credential that was asked for.
        fn make(&self, options: &Value) -> Value {
            let mut data = self.authenticator_data(WITH_KEY);
            data.extend([0; 16]);
            data.extend(u16::try_from(self.id.len()).unwrap().to_be_bytes());
            data.extend(&self.id);
            // The public key as COSE (RFC 9053): EC2, ES256, P-256, x, y; ring gives 04, x, y.
            let point = self.pair.public_key().as_ref();
            data.extend([0xa5, 0x01, 0x02, 0x03, 0x26, 0x20, 0x01, 0x21, 0x58, 0x20]);
            data.extend(&point[1..33]);
            data.extend([0x22, 0x58, 0x20]);
            data.extend(&point[33..]);
            // CBOR: { "fmt": "none", "attStmt": {}, "authData": data }
            let mut object = b"\xa3\x63fmt\x64none\x67attStmt\xa0\x68authData\x58".to_vec();
            object.push(u8::try_from(data.len()).unwrap());
            object.extend(data);
            json!({
                "id": base64(&self.id), "rawId": base64(&self.id), "type": "public-key",
                "clientExtensionResults": {}, "authenticatorAttachment": "platform",
                "response": {
                    "clientDataJSON": base64(&self.client_data("webauthn.create", options)),
                    "attestationObject": base64(&object), "transports": ["internal"],
                },
            })
        }

        /// Signs what was asked for; the count of uses grows.
        fn sign(&self, options: &Value) -> Value {
            self.uses.set(self.uses.get() + 1);
            self.sign_again(options)
        }

        /// Signs without counting, as a copy of the key would.
        fn sign_again(&self, options: &Value) -> Value {
            let client = self.client_data("webauthn.get", options);
            let data = self.authenticator_data(0);
            let signed = [data.clone(), Sha256::digest(&client).to_vec()].concat();
            let signature = self.pair.sign(&SystemRandom::new(), &signed).unwrap();
            json!({
                "id": base64(&self.id), "rawId": base64(&self.id), "type": "public-key",
                "clientExtensionResults": {}, "authenticatorAttachment": "platform",
                "response": {
                    "clientDataJSON": base64(&client), "authenticatorData": base64(&data),
                    "signature": base64(signature.as_ref()), "userHandle": self.handle,
                },
            })
        }
    }

    fn start(folder: &Folder) -> Running {
        Running::start(folder.path(), &[FAST, ("public-url", ORIGIN)])
    }

    /// A browser of the office, signed in.
    struct Browser<'a> {
        running: &'a Running,
        cookie: String,
    }

    impl<'a> Browser<'a> {
        fn new(running: &'a Running, person: Uuid) -> Self {
            let cookie = format!("__Host-gastight={}", running.session(person, 600_000));
            Self { running, cookie }
        }

        fn ask(&self, method: &str, path: &str, body: &Value) -> Answer {
            let ask = self.running.ask(method, path).header("Cookie", &self.cookie).header("X-Gastight", "1");
            if body.is_null() { ask.send() } else { ask.json(body).send() }
        }

        fn begin(&self, name: &str) -> Value {
            let begun = self.ask("POST", "/api/v1/me/passkeys/begin", &json!({ "name": name }));
            assert_eq!(begun.status, 200, "{}", begun.text());
            begun.json()
        }

        fn finish(&self, begun: &Value, credential: Value) -> Answer {
            let body = json!({ "ceremony": begun["ceremony"], "credential": credential });
            self.ask("POST", "/api/v1/me/passkeys", &body)
        }

        fn add(&self, key: &Key, name: &str) -> Value {
            let begun = self.begin(name);
            let added = self.finish(&begun, key.make(&begun["options"]));
            assert_eq!(added.status, 201, "{}", added.text());
            added.json()
        }

        fn rows(&self) -> Value {
            self.ask("GET", "/api/v1/me/passkeys", &Value::Null).json()["rows"].clone()
        }
    }

    fn begin(running: &Running) -> Value {
        let begun = running.ask("POST", "/api/v1/login/passkey/begin").send();
        assert_eq!(begun.status, 200, "{}", begun.text());
        begun.json()
    }

    fn finish(running: &Running, begun: &Value, credential: &Value) -> Answer {
        let body = json!({ "ceremony": begun["ceremony"], "credential": credential });
        running.ask("POST", "/api/v1/login/passkey").json(&body).send()
    }

    fn sign_in(running: &Running, key: &Key) -> Answer {
        let begun = begin(running);
        finish(running, &begun, &key.sign(&begun["options"]))
    }

    /// Returns the newest of the audit: what, of what, anything else.
    fn audited(running: &Running) -> (String, Option<String>, Option<String>) {
        // Refusals are written down soon, not at once.
        for _ in 0..200 {
            let newest = running.store.audits(None, 1).unwrap().pop();
            if let Some(one) = newest.filter(|one| one.what == "login.refused") {
                return (one.what, one.on, one.detail);
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        panic!("no refusal was written down");
    }

    #[test]
    fn a_person_of_the_office_adds_one_signs_in_with_it_and_removes_it() {
        let folder = Folder::new("passkey-way");
        let running = start(&folder);
        assert_eq!(running.ask("GET", "/api/v1/passkeys").send().json(), json!({ "passkeys": "taken" }));
        let person = running.person("office", Role::Office, Some("roses in room seven"));
        let browser = Browser::new(&running, person);
        assert_eq!(browser.rows(), json!([]));
        let begun = browser.begin("laptop");
        let options = &begun["options"]["publicKey"];
        assert_eq!(options["rp"], json!({ "id": DOMAIN, "name": "The shop" }));
        assert_eq!(options["user"]["id"], base64(person.as_bytes()));
        assert_eq!(options["authenticatorSelection"]["residentKey"], "required");
        assert_eq!(options["authenticatorSelection"]["userVerification"], "required");
        let key = Key::new(person);
        let added = browser.finish(&begun, key.make(&begun["options"]));
        assert_eq!(added.status, 201, "{}", added.text());
        let row = added.json();
        assert_eq!((&row["name"], row.get("used")), (&json!("laptop"), None));
        assert_eq!(browser.rows(), json!([row]));
        // A second one is asked for with the first named, so that one key is not made twice.
        let excluded = &browser.begin("other")["options"]["publicKey"]["excludeCredentials"];
        assert_eq!(excluded[0]["id"], base64(&key.id));
        // In, without a name typed, and with the cookie that the password gives.
        let begun = begin(&running);
        assert!(begun["options"].get("mediation").is_none_or(Value::is_null));
        assert_eq!(begun["options"]["publicKey"]["rpId"], DOMAIN);
        let inside = finish(&running, &begun, &key.sign(&begun["options"]));
        assert_eq!(inside.status, 200, "{}", inside.text());
        assert_eq!(inside.json()["name"], "office");
        let cookie = inside.header("set-cookie").unwrap();
        let by_password = running
            .ask("POST", "/api/v1/login")
            .json(&json!({ "name": "office", "password": "roses in room seven" }))
            .send();
        let after = |cookie: &str| cookie.split_once(';').unwrap().1.to_owned();
        assert_eq!(after(cookie), after(by_password.header("set-cookie").unwrap()));
        assert!(cookie.starts_with("__Host-gastight=") && cookie.contains("HttpOnly"), "{cookie}");
        let cookie = cookie.split(';').next().unwrap();
        let me = running.ask("GET", "/api/v1/me").header("Cookie", cookie).send();
        assert_eq!(me.json()["id"], json!(person));
        assert!(browser.rows()[0]["used"].as_i64().is_some());
        let kept = running.store.passkeys(person).unwrap().remove(0);
        let kept: Value = serde_json::from_str(&kept.credential).unwrap();
        assert_eq!(kept["cred"]["counter"], 2, "{kept}");
        // What is removed lets nobody in; the password does.
        let path = format!("/api/v1/me/passkeys/{}", row["id"].as_str().unwrap());
        assert_eq!(browser.ask("DELETE", &path, &Value::Null).status, 204);
        browser.ask("DELETE", &path, &Value::Null).problem(404);
        sign_in(&running, &key).problem(401);
        let done: Vec<String> =
            running.store.audits(None, 20).unwrap().into_iter().map(|one| one.what).collect();
        for what in ["passkey.add", "passkey.remove", "login"] {
            assert!(done.iter().any(|one| one == what), "{what} in {done:?}");
        }
        let by_passkey = running.store.audits(None, 20).unwrap().into_iter().any(|one| {
            one.what == "login" && one.detail == Some(format!("passkey {}", row["id"].as_str().unwrap()))
        });
        assert!(by_passkey);
    }

    #[test]
    fn a_session_that_was_there_before_ends() {
        let folder = Folder::new("passkey-before");
        let running = start(&folder);
        let person = running.person("owner", Role::Owner, None);
        let browser = Browser::new(&running, person);
        let key = Key::new(person);
        browser.add(&key, "laptop");
        let begun = begin(&running);
        let body = json!({ "ceremony": begun["ceremony"], "credential": key.sign(&begun["options"]) });
        assert_eq!(browser.ask("POST", "/api/v1/login/passkey", &body).status, 200);
        browser.ask("GET", "/api/v1/me", &Value::Null).problem(401);
    }

    #[test]
    fn what_does_not_hold_lets_nobody_in_and_all_are_told_the_same() {
        let folder = Folder::new("passkey-refused");
        let running = start(&folder);
        let person = running.person("owner", Role::Owner, None);
        let browser = Browser::new(&running, person);
        let mut key = Key::new(person);
        browser.add(&key, "laptop");
        assert_eq!(sign_in(&running, &key).status, 200);
        let mut said = Vec::new();
        let mut refused = |what: &str, answer: Answer| {
            assert!(answer.header("set-cookie").is_none(), "{what}");
            assert_eq!(answer.status, 401, "{what}: {}", answer.text());
            said.push(answer.problem(401));
        };
        key.origin = "https://shop.example.other.example";
        refused("another page", sign_in(&running, &key));
        key.origin = ORIGIN;
        key.domain = "other.example";
        refused("another domain", sign_in(&running, &key));
        key.domain = DOMAIN;
        key.flags = THERE;
        refused("nobody was checked", sign_in(&running, &key));
        key.flags = CHECKED;
        let begun = begin(&running);
        let mut forged = key.sign(&begun["options"]);
        forged["response"]["signature"] =
            Key::new(person).sign(&begun["options"])["response"]["signature"].take();
        refused("another key's signature", finish(&running, &begun, &forged));
        let first = begin(&running);
        let good = key.sign(&first["options"]);
        refused("another beginning", finish(&running, &begin(&running), &good));
        refused("no beginning", finish(&running, &json!({ "ceremony": "x" }), &good));
        refused("a beginning to add", finish(&running, &browser.begin("x"), &good));
        refused("no credential", finish(&running, &begin(&running), &json!({ "id": [1] })));
        let stranger = Key::new(Uuid::from_u128(9));
        refused("a stranger", sign_in(&running, &stranger));
        let unknown = Key::new(person);
        refused("a key that was never added", sign_in(&running, &unknown));
        let taken = finish(&running, &first, &good);
        assert_eq!(taken.status, 200, "the right one still: {}", taken.text());
        refused("the same answer twice", finish(&running, &first, &good));
        // A copy of the key gives itself away: its count does not grow.
        let begun = begin(&running);
        refused("a copy", finish(&running, &begun, &key.sign_again(&begun["options"])));
        assert!(said.windows(2).all(|two| two[0] == two[1]), "{said:#?}");
        let (_, on, detail) = audited(&running);
        assert_eq!(on.as_deref(), Some("owner"));
        assert!(detail.is_some_and(|detail| detail.contains("did not grow")));
        assert_eq!(sign_in(&running, &key).status, 200);
    }

    #[test]
    fn who_left_or_is_no_longer_of_the_office_is_not_let_in() {
        let folder = Folder::new("passkey-left");
        let running = start(&folder);
        let owner = running.person("owner", Role::Owner, None);
        let owner_phone = running.device(owner, "owner's phone").0;
        let person = running.person("office", Role::Office, Some("roses in room seven"));
        let key = Key::new(person);
        Browser::new(&running, person).add(&key, "laptop");
        let change = |body: Value| {
            let ask = running.ask("PATCH", &format!("/api/v1/people/{person}")).token(&owner_phone);
            assert_eq!(ask.json(&body).send().status, 200);
        };
        change(json!({ "role": "technician" }));
        sign_in(&running, &key).problem(401);
        change(json!({ "role": "office" }));
        assert_eq!(sign_in(&running, &key).status, 200);
        // A new password takes the passkeys: who had the old one may have added some.
        change(json!({ "password": "another long one" }));
        sign_in(&running, &key).problem(401);
        assert_eq!(running.store.passkeys(person).unwrap(), []);
        let key = Key::new(person);
        let browser = Browser::new(&running, person);
        browser.add(&key, "laptop");
        change(json!({ "active": false }));
        sign_in(&running, &key).problem(401);
        change(json!({ "active": true }));
        sign_in(&running, &key).problem(401);
    }

    #[test]
    fn one_is_added_by_its_own_person_in_a_browser_of_our_page_alone() {
        let folder = Folder::new("passkey-whose");
        let running = start(&folder);
        let (owner, office) =
            (running.person("owner", Role::Owner, None), running.person("office", Role::Office, None));
        let (first, second) = (Browser::new(&running, owner), Browser::new(&running, office));
        let key = Key::new(owner);
        let begun = first.begin("laptop");
        let problem = second.finish(&begun, key.make(&begun["options"])).problem(409);
        assert_eq!(problem["type"], "/problems/passkey-not-made");
        // It was used up by that.
        first.finish(&begun, key.make(&begun["options"])).problem(409);
        let row = first.add(&key, "laptop");
        let path = format!("/api/v1/me/passkeys/{}", row["id"].as_str().unwrap());
        second.ask("DELETE", &path, &Value::Null).problem(404);
        assert_eq!((first.rows().as_array().unwrap().len(), second.rows()), (1, json!([])));
        // Made on another page, or without checking who holds it.
        let mut key = Key::new(owner);
        key.origin = "https://other.example";
        let begun = first.begin("elsewhere");
        first.finish(&begun, key.make(&begun["options"])).problem(409);
        (key.origin, key.flags) = (ORIGIN, THERE);
        let begun = first.begin("unchecked");
        first.finish(&begun, key.make(&begun["options"])).problem(409);
        // A name is one, as everywhere.
        first.ask("POST", "/api/v1/me/passkeys/begin", &json!({ "name": "" })).problem(400);
        // Not with a phone's token, not without our page's header, not by a technician, not by nobody.
        let phone = running.device(owner, "owner's phone").0;
        let technician = running.person("technician A", Role::Technician, Some("roses in room seven"));
        let third = Browser::new(&running, technician);
        for (method, path, body) in [
            ("GET", "/api/v1/me/passkeys", Value::Null),
            ("POST", "/api/v1/me/passkeys/begin", json!({ "name": "phone" })),
            ("POST", "/api/v1/me/passkeys", json!({ "ceremony": "x", "credential": {} })),
            ("DELETE", path.as_str(), Value::Null),
        ] {
            let ask = || {
                let ask = running.ask(method, path);
                if body.is_null() { ask } else { ask.json(&body) }
            };
            let said = ask().token(&phone).send().problem(403);
            assert!(said["detail"].as_str().unwrap().contains("browser"), "{said}");
            third.ask(method, path, &body).problem(403);
            ask().send().problem(401);
            if method != "GET" {
                ask().header("Cookie", &first.cookie).send().problem(403);
            }
        }
        assert_eq!(first.rows().as_array().unwrap().len(), 1);
        // Not without end.
        for number in 2..=server::passkey::MOST {
            first.add(&Key::new(owner), &format!("key {number}"));
        }
        let full =
            first.ask("POST", "/api/v1/me/passkeys/begin", &json!({ "name": "one more" })).problem(409);
        assert_eq!(full["type"], "/problems/passkey-enough");
    }

    #[test]
    fn tries_are_counted_with_those_of_the_password() {
        let folder = Folder::new("passkey-limit");
        let running = Running::start(folder.path(), &[("login-per-minute", "4"), ("public-url", ORIGIN)]);
        let key = Key::new(Uuid::from_u128(9));
        sign_in(&running, &key).problem(401);
        sign_in(&running, &key).problem(401);
        let ask = running.ask("POST", "/api/v1/login/passkey/begin").send();
        ask.problem(429);
        assert!(ask.header("retry-after").is_some());
        let login = running.ask("POST", "/api/v1/login").json(&json!({ "name": "x", "password": "y" }));
        login.send().problem(429);
    }

    #[test]
    fn what_was_added_is_there_after_a_restart() {
        let folder = Folder::new("passkey-restart");
        let running = start(&folder);
        let person = running.person("owner", Role::Owner, None);
        let key = Key::new(person);
        Browser::new(&running, person).add(&key, "laptop");
        running.end();
        let running = start(&folder);
        assert_eq!(sign_in(&running, &key).status, 200);
    }
}
