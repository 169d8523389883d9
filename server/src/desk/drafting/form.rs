//! The brief as a form, and back. What the form does not ask (kit with its discs, own movements, own weekly sets) stays
//! as the brief has it, and is written in the document below the form.

use super::super::look::proof;
use super::super::shelf;
use super::super::visit::Visit;
use super::work::Draft;
use maud::{Markup, html};
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::{Weekday, read_brief};
use plinth_core::words::Speech;
use serde_json::{Map, Value, json};

/// Rows that are offered for what is listed, beyond those that are filled.
const SPARE: usize = 1;
/// Rows at most.
const ROWS: usize = 30;
/// The wishes, by their words in a brief.
const WISHES: [&str; 4] = ["require", "prefer", "avoid", "forbid"];
/// The limits that are a yes or a no.
const LIMITS: [&str; 6] = [
    "stiff_ankles",
    "no_lying_on_back",
    "no_lying_on_front",
    "no_long_breath_hold",
    "no_maximal_lifts",
    "minor",
];
const SCREENINGS: [&str; 3] = ["unanswered", "answered_no_limit", "answered_light_to_moderate"];
const AGES: [&str; 3] = ["novice", "intermediate", "advanced"];
const GOALS: [&str; 3] = ["strength", "size", "health"];
const SEVERITIES: [&str; 3] = ["mild", "moderate", "severe"];
const NATURES: [&str; 2] = ["usual", "new_or_worse"];

/// The first value of a name.
pub(super) fn value<'a>(given: &'a [(String, String)], name: &str) -> &'a str {
    given.iter().find(|(n, _)| n == name).map_or("", |(_, v)| v)
}

/// A word of a name in our own words: `draft-GROUP-WORD`.
fn word(s: &Speech, group: &str, word: &str) -> String {
    s.say(&format!("draft-{group}-{}", word.replace('_', "-")), &[])
}

fn text(brief: &Map<String, Value>, name: &str) -> String {
    match brief.get(name) {
        Some(Value::String(t)) => t.clone(),
        Some(Value::Array(all)) => all.iter().map(plain).collect::<Vec<_>>().join(", "),
        Some(other) => plain(other),
        None => String::new(),
    }
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(t) => t.clone(),
        Value::Null => String::new(),
        other => other.to_string(),
    }
}

fn list<'a>(brief: &'a Map<String, Value>, name: &str) -> &'a [Value] {
    brief.get(name).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

fn holds(brief: &Map<String, Value>, name: &str, id: &str) -> bool {
    list(brief, name).iter().any(|v| v.as_str() == Some(id))
}

fn is_on(brief: &Map<String, Value>, name: &str) -> bool {
    brief.get(name).and_then(Value::as_bool).unwrap_or(false)
}

