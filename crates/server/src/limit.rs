//! How often something may be tried, by each address and by all together.

use std::collections::BTreeMap;
use std::net::{IpAddr, Ipv6Addr};
use std::sync::{Mutex, PoisonError};

/// The most addresses remembered at a time.
const ADDRESSES: usize = 10_000;
/// How many times as often all together may try as one address.
const ALL: f64 = 6.0;

/// A limit: so many tries at once, then so many a minute.
pub struct Limit {
    per_minute: f64,
    state: Mutex<State>,
}

#[derive(Default)]
struct State {
    all: Bucket,
    by_address: BTreeMap<IpAddr, Bucket>,
}

/// How many tries were used up, at a time.
#[derive(Clone, Copy, Default)]
struct Bucket {
    used: f64,
    at: i64,
}

impl Bucket {
    fn now(self, now: i64, per_minute: f64) -> f64 {
        let minutes = now.saturating_sub(self.at).max(0) as f64 / 60_000.0;
        (self.used - minutes * per_minute).max(0.0)
    }
}

impl Limit {
    /// Returns a limit of so many a minute; as many may come at once.
    #[must_use]
    pub fn new(per_minute: u32) -> Self {
        Self { per_minute: f64::from(per_minute.max(1)), state: Mutex::default() }
    }

    /// Counts a try.
    ///
    /// # Errors
    /// The seconds to wait.
    pub fn take(&self, from: IpAddr, now: i64) -> Result<(), u64> {
        let from = network(from);
        let mut state = self.state.lock().unwrap_or_else(PoisonError::into_inner);
        if state.by_address.len() >= ADDRESSES && !state.by_address.contains_key(&from) {
            state.by_address.retain(|_, bucket| bucket.now(now, self.per_minute) > 0.0);
            if state.by_address.len() >= ADDRESSES {
                return Err(60);
            }
        }
        let own = state.by_address.get(&from).copied().unwrap_or_default().now(now, self.per_minute);
        let all = state.all.now(now, self.per_minute * ALL);
        let wait = |used: f64, rate: f64| ((used + 1.0 - rate) / rate * 60.0).ceil().max(1.0) as u64;
        if own + 1.0 > self.per_minute {
            return Err(wait(own, self.per_minute));
        }
        if all + 1.0 > self.per_minute * ALL {
            return Err(wait(all, self.per_minute * ALL));
        }
        state.by_address.insert(from, Bucket { used: own + 1.0, at: now });
        state.all = Bucket { used: all + 1.0, at: now };
        Ok(())
    }
}

/// Returns what counts as one address: of IPv6 the network, since one subscriber has all of it.
fn network(address: IpAddr) -> IpAddr {
    match address {
        IpAddr::V6(v6) => match v6.to_ipv4_mapped() {
            Some(v4) => IpAddr::V4(v4),
            None => IpAddr::V6(Ipv6Addr::from(u128::from(v6) >> 64 << 64)),
        },
        v4 => v4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_waits_and_may_again() {
        let limit = Limit::new(10);
        let from: IpAddr = "192.0.2.7".parse().unwrap();
        for _ in 0..10 {
            assert_eq!(limit.take(from, 1_000), Ok(()));
        }
        assert_eq!(limit.take(from, 1_000), Err(6));
        assert_eq!(limit.take("192.0.2.8".parse().unwrap(), 1_000), Ok(()));
        assert_eq!(limit.take(from, 7_000), Ok(()));
        assert!(limit.take(from, 7_000).is_err());
    }

    #[test]
    fn many_addresses_together_wait_too() {
        let limit = Limit::new(10);
        let tries = (0..200u8).filter(|n| limit.take(IpAddr::from([198, 51, 100, *n]), 0).is_ok()).count();
        assert_eq!(tries, 60);
    }

    #[test]
    fn a_network_of_ipv6_is_one_address() {
        let limit = Limit::new(1);
        assert!(limit.take("2001:db8::1".parse().unwrap(), 0).is_ok());
        assert!(limit.take("2001:db8::2".parse().unwrap(), 0).is_err());
        assert!(limit.take("::ffff:192.0.2.1".parse().unwrap(), 0).is_ok());
        assert!(limit.take("192.0.2.1".parse().unwrap(), 0).is_err());
    }
}
