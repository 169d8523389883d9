//! The coach's desk over HTTP: who gets in, what a page shows and what it never shows.

use crate::common::{Folder, Running, entry, request};
use plinth::host::account::Role;
use serde_json::json;
use std::fmt::Write;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// A browser, as far as pages go: it keeps cookies and follows nothing.
#[derive(Default)]
pub(crate) struct Browser {
    cookies: Vec<(String, String)>,
}

pub(crate) struct Page {
    pub(crate) status: u16,
    headers: Vec<(String, String)>,
    pub(crate) text: String,
}

impl Page {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(n, _)| n.eq_ignore_ascii_case(name)).map(|(_, v)| v.as_str())
    }

    /// The proof that its forms carry.
    fn proof(&self) -> String {
        let (_, rest) = self.text.split_once("name=\"proof\" value=\"").expect("a form with a proof");
        rest.split('"').next().unwrap().to_owned()
    }
}

impl Browser {
    async fn ask(
        &mut self,
        gym: &Running,
        method: &str,
        path: &str,
        form: Option<&str>,
        extra: &[(&str, &str)],
    ) -> Page {
        let mut head = format!("{method} {path} HTTP/1.1\r\nHost: desk\r\nConnection: close\r\n");
        for (name, value) in extra {
            write!(head, "{name}: {value}\r\n").unwrap();
        }
        if let Some(form) = form {
            let kind = "application/x-www-form-urlencoded";
            write!(head, "Content-Type: {kind}\r\nContent-Length: {}\r\n", form.len()).unwrap();
        }
        let cookies: Vec<String> = self.cookies.iter().map(|(n, v)| format!("{n}={v}")).collect();
        write!(head, "Cookie: {}\r\n\r\n{}", cookies.join("; "), form.unwrap_or_default()).unwrap();
        let mut stream = TcpStream::connect(gym.serving.address).await.unwrap();
        stream.write_all(head.as_bytes()).await.unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).await.unwrap();
        let (head, text) = answer.split_once("\r\n\r\n").unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        let named = head.lines().skip(1).filter_map(|l| l.split_once(": "));
        let headers: Vec<(String, String)> = named.map(|(n, v)| (n.to_lowercase(), v.to_owned())).collect();
        for cookie in headers.iter().filter(|(n, _)| n == "set-cookie").map(|(_, v)| v) {
            let (name, rest) = cookie.split_once('=').unwrap();
            let value = rest.split(';').next().unwrap();
            self.cookies.retain(|(n, _)| n != name);
            if !value.is_empty() {
                self.cookies.push((name.to_owned(), value.to_owned()));
            }
        }
        Page { status, headers, text: text.to_owned() }
    }

    pub(crate) async fn look(&mut self, gym: &Running, path: &str) -> Page {
        self.ask(gym, "GET", path, None, &[]).await
    }

    pub(crate) async fn send(&mut self, gym: &Running, path: &str, form: &str) -> Page {
        self.ask(gym, "POST", path, Some(form), &[("Sec-Fetch-Site", "same-origin")]).await
    }

    async fn sign_in(&mut self, gym: &Running, coach: &str) {
        let code = gym.invite(coach, Role::Coach).await.code;
        let page = self.send(gym, "/desk/sign-in", &format!("code={code}&name=Desk")).await;
        assert_eq!((page.status, page.header("location")), (303, Some("/desk/lifters")), "{}", page.text);
    }
}

/// What the record says and no page may show without its grant.
const SECRET: &str = "a word for nobody else";

async fn opened(gym: &Running, may: &[&str]) -> String {
    let lifter = gym.token("anna", Role::Lifter).await;
    let from = "2026-01-01T00:00:00.000+00:00";
    let push = vec![
        entry(1, "lifter", json!({"name": "Anna <of the tests>"}), 50),
        entry(2, "grant", json!({"to": "mara", "may": may, "from": from}), 50),
        entry(
            3,
            "discomfort",
            json!({"region": "knee", "severity": "severe", "nature": "new_or_worse", "note": SECRET}),
            40,
        ),
        entry(4, "note", json!({"text": "my shoulder feels odd", "by": "lifter"}), 30),
    ];
    let (status, answer) = gym.ask("POST", "/v1/sync", Some(&lifter), Some(request(None, 0, push))).await;
    assert_eq!((status, answer["took"].as_array().unwrap().len()), (200, 4), "{answer}");
    lifter
}

