//! The demo house: who is there, what a coach sees of them, and that nothing of it is left behind.

use crate::browser::Browser;
use crate::common::{Folder, Running, now};
use crate::process::plinth;
use plinth::demo::{furnish, lifters};
use plinth::host::serve::{Listening, Serving};
use plinth::host::signature;
use plinth_core::words::{Language, Speech};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;
use tokio::net::TcpListener;

#[tokio::test]
async fn five_invented_lifters_are_on_the_desk_each_with_something_else_to_see() {
    let folder = Folder::new();
    let all = lifters(&Speech::new(Language::English), &now()).unwrap();
    let furnished = furnish(&folder.file("."), &all).await.unwrap();
    let host = Arc::new(furnished.host);
    let keeping = plinth::desk::Keeping { store: furnished.store.clone(), backups: None, invented: true };
    let pages = plinth::desk::pages(&host, false, signature::key(&furnished.store).unwrap(), keeping);
    let listening = Listening { tls: None, behind_proxy: false, metrics: None, pages };
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let serving = Serving::begin(Arc::clone(&host), listener, listening).await.unwrap();
    let address = format!("http://{}", serving.address);
    let gym = Running { host, serving, address, certificate: None, found: None };
    let mut browser = Browser::default();

    // The address that is printed brings the code along.
    let page = browser.look(&gym, &format!("/desk/sign-in?code={}", furnished.code)).await;
    assert!(page.text.contains(&format!("value=\"{}\"", furnished.code)), "{}", page.text);
    assert!(page.text.contains("everybody here is invented"));
    let page = browser.look(&gym, "/desk/sign-in?code=%22%3E%3Cscript%3E").await;
    assert!(!page.text.contains("<script"), "{}", page.text);
    let page = browser.send(&gym, "/desk/sign-in", &format!("code={}&name=Desk", furnished.code)).await;
    assert_eq!(page.header("location"), Some("/desk/lifters"), "{}", page.text);

    let list = browser.look(&gym, "/desk/lifters").await;
    assert!(list.text.contains("everybody here is invented"));
    let of = |n: u32| {
        let (_, rest) = list.text.split_once(&format!(">Lifter {n}</a>")).expect("on the list");
        rest.split("</li>").next().unwrap().to_owned()
    };
    assert!(of(1).contains("A note is not yet read"), "{}", of(1));
    assert!(of(2).contains("a plateau with a probability of"), "{}", of(2));
    assert!(of(2).contains("The programme "), "it ends, or has ended: {}", of(2));
    assert!(of(3).contains("New or worse discomfort: knee"), "{}", of(3));
    assert!(of(4).contains("A red flag that no care has answered yet: It gives way"), "{}", of(4));
    assert!(of(5).contains("not heard of since"), "{}", of(5));
    let place = |n: u32| list.text.find(&format!(">Lifter {n}</a>")).unwrap();
    assert!(place(4) < place(3) && place(3) < place(1) && place(1) < place(5), "what can hurt comes first");

    // One gains, one trains in pounds, and each page says that it is invented.
    let first = browser.look(&gym, "/desk/lifters/lifter-1").await.text;
    assert!(
        first.contains("Gaining:") && first.contains("<svg") && first.contains("everybody here is invented")
    );
    assert!(browser.look(&gym, "/desk/lifters/lifter-2").await.text.contains(" lb"));
}

#[test]
fn what_keeps_a_house_goes_with_no_command_and_needs_a_terminal() {
    for (arguments, why) in [
        (&["--keep", "x", "catalogue"][..], "without a command"),
        (&["--keep", "x"][..], "in a terminal only"),
    ] {
        let out = plinth().args(arguments).stderr(Stdio::piped()).output().unwrap();
        let told = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{told}");
        assert!(told.contains("--keep") && told.contains(why), "{told}");
        assert!(out.stdout.is_empty());
    }
}

/// Runs the first command in a terminal until the desk is open, ends it, and gives what it said. Temporary files lie in
/// `temporary`; `end` gets the program's number and what types into the terminal.
#[cfg(target_os = "linux")]
fn in_a_terminal(temporary: &Path, arguments: &str, end: impl FnOnce(&str, &mut dyn Write)) -> String {
    let number = temporary.with_extension("number");
    let line =
        format!("echo $$ >'{}'; exec '{}' {arguments}", number.display(), env!("CARGO_BIN_EXE_plinth"));
    // `script` of util-linux is the terminal.
    let mut terminal = Command::new("script")
        .args(["-qefc", &line, "/dev/null"])
        .env("TMPDIR", temporary)
        .env("LANG", "C")
        .env("SHELL", "/bin/sh")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("script, of util-linux");
    let mut keys = terminal.stdin.take().unwrap();
    let mut said = String::new();
    let mut lines = BufReader::new(terminal.stdout.take().unwrap());
    while !said.contains("Ctrl-C ends it") {
        assert_ne!(lines.read_line(&mut said).unwrap(), 0, "it ended: {said}");
    }
    let inside = std::fs::read_dir(temporary).unwrap().count();
    assert_eq!(
        inside,
        usize::from(!arguments.contains("--keep")),
        "one folder of its own, where none was named"
    );
    end(std::fs::read_to_string(&number).unwrap().trim(), &mut keys);
    std::io::copy(&mut lines, &mut std::io::sink()).unwrap();
    let status = terminal.wait().unwrap();
    assert!(status.success(), "{status}: {said}");
    assert_eq!(std::fs::read_dir(temporary).unwrap().count(), 0, "nothing is left behind");
    said
}

#[cfg(target_os = "linux")]
#[test]
fn in_a_terminal_the_desk_opens_and_leaves_nothing_however_it_is_ended() {
    let folder = Folder::new();
    let temporary = folder.file("temporary");
    std::fs::create_dir(&temporary).unwrap();
    let said = in_a_terminal(&temporary, "", |_, keys| keys.write_all(b"\x03").unwrap());
    assert!(said.contains("five lifters who are invented"), "{said}");
    let with_code = said.split_whitespace().find(|w| w.contains("/desk/sign-in?code=")).expect("an address");
    assert!(with_code.starts_with("http://127.0.0.1:"), "{with_code}");
    // Kept where it was asked for, and not written over.
    let kept = folder.file("kept");
    let keep = format!("--keep '{}'", kept.display());
    in_a_terminal(&temporary, &keep, |number, _| {
        assert!(Command::new("kill").args(["-TERM", number]).status().unwrap().success());
    });
    let checked = plinth().args(["host", "check"]).arg(kept.join("demo.plinth")).status().unwrap();
    assert!(checked.success());
}
