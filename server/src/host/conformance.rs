//! What every store of a host must do, as tests that any implementation can be put to.
//!
//! [`all`] is given a way to make an empty store, and stops with the first rule that does not hold.

use super::account::{Account, AccountId, Offered, PairedDevice, Role, hashed};
use super::audit::{AuditLine, COUNTED_TOGETHER_MS, Deed, Did, MOST_LINES};
use super::store::{Asked, Change, Head, Held, House, MOST_SHOWN, Shown, Store, StoreFault};
use plinth_core::record::{Between, DeviceId, Entry, EntryId, Kind, Stamp, Sum, read_entry};
use std::collections::BTreeMap;

/// What a rule ends with: a fault of the store, or what does not hold.
type Holds = Result<(), StoreFault>;

fn that(holds: bool, rule: &str) -> Holds {
    if holds { Ok(()) } else { Err(StoreFault::Engine(format!("the store does not hold to it: {rule}"))) }
}

/// Puts a store to every rule. `make` makes an empty one, each time another.
///
/// # Errors
/// The first rule that does not hold, or the first fault.
pub async fn all<S: Store>(mut make: impl AsyncFnMut() -> Asked<S>) -> Holds {
    houses(&make().await?).await?;
    accounts_stand_apart(&make().await?).await?;
    devices_change_from_what_was_read(&make().await?).await?;
    codes_count_once_and_for_a_while(&make().await?).await?;
    changes_are_whole_and_from_what_was_read(&make().await?).await?;
    pages_leave_nothing_out(&make().await?).await?;
    entries_are_found_by_id_and_by_kind(&make().await?).await?;
    unknown_values_come_back_as_they_were(&make().await?).await?;
    a_cursor_belongs_to_its_epoch(&make().await?).await?;
    so_many_cursors_are_remembered(&make().await?).await?;
    grants_and_coaches(&make().await?).await?;
    what_was_done_is_told_in_order(&make().await?).await?;
    erasing_leaves_nothing(&make().await?).await
}

fn name(text: &str) -> Asked<AccountId> {
    text.parse().map_err(|e: &str| StoreFault::Engine(e.to_owned()))
}

async fn account<S: Store>(store: &S, text: &str) -> Asked<AccountId> {
    let id = name(text)?;
    store.make_account(Account { id: id.clone(), role: Role::Lifter, made_ms: 1 }).await?;
    Ok(id)
}

fn id(n: u64) -> EntryId {
    EntryId::new(1_777_800_000_000 + n, [7; 10])
}

fn stamp(millis: u64) -> Stamp {
    Stamp { millis, counter: 0, device: DeviceId::new(1) }
}

/// An entry as a device would push it.
fn entry(n: u64, kind: &str, text: &str) -> Asked<Entry> {
    let json = format!(
        "{{\"id\":\"{}\",\"kind\":\"{kind}\",\"stamp\":\"{}\",\"fields\":{{\"{}\":{{\"value\":\"{text}\"}}}}}}",
        id(n),
        stamp(1000 + n),
        if kind == "grant" { "to" } else { "text" },
    );
    read_entry(json.as_bytes()).map_err(|e| StoreFault::Engine(e.to_string()))
}

fn held(entry: Entry, number: u64) -> Held {
    Held { entry, number, by: Some(DeviceId::new(5)), made_by: None }
}

/// A change that puts entries, numbered on from where the account stands.
fn change(head: &Head, entries: Vec<Entry>) -> Change {
    let mut sums = head.sums.clone();
    let mut bytes = head.bytes;
    let mut number = head.number;
    let mut put = Vec::new();
    for e in entries {
        number += 1;
        bytes += e.text().len() as u64;
        sums.entry(e.kind.name().to_owned()).or_default().add(&e.digest());
        put.push(held(e, number).into());
    }
    Change { was: head.number, number, bytes, entries: put, sums, shown: None }
}

async fn head<S: Store>(store: &S, account: &AccountId) -> Asked<Head> {
    store.head(account, DeviceId::new(5), "first").await
}

async fn put<S: Store>(store: &S, account: &AccountId, entries: Vec<Entry>) -> Asked<bool> {
    let head = head(store, account).await?;
    store.commit(account, change(&head, entries)).await
}

async fn houses<S: Store>(store: &S) -> Holds {
    that(store.house().await?.is_none(), "a new store says nothing of itself")?;
    let mut house = House { id: "h".into(), epoch: "e".into(), mark: "m".into(), ..House::default() };
    for followed in [3, 4] {
        house.followed = followed;
        store.keep_house(house.clone()).await?;
        that(store.house().await? == Some(house.clone()), "what it says of itself is kept")?;
    }
    Ok(())
}

