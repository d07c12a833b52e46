//! People, devices, codes, sessions, the audit, settings.

use super::*;
use store::{Audit, Device, Pairing, Passkey, Person, Role, Session};

fn person(number: u128, name: &str, role: Role) -> Person {
    Person { id: id(number), name: name.to_owned(), role, password: None, active: true, created: NOW }
}

fn device(number: u128, person: u128) -> Device {
    Device {
        id: id(number),
        person: id(person),
        name: format!("phone {number}"),
        token: [number as u8; 32],
        created: NOW,
        seen: None,
        revoked: None,
    }
}

pub fn people_have_names_of_their_own(store: &dyn Store) {
    let owner = Person { password: Some("$argon2id$x".to_owned()), ..person(1, "Owner A", Role::Owner) };
    store.put_person(&owner).unwrap();
    store.put_person(&person(2, "Technician B", Role::Technician)).unwrap();
    assert_eq!(store.person(id(1)).unwrap(), Some(owner.clone()));
    assert_eq!(store.person_named("  owner   a ").unwrap(), Some(owner.clone()));
    let taken = store.put_person(&person(3, "OWNER A", Role::Office));
    assert_eq!(taken, Err(Error::NameTaken { name: "OWNER A".to_owned() }));
    let renamed = Person { name: "Owner Z".to_owned(), active: false, ..owner };
    store.put_person(&renamed).unwrap();
    assert_eq!(store.people().unwrap(), [renamed, person(2, "Technician B", Role::Technician)]);
    assert_eq!(store.counts().unwrap().people, 1);
    assert!(store.person(id(9)).unwrap().is_none() && store.person_named("nobody").unwrap().is_none());
}

pub fn a_revoked_device_stays_known(store: &dyn Store) {
    store.put_device(&device(5, 2)).unwrap();
    store.put_device(&device(6, 2)).unwrap();
    assert_eq!(store.device_with(&[5; 32]).unwrap(), Some(device(5, 2)));
    assert!(store.device_with(&[7; 32]).unwrap().is_none());
    store.device_seen(id(5), NOW + 10).unwrap();
    store.device_seen(id(5), NOW + 4).unwrap();
    assert!(store.revoke_device(id(5), NOW + 20).unwrap());
    assert!(!store.revoke_device(id(5), NOW + 30).unwrap());
    assert!(!store.revoke_device(id(50), NOW).unwrap());
    let known = store.device(id(5)).unwrap().unwrap();
    assert_eq!((known.seen, known.revoked), (Some(NOW + 10), Some(NOW + 20)));
    assert_eq!((store.devices().unwrap().len(), store.counts().unwrap().devices), (2, 1));
}

pub fn a_pairing_code_works_once(store: &dyn Store) {
    let code = Pairing { code: [1; 32], person: id(2), expires: NOW + 100 };
    store.put_pairing(&code).unwrap();
    assert_eq!(store.take_pairing(&[2; 32], NOW).unwrap(), None);
    assert_eq!(store.take_pairing(&[1; 32], NOW + 99).unwrap(), Some(id(2)));
    assert_eq!(store.take_pairing(&[1; 32], NOW + 99).unwrap(), None);
    store.put_pairing(&code).unwrap();
    assert_eq!(store.take_pairing(&[1; 32], NOW + 100).unwrap(), None);
    // Of many who try at once one succeeds.
    store.put_pairing(&code).unwrap();
    let taken: usize = std::thread::scope(|scope| {
        let all: Vec<_> =
            (0..8).map(|_| scope.spawn(|| store.take_pairing(&[1; 32], NOW).unwrap())).collect();
        all.into_iter().filter_map(|one| one.join().unwrap()).count()
    });
    assert_eq!(taken, 1);
}

