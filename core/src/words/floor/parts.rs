//! The parts of which the floor's sentences are made.

use super::super::Arg;
use super::{DiscScreen, DiscsScreen, FloorWords, LineScreen, PieceScreen};
use crate::catalogue::Measure;
use crate::floor::{BarView, LoadDone, PieceKind, SessionLine, WarmUpKind, WarmUpView};
use crate::load::route::{Action, Side};

impl FloorWords<'_> {
    pub(super) fn say(&self, key: &str, args: &[(&str, Arg<'_>)]) -> String {
        self.speech.say(key, args)
    }

    /// A movement's name inside a sentence.
    pub(super) fn inside(&self, id: &str) -> String {
        self.speech.movement_inside(self.catalogue, id)
    }

    /// Movements inside a sentence.
    pub(super) fn movements(&self, ids: &[String]) -> String {
        let names: Vec<String> = ids.iter().map(|m| self.inside(m)).collect();
        self.speech.and(&names)
    }

    pub(super) fn region(&self, id: &str) -> String {
        self.speech.region(id)
    }

    pub(super) fn side(&self, side: Side) -> String {
        self.say(if side == Side::Left { "floor-side-left" } else { "floor-side-right" }, &[])
    }

    /// "5 reps", "30 s", "20 m".
    pub(super) fn amount(&self, n: u32, measure: Measure) -> String {
        self.say("floor-amount", &[("measure", measure.word().into()), ("n", n.into())])
    }

    /// "80 kg", "20 kg in each hand", "body mass plus 10 kg".
    pub(super) fn load(&self, load: &LoadDone) -> String {
        let with = |key, mass| {
            let mass = self.speech.mass(mass);
            self.say(key, &[("mass", (&mass).into())])
        };
        match load {
            LoadDone::Bar { mass }
            | LoadDone::Dumbbell { mass }
            | LoadDone::Stack { mass }
            | LoadDone::Sled { mass } => self.speech.mass(mass),
            LoadDone::Pair { mass } => with("floor-load-each", mass),
            LoadDone::Added { mass } => with("floor-load-added", mass),
            LoadDone::Assisted { mass } => with("floor-load-assisted", mass),
            LoadDone::BodyMass => self.say("floor-load-body", &[]),
            LoadDone::Band { band } if band.is_empty() => self.say("floor-load-band", &[]),
            LoadDone::Band { band } => self.say("floor-load-band-named", &[("band", band.into())]),
        }
    }

    pub(super) fn warm_up(&self, w: WarmUpView) -> String {
        let time = self.speech.duration(i64::from(w.seconds));
        let key = match w.kind {
            WarmUpKind::General => "floor-warm-up-general",
            WarmUpKind::AnkleMobility => "floor-warm-up-ankle_mobility",
        };
        self.say(key, &[("time", (&time).into())])
    }

    pub(super) fn line(&self, line: &SessionLine) -> LineScreen {
        let whole = i64::from(line.seconds.max(1));
        // Edges are rounded, not lengths, so that the pieces fill the line exactly.
        let edge = |s: i32| (i64::from(s) * 1000 / whole) as i32;
        let mut from = 0;
        let pieces = line.pieces.iter().map(|p| {
            let (start, end) = (edge(from), edge(from + p.seconds));
            let done = edge(from + p.done_s) - start;
            from += p.seconds;
            let label = match &p.kind {
                PieceKind::WarmUp => self.say("floor-undo-warmed_up", &[]),
                PieceKind::Movement { movement } => self.speech.movement_in(self.catalogue, movement),
            };
            PieceScreen { label, per_mille: end - start, done_per_mille: done }
        });
        let pieces = pieces.collect();
        let ends = self.speech.time(line.ends().local().time());
        LineScreen {
            pieces,
            now_per_mille: edge(line.now_s),
            ends: self.say("floor-ends", &[("time", (&ends).into())]),
        }
    }

    pub(super) fn discs(&self, b: &BarView) -> DiscsScreen {
        let mass = |m: &crate::load::Mass| self.speech.mass(m);
        let each: Vec<String> = b.per_side.iter().map(|p| mass(&p.mass)).collect();
        let words = if each.is_empty() {
            self.say("floor-discs-none", &[])
        } else {
            self.say("floor-discs", &[("discs", (&self.speech.and(&each)).into())])
        };
        // Discs of full diameter are drawn full; the others shrink with the cube root of nothing finer than
        // their share of the heaviest, so that a small disc still shows.
        let heaviest = b.per_side.iter().map(|p| p.mass.amount()).max().unwrap_or(1).max(1);
        let drawn = b.per_side.iter().map(|p| DiscScreen {
            label: p.mass.value(),
            height_per_mille: if p.full_diameter {
                1000
            } else {
                (350 + p.mass.amount() * 550 / heaviest) as i32
            },
        });
        let collared = !b.collars.is_zero();
        let bar_mass = if collared { b.bar_mass.plus(&b.collars).unwrap_or(b.bar_mass) } else { b.bar_mass };
        let bar = self.say(
            if collared { "floor-bar-collars" } else { "floor-bar" },
            &[("bar", (&b.bar).into()), ("mass", (&mass(&bar_mass)).into())],
        );
        // Both sides get the same discs, one side after the other: a move is told once for both.
        let moves = b.moves.chunks(2).filter_map(|pair| {
            let m = pair.first()?;
            let key = if m.action == Action::On { "floor-disc-on" } else { "floor-disc-off" };
            let mut text = self.say(key, &[("disc", (&mass(&m.disc.mass)).into())]);
            if pair.iter().any(|m| m.hold_other_end) {
                text = format!("{text}. {}", self.say("floor-hold-end", &[]));
            }
            Some(text)
        });
        let mut notes = Vec::new();
        if b.blocks_needed {
            notes.push(self.say("floor-blocks", &[]));
        }
        if let Some(partner) = &b.partner {
            notes.push(self.say("floor-partner-on", &[("load", (&mass(partner)).into())]));
        }
        DiscsScreen { bar, words, drawn: drawn.collect(), moves: moves.collect(), notes }
    }
}