async fn accounts_stand_apart<S: Store>(store: &S) -> Holds {
    let (anna, ben) = (account(store, "anna").await?, account(store, "ben").await?);
    let again = Account { id: anna.clone(), role: Role::Coach, made_ms: 9 };
    that(!store.make_account(again).await?, "a name is given once")?;
    let there = store.account(&anna).await?;
    that(there.is_some_and(|a| a.role == Role::Lifter && a.made_ms == 1), "an account stays as it was made")?;
    that(store.account(&name("carl")?).await?.is_none(), "who is not there is not there")?;
    let names: Vec<AccountId> = store.accounts(None, 10).await?.into_iter().map(|a| a.id).collect();
    that(names == [anna.clone(), ben.clone()], "accounts are listed by name")?;
    let rest = store.accounts(Some(anna.clone()), 10).await?;
    that(rest.len() == 1 && store.accounts(None, 1).await?.len() == 1, "lists go on where they were")?;
    // The same id in two accounts is two entries.
    put(store, &anna, vec![entry(1, "note", "of anna")?]).await?;
    put(store, &ben, vec![entry(1, "note", "of ben")?, entry(2, "note", "more")?]).await?;
    for (who, text, count) in [(&anna, "of anna", 1), (&ben, "of ben", 2)] {
        let page = store.after(who, 0, None, 10, 10_000).await?;
        let first = page.entries.first().is_some_and(|kept| kept.text.contains(text));
        that(first && page.entries.len() == count, "an account sees its own entries only")?;
        that(head(store, who).await?.count() == count as u64, "an account has its own sums")?;
    }
    that(head(store, &name("carl")?).await? == Head::default(), "who is not there stands at nought")?;
    that(!put(store, &name("carl")?, vec![entry(1, "note", "x")?]).await?, "who is not there takes nothing")
}

fn device(key: &str, token: &str) -> PairedDevice {
    PairedDevice {
        key: key.into(),
        name: "phone".into(),
        app: "0.1.0".into(),
        token: hashed(token),
        next: None,
        paired_ms: 5,
        seen_ms: 5,
        revoked_ms: None,
    }
}

async fn devices_change_from_what_was_read<S: Store>(store: &S) -> Holds {
    let (anna, ben) = (account(store, "anna").await?, account(store, "ben").await?);
    let first = device("a", "one");
    that(store.keep_device(&anna, None, first.clone()).await?, "a device is kept")?;
    that(!store.keep_device(&anna, None, first.clone()).await?, "one that is there is not made again")?;
    let renewed = PairedDevice { next: Some(hashed("two")), ..first.clone() };
    that(
        store.keep_device(&anna, Some(first.clone()), renewed.clone()).await?,
        "it changes from what it was",
    )?;
    let late = PairedDevice { seen_ms: 9, ..first.clone() };
    that(!store.keep_device(&anna, Some(first.clone()), late).await?, "a late writer changes nothing")?;
    let revoked = PairedDevice { revoked_ms: Some(7), next: None, ..renewed.clone() };
    that(store.keep_device(&anna, Some(renewed), revoked.clone()).await?, "it is revoked")?;
    store.keep_device(&anna, None, device("0", "three")).await?;
    that(store.devices(&anna).await? == [device("0", "three"), revoked], "devices are listed by key")?;
    that(store.devices(&ben).await?.is_empty(), "another account has its own")?;
    that(!store.keep_device(&name("carl")?, None, first).await?, "who is not there has none")
}

async fn codes_count_once_and_for_a_while<S: Store>(store: &S) -> Holds {
    let anna = account(store, "anna").await?;
    let code = |text, until_ms| Offered { code: hashed(text), account: anna.clone(), until_ms };
    store.offer(code("one", 100), 0).await?;
    store.offer(code("two", 200), 0).await?;
    that(
        store.offered(50, 10).await?.len() == 2 && store.offered(50, 1).await?.len() == 1,
        "codes are listed",
    )?;
    that(store.offered(100, 10).await? == [code("two", 200)], "a code is over when its time is")?;
    that(store.redeem(hashed("two")).await? && !store.redeem(hashed("two")).await?, "a code counts once")?;
    store.offer(code("three", 300), 150).await?;
    that(!store.redeem(hashed("one")).await?, "what is over is let go")
}

