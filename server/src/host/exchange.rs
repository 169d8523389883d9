//! Answers a sync: a request and a store in, an answer out. It knows neither HTTP nor a socket.

use super::Host;
use super::account::AccountId;
use super::fault::{Fails, Fault};
use super::ledger::Fact;
use super::ranges::Comparing;
use super::store::{Head, Shown, Store};
use super::taking::{self, Bounds, By, Pushed, Taken};
use plinth_core::record::{Entry, KindSum};
use plinth_core::sync::{Answer, Capability, Differs, MOST_LINES, PROTOCOL, Request};
use serde_json::value::RawValue;

/// How often a change is tried that another one came before.
const TRIES: u32 = 16;
/// What an entry may lack to the longest body: it is sent with other members around it.
const AROUND_AN_ENTRY: u64 = 64 * 1024;
/// How often the end of the record is looked for while others write.
const LOOKS: u32 = 3;

impl<S: Store> Host<S> {
    /// The greatest stamp that is taken now, milliseconds.
    pub(super) fn most_ms(&self) -> u64 {
        u64::try_from(self.now_ms()).unwrap_or(0).saturating_add(self.limits.drift_ms)
    }

    /// What bounds an entry and an account.
    pub(super) const fn bounds(&self) -> Bounds {
        Bounds { entry_bytes: self.limits.body_bytes.saturating_sub(AROUND_AN_ENTRY), quota: self.quota }
    }

    /// Answers a request of one of an account's devices.
    ///
    /// # Errors
    /// What is no part of the protocol, or longer than the limits; those of the store and the ledger.
    pub async fn sync(&self, account: &AccountId, r: &Request) -> Result<Answer, Fault> {
        self.check(r)?;
        let now_ms = self.now_ms();
        let mut answer = Answer {
            protocol: PROTOCOL,
            epoch: self.house.epoch.clone(),
            server_ms: now_ms,
            can: vec![Capability::Gzip, Capability::Ranges],
            limits: self.limits,
            differs: None,
            took: Vec::new(),
            refused: Vec::new(),
            pull: Vec::new(),
            cursor: r.cursor,
            more: false,
            sums: None,
            ranges: Vec::new(),
            audit: Vec::new(),
        };
        let pushed = taking::read(&r.push, self.most_ms());
        let Some((from, head)) = self.push(account, r, &pushed, &mut answer).await? else {
            answer.differs = Some(Differs::Device);
            return Ok(answer);
        };
        self.pull(account, r, from, head, &mut answer).await?;
        self.fetch(account, r, &mut answer).await?;
        if let Some(after) = r.audit {
            answer.audit = self.store.latest_audit(account, after, MOST_LINES as u32).await?;
        }
        if !r.ranges.is_empty() {
            let count = answer.sums.as_ref().map(|s| s.iter().map(|k| k.sum.count).sum());
            let count = match count {
                Some(count) => count,
                None => self.store.head(account, r.device, &self.house.epoch).await?.count(),
            };
            let mut comparing = Comparing::of(&self.store, account, count);
            for range in &r.ranges {
                answer.ranges.push(comparing.answer(range).await?);
            }
        }
        Ok(answer)
    }

    fn check(&self, r: &Request) -> Result<(), Fault> {
        if r.protocol != PROTOCOL {
            let reason = format!("the server speaks protocol {PROTOCOL}, not {}", r.protocol);
            return Err(
                Fault::new(Fails::Asked, "other_protocol", reason, "update the older side").at("protocol")
            );
        }
        let app = version(&r.app).unwrap_or_default();
        if app < self.oldest_app {
            let [a, b, c] = self.oldest_app;
            let reason = format!("the server takes programs of version {a}.{b}.{c} and later");
            return Err(Fault::new(Fails::TooOld, "app_too_old", reason, "update this program").at("app"));
        }
        for (field, length, most) in [
            ("push", r.push.len(), self.limits.entries),
            ("ranges", r.ranges.len(), self.limits.ranges),
            ("fetch", r.fetch.len(), self.limits.ranges),
        ] {
            if length > most as usize {
                let reason = format!("{length} at once; the server takes {most}");
                return Err(Fault::new(Fails::TooLong, "too_many", reason, "send fewer at once").at(field));
            }
        }
        Ok(())
    }

