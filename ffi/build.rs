//! How the library that the shells load is linked: identical functions once, and pages of 16 KB, which phones with such
//! pages ask for and others take. Relocations are not packed: the oldest phones and systems do not read them.

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let target = std::env::var("CARGO_CFG_TARGET_OS").unwrap_or_default();
    if matches!(target.as_str(), "linux" | "android") {
        for argument in ["--icf=all", "--gc-sections", "-O2", "-z,max-page-size=16384"] {
            println!("cargo::rustc-cdylib-link-arg=-Wl,{argument}");
        }
    }
}