/// The form of a draft's brief.
pub(super) fn form(visit: &Visit, draft: &Draft, bare: &Catalogue) -> Markup {
    let brief = &draft.brief;
    let json = serde_json::to_vec(brief).unwrap_or_default();
    let own = read_brief(&json, bare).map(|(_, c)| c);
    let catalogue = own.as_ref().unwrap_or(bare);
    let s = &*shelf::speech_of(visit, catalogue);
    let limits = brief.get("limits").and_then(Value::as_object).cloned().unwrap_or_default();
    let goal = brief.get("goal").and_then(Value::as_object).cloned().unwrap_or_default();
    let document = serde_json::to_string_pretty(brief).unwrap_or_default();
    let number = |name: &str, label: &str, least: u32, most: u32| {
        html! {
            label for=(name) { (s.say(label, &[])) }
            input id=(name) name=(name) type="number" min=(least) max=(most) value=(text(brief, name));
        }
    };
    html! {
        form #brief-form method="post" action={ "/desk/drafting/" (draft.id) } {
            (proof(visit))
            div.column {
                label for="title" { (s.say("desk-publish-title", &[])) }
                input #title name="title" maxlength="120" value=(text(brief, "title"));
                (number("days", "draft-days", 1, 6))
                label for="minutes" { (s.say("draft-minutes", &[])) }
                input #minutes name="minutes" required value=(text(brief, "minutes")) aria-describedby="minutes-note";
                span.soft #minutes-note { (s.say("draft-minutes-note", &[])) }
                (number("weeks", "draft-weeks", 4, 6))
            }
            fieldset {
                legend { (s.say("draft-weekdays", &[])) }
                div.boxes {
                    @for day in Weekday::ALL {
                        @let id = serde_json::to_value(day).ok().and_then(|v| v.as_str().map(str::to_owned)).unwrap_or_default();
                        (tick("weekday", &id, &s.weekday(day), holds(brief, "weekdays", &id)))
                    }
                }
            }
            fieldset {
                legend { (s.say("draft-goal", &[])) }
                div.boxes {
                    @for part in GOALS {
                        span {
                            label for={ "goal-" (part) } { (word(s, "goal", part)) } " "
                            input.short id={ "goal-" (part) } name={ "goal_" (part) } type="number" min="0" max="100"
                                value=(goal.get(part).map(plain).unwrap_or_default());
                        }
                    }
                }
            }
            div.column {
                (choice(s, "training_age", "draft-age-of-training", "age", &AGES, &text(brief, "training_age")))
                (number("age_years", "draft-years", 5, 120))
                label for="body_mass" { (s.say("draft-body-mass", &[])) }
                input #body_mass name="body_mass" value=(text(brief, "body_mass")) placeholder="80 kg";
                (choice(s, "screening", "draft-screening", "screening", &SCREENINGS, limits.get("screening").and_then(Value::as_str).unwrap_or("unanswered")))
            }
            fieldset {
                legend { (s.say("draft-company", &[])) }
                div.boxes {
                    @for name in ["alone", "safeties", "in_turn"] {
                        (tick(name, "yes", &word(s, "is", name), is_on(brief, name)))
                    }
                }
            }
            details open[!list(brief, "wishes").is_empty()] {
                summary { (s.say("draft-wishes", &[])) }
                p.soft { (s.say("draft-wishes-about", &[])) }
                @for (k, w) in rows(list(brief, "wishes")) {
                    div.row {
                        (pick(s, &format!("wish_{k}"), &s.say("draft-wish-n", &[("n", (k + 1).into())]), "wish", &WISHES, w.get("wish")))
                        (movements(s, catalogue, &format!("wish_movement_{k}"), w.get("movement"), w.get("pattern")))
                        input.short name={ "wish_times_" (k) } type="number" min="1" max="6" aria-label=(s.say("draft-wish-times", &[]))
                            value=(w.get("times").map(plain).unwrap_or_default());
                    }
                }
            }
            details open[!list(brief, "discomforts").is_empty()] {
                summary { (s.say("draft-discomforts", &[])) }
                p.soft { (s.say("draft-discomforts-about", &[])) }
                @for (k, d) in rows(list(brief, "discomforts")) {
                    div.row {
                        (named(&format!("region_{k}"), &s.say("draft-region-n", &[("n", (k + 1).into())]), d.get("region"),
                            catalogue.regions.iter().map(|r| (r.id.clone(), s.region(&r.id)))))
                        (pick(s, &format!("severity_{k}"), &s.say("draft-severity", &[]), "severity", &SEVERITIES, d.get("severity")))
                        (pick(s, &format!("nature_{k}"), &s.say("draft-nature", &[]), "nature", &NATURES, d.get("nature")))
                    }
                }
            }
            details open[LIMITS.iter().any(|l| is_on(&limits, l))] {
                summary { (s.say("draft-limits", &[])) }
                p.soft { (s.say("draft-limits-about", &[])) }
                div.boxes { @for limit in LIMITS { (tick(limit, "yes", &word(s, "limit", limit), is_on(&limits, limit))) } }
            }
            details {
                summary { (s.say("draft-kit", &[("n", list(brief, "equipment").len().into())])) }
                div.boxes {
                    @for item in &catalogue.equipment {
                        (tick("kit", &item.id, &s.kit_item(&item.id), holds(brief, "equipment", &item.id)))
                    }
                }
            }
            details open[!list(brief, "priorities").is_empty()] {
                summary { (s.say("draft-priorities", &[])) }
                div.boxes {
                    @for muscle in &catalogue.muscles {
                        (tick("priority", &muscle.id, &s.muscle(&muscle.id), holds(brief, "priorities", &muscle.id)))
                    }
                }
            }
            details {
                summary { (s.say("draft-bests", &[("n", list(brief, "bests").len().into())])) }
                @for (k, b) in rows(list(brief, "bests")) {
                    div.row {
                        (movements(s, catalogue, &format!("best_movement_{k}"), b.get("movement"), None))
                        input.short name={ "best_load_" (k) } aria-label=(s.say("draft-best-load", &[])) placeholder="100 kg"
                            value=(b.get("load").map(plain).unwrap_or_default());
                        input.short name={ "best_reps_" (k) } type="number" min="1" max="30" aria-label=(s.say("draft-best-reps", &[]))
                            value=(b.get("reps").map(plain).unwrap_or_default());
                        input.short name={ "best_reserve_" (k) } type="number" min="0" max="10" aria-label=(s.say("draft-best-reserve", &[]))
                            value=(b.get("reserve").map(plain).unwrap_or_default());
                    }
                }
            }
            p { button.act { (s.say("draft-solve", &[])) } }
        }
        details {
            summary { (s.say("draft-document", &[])) }
            p.soft { (s.say("draft-document-about", &[])) }
            form.column method="post" action={ "/desk/drafting/" (draft.id) "/document" } {
                (proof(visit))
                label for="document" { (s.say("draft-document-label", &[])) }
                textarea #document name="document" rows="14" spellcheck="false" { (document) }
                button { (s.say("draft-document-take", &[])) }
            }
        }
    }
}

