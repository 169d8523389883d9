//! The host: its store, its protocol, who may come in, and what a kill or a restored backup does to it.
#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

mod backups;
mod coach;
mod common;
mod described;
mod door;
mod exchange;
mod ledger;
mod process;
mod protocol;
mod restore;

use plinth::host::conformance;
use plinth::host::sqlite::SqliteStore;

#[tokio::test]
async fn sqlite_is_a_store() {
    let folder = common::Folder::new();
    let mut made = 0;
    conformance::all(async || {
        made += 1;
        SqliteStore::open(&folder.file(&format!("store-{made}")))
    })
    .await
    .unwrap();
    assert!(made > 10);
}
