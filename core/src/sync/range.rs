//! How two sides find where they differ without sending everything.

use super::message::RangeAnswer;
use crate::record::{Between, EntryId, Sum, hex_of};
use serde::{Deserialize, Serialize};

/// Up to so many entries a range is answered by naming them all.
pub const LISTED: u64 = 256;
/// A longer range is answered in so many parts.
pub const PARTS: usize = 16;

/// What the asking side has between two ids.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Range {
    /// Where.
    #[serde(flatten)]
    pub between: Between,
    /// What it has there.
    #[serde(flatten)]
    pub sum: Sum,
}

/// How a side that holds `here` (by id) in a range answers one who holds the range's sum there.
pub fn compare(range: &Range, here: &[(EntryId, [u8; 32])]) -> RangeAnswer {
    let between = range.between;
    if Sum::of(here) == range.sum {
        return RangeAnswer::Same { between };
    }
    if here.len() as u64 <= LISTED {
        let entries = here.iter().map(|(id, digest)| (*id, hex_of(digest))).collect();
        return RangeAnswer::Entries { between, entries };
    }
    // Parts of equal count; together they cover the range without a gap, so that what is only on the other side lies
    // in one of them.
    let chunks: Vec<&[(EntryId, [u8; 32])]> = here.chunks(here.len().div_ceil(PARTS)).collect();
    let mut after = between.after;
    let parts = chunks.iter().enumerate().map(|(k, chunk)| {
        let last = if k + 1 < chunks.len() { chunk.last().map(|(id, _)| *id) } else { between.up_to };
        let part = Range { between: Between { after, up_to: last }, sum: Sum::of(*chunk) };
        after = last;
        part
    });
    RangeAnswer::Parts { parts: parts.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use std::collections::BTreeMap;

    fn any_id() -> impl Strategy<Value = EntryId> {
        (0u64..50, any::<[u8; 10]>()).prop_map(|(ms, random)| EntryId::new(ms, random))
    }

    proptest! {
        #[test]
        fn ranges_lead_to_every_difference(
            common in prop::collection::btree_map(any_id(), any::<[u8; 32]>(), 0..900),
            ours in prop::collection::btree_map(any_id(), any::<[u8; 32]>(), 0..6),
            theirs in prop::collection::btree_map(any_id(), any::<[u8; 32]>(), 0..6),
        ) {
            let mut a = common.clone();
            a.extend(ours);
            let mut b = common;
            b.extend(theirs);
            let all: std::collections::BTreeSet<EntryId> = a.keys().chain(b.keys()).copied().collect();
            let expected: Vec<EntryId> =
                all.into_iter().filter(|id| a.get(id) != b.get(id)).collect();
            prop_assert_eq!(found(&a, &b), expected);
        }
    }

    type Side = BTreeMap<EntryId, [u8; 32]>;

    fn held(side: &Side, between: Between) -> Vec<(EntryId, [u8; 32])> {
        let within =
            |id: &EntryId| between.after.is_none_or(|a| *id > a) && between.up_to.is_none_or(|u| *id <= u);
        side.iter().filter(|(id, _)| within(id)).map(|(id, d)| (*id, *d)).collect()
    }

    fn found(a: &Side, b: &Side) -> Vec<EntryId> {
        let all = Between::default();
        let mut open = vec![Range { between: all, sum: Sum::of(&held(a, all)) }];
        let mut out = Vec::new();
        let mut rounds = 0;
        while !open.is_empty() {
            rounds += 1;
            assert!(rounds < 12, "it ends");
            let answers: Vec<RangeAnswer> =
                open.drain(..).map(|r| compare(&r, &held(b, r.between))).collect();
            for answer in answers {
                match answer {
                    RangeAnswer::Same { .. } => {}
                    RangeAnswer::Parts { parts } => {
                        for p in parts {
                            let sum = Sum::of(&held(a, p.between));
                            if sum != p.sum {
                                open.push(Range { sum, ..p });
                            }
                        }
                    }
                    RangeAnswer::Entries { between, entries } => {
                        let theirs: BTreeMap<EntryId, String> = entries.into_iter().collect();
                        let ours: Side = held(a, between).into_iter().collect();
                        out.extend(
                            ours.iter()
                                .filter(|(id, d)| theirs.get(id) != Some(&hex_of(&d[..])))
                                .map(|(id, _)| *id),
                        );
                        out.extend(theirs.keys().filter(|id| !ours.contains_key(id)));
                    }
                }
            }
        }
        out.sort();
        out
    }
}
