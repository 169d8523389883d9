//! The house: for its keeper accounts, devices, backups and erasing, never what a record holds; for a coach the own part.

use crate::browser::{Browser, form_of};
use crate::common::{Folder, Running, entry, named, now_ms, request};
use crate::published::{Coach, between, codes, lifter};
use plinth::host::account::Role;
use plinth::host::backups::listed;
use plinth::host::store::Store as _;
use plinth::host::system_clock;
use plinth_core::record::Kind;
use plinth_core::sync::Invitation;
use serde_json::json;
use std::fs;

/// What stands in records and on no page of the keeper's.
const SECRETS: [&str; 4] = ["Anna of the tests", "a word for nobody", "Three evenings", "sore shoulder"];

async fn house(folder: &Folder) -> (Running, Browser) {
    let backups = folder.file("backups");
    fs::create_dir(&backups).unwrap();
    let gym = Running::keeping(folder, "host", None, system_clock(), Some(backups)).await;
    let mut keeper = Browser::default();
    keeper.sign_in_as(&gym, "keeper", Role::Host).await;
    (gym, keeper)
}

/// Fills in a form of a keeper's or a coach's house.
async fn post(
    browser: &mut Browser,
    gym: &Running,
    path: &str,
    fields: &[(&str, &str)],
) -> crate::browser::Page {
    browser.fill(gym, "/desk/house", path, fields).await
}

#[tokio::test]
async fn the_keeper_sees_who_is_there_and_nothing_of_what_they_keep() {
    let folder = Folder::new();
    let (gym, mut keeper) = house(&folder).await;
    let mut mara = Coach::of(&gym, "mara").await;
    let at = mara.publish(&gym, "Three evenings").await;
    let anna = lifter(&gym, "anna", &["log", "notes", "programmes"]).await;
    gym.push(
        &anna,
        vec![
            entry(1, "lifter", json!({"name": SECRETS[0]}), 50),
            entry(2, "note", json!({"text": SECRETS[1], "by": "lifter"}), 40),
            entry(3, "discomfort", json!({"region": "shoulder", "note": SECRETS[3]}), 40),
        ],
    )
    .await;
    assert_eq!(mara.send(&gym, &at, &["anna"]).await.status, 303);
    mara.browser.look(&gym, "/desk/lifters/anna").await;

    for path in ["/", "/desk", "/desk/lifters", "/desk/lifters/anna", "/desk/groups", "/desk/published", &at]
    {
        let page = keeper.look(&gym, path).await;
        let place = page.header("location").unwrap();
        assert!(
            page.status == 303 && (place == "/desk/house" || place == "/desk/lifters"),
            "{path}: {place}"
        );
    }
    let page = keeper.look(&gym, "/desk/house").await;
    assert!(!page.text.contains("/desk/lifters\""), "no place but the house: {}", page.text);
    for (account, role) in [("anna", "lifter"), ("mara", "coach"), ("keeper", "keeper of the house")] {
        let row = between(&page.text, &format!("/desk/house/accounts/{account}\""), "</tr>");
        assert!(row.contains(role), "{row}");
    }
    let one = keeper.look(&gym, "/desk/house/accounts/anna").await;
    assert!(one.status == 200 && one.text.contains("mara read"), "{}", one.text);
    for (what, text) in [("all", &page.text), ("one", &one.text)] {
        for secret in SECRETS {
            assert!(!text.contains(secret), "{what}: {secret}");
        }
    }
    for path in ["/desk/house/accounts/zoe", "/desk/house/accounts/Zoe%20"] {
        assert_eq!(keeper.look(&gym, path).await.status, 404, "{path}");
    }
    // The keeper's forms do nothing in a coach's place, and a coach's nothing in the keeper's.
    let form = form_of(&[("proof", &page.proof()), ("text", "x")]);
    let tried = keeper.send(&gym, "/desk/lifters/anna/notes", &form).await;
    assert_eq!(tried.header("location"), Some("/desk/house"));
    assert_eq!(gym.held("anna", &Kind::Note).await.len(), 1);
}

