//! What the week is made from: one page with sensible answers already in it, and the touch that makes the week.

use super::typed::Typed;
use super::{Did, Making, No, pick, yes_or_no};
use crate::companion::locker::{HEAVIEST_BODY_KG, LIGHTEST_BODY_KG, possible_body_mass};
use crate::companion::{Companion, Moment};
use crate::load::Kit;
use crate::page::{Deed, Keys, PageButton, Place, Spot};
use crate::plan::brief::{Brief, Minutes, TrainingAge, read_brief};
use crate::plan::search::Effort;
use crate::words;

/// The field of the draft that holds the brief.
const DRAFT: &str = "brief";
/// Minutes of a step, and those that a session may have.
const STEP_MIN: u32 = 5;
const LEAST_MIN: u32 = 5;
const MOST_MIN: u32 = 240;
const MOST_DAYS: u32 = 6;

const AGES: [(&str, TrainingAge); 3] = [
    ("novice", TrainingAge::Novice),
    ("intermediate", TrainingAge::Intermediate),
    ("advanced", TrainingAge::Advanced),
];

impl Companion {
    /// The brief of the page: as changed there, else as it stands.
    fn brief_here(&self) -> Brief {
        let drafted = self.visit.drafted(&Spot::Brief, DRAFT);
        let stands = self.brief_to_change();
        match drafted.and_then(|json| read_brief(json.as_bytes(), &self.known.catalogue).ok()) {
            // Limits and discomforts have pages of their own: those of the draft may be older.
            Some((brief, _)) => Brief { limits: stands.limits, discomforts: stands.discomforts, ..brief },
            None => stands,
        }
    }

