//! Which cautions stand beside a movement, in what order: the rows of `cautions.csv`, never too many at once.

use super::life::Age;
use super::rules;
use super::screening::Intensity;
use super::standing::{Here, Occasion, Standing};
use crate::catalogue::{Fault, LoadKind, Movement, Trap};
use serde::{Deserialize, Serialize};

const FILE: &str = "cautions.csv";

/// Most cautions beside one movement: more are not read.
pub const MOST_CAUTIONS: usize = 4;

/// Something that a caution asks about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum When {
    Minor,
    Pregnant,
    AfterBirth,
    ReviewPast,
    NoCareLimits,
    Breath,
    CareLimitsOfRegion,
    UsualHere,
    Trap,
    TrapChest,
    TrapShoulders,
    BailOutUntaught,
    Alone,
    Spotter,
    Safeties,
    NoSafeties,
    HeavyAsked,
    Beginner,
    Bar,
    StartLight,
    LightOnly,
    CollarsOn,
    CollarsOff,
    RackedBar,
}

const WORDS: [(&str, When); 24] = [
    ("minor", When::Minor),
    ("pregnant", When::Pregnant),
    ("after_birth", When::AfterBirth),
    ("review_past", When::ReviewPast),
    ("no_care_limits", When::NoCareLimits),
    ("breath", When::Breath),
    ("care_limits_of_region", When::CareLimitsOfRegion),
    ("usual_here", When::UsualHere),
    ("trap", When::Trap),
    ("trap_chest", When::TrapChest),
    ("trap_shoulders", When::TrapShoulders),
    ("bail_out_untaught", When::BailOutUntaught),
    ("alone", When::Alone),
    ("spotter", When::Spotter),
    ("safeties", When::Safeties),
    ("no_safeties", When::NoSafeties),
    ("heavy_asked", When::HeavyAsked),
    ("beginner", When::Beginner),
    ("bar", When::Bar),
    ("start_light", When::StartLight),
    ("light_only", When::LightOnly),
    ("collars_on", When::CollarsOn),
    ("collars_off", When::CollarsOff),
    ("racked_bar", When::RackedBar),
];

/// A caution of the data file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caution {
    /// Id, for ever.
    pub id: String,
    /// Where it stands: a smaller number first.
    pub order: u32,
    when: Vec<When>,
    /// The source, or `common practice, no source`.
    pub source: String,
    /// The key of its words.
    pub words: String,
}

#[derive(Deserialize)]
struct FileRow {
    id: String,
    order: u32,
    when: String,
    source: String,
    words: String,
}

pub(super) fn read(text: &str, faults: &mut Vec<Fault>) -> Vec<Caution> {
    let read: Vec<(usize, FileRow)> = rules::rows(FILE, text, faults);
    rules::once(FILE, "id", read.iter().map(|(k, r)| (*k, r.id.as_str())), faults);
    rules::once(FILE, "words", read.iter().map(|(k, r)| (*k, r.words.as_str())), faults);
    let mut out = Vec::new();
    for (line, row) in read {
        let mut when = Vec::new();
        for word in row.when.split('+') {
            let Some((_, w)) = WORDS.iter().find(|(w, _)| *w == word) else {
                let problem = format!("{word:?} is no condition");
                faults.push(rules::fault(FILE, line, "when", problem, "use the words of the code's list"));
                continue;
            };
            when.push(*w);
        }
        if row.source.trim().is_empty() {
            faults.push(rules::fault(
                FILE,
                line,
                "source",
                "empty",
                "name it, or: common practice, no source",
            ));
        }
        out.push(Caution { id: row.id, order: row.order, when, source: row.source, words: row.words });
    }
    out.sort_by_key(|c| c.order);
    out
}

/// A caution to show: its id and the key of its words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CautionId {
    /// Id, for ever.
    pub id: String,
    /// The key of its words.
    pub words: String,
    /// It concerns this lifter's own state, so it stands beside every set and not only the first.
    pub personal: bool,
}

/// Cautions below this order concern the lifter's own state.
const PERSONAL_BELOW: u32 = 50;

/// Whether collars belong on the bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Collars {
    /// On.
    On,
    /// Off: a lifter trapped with nothing to catch the bar must be able to tip it.
    Off,
    /// There is no bar.
    NoBar,
}

/// Whether collars belong on (trade practice, from memory).
pub fn collars(movement: &Movement, here: Here) -> Collars {
    match (movement.load_kind, movement.trap) {
        (LoadKind::Bar, Trap::Chest) if !here.caught() => Collars::Off,
        (LoadKind::Bar, _) => Collars::On,
        _ => Collars::NoBar,
    }
}

