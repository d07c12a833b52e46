//! The world of one schedule: what happens, and what must be true in the end.
#![allow(dead_code, reason = "the long evidence sums up, the tests do not")]

use super::{Fault, Phone, Shop};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use record::sync::{self, Likeness, Outgoing, Pull, Push, Step, compare};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use store::{Error, Sender, Store, restore};
use uuid::Uuid;

const START: i64 = 1_935_817_800_000;
const DAY: i64 = 24 * 60 * 60 * 1_000;
/// How many pieces may be on their way; then the oldest arrives.
const WIRE: usize = 8;

/// What happened, summed up for the evidence.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    pub phones: u64,
    pub events: u64,
    pub requests: u64,
    pub lost_requests: u64,
    pub lost_replies: u64,
    pub doubled: u64,
    pub torn: u64,
    pub restarts: u64,
    pub restores: u64,
    pub resets: u64,
    pub wiped: u64,
    pub refused: u64,
    pub erased: u64,
    pub pictures: u64,
}

impl Tally {
    pub fn add(&mut self, other: &Tally) {
        self.phones += other.phones;
        self.events += other.events;
        self.requests += other.requests;
        self.lost_requests += other.lost_requests;
        self.lost_replies += other.lost_replies;
        self.doubled += other.doubled;
        self.torn += other.torn;
        self.restarts += other.restarts;
        self.restores += other.restores;
        self.resets += other.resets;
        self.wiped += other.wiped;
        self.refused += other.refused;
        self.erased += other.erased;
        self.pictures += other.pictures;
    }
}

#[derive(Clone)]
enum Packet {
    Request { phone: usize, page: u32, push: Push },
    Reply { phone: usize, page: u32, push: Push, answer: Result<Pull, Vec<Uuid>> },
}

/// The world of one schedule.
pub struct World<'a> {
    shop: &'a mut dyn Shop,
    store: Option<Box<dyn Store>>,
    fault: Option<Fault>,
    dice: ChaCha8Rng,
    now: i64,
    phones: Vec<Phone>,
    wire: Vec<Packet>,
    /// Every content that was ever recorded under an id.
    made: BTreeMap<Uuid, Vec<Value>>,
    /// What only a phone had that forgot everything, or only a server that was lost: nobody can bring it back.
    gone: BTreeSet<Uuid>,
    pictures: BTreeMap<String, Vec<u8>>,
    backed_up: bool,
    next: u128,
    /// The device of each event at the server, for the fault that filters by it.
    sent_by: BTreeMap<Uuid, Uuid>,
    pub tally: Tally,
}

impl<'a> World<'a> {
    pub fn new(shop: &'a mut dyn Shop, seed: u64, fault: Option<Fault>) -> Result<Self, Error> {
        let mut dice = ChaCha8Rng::seed_from_u64(seed);
        let epoch = Uuid::from_u128(u128::from(dice.next_u64()) | 1 << 100);
        let store = shop.fresh(epoch, START)?;
        let _ = std::fs::remove_dir_all(shop.folder());
        let mut world = World {
            shop,
            store: Some(store),
            fault,
            dice,
            now: START,
            phones: Vec::new(),
            wire: Vec::new(),
            made: BTreeMap::new(),
            gone: BTreeSet::new(),
            pictures: BTreeMap::new(),
            backed_up: false,
            next: 0,
            sent_by: BTreeMap::new(),
            tally: Tally::default(),
        };
        for number in 0..2 + world.below(3) {
            let skew = world.skew();
            world.phones.push(Phone::new(
                Uuid::from_u128(900 + number as u128),
                &format!("phone {number}"),
                skew,
            ));
        }
        world.tally.phones = world.phones.len() as u64;
        Ok(world)
    }

