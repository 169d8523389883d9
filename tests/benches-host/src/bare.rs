//! The least that keeps the same bytes: paths and a table, without a record's rules. It runs as a process of its own,
//! as the host does.

use super::Fault;
use super::device::{Ready, send};
use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use axum::routing::post;
use plinth::client::Way;
use plinth_core::sync::unpack;
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use tower_http::compression::CompressionLayer;

/// The argument with which a bench is the bare program: then comes the file.
pub const BARE: &str = "--bare";
const LONGEST: u64 = 16 * 1024 * 1024;

#[derive(Deserialize)]
struct Push {
    push: Vec<Box<RawValue>>,
}

#[derive(Deserialize)]
struct Named<'a> {
    id: &'a str,
}

#[derive(Serialize, Deserialize)]
struct Took {
    took: usize,
}

#[derive(Deserialize)]
struct From {
    cursor: i64,
    want: i64,
}

/// A page of what is there.
#[derive(Debug, Serialize, Deserialize)]
struct Page {
    pull: Vec<Box<RawValue>>,
    cursor: i64,
}

type Db = Arc<Mutex<Connection>>;

/// The bare program, running.
#[derive(Debug)]
pub struct Bare {
    process: Child,
    address: String,
}

impl Bare {
    /// Starts this very program as the bare one.
    ///
    /// # Errors
    /// Those of the system.
    pub fn start(file: &Path) -> Result<Self, Fault> {
        let mut process = Command::new(std::env::current_exe()?)
            .arg(BARE)
            .arg(file)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .spawn()?;
        let mut address = String::new();
        BufReader::new(process.stdout.take().ok_or("no output")?).read_line(&mut address)?;
        Ok(Self { process, address: format!("http://{}", address.trim()) })
    }

    /// A way to it.
    ///
    /// # Errors
    /// An address of another form.
    pub fn way(&self) -> Result<Way, Fault> {
        Ok(Way::to(&self.address, None)?)
    }

    /// Sends entries; how long it took, and how many it took.
    ///
    /// # Errors
    /// No answer.
    pub async fn push(way: &mut Way, ready: Ready) -> Result<(Duration, usize), Fault> {
        let (took, body) = send(way, "/push", ready).await?;
        Ok((took, serde_json::from_slice::<Took>(&body)?.took))
    }

    /// Asks for a page; how long it took, how many came, and where it goes on.
    ///
    /// # Errors
    /// No answer.
    pub async fn pull(way: &mut Way, ready: Ready) -> Result<(Duration, usize, u64), Fault> {
        let (took, body) = send(way, "/pull", ready).await?;
        let page: Page = serde_json::from_slice(&body)?;
        Ok((took, page.pull.len(), page.cursor.unsigned_abs()))
    }

    /// Is the bare program, until it is ended.
    ///
    /// # Errors
    /// Those of the disk and the system.
    pub async fn run(file: &Path) -> Result<(), Fault> {
        let db = Connection::open(file)?;
        db.pragma_update(None, "journal_mode", "WAL")?;
        db.pragma_update(None, "synchronous", "FULL")?;
        db.execute_batch(
            "CREATE TABLE entry (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, body TEXT NOT NULL) STRICT",
        )?;
        let routes = Router::new()
            .route("/push", post(push))
            .route("/pull", post(pull))
            .layer(DefaultBodyLimit::max(16 * 1024 * 1024))
            .layer(CompressionLayer::new())
            .with_state(Arc::new(Mutex::new(db)));
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await?;
        println!("{}", listener.local_addr()?);
        Ok(axum::serve(listener, routes).await?)
    }
}

impl Drop for Bare {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

async fn push(State(db): State<Db>, body: Bytes) -> Response {
    answer(move || keep(&db, &body)).await
}

async fn pull(State(db): State<Db>, body: Bytes) -> Response {
    answer(move || page(&db, &body)).await
}

async fn answer<T: Serialize + Send + 'static>(
    work: impl FnOnce() -> Result<T, Fault> + Send + 'static,
) -> Response {
    let text = tokio::task::spawn_blocking(move || Ok::<_, Fault>(serde_json::to_string(&work()?)?)).await;
    match text {
        Ok(Ok(text)) => ([(CONTENT_TYPE, "application/json")], text).into_response(),
        Ok(Err(e)) => (StatusCode::INTERNAL_SERVER_ERROR, e.to_string()).into_response(),
        Err(e) => (StatusCode::INTERNAL_SERVER_ERROR, e.to_string()).into_response(),
    }
}

fn keep(db: &Db, body: &[u8]) -> Result<Took, Fault> {
    let plain = unpack(body, LONGEST).ok_or("it does not unpack")?;
    let Push { push } = serde_json::from_slice(&plain)?;
    let mut db = db.lock().unwrap_or_else(PoisonError::into_inner);
    let change = db.transaction()?;
    {
        let mut put = change.prepare_cached(
            "INSERT INTO entry (id, body) VALUES (?1, ?2) ON CONFLICT (id) DO UPDATE SET body = ?2",
        )?;
        for raw in &push {
            put.execute(params![serde_json::from_str::<Named>(raw.get())?.id, raw.get()])?;
        }
    }
    change.commit()?;
    Ok(Took { took: push.len() })
}

fn page(db: &Db, body: &[u8]) -> Result<Page, Fault> {
    let From { cursor, want } = serde_json::from_slice(body)?;
    let db = db.lock().unwrap_or_else(PoisonError::into_inner);
    let mut ask =
        db.prepare_cached("SELECT number, body FROM entry WHERE number > ?1 ORDER BY number LIMIT ?2")?;
    let mut rows = ask.query(params![cursor, want])?;
    let mut page = Page { pull: Vec::new(), cursor };
    while let Some(row) = rows.next()? {
        page.cursor = row.get(0)?;
        page.pull.push(RawValue::from_string(row.get(1)?)?);
    }
    Ok(page)
}