    pub(super) fn brief_page(&self, moment: &Moment) -> Making<'_> {
        let s = &self.speech;
        let brief = self.brief_here();
        let mut page = Making::new(s, s.say("pages-brief", &[]));
        page.sentence(s.say("brief-intro", &[]));
        if self.light_only(moment) {
            let open = !self.known.standing.screening.complete();
            page.caution(vec![s.say(if open { "screening-open" } else { "notice-light" }, &[])]);
            page.line(s.say("pages-screening", &[]), Vec::new(), Spot::Screening);
        }
        let days = |n: u32| pick("days", &n.to_string(), n.to_string()).chosen(n == brief.days);
        page.question("brief-days", Vec::new(), (1..=MOST_DAYS).map(days).collect());
        page.question("brief-minutes", self.minutes_note(&brief), self.minutes_offered(&brief));
        page.question("brief-place", vec![s.say("brief-place-note", &[])], self.places_offered(&brief));
        page.line(s.say("pages-kits", &[]), Vec::new(), Spot::Kits);
        let goals = self.shelf.begin.goals.iter();
        let goal = |id: &str| s.say(&format!("brief-goal-{id}"), &[]);
        let goals = goals.map(|g| pick("goal", &g.id, goal(&g.id)).chosen(g.goal == brief.goal)).collect();
        page.question("brief-goal", Vec::new(), goals);
        let age = |(id, age): (&str, TrainingAge)| {
            pick("experience", id, s.say(&format!("brief-experience-{id}"), &[]))
                .chosen(age == brief.training_age)
        };
        page.question("brief-experience", Vec::new(), AGES.map(age).to_vec());
        let alone = [("yes", "floor-company-alone", true), ("no", "floor-company-spotted", false)]
            .map(|(value, key, alone)| page.pick("alone", value, key, brief.alone == alone));
        page.question("floor-row-company", vec![s.say("brief-alone-note", &[])], alone.to_vec());
        let safeties = page.yes_no("safeties", Some(brief.safeties));
        page.question("floor-row-safeties", Vec::new(), safeties);
        self.ask_body_mass(&mut page, moment);
        let running = self.known.programmes.running.is_some();
        if running {
            page.sentence(s.say("brief-from-today", &[]));
        }
        page.deed(if running { "brief-make-next" } else { "page-make-week" }, Deed::MakeWeek, true);
        page
    }

    /// Minutes that differ from day to day stay until others are chosen.
    fn minutes_note(&self, brief: &Brief) -> Vec<String> {
        let Minutes::Each(each) = &brief.minutes else { return Vec::new() };
        let each: Vec<String> = each.iter().map(|m| self.speech.minutes(i64::from(*m))).collect();
        vec![self.speech.say("brief-minutes-each", &[("minutes", (&each.join(", ")).into())])]
    }

    fn minutes_offered(&self, brief: &Brief) -> Vec<PageButton> {
        let s = &self.speech;
        let now = brief.minutes_of(0);
        let same = matches!(brief.minutes, Minutes::Same(_));
        let mut all = self.shelf.begin.minutes.clone();
        if same && !all.contains(&now) {
            all.push(now);
            all.sort_unstable();
        }
        let button =
            |m: &u32| pick("minutes", &m.to_string(), s.minutes(i64::from(*m))).chosen(same && *m == now);
        let mut buttons: Vec<PageButton> = all.iter().map(button).collect();
        let steps =
            [("brief-shorter", now.checked_sub(STEP_MIN)), ("brief-longer", now.checked_add(STEP_MIN))];
        for (key, minutes) in steps {
            if let Some(m) = minutes.filter(|m| (LEAST_MIN..=MOST_MIN).contains(m)) {
                buttons.push(pick("minutes", &m.to_string(), s.say(key, &[("n", STEP_MIN.into())])));
            }
        }
        buttons
    }

    /// The lifter's own places first, then kits to begin from.
    fn places_offered(&self, brief: &Brief) -> Vec<PageButton> {
        let own = self.known.places.iter().filter_map(|p| {
            let id = p.entry?.to_string();
            let chosen = brief.kit.as_ref() == Some(&p.kit)
                && p.equipment.as_ref().is_none_or(|e| *e == brief.equipment);
            Some(pick("place", &id, p.name.clone()).chosen(chosen))
        });
        let mut all: Vec<PageButton> = own.collect();
        let found = all.iter().any(|b| b.chosen);
        all.extend(
            self.shelf
                .begin
                .places
                .iter()
                .map(|p| pick("place", &p.id, self.starting_place(&p.id)).chosen(!found && p.is_of(brief))),
        );
        all
    }

    /// The name of a kit to begin from.
    pub(super) fn starting_place(&self, id: &str) -> String {
        self.speech.say(&format!("begin-place-{}", id.replace('_', "-")), &[])
    }

    pub(super) fn choose_in_brief(&mut self, field: &str, value: &str, moment: &Moment) -> Result<(), No> {
        let no_value = || No::Field("value".into());
        let mut brief = self.brief_here();
        match field {
            "days" => {
                let days = value.parse().ok().filter(|d| (1..=MOST_DAYS).contains(d)).ok_or_else(no_value)?;
                if days != brief.days && matches!(brief.minutes, Minutes::Each(_)) {
                    brief.minutes = Minutes::Same(brief.minutes_of(0));
                }
                brief.days = days;
            }
            "minutes" => {
                let range = LEAST_MIN..=MOST_MIN;
                let minutes = value.parse().ok().filter(|m| range.contains(m)).ok_or_else(no_value)?;
                brief.minutes = Minutes::Same(minutes);
            }
            "place" => {
                let (equipment, kit) = self.place_to_begin(value).ok_or_else(no_value)?;
                if let Some(equipment) = equipment {
                    brief.equipment = equipment;
                }
                brief.kit = Some(kit);
            }
            "goal" => brief.goal = self.shelf.begin.goal(value).ok_or_else(no_value)?,
            "experience" => {
                let age = AGES.into_iter().find(|(id, _)| *id == value).ok_or_else(no_value)?;
                brief.training_age = age.1;
            }
            "alone" => brief.alone = yes_or_no(value)?,
            "safeties" => brief.safeties = yes_or_no(value)?,
            _ => return self.choose_body_mass(field, value, moment),
        }
        let json = serde_json::to_string(&brief).map_err(|_| no_value())?;
        read_brief(json.as_bytes(), &self.known.catalogue)
            .map_err(|faults| words::fault::document_faults(&self.speech, &faults))?;
        self.visit.draft(&Spot::Brief, DRAFT, json);
        Ok(())
    }

    /// Pieces and loads of a place of the lifter's, or of one to begin from.
    fn place_to_begin(&self, id: &str) -> Option<(Option<Vec<String>>, Kit)> {
        if let Some(place) = self.shelf.begin.place(id) {
            return Some((Some(place.equipment.clone()), place.kit()));
        }
        let own = self.known.places.iter().find(|p| p.entry.is_some_and(|e| e.to_string() == id))?;
        Some((own.equipment.clone(), own.kit.clone()))
    }

    /// Keeps the brief and makes the week from today; the one before ends on the day before and stays in the record.
    pub(super) fn make_week(&mut self, moment: &Moment) -> Result<Did, No> {
        let brief = serde_json::to_vec(&self.brief_here()).map_err(|_| No::NotHere)?;
        self.tell_brief(&brief, moment)?;
        let next = self.next_block(moment, Effort::QUICK, &mut || true)?;
        let programme = serde_json::to_vec(&next.answer.programme).map_err(|_| No::NotHere)?;
        self.take_on(&programme, "own", moment.local().date_naive(), moment)?;
        self.visit.drop_draft();
        self.visit.go(Place::Week.spot());
        Ok(Did::default())
    }

    /// Asks for body mass, where it is shown at all: not to a minor.
    pub(super) fn ask_body_mass(&self, page: &mut Making<'_>, moment: &Moment) {
        let today = moment.local().date_naive();
        if !self.known.standing.body_mass_shown(today) {
            return;
        }
        let newest = self.known.body.all().last().map(|m| self.speech.decimal(&m.mass.to_string()));
        page.entry("body_mass", "body-mass", Keys::Decimal, newest);
        self.ask_unit(page);
    }

    /// Keeps what [`Self::ask_body_mass`] asked.
    pub(super) fn choose_body_mass(&mut self, field: &str, value: &str, moment: &Moment) -> Result<(), No> {
        let today = moment.local().date_naive();
        if !self.known.standing.body_mass_shown(today) {
            return Err(No::Field(field.to_owned()));
        }
        match field {
            "body_mass" => {
                let typed = Typed::new(&self.speech, "body-mass", value);
                let mass = typed.mass(self.typed_unit())?;
                if !possible_body_mass(&mass) {
                    let (low, high) = (LIGHTEST_BODY_KG, HEAVIEST_BODY_KG);
                    let args = [("what", (&typed.what).into()), ("low", low.into()), ("high", high.into())];
                    return Err(self.speech.say("typed-body-mass", &args).into());
                }
                self.tell_body_mass(&mass, moment)?;
                Ok(())
            }
            "typed_unit" => self.choose_unit(value, moment),
            _ => Err(No::Field(field.to_owned())),
        }
    }
}
