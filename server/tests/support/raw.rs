//! HTTP by hand, for what no client of good manners would send.

use std::net::SocketAddr;
use std::time::Duration;
use tokio::io::{self, AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

/// A host that says nothing for so long hangs.
const HANGS: Duration = Duration::from_secs(90);

/// Where the head of a message ends.
pub(crate) fn head_end(message: &[u8]) -> Option<usize> {
    message.windows(4).position(|w| w == b"\r\n\r\n").map(|at| at + 4)
}

/// The value of a header in a head.
pub(crate) fn header<'a>(head: &'a str, name: &str) -> Option<&'a str> {
    head.lines().skip(1).find_map(|line| {
        let (found, value) = line.split_once(':')?;
        found.eq_ignore_ascii_case(name).then_some(value.trim())
    })
}

/// Reads one request of a client that states its length; nothing where the client closes before the first byte.
pub(crate) async fn read_request(client: &mut TcpStream) -> io::Result<Option<Vec<u8>>> {
    let mut bytes = Vec::new();
    let (mut wanted, mut buffer) = (None, vec![0; 64 * 1024]);
    loop {
        if wanted.is_none()
            && let Some(end) = head_end(&bytes)
        {
            let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
            let length: usize = header(&head, "content-length").and_then(|v| v.parse().ok()).unwrap_or(0);
            wanted = Some(end + length);
        }
        if wanted.is_some_and(|w| bytes.len() >= w) {
            return Ok(Some(bytes));
        }
        let n = client.read(&mut buffer).await?;
        if n == 0 {
            return Ok(None);
        }
        bytes.extend(&buffer[..n]);
    }
}

/// What came back.
#[derive(Debug, Clone)]
pub(crate) struct Said {
    /// The status; 0 where the connection was closed without an answer.
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Said {
    fn of(answer: &[u8]) -> Self {
        let end = head_end(answer).unwrap_or(answer.len());
        let head = String::from_utf8_lossy(&answer[..end]).into_owned();
        let status = head.split(' ').nth(1).and_then(|s| s.parse().ok()).unwrap_or(0);
        Self { status, body: String::from_utf8_lossy(&answer[end..]).into_owned(), head }
    }

    /// The stable code of a refusal.
    pub(crate) fn code(&self) -> String {
        let fault: serde_json::Value = serde_json::from_str(&self.body).unwrap_or_default();
        fault["code"].as_str().unwrap_or_default().to_owned()
    }
}

/// Sends these bytes and reads until the host closes.
pub(crate) async fn send(to: SocketAddr, bytes: &[u8]) -> Said {
    let talk = async {
        let mut stream = TcpStream::connect(to).await?;
        let (mut read, mut write) = stream.split();
        let mut answer = Vec::new();
        // A host that has refused may read no further: its answer counts, not that the rest could not be sent.
        let sent = async {
            let _ = write.write_all(bytes).await;
        };
        let heard = async {
            let _ = read.read_to_end(&mut answer).await;
        };
        tokio::join!(sent, heard);
        io::Result::Ok(answer)
    };
    // A host that hangs fails the test here.
    let answer = tokio::time::timeout(HANGS, talk).await.unwrap();
    Said::of(&answer.unwrap_or_default())
}

/// A request as bytes.
pub(crate) fn bytes_of(method: &str, path: &str, headers: &[(&str, &str)], body: &[u8]) -> Vec<u8> {
    let mut out = format!("{method} {path} HTTP/1.1\r\nHost: gym\r\nConnection: close\r\n").into_bytes();
    for (name, value) in headers {
        out.extend(format!("{name}: {value}\r\n").bytes());
    }
    if !headers.iter().any(|(name, _)| name.eq_ignore_ascii_case("transfer-encoding")) {
        out.extend(format!("Content-Length: {}\r\n", body.len()).bytes());
    }
    out.extend(b"\r\n");
    out.extend(body);
    out
}

/// Asks with JSON and a token, where one is given.
pub(crate) async fn ask(to: SocketAddr, method: &str, path: &str, token: Option<&str>, body: &[u8]) -> Said {
    let bearer = token.map(|t| format!("Bearer {t}"));
    let mut headers = vec![("Content-Type", "application/json")];
    headers.extend(bearer.as_deref().map(|b| ("Authorization", b)));
    send(to, &bytes_of(method, path, &headers, body)).await
}