#[tokio::test]
async fn only_a_coach_with_a_code_of_theirs_gets_in_and_out_again() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut browser = Browser::default();
    for path in ["/", "/desk", "/desk/lifters", "/desk/lifters/anna"] {
        let page = browser.look(&gym, path).await;
        assert_eq!(page.status, 303, "{path}");
        assert!(page.header("location").unwrap().starts_with("/desk/"), "{path}");
        assert!(!page.text.contains("Anna"));
    }
    let page = browser.look(&gym, "/desk/sign-in").await;
    assert_eq!(page.status, 200);
    assert!(page.text.contains("<label for=\"code\">") && !page.text.contains("<script"));
    let policy = page.header("content-security-policy").unwrap();
    assert!(
        policy.starts_with("default-src 'none'") && policy.contains("frame-ancestors 'none'"),
        "{policy}"
    );
    assert_eq!(page.header("cache-control"), Some("no-store"));

    let page = browser.send(&gym, "/desk/sign-in", "code=0000000000&name=Desk").await;
    assert!(page.status == 403 && page.text.contains("role=\"alert\""), "{}", page.text);
    // A lifter's code is no way in, and is not spent by the mistake.
    let code = gym.invite("anna", Role::Lifter).await.code;
    let page = browser.send(&gym, "/desk/sign-in", &format!("code={code}&name=Desk")).await;
    assert!(page.status == 403 && page.text.contains("not a coach"), "{}", page.text);
    assert!(browser.cookies.is_empty());
    let body = json!({"code": code, "device": "00000000000000ab", "name": "phone", "app": "0.1.0"});
    assert_eq!(gym.ask("POST", "/v1/pair", None, Some(body)).await.0, 200);
    // A form of another site signs nobody in.
    let code = gym.invite("mara", Role::Coach).await.code;
    let form = format!("code={code}&name=Desk");
    let page =
        browser.ask(&gym, "POST", "/desk/sign-in", Some(&form), &[("Sec-Fetch-Site", "cross-site")]).await;
    assert!(page.status == 403 && browser.cookies.is_empty());

    browser.sign_in(&gym, "mara").await;
    let mut other = Browser::default();
    other.sign_in(&gym, "mara").await;
    let page = browser.look(&gym, "/desk/lifters").await;
    assert!(
        page.status == 200 && page.text.contains("Nobody has opened a record to you yet"),
        "{}",
        page.text
    );
    // Without the proof of this visit nothing is done.
    for proof in ["", "00", &other.look(&gym, "/desk/lifters").await.proof()] {
        assert_eq!(browser.send(&gym, "/desk/sign-out", &format!("proof={proof}")).await.status, 403);
    }
    let proof = page.proof();
    assert_eq!(browser.send(&gym, "/desk/sign-out", &format!("proof={proof}")).await.status, 303);
    assert_eq!(browser.look(&gym, "/desk/lifters").await.status, 303);
    assert_eq!(other.look(&gym, "/desk/lifters").await.status, 200, "the other browser stays");
    // Everywhere: the browsers, and not the coach's phone.
    let phone = gym.token("mara", Role::Coach).await;
    let mut third = Browser::default();
    third.sign_in(&gym, "mara").await;
    let proof = third.look(&gym, "/desk/lifters").await.proof();
    third.send(&gym, "/desk/sign-out", &format!("proof={proof}&everywhere=yes")).await;
    assert_eq!(other.look(&gym, "/desk/lifters").await.status, 303);
    assert_eq!(gym.ask("GET", "/v1/devices", Some(&phone), None).await.0, 200);
    // A lifter's own token in the cookie opens nothing.
    let lifter = gym.token("berta", Role::Lifter).await;
    let mut sly = Browser { cookies: vec![("plinth_token".into(), lifter)] };
    assert_eq!(sly.look(&gym, "/desk/lifters").await.status, 303);
}

#[tokio::test]
async fn a_cookie_is_read_by_no_script_and_sent_by_no_other_site() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let code = gym.invite("mara", Role::Coach).await.code;
    let page = Browser::default().send(&gym, "/desk/sign-in", &format!("code={code}&name=Desk")).await;
    let cookie = page.header("set-cookie").unwrap();
    for part in ["; HttpOnly", "; SameSite=Strict", "; Path=/desk"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Secure"), "this host speaks plainly, to this machine alone");
}

