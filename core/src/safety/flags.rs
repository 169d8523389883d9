//! Signs that end a session, or take a region out of it, and that nothing but a recorded return lifts.
//!
//! A flag is raised, then confirmed by a second touch that names it. From then on it is an entry of the record,
//! and **that the entry exists is the flag**: no field of it is believed where it would make the flag milder.
//! The seal, a field whose *name* holds what was confirmed, survives every later edit, since a merge replaces
//! values and never takes a name away.

use super::fault::{FaultCode, SafetyFault};
use super::rules::{self, Rules};
use crate::catalogue::{Catalogue, Fault};
use crate::moment::Moment;
use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

const FILE: &str = "flags.csv";
const SEAL: &str = "sealed";

/// Who is to be asked for help.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Care {
    /// The local emergency number, now.
    Emergency,
    /// Licensed care, the same day.
    SameDay,
    /// Maternity care, the same day.
    Maternity,
    /// Licensed care, before the region is trained again.
    BeforeRegion,
}

/// Whom a flag is offered to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AskedOf {
    /// Everyone.
    Everyone,
    /// Who said that they are pregnant.
    Pregnancy,
    /// A minor.
    Minor,
}

/// One flag of the data file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Flag {
    /// Id, for ever.
    pub id: String,
    /// 1 stop now and call the local emergency number; 2 stop, licensed care the same day; 3 stop, care before
    /// the region is trained again.
    pub tier: u8,
    /// Whether a region is asked for.
    pub asks_region: bool,
    /// Who is to be asked for help.
    pub care: Care,
    /// Whom it is offered to.
    pub asked_of: AskedOf,
    /// The source, or `common practice, no source`.
    pub source: String,
    /// The key of its words.
    pub words: String,
}

#[derive(Deserialize)]
struct FileRow {
    id: String,
    tier: u8,
    region: String,
    care: Care,
    asked_of: AskedOf,
    source: String,
    words: String,
}

pub(super) fn read(text: &str, faults: &mut Vec<Fault>) -> Vec<Flag> {
    let read: Vec<(usize, FileRow)> = rules::rows(FILE, text, faults);
    let before = faults.len();
    rules::once(FILE, "id", read.iter().map(|(k, r)| (*k, r.id.as_str())), faults);
    rules::once(FILE, "words", read.iter().map(|(k, r)| (*k, r.words.as_str())), faults);
    for (k, r) in &read {
        let mut add = |field, problem: String, remedy| {
            faults.push(rules::fault(FILE, *k, field, problem, remedy));
        };
        if !r.id.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_') {
            add("id", format!("{:?}", r.id), "use lower case, digits and underscores");
        }
        if !(1..=3).contains(&r.tier) {
            add("tier", format!("{} is no tier", r.tier), "give 1, 2 or 3");
        }
        if r.region != "ask" && r.region != "no" {
            add("region", format!("{:?} is no rule", r.region), "give ask or no");
        }
        if r.tier == 3 && r.region != "ask" {
            add("region", "a flag of tier 3 needs a region".into(), "give ask");
        }
        let fits = match r.tier {
            1 => r.care == Care::Emergency,
            2 => matches!(r.care, Care::SameDay | Care::Maternity),
            _ => r.care == Care::BeforeRegion,
        };
        if !fits {
            add("care", "does not fit the tier".into(), "give the care that the tier asks for");
        }
        if r.source.trim().is_empty() {
            add("source", "empty".into(), "name the source, or write: common practice, no source");
        }
    }
    if read.windows(2).any(|w| w[0].1.tier > w[1].1.tier) {
        faults.push(rules::fault(FILE, 1, "tier", "the rows are out of order", "put the most urgent first"));
    }
    if faults.len() > before {
        return Vec::new();
    }
    let flag = |(_, r): (usize, FileRow)| Flag {
        id: r.id,
        tier: r.tier,
        asks_region: r.region == "ask",
        care: r.care,
        asked_of: r.asked_of,
        source: r.source,
        words: r.words,
    };
    read.into_iter().map(flag).collect()
}