#[tokio::test]
async fn an_invitation_is_read_by_another_program_and_pairs_once() {
    let folder = Folder::new();
    let (gym, mut keeper) = house(&folder).await;
    let accounts = "/desk/house/accounts";
    let form = form_of(&[("proof", "00"), ("account", "nora"), ("role", "lifter")]);
    assert_eq!(keeper.send(&gym, accounts, &form).await.status, 403);
    for (account, role) in [("Nora!", "lifter"), ("", "lifter"), ("nora", "owner"), ("keeper", "coach")] {
        let page = post(&mut keeper, &gym, accounts, &[("account", account), ("role", role)]).await;
        assert!((400..500).contains(&page.status), "{account:?} {role}: {}", page.status);
    }
    assert!(gym.host.store.account(&named("nora")).await.unwrap().is_none(), "none was made by a mistake");
    let page = post(&mut keeper, &gym, accounts, &[("account", "nora"), ("role", "coach")]).await;
    assert_eq!(page.status, 200, "{}", page.text);
    let line = between(&page.text, "<code>", "</code>").replace("&amp;", "&");
    assert_eq!(codes(&page.text), [line.as_str()], "the picture says what the line says");
    let invitation: Invitation = line.parse().expect("an invitation");
    assert!(page.text.contains(&invitation.code) && page.text.contains(&gym.address));
    let mut nora = Browser::default();
    let form = form_of(&[("code", &invitation.code), ("name", "Desk")]);
    assert_eq!(nora.send(&gym, "/desk/sign-in", &form).await.status, 303);
    assert_eq!(nora.look(&gym, "/desk/lifters").await.status, 200);
    let again = Browser::default().send(&gym, "/desk/sign-in", &form).await;
    assert_eq!(again.status, 403, "a code counts once");
    // She pairs another device of her own, and of nobody else's.
    let own = post(&mut nora, &gym, "/desk/house/pair", &[]).await;
    let line = codes(&own.text).pop().expect("a picture");
    let code = line.parse::<Invitation>().expect("an invitation").code;
    let body = json!({"code": code, "device": "00000000000000ab", "name": "her phone", "app": "0.1.0"});
    let (status, answer) = gym.ask("POST", "/v1/pair", None, Some(body)).await;
    assert!(status == 200 && answer["token"].as_str().unwrap().starts_with("nora."), "{answer}");
    assert!(nora.look(&gym, "/desk/house").await.text.contains("her phone"));
    assert_eq!(nora.send(&gym, "/desk/house/pair", "proof=00").await.status, 403);
}

#[tokio::test]
async fn devices_are_revoked_by_whose_they_are_and_by_the_keeper() {
    let folder = Folder::new();
    let (gym, mut keeper) = house(&folder).await;
    let anna = gym.token("anna", Role::Lifter).await;
    let phone = gym.token("mara", Role::Coach).await;
    let mut mara = Browser::default();
    mara.sign_in(&gym, "mara").await;
    let device = async |of: &str| {
        let all = gym.host.store.devices(&named(of)).await.unwrap();
        all.into_iter().find(|d| d.name == "phone").unwrap().key
    };
    let (hers, theirs) = (device("mara").await, device("anna").await);
    let heard = async |token: &str| gym.ask("GET", "/v1/devices", Some(token), None).await.0;
    let revoke = "/desk/house/revoke";
    let form = form_of(&[("proof", "00"), ("account", "mara"), ("device", &hers)]);
    assert_eq!(mara.send(&gym, revoke, &form).await.status, 403);
    let page = post(&mut mara, &gym, revoke, &[("account", "anna"), ("device", &theirs)]).await;
    assert_eq!(page.status, 404, "a coach revokes no device of another's");
    assert_eq!((heard(&phone).await, heard(&anna).await), (200, 200));
    let page = post(&mut mara, &gym, revoke, &[("account", "mara"), ("device", &hers)]).await;
    assert_eq!(page.header("location"), Some("/desk/house"));
    assert_eq!((heard(&phone).await, heard(&anna).await), (401, 200));
    assert!(mara.look(&gym, "/desk/house").await.text.contains("revoked on"));
    let page = post(&mut keeper, &gym, revoke, &[("account", "anna"), ("device", &theirs)]).await;
    assert_eq!(page.header("location"), Some("/desk/house/accounts/anna"));
    assert_eq!(heard(&anna).await, 401);
    let page = post(&mut keeper, &gym, revoke, &[("account", "anna"), ("device", "none")]).await;
    assert_eq!(page.status, 404);
}

