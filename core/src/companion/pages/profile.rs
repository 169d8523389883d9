//! Age, name, body mass, a guardian's grant, and the emergency number of the training place.

use super::typed::Typed;
use super::{Making, No, pick, yes_or_no};
use crate::companion::error::{CompanionError, ErrorKind};
use crate::companion::known::setting_text;
use crate::companion::{Companion, Moment};
use crate::page::{Block, Keys};
use crate::record::Sex;
use crate::safety::{Age, LONGEST_NAME};
use crate::terms::ADULT_YEARS;
use serde_json::Value;

/// The greatest age of a place: safety takes no later one.
const LATEST_AGE: u32 = 25;
const SEXES: [(&str, &str, Option<Sex>); 3] = [
    ("female", "profile-sex-female", Some(Sex::Female)),
    ("male", "profile-sex-male", Some(Sex::Male)),
    ("open", "profile-sex-open", None),
];

impl Companion {
    pub(super) fn profile_page(&self, moment: &Moment) -> Result<Making<'_>, CompanionError> {
        let s = &self.speech;
        let today = moment.local().date_naive();
        let standing = &self.known.standing;
        let lifter = self.lifter()?;
        let mut page = Making::new(s, s.say("pages-profile", &[]));
        page.sentence(s.say("profile-intro", &[]));
        page.entry("name", "profile-name", Keys::Words, lifter.name);
        page.entry("born_on", "profile-born-on", Keys::Date, lifter.born_on.map(|d| d.to_string()));
        let age = self.adult_age();
        let years = s.say("profile-age-of-the-place", &[("age", age.into())]);
        let step = |n: u32, key| pick("age_of_the_place", &n.to_string(), s.say(key, &[("n", 1.into())]));
        let mut steps = Vec::new();
        if age > ADULT_YEARS {
            steps.push(step(age - 1, "step-fewer"));
        }
        if age < LATEST_AGE {
            steps.push(step(age + 1, "step-more"));
        }
        page.blocks.push(Block::Question {
            label: years,
            notes: vec![s.say("profile-age-note", &[])],
            buttons: steps,
        });
        if lifter.born_on.is_none() || standing.says_minor {
            let minor = page.yes_no("minor", standing.says_minor.then_some(true));
            let label = s.say("profile-minor", &[("age", age.into())]);
            page.blocks.push(Block::Question { label, notes: Vec::new(), buttons: minor });
        }
        match standing.age(today) {
            Age::Unknown => page.sentence(s.say("heaviest-age-unknown", &[])),
            Age::Minor => self.ask_guardian(&mut page, moment),
            Age::Adult => {}
        }
        let sexes = SEXES.map(|(id, key, sex)| page.pick("sex", id, key, sex == self.known.sex));
        page.question("profile-sex", vec![s.say("profile-sex-note", &[])], sexes.to_vec());
        self.ask_body_mass(&mut page, moment);
        let number = setting_text(&self.known.settings, "emergency_number").map(ToOwned::to_owned);
        page.entry("emergency_number", "profile-emergency", Keys::Whole, number);
        page.sentence(s.say("profile-emergency-note", &[]));
        Ok(page)
    }

    fn adult_age(&self) -> u32 {
        self.known.standing.age_of_the_place.max(ADULT_YEARS)
    }

    /// A minor trains with a guardian's grant, and with an adult there.
    fn ask_guardian(&self, page: &mut Making<'_>, moment: &Moment) {
        let s = &self.speech;
        let age = self.adult_age();
        page.caution(vec![
            s.say("caution-minor-no-singles", &[("age", age.into())]),
            s.say("profile-minor-what", &[]),
        ]);
        let today = moment.local().date_naive();
        let granted = self.known.standing.guardian.as_ref();
        if let Some(g) = granted.filter(|g| g.in_force(today)) {
            let date = s.date_with_year(g.from);
            let args = [("by", (&g.by).into()), ("date", (&date).into())];
            page.sentence(s.say("profile-granted", &args));
            let withdraw = page.pick("grant", "withdraw", "profile-withdraw", false);
            page.question("profile-grant", Vec::new(), vec![withdraw]);
        } else {
            page.sentence(s.say("barred-no-guardian", &[("age", age.into())]));
            page.blocks.push(Block::Entry {
                field: "guardian".into(),
                label: s.say("profile-guardian", &[]),
                notes: vec![s.say("profile-guardian-note", &[])],
                value: String::new(),
                keys: Keys::Words,
                save: s.say("profile-grant-it", &[]),
            });
        }
    }

    pub(super) fn choose_in_profile(&mut self, field: &str, value: &str, moment: &Moment) -> Result<(), No> {
        let today = moment.local().date_naive();
        let typed = |label| Typed::new(&self.speech, label, value);
        let no_value = || No::Field("value".into());
        match field {
            "name" | "born_on" if value.trim().is_empty() => self.tell_lifter(field, &Value::Null, moment)?,
            "name" => {
                let name = typed("profile-name").words(LONGEST_NAME)?;
                self.tell_lifter(field, &name.into(), moment)?;
            }
            "born_on" => {
                let born = typed("profile-born-on");
                let day = born.past(today)?;
                let too_old = self.speech.say("typed-born", &[("what", (&born.what).into())]);
                self.tell_lifter(field, &day.to_string().into(), moment).map_err(|e| match e.kind {
                    ErrorKind::Safety => No::Refused(too_old),
                    _ => No::Failed(e),
                })?;
            }
            "age_of_the_place" => {
                let age = value.parse::<u32>().ok().filter(|n| (ADULT_YEARS..=LATEST_AGE).contains(n));
                self.set(field, age.ok_or_else(no_value)?.into(), moment)?;
            }
            "minor" => {
                let minor = yes_or_no(value)?;
                self.set(field, if minor { true.into() } else { Value::Null }, moment)?;
            }
            "sex" => {
                let (_, _, sex) = SEXES.into_iter().find(|(id, _, _)| *id == value).ok_or_else(no_value)?;
                let told = sex.map_or(Value::Null, |_| value.into());
                self.tell_lifter(field, &told, moment)?;
            }
            "guardian" if self.known.standing.age(today) == Age::Minor => {
                let by = typed("profile-guardian").words(LONGEST_NAME)?;
                self.give_guardian_grant(&by, moment)?;
            }
            "grant" if value == "withdraw" => self.withdraw_guardian_grant(moment)?,
            "emergency_number" if value.trim().is_empty() => self.set(field, Value::Null, moment)?,
            "emergency_number" => {
                let number = typed("profile-emergency").telephone()?;
                self.set(field, number.into(), moment)?;
            }
            _ => self.choose_body_mass(field, value, moment)?,
        }
        Ok(())
    }
}
