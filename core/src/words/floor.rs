//! The screen of the session at hand: every string that a shell shows or says, made from the floor's view.
//!
//! No load, repetition or date crosses as a bare number; only drawing lengths (per mille) and the end of a rest
//! do.

mod button;
mod parts;
mod told;

use super::Speech;
use crate::catalogue::{Catalogue, Texts};
use crate::floor::{Event, FormKind, House, LoadBecause, Refused, SetKind, SetView, Stage, View};
use crate::moment::Moment;
use crate::page::PageButton;
use serde::{Deserialize, Serialize};

/// Something that can be touched.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record), uniffi(name = "Choice"))]
pub struct Button {
    /// What it dispatches, sent back as it is.
    pub event: Event,
    /// What stands on it.
    pub label: String,
    /// What a screen reader says of it.
    pub spoken: String,
    /// It is the value chosen now.
    pub chosen: bool,
    /// Drawn as an outline.
    pub outlined: bool,
    /// Lines under the label: cautions of an offer, its reason.
    pub more: Vec<String>,
}

/// A row of buttons.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record), uniffi(name = "ChoiceRow"))]
pub struct ButtonRow {
    /// What it asks.
    pub label: String,
    /// Its buttons.
    pub buttons: Vec<Button>,
}

/// The open form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct FormScreen {
    /// What it is for.
    pub title: String,
    /// What it says.
    pub lines: Vec<String>,
    /// Its rows.
    pub rows: Vec<ButtonRow>,
}

/// A piece of the session line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct PieceScreen {
    /// What it is, for a screen reader.
    pub label: String,
    /// Its length, per mille of the line.
    pub per_mille: i32,
    /// How much of the line it is inked, per mille of the line.
    pub done_per_mille: i32,
}

/// The session line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct LineScreen {
    /// The pieces.
    pub pieces: Vec<PieceScreen>,
    /// Where the tick stands, per mille of the line.
    pub now_per_mille: i32,
    /// The hour at which it will end.
    pub ends: String,
}

/// A disc to draw.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct DiscScreen {
    /// The mass printed inside.
    pub label: String,
    /// Height to draw, per mille of the largest disc.
    pub height_per_mille: i32,
}

/// What goes on the bar.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct DiscsScreen {
    /// The bar.
    pub bar: String,
    /// The discs on each side in words.
    pub words: String,
    /// One side drawn, innermost first.
    pub drawn: Vec<DiscScreen>,
    /// The moves from what is on it, in order.
    pub moves: Vec<String>,
    /// What else must be known of it.
    pub notes: Vec<String>,
}

/// The rest clock: a shell counts down to its end.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct ClockScreen {
    /// What it is.
    pub label: String,
    /// Its end on the monotonic clock of `boot`, milliseconds.
    pub ends_monotonic_ms: u64,
    /// Its end on the wall clock, for another boot.
    pub ends_wall_ms: i64,
    /// The boot.
    pub boot: String,
    /// All that a lock screen shows when it is over.
    pub over: String,
}

/// The set at hand, or next while a rest runs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct SetScreen {
    /// The movement's name.
    pub movement: String,
    /// "Set 2 of 4".
    pub count: String,
    /// "80 kg"; none where there is no load.
    pub load: Option<String>,
    /// "5 reps".
    pub amount: String,
    /// "leave 2".
    pub reserve: Option<String>,
    /// All of it in one sentence.
    pub sentence: String,
    /// "wanted 81 kg, made 80 kg".
    pub made: Option<String>,
    /// Why this load.
    pub because: Option<String>,
    /// What to know before it: sides, turns, what was eased.
    pub notes: Vec<String>,
    /// The hatched band: its head, and what can hurt, before the load.
    pub cautions: Vec<String>,
    /// How to get out.
    pub bail_out: Option<String>,
    /// What goes on the bar.
    pub discs: Option<DiscsScreen>,
    /// One technique cue.
    pub cue: Option<String>,
    /// When the hold that is counted began.
    pub hold: Option<Moment>,
}