pub fn sessions_end(store: &dyn Store) {
    let session = |number: u8, person| Session {
        token: [number; 32],
        person: id(person),
        created: NOW,
        expires: NOW + 1_000 * i64::from(number),
    };
    for number in 1..=4 {
        store.put_session(&session(number, if number < 3 { 1 } else { 2 })).unwrap();
    }
    assert_eq!(store.session(&[1; 32], NOW).unwrap(), Some(session(1, 1)));
    assert_eq!(store.session(&[1; 32], NOW + 1_000).unwrap(), None);
    assert!(store.end_session(&[2; 32]).unwrap() && !store.end_session(&[2; 32]).unwrap());
    assert_eq!(store.end_sessions_of(id(2)).unwrap(), 2);
    store.put_pairing(&Pairing { code: [1; 32], person: id(2), expires: NOW }).unwrap();
    assert_eq!(store.forget_expired(NOW + 1_000).unwrap(), 2);
}

pub fn a_passkey_is_used_by_one_at_a_time(store: &dyn Store) {
    let passkey = |number: u128, person, at| Passkey {
        id: id(number),
        person: id(person),
        name: format!("laptop {number}"),
        credential: r#"{"counter":1}"#.to_owned(),
        created: NOW + at,
        used: None,
    };
    for (number, person, at) in [(70, 1, 5), (71, 1, 0), (72, 2, 0)] {
        store.put_passkey(&passkey(number, person, at)).unwrap();
    }
    assert_eq!(store.passkeys(id(1)).unwrap(), [passkey(71, 1, 0), passkey(70, 1, 5)]);
    let (one, two) = (r#"{"counter":1}"#, r#"{"counter":2}"#);
    // Of many uses that saw the same credential one counts.
    let counted: usize = std::thread::scope(|scope| {
        let all: Vec<_> =
            (0..8).map(|_| scope.spawn(|| store.use_passkey(id(70), one, two, NOW + 9).unwrap())).collect();
        all.into_iter().map(|one| usize::from(one.join().unwrap())).sum()
    });
    assert_eq!(counted, 1);
    let kept = store.passkeys(id(1)).unwrap().remove(1);
    assert_eq!((kept.credential.as_str(), kept.used), (two, Some(NOW + 9)));
    // Nobody takes away what is another's.
    assert!(!store.remove_passkey(id(2), id(70)).unwrap());
    assert!(store.remove_passkey(id(1), id(70)).unwrap());
    assert!(!store.use_passkey(id(70), two, two, NOW).unwrap(), "gone");
    assert_eq!(store.remove_passkeys_of(id(1)).unwrap(), 1);
    assert_eq!(store.passkeys(id(2)).unwrap(), [passkey(72, 2, 0)]);
}

pub fn the_audit_only_grows(store: &dyn Store) {
    let entry = |what: &str| Audit {
        at: NOW,
        person: Some(id(1)),
        what: what.to_owned(),
        on: Some(id(100).to_string()),
        detail: Some("a zero \0 in it".to_owned()),
        ..Audit::default()
    };
    store.audit(&[entry("report.read"), entry("device.revoked")]).unwrap();
    store.audit(&[Audit { at: NOW, what: "login.failed".to_owned(), ..Audit::default() }]).unwrap();
    store.audit(&[]).unwrap();
    let all = store.audits(None, 10).unwrap();
    let told: Vec<(u64, &str)> = all.iter().map(|one| (one.number, one.what.as_str())).collect();
    assert_eq!(told, [(3, "login.failed"), (2, "device.revoked"), (1, "report.read")]);
    assert_eq!(all[0].person, None);
    assert_eq!(all[2].on, Some(id(100).to_string()));
    assert_eq!(store.audits(Some(2), 10).unwrap().len(), 1);
    assert_eq!(store.counts().unwrap().audits, 3);
}

pub fn settings_are_kept(store: &dyn Store) {
    assert_eq!(store.setting("shop").unwrap(), None);
    store.put_setting("shop", "Invented shop").unwrap();
    store.put_setting("shop", "Invented shop, Wrenford").unwrap();
    assert_eq!(store.setting("shop").unwrap().as_deref(), Some("Invented shop, Wrenford"));
}
