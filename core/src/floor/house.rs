//! What the floor is told of the lifter and of what is at hand; none of it is kept in the snapshot.

use super::state::State;
use crate::catalogue::{Catalogue, Movement, Texts};
use crate::load::route::Side;
use crate::load::{Kit, Mass};
use crate::plan::brief::{Brief, Discomfort};
use crate::plan::filter::circumstances;
use crate::plan::programme::Programme;
use crate::plan::session::Done;
use crate::plan::{Planner, Weights};
use crate::record::EntryId;
use crate::safety::{Care, Circumstances, Flag};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// A place with its kit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The record's kit entry, where there is one.
    pub entry: Option<EntryId>,
    /// What the lifter calls it.
    pub name: String,
    /// Bars, discs, dumbbells and stacks.
    pub kit: Kit,
    /// Ids of the kit at hand there; the brief's where `None`.
    pub equipment: Option<Vec<String>>,
}

/// What safety says beside a movement for this lifter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnCaution {
    /// In the lifter's language.
    pub text: String,
    /// It stands beside every set and not only the first.
    pub every_set: bool,
}

/// A load proposed from what was done before, with its reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Proposal {
    /// The load wanted; the kit makes what it can at or below it.
    pub load: Mass,
    /// Repetitions (seconds, metres) aimed at; the top of the range where absent.
    #[serde(default)]
    pub amount: Option<u32>,
    /// Why, as an id that the words know or a sentence of a coach.
    pub because: String,
}

/// A flag that a lifter can raise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FlagKind {
    /// Its id.
    pub id: String,
    /// 1 call the emergency number, 2 care the same day, 3 care before training the region again.
    pub tier: u8,
    /// Who is to be asked for help.
    pub care: Care,
    /// Whether a region must be named with it.
    pub asks_region: bool,
}

impl From<&Flag> for FlagKind {
    fn from(flag: &Flag) -> Self {
        Self { id: flag.id.clone(), tier: flag.tier, care: flag.care, asks_region: flag.asks_region }
    }
}

/// Everything from outside that a session is led by. It may change between two events; the snapshot does not
/// hold it.
#[derive(Debug, Clone)]
pub struct House<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// Its texts.
    pub texts: &'a Texts,
    /// The weights of the plan.
    pub weights: &'a Weights,
    /// The lifter's brief as it stands today.
    pub brief: &'a Brief,
    /// What safety knows beyond the brief; what either forbids is forbidden.
    pub standing: Circumstances,
    /// The programme under way.
    pub programme: Option<&'a Programme>,
    /// Its entry in the record.
    pub programme_entry: Option<EntryId>,
    /// Week of the block, 0-based.
    pub week: usize,
    /// The day that comes next, 0-based.
    pub next_day: Option<usize>,
    /// Other days of this week that are over, with what was done.
    pub days_over: Vec<(usize, Vec<Done>)>,
    /// Places; the first is the usual one. The brief's kit where there is none.
    pub places: Vec<Place>,
    /// The lifter's own rests by movement, seconds.
    pub rests: BTreeMap<String, i32>,
    /// Rests learned from the lifter's log by movement, seconds.
    pub learned_rests: BTreeMap<String, i32>,
    /// Proposed loads by movement.
    pub proposals: BTreeMap<String, Proposal>,
    /// The coach's cues by movement; they come before the catalogue's.
    pub cues: BTreeMap<String, Vec<String>>,
    /// What safety says beside a movement before its set; it stands before the catalogue's cautions.
    pub cautions: BTreeMap<String, Vec<OwnCaution>>,
    /// The weaker side by movement, where measured.
    pub weaker: BTreeMap<String, Side>,
    /// The flags.
    pub flags: Vec<FlagKind>,
    /// Movements whose heaviest work safety does not allow this lifter, whoever stands by.
    pub no_heaviest: BTreeSet<String>,
    /// Why no session may begin now, in the lifter's language.
    pub barred: Option<String>,
    /// An adult must be present (a minor).
    pub adult_needed: bool,
}

