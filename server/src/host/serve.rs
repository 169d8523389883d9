//! Ties the paths to a socket: connections are few, short and never waited for without an end.

use super::Host;
use super::door::{Peer, inner_routes, routes};
use super::store::Store;
use super::watch::one;
use axum::Router;
use hyper::body::Incoming;
use hyper::header::HeaderName;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::collections::HashMap;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio::task::JoinHandle;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;

/// Connections at once.
const MOST: u32 = 512;
/// Connections of one peer at once, unless a proxy stands before the host.
const OF_A_PEER: u32 = 64;
/// Within so long a handshake is done, and a head has come.
const HEAD: Duration = Duration::from_secs(10);
/// The longest head of a request, bytes.
const HEAD_BYTES: usize = 16 * 1024;
/// After so long a connection takes no new request, and after so much longer it is cut.
const LIFE: Duration = Duration::from_mins(5);
const LAST: Duration = Duration::from_secs(70);
/// How long a host that ends waits for what is under way.
const DRAIN: Duration = Duration::from_secs(20);
/// How long it waits when the system has no room for another connection.
const NO_ROOM: Duration = Duration::from_millis(200);

/// How a host listens.
#[derive(Debug, Clone)]
pub struct Listening {
    /// TLS, or plain where nothing is given.
    pub tls: Option<Arc<ServerConfig>>,
    /// A proxy stands before it, and names the peer last in `X-Forwarded-For`.
    pub behind_proxy: bool,
    /// Where `/metrics` is, if anywhere.
    pub metrics: Option<SocketAddr>,
    /// Paths besides the protocol's, such as a desk's.
    pub pages: Router,
}

/// A host that listens.
#[derive(Debug)]
pub struct Serving {
    /// Where, with the port that it got.
    pub address: SocketAddr,
    /// Where `/metrics` is.
    pub metrics: Option<SocketAddr>,
    stop: watch::Sender<bool>,
    tasks: Vec<JoinHandle<()>>,
}

impl Serving {
    /// Begins to answer on a listener.
    ///
    /// # Errors
    /// An address that cannot be had.
    pub async fn begin<S: Store>(
        host: Arc<Host<S>>,
        listener: TcpListener,
        listening: Listening,
    ) -> io::Result<Self> {
        let (stop, stopped) = watch::channel(false);
        let address = listener.local_addr()?;
        let mut tasks = Vec::new();
        let mut metrics = None;
        if let Some(inner) = listening.metrics {
            let listener = TcpListener::bind(inner).await?;
            metrics = Some(listener.local_addr()?);
            let door = Door::of(&host, inner_routes(&host), None, true);
            tasks.push(tokio::spawn(door.keep(listener, stopped.clone())));
        }
        let door = Door::of(&host, routes(&host, listening.pages), listening.tls, listening.behind_proxy);
        tasks.push(tokio::spawn(door.keep(listener, stopped)));
        Ok(Self { address, metrics, stop, tasks })
    }

    /// Takes no more, finishes what is under way, and ends.
    pub async fn end(self) {
        self.stop.send_replace(true);
        for task in self.tasks {
            // A task that panicked is over as well.
            let _ = task.await;
        }
    }
}

/// A listener's door.
struct Door<S> {
    host: Arc<Host<S>>,
    router: Router,
    tls: Option<TlsAcceptor>,
    behind_proxy: bool,
    room: Arc<Semaphore>,
    peers: Arc<Mutex<HashMap<IpAddr, u32>>>,
}

impl<S: Store> Door<S> {
    fn of(host: &Arc<Host<S>>, router: Router, tls: Option<Arc<ServerConfig>>, behind_proxy: bool) -> Self {
        Self {
            host: Arc::clone(host),
            router,
            tls: tls.map(TlsAcceptor::from),
            behind_proxy,
            room: Arc::new(Semaphore::new(MOST as usize)),
            peers: Arc::default(),
        }
    }

