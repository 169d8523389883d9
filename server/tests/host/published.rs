//! A draft as a coach keeps it, and what the tests of the desk ask of what became of it.

use crate::browser::{Browser, Page};
use crate::common::{Running, entry, id};
use plinth::host::account::Role;
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::read_brief;
use plinth_core::plan::programme::Programme;
use plinth_core::record::EntryId;
use plinth_tests::Data;
use serde_json::{Value, json};
use std::sync::LazyLock;

/// A brief and a programme that was made of it, and the catalogue of both.
pub(crate) struct Course {
    pub(crate) brief: Value,
    pub(crate) programme: Programme,
    pub(crate) catalogue: Catalogue,
}

/// Three evenings in a small gym.
pub(crate) static COURSE: LazyLock<Course> = LazyLock::new(|| {
    let text = include_bytes!("../../data/example-brief.json");
    let data = Data::builtin().unwrap();
    let (brief, catalogue) = read_brief(text, &data.catalogue).unwrap();
    let programme = data.publish(&brief);
    Course { brief: serde_json::from_slice(text).unwrap(), programme, catalogue }
});

impl Course {
    pub(crate) fn document(&self) -> Value {
        serde_json::to_value(&self.programme).unwrap()
    }
}

/// A coach with a phone, a browser and a draft.
pub(crate) struct Coach {
    pub(crate) browser: Browser,
    pub(crate) token: String,
    pub(crate) draft: EntryId,
}

impl Coach {
    pub(crate) async fn of(gym: &Running, name: &str) -> Self {
        let token = gym.token(name, Role::Coach).await;
        let draft = json!({
            "title": "Three evenings", "brief": COURSE.brief, "programme": COURSE.document(),
            "made_at": "2026-05-03T18:04:09.250+02:00",
        });
        gym.push(&token, vec![entry(700, "draft", draft, 60)]).await;
        let mut browser = Browser::default();
        browser.sign_in(gym, name).await;
        Self { browser, token, draft: id(700) }
    }

    /// Publishes the draft under a title; says where it lies then.
    pub(crate) async fn publish(&mut self, gym: &Running, title: &str) -> String {
        let page = self.try_to_publish(gym, title).await;
        assert_eq!(page.status, 303, "{}", page.text);
        page.header("location").unwrap().to_owned()
    }

    pub(crate) async fn try_to_publish(&mut self, gym: &Running, title: &str) -> Page {
        let draft = self.draft.to_string();
        let on = format!("/desk/published/new?draft={draft}");
        self.browser.fill(gym, &on, "/desk/published", &[("draft", &draft), ("title", title)]).await
    }

    /// Sends what lies there to lifters.
    pub(crate) async fn send(&mut self, gym: &Running, at: &str, to: &[&str]) -> Page {
        let to: Vec<(&str, &str)> = to.iter().map(|who| ("to", *who)).collect();
        self.browser.fill(gym, at, &format!("{at}/send"), &to).await
    }
}

/// A lifter with a grant for `mara`; its token.
pub(crate) async fn lifter(gym: &Running, name: &str, may: &[&str]) -> String {
    let token = gym.token(name, Role::Lifter).await;
    grant(gym, &token, may, 50).await;
    token
}

/// Grants `mara` what is said, and no more.
pub(crate) async fn grant(gym: &Running, token: &str, may: &[&str], minutes_ago: i64) {
    let from = "2026-01-01T00:00:00.000+00:00";
    let fields = json!({"to": "mara", "may": may, "from": from});
    gym.push(token, vec![entry(900, "grant", fields, minutes_ago)]).await;
}

/// Withdraws all that was granted.
pub(crate) async fn withdraw(gym: &Running, token: &str, minutes_ago: i64) {
    let at = json!({"withdrawn_at": "2026-02-01T00:00:00.000+00:00"});
    gym.push(token, vec![entry(900, "grant", at, minutes_ago)]).await;
}

/// The text between the first `from` and the next `to`.
pub(crate) fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = text.split_once(from).unwrap_or_else(|| panic!("no {from} in {text}"));
    rest.split_once(to).unwrap_or_else(|| panic!("no {to} after {from}")).0
}

/// What another program reads in each picture of a page that is a QR code.
pub(crate) fn codes(page: &str) -> Vec<String> {
    page.split("<svg ").skip(1).map(|svg| code(svg.split("</svg>").next().unwrap())).collect()
}

fn code(svg: &str) -> String {
    let across: usize = between(svg, "viewBox=\"0 0 ", " ").parse().unwrap();
    let mut dark = vec![false; across * across];
    for stroke in between(svg, "<path d=\"M", "z\"").split("zM") {
        let (x, rest) = stroke.split_once(' ').unwrap();
        let (y, rest) = rest.split_once('h').unwrap();
        let run: usize = rest.split_once('v').unwrap().0.parse().unwrap();
        let from = y.parse::<usize>().unwrap() * across + x.parse::<usize>().unwrap();
        dark[from..from + run].fill(true);
    }
    let at = |x: usize, y: usize| if dark[y / 4 * across + x / 4] { 0 } else { 255 };
    let mut picture = rqrr::PreparedImage::prepare_from_greyscale(across * 4, across * 4, at);
    let grids = picture.detect_grids();
    assert_eq!(grids.len(), 1, "one code is seen");
    grids[0].decode().expect("it is read").1
}