/// A flag that was touched once. Nothing is recorded yet, and letting go of it here is the last chance to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Raised {
    /// Id of the flag.
    pub flag: String,
    /// 1-3.
    pub tier: u8,
    /// Who is to be asked for help.
    pub care: Care,
    /// Id of the region, where one is asked.
    pub region: Option<String>,
}

/// What a confirmed flag does at once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Consequence {
    /// The session is saved and closed; there is no resuming that day.
    CloseSession {
        /// Who is to be asked for help.
        care: Care,
    },
    /// What loads the region leaves the session and the week.
    LeaveOut {
        /// Id of the region.
        region: String,
    },
}

/// A confirmed flag, to be written into the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Confirmed {
    /// Id of the flag.
    pub flag: String,
    /// 1-3.
    pub tier: u8,
    /// Id of the region, where one is asked.
    pub region: Option<String>,
    /// RFC 3339 with offset.
    pub raised_at: String,
    /// The session's entry, if one was open.
    pub session: Option<String>,
    /// What follows at once.
    pub consequence: Consequence,
}

/// Raises a flag: the first touch.
///
/// # Errors
/// The flag or region is unknown, or the region is missing.
pub fn raise(
    rules: &Rules,
    catalogue: &Catalogue,
    flag: &str,
    region: Option<&str>,
) -> Result<Raised, SafetyFault> {
    let known = rules.flag(flag).ok_or_else(|| {
        SafetyFault::new(
            FaultCode::Unknown,
            "flag",
            format!("{flag:?} is unknown"),
            "choose a flag of the list",
        )
    })?;
    let region = match region {
        _ if !known.asks_region => None,
        None => {
            let problem = "the flag asks where it is";
            return Err(SafetyFault::new(FaultCode::Missing, "region", problem, regions_remedy(catalogue)));
        }
        Some(r) if catalogue.region(r).is_none() => {
            let problem = format!("{r:?} is unknown");
            return Err(SafetyFault::new(FaultCode::Unknown, "region", problem, regions_remedy(catalogue)));
        }
        Some(r) => Some(r.to_owned()),
    };
    Ok(Raised { flag: known.id.clone(), tier: known.tier, care: known.care, region })
}

pub(super) fn regions_remedy(catalogue: &Catalogue) -> String {
    let ids: Vec<&str> = catalogue.regions.iter().map(|r| r.id.as_str()).collect();
    format!("give one of {}", ids.join(", "))
}

impl Raised {
    /// The second touch, which must name the flag and, where one was asked, the region.
    ///
    /// # Errors
    /// It names another flag or region: nothing is confirmed.
    pub fn confirm(
        &self,
        named: &str,
        named_region: Option<&str>,
        moment: &Moment,
        session: Option<&str>,
    ) -> Result<Confirmed, SafetyFault> {
        if named != self.flag || named_region != self.region.as_deref() {
            return Err(SafetyFault::new(
                FaultCode::Unknown,
                "flag",
                format!("{:?} was raised, {named:?} was confirmed", self.flag),
                "confirm the flag that was raised, by its name, or raise the other",
            ));
        }
        let consequence = match (self.tier, &self.region) {
            (3, Some(region)) => Consequence::LeaveOut { region: region.clone() },
            _ => Consequence::CloseSession { care: self.care },
        };
        Ok(Confirmed {
            flag: self.flag.clone(),
            tier: self.tier,
            region: self.region.clone(),
            raised_at: moment.rfc3339(),
            session: session.map(ToOwned::to_owned),
            consequence,
        })
    }
}

impl Confirmed {
    /// The field whose name seals what was confirmed: `sealed__<flag>__<region or none>__<local day>`, in the
    /// letters that the record allows in a name.
    pub fn seal(&self) -> String {
        let day = self.raised_at.get(..10).unwrap_or_default().replace('-', "_");
        format!("{SEAL}__{}__{}__{day}", self.flag, self.region.as_deref().unwrap_or("none"))
    }

