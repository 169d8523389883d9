//! Backups by date in a folder: each was read from end to end before it has its name, has the ledger of its time beside
//! it, and is thinned out as it grows older. A backup that fails takes none away.

use super::Host;
use super::ledger::{Ledger, LedgerFault};
use super::lock::hold;
use super::opening::unlike;
use super::sqlite::Checked;
use super::sqlite::copy::Copy;
use super::store::{Store, StoreFault};
use super::watch::one;
use super::{beside, ledger_beside};
use chrono::{DateTime, Datelike, NaiveDate, NaiveDateTime};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::Duration;

/// Of so many days, weeks and months the newest backup stays. Common practice, no source.
const DAYS: usize = 7;
const WEEKS: usize = 5;
const MONTHS: usize = 12;
/// How a backup's time stands in its name: no sign that a file system does not take.
const TIME: &str = "%Y-%m-%dT%H-%M-%SZ";
/// How long after a failure it is tried again, at most.
const AGAIN: Duration = Duration::from_mins(10);
/// The clock is looked at so often: a machine that slept has missed nothing.
const LOOK: Duration = Duration::from_mins(1);

/// Why there is no new backup. Those that were there are there still.
#[derive(Debug, thiserror::Error)]
pub enum BackupFault {
    /// Another process writes one.
    #[error("another backup is being written there")]
    Busy,
    /// The store, or its copy.
    #[error(transparent)]
    Store(#[from] StoreFault),
    /// The ledger does not go with the store, so that a backup would not be believed.
    #[error("the ledger does not go with the store: {0}")]
    Ledger(String),
}

impl From<io::Error> for BackupFault {
    fn from(error: io::Error) -> Self {
        Self::Store(StoreFault::of_disk(&error))
    }
}

impl From<LedgerFault> for BackupFault {
    fn from(fault: LedgerFault) -> Self {
        match fault {
            LedgerFault::Io(error) => error.into(),
            changed @ LedgerFault::Changed(_) => Self::Ledger(changed.to_string()),
        }
    }
}

/// A backup that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// Where it lies.
    pub path: PathBuf,
    /// What it holds.
    pub checked: Checked,
    /// Older ones that were taken away.
    pub removed: Vec<PathBuf>,
}

/// Copies a store, which may be in use, with its ledger into a folder, and thins out what is there. It blocks.
///
/// # Errors
/// Nothing was taken away.
pub fn make(store: &Path, folder: &Path, now_ms: i64) -> Result<Made, BackupFault> {
    let stem = folder.join(store.file_name().unwrap_or_default());
    let _held = hold(&stem)?.ok_or(BackupFault::Busy)?;
    sweep(store, folder)?;
    let path = beside(&stem, &time_of(now_ms).format(TIME).to_string());
    let copy = Copy::of_store(store, &path)?;
    // After the store, so that it lacks nothing that the copy has seen; and before the copy has its name.
    let ledger = ledger_beside(&path);
    let copied = Ledger::at(&ledger_beside(store)).copy_to(&ledger)?;
    let apart = copy.house().map_or_else(|| Some("no host has opened it yet".into()), |h| unlike(h, &copied));
    let kept = match apart {
        None => copy.keep().map_err(BackupFault::Store),
        Some(why) => Err(BackupFault::Ledger(why)),
    };
    if kept.is_err() {
        // Best effort: the next backup sweeps it away.
        let _ = fs::remove_file(&ledger);
    }
    let checked = kept?;
    let mut there = listed(store, folder)?;
    let times: Vec<i64> = there.keys().copied().collect();
    let mut removed = Vec::new();
    for at_ms in surplus(&times) {
        let Some(old) = there.remove(&at_ms).filter(|old| *old != path) else { continue };
        fs::remove_file(&old)?;
        fs::remove_file(ledger_beside(&old))?;
        removed.push(old);
    }
    Ok(Made { path, checked, removed })
}

/// The backups of a store in a folder by their time, milliseconds since 1970.
///
/// # Errors
/// Those of the disk.
pub fn listed(store: &Path, folder: &Path) -> io::Result<BTreeMap<i64, PathBuf>> {
    let mut there = BTreeMap::new();
    for (path, rest) in named_after(store, folder)? {
        if let Some(at_ms) = read_time(&rest).filter(|_| ledger_beside(&path).is_file()) {
            there.insert(at_ms, path);
        }
    }
    Ok(there)
}

