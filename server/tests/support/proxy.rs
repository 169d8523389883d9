//! A bad way between a device and a host: it cuts at every kind of byte boundary, delays, repeats and reorders.

use super::raw::{head_end, read_request};
use plinth_tests::faults::Dice;
use std::net::SocketAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::io::{self, AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinHandle;

/// Where a request with its answer is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Place {
    BeforeHead,
    InHead,
    AfterHead,
    InBody,
    /// All of it has gone, and nobody waits for the answer.
    BeforeAnswer,
    /// The host has answered, and nothing of it comes back: a lost acknowledgement.
    AnswerLost,
    InAnswerHead,
    AfterAnswerHead,
    InAnswerBody,
    /// The last byte of the answer is lacking.
    BeforeLastByte,
}

/// Every place.
pub(crate) const PLACES: [Place; 10] = [
    Place::BeforeHead,
    Place::InHead,
    Place::AfterHead,
    Place::InBody,
    Place::BeforeAnswer,
    Place::AnswerLost,
    Place::InAnswerHead,
    Place::AfterAnswerHead,
    Place::InAnswerBody,
    Place::BeforeLastByte,
];

/// What becomes of a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fate {
    /// It goes through.
    Pass,
    /// It is cut.
    Cut(Place),
    /// It comes late; others overtake it.
    Late(Duration),
    /// It comes twice, one after the other; the second answer is given back.
    Twice,
    /// It comes twice at once; one of the answers is given back.
    Doubled,
    /// An earlier request comes once more before it.
    AfterAnOld,
    /// An earlier request comes once more after it, before its answer is given back.
    BeforeAnOld,
    /// It comes in crumbs.
    Crumbs,
}

/// A fate by chance; one in `every` requests has a bad one.
pub(crate) fn any_fate(dice: &mut Dice, every: usize) -> Fate {
    if dice.below(every) > 0 {
        return Fate::Pass;
    }
    match dice.below(16) {
        0 => Fate::Late(Duration::from_millis(dice.below(12) as u64)),
        1 => Fate::Twice,
        2 => Fate::Doubled,
        3 => Fate::AfterAnOld,
        4 => Fate::BeforeAnOld,
        5 => Fate::Crumbs,
        k => Fate::Cut(PLACES[k - 6]),
    }
}

type Fates = Box<dyn FnMut(u32) -> Fate + Send>;

struct Shared {
    to: SocketAddr,
    fates: Fates,
    asked: u32,
    bad: u32,
    old: Vec<Vec<u8>>,
}

/// A proxy on a free port.
pub(crate) struct Proxy {
    pub(crate) at: SocketAddr,
    shared: Arc<Mutex<Shared>>,
    task: JoinHandle<()>,
}