    /// Takes what was pushed, in one change. Says from which number the device lacks entries, and where the account
    /// stands now; nothing where the device is a copy of itself.
    async fn push(
        &self,
        account: &AccountId,
        r: &Request,
        pushed: &Pushed,
        answer: &mut Answer,
    ) -> Result<Option<(u64, Head)>, Fault> {
        let epoch = &self.house.epoch;
        let same = r.epoch.as_ref() == Some(epoch);
        let mut told = Vec::new();
        for _ in 0..TRIES {
            let mut head = self.store.head(account, r.device, epoch).await?;
            // A device that names no epoch, or another one, shows that it has seen nothing of this one. A first request
            // that is repeated does so too, but then nothing was shown before.
            let shows = if same { r.cursor } else { 0 };
            if head.shown.is_some_and(|shown| shows < shown) {
                return Ok(None);
            }
            // A device that is further than this store was is told that the store is an older one.
            let goes_on = same && r.cursor <= head.number;
            answer.differs = (!goes_on && r.epoch.is_some()).then_some(Differs::Epoch);
            let from = if goes_on { r.cursor } else { 0 };
            let by = By::Device(r.device);
            let taken = taking::take(&self.store, account, &head, pushed, by, self.bounds()).await?;
            let Taken { took, refused, mut change, withdrawn, names } = taken;
            if head.shown != Some(from) {
                change.shown = Some(Shown { device: r.device, epoch: epoch.clone(), cursor: from });
            }
            for (grant, stamp) in withdrawn {
                if !told.contains(&(grant, stamp)) {
                    let fact = Fact::Withdrawn { account: account.clone(), grant, stamp };
                    self.ledger.write(fact, self.now_ms()).await?;
                    told.push((grant, stamp));
                }
            }
            for coach in names {
                self.store.name_coach(&coach, account).await?;
            }
            (head.number, head.bytes) = (change.number, change.bytes);
            head.sums.extend(change.sums.clone());
            let nothing = change.entries.is_empty() && change.shown.is_none();
            if nothing || self.store.commit(account, change).await? {
                (answer.took, answer.refused) = (took, refused);
                return Ok(Some((from, head)));
            }
        }
        Err(Fault::new(Fails::Busy, "store_busy", "others write to the account", "try again later").later(1))
    }

    /// Gives what the device lacks, and the sums at the end.
    async fn pull(
        &self,
        account: &AccountId,
        r: &Request,
        from: u64,
        mut head: Head,
        answer: &mut Answer,
    ) -> Result<(), Fault> {
        let most = r.want.min(self.limits.entries);
        for _ in 0..LOOKS {
            let page = self.store.after(account, from, Some(r.device), most, self.limits.body_bytes).await?;
            if page.damaged > 0 {
                // Which account it is, `plinth host check` says to the keeper; a log names none.
                tracing::error!(entries = page.damaged, "entries differ from their digests");
            }
            answer.cursor = page.up_to;
            answer.more = page.more;
            let others = page.entries.into_iter().filter(|kept| kept.by != Some(r.device));
            answer.pull = others.filter_map(|kept| RawValue::from_string(kept.text).ok()).collect();
            if !r.sums || page.more {
                return Ok(());
            }
            // The sums are of what the page ends with: where others wrote meanwhile, it is looked again.
            let now = self.store.head(account, r.device, &self.house.epoch).await?;
            let still = now.number == head.number;
            head = now;
            if still {
                break;
            }
        }
        let named = |(kind, sum)| KindSum { kind, sum };
        answer.sums = Some(head.sums.into_iter().filter(|(_, s)| s.count > 0).map(named).collect());
        Ok(())
    }

    /// Gives what was asked for by id, up to the longest body; what does not fit is found again by the next comparison.
    async fn fetch(&self, account: &AccountId, r: &Request, answer: &mut Answer) -> Result<(), Fault> {
        let mut room = self.limits.body_bytes;
        for ids in r.fetch.chunks(32) {
            for held in self.store.load(account, ids.to_vec()).await?.held {
                let Some(text) = raw(&held.entry) else { continue };
                let length = text.get().len() as u64;
                if length > room {
                    return Ok(());
                }
                room -= length;
                answer.pull.push(text);
            }
        }
        Ok(())
    }
}

impl Head {
    /// How many entries the account has.
    pub fn count(&self) -> u64 {
        self.sums.values().map(|s| s.count).sum()
    }
}

fn raw(entry: &Entry) -> Option<Box<RawValue>> {
    RawValue::from_string(entry.text()).ok()
}

/// The three numbers of a version; what follows a hyphen or a plus is passed over.
fn version(text: &str) -> Option<[u32; 3]> {
    let plain = text.split(['-', '+']).next()?;
    let numbers: Vec<u32> = plain.split('.').map(|n| n.parse().ok()).collect::<Option<_>>()?;
    numbers.try_into().ok()
}

#[cfg(test)]
mod tests {
    use super::version;

    #[test]
    fn versions_are_compared_as_numbers() {
        assert!(version("0.10.0") > version("0.9.12"));
        assert_eq!(version("1.2.3-next+7"), Some([1, 2, 3]));
        for none in ["", "1", "1.2", "1.2.3.4", "a.b.c", "1.2.-3"] {
            assert_eq!(version(none), None, "{none}");
        }
    }
}