/// What is listed, and rows for more.
fn rows(of: &[Value]) -> impl Iterator<Item = (usize, Map<String, Value>)> + '_ {
    let filled = of.iter().map(|v| v.as_object().cloned().unwrap_or_default());
    filled.chain(std::iter::repeat_with(Map::new).take(SPARE)).take(ROWS).enumerate()
}

fn tick(name: &str, value: &str, label: &str, on: bool) -> Markup {
    let id = format!("{name}-{value}");
    html! {
        span.tick {
            input type="checkbox" name=(name) value=(value) id=(id) checked[on];
            label for=(id) { (label) }
        }
    }
}

/// A question with one answer, in our own words.
fn choice(s: &Speech, name: &str, label: &str, group: &str, words: &[&str], now: &str) -> Markup {
    html! {
        label for=(name) { (s.say(label, &[])) }
        select id=(name) name=(name) {
            @for w in words { option value=(w) selected[*w == now] { (word(s, group, w)) } }
        }
    }
}

/// A part of a row: one of our own words.
fn pick(s: &Speech, name: &str, label: &str, group: &str, words: &[&str], now: Option<&Value>) -> Markup {
    let now = now.and_then(Value::as_str);
    html! {
        select name=(name) aria-label=(label) {
            @for w in words { option value=(w) selected[Some(*w) == now] { (word(s, group, w)) } }
        }
    }
}

/// A part of a row: one of what has a name, or nothing.
fn named(
    name: &str,
    label: &str,
    now: Option<&Value>,
    all: impl Iterator<Item = (String, String)>,
) -> Markup {
    let now = now.and_then(Value::as_str);
    html! {
        select name=(name) aria-label=(label) {
            option value="" { "–" }
            @for (id, told) in all { option value=(id) selected[Some(&*id) == now] { (told) } }
        }
    }
}

