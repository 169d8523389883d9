//! The conformance vectors are what the core answers today. DEVELOPERS.md says how they are renewed.

use plinth_tests::vectors::{folder, renew};
use std::fs;

#[test]
fn every_vector_is_what_the_core_answers() {
    let mut checked = 0;
    for file in fs::read_dir(folder()).expect("the vectors are there") {
        let path = file.expect("it can be listed").path();
        let text = fs::read_to_string(&path).expect("it can be read");
        for (n, (had, now)) in renew(&text).expect("every line is a call").iter().enumerate() {
            assert_eq!(had, now, "{} line {}", path.display(), n + 1);
            checked += 1;
        }
    }
    assert!(checked >= 300, "{checked} vectors are too few");
    println!("conformance (Rust): {checked} checked, 0 failed");
}