/// Whether the bail-out of a movement is to be taught now: before the first set, never during one.
pub fn bail_out_due(movement: &Movement, standing: &Standing, set_under_way: bool) -> bool {
    !set_under_way && movement.trap != Trap::None && !standing.bail_outs_taught.contains(&movement.id)
}

/// The cautions that stand beside a movement before its set, the most urgent first; at most [`MOST_CAUTIONS`].
/// `heavy` is whether the set asked for is heavy.
pub fn cautions_for(
    movement: &Movement,
    standing: &Standing,
    occasion: &Occasion<'_>,
    heavy: bool,
) -> Vec<CautionId> {
    let (today, here) = (occasion.today, occasion.here);
    let loads = |id: &str| occasion.catalogue.region(id).is_none_or(|r| movement.flag(r) > 0);
    let limits_of_region = || {
        let of_surgery = standing.surgery.iter().any(|s| s.limits_hold(today) && loads(&s.region));
        of_surgery
            || standing.flags.iter().any(|f| {
                let limited = standing.return_for(f, today).is_some_and(super::Return::has_limits);
                limited && (f.regions.is_empty() || f.regions.iter().any(|r| loads(r)))
            })
    };
    let maternity = standing.maternity.as_ref();
    let care = maternity.and_then(|m| m.limits_in_force(today));
    let intensity = standing.screened(occasion.rules, today).intensity;
    let bar = movement.load_kind == LoadKind::Bar;
    let holds = |when: &When| match when {
        When::Minor => standing.age(today) == Age::Minor,
        When::Pregnant => maternity.is_some_and(|m| !m.after_birth(today)),
        When::AfterBirth => maternity.is_some_and(|m| m.after_birth(today)),
        When::ReviewPast => maternity.and_then(|m| m.limits.as_ref()).is_some_and(|l| l.review_on < today),
        When::NoCareLimits => maternity.is_some() && care.is_none(),
        When::Breath => standing.breath.any() || maternity.is_some(),
        When::CareLimitsOfRegion => limits_of_region(),
        When::UsualHere => {
            standing.discomforts.iter().any(|d| d.on(today) && !d.new_or_worse && loads(&d.region))
        }
        When::Trap => movement.trap != Trap::None,
        When::TrapChest => movement.trap == Trap::Chest,
        When::TrapShoulders => movement.trap == Trap::Shoulders,
        When::BailOutUntaught => bail_out_due(movement, standing, false),
        When::Alone => !here.spotted(),
        When::Spotter => here.spotted(),
        When::Safeties => here.safeties,
        When::NoSafeties => !here.safeties,
        When::HeavyAsked => heavy,
        When::Beginner => standing.beginner,
        When::Bar => bar,
        When::StartLight => intensity == Intensity::StartLight,
        When::LightOnly => intensity <= Intensity::LightToModerate,
        When::CollarsOn => collars(movement, here) == Collars::On,
        When::CollarsOff => collars(movement, here) == Collars::Off,
        When::RackedBar => bar && !movement.from_floor,
    };
    (occasion.rules.cautions.iter())
        .filter(|c| c.when.iter().all(holds))
        .take(MOST_CAUTIONS)
        .map(|c| CautionId { id: c.id.clone(), words: c.words.clone(), personal: c.order < PERSONAL_BELOW })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::Answers;
    use super::super::Rules;
    use super::super::life::{CareLimits, Discomfort, Maternity, Surgery};
    use super::*;
    use crate::catalogue::Catalogue;
    use chrono::NaiveDate;

    fn ids(movement: &str, standing: &Standing, here: Here, heavy: bool) -> Vec<String> {
        let (rules, catalogue) = (Rules::builtin().unwrap(), Catalogue::builtin().unwrap());
        let today = NaiveDate::from_ymd_opt(2026, 3, 10).unwrap();
        let occasion = Occasion::on(&rules, &catalogue, today, here);
        let m = catalogue.movement(movement).unwrap();
        cautions_for(m, standing, &occasion, heavy).into_iter().map(|c| c.id).collect()
    }

    const RACK: Here = Here { alone: true, spotter: false, safeties: true, adult_present: false };

    #[test]
    fn the_safeties_of_a_squat_are_shown_with_their_height_and_the_bail_out_comes_first() {
        let all = ids("barbell_back_squat", &Standing::default(), RACK, false);
        assert_eq!(&all[..2], ["bail_out_first", "safeties_height_shoulders"]);
        let taught = Standing { bail_outs_taught: vec!["barbell_back_squat".into()], ..Standing::default() };
        assert_eq!(ids("barbell_back_squat", &taught, RACK, false)[0], "safeties_height_shoulders");
    }

    #[test]
    fn there_are_never_too_many_and_the_most_urgent_are_kept() {
        let worst = Standing {
            says_minor: true,
            maternity: Some(Maternity::default()),
            beginner: true,
            discomforts: vec![Discomfort {
                region: "knee".into(),
                severity: 1,
                new_or_worse: false,
                since: None,
                until: None,
            }],
            ..Standing::default()
        };
        let catalogue = Catalogue::builtin().unwrap();
        for m in &catalogue.movements {
            for heavy in [false, true] {
                let all = ids(&m.id, &worst, Here::default(), heavy);
                assert!(all.len() <= MOST_CAUTIONS);
                assert!(all.contains(&"maternity_stop_signs".to_owned()), "{}: {all:?}", m.id);
                assert!(all.contains(&"breathe_through".to_owned()), "{}: {all:?}", m.id);
                assert_eq!(heavy, all.contains(&"minor_no_singles".to_owned()));
            }
        }
    }

    #[test]
    fn collars_are_on_but_where_a_trapped_lifter_must_tip_the_bar() {
        let catalogue = Catalogue::builtin().unwrap();
        let caught = Here { alone: false, spotter: true, ..Here::default() };
        for m in &catalogue.movements {
            let bar = m.load_kind == LoadKind::Bar;
            let off = bar && m.trap == Trap::Chest;
            assert_eq!(collars(m, Here::default()) == Collars::Off, off, "{}", m.id);
            assert_eq!(collars(m, caught) == Collars::On, bar, "{}", m.id);
            assert_eq!(collars(m, RACK) == Collars::On, bar, "{}", m.id);
        }
        // A spotter that one who is alone claims to have does not put the collars on.
        let claimed = Here { alone: true, spotter: true, ..Here::default() };
        let bench = catalogue.movement("barbell_bench_press").unwrap();
        assert_eq!(collars(bench, claimed), Collars::Off);
    }

    #[test]
    fn the_bail_out_is_taught_before_and_never_during_a_set() {
        let catalogue = Catalogue::builtin().unwrap();
        for m in &catalogue.movements {
            let new = Standing::default();
            assert_eq!(bail_out_due(m, &new, false), m.trap != Trap::None);
            assert!(!bail_out_due(m, &new, true));
            let taught = Standing { bail_outs_taught: vec![m.id.clone()], ..Standing::default() };
            assert!(!bail_out_due(m, &taught, false));
        }
    }

    #[test]
    fn every_caution_of_the_file_is_shown_to_someone() {
        let rules = Rules::builtin().unwrap();
        assert!(rules.cautions.windows(2).all(|w| w[0].order < w[1].order));
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let taught = |id: &str| vec![id.to_owned()];
        let discomfort =
            Discomfort { region: "knee".into(), severity: 1, new_or_worse: false, since: None, until: None };
        let limits = |review: &str| CareLimits {
            advised_by: "a midwife".into(),
            advised_on: day("2026-01-01"),
            review_on: day(review),
            back_allowed: true,
            front_allowed: true,
            light_to_moderate: false,
            regions_out: Vec::new(),
            text: "none".into(),
        };
        let maternity = |birth_on, limits| Some(Maternity { birth_on, limits });
        let start = Answers {
            regular_exercise: Some(false),
            known_disease: Some(false),
            signs_or_symptoms: Some(false),
            ..Answers::default()
        };
        let surgery = Surgery { region: "knee".into(), on: day("2026-01-01"), limits: None };
        let standings = [
            Standing::default(),
            Standing { says_minor: true, ..Standing::default() },
            Standing { beginner: true, screening: start, ..Standing::default() },
            Standing { maternity: maternity(None, Some(limits("2026-02-01"))), ..Standing::default() },
            Standing { maternity: maternity(Some(day("2026-03-01")), None), ..Standing::default() },
            Standing { discomforts: vec![discomfort], ..Standing::default() },
            Standing { surgery: vec![surgery], ..Standing::default() },
        ];
        let spotted = Here { alone: false, spotter: true, ..Here::default() };
        let mut shown = std::collections::BTreeSet::new();
        for standing in &standings {
            for m in ["barbell_back_squat", "barbell_bench_press", "conventional_deadlift"] {
                let standing = Standing { bail_outs_taught: taught(m), ..standing.clone() };
                for here in [Here::default(), RACK, spotted] {
                    for heavy in [false, true] {
                        shown.extend(ids(m, &standing, here, heavy));
                    }
                }
            }
            shown.extend(ids("barbell_back_squat", standing, RACK, false));
        }
        let all: std::collections::BTreeSet<String> = rules.cautions.iter().map(|c| c.id.clone()).collect();
        assert_eq!(shown, all);
    }
}