/// A part of a row: a movement under its pattern, or a whole pattern where the brief names one.
fn movements(s: &Speech, c: &Catalogue, name: &str, now: Option<&Value>, pattern: Option<&Value>) -> Markup {
    let (now, of) = (now.and_then(Value::as_str), pattern.and_then(Value::as_str));
    html! {
        select name=(name) aria-label=(s.say("desk-movement", &[])) {
            option value="" { "–" }
            @if let Some(p) = of { option value={ "pattern:" (p) } selected { (s.pattern(p)) } }
            @for (k, p) in c.patterns.iter().enumerate() {
                optgroup label=(s.pattern(&p.id)) {
                    @for m in c.movements.iter().filter(|m| m.pattern == k) {
                        option value=(m.id) selected[Some(&*m.id) == now] { (s.movement_in(c, &m.id)) }
                    }
                }
            }
        }
    }
}

/// What the form says, written over the brief that there was. Whether it can be read is for [`read_brief`] to say, so
/// that its message names the field.
pub(super) fn read(given: &[(String, String)], before: &Map<String, Value>) -> Map<String, Value> {
    let mut brief = before.clone();
    let all = |name: &str| -> Vec<Value> {
        given.iter().filter(|(n, _)| n == name).map(|(_, v)| json!(v)).collect()
    };
    let mut set = |name: &str, value: Value| {
        if value.is_null() {
            brief.remove(name)
        } else {
            brief.insert(name.to_owned(), value)
        };
    };
    set("title", json!(value(given, "title").trim()));
    for name in ["days", "weeks", "age_years"] {
        set(name, number(value(given, name)));
    }
    let minutes: Vec<Value> = value(given, "minutes").split([',', ';']).map(number).collect();
    set("minutes", if let [one] = &minutes[..] { one.clone() } else { json!(minutes) });
    let mass = value(given, "body_mass").trim();
    set("body_mass", if mass.is_empty() { Value::Null } else { json!(mass) });
    set("training_age", json!(value(given, "training_age")));
    for name in ["alone", "safeties", "in_turn"] {
        set(name, json!(!value(given, name).is_empty()));
    }
    for (name, of) in [("weekdays", "weekday"), ("equipment", "kit"), ("priorities", "priority")] {
        // What was there keeps its order; what is new follows.
        let ticked = all(of);
        let was = list(before, name);
        let kept = was.iter().filter(|v| ticked.contains(v));
        let fresh = ticked.iter().filter(|v| !was.contains(v));
        set(name, json!(kept.chain(fresh).collect::<Vec<_>>()));
    }
    let goal: Map<String, Value> = GOALS
        .iter()
        .map(|part| ((*part).to_owned(), number(value(given, &format!("goal_{part}")))))
        .filter(|(_, v)| !v.is_null())
        .collect();
    set("goal", json!(goal));
    let mut limits = before.get("limits").and_then(Value::as_object).cloned().unwrap_or_default();
    for limit in LIMITS {
        limits.insert(limit.to_owned(), json!(!value(given, limit).is_empty()));
    }
    limits.insert("screening".into(), json!(value(given, "screening")));
    set("limits", json!(limits));
    set("wishes", json!(wishes(given)));
    let discomforts = (0..ROWS).filter_map(|k| {
        let region = value(given, &format!("region_{k}"));
        let of = |name: &str| value(given, &format!("{name}_{k}"));
        (!region.is_empty())
            .then(|| json!({"region": region, "severity": of("severity"), "nature": of("nature")}))
    });
    set("discomforts", json!(discomforts.collect::<Vec<_>>()));
    let bests = (0..ROWS).filter_map(|k| {
        let of = |name: &str| value(given, &format!("best_{name}_{k}"));
        let reserve = number(of("reserve"));
        (!of("movement").is_empty()).then(|| {
            json!({
                "movement": of("movement"), "load": of("load").trim(), "reps": number(of("reps")),
                "reserve": if reserve.is_null() { json!(0) } else { reserve },
            })
        })
    });
    set("bests", json!(bests.collect::<Vec<_>>()));
    brief
}