#[tokio::test]
async fn a_page_shows_what_is_granted_and_why_a_lifter_repays_a_look() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let lifter = opened(&gym, &["log"]).await;
    let mut browser = Browser::default();
    browser.sign_in(&gym, "mara").await;
    let list = browser.look(&gym, "/desk/lifters").await;
    assert!(list.text.contains("Anna &lt;of the tests&gt;"), "{}", list.text);
    assert!(list.text.contains("A note is not yet read") && !list.text.contains("knee"));
    let page = browser.look(&gym, "/desk/lifters/anna").await;
    assert_eq!(page.status, 200);
    assert!(page.text.contains("my shoulder feels odd") && page.text.contains("not yet read"));
    assert!(!page.text.contains(SECRET) && !page.text.contains("knee"), "discomfort was not granted");

    // Granted more, it is read anew; and the new pain comes first.
    let from = "2026-01-01T00:00:00.000+00:00";
    let more = entry(2, "grant", json!({"to": "mara", "may": ["log", "discomfort"], "from": from}), 10);
    gym.ask("POST", "/v1/sync", Some(&lifter), Some(request(None, 0, vec![more]))).await;
    let list = browser.look(&gym, "/desk/lifters").await;
    let (pain, note) =
        (list.text.find("knee").expect("the pain"), list.text.find("A note is").expect("the note"));
    assert!(pain < note);
    // In German, as the browser asks; as it was chosen, whatever it asks.
    let german = browser.ask(&gym, "GET", "/desk/lifters", None, &[("Accept-Language", "de-AT")]).await;
    assert!(german.text.contains("<html lang=\"de\">") && german.text.contains("Trainierende"));
    browser.send(&gym, "/desk/language", "language=en").await;
    let chosen = browser.ask(&gym, "GET", "/desk/lifters", None, &[("Accept-Language", "de-AT")]).await;
    assert!(chosen.text.contains("<html lang=\"en\">"));

    // Searched for by a name; another coach's desk knows nothing of her.
    assert!(browser.look(&gym, "/desk/lifters?q=ANNA").await.text.contains("Anna &lt;"));
    assert!(!browser.look(&gym, "/desk/lifters?q=zoe").await.text.contains("Anna &lt;"));
    let mut stranger = Browser::default();
    stranger.sign_in(&gym, "nils").await;
    let (hers, nobodys) =
        (stranger.look(&gym, "/desk/lifters/anna").await, stranger.look(&gym, "/desk/lifters/nobody").await);
    assert_eq!((hers.status, nobodys.status), (404, 404));
    assert_eq!(hers.text.replace(&hers.proof(), ""), nobodys.text.replace(&nobodys.proof(), ""));
    assert!(!stranger.look(&gym, "/desk/lifters").await.text.contains("Anna"));

    // The lifter reads who looked.
    let (_, audit) = gym.ask("GET", "/v1/audit", Some(&lifter), None).await;
    let looked = audit["lines"].as_array().unwrap().iter().any(|l| l["who"] == "mara" && l["deed"] == "read");
    assert!(looked, "{audit}");

    // Withdrawn, nothing is left, also not in memory.
    let at = "2026-02-01T00:00:00.000+00:00";
    let withdrawn = entry(2, "grant", json!({ "withdrawn_at": at }), 5);
    gym.ask("POST", "/v1/sync", Some(&lifter), Some(request(None, 0, vec![withdrawn]))).await;
    assert_eq!(browser.look(&gym, "/desk/lifters/anna").await.status, 404);
    assert!(!browser.look(&gym, "/desk/lifters").await.text.contains("Anna"));
}

#[tokio::test]
async fn what_pages_are_drawn_with_is_kept_for_as_long_as_it_is_the_same() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let mut browser = Browser::default();
    let page = browser.look(&gym, "/desk/sign-in").await;
    let (_, rest) = page.text.split_once("href=\"/desk/assets/").unwrap();
    let name = rest.split('"').next().unwrap();
    let style = browser.look(&gym, &format!("/desk/assets/{name}")).await;
    assert_eq!(style.header("content-type"), Some("text/css; charset=utf-8"));
    assert!(style.header("cache-control").unwrap().contains("immutable") && style.text.contains("--ground"));
    assert_eq!(browser.look(&gym, "/desk/assets/desk-0.css").await.status, 404);
    assert_eq!(browser.look(&gym, "/desk/assets/..%2f..%2fmain.rs").await.status, 404);
}