    /// The fields to write, the seal among them.
    pub fn fields(&self) -> BTreeMap<String, Value> {
        let mut out = BTreeMap::from([
            ("flag".to_owned(), Value::from(self.flag.clone())),
            ("tier".to_owned(), Value::from(self.tier)),
            ("raised_at".to_owned(), Value::from(self.raised_at.clone())),
            ("confirmed_at".to_owned(), Value::from(self.raised_at.clone())),
            (self.seal(), Value::from(true)),
        ]);
        for (key, value) in [("region", &self.region), ("session", &self.session)] {
            if let Some(value) = value {
                out.insert(key.to_owned(), Value::from(value.clone()));
            }
        }
        out
    }
}

/// A confirmed flag as the record holds it now, read so that no later edit or deletion makes it milder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FlagHeld {
    /// The entry of the record, by which a return names it.
    pub entry: String,
    /// Every flag that the entry has named, in order; empty when all of it is unreadable.
    pub flags: Vec<String>,
    /// The most urgent tier that any of them has: 1-3.
    pub tier: u8,
    /// Every region that the entry has named. A flag of tier 3 without one keeps every region out.
    pub regions: Vec<String>,
    /// The latest local day that the entry gives for itself; `None` when it gives none.
    pub raised_on: Option<NaiveDate>,
    /// Minutes that local time was ahead of UTC when it was raised.
    pub offset_min: Option<i32>,
}

impl FlagHeld {
    /// Reads the merged fields of an entry of kind flag. Never fails and never drops: what is unreadable counts
    /// as the most urgent, `deleted` and a missing confirmation count for nothing.
    pub fn read(rules: &Rules, entry: &str, fields: &BTreeMap<String, Value>) -> Self {
        let text = |key: &str| fields.get(key).and_then(Value::as_str);
        let mut flags: BTreeSet<String> = text("flag").map(ToOwned::to_owned).into_iter().collect();
        let mut regions: BTreeSet<String> = text("region").map(ToOwned::to_owned).into_iter().collect();
        let instants = ["raised_at", "confirmed_at"].map(|k| text(k).and_then(instant));
        let mut days: Vec<NaiveDate> = instants.iter().flatten().map(DateTime::date_naive).collect();
        for seal in fields.keys().filter_map(|k| k.strip_prefix(SEAL)?.strip_prefix("__")) {
            let mut parts = seal.split("__");
            flags.extend(parts.next().map(ToOwned::to_owned));
            regions.extend(parts.next().filter(|r| *r != "none").map(ToOwned::to_owned));
            days.extend(parts.next().and_then(|d| d.replace('_', "-").parse::<NaiveDate>().ok()));
        }
        let given = fields.get("tier").and_then(Value::as_u64).filter(|t| (1..=3).contains(t));
        let known = flags.iter().filter_map(|f| rules.flag(f)).map(|f| f.tier);
        let tier = known.chain(given.map(|t| t as u8)).min().unwrap_or(1);
        Self {
            entry: entry.to_owned(),
            flags: flags.into_iter().collect(),
            tier,
            regions: regions.into_iter().collect(),
            raised_on: days.into_iter().max(),
            offset_min: instants.iter().flatten().next().map(|i| i.offset().local_minus_utc() / 60),
        }
    }
}