    async fn keep(self, listener: TcpListener, mut stopped: watch::Receiver<bool>) {
        let ending = stopped.clone();
        loop {
            let accepted = tokio::select! {
                accepted = listener.accept() => accepted,
                _ = stopped.changed() => break,
            };
            match accepted {
                Ok((stream, from)) => self.take(stream, from.ip(), ending.clone()),
                Err(e) => {
                    tracing::warn!("no connection can be accepted: {e}");
                    tokio::time::sleep(NO_ROOM).await;
                }
            }
        }
        drop(listener);
        // Every connection holds a place; when all are free, all are over.
        if tokio::time::timeout(DRAIN, self.room.acquire_many(MOST)).await.is_err() {
            tracing::warn!("some connections were cut");
        }
    }

    fn take(&self, stream: TcpStream, peer: IpAddr, stopped: watch::Receiver<bool>) {
        let place = Arc::clone(&self.room).try_acquire_owned();
        let of_peer = (!self.behind_proxy).then(|| Place::of(&self.peers, peer));
        let (Ok(place), Some(of_peer)) = (place, of_peer.map_or(Some(None), |p| p.map(Some))) else {
            return one(&self.host.counts.turned_away);
        };
        one(&self.host.counts.connections);
        // Small answers do not wait for more.
        let _ = stream.set_nodelay(true);
        let (router, tls, proxied) = (self.router.clone(), self.tls.clone(), self.behind_proxy);
        tokio::spawn(async move {
            let _places = (place, of_peer);
            match tls {
                None => speak(stream, router, peer, proxied, stopped).await,
                Some(tls) => {
                    // One that does not finish the handshake, or speaks plainly, is let go.
                    if let Ok(Ok(stream)) = tokio::time::timeout(HEAD, tls.accept(stream)).await {
                        speak(stream, router, peer, proxied, stopped).await;
                    }
                }
            }
        });
    }
}

/// Speaks HTTP/1.1 on a connection until it is over.
async fn speak(
    stream: impl AsyncRead + AsyncWrite + Unpin,
    router: Router,
    from: IpAddr,
    behind_proxy: bool,
    mut stopped: watch::Receiver<bool>,
) {
    let inner = TowerToHyperService::new(router);
    let service = service_fn(move |mut request: hyper::Request<Incoming>| {
        let named = behind_proxy.then(|| forwarded(&request)).flatten();
        let own = !behind_proxy || named.is_some();
        request.extensions_mut().insert(Peer { address: named.unwrap_or(from), own });
        inner.call(request)
    });
    let mut connection = pin!(
        http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD)
            .max_buf_size(HEAD_BYTES)
            .serve_connection(TokioIo::new(stream), service)
    );
    tokio::select! {
        _ = connection.as_mut() => return,
        _ = stopped.wait_for(|s| *s) => {}
        () = tokio::time::sleep(LIFE) => {}
    }
    connection.as_mut().graceful_shutdown();
    // A peer that reads too slowly is cut; it asks again.
    let _ = tokio::time::timeout(LAST, connection).await;
}

/// The peer that the proxy names: the last of the header, which is the one that the proxy itself saw.
fn forwarded(request: &hyper::Request<Incoming>) -> Option<IpAddr> {
    const FORWARDED: HeaderName = HeaderName::from_static("x-forwarded-for");
    request
        .headers()
        .get_all(FORWARDED)
        .iter()
        .next_back()?
        .to_str()
        .ok()?
        .rsplit(',')
        .next()?
        .trim()
        .parse()
        .ok()
}

/// One of a peer's places.
struct Place {
    peers: Arc<Mutex<HashMap<IpAddr, u32>>>,
    peer: IpAddr,
}

impl Place {
    fn of(peers: &Arc<Mutex<HashMap<IpAddr, u32>>>, peer: IpAddr) -> Option<Self> {
        let mut held = peers.lock().unwrap_or_else(PoisonError::into_inner);
        let count = held.entry(peer).or_default();
        (*count < OF_A_PEER).then(|| {
            *count += 1;
            Self { peers: Arc::clone(peers), peer }
        })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut held = self.peers.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = held.get_mut(&self.peer) {
            *count -= 1;
            if *count == 0 {
                held.remove(&self.peer);
            }
        }
    }
}