#[tokio::test]
async fn an_account_is_erased_with_its_name_written_out_and_by_the_keeper_alone() {
    let folder = Folder::new();
    let (gym, mut keeper) = house(&folder).await;
    let anna = lifter(&gym, "anna", &["log"]).await;
    let mut mara = Browser::default();
    mara.sign_in(&gym, "mara").await;
    let erase = "/desk/house/accounts/anna/erase";
    let sync = async || gym.ask("POST", "/v1/sync", Some(&anna), Some(request(None, 0, vec![]))).await.0;
    let tries = [
        (post(&mut mara, &gym, erase, &[("again", "anna")]).await.status, 404),
        (keeper.send(&gym, erase, &form_of(&[("proof", "00"), ("again", "anna")])).await.status, 403),
        (post(&mut keeper, &gym, erase, &[("again", "Anna")]).await.status, 400),
        (post(&mut keeper, &gym, erase, &[("again", "")]).await.status, 400),
    ];
    for (k, (status, wanted)) in tries.into_iter().enumerate() {
        assert_eq!(status, wanted, "try {k}");
    }
    let own = "/desk/house/accounts/keeper/erase";
    let page = post(&mut keeper, &gym, own, &[("again", "keeper")]).await;
    assert!(page.status == 400 && page.text.contains("your own account"), "{}", page.text);
    assert_eq!(sync().await, 200, "nothing was erased");
    let page = post(&mut keeper, &gym, erase, &[("again", " anna ")]).await;
    assert_eq!(page.header("location"), Some("/desk/house"), "{}", page.text);
    assert_eq!(sync().await, 401);
    assert!(gym.host.store.account(&named("anna")).await.unwrap().is_none());
    assert_eq!(gym.held("anna", &Kind::Grant).await, []);
    assert!(!keeper.look(&gym, "/desk/house").await.text.contains("anna"));
    assert_eq!(mara.look(&gym, "/desk/lifters/anna").await.status, 404);
    let page =
        post(&mut keeper, &gym, "/desk/house/accounts", &[("account", "anna"), ("role", "lifter")]).await;
    assert!((400..500).contains(&page.status), "a name is given once: {}", page.status);
}

#[tokio::test]
async fn the_keeper_makes_a_backup_by_hand() {
    let folder = Folder::new();
    let (gym, mut keeper) = house(&folder).await;
    let mut mara = Browser::default();
    mara.sign_in(&gym, "mara").await;
    let there = || listed(&folder.file("host"), &folder.file("backups")).unwrap();
    let backup = "/desk/house/backup";
    assert!(keeper.look(&gym, "/desk/house").await.text.contains("There is no backup yet"));
    assert_eq!(keeper.send(&gym, backup, "proof=00").await.status, 403);
    assert_eq!(post(&mut mara, &gym, backup, &[]).await.status, 404);
    assert!(there().is_empty());
    let page = post(&mut keeper, &gym, backup, &[]).await;
    assert_eq!(page.header("location"), Some("/desk/house#backups"), "{}", page.text);
    let made = there();
    assert_eq!(made.len(), 1);
    assert!((now_ms() - made.keys().next().unwrap()).abs() < 60_000);
    assert!(keeper.look(&gym, "/desk/house").await.text.contains("One backup is there"));

    // A host that keeps none says so.
    let bare = Running::begin(&folder, "bare", None, system_clock()).await;
    let mut keeper = Browser::default();
    keeper.sign_in_as(&bare, "keeper", Role::Host).await;
    assert!(keeper.look(&bare, "/desk/house").await.text.contains("writes no backups by itself"));
    assert_eq!(post(&mut keeper, &bare, backup, &[]).await.status, 404);
}

#[tokio::test]
async fn a_coach_sees_the_own_part_of_the_house() {
    let folder = Folder::new();
    let (gym, _) = house(&folder).await;
    let anna = lifter(&gym, "anna", &["log", "programmes"]).await;
    let mut mara = Browser::default();
    mara.sign_in(&gym, "mara").await;
    let page = mara.look(&gym, "/desk/house").await.text;
    let granted = between(&page, "id=\"grants\"", "</section>");
    assert!(granted.contains("anna") && granted.contains("the log and writing programmes"), "{granted}");
    assert!(!page.contains("keeper\"") && !page.contains("Make an invitation"), "{page}");
    for path in ["/desk/house/accounts/anna", "/desk/house/accounts/mara"] {
        assert_eq!(mara.look(&gym, path).await.status, 404, "{path}");
    }
    let page = post(&mut mara, &gym, "/desk/house/accounts", &[("account", "zoe"), ("role", "host")]).await;
    assert_eq!(page.status, 404);
    assert!(gym.host.store.account(&named("zoe")).await.unwrap().is_none());
    crate::published::withdraw(&gym, &anna, 5).await;
    let page = mara.look(&gym, "/desk/house").await.text;
    assert!(!between(&page, "id=\"grants\"", "</section>").contains("anna"));
}