impl<'a> House<'a> {
    /// A house with a brief and a programme and nothing else known.
    pub fn new(
        catalogue: &'a Catalogue,
        texts: &'a Texts,
        weights: &'a Weights,
        brief: &'a Brief,
        programme: Option<&'a Programme>,
    ) -> Self {
        Self {
            catalogue,
            texts,
            weights,
            brief,
            standing: Circumstances::default(),
            programme,
            programme_entry: None,
            week: 0,
            next_day: programme.map(|_| 0),
            days_over: Vec::new(),
            places: Vec::new(),
            rests: BTreeMap::new(),
            learned_rests: BTreeMap::new(),
            proposals: BTreeMap::new(),
            cues: BTreeMap::new(),
            cautions: BTreeMap::new(),
            weaker: BTreeMap::new(),
            flags: Vec::new(),
            no_heaviest: BTreeSet::new(),
            barred: None,
            adult_needed: brief.limits.minor,
        }
    }

    pub(super) fn planner(&self) -> Planner<'a> {
        Planner::new(self.catalogue, self.weights)
    }

    /// The kit at the session's place; nothing to load with where the brief's own is faulty.
    pub(super) fn kit(&self, state: &State) -> Kit {
        match self.places.get(state.before.place) {
            Some(place) => place.kit.clone(),
            None => crate::plan::loads::kit_of(self.brief).unwrap_or_default(),
        }
    }

    /// The brief with what this session knows: place, company, safeties and what hurts today.
    pub(super) fn brief_now(&self, state: &State) -> Brief {
        let mut brief = self.brief.clone();
        brief.kit = Some(self.kit(state));
        if let Some(place) = self.places.get(state.before.place)
            && let Some(equipment) = &place.equipment
        {
            brief.equipment.clone_from(equipment);
        }
        brief.alone = state.alone();
        brief.safeties = state.before.safeties == Some(true);
        brief.limits.regions_out.extend(state.flags.iter().filter_map(|f| f.region.clone()));
        let today = state.sore.iter().map(|s| Discomfort {
            region: s.region.clone(),
            severity: s.severity,
            nature: super::state::nature_of(s.nature),
        });
        brief.discomforts.extend(today);
        // What safety knows beyond the brief binds the plan's offers too.
        let limits = &mut brief.limits;
        limits.no_lying_on_back |= self.standing.no_lying_on_back;
        limits.no_lying_on_front |= self.standing.no_lying_on_front;
        limits.no_long_breath_hold |= self.standing.no_long_breath_hold;
        limits.no_maximal_lifts |= self.standing.no_maximal_lifts;
        limits.minor |= self.standing.minor;
        if self.standing.light_to_moderate
            && limits.screening == crate::plan::brief::Screening::AnsweredNoLimit
        {
            limits.screening = crate::plan::brief::Screening::AnsweredLightToModerate;
        }
        let region = |r: &usize| self.catalogue.regions.get(*r).map(|n| n.id.clone());
        limits.after_surgery.extend(self.standing.after_surgery.iter().filter_map(region));
        limits.regions_out.extend(self.standing.regions_out.iter().filter_map(region));
        for sore in &self.standing.sore {
            if let Some(id) = region(&sore.region) {
                use crate::plan::brief::{Nature, Severity};
                brief.discomforts.push(Discomfort {
                    region: id,
                    severity: match sore.severity {
                        ..=1 => Severity::Mild,
                        2 => Severity::Moderate,
                        _ => Severity::Severe,
                    },
                    nature: if sore.new_or_worse { Nature::NewOrWorse } else { Nature::Usual },
                });
            }
        }
        brief
    }

    /// Whether the heaviest work in a movement may be asked for in this session: where safety allows it to the lifter,
    /// and a spotter or safeties were confirmed here. The ramp is led before it.
    pub(super) fn heaviest_allowed(&self, state: &State, movement: &Movement) -> bool {
        let caught = !state.alone() || state.before.safeties == Some(true);
        caught && !self.no_heaviest.contains(&movement.id)
    }

    /// The circumstances of this moment of the session.
    pub(super) fn circumstances(&self, state: &State) -> Circumstances {
        circumstances(&self.brief_now(state), self.catalogue)
    }
}
