//! A device without a record: it sends what it is given, as a device would, and remembers how far it is.

use super::Fault;
use plinth::client::Way;
use plinth_core::record::DeviceId;
use plinth_core::sync::{Answer, Capability, PATH, PROTOCOL, Request, pack, unpack};
use serde_json::value::RawValue;
use std::time::{Duration, Instant};

/// A body as long as this is packed, as a device does.
const PACK_FROM: usize = 1024;
const LONGEST: u64 = 64 * 1024 * 1024;

/// A device.
#[derive(Debug)]
pub struct Device {
    id: DeviceId,
    token: String,
    epoch: Option<String>,
    /// The host's number up to which it has everything.
    pub cursor: u64,
    /// Whether long bodies are packed.
    pub packs: bool,
}

/// A body that is ready to go.
#[derive(Debug)]
pub struct Ready {
    headers: Vec<(String, String)>,
    body: Vec<u8>,
}

impl Device {
    /// One that has met no host.
    pub fn new(id: DeviceId, token: String) -> Self {
        Self { id, token, epoch: None, cursor: 0, packs: true }
    }

    /// A request that pushes this, from a cursor; the last of an exchange asks for the sums.
    ///
    /// # Errors
    /// Entries that are no JSON.
    pub fn ready(&self, push: &[Box<RawValue>], cursor: u64, last: bool) -> Result<Ready, Fault> {
        let request = Request {
            protocol: PROTOCOL,
            app: env!("CARGO_PKG_VERSION").to_owned(),
            device: self.id,
            epoch: self.epoch.clone(),
            cursor,
            can: vec![Capability::Gzip, Capability::Ranges],
            push: push.to_vec(),
            want: 500,
            sums: last,
            ranges: Vec::new(),
            fetch: Vec::new(),
            audit: None,
        };
        let body = serde_json::to_vec(&request)?;
        let mut headers = vec![
            ("Content-Type".to_owned(), "application/json".to_owned()),
            ("Authorization".to_owned(), format!("Bearer {}", self.token)),
        ];
        if !self.packs || body.len() < PACK_FROM {
            return Ok(Ready { headers, body });
        }
        headers.push(("Content-Encoding".to_owned(), "gzip".to_owned()));
        Ok(Ready { headers, body: pack(&body)? })
    }

    /// Sends a request; how long the whole answer took, and what it says. The device is as far as that afterwards.
    ///
    /// # Errors
    /// No answer, or another than wanted.
    pub async fn send(&mut self, way: &mut Way, ready: Ready) -> Result<(Duration, Answer), Fault> {
        let (took, body) = send(way, PATH, ready).await?;
        let answer: Answer = serde_json::from_slice(&body)?;
        if let Some(refused) = answer.refused.first() {
            return Err(format!("an entry was refused: {}", refused.reason).into());
        }
        if let Some(differs) = answer.differs {
            return Err(format!("the host finds another {differs:?}").into());
        }
        self.epoch = Some(answer.epoch.clone());
        self.cursor = answer.cursor;
        Ok((took, answer))
    }
}

/// Sends a body; how long the whole answer took, and the answer unpacked.
///
/// # Errors
/// No answer, or another status than 200.
pub(crate) async fn send(way: &mut Way, path: &str, ready: Ready) -> Result<(Duration, Vec<u8>), Fault> {
    let began = Instant::now();
    let reply = way.send(hyper::Method::POST, path, &ready.headers, ready.body).await?;
    let took = began.elapsed();
    let body = unpack(&reply.body, LONGEST).ok_or("an answer that does not unpack")?;
    if reply.status != 200 {
        return Err(format!("status {}: {}", reply.status, String::from_utf8_lossy(&body)).into());
    }
    Ok((took, body))
}
