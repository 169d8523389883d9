//! The plinth command line.
fn main() {}
