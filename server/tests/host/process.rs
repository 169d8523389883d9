//! The binary itself: it serves, ends when it is told to, and loses nothing when it is killed.

use crate::common::{Folder, json_of, note, request};
use crate::published::codes;
use plinth::client::Way;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

pub(crate) fn plinth() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_plinth"));
    command.env("LANG", "C").stdin(Stdio::null()).stderr(Stdio::null());
    command
}

/// Starts a host and reads what it says: all before the address, and the address.
pub(crate) fn serve(store: &Path, arguments: &[&str]) -> (Child, String) {
    let mut child = plinth()
        .arg("serve")
        .arg(store)
        .args(["--listen", "127.0.0.1:0"])
        .args(arguments)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let line = lines.by_ref().map(Result::unwrap).find(|l| l.starts_with("Listening")).unwrap();
    let address =
        line.split_whitespace().find(|w| w.contains("://")).unwrap().trim_end_matches('.').to_owned();
    std::thread::spawn(move || lines.for_each(drop));
    (child, address)
}

pub(crate) fn said(command: &mut Command) -> Value {
    let out = command.stderr(Stdio::piped()).output().unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

/// The text of the picture that block characters draw, two rows of modules in a line.
fn read_blocks(lines: &[&str]) -> String {
    let cells: Vec<Vec<char>> = lines.iter().map(|l| l.chars().collect()).collect();
    let across = cells[0].len();
    let dark = |x: usize, y: usize| match cells.get(y / 2).map(|row| row[x]) {
        Some('█') => true,
        Some('▀') => y.is_multiple_of(2),
        Some('▄') => !y.is_multiple_of(2),
        _ => false,
    };
    let at = |x: usize, y: usize| if dark(x / 4, y / 4) { 0 } else { 255 };
    let mut picture = rqrr::PreparedImage::prepare_from_greyscale(across * 4, across * 4, at);
    let grids = picture.detect_grids();
    assert_eq!(grids.len(), 1, "one code is seen");
    grids[0].decode().expect("it is read").1
}

#[test]
fn the_codes_of_an_invitation_are_the_invitation() {
    let folder = Folder::new();
    let (store, picture) = (folder.file("host"), folder.file("anna.svg"));
    // A certificate of its own makes the longest invitation.
    let (mut child, _) = serve(&store, &[]);
    child.kill().unwrap();
    child.wait().unwrap();
    let pair = |account: &str| {
        let mut command = plinth();
        command.args(["host", "pair"]).arg(&store).args([account, "--qr", "--picture"]).arg(&picture);
        command.output().unwrap()
    };
    let out = pair("anna");
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let said = String::from_utf8(out.stdout).unwrap();
    let invitation = said.lines().next().unwrap();
    assert!(
        invitation.starts_with("plinth:pair?at=https://") && invitation.contains("&certificate="),
        "{said}"
    );
    let blocks = |l: &&str| l.chars().all(|c| "█▀▄ ".contains(c));
    let drawn: Vec<&str> = said.lines().skip(1).take_while(blocks).collect();
    assert_eq!(read_blocks(&drawn), invitation);
    let svg = std::fs::read_to_string(&picture).unwrap();
    assert_eq!(codes(&svg), [invitation]);
    // What lies there is not written over, and no code is spent for it.
    let again = pair("ben");
    assert_eq!(again.status.code(), Some(2), "{again:?}");
    assert_eq!(std::fs::read_to_string(&picture).unwrap(), svg);
}

#[cfg(unix)]
#[test]
fn what_lies_around_a_store_is_its_owners_alone() {
    use std::fs::{Permissions, metadata, set_permissions};
    use std::os::unix::fs::PermissionsExt as _;
    let folder = Folder::new();
    let (store, backups) = (folder.file("host"), folder.file("backups"));
    std::fs::create_dir(&backups).unwrap();
    let mode = |path: &Path| metadata(path).unwrap().permissions().mode() & 0o777;
    let all = || {
        let of =
            |path: &Path| std::fs::read_dir(path).unwrap().map(|e| e.unwrap().path()).collect::<Vec<_>>();
        let files: Vec<_> = [of(store.parent().unwrap()), of(&backups)].concat();
        files.into_iter().filter(|p| p.is_file()).collect::<Vec<_>>()
    };
    let look = || {
        let (mut child, _) = serve(&store, &[]);
        let backup = plinth().args(["host", "backup"]).arg(&store).arg(&backups).output().unwrap();
        assert!(backup.status.success(), "{backup:?}");
        invite(&store, "anna");
        let there = all();
        for suffix in ["host-wal", "host-shm"] {
            assert!(there.iter().any(|p| p.ends_with(suffix)), "{there:?}");
        }
        for path in &there {
            assert_eq!(mode(path), 0o600, "{}", path.display());
        }
        child.kill().unwrap();
        child.wait().unwrap();
        there.len()
    };
    assert!(look() >= 8, "store, its two files, lock, ledger, certificate, key, backup with its ledger");
    // As an older program left it, killed in the middle.
    for name in ["host", "host-wal", "host-shm"] {
        if folder.file(name).exists() {
            set_permissions(folder.file(name), Permissions::from_mode(0o644)).unwrap();
        }
    }
    look();
}

fn invite(store: &Path, account: &str) -> Value {
    said(plinth().args(["host", "pair"]).arg(store).args([account, "--json"]))
}

async fn pair(way: &mut Way, invitation: &Value) -> String {
    let body =
        json!({"code": invitation["code"], "device": "00000000000000aa", "name": "phone", "app": "0.1.0"});
    let reply = way.post_json("/v1/pair", None, serde_json::to_vec(&body).unwrap()).await.unwrap();
    json_of(&reply)["token"].as_str().unwrap().to_owned()
}

#[tokio::test]
async fn a_kill_in_the_middle_of_pushes_loses_nothing_that_was_answered() {
    let folder = Folder::new();
    let store = folder.file("host");
    let (mut child, address) = serve(&store, &["--plain"]);
    let mut token = pair(&mut Way::to(&address, None).unwrap(), &invite(&store, "anna")).await;
    let mut address = address;
    let mut answered = 0;
    for kill in 0..4_u64 {
        let pushing = tokio::spawn({
            let (address, token) = (address.clone(), token.clone());
            async move {
                let mut done = Vec::new();
                for batch in 0..400 {
                    let first = 100_000 * kill + batch * 50;
                    let ids: Vec<u64> = (first..first + 50).collect();
                    let push = ids.iter().map(|n| note(*n, "kept", 5)).collect();
                    let body = serde_json::to_vec(&request(None, 0, push)).unwrap();
                    // A way of its own for each, so that none is sent a second time.
                    let mut way = Way::to(&address, None).unwrap();
                    match way.post_json("/v1/sync", Some(&token), body).await {
                        Ok(reply) if reply.status == 200 => done.extend(ids),
                        _ => break,
                    }
                }
                done
            }
        });
        tokio::time::sleep(std::time::Duration::from_millis(150 + 70 * kill)).await;
        child.kill().unwrap();
        child.wait().unwrap();
        let done = pushing.await.unwrap();
        answered += done.len();
        let checked = said(plinth().args(["host", "check"]).arg(&store).arg("--json"));
        assert_eq!(checked["faults"], json!([]), "no half change");
        assert_eq!(checked["entries"].as_u64().unwrap() % 50, 0, "a push is whole or not there");
        assert!(checked["entries"].as_u64().unwrap() >= answered as u64);
        (child, address) = serve(&store, &["--plain"]);
        let mut way = Way::to(&address, None).unwrap();
        for ids in done.chunks(200) {
            let mut ask = request(None, 0, vec![]);
            ask["want"] = json!(0);
            ask["fetch"] = ids.iter().map(|n| json!(crate::common::id(*n))).collect();
            let reply =
                way.post_json("/v1/sync", Some(&token), serde_json::to_vec(&ask).unwrap()).await.unwrap();
            assert_eq!(json_of(&reply)["pull"].as_array().unwrap().len(), ids.len());
        }
    }
    println!("F15: 4 kills, {answered} entries answered, all there");
    assert!(answered > 0);
    // In person: the device is revoked, and the running host knows it.
    let list = said(plinth().args(["host", "devices"]).arg(&store).args(["anna", "--json"]));
    let key = list[0]["key"].as_str().unwrap();
    assert!(
        plinth()
            .args(["host", "revoke"])
            .arg(&store)
            .args(["anna", key])
            .stdout(Stdio::null())
            .status()
            .unwrap()
            .success()
    );
    let mut way = Way::to(&address, None).unwrap();
    let reply = way.post_json("/v1/sync", Some(&token), b"{}".to_vec()).await.unwrap();
    assert_eq!(reply.status, 401);
    token = pair(&mut way, &invite(&store, "anna")).await;
    assert_eq!(way.post_json("/v1/token", Some(&token), Vec::new()).await.unwrap().status, 200);
    end(child);
}

/// Tells a host to end, as a service is told.
pub(crate) fn end(mut child: Child) {
    if cfg!(unix) {
        let id = child.id().to_string();
        assert!(Command::new("kill").args(["-TERM", &id]).status().unwrap().success());
        assert!(child.wait().unwrap().success(), "it ends well when it is told to");
    } else {
        child.kill().unwrap();
    }
}

#[test]
fn a_desk_pairs_by_the_line_of_an_invitation_and_syncs_over_the_hosts_own_certificate() {
    let folder = Folder::new();
    let store = folder.file("host");
    let (child, address) = serve(&store, &["--log-json", "--metrics", "127.0.0.1:0"]);
    assert!(address.starts_with("https://127.0.0.1:"));
    for (name, n) in [("a", 1), ("b", 2)] {
        let record = folder.file(name);
        let document = json!({"form": "plinth.record/1", "entries": [note(n, name, 5)]});
        let file = folder.file("entries.json");
        std::fs::write(&file, document.to_string()).unwrap();
        let programme = plinth().args(["record", "begin"]).arg(&record).output().unwrap();
        assert!(!programme.status.success(), "nothing was given to begin with");
        // A record is made by what first writes to it.
        plinth_core::store::Store::open(
            &record,
            &crate::common::now(),
            &mut plinth_core::store::system_random,
        )
        .unwrap();
        said(plinth().args(["record", "import"]).arg(&record).arg(&file).arg("--json"));
        let invitation = invite(&store, "anna");
        let line = invitation["invitation"].as_str().unwrap();
        assert!(line.starts_with("plinth:pair?") && line.contains("&certificate="), "{line}");
        let told = said(plinth().arg("sync").arg(&record).args(["--pair", line, "--json"]));
        assert_eq!((&told["together"], &told["sent"]), (&json!(true), &json!(1)), "{told}");
        let used =
            plinth().arg("sync").arg(&record).args(["--pair", line]).stderr(Stdio::piped()).output().unwrap();
        assert_eq!(used.status.code(), Some(2), "a line counts once");
        assert!(String::from_utf8_lossy(&used.stderr).contains("ask the host for a new code"));
    }
    let told = said(plinth().arg("sync").arg(folder.file("a")).arg("--json"));
    assert_eq!((&told["together"], &told["received"]), (&json!(true), &json!(1)), "{told}");
    let unpaired = folder.file("c");
    plinth_core::store::Store::open(&unpaired, &crate::common::now(), &mut plinth_core::store::system_random)
        .unwrap();
    let out = plinth().arg("sync").arg(&unpaired).stderr(Stdio::piped()).output().unwrap();
    assert_eq!(out.status.code(), Some(2));
    end(child);
}

#[test]
fn bad_arguments_are_named() {
    let folder = Folder::new();
    let store = folder.file("host");
    for (arguments, wanted) in [
        (vec!["serve", "STORE", "--listen", "0.0.0.0:0"], "--public"),
        (vec!["serve", "STORE", "--plain", "--behind-proxy"], "--public"),
        (
            vec!["serve", "STORE", "--plain", "--listen", "0.0.0.0:0", "--public", "https://gym.example"],
            "--plain",
        ),
        (vec!["serve", "STORE", "--metrics", "0.0.0.0:0"], "--metrics"),
        (vec!["serve", "STORE", "--certificate", "none.pem", "--key", "none.pem"], "--certificate"),
        (vec!["serve", "STORE", "--plain", "--listen", "127.0.0.1:0", "--public", "gym"], "--public"),
        (vec!["host", "pair", "STORE", "anna"], "STORE"),
        (vec!["host", "devices", "STORE"], "STORE"),
        (vec!["host", "restore", "STORE", "STORE"], "FROM"),
        (vec!["host", "check", "STORE", "--mend"], "STORE"),
        (vec!["host", "backup", "STORE", "/nowhere/"], "TO"),
        (vec!["sync", "STORE", "--pair", "nonsense"], "--pair"),
    ] {
        let arguments: Vec<&str> =
            arguments.iter().map(|a| if *a == "STORE" { store.to_str().unwrap() } else { a }).collect();
        let out = plinth().args(&arguments).stderr(Stdio::piped()).output().unwrap();
        let said = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(said.contains(wanted), "{arguments:?}: {said}");
    }
}