/// A complete, plain screen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "foreign", derive(uniffi::Record))]
pub struct FloorScreen {
    /// Which stage: an id for the shell's layout.
    pub stage: String,
    /// What stands on top.
    pub title: String,
    /// The session line.
    pub line: Option<LineScreen>,
    /// What the lifter is told now.
    pub told: Vec<String>,
    /// The questions before.
    pub before: Vec<ButtonRow>,
    /// The set.
    pub set: Option<SetScreen>,
    /// "Then ..."
    pub then: Option<String>,
    /// The rest clock.
    pub clock: Option<ClockScreen>,
    /// The wide action.
    pub wide: Option<Button>,
    /// The other actions that are to hand.
    pub actions: Vec<Button>,
    /// Those that are seldom wanted: behind one touch more where there is little room.
    pub more: Option<ButtonRow>,
    /// Rows beside the wide action.
    pub rows: Vec<ButtonRow>,
    /// The open form.
    pub form: Option<FormScreen>,
    /// Undo, which says what it will take back.
    pub undo: Option<Button>,
    /// The head of the caution band.
    pub caution_head: String,
    /// The places, in words; none while a session is open.
    pub contents: Vec<PageButton>,
    /// For the left hand: what lies to the right on other screens lies to the left.
    pub mirrored: bool,
    /// What is said on request.
    pub spoken: String,
    /// Changes only when something under a reader's focus may change.
    pub stable: String,
}

/// Makes screens of views.
#[derive(Debug, Clone, Copy)]
pub struct FloorWords<'a> {
    /// The language.
    pub speech: &'a Speech,
    /// The catalogue, for names.
    pub catalogue: &'a Catalogue,
    /// The texts, whose cautions are translated.
    pub texts: &'a Texts,
    /// Names of the places.
    pub places: &'a [crate::floor::Place],
}

impl<'a> FloorWords<'a> {
    /// With the house's catalogue and places.
    pub fn new(speech: &'a Speech, house: &'a House<'_>) -> Self {
        Self { speech, catalogue: house.catalogue, texts: house.texts, places: &house.places }
    }

    /// The screen of a view.
    pub fn screen(&self, view: &View) -> FloorScreen {
        let buttons = |actions: &[crate::floor::Action]| -> Vec<Button> {
            actions.iter().map(|a| self.button(view, a)).collect()
        };
        let (seldom, to_hand): (Vec<_>, Vec<_>) =
            view.actions.iter().cloned().partition(|a| a.event.is_seldom());
        let more = (!seldom.is_empty())
            .then(|| ButtonRow { label: self.say("floor-more", &[]), buttons: buttons(&seldom) });
        let rows = |rows: &[crate::floor::Row]| -> Vec<ButtonRow> {
            rows.iter().map(|r| self.row(view, r)).collect()
        };
        let set = view.set.as_ref().map(|s| self.set(s));
        let title = self.title(view);
        let told: Vec<String> = self.told(view);
        let form = view.form.as_ref().map(|f| {
            let mut lines: Vec<String> = f.told.iter().map(|t| self.tell(t)).collect();
            if let Some(seconds) = f.seconds {
                let time = self.speech.duration(i64::from(seconds));
                lines.push(self.say("floor-answer-seconds", &[("time", (&time).into())]));
            }
            if let Some(side) = f.side {
                let side = self.side(side);
                lines.push(self.say("floor-side-asked", &[("side", (&side).into())]));
            }
            let rows = f.rows.iter().filter(|r| !r.actions.is_empty());
            FormScreen {
                title: self.form_title(view),
                lines,
                rows: rows.map(|r| self.row(view, r)).collect(),
            }
        });
        let then = view.then.as_ref().map(|m| {
            let name = self.inside(m);
            self.say("floor-then", &[("movement", (&name).into())])
        });
        let clock = view.rest.as_ref().map(|r| ClockScreen {
            label: self.say("floor-rest", &[]),
            ends_monotonic_ms: r.ends_monotonic_ms,
            ends_wall_ms: r.ends_wall_ms,
            boot: r.boot.clone(),
            over: self.say("floor-rest-over", &[]),
        });
        let wide = view.wide.as_ref().map(|a| self.button(view, a));
        let spoken = self.spoken(view, &title, set.as_ref(), wide.as_ref(), &told, form.as_ref());
        FloorScreen {
            stage: stage_id(&view.stage).into(),
            title,
            line: view.line.as_ref().map(|l| self.line(l)),
            told,
            before: rows(&view.before),
            set,
            then,
            clock,
            wide,
            actions: buttons(&to_hand),
            more,
            rows: rows(&view.rows),
            form,
            undo: view.undo.as_ref().map(|did| {
                let what = self.did(did);
                let label = self.say("floor-undo", &[("what", (&what).into())]);
                let spoken = label.clone();
                Button { event: Event::Undo, label, spoken, chosen: false, outlined: false, more: Vec::new() }
            }),
            caution_head: self.say("floor-caution", &[]),
            contents: Vec::new(),
            mirrored: false,
            spoken,
            stable: view.stable.clone(),
        }
    }