/// The files of a folder that bear the store's name, each with what follows it.
fn named_after(store: &Path, folder: &Path) -> io::Result<Vec<(PathBuf, String)>> {
    let begin = format!("{}.", store.file_name().unwrap_or_default().to_string_lossy());
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let rest = path.file_name().and_then(|n| n.to_str()?.strip_prefix(&begin).map(ToOwned::to_owned));
        files.extend(rest.map(|rest| (path, rest)));
    }
    Ok(files)
}

/// Takes away what a kill has left of a backup: a part, or a ledger without its store.
fn sweep(store: &Path, folder: &Path) -> io::Result<()> {
    for (path, rest) in named_after(store, folder)? {
        let Some((time, end)) = rest.split_once('.') else { continue };
        let alone = end == "ledger" && !path.with_extension("").exists();
        if read_time(time).is_some() && (alone || end.starts_with("part") || end == "ledger.part") {
            fs::remove_file(path)?;
        }
    }
    Ok(())
}

fn time_of(ms: i64) -> NaiveDateTime {
    DateTime::from_timestamp_millis(ms).unwrap_or_default().naive_utc()
}

fn read_time(text: &str) -> Option<i64> {
    Some(NaiveDateTime::parse_from_str(text, TIME).ok()?.and_utc().timestamp_millis())
}

/// The year and the number of a day, a week or a month that a day lies in.
type Period = fn(NaiveDate) -> (i32, u32);

/// Of backups at these times, milliseconds since 1970, those that are no longer needed: all but the newest of each of
/// the last seven days, five weeks and twelve months that have one.
pub fn surplus(times: &[i64]) -> Vec<i64> {
    let mut newest_first = times.to_vec();
    newest_first.sort_unstable_by_key(|ms| std::cmp::Reverse(*ms));
    let mut kept = vec![false; newest_first.len()];
    let periods: [(usize, Period); 3] = [
        (DAYS, |d| (d.year(), d.ordinal())),
        (WEEKS, |d| (d.iso_week().year(), d.iso_week().week())),
        (MONTHS, |d| (d.year(), d.month())),
    ];
    for (most, period) in periods {
        let (mut seen, mut last) = (0, None);
        for (ms, kept) in newest_first.iter().zip(&mut kept) {
            let of = Some(period(time_of(*ms).date()));
            if of != last && seen < most {
                (seen, last) = (seen + 1, of);
                *kept = true;
            }
        }
    }
    newest_first.into_iter().zip(kept).filter(|(_, kept)| !kept).map(|(ms, _)| ms).collect()
}

/// When backups are made, and where.
#[derive(Debug, Clone)]
pub struct Plan {
    /// The store.
    pub store: PathBuf,
    /// The folder, which is there.
    pub folder: PathBuf,
    /// How long after one the next is due.
    pub every: Duration,
    /// How long after a failure it is tried again.
    pub again: Duration,
}

impl Plan {
    /// One every so often.
    pub fn new(store: &Path, folder: &Path, every: Duration) -> Self {
        Self { store: store.to_owned(), folder: folder.to_owned(), every, again: AGAIN.min(every) }
    }

    /// How long it is until the next one is due. A backup of the future is of a clock that was wrong, and counts for
    /// none.
    fn due_in(&self, now_ms: i64) -> io::Result<(Option<i64>, Duration)> {
        let newest = listed(&self.store, &self.folder)?.range(..=now_ms).next_back().map(|(ms, _)| *ms);
        let since = |ms: i64| Duration::from_millis(now_ms.saturating_sub(ms).unsigned_abs());
        Ok((newest, newest.map_or(Duration::ZERO, |ms| self.every.saturating_sub(since(ms)))))
    }
}