async fn changes_are_whole_and_from_what_was_read<S: Store>(store: &S) -> Holds {
    let anna = account(store, "anna").await?;
    let before = head(store, &anna).await?;
    let one = change(&before, vec![entry(1, "note", "one")?, entry(2, "set", "two")?]);
    let other = change(&before, vec![entry(3, "note", "three")?]);
    that(store.commit(&anna, one.clone()).await?, "a change from where the account stands is made")?;
    that(!store.commit(&anna, other).await?, "a change from where it stood is not")?;
    let after = head(store, &anna).await?;
    that(after.number == 2 && after.bytes == one.bytes && after.sums == one.sums, "the head moves with it")?;
    that(store.load(&anna, vec![id(3)]).await?.held.is_empty(), "nothing of what was not made is there")?;
    // An entry that changes leaves its old number.
    that(put(store, &anna, vec![entry(1, "note", "changed")?]).await?, "it changes again")?;
    let page = store.after(&anna, 0, None, 10, 10_000).await?;
    let numbers: Vec<u64> = page.entries.iter().map(|h| h.number).collect();
    that(numbers == [2, 3] && page.up_to == 3 && !page.more, "an entry has its last number only")
}

async fn pages_leave_nothing_out<S: Store>(store: &S) -> Holds {
    let anna = account(store, "anna").await?;
    for chunk in [0, 10, 20] {
        put(store, &anna, (chunk..chunk + 10).map(|n| entry(n, "note", "abc")).collect::<Asked<_>>()?)
            .await?;
    }
    let length = entry(0, "note", "abc")?.text().len() as u64;
    for (most, bytes) in [(1, 10_000), (7, 100_000), (30, 100_000), (31, 100_000), (10, 3 * length), (10, 1)]
    {
        let (mut cursor, mut seen) = (0, Vec::new());
        for _ in 0..40 {
            let page = store.after(&anna, cursor, None, most, bytes).await?;
            that(page.entries.len() <= most as usize, "a page is no longer than it may be")?;
            let longest = (bytes / length).max(1) as usize;
            that(page.entries.len() <= longest, "a page is no heavier than it may be, but for its first")?;
            that(
                page.more || page.up_to == 30 && page.damaged == 0,
                "the last page ends at the last number",
            )?;
            seen.extend(page.entries.iter().map(|h| h.number));
            cursor = page.up_to;
            if !page.more {
                break;
            }
        }
        that(seen == (1..=30).collect::<Vec<u64>>(), "pages in a row are the whole, each number once")?;
    }
    // What a device made itself need not come back to it; the numbers go on all the same.
    let own = store.after(&anna, 0, Some(DeviceId::new(5)), 30, 10_000).await?;
    let passed = own.entries.iter().all(|kept| kept.by == Some(DeviceId::new(5)));
    that(passed && own.up_to == 30 && !own.more, "a page without a device's own ends where the whole does")?;
    let others = store.after(&anna, 0, Some(DeviceId::new(6)), 30, 100_000).await?;
    that(others.entries.len() == 30, "what others made is never passed over")?;
    let none = store.after(&anna, 0, None, 0, 10_000).await?;
    that(none.entries.is_empty() && none.more && none.up_to == 0, "a page of none says that there is more")?;
    let over = store.after(&anna, 99, None, 10, 10_000).await?;
    that(over.entries.is_empty() && !over.more && over.up_to == 99, "after the end there is nothing")
}

async fn entries_are_found_by_id_and_by_kind<S: Store>(store: &S) -> Holds {
    let anna = account(store, "anna").await?;
    let kinds = ["note", "grant", "set", "grant", "grant"];
    let all = (1..).zip(kinds).map(|(n, kind)| entry(n, kind, "mara")).collect::<Asked<Vec<_>>>()?;
    put(store, &anna, all.clone()).await?;
    let mut found: Vec<EntryId> =
        store.load(&anna, vec![id(2), id(9), id(1)]).await?.held.iter().map(|h| h.entry.id).collect();
    found.sort_unstable();
    that(found == [id(1), id(2)], "entries are found by id, what is not there is left out")?;
    let grants = store.of_kind(&anna, Kind::Grant, None, 2).await?;
    let ids: Vec<EntryId> = grants.iter().map(|h| h.entry.id).collect();
    that(ids == [id(2), id(4)], "grants are listed by id")?;
    let rest = store.of_kind(&anna, Kind::Grant, Some(id(4)), 9).await?;
    that(rest.len() == 1 && store.of_kind(&anna, Kind::Lifter, None, 9).await?.is_empty(), "and go on")?;
    let between = |after, up_to| Between { after, up_to };
    let digests = store.digests(&anna, between(Some(id(1)), Some(id(4))), 9).await?;
    let wanted: Vec<(EntryId, [u8; 32])> =
        all.iter().filter(|e| e.id > id(1) && e.id <= id(4)).map(|e| (e.id, e.digest())).collect();
    that(digests == wanted, "digests lie after one id and up to another")?;
    let whole = store.digests(&anna, Between::default(), 9).await?;
    that(
        whole.len() == 5 && store.digests(&anna, Between::default(), 3).await?.len() == 3,
        "and are bounded",
    )?;
    let mut sum = Sum::default();
    for (_, digest) in &whole {
        sum.add(digest);
    }
    let mut kept = Sum::default();
    for s in head(store, &anna).await?.sums.values() {
        kept.count += s.count;
        kept.digest.iter_mut().zip(s.digest).for_each(|(a, b)| *a ^= b);
    }
    that(sum == kept, "the sums are those of the entries")
}

