//! The host: its store, its protocol, who may come in, and what a kill or a restored backup does to it.
#![allow(clippy::expect_used, clippy::unwrap_used)] // a test may stop at what should not be

mod backups;
mod coach;
mod common;
mod demo;
mod described;
mod desk;
mod door;
mod exchange;
mod ledger;
mod process;
mod protocol;
mod restore;

use plinth::host::conformance;
use plinth::host::sqlite::SqliteStore;
use plinth::host::store::Store as _;
use plinth_core::record::DeviceId;

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

#[tokio::test]
async fn a_store_of_the_first_version_is_brought_up_to_date() {
    let folder = common::Folder::new();
    let file = folder.file("store");
    let db = rusqlite::Connection::open(&file).expect("a file");
    db.execute_batch(include_str!("../../src/host/sqlite/001_host.sql")).expect("the first version");
    db.execute_batch(
        "INSERT INTO account (id, role, made_ms) VALUES ('anna', 'lifter', 1);
         INSERT INTO shown VALUES ('anna', '0000000000000001', 'first', 4), ('anna', '0000000000000002', 'first', 9);
         PRAGMA user_version = 1;",
    )
    .expect("rows of it");
    drop(db);
    let store = SqliteStore::open(&file).expect("it is brought up to date");
    for (device, cursor) in [(1, 4), (2, 9)] {
        let head = store.head(&common::named("anna"), DeviceId::new(device), "first").await.expect("a head");
        assert_eq!(head.shown, Some(cursor));
    }
    assert_eq!(store.check().await.expect("a check").faults, Vec::<String>::new());
}
