//! Guesses at codes and tokens, counted by the minute for each network and for the whole house, and which tokens have
//! counted from where.

use super::account::Hashed;
use std::collections::{HashMap, HashSet};
use std::net::IpAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// What is counted begins anew after so long, milliseconds.
pub const WINDOW_MS: i64 = 60 * 1000;
/// Networks that are counted at once; beyond them only the house's bound holds.
const MOST_PEERS: usize = 10_000;
/// Tokens that are remembered as having counted, in each of two halves, of which the older is let go.
const MOST_HEARD: usize = 10_000;

/// Wrong guesses of late.
#[derive(Debug)]
pub struct Guesses {
    of_a_peer: u32,
    of_all: u32,
    window: Mutex<Window>,
}

#[derive(Debug, Default)]
struct Window {
    began_ms: i64,
    all: u32,
    peers: HashMap<IpAddr, u32>,
}

impl Guesses {
    /// At most so many a minute from one network, and from all.
    pub fn new(of_a_peer: u32, of_all: u32) -> Self {
        Self { of_a_peer, of_all, window: Mutex::default() }
    }

    /// Whether a peer may guess now; the guess counts as wrong until [`Self::right`].
    pub fn may(&self, peer: IpAddr, now_ms: i64) -> bool {
        let mut w = held(&self.window);
        if !(0..WINDOW_MS).contains(&now_ms.saturating_sub(w.began_ms)) {
            *w = Window { began_ms: now_ms, ..Window::default() };
        }
        let peer = network(peer);
        let room = w.peers.len() < MOST_PEERS || w.peers.contains_key(&peer);
        let of_peer = if room { *w.peers.get(&peer).unwrap_or(&0) } else { 0 };
        if w.all >= self.of_all || of_peer >= self.of_a_peer {
            return false;
        }
        w.all += 1;
        if room {
            w.peers.insert(peer, of_peer + 1);
        }
        true
    }

    /// The last guess of a peer was right, or none: it does not count.
    pub fn right(&self, peer: IpAddr) {
        let mut w = held(&self.window);
        w.all = w.all.saturating_sub(1);
        if let Some(n) = w.peers.get_mut(&network(peer)) {
            *n = n.saturating_sub(1);
        }
    }
}

/// Tokens that have counted, each with the network that it came from. Who guesses beside honest devices behind one
/// address does not shut them out: what has counted from there is heard whatever else comes from there.
#[derive(Debug, Default)]
pub struct Heard(Mutex<[HashSet<(IpAddr, Hashed)>; 2]>);

impl Heard {
    /// Whether a token has counted from a peer's network.
    pub fn knows(&self, peer: IpAddr, token: Hashed) -> bool {
        let key = (network(peer), token);
        held(&self.0).iter().any(|half| half.contains(&key))
    }

    /// Notes that it has.
    pub fn note(&self, peer: IpAddr, token: Hashed) {
        let mut halves = held(&self.0);
        let [now, before] = &mut *halves;
        if now.len() >= MOST_HEARD {
            *before = std::mem::take(now);
        }
        now.insert((network(peer), token));
    }
}

fn held<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Who has one address of version 6 has its whole network of 64 bits.
fn network(peer: IpAddr) -> IpAddr {
    match peer.to_canonical() {
        IpAddr::V6(v6) => IpAddr::V6((v6.to_bits() >> 64 << 64).into()),
        v4 @ IpAddr::V4(_) => v4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn peer(n: u8) -> IpAddr {
        IpAddr::from([10, 0, 0, n])
    }

    #[test]
    fn guesses_are_bounded_for_a_peer_and_for_the_house() {
        let guesses = Guesses::new(10, 60);
        assert!((0..10).all(|_| guesses.may(peer(1), 1_000)));
        assert!(!guesses.may(peer(1), 1_000));
        assert!(guesses.may(peer(2), 1_000), "another peer still may");
        guesses.right(peer(2));
        let others = (0..=255).filter(|n| guesses.may(peer(*n), 2_000)).count();
        assert_eq!(others, 50);
        assert!(guesses.may(peer(1), 1_000 + WINDOW_MS), "after a minute it begins anew");
        let (a, b): (IpAddr, IpAddr) = ("2001:db8::1".parse().unwrap(), "2001:db8::2".parse().unwrap());
        assert_eq!(network(a), network(b));
        assert_eq!(network("::ffff:10.0.0.1".parse().unwrap()), peer(1));
    }

    #[test]
    fn what_has_counted_is_known_from_its_network_and_bounded() {
        let heard = Heard::default();
        let token = |n: usize| {
            let mut token = [0; 32];
            token[..8].copy_from_slice(&n.to_le_bytes());
            token
        };
        heard.note(peer(1), token(0));
        assert!(heard.knows(peer(1), token(0)));
        assert!(!heard.knows(peer(2), token(0)) && !heard.knows(peer(1), token(1)));
        for n in 1..=MOST_HEARD {
            heard.note(peer(1), token(n));
        }
        assert!(heard.knows(peer(1), token(0)), "the older half is known still");
        for n in 1..=2 * MOST_HEARD {
            heard.note(peer(3), token(n));
        }
        assert!(!heard.knows(peer(1), token(0)), "and then let go");
        assert!(held(&heard.0).iter().map(HashSet::len).sum::<usize>() <= 2 * MOST_HEARD);
    }
}