/// An instant of the record.
pub(super) fn instant(text: &str) -> Option<DateTime<FixedOffset>> {
    DateTime::parse_from_rfc3339(text).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Moment {
        let t = DateTime::parse_from_rfc3339(text).unwrap();
        let offset_min = t.offset().local_minus_utc() / 60;
        Moment { wall_ms: t.timestamp_millis(), offset_min, monotonic_ms: 1, boot: "b".into() }
    }

    fn ground() -> (Rules, Catalogue) {
        (Rules::builtin().unwrap(), Catalogue::builtin().unwrap())
    }

    fn confirmed(flag: &str, region: Option<&str>) -> Confirmed {
        let (rules, catalogue) = ground();
        let raised = raise(&rules, &catalogue, flag, region).unwrap();
        raised.confirm(flag, region, &at("2026-03-03T18:00:00+01:00"), Some("s")).unwrap()
    }

    #[test]
    fn every_flag_is_raised_and_confirmed_by_its_own_name_only() {
        let (rules, catalogue) = ground();
        for f in &rules.flags {
            let region = f.asks_region.then_some("knee");
            let raised = raise(&rules, &catalogue, &f.id, region).unwrap();
            for other in rules.flags.iter().filter(|o| o.id != f.id) {
                assert!(raised.confirm(&other.id, region, &at("2026-03-03T18:00:00Z"), None).is_err());
            }
            assert!(raised.confirm("", region, &at("2026-03-03T18:00:00Z"), None).is_err());
            let held = raised.confirm(&f.id, region, &at("2026-03-03T18:00:00Z"), None).unwrap();
            let care = match held.consequence {
                Consequence::CloseSession { care } => care,
                Consequence::LeaveOut { .. } => Care::BeforeRegion,
            };
            assert_eq!(care, f.care, "{}", f.id);
        }
    }

    #[test]
    fn a_region_is_asked_where_the_flag_has_one_and_only_a_known_one_counts() {
        let (rules, catalogue) = ground();
        let e = raise(&rules, &catalogue, "locking", None).unwrap_err();
        assert_eq!((e.code, e.field.as_str()), (FaultCode::Missing, "region"));
        assert!(e.remedy.contains("knee"));
        assert_eq!(raise(&rules, &catalogue, "locking", Some("tail")).unwrap_err().code, FaultCode::Unknown);
        assert_eq!(raise(&rules, &catalogue, "hiccups", None).unwrap_err().field, "flag");
        let raised = raise(&rules, &catalogue, "locking", Some("knee")).unwrap();
        assert!(raised.confirm("locking", Some("hip"), &at("2026-03-03T18:00:00Z"), None).is_err());
        assert!(raised.confirm("locking", None, &at("2026-03-03T18:00:00Z"), None).is_err());
    }

    #[test]
    fn no_edit_and_no_deletion_makes_a_held_flag_milder() {
        let (rules, _) = ground();
        let fields = confirmed("chest_pressure", None).fields();
        let held = FlagHeld::read(&rules, "e", &fields);
        assert_eq!((held.tier, held.raised_on), (1, NaiveDate::from_ymd_opt(2026, 3, 3)));
        let tampered: [&[(&str, Value)]; 7] = [
            &[("deleted", true.into())],
            &[("tier", 3.into())],
            &[("tier", 9.into()), ("flag", Value::Null)],
            &[("confirmed_at", Value::Null), ("raised_at", Value::Null)],
            &[("raised_at", "2020-01-01T00:00:00Z".into()), ("confirmed_at", "2020-01-01T00:00:00Z".into())],
            &[("flag", "locking".into()), ("tier", 3.into()), ("region", "wrist".into())],
            &[
                ("sealed__chest_pressure__none__2026_03_03", false.into()),
                ("flag", "night_pain".into()),
                ("tier", 3.into()),
            ],
        ];
        for changes in tampered {
            let mut after = fields.clone();
            for (key, value) in changes {
                after.insert((*key).to_owned(), value.clone());
            }
            let now = FlagHeld::read(&rules, "e", &after);
            assert_eq!(now.tier, 1, "{changes:?}");
            assert!(now.flags.contains(&"chest_pressure".to_owned()), "{changes:?}");
            assert!(now.raised_on >= held.raised_on, "{changes:?}");
        }
    }

    #[test]
    fn moving_a_flag_to_another_region_keeps_the_first_one_out() {
        let (rules, _) = ground();
        let mut fields = confirmed("locking", Some("knee")).fields();
        fields.insert("region".into(), "wrist".into());
        assert_eq!(FlagHeld::read(&rules, "e", &fields).regions, ["knee", "wrist"]);
    }

    #[test]
    fn an_entry_that_says_nothing_readable_counts_as_the_most_urgent() {
        let (rules, _) = ground();
        let held = FlagHeld::read(&rules, "e", &BTreeMap::from([("tier".into(), "x".into())]));
        assert_eq!((held.tier, held.raised_on), (1, None));
        let newer =
            BTreeMap::from([("flag".into(), "from_a_newer_version".into()), ("tier".into(), 2.into())]);
        assert_eq!(FlagHeld::read(&rules, "e", &newer).tier, 2);
    }
}
