//! Bytes as a sequence of short texts, each of which fits into one QR picture (ISO/IEC 18004) that a phone reads from a
//! screen or from paper.
//!
//! A part is `PLINTH1:K:N:D:TEXT`: the K-th of N, the digest of the whole (64 bits of its SHA-256 in hexadecimal), and a
//! piece of the whole, packed by gzip, in base 32 (RFC 4648, section 6, without padding). All letters are upper case, so
//! that a picture needs 11 bits for two of them.

use crate::plan::DocumentFault;
use crate::sync::{pack, unpack};
use data_encoding::{BASE32_NOPAD, HEXUPPER};
use sha2::{Digest, Sha256};
use std::io;

/// With what a part begins.
const HEAD: &str = "PLINTH1:";
/// The most bytes of a piece: 400 characters, and a picture of 77 by 77 modules at error correction M, which a phone
/// reads from a screen at arm's length (common practice, no source).
const PIECE: usize = 250;
/// The most parts of a sequence.
const MOST: usize = 200;
/// The most bytes of the whole.
const WHOLE: u64 = 1024 * 1024;

fn digest(packed: &[u8]) -> String {
    HEXUPPER.encode(&Sha256::digest(packed)[..8])
}

/// The parts of bytes.
///
/// # Errors
/// More than a sequence holds.
pub fn split(bytes: &[u8]) -> io::Result<Vec<String>> {
    let packed = pack(bytes)?;
    let pieces = packed.chunks(PIECE);
    let (n, digest) = (pieces.len(), digest(&packed));
    if n > MOST || bytes.len() as u64 > WHOLE {
        return Err(io::Error::other("it is too long for a sequence of pictures; send the file"));
    }
    let part = |(k, piece)| format!("{HEAD}{}:{n}:{digest}:{}", k + 1, BASE32_NOPAD.encode(piece));
    Ok(pieces.enumerate().map(part).collect())
}

/// Whether bytes are the texts of pictures.
pub fn are_parts(bytes: &[u8]) -> bool {
    bytes.trim_ascii_start().starts_with(HEAD.as_bytes())
}

struct Part<'a> {
    k: usize,
    n: usize,
    digest: &'a str,
    piece: Vec<u8>,
}

fn read(line: &str) -> Option<Part<'_>> {
    let mut fields = line.strip_prefix(HEAD)?.splitn(4, ':');
    let (k, n) = (fields.next()?.parse().ok()?, fields.next()?.parse().ok()?);
    let digest = fields.next().filter(|d| d.len() == 16)?;
    let piece = BASE32_NOPAD.decode(fields.next()?.as_bytes()).ok()?;
    ((1..=n).contains(&k) && n <= MOST).then_some(Part { k, n, digest, piece })
}

/// The bytes of a whole sequence: its texts one to a line, in any order, any of them more than once.
///
/// # Errors
/// A line that is no part, parts of two sequences, parts that are missing (by their numbers), a whole that differs from
/// its digest.
pub fn join(text: &[u8]) -> Result<Vec<u8>, DocumentFault> {
    let fault = |problem: String, remedy: &str| DocumentFault::new("pictures", problem, remedy);
    let text = String::from_utf8_lossy(text);
    let mut found: Vec<Option<Vec<u8>>> = Vec::new();
    let mut of = None;
    for (k, line) in text.lines().map(str::trim).filter(|l| !l.is_empty()).enumerate() {
        let part = read(line)
            .ok_or_else(|| fault(format!("line {} is no picture of a programme", k + 1), "read it again"))?;
        let whole = (part.n, part.digest.to_owned());
        if *of.get_or_insert_with(|| whole.clone()) != whole {
            let problem = "they are of two programmes, or of two versions of one";
            return Err(fault(problem.into(), "read the pictures of one sequence"));
        }
        found.resize(part.n, None);
        if let Some(place) = found.get_mut(part.k - 1) {
            *place = Some(part.piece);
        }
    }
    let missing: Vec<String> =
        (1..).zip(&found).filter(|(_, f)| f.is_none()).map(|(k, _): (usize, _)| k.to_string()).collect();
    if !missing.is_empty() {
        let problem = format!("of {} pictures these are missing: {}", found.len(), missing.join(", "));
        return Err(fault(problem, "read them too"));
    }
    let packed: Vec<u8> = found.into_iter().flatten().flatten().collect();
    let whole = of.is_some_and(|(_, d)| d == digest(&packed)).then(|| unpack(&packed, WHOLE)).flatten();
    whole.ok_or_else(|| fault("together they are not what was sent".into(), "read all of them again"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn noise(n: usize) -> Vec<u8> {
        let mut state = 1u32;
        (0..n)
            .map(|_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                (state >> 24) as u8
            })
            .collect()
    }

    proptest! {
        #[test]
        fn any_bytes_come_back_in_any_order(bytes in prop::collection::vec(any::<u8>(), 0..3_000), turn in 0usize..20) {
            let mut parts = split(&bytes).unwrap();
            let n = parts.len();
            parts.rotate_left(turn % n);
            parts.push(parts[0].clone());
            prop_assert_eq!(join(parts.join("\r\n").as_bytes()).unwrap(), bytes);
        }
    }

    #[test]
    fn a_part_needs_the_letters_of_the_alphanumeric_mode_only() {
        // ISO/IEC 18004, table 5 (from memory): digits, capital letters, and " $%*+-./:".
        for part in split(&noise(2_000)).unwrap() {
            assert!(
                part.bytes().all(|b| b.is_ascii_digit() || b.is_ascii_uppercase() || b == b':'),
                "{part}"
            );
            assert!(part.len() <= 440);
        }
    }

    #[test]
    fn what_is_missing_mixed_or_misread_is_told() {
        let parts = split(&noise(1_200)).unwrap();
        assert_eq!(parts.len(), 5);
        let some = [&*parts[0], &*parts[3]].join("\n");
        assert!(join(some.as_bytes()).unwrap_err().problem.ends_with("missing: 2, 3, 5"));
        let other = split(&noise(1_201)).unwrap();
        let mixed = [&*parts[0], &*other[1]].join("\n");
        assert!(join(mixed.as_bytes()).unwrap_err().problem.contains("two programmes"));
        let mut misread = parts.clone();
        misread[1] = misread[1].replacen('A', "B", 1);
        assert!(join(misread.join("\n").as_bytes()).unwrap_err().problem.contains("not what was sent"));
        for bad in [
            "PLINTH1:0:2:0123456789ABCDEF:AA",
            "PLINTH1:1:900:0123456789ABCDEF:AA",
            "PLINTH1:1:1:0:AA",
            "PLINTH1:1",
        ] {
            assert!(join(bad.as_bytes()).unwrap_err().problem.contains("line 1"), "{bad}");
        }
        assert!(split(&noise(80_000)).is_err());
    }
}
