//! Brings a record home from a desk: a connection to a host, pairing, and an exchange.

mod keys;
mod pin;

pub use keys::{Paired, PairingFault};

use http_body_util::{BodyExt, Full, Limited};
use hyper::body::Bytes;
use hyper::client::conn::http1::{SendRequest, handshake};
use hyper::header::{ACCEPT_ENCODING, AUTHORIZATION, CONTENT_TYPE, HOST, RETRY_AFTER};
use hyper::{Method, Request};
use hyper_util::rt::TokioIo;
use plinth_core::companion::Companion;
use plinth_core::moment::Moment;
use plinth_core::sync::{Outgoing, Step, SyncFault, Told};
use std::io;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio_rustls::TlsConnector;
use tokio_rustls::rustls::pki_types::ServerName;

/// Within so long a connection is there, and an answer.
const CONNECT: Duration = Duration::from_secs(15);
const ANSWER: Duration = Duration::from_secs(90);
/// The longest answer as it comes, packed or not.
const LONGEST: usize = 16 * 1024 * 1024;

/// What a host answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// The status.
    pub status: u16,
    /// The seconds of `Retry-After`.
    pub retry_after_s: Option<u32>,
    /// The body as it came; [`plinth_core::sync::unpack`] unpacks it.
    pub body: Vec<u8>,
}

/// A way to a host: one connection at a time, made when it is needed.
#[derive(Debug)]
pub struct Way {
    secure: bool,
    authority: String,
    host: String,
    port: u16,
    certificate: Option<[u8; 32]>,
    open: Option<SendRequest<Full<Bytes>>>,
}

impl Way {
    /// To an address as an invitation has it: `https://host:port`, or `http://` on this machine. With a fingerprint it
    /// takes exactly that certificate, without one a public certificate only.
    ///
    /// # Errors
    /// An address of another form.
    pub fn to(address: &str, certificate: Option<[u8; 32]>) -> io::Result<Self> {
        let bad = || io::Error::new(io::ErrorKind::InvalidInput, "the address is none");
        let (scheme, authority) = address.split_once("://").ok_or_else(bad)?;
        let secure = match scheme {
            "https" => true,
            "http" => false,
            _ => return Err(bad()),
        };
        let (host, port) = match authority.rsplit_once(':') {
            Some((host, port)) if !port.contains(']') => (host, port.parse().map_err(|_| bad())?),
            _ => (authority, if secure { 443 } else { 80 }),
        };
        let host = host.trim_start_matches('[').trim_end_matches(']').to_owned();
        Ok(Self { secure, authority: authority.to_owned(), host, port, certificate, open: None })
    }

    async fn connect(&self) -> io::Result<SendRequest<Full<Bytes>>> {
        let stream = TcpStream::connect((self.host.as_str(), self.port)).await?;
        stream.set_nodelay(true)?;
        if !self.secure {
            return speak(stream).await;
        }
        let name = ServerName::try_from(self.host.clone()).map_err(io::Error::other)?;
        let stream = TlsConnector::from(pin::config(self.certificate)?).connect(name, stream).await?;
        speak(stream).await
    }

    /// Sends a request and waits for its answer. A connection that the host has closed meanwhile is made anew once:
    /// every request of the protocol may be repeated.
    ///
    /// # Errors
    /// No connection, no answer in time, one that is too long, or a certificate that is not the one.
    pub async fn send(
        &mut self,
        method: Method,
        path: &str,
        headers: &[(String, String)],
        body: Vec<u8>,
    ) -> io::Result<Reply> {
        let body = Bytes::from(body);
        if let Some(open) = self.open.take().filter(|o| !o.is_closed())
            && let Ok(reply) = self.ask(open, method.clone(), path, headers, body.clone()).await
        {
            return Ok(reply);
        }
        let open = tokio::time::timeout(CONNECT, self.connect()).await??;
        self.ask(open, method, path, headers, body).await
    }

    async fn ask(
        &mut self,
        mut open: SendRequest<Full<Bytes>>,
        method: Method,
        path: &str,
        headers: &[(String, String)],
        body: Bytes,
    ) -> io::Result<Reply> {
        let mut request = Request::builder().method(method).uri(path).header(HOST, &self.authority);
        for (name, value) in headers {
            request = request.header(name, value);
        }
        let request =
            request.header(ACCEPT_ENCODING, "gzip").body(Full::new(body)).map_err(io::Error::other)?;
        let asked = async {
            open.ready().await.map_err(io::Error::other)?;
            let response = open.send_request(request).await.map_err(io::Error::other)?;
            let status = response.status().as_u16();
            let retry_after = response.headers().get(RETRY_AFTER).and_then(|v| v.to_str().ok());
            let retry_after_s = retry_after.and_then(|v| v.parse().ok());
            let body =
                Limited::new(response.into_body(), LONGEST).collect().await.map_err(io::Error::other)?;
            Ok::<_, io::Error>(Reply { status, retry_after_s, body: body.to_bytes().to_vec() })
        };
        let reply = tokio::time::timeout(ANSWER, asked).await??;
        self.open = Some(open);
        Ok(reply)
    }

    /// Posts JSON with a token.
    ///
    /// # Errors
    /// As [`Self::send`].
    pub async fn post_json(&mut self, path: &str, token: Option<&str>, body: Vec<u8>) -> io::Result<Reply> {
        let mut headers = vec![(CONTENT_TYPE.to_string(), "application/json".to_owned())];
        headers.extend(token.map(|t| (AUTHORIZATION.to_string(), format!("Bearer {t}"))));
        self.send(Method::POST, path, &headers, body).await
    }
}

async fn speak(
    stream: impl tokio::io::AsyncRead + tokio::io::AsyncWrite + Unpin + Send + 'static,
) -> io::Result<SendRequest<Full<Bytes>>> {
    let (open, connection) = handshake(TokioIo::new(stream)).await.map_err(io::Error::other)?;
    // It ends with the connection; what went wrong is told by the request.
    tokio::spawn(async move { connection.await.ok() });
    Ok(open)
}

/// Drives a whole exchange.
///
/// # Errors
/// Why it goes no further; what came before is kept.
pub async fn exchange(
    companion: &mut Companion,
    way: &mut Way,
    token: &str,
    now: &mut (dyn FnMut() -> Moment + Send),
) -> Result<Told, SyncFault> {
    let mut exchange = companion.begin_exchange(token)?;
    loop {
        let Outgoing { path, headers, body } = match companion.next_of(&mut exchange, &now())? {
            Step::Done(told) => return Ok(told),
            Step::Send(outgoing) => outgoing,
        };
        match way.send(Method::POST, path, &headers, body).await {
            Ok(Reply { status, retry_after_s, body }) => {
                companion.answer_to(&mut exchange, status, retry_after_s, &body, &now())?;
            }
            Err(e) => {
                tracing::debug!("no answer: {e}");
                return Err(companion.cut_off(&mut exchange, &now()));
            }
        }
    }
}
