//! A movement of the catalogue in a few words: what it needs, what it asks of, when a stand-in serves.

use super::Speech;
use crate::catalogue::{Catalogue, Movement, ShareKind, StandInKind};

impl Speech {
    /// When a stand-in serves.
    pub fn occasion(&self, c: &Catalogue, kind: StandInKind) -> String {
        match kind {
            StandInKind::Discomfort(r) => {
                let region = c.regions.get(r).map(|r| self.region_inside(&r.id)).unwrap_or_default();
                self.say("occasion-discomfort", &[("region", (&region).into())])
            }
            StandInKind::LimitAnkle => self.say("occasion-ankle", &[]),
            StandInKind::Imbalance => self.say("occasion-imbalance", &[]),
            StandInKind::Busy => self.say("occasion-busy", &[]),
            StandInKind::Equipment => self.say("occasion-equipment", &[]),
            StandInKind::Alone => self.say("occasion-alone", &[]),
            StandInKind::Emphasis(g) => {
                let muscle = c.muscles.get(g).map(|m| self.muscle_inside(&m.id)).unwrap_or_default();
                self.say("occasion-emphasis", &[("muscle", (&muscle).into())])
            }
            StandInKind::Regression => self.say("occasion-regression", &[]),
            StandInKind::Progression => self.say("occasion-progression", &[]),
            StandInKind::Pairing => self.say("occasion-pairing", &[]),
            StandInKind::Lateral => self.say("occasion-lateral", &[]),
        }
    }

    /// Whether a movement trains a muscle directly or shares it.
    pub fn share(&self, share: ShareKind) -> String {
        self.say(
            match share {
                ShareKind::Direct => "share-direct",
                ShareKind::Indirect => "share-indirect",
            },
            &[],
        )
    }

    /// What a movement needs: each way by the ids of its kit, or by the names.
    pub fn ways(&self, c: &Catalogue, m: &Movement, by_id: bool) -> String {
        let ways = m.equipment.iter().map(|all| {
            let names: Vec<String> = all
                .iter()
                .filter_map(|e| c.equipment.get(*e))
                .map(|e| if by_id { e.id.clone() } else { self.kit_item_inside(&e.id) })
                .collect();
            if names.is_empty() { self.say("page-floor", &[]) } else { self.and(&names) }
        });
        ways.reduce(|first, next| {
            self.say("page-or", &[("first", (&first).into()), ("next", (&next).into())])
        })
        .unwrap_or_default()
    }

    /// Which regions a movement asks something of, and how much.
    pub fn asks_of(&self, c: &Catalogue, m: &Movement) -> String {
        let asks: Vec<String> = m
            .flags
            .iter()
            .filter_map(|f| {
                let key = match f.weight {
                    ..=1 => "asks-little",
                    2 => "asks-much",
                    _ => "asks-most",
                };
                let region = self.region_inside(&c.regions.get(f.region)?.id);
                Some(self.say(key, &[("region", (&region).into())]))
            })
            .collect();
        if asks.is_empty() { self.say("asks-nothing", &[]) } else { asks.join(", ") }
    }
}
