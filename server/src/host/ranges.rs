//! Compares ranges in bounded memory: digests are read a few at a time, and a long range is gone through twice.

use super::account::AccountId;
use super::fault::{Fails, Fault};
use super::store::Store;
use plinth_core::record::{Between, EntryId, Sum, hex_of};
use plinth_core::sync::{LISTED, PARTS, Range, RangeAnswer};

/// Digests that are read at a time.
const STEP: u32 = 4096;

/// Compares ranges for one request.
#[derive(Debug)]
pub struct Comparing<'a, S> {
    store: &'a S,
    account: &'a AccountId,
    left: u64,
}

impl<'a, S: Store> Comparing<'a, S> {
    /// Of an account with so many entries. Ranges of one request do not overlap, so that twice the whole is enough.
    pub fn of(store: &'a S, account: &'a AccountId, entries: u64) -> Self {
        Self { store, account, left: 2 * entries + u64::from(STEP) }
    }

    /// How the store answers one who holds a sum in a range.
    ///
    /// # Errors
    /// Ranges that overlap so much that they are more than the record; those of the store.
    pub async fn answer(&mut self, range: &Range) -> Result<RangeAnswer, Fault> {
        let between = range.between;
        let (mut sum, mut first) = (Sum::default(), Vec::new());
        let mut walk = Walk::along(between);
        while let Some(page) = self.page(&mut walk).await? {
            for entry in page {
                sum.add(&entry.1);
                if first.len() as u64 <= LISTED {
                    first.push(entry);
                }
            }
        }
        if sum == range.sum {
            return Ok(RangeAnswer::Same { between });
        }
        if sum.count <= LISTED {
            let entries = first.iter().map(|(id, digest)| (*id, hex_of(digest))).collect();
            return Ok(RangeAnswer::Entries { between, entries });
        }
        let most = sum.count.div_ceil(PARTS as u64);
        let mut parts: Vec<Range> = Vec::with_capacity(PARTS);
        let (mut part, mut after, mut last) = (Sum::default(), between.after, None);
        let mut walk = Walk::along(between);
        while let Some(page) = self.page(&mut walk).await? {
            for (id, digest) in page {
                // The last part takes what came meanwhile.
                if part.count == most && parts.len() + 1 < PARTS {
                    parts.push(Range { between: Between { after, up_to: last }, sum: part });
                    (part, after) = (Sum::default(), last);
                }
                part.add(&digest);
                last = Some(id);
            }
        }
        parts.push(Range { between: Between { after, up_to: between.up_to }, sum: part });
        Ok(RangeAnswer::Parts { parts })
    }

    async fn page(&mut self, walk: &mut Walk) -> Result<Option<Vec<(EntryId, [u8; 32])>>, Fault> {
        if walk.over {
            return Ok(None);
        }
        let page = self.store.digests(self.account, walk.left, STEP).await?;
        let read = page.len() as u64;
        walk.over = read < u64::from(STEP);
        if let Some((id, _)) = page.last() {
            walk.left.after = Some(*id);
        }
        self.left = self.left.checked_sub(read).ok_or_else(|| {
            let remedy = "ask for ranges that do not overlap";
            Fault::new(Fails::Asked, "ranges_overlap", "the ranges are more than the record", remedy)
                .at("ranges")
        })?;
        Ok(Some(page))
    }
}

struct Walk {
    left: Between,
    over: bool,
}

impl Walk {
    const fn along(left: Between) -> Self {
        Self { left, over: false }
    }
}
