//! F17: backup, restore, export and import give an equal record.

#![allow(clippy::unwrap_used)] // a test may stop at what should not be

use plinth_core::store::{Key, seal_for, system_random, unseal_with};
use plinth_tests::faults::{Dice, Folder, at, count, open, pair};

#[test]
fn f17_copies_are_equal() {
    let mut dice = Dice::new("F17");
    let times = count(10, 100);
    for _ in 0..times {
        let folder = Folder::new();
        let mut store = open(&folder.file("record.plinth")).unwrap().store;
        let pairs = 5 + dice.below(40) as u64;
        let edits: Vec<_> = (0..pairs).flat_map(pair).collect();
        store.write(&edits, None, &at(0)).unwrap();
        let digest = store.digest().unwrap();

        let kept = folder.file("kept");
        store.backup(&kept).unwrap();
        let key = Key::new(&mut system_random).unwrap();
        let sealed = seal_for(&std::fs::read(&kept).unwrap(), &key.recipient()).unwrap();
        let key = Key::of_words(&key.words().unwrap()).unwrap();
        std::fs::write(&kept, unseal_with(&sealed, &key).unwrap()).unwrap();

        let mut json = Vec::new();
        store.export_json(&mut json).unwrap();
        let mut again = Vec::new();
        store.export_json(&mut again).unwrap();
        assert!(json == again, "two exports of one record differ");
        let mut csv = Vec::new();
        assert_eq!(store.export_csv(&mut csv).unwrap(), pairs);

        let mut imported = open(&folder.file("imported.plinth")).unwrap().store;
        let done = imported.import_json(&json).unwrap();
        assert_eq!((done.changed as u64, done.refused.len()), (2 * pairs, 0));
        assert_eq!(imported.digest().unwrap(), digest);
        // The sets by themselves come back equal from CSV: importing them again changes nothing.
        assert_eq!(imported.import_csv(&csv, &at(1), &mut system_random).unwrap().changed, 0);

        let device = store.device();
        store.write(&pair(9_999), None, &at(2)).unwrap();
        let restored = store.restore(&kept, &at(3), &mut system_random).unwrap();
        assert_eq!((restored.entries, restored.store.digest().unwrap()), (2 * pairs, digest));
        assert_ne!(restored.store.device(), device);
        assert_eq!(restored.store.check().unwrap().first_fault(), None);
    }
    println!(
        "F17: {times} records backed up, sealed, opened, restored, exported and imported; digests equal"
    );
}
