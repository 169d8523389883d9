//! Finds entries in the bytes of a file whose tables can no longer be followed.
//!
//! An entry's text lies in one piece with its digest right behind it, unless it is longer than a page. What is found
//! is believed only when the digest agrees.

use crate::record::{Entry, read_stored};

const START: &[u8] = b"{\"fields\":{";
/// Longer texts are spread over pages and cannot be found in one piece.
const LONGEST: usize = 70_000;

/// Every entry that lies in the bytes with its digest behind it.
pub(super) fn entries(bytes: &[u8]) -> Vec<Entry> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = find(bytes, at) {
        at = start + START.len();
        if let Some(end) = end_of(bytes, start)
            && let (Some(text), Some(digest)) = (bytes.get(start..end), bytes.get(end..end + 32))
            && let Ok(text) = std::str::from_utf8(text)
            && let Some(entry) = read_stored(text, digest)
        {
            at = end;
            found.push(entry);
        }
    }
    found
}

fn find(bytes: &[u8], from: usize) -> Option<usize> {
    let rest = bytes.get(from..)?;
    rest.windows(START.len()).position(|w| w == START).map(|k| from + k)
}

/// Where the object that begins at `start` ends.
fn end_of(bytes: &[u8], start: usize) -> Option<usize> {
    let (mut depth, mut quoted, mut k) = (0usize, false, start);
    while k < start + LONGEST {
        match bytes.get(k)? {
            b'\\' if quoted => k += 1,
            b'"' => quoted = !quoted,
            b'{' | b'[' if !quoted => depth += 1,
            b'}' | b']' if !quoted => {
                depth = depth.checked_sub(1)?;
                if depth == 0 {
                    return Some(k + 1);
                }
            }
            _ => {}
        }
        k += 1;
    }
    None
}
