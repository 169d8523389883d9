//! A browser at the desk.

use crate::common::Running;
use plinth::host::account::Role;
use std::fmt::Write;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// A browser, as far as pages go: it keeps cookies and follows nothing.
#[derive(Default)]
pub(crate) struct Browser {
    pub(crate) cookies: Vec<(String, String)>,
}

/// What came.
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
    pub(crate) fn proof(&self) -> String {
        let (_, rest) = self.text.split_once("name=\"proof\" value=\"").expect("a form with a proof");
        rest.split('"').next().unwrap().to_owned()
    }
}

impl Browser {
    pub(crate) async fn ask(
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

    /// Fills in a form of a page and sends it, with the proof that the page carries.
    pub(crate) async fn fill(
        &mut self,
        gym: &Running,
        on: &str,
        path: &str,
        fields: &[(&str, &str)],
    ) -> Page {
        let proof = self.look(gym, on).await.proof();
        let mut form = vec![("proof", &*proof)];
        form.extend(fields);
        self.send(gym, path, &form_of(&form)).await
    }

    pub(crate) async fn sign_in(&mut self, gym: &Running, coach: &str) {
        self.sign_in_as(gym, coach, Role::Coach).await;
    }

    pub(crate) async fn sign_in_as(&mut self, gym: &Running, account: &str, role: Role) {
        let code = gym.invite(account, role).await.code;
        let page = self.send(gym, "/desk/sign-in", &format!("code={code}&name=Desk")).await;
        assert_eq!((page.status, page.header("location")), (303, Some("/desk/lifters")), "{}", page.text);
    }
}

/// Fields as a form sends them: every byte but letters and digits is escaped.
pub(crate) fn form_of(fields: &[(&str, &str)]) -> String {
    let escaped = |text: &str| {
        text.bytes().fold(String::new(), |mut out, b| {
            if b.is_ascii_alphanumeric() {
                out.push(char::from(b));
            } else {
                write!(out, "%{b:02X}").unwrap();
            }
            out
        })
    };
    let pairs: Vec<String> = fields.iter().map(|(n, v)| format!("{}={}", escaped(n), escaped(v))).collect();
    pairs.join("&")
}