impl Proxy {
    /// Listens, and passes on to `to`.
    pub(crate) async fn begin(to: SocketAddr) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let at = listener.local_addr().unwrap();
        let shared = Arc::new(Mutex::new(Shared {
            to,
            fates: Box::new(|_| Fate::Pass),
            asked: 0,
            bad: 0,
            old: Vec::new(),
        }));
        let held = Arc::clone(&shared);
        let task = tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                // A connection that fails is one more cut.
                tokio::spawn(carry(stream, Arc::clone(&held)));
            }
        });
        Self { at, shared, task }
    }

    fn with<T>(&self, ask: impl FnOnce(&mut Shared) -> T) -> T {
        ask(&mut self.shared.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Passes on to another host from now on.
    pub(crate) fn aim(&self, to: SocketAddr) {
        self.with(|s| s.to = to);
    }

    /// Says what becomes of each request from now on, counted from nought; what went before is forgotten.
    pub(crate) fn fates(&self, fates: impl FnMut(u32) -> Fate + Send + 'static) {
        self.with(|s| {
            s.fates = Box::new(fates);
            s.asked = 0;
            s.old.clear();
        });
    }

    /// Lets everything through again.
    pub(crate) fn mend(&self) {
        self.fates(|_| Fate::Pass);
    }

    /// Requests since the fates were said.
    pub(crate) fn asked(&self) -> u32 {
        self.with(|s| s.asked)
    }

    /// Requests that had a bad fate, ever.
    pub(crate) fn bad(&self) -> u32 {
        self.with(|s| s.bad)
    }
}

impl Drop for Proxy {
    fn drop(&mut self) {
        self.task.abort();
    }
}

async fn carry(mut client: TcpStream, shared: Arc<Mutex<Shared>>) -> io::Result<()> {
    client.set_nodelay(true)?;
    let Some(request) = read_request(&mut client).await? else { return Ok(()) };
    // One request for each connection, so that the host's end of the answer is its end of the connection.
    let request = closing(&request);
    let (to, fate, old) = {
        let mut s = shared.lock().unwrap_or_else(PoisonError::into_inner);
        let n = s.asked;
        s.asked += 1;
        let fate = (s.fates)(n);
        s.bad += u32::from(fate != Fate::Pass);
        let old = s.old.get(n as usize / 2).or(s.old.first()).cloned();
        if s.old.len() < 16 {
            s.old.push(request.clone());
        }
        (s.to, fate, old)
    };
    let head = head_end(&request).unwrap_or(request.len());
    let answer = match fate {
        Fate::Cut(place) => return cut(&mut client, to, &request, head, place).await,
        Fate::Pass => ask(to, &request).await?,
        Fate::Late(by) => {
            tokio::time::sleep(by).await;
            ask(to, &request).await?
        }
        Fate::Twice => {
            ask(to, &request).await?;
            ask(to, &request).await?
        }
        Fate::Doubled => {
            let (one, other) = tokio::join!(ask(to, &request), ask(to, &request));
            other.or(one)?
        }
        Fate::AfterAnOld => {
            if let Some(old) = old {
                ask(to, &old).await?;
            }
            ask(to, &request).await?
        }
        Fate::BeforeAnOld => {
            let answer = ask(to, &request).await?;
            if let Some(old) = old {
                ask(to, &old).await?;
            }
            answer
        }
        Fate::Crumbs => {
            let mut server = TcpStream::connect(to).await?;
            server.set_nodelay(true)?;
            for crumb in request.chunks((request.len() / 40).max(1)) {
                server.write_all(crumb).await?;
                tokio::task::yield_now().await;
            }
            let mut answer = Vec::new();
            server.read_to_end(&mut answer).await?;
            answer
        }
    };
    client.write_all(&answer).await?;
    client.shutdown().await
}

/// The request, asking that the connection end with its answer.
fn closing(request: &[u8]) -> Vec<u8> {
    let line = request.windows(2).position(|w| w == b"\r\n").map_or(0, |at| at + 2);
    let mut out = request[..line].to_vec();
    out.extend(b"Connection: close\r\n");
    out.extend(&request[line..]);
    out
}

async fn ask(to: SocketAddr, request: &[u8]) -> io::Result<Vec<u8>> {
    let mut server = TcpStream::connect(to).await?;
    server.write_all(request).await?;
    let mut answer = Vec::new();
    server.read_to_end(&mut answer).await?;
    Ok(answer)
}

async fn cut(
    client: &mut TcpStream,
    to: SocketAddr,
    request: &[u8],
    head: usize,
    place: Place,
) -> io::Result<()> {
    let goes = match place {
        Place::BeforeHead => 0,
        Place::InHead => head / 2,
        Place::AfterHead => head,
        Place::InBody => usize::midpoint(head, request.len()),
        _ => request.len(),
    };
    let mut server = TcpStream::connect(to).await?;
    server.write_all(&request[..goes]).await?;
    if goes < request.len() || place == Place::BeforeAnswer {
        return server.shutdown().await;
    }
    let mut answer = Vec::new();
    server.read_to_end(&mut answer).await?;
    let head = head_end(&answer).unwrap_or(answer.len());
    let comes = match place {
        Place::AnswerLost => 0,
        Place::InAnswerHead => head / 2,
        Place::AfterAnswerHead => head,
        Place::InAnswerBody => usize::midpoint(head, answer.len()),
        _ => answer.len() - 1,
    };
    client.write_all(&answer[..comes]).await?;
    client.shutdown().await
}