async fn unknown_values_come_back_as_they_were<S: Store>(store: &S) -> Holds {
    let anna = account(store, "anna").await?;
    let json = format!(
        "{{\"id\":\"{}\",\"kind\":\"sled_race\",\"stamp\":\"{}\",\"fields\":{{\"heat\":{{\"value\":{{ \"z\": 1e999, \"a\" : [ ] }}}}}}}}",
        id(1),
        stamp(5)
    );
    let odd = read_entry(json.as_bytes()).map_err(|e| StoreFault::Engine(e.to_string()))?;
    let of_coach = Held { made_by: Some(name("mara")?), by: None, ..held(odd.clone(), 1) };
    let mut change = change(&Head::default(), vec![odd]);
    change.entries = vec![of_coach.clone().into()];
    store.commit(&anna, change).await?;
    let there = store.load(&anna, vec![id(1)]).await?.held;
    let alike = |h: &Held| {
        let same = (h.number, h.by, &h.made_by) == (of_coach.number, of_coach.by, &of_coach.made_by);
        same && h.entry.text() == of_coach.entry.text() && h.entry.digest() == of_coach.entry.digest()
    };
    that(there.len() == 1 && there.iter().all(alike), "an entry comes back byte for byte")
}

async fn a_cursor_belongs_to_its_epoch<S: Store>(store: &S) -> Holds {
    let (anna, ben) = (account(store, "anna").await?, account(store, "ben").await?);
    let (phone, desk) = (DeviceId::new(5), DeviceId::new(6));
    for cursor in [3, 2] {
        let shown = Shown { device: phone, epoch: "first".into(), cursor };
        let number = head(store, &anna).await?.number;
        let change = Change { was: number, number, shown: Some(shown), ..Change::default() };
        that(store.commit(&anna, change).await?, "a cursor is kept without entries")?;
        that(head(store, &anna).await?.shown == Some(cursor), "and read again")?;
    }
    that(store.head(&anna, phone, "second").await?.shown.is_none(), "it does not count in another epoch")?;
    that(store.head(&anna, desk, "first").await?.shown.is_none(), "nor for another device")?;
    that(head(store, &ben).await?.shown.is_none(), "nor for another account")
}

async fn so_many_cursors_are_remembered<S: Store>(store: &S) -> Holds {
    let (anna, ben) = (account(store, "anna").await?, account(store, "ben").await?);
    let device = |n: u32| DeviceId::new(u64::from(n) + 1);
    let show = async |who: &AccountId, n: u32, cursor| {
        let shown = Shown { device: device(n), epoch: "first".into(), cursor };
        store.commit(who, Change { shown: Some(shown), ..Change::default() }).await
    };
    let shown = async |who: &AccountId, n: u32| -> Asked<Option<u64>> {
        Ok(store.head(who, device(n), "first").await?.shown)
    };
    show(&ben, 0, 7).await?;
    for n in 0..MOST_SHOWN {
        show(&anna, n, 1).await?;
    }
    that(shown(&anna, 0).await? == Some(1), "so many devices are remembered")?;
    // The first shows something new, and is no longer the one of the longest ago.
    show(&anna, 0, 2).await?;
    for n in MOST_SHOWN..MOST_SHOWN + 3 {
        show(&anna, n, 1).await?;
        that(shown(&anna, n).await? == Some(1), "the newest is remembered")?;
    }
    that(shown(&anna, 0).await? == Some(2), "who has shown something new stays")?;
    for n in 1..=3 {
        that(shown(&anna, n).await?.is_none(), "who has shown nothing for the longest is let go")?;
    }
    that(shown(&anna, 4).await? == Some(1), "and no more than that")?;
    that(shown(&ben, 0).await? == Some(7), "nor another account's")
}