/// Makes backups as they are due, for as long as it is polled. Failures are logged and counted, and tried again.
pub async fn keep<S: Store>(host: Arc<Host<S>>, plan: Plan) {
    loop {
        let now_ms = host.now_ms();
        let look = plan.clone();
        let due = tokio::task::spawn_blocking(move || look.due_in(now_ms)).await;
        let wait = match due.map_err(io::Error::other).and_then(|due| due) {
            Ok((newest, wait)) => {
                let newest_s = newest.unwrap_or_default().unsigned_abs() / 1000;
                host.counts.backup_s.store(newest_s, Ordering::Relaxed);
                wait
            }
            // The folder is not there: the backup says so.
            Err(_) => Duration::ZERO,
        };
        if !wait.is_zero() {
            tokio::time::sleep(wait.min(LOOK)).await;
            continue;
        }
        let due = plan.clone();
        let made = tokio::task::spawn_blocking(move || make(&due.store, &due.folder, now_ms)).await;
        match made.map_err(|e| BackupFault::from(io::Error::other(e))).and_then(|made| made) {
            Ok(made) => {
                one(&host.counts.backups_made);
                let Checked { accounts, entries, .. } = made.checked;
                let (to, removed) = (made.path.display(), made.removed.len());
                tracing::info!(%to, accounts, entries, removed, "backed up");
            }
            Err(fault) => {
                one(&host.counts.backups_failed);
                tracing::error!("no backup was made: {fault}");
                tokio::time::sleep(plan.again).await;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    const HOUR_MS: i64 = 60 * 60 * 1000;
    /// 2026-01-01.
    const BEGAN_MS: i64 = 1_767_225_600_000;

    fn kept(times: &BTreeSet<i64>) -> BTreeSet<i64> {
        let times: Vec<i64> = times.iter().copied().collect();
        let gone: BTreeSet<i64> = surplus(&times).into_iter().collect();
        times.into_iter().filter(|t| !gone.contains(t)).collect()
    }

    fn days(times: &BTreeSet<i64>) -> Vec<String> {
        times.iter().map(|ms| time_of(*ms).format("%m-%d %H").to_string()).collect()
    }

    #[test]
    fn a_year_of_days_leaves_seven_days_five_weeks_and_twelve_months() {
        let mut there = BTreeSet::new();
        for day in 0..365 {
            there.insert(BEGAN_MS + day * 24 * HOUR_MS);
            there = kept(&there);
        }
        // 31 December 2026 is a Thursday: the weeks end on the Sundays before it, the months on their last days.
        assert_eq!(
            days(&there),
            [
                "01-31 00", "02-28 00", "03-31 00", "04-30 00", "05-31 00", "06-30 00", "07-31 00",
                "08-31 00", "09-30 00", "10-31 00", "11-30 00", "12-06 00", "12-13 00", "12-20 00",
                "12-25 00", "12-26 00", "12-27 00", "12-28 00", "12-29 00", "12-30 00", "12-31 00"
            ]
        );
    }

    #[test]
    fn the_newest_always_stays_and_what_went_never_comes_back() {
        // Hours between two backups; the last has gaps of weeks, as a host has that is not always on.
        for (every, gap) in [(24, 0), (6, 0), (1, 0), (5, 7 * 24), (23, 40 * 24)] {
            let (mut all, mut there, mut hour) = (BTreeSet::new(), BTreeSet::new(), 0);
            for n in 0..(2 * 365 * 24 / every).min(3_000) {
                hour += every + if gap > 0 && n % 9 == 0 { gap } else { 0 };
                let now = BEGAN_MS + hour * HOUR_MS;
                all.insert(now);
                there.insert(now);
                let before = there.clone();
                there = kept(&there);
                assert!(there.contains(&now), "the newest stays");
                assert!(there.is_subset(&before) && there.len() <= DAYS + WEEKS + MONTHS);
                assert_eq!(kept(&there), there, "thinned once is thinned");
                if n % 50 == 0 {
                    assert_eq!(there, kept(&all), "step by step or at once is the same");
                }
            }
        }
        assert!(surplus(&[]).is_empty() && surplus(&[BEGAN_MS]).is_empty());
    }

    #[test]
    fn a_time_is_read_as_it_was_written() {
        let text = time_of(BEGAN_MS + 3_723_000).format(TIME).to_string();
        assert_eq!(text, "2026-01-01T01-02-03Z");
        assert_eq!(read_time(&text), Some(BEGAN_MS + 3_723_000));
        for other in ["ledger", "part", "2026-01-01", "2026-13-01T00-00-00Z", "2026-01-01T01-02-03Z.ledger"] {
            assert_eq!(read_time(other), None, "{other}");
        }
    }
}
