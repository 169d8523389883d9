//! Connections that are lent one at a time, and used on threads that may block.

use super::super::store::{Asked, StoreFault};
use rusqlite::Connection;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::Semaphore;

/// Some connections of one kind.
#[derive(Debug)]
pub(super) struct Pool {
    free: Arc<Mutex<Vec<Connection>>>,
    turns: Semaphore,
}

impl Pool {
    pub(super) fn of(connections: Vec<Connection>) -> Self {
        Self { turns: Semaphore::new(connections.len()), free: Arc::new(Mutex::new(connections)) }
    }

    /// Does something with a connection, when one is free. A caller that goes away does not cut it short.
    pub(super) async fn with<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Connection) -> Asked<T> + Send + 'static,
    ) -> Asked<T> {
        let gone = |_| StoreFault::Engine("its thread is gone".into());
        let turn = self.turns.acquire().await.map_err(|e| StoreFault::Engine(e.to_string()))?;
        let free = Arc::clone(&self.free);
        let told = tokio::task::spawn_blocking(move || {
            // A connection is put back whatever happens: a transaction that was not committed is rolled back by then.
            let mut lent = Lent { db: take(&free), free };
            lent.db.as_mut().map_or_else(|| Err(StoreFault::Busy), work)
        });
        let told = told.await.map_err(gone)?;
        drop(turn);
        told
    }
}

fn take(free: &Mutex<Vec<Connection>>) -> Option<Connection> {
    free.lock().unwrap_or_else(PoisonError::into_inner).pop()
}

struct Lent {
    db: Option<Connection>,
    free: Arc<Mutex<Vec<Connection>>>,
}

impl Drop for Lent {
    fn drop(&mut self) {
        if let Some(db) = self.db.take() {
            self.free.lock().unwrap_or_else(PoisonError::into_inner).push(db);
        }
    }
}