async fn grants_and_coaches<S: Store>(store: &S) -> Holds {
    let (anna, ben, mara) =
        (account(store, "anna").await?, account(store, "ben").await?, account(store, "mara").await?);
    store.void(&anna, id(1), stamp(5)).await?;
    store.void(&anna, id(1), stamp(3)).await?;
    store.void(&anna, id(2), stamp(7)).await?;
    let voided = BTreeMap::from([(id(1), stamp(5)), (id(2), stamp(7))]);
    that(store.voided(&anna).await? == voided, "of two stamps the greater stands")?;
    that(store.voided(&ben).await?.is_empty(), "another account has its own")?;
    for lifter in [&ben, &anna, &ben] {
        store.name_coach(&mara, lifter).await?;
    }
    that(
        store.named_by(&mara, None, 9).await? == [anna.clone(), ben.clone()],
        "lifters are listed once, by name",
    )?;
    that(store.named_by(&mara, Some(anna.clone()), 9).await? == [ben], "and go on")?;
    that(store.named_by(&anna, None, 9).await?.is_empty(), "for the one who was named")
}

async fn what_was_done_is_told_in_order<S: Store>(store: &S) -> Holds {
    let (anna, mara) = (account(store, "anna").await?, name("mara")?);
    let read = |group: &str| Did { deed: Deed::Read, what: vec![group.to_owned()] };
    store.note(&anna, &mara, read("log"), 10).await?;
    store.note(&anna, &mara, read("screening"), 20).await?;
    store.note(&anna, &mara, read("log"), 30).await?;
    store.note(&anna, &anna, read("log"), 40).await?;
    store.note(&anna, &mara, read("log"), 10 + COUNTED_TOGETHER_MS).await?;
    let lines = store.audit(&anna, 0, 99).await?;
    let told: Vec<(u64, u64, i64, i64)> =
        lines.iter().map(|l| (l.number, l.times, l.from_ms, l.until_ms)).collect();
    let late = 10 + COUNTED_TOGETHER_MS;
    that(
        told == [(1, 2, 10, 30), (2, 1, 20, 20), (3, 1, 40, 40), (4, 1, late, late)],
        "the same within the hour is one line, all else another",
    )?;
    that(
        lines.first().is_some_and(|l| l.who == mara.as_str() && l.deed == Deed::Read && l.what == ["log"]),
        "a line says who did what",
    )?;
    that(
        store.audit(&anna, 2, 1).await?.first().is_some_and(|l| l.number == 3),
        "lines go on after a number",
    )?;
    let numbers = |lines: Vec<AuditLine>| lines.into_iter().map(|l| l.number).collect::<Vec<u64>>();
    that(numbers(store.latest_audit(&anna, 0, 2).await?) == [3, 4], "the newest, oldest first")?;
    that(numbers(store.latest_audit(&anna, 3, 9).await?) == [4], "the newest after a number")?;
    that(store.audit(&mara, 0, 9).await?.is_empty(), "another account has its own")?;
    that(MOST_LINES > 0, "some lines are kept")
}

async fn erasing_leaves_nothing<S: Store>(store: &S) -> Holds {
    let (anna, ben, mara) =
        (account(store, "anna").await?, account(store, "ben").await?, account(store, "mara").await?);
    for who in [&anna, &ben] {
        put(store, who, vec![entry(1, "grant", "mara")?]).await?;
        store.keep_device(who, None, device("a", who.as_str())).await?;
        store.void(who, id(1), stamp(1)).await?;
        store.name_coach(&mara, who).await?;
        store.note(who, who, Did { deed: Deed::Paired, what: Vec::new() }, 1).await?;
        let offered = Offered { code: hashed(who.as_str()), account: who.clone(), until_ms: 100 };
        store.offer(offered, 0).await?;
    }
    store.erase(&anna).await?;
    store.erase(&anna).await?;
    that(
        store.account(&anna).await?.is_none() && head(store, &anna).await? == Head::default(),
        "it is gone",
    )?;
    that(store.after(&anna, 0, None, 9, 9_999).await?.entries.is_empty(), "with its entries")?;
    that(store.of_kind(&anna, Kind::Grant, None, 9).await?.is_empty(), "its grants")?;
    that(store.devices(&anna).await?.is_empty() && store.voided(&anna).await?.is_empty(), "its devices")?;
    that(store.audit(&anna, 0, 9).await?.is_empty(), "what was done with it")?;
    that(
        store.offered(0, 9).await?.len() == 1 && store.named_by(&mara, None, 9).await? == [ben.clone()],
        "its codes",
    )?;
    that(
        head(store, &ben).await?.count() == 1 && store.devices(&ben).await?.len() == 1,
        "and no other account",
    )
}