    /// Why an event did nothing.
    pub fn refused(&self, refused: &Refused) -> String {
        use crate::floor::Question;
        match refused {
            Refused::NotNow => self.say("floor-refused-not_now", &[]),
            Refused::Doubled => self.say("floor-refused-doubled", &[]),
            Refused::Field { field } => self.say("floor-refused-field", &[("field", field.into())]),
            Refused::Barred { because } => self.barred(because),
            Refused::Unanswered { question } => {
                let key = match question {
                    Question::Company => "floor-refused-company",
                    Question::Safeties => "floor-refused-safeties",
                    Question::Adult => "floor-refused-adult",
                };
                self.say(key, &[])
            }
            Refused::FlagStands => self.say("floor-refused-flag_stands", &[]),
            Refused::Plan { fault } => self.say("floor-refused-plan", &[("fault", fault.into())]),
        }
    }

    /// A bar to a beginning, which safety's words say.
    fn barred(&self, because: &str) -> String {
        self.say("floor-barred", &[("because", because.into())])
    }

    fn title(&self, view: &View) -> String {
        if let Some(form) = &view.form
            && form.kind != FormKind::OtherSide
        {
            return self.form_title(view);
        }
        match &view.stage {
            Stage::Before => self.say("floor-before", &[]),
            Stage::WarmUp => view.warm_up.map_or_else(String::new, |w| self.warm_up(w)),
            Stage::Lifting => view
                .set
                .as_ref()
                .map_or_else(String::new, |s| self.speech.movement_in(self.catalogue, &s.movement)),
            Stage::Resting => self.say("floor-rest", &[]),
            Stage::Finished => self.say("floor-finished", &[]),
            Stage::Paused => self.say("floor-paused", &[]),
            Stage::Ended { by } => self.say(
                match by {
                    crate::floor::ClosedBy::Lifter => "floor-ended-lifter",
                    crate::floor::ClosedBy::Flag => "floor-ended-flag",
                    crate::floor::ClosedBy::Forgotten => "floor-ended-forgotten",
                },
                &[],
            ),
        }
    }