    fn store(&self) -> &dyn Store {
        self.store.as_deref().unwrap_or_else(|| panic!("the server is down"))
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.dice.next_u64() % limit.max(1) as u64) as usize
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.dice.next_u64() % 100 < percent
    }

    /// Returns a wrong clock: most a little, some by days.
    fn skew(&mut self) -> i64 {
        let range = if self.chance(30) { 5 * DAY } else { 60_000 };
        (self.dice.next_u64() % (2 * range) as u64) as i64 - range
    }

    fn id(&mut self) -> Uuid {
        self.next += 1;
        // Two words of chance: ids are not in the order of their making.
        Uuid::from_u128(u128::from(self.dice.next_u64()) << 64 | self.next)
    }

    /// Lets things happen.
    pub fn play(&mut self) -> Result<(), String> {
        let steps = 30 + self.below(60);
        for _ in 0..steps {
            self.now += self.below(90_000) as i64;
            match self.below(100) {
                0..26 => self.record(),
                26..46 => self.send(),
                46..80 => self.deliver()?,
                80..88 => self.piece()?,
                88..91 => self.restart()?,
                91..94 => self.reset(),
                94..96 => self.reload(),
                96 => self.wipe(),
                97 => self.back_up()?,
                98 => self.lose_server()?,
                _ => {
                    let skew = self.skew();
                    let phone = self.below(self.phones.len());
                    self.phones[phone].skew = skew;
                }
            }
        }
        Ok(())
    }

    /// Somebody writes something down.
    fn record(&mut self) {
        let at = self.below(self.phones.len());
        let job = Uuid::from_u128(100 + self.below(3) as u128);
        let known: Vec<Uuid> = self.phones[at].events.keys().copied().collect();
        let pick = (!known.is_empty()).then(|| known[self.below(known.len())]);
        let mut id = self.id();
        let (kind, body) = match (self.below(20), pick) {
            (0..3, Some(of)) => {
                ("correction", json!({ "of": of, "now": { "what": { "type": "note", "text": "right" } } }))
            }
            (3..6, Some(of)) => {
                self.tally.erased += 1;
                ("redaction", json!({ "of": of, "reason": "personal_data" }))
            }
            (6, Some(of)) => ("redaction", json!({ "of": of, "reason": "withdrawn" })),
            (7..9, _) => ("weather", json!({ "cloud": [self.below(9), 2.5, null] })),
            (9..12, _) => {
                let bytes: Vec<u8> = (0..1 + self.below(900)).map(|_| self.dice.next_u32() as u8).collect();
                let name = record::sha256(&bytes);
                self.pictures.insert(name.clone(), bytes.clone());
                self.phones[at].pictures.insert(name.clone(), bytes);
                self.phones[at].to_upload.push(name.clone());
                self.tally.pictures += 1;
                ("observation", json!({ "what": { "type": "picture", "file": "scale", "sha256": name } }))
            }
            (12..14, _) => {
                // A job file read on several phones: the same id and content, the stamp of each.
                id = Uuid::from_u128(10_000 + self.below(6) as u128);
                ("observation", json!({ "what": { "type": "note", "text": format!("line of {id}") } }))
            }
            (14, _) => {
                // Two that fell on the same id: a fault somewhere, and still nothing may be lost.
                // Not on that of a redaction: one that is held back does not reach the others, and whoever wrote it is
                // told so.
                let others: Vec<Uuid> = self
                    .made
                    .iter()
                    .filter(|(_, all)| all.iter().all(|event| event["kind"] != "redaction"))
                    .map(|(id, _)| *id)
                    .collect();
                if !others.is_empty() {
                    id = others[self.below(others.len())];
                }
                ("observation", json!({ "what": { "type": "note", "text": format!("other {}", self.next) } }))
            }
            _ => {
                ("observation", json!({ "what": { "type": "note", "text": format!("note {}", self.next) } }))
            }
        };
        let phone = &mut self.phones[at];
        if phone.events.contains_key(&id) {
            return;
        }
        phone.stamp = phone.stamp.next(self.now + phone.skew);
        let event = json!({
            "id": id, "job": job, "kind": kind, "by": phone.replica.device, "stamp": phone.stamp, "body": body,
        });
        // The file's lines are by whoever wrote the file, in one job.
        let event = if id.as_u128() < 20_000 {
            json!({ "id": id, "job": Uuid::from_u128(100), "kind": kind, "stamp": phone.stamp, "body": event["body"] })
        } else {
            event
        };
        // Killed before the transaction was done: it never happened, and nobody was told that it did.
        if self.chance(4) {
            self.tally.torn += 1;
            if self.fault == Some(Fault::OutboxApart) {
                self.phones[at].events.insert(id, event.clone());
                self.made.entry(id).or_default().push(event);
            }
            self.phones[at].page += 1;
            return;
        }
        self.tally.events += 1;
        self.made.entry(id).or_default().push(event.clone());
        let before = self.phones[at].pictures.clone();
        self.phones[at].record(id, event);
        self.erased_pictures(at, &before);
    }

    /// Notes pictures that went with an erasure on the phone that made them: even if the phone is lost before it could
    /// tell, they are gone as they were meant to be.
    fn erased_pictures(&mut self, at: usize, before: &BTreeMap<String, Vec<u8>>) {
        for name in before.keys() {
            if !self.phones[at].pictures.contains_key(name) {
                self.lost_picture(name);
            }
        }
    }

    /// A phone sends what it has.
    fn send(&mut self) {
        let at = self.below(self.phones.len());
        let most = 1 + self.below(6);
        let push = self.phones[at].next_push(most);
        if self.fault == Some(Fault::ForgetsOnSending) {
            self.phones[at].outbox.drain(..push.events.len());
        }
        self.tally.requests += 1;
        let packet = Packet::Request { phone: at, page: self.phones[at].page, push };
        self.wire.push(packet);
        while self.wire.len() > WIRE {
            self.wire.remove(0);
        }
    }

    /// Something on its way arrives, in any order; or is lost; or arrives and arrives again.
    fn deliver(&mut self) -> Result<(), String> {
        if self.wire.is_empty() {
            return Ok(());
        }
        let which = self.below(self.wire.len());
        let packet = if self.chance(15) {
            self.tally.doubled += 1;
            self.wire[which].clone()
        } else {
            self.wire.remove(which)
        };
        let lost = self.chance(20);
        match packet {
            Packet::Request { .. } if lost => self.tally.lost_requests += 1,
            Packet::Reply { .. } if lost => self.tally.lost_replies += 1,
            Packet::Request { phone, page, push } => {
                if let Some(answer) = self.serve(phone, &push)? {
                    self.wire.push(Packet::Reply { phone, page, push, answer });
                }
            }
            Packet::Reply { phone, page, push, answer } => self.receive(phone, page, &push, answer)?,
        }
        Ok(())
    }

    /// The server takes a request.
    fn serve(&mut self, phone: usize, push: &Push) -> Result<Option<Result<Pull, Vec<Uuid>>>, String> {
        let device = self.phones[phone].device;
        let from = Sender { device: Some(device) };
        let limit = 1 + self.below(12);
        if self.fault == Some(Fault::AcknowledgesFirst) && self.chance(10) && !push.events.is_empty() {
            let ids = push
                .events
                .iter()
                .filter_map(|event| sync::event(event).ok())
                .map(|event| event.id)
                .collect();
            let empty = Push { events: Vec::new(), ..push.clone() };
            let told =
                self.store().sync_at_most(&from, &empty, self.now, limit).map_err(|e| e.to_string())?;
            return Ok(Some(Ok(Pull { stored: ids, ..told })));
        }
        match self.store().sync_at_most(&from, push, self.now, limit) {
            Ok(mut reply) => {
                for id in &reply.stored {
                    self.sent_by.entry(*id).or_insert(device);
                    if self.store().event(*id).map_err(|e| e.to_string())?.is_none() {
                        return Err(format!("{id} is acknowledged and not there"));
                    }
                }
                match self.fault {
                    Some(Fault::NeverEchoes) => reply.events.retain(|event| {
                        sync::event(event).is_ok_and(|event| self.sent_by.get(&event.id) != Some(&device))
                    }),
                    Some(Fault::SilentOnDifference) => {
                        let sent: Vec<Uuid> =
                            push.events.iter().filter_map(|e| sync::event(e).ok()).map(|e| e.id).collect();
                        reply
                            .events
                            .retain(|event| sync::event(event).is_ok_and(|event| !sent.contains(&event.id)));
                    }
                    Some(Fault::CursorTooFar) if reply.more => reply.cursor += 1,
                    _ => {}
                }
                Ok(Some(Ok(reply)))
            }
            Err(Error::Refused { ids }) => {
                self.tally.refused += 1;
                Ok(Some(Err(ids)))
            }
            Err(e) => Err(e.to_string()),
        }
    }

    /// A phone takes a reply, if the page that asked is still there.
    fn receive(
        &mut self,
        at: usize,
        page: u32,
        push: &Push,
        answer: Result<Pull, Vec<Uuid>>,
    ) -> Result<(), String> {
        if self.phones[at].page != page {
            return Ok(());
        }
        let torn = self.chance(6);
        let fault = self.fault;
        let now = self.now;
        let phone = &mut self.phones[at];
        let mut step = match &answer {
            Err(ids) if fault == Some(Fault::DropsRefused) => Step {
                acknowledged: push.events.iter().filter_map(|e| sync::event(e).ok()).map(|e| e.id).collect(),
                replica: phone.replica.clone(),
                more: ids.is_empty(),
                ..Step::default()
            },
            Err(ids) => phone.replica.on_refused(push, ids, &phone.local(ids)),
            Ok(reply) => {
                let mut reply = reply.clone();
                if fault == Some(Fault::IgnoresEpoch)
                    && let Some(epoch) = phone.replica.epoch
                {
                    reply.epoch = epoch;
                }
                let mut sent = push.clone();
                if fault == Some(Fault::IgnoresEpoch) {
                    sent.epoch = phone.replica.epoch;
                }
                let local = phone.local(&record::sync::Replica::looks_up(&sent, &reply));
                phone
                    .replica
                    .on_reply(&sent, &reply, &local, now + phone.skew)
                    .map_err(|e| format!("{e:?}"))?
            }
        };
        if let (Some(Fault::TakesAnyCursor), Ok(reply)) = (fault, &answer) {
            step.replica.cursor = reply.cursor;
        }
        if torn {
            self.tally.torn += 1;
            if fault == Some(Fault::CursorApart) {
                phone.replica = step.replica;
            }
            phone.page += 1;
            return Ok(());
        }
        let before = phone.pictures.clone();
        phone.apply(step, now, fault);
        self.erased_pictures(at, &before);
        Ok(())
    }

    /// A piece of a picture goes up; its reply may be lost, it may come twice.
    fn piece(&mut self) -> Result<(), String> {
        let at = self.below(self.phones.len());
        if self.phones[at].to_upload.is_empty() {
            return Ok(());
        }
        let which = self.below(self.phones[at].to_upload.len());
        let name = self.phones[at].to_upload[which].clone();
        if self.chance(20) {
            return Ok(());
        }
        let size = 1 + self.below(400);
        let twice = self.chance(20);
        let finishes_early = self.chance(5);
        let bytes = self.phones[at].pictures.get(&name).cloned().unwrap_or_default();
        let store = self.store();
        let state = store.picture_state(&name).map_err(|e| e.to_string())?;
        let from = (state.offset as usize).min(bytes.len());
        let piece = &bytes[from..bytes.len().min(from + size)];
        if !state.complete {
            for _ in 0..1 + usize::from(twice) {
                store.picture_append(&name, state.offset, piece).map_err(|e| e.to_string())?;
            }
            if from + piece.len() == bytes.len() || finishes_early {
                match store.picture_finish(&name) {
                    Ok(()) => {}
                    // It begins anew, as the app does.
                    Err(Error::HashMismatch { .. }) => return Ok(()),
                    Err(e) => return Err(e.to_string()),
                }
            }
        }
        let whole = self.store().picture_state(&name).map_err(|e| e.to_string())?.complete;
        if whole && !self.chance(20) {
            self.phones[at].to_upload.retain(|one| *one != name);
        }
        Ok(())
    }

    fn restart(&mut self) -> Result<(), String> {
        self.tally.restarts += 1;
        self.store = None;
        self.store = Some(self.shop.reopen(self.now).map_err(|e| e.to_string())?);
        Ok(())
    }

    fn reset(&mut self) {
        self.tally.resets += 1;
        let at = self.below(self.phones.len());
        self.phones[at].replica = self.phones[at].replica.from_the_start();
    }

    /// The tab is closed and opened again: what it waited for comes to nobody.
    fn reload(&mut self) {
        let at = self.below(self.phones.len());
        self.phones[at].page += 1;
    }

    /// A phone forgets everything, as a browser may, and is the same device still.
    fn wipe(&mut self) {
        self.tally.wiped += 1;
        let at = self.below(self.phones.len());
        let old = self.phones[at].clone();
        self.phones[at] =
            Phone { page: old.page + 1, ..Phone::new(old.device, &old.replica.device, old.skew) };
        // What it had and nobody has as it had it, under the same id or none.
        for (id, event) in &old.events {
            let Ok(mine) = sync::event(event) else { continue };
            let like = |other: &record::Event| compare(&mine, other) != Likeness::Different;
            let there = self.store().event(*id).is_ok_and(|event| event.as_ref().is_some_and(like));
            let elsewhere = self.phones.iter().any(|phone| {
                let held = phone.held.iter().filter(|held| held.id == *id).map(|held| &held.event);
                phone
                    .events
                    .get(id)
                    .into_iter()
                    .chain(held)
                    .any(|event| sync::event(event).is_ok_and(|e| like(&e)))
            });
            if !there && !elsewhere {
                self.gone.insert(*id);
            }
        }
        // A picture that was not up yet, and what was held back, are only with the phone that made them.
        for held in old.held {
            self.gone.insert(held.id);
        }
        for id in &old.outbox {
            if self.made.get(id).is_some_and(|all| all.len() > 1) {
                self.gone.insert(*id);
            }
        }
        for name in old.pictures.keys() {
            self.lost_picture(name);
        }
    }

    fn somebody_has(&self, id: Uuid) -> bool {
        self.phones.iter().any(|phone| phone.events.contains_key(&id))
    }

    fn lost_picture(&mut self, name: &str) {
        let there = self.store().picture_state(name).is_ok_and(|state| state.complete);
        if !there && !self.phones.iter().any(|phone| phone.pictures.contains_key(name)) {
            self.pictures.remove(name);
        }
    }

    fn back_up(&mut self) -> Result<(), String> {
        if !self.backed_up {
            self.store().backup(&self.shop.folder(), self.now).map_err(|e| e.to_string())?;
            self.backed_up = true;
        }
        Ok(())
    }

    /// The server's disk is lost; what the backup holds comes back.
    fn lose_server(&mut self) -> Result<(), String> {
        if !self.backed_up {
            return Ok(());
        }
        self.tally.restores += 1;
        let before = self.lines()?;
        let pictures = self.store().pictures(None, usize::MAX).map_err(|e| e.to_string())?;
        let epoch = self.store().epoch().map_err(|e| e.to_string())?;
        self.store = None;
        let fresh = self.shop.fresh(Uuid::from_u128(1), self.now).map_err(|e| e.to_string())?;
        let other = Uuid::from_u128(u128::from(self.dice.next_u64()) | 1 << 101);
        let next = if self.fault == Some(Fault::SameEpochAfterRestore) { epoch } else { other };
        restore(&*fresh, &self.shop.folder(), next).map_err(|e| e.to_string())?;
        self.store = Some(fresh);
        for id in before.keys() {
            let there = self.store().event(*id).is_ok_and(|event| event.is_some());
            if !there && !self.somebody_has(*id) {
                self.gone.insert(*id);
            }
        }
        // Two contents under one id: which of them the next server meets first is open again.
        for (id, all) in &self.made {
            if all.len() > 1 {
                self.gone.insert(*id);
            }
        }
        for name in pictures {
            self.lost_picture(&name);
        }
        Ok(())
    }

    fn lines(&self) -> Result<BTreeMap<Uuid, String>, String> {
        let mut lines = BTreeMap::new();
        let mut cursor = 0;
        loop {
            let page = self.store().pull(cursor, 500).map_err(|e| e.to_string())?;
            for (id, line) in page.lines {
                if lines.insert(id, line).is_some() {
                    return Err(format!("doubled: {id} is there twice"));
                }
            }
            cursor = page.cursor;
            if !page.more {
                return Ok(lines);
            }
        }
    }

    /// The network is well again. Everybody speaks until nobody has anything to say; then all must be true.
    pub fn settle(&mut self) -> Result<(), String> {
        self.wire.clear();
        // Twice: what the last phone sends, the first must hear.
        for _ in 0..2 {
            for at in 0..self.phones.len() {
                let mut rounds = 0;
                loop {
                    rounds += 1;
                    if rounds > 400 {
                        return Err(format!("phone {at} never comes to an end"));
                    }
                    let push = self.phones[at].next_push(200);
                    let page = self.phones[at].page;
                    let Some(answer) = self.serve(at, &push)? else { continue };
                    let more = answer.as_ref().map_or(true, |reply| reply.more);
                    self.receive(at, page, &push, answer)?;
                    let behind = self.phones[at].page != page;
                    if !more && !behind && self.phones[at].outbox.is_empty() {
                        break;
                    }
                }
                while let Some(name) = self.phones[at].to_upload.first().cloned() {
                    let bytes = self.phones[at].pictures.get(&name).cloned().unwrap_or_default();
                    let store = self.store();
                    let state = store.picture_state(&name).map_err(|e| e.to_string())?;
                    if !state.complete {
                        let rest = &bytes[(state.offset as usize).min(bytes.len())..];
                        store.picture_append(&name, state.offset, rest).map_err(|e| e.to_string())?;
                        store.picture_finish(&name).map_err(|e| e.to_string())?;
                    }
                    self.phones[at].to_upload.retain(|one| *one != name);
                }
            }
        }
        self.check()
    }

    fn check(&self) -> Result<(), String> {
        let there = self.lines()?;
        for (id, contents) in &self.made {
            let Some(line) = there.get(id) else {
                if self.gone.contains(id) {
                    continue;
                }
                return Err(format!("lost: {id} is not at the server"));
            };
            let stands = record::read_line(line.as_bytes()).map_err(|e| format!("{id}: {e:?}"))?;
            let same = |content: &Value, stands: &record::Event| {
                sync::event(content).is_ok_and(|made| compare(&made, stands) != Likeness::Different)
            };
            if !contents.iter().any(|content| same(content, &stands)) {
                return Err(format!("changed: {id} says what nobody wrote: {line}"));
            }
            // What was refused is held by whoever wrote it.
            for content in contents.iter().filter(|content| !same(content, &stands)) {
                let Ok(made) = sync::event(content) else { continue };
                let held = |held: &Outgoing| {
                    sync::event(&held.event).is_ok_and(|held| compare(&made, &held) != Likeness::Different)
                };
                let kept = self.phones.iter().any(|phone| phone.held.iter().any(held));
                if !kept && !self.gone.contains(id) {
                    return Err(format!("lost: a second content of {id} is not held by anybody"));
                }
            }
        }
        if let Some(id) = there.keys().find(|id| !self.made.contains_key(id)) {
            return Err(format!("{id} is at the server and nobody wrote it"));
        }
        let mut erase = BTreeSet::new();
        let mut named = BTreeSet::new();
        for line in there.values() {
            let event = record::read_line(line.as_bytes()).map_err(|e| format!("{e:?}"))?;
            erase.extend(sync::erases(&event));
            named.extend(sync::picture(&event));
        }
        for (id, line) in &there {
            let kind = record::read_line(line.as_bytes()).map_err(|e| format!("{e:?}"))?.kind().to_owned();
            if erase.contains(id) && kind != "erased" && kind != "redaction" {
                return Err(format!("not erased: {id}"));
            }
        }
        for (number, phone) in self.phones.iter().enumerate() {
            let has: BTreeMap<Uuid, String> =
                phone.events.iter().map(|(id, event)| (*id, sync::line(event))).collect();
            if has != there {
                let differs = there.keys().chain(has.keys()).find(|id| has.get(id) != there.get(id));
                return Err(format!(
                    "phone {number} does not agree with the server about {differs:?}: {:?} against {:?}",
                    differs.and_then(|id| has.get(id)),
                    differs.and_then(|id| there.get(id))
                ));
            }
            if !phone.outbox.is_empty() {
                return Err(format!("phone {number} still has something to send"));
            }
            if let Some(held) = phone.held.iter().find(|held| {
                erase.contains(&held.id)
                    && sync::event(&held.event).is_ok_and(|e| !matches!(e.kind(), "erased" | "redaction"))
            }) {
                return Err(format!("phone {number} holds {} in clear, which is erased", held.id));
            }
        }
        for (name, bytes) in &self.pictures {
            let file = self.store().picture(name).map_err(|e| e.to_string())?;
            match file {
                Some(file) if std::fs::read(&file).is_ok_and(|read| read == *bytes) => {}
                Some(_) => return Err(format!("changed: the picture {name}")),
                None if !named.contains(name) => {}
                None => return Err(format!("lost: the picture {name} of {} bytes", bytes.len())),
            }
        }
        let verdict = self.store().verify().map_err(|e| e.to_string())?;
        if verdict.is_clean() { Ok(()) } else { Err(format!("verify: {}", verdict.faults.join("; "))) }
    }
}
