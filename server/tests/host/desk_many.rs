//! A coach of hundreds: the list in parts, each lifter once, whoever repays a look first.

use crate::browser::Browser;
use crate::common::{Folder, Running, entry};
use crate::published::{between, lifter, withdraw};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::time::Duration;

const MANY: usize = 400;
const ON_A_PAGE: usize = 50;

/// The accounts of a page's list in their order.
fn listed(page: &str) -> Vec<String> {
    let list = between(page, "<ol class=\"lifters\"", "</ol>");
    list.split("<h2><a href=\"/desk/lifters/").skip(1).map(|a| a.split('"').next().unwrap().into()).collect()
}

/// Looks until every record was read.
async fn settled(browser: &mut Browser, gym: &Running, path: &str) -> String {
    for _ in 0..600 {
        let page = browser.look(gym, path).await;
        assert_eq!(page.status, 200, "{}", page.text);
        if !page.text.contains("still being read") {
            return page.text;
        }
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    panic!("the records are never read");
}

/// How often a lifter's trail says that the coach looked.
async fn looks(gym: &Running, token: &str) -> u64 {
    let (_, audit) = gym.ask("GET", "/v1/audit", Some(token), None).await;
    let lines: Vec<Value> = audit["lines"].as_array().unwrap().clone();
    lines
        .iter()
        .filter(|l| l["who"] == "mara" && l["deed"] == "read")
        .map(|l| l["times"].as_u64().unwrap())
        .sum()
}

#[tokio::test]
async fn four_hundred_lifters_are_listed_in_parts_and_kept_up_to_date() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let name = |n: usize| format!("lifter-{n:03}");
    let mut tokens = Vec::new();
    for n in 0..MANY {
        let token = lifter(&gym, &name(n), &["log", "notes"]).await;
        let mut own = vec![entry(1, "lifter", json!({"name": format!("Invented {n:03}")}), 50)];
        if n % 40 == 39 {
            own.push(entry(2, "note", json!({"text": "a question", "by": "lifter"}), 40));
        }
        gym.push(&token, own).await;
        tokens.push(token);
    }
    let mut mara = Browser::default();
    mara.sign_in(&gym, "mara").await;
    let first = settled(&mut mara, &gym, "/desk/lifters").await;
    assert!(first.contains("400 lifters have opened their records to you; 50 are shown"), "{first}");
    assert!(
        first.contains("Part 1 of 8") && first.contains("rel=\"next\"") && !first.contains("rel=\"prev\"")
    );
    let mut all = listed(&first);
    let asked: Vec<String> = (0..10).map(|k| name(40 * k + 39)).collect();
    assert_eq!(all[..10], asked, "who wrote a note comes first");
    for number in 2..=8 {
        let page = mara.look(&gym, &format!("/desk/lifters?page={number}")).await.text;
        assert!(page.contains(&format!("start=\"{}\"", (number - 1) * ON_A_PAGE + 1)));
        let rows = listed(&page);
        assert_eq!(rows.len(), ON_A_PAGE);
        all.extend(rows);
    }
    let each: BTreeSet<&String> = all.iter().collect();
    assert_eq!((all.len(), each.len()), (MANY, MANY), "each of them once");
    let last = mara.look(&gym, "/desk/lifters?page=99").await.text;
    assert!(
        listed(&last).len() == ON_A_PAGE && last.contains("Part 8 of 8") && !last.contains("rel=\"next\"")
    );
    assert_eq!(listed(&mara.look(&gym, "/desk/lifters?page=x").await.text), listed(&first));

    // A look is noted with whom it showed, and with nobody else.
    let before = (looks(&gym, &tokens[39]).await, looks(&gym, &tokens[398]).await);
    assert!(before.0 > 0 && before.1 > 0, "reading a record is noted");
    mara.look(&gym, "/desk/lifters").await;
    let after = (looks(&gym, &tokens[39]).await, looks(&gym, &tokens[398]).await);
    assert_eq!(after, (before.0 + 1, before.1));

    // Looked for, one is found wherever it stands; a search goes along from part to part.
    let found = mara.look(&gym, "/desk/lifters?q=invented+398").await.text;
    assert_eq!(listed(&found), [name(398)]);
    let some = mara.look(&gym, "/desk/lifters?q=invented%201").await.text;
    assert!(
        some.contains("/desk/lifters?q=invented%201&amp;page=2"),
        "{}",
        between(&some, "<nav class", "</nav>")
    );

    // What comes in counts at the next look; who withdraws is gone from it.
    gym.push(&tokens[200], vec![entry(2, "note", json!({"text": "another", "by": "lifter"}), 5)]).await;
    withdraw(&gym, &tokens[39], 5).await;
    let page = settled(&mut mara, &gym, "/desk/lifters").await;
    let rows = listed(&page);
    assert!(page.contains("399 lifters") && rows[..10].contains(&name(200)), "{rows:?}");
    assert!(!rows.contains(&name(39)));
    let german = mara.ask(&gym, "GET", "/desk/lifters", None, &[("Accept-Language", "de")]).await.text;
    assert!(german.contains("<html lang=\"de\">"));
}