fn wishes(given: &[(String, String)]) -> Vec<Value> {
    let one = |k: usize| {
        let what = value(given, &format!("wish_movement_{k}"));
        let mut wish = json!({"wish": value(given, &format!("wish_{k}"))});
        match what.strip_prefix("pattern:") {
            _ if what.is_empty() => return None,
            Some(pattern) => wish["pattern"] = json!(pattern),
            None => wish["movement"] = json!(what),
        }
        let times = number(value(given, &format!("wish_times_{k}")));
        if !times.is_null() {
            wish["times"] = times;
        }
        Some(wish)
    };
    (0..ROWS).filter_map(one).collect()
}

/// A whole number as typed; what is none stays a text, so that it is refused by its field and not lost.
fn number(text: &str) -> Value {
    let text = text.trim();
    match text.parse::<u32>() {
        Ok(n) => json!(n),
        Err(_) if text.is_empty() => Value::Null,
        Err(_) => json!(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plinth_core::plan::brief::{Brief, FIRST_BRIEF};

    /// What a browser would post of a form: the values that stand in it.
    fn posted(html: &str) -> Vec<(String, String)> {
        let attr = |tag: &str, name: &str| {
            let rest = tag.split_once(&format!("{name}=\"")).map(|(_, rest)| rest)?;
            Some(rest.split('"').next().unwrap_or_default().replace("&quot;", "\"").replace("&amp;", "&"))
        };
        let mut out = Vec::new();
        let mut select: Option<(String, Option<String>)> = None;
        for tag in html.split('<').skip(1).map(|t| t.split('>').next().unwrap_or_default()) {
            if tag.starts_with("select") {
                select = Some((attr(tag, "name").unwrap(), None));
            } else if let (Some((_, now)), true) = (&mut select, tag.starts_with("option")) {
                if tag.contains(" selected") || now.is_none() {
                    *now = attr(tag, "value");
                }
            } else if tag.starts_with("/select") {
                out.extend(select.take().map(|(n, v)| (n, v.unwrap_or_default())));
            } else if tag.starts_with("input") {
                let ticked = !tag.contains("type=\"checkbox\"") || tag.contains(" checked");
                if let (Some(name), true) = (attr(tag, "name"), ticked) {
                    out.push((name, attr(tag, "value").unwrap_or_default()));
                }
            }
        }
        out
    }

    #[test]
    fn a_form_that_nobody_touched_says_what_the_brief_said() {
        let bare = Catalogue::builtin().unwrap();
        for json in [&include_bytes!("../../../data/example-brief.json")[..], FIRST_BRIEF.as_bytes()] {
            let Value::Object(before) = serde_json::from_slice(json).unwrap() else { unreachable!() };
            let draft = super::super::work::tests::draft(before.clone());
            let html = form(&Visit::of_nobody(), &draft, &bare).into_string();
            let form = html.split("</form>").next().unwrap();
            let after = read(&posted(form), &before);
            let read = |map: &Map<String, Value>| -> Brief {
                read_brief(&serde_json::to_vec(map).unwrap(), &bare).unwrap().0
            };
            assert_eq!(read(&after), read(&before));
        }
    }

    #[test]
    fn what_is_no_number_is_kept_and_refused_by_its_field() {
        let given = [("days".to_owned(), "three".to_owned()), ("minutes".to_owned(), "60, 45".to_owned())];
        let brief = read(&given, &Map::new());
        assert_eq!(brief["days"], json!("three"));
        assert_eq!(brief["minutes"], json!([60, 45]));
        let faults =
            read_brief(&serde_json::to_vec(&brief).unwrap(), &Catalogue::builtin().unwrap()).unwrap_err();
        assert!(faults.iter().any(|f| f.field == "days"), "{faults:?}");
    }
}