    fn set(&self, s: &SetView) -> SetScreen {
        let n = |key, n: i32, of: i32| self.say(key, &[("n", n.into()), ("of", of.into())]);
        let count = match s.kind {
            SetKind::Ramp => n("floor-ramp", s.number, s.of),
            SetKind::Search => n("floor-search", s.number, s.of),
            SetKind::Working => n("floor-working", s.number, s.of),
        };
        let load = s.load.as_ref().map(|l| self.load(l));
        let amount = self.amount(s.amount, s.measure);
        let reserve = s.reserve.map(|r| self.say("floor-leave", &[("n", r.into())]));
        let parts: Vec<&str> =
            load.iter().map(String::as_str).chain([amount.as_str()]).chain(reserve.as_deref()).collect();
        let what = parts.join(", ");
        let sentence = self.say("floor-set", &[("count", (&count).into()), ("what", (&what).into())]);
        let made = s.wanted.as_ref().zip(s.load.as_ref().and_then(crate::floor::LoadDone::mass)).map(
            |(wanted, made)| {
                let (w, m) = (self.speech.mass(wanted), self.speech.mass(&made));
                self.say("floor-made", &[("wanted", (&w).into()), ("made", (&m).into())])
            },
        );
        let mut notes = Vec::new();
        if let Some([first, second]) = s.sides {
            let (a, b) = (self.side(first), self.side(second));
            notes.push(self.say("floor-one-sided", &[("first", (&a).into()), ("second", (&b).into())]));
        }
        if let Some(other) = &s.in_turn_with {
            let name = self.inside(other);
            notes.push(self.say("floor-in-turn", &[("movement", (&name).into())]));
        }
        if let Some(t) = &s.tempo {
            notes.push(super::tempo(self.speech, t));
        }
        if s.eased {
            notes.push(self.say("floor-eased", &[]));
        }
        if s.kit_taken {
            notes.push(self.say("floor-kit-taken", &[]));
        }
        if s.load_open {
            notes.push(self.say("floor-load-open", &[("reserve", s.reserve.unwrap_or(0).into())]));
        }
        if !s.lighter_ways.is_empty() {
            notes.push(self.say("floor-too-heavy", &[]));
        }
        SetScreen {
            movement: self.speech.movement_in(self.catalogue, &s.movement),
            count,
            load,
            amount,
            reserve,
            sentence,
            made,
            because: s.because.as_ref().map(|b| match b {
                LoadBecause::Proposed { why } => {
                    let key = format!("proposal-{}", why.replace('_', "-"));
                    let why = if self.speech.has(&key) { self.say(&key, &[]) } else { why.clone() };
                    self.say("floor-because-proposed", &[("why", (&why).into())])
                }
                LoadBecause::FromBest => self.say("floor-because-best", &[]),
                LoadBecause::Found => self.say("floor-because-found", &[]),
                LoadBecause::AsDone => self.say("floor-because-as-done", &[]),
                LoadBecause::Eased => self.say("floor-because-eased", &[]),
            }),
            notes,
            cautions: s
                .own_cautions
                .iter()
                .cloned()
                .chain(self.speech.cautions(self.texts, &s.movement).into_iter().take(s.cautions.len()))
                .collect(),
            bail_out: self.speech.bail_out(self.texts, &s.movement).filter(|_| s.bail_out.is_some()),
            discs: s.bar.as_ref().map(|b| self.discs(b)),
            cue: s.cue.as_ref().map(|c| {
                if s.cue_of_coach {
                    self.say("floor-coach-cue", &[("cue", c.into())])
                } else {
                    // The catalogue's cues are in English only, and are marked so in another language.
                    self.speech.english(c)
                }
            }),
            hold: s.hold.clone(),
        }
    }

    /// What is said on request: next set, cue, what is told.
    fn spoken(
        &self,
        view: &View,
        title: &str,
        set: Option<&SetScreen>,
        wide: Option<&Button>,
        told: &[String],
        form: Option<&FormScreen>,
    ) -> String {
        let mut said: Vec<String> = vec![dot(title)];
        if let Some(form) = form {
            said.extend(form.lines.iter().map(|l| dot(l)));
        } else {
            said.extend(told.iter().map(|t| dot(t)));
            if let Some(rest) = &view.rest {
                let time = self.speech.clock((rest.left_ms + 999) / 1000);
                said.push(dot(&self.say("floor-time-left", &[("time", (&time).into())])));
            }
            if let Some(set) = set {
                if !said.iter().any(|s| *s == dot(&set.movement)) {
                    said.push(dot(&set.movement));
                }
                said.extend(set.cautions.iter().map(|c| dot(c)));
                said.push(set.sentence.clone());
                said.extend(set.discs.iter().map(|d| dot(&d.words)));
                said.extend(set.notes.iter().map(|n| dot(n)));
                said.extend(set.cue.iter().map(|c| dot(c)));
            }
        }
        said.extend(wide.map(|w| dot(&w.spoken)));
        said.retain(|s| !s.is_empty());
        said.join(" ")
    }
}

/// A sentence with its full stop.
fn dot(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(['.', '?', '!', ':']) { text.to_owned() } else { format!("{text}.") }
}

fn stage_id(stage: &Stage) -> &'static str {
    match stage {
        Stage::Before => "before",
        Stage::WarmUp => "warm_up",
        Stage::Lifting => "lifting",
        Stage::Resting => "resting",
        Stage::Finished => "finished",
        Stage::Paused => "paused",
        Stage::Ended { .. } => "ended",
    }
}
