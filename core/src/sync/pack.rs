//! Bodies packed by gzip, and unpacked no further than a limit.

use flate2::Compression;
use flate2::read::MultiGzDecoder;
use flate2::write::GzEncoder;
use std::io::{self, Read, Write};

/// The two bytes with which a gzip member begins (RFC 1952, 2.3.1).
const MAGIC: &[u8] = &[0x1f, 0x8b];

/// A body packed.
///
/// # Errors
/// None that memory does not give.
pub fn pack(body: &[u8]) -> io::Result<Vec<u8>> {
    let mut packed = GzEncoder::new(Vec::with_capacity(body.len() / 4 + 64), Compression::default());
    packed.write_all(body)?;
    packed.finish()
}

/// A body as it was, packed or not; nothing where it is longer than `most` bytes or does not unpack.
pub fn unpack(body: &[u8], most: u64) -> Option<Vec<u8>> {
    if !body.starts_with(MAGIC) {
        return (body.len() as u64 <= most).then(|| body.to_vec());
    }
    let mut out = Vec::new();
    let read = MultiGzDecoder::new(body).take(most.saturating_add(1)).read_to_end(&mut out).ok()?;
    (read as u64 <= most).then_some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bomb_is_left_packed_and_a_body_comes_back() {
        let long = vec![b'0'; 5_000_000];
        let packed = pack(&long).unwrap();
        assert!(packed.len() < 10_000);
        assert_eq!(unpack(&packed, 5_000_000).as_deref(), Some(&long[..]));
        assert_eq!(unpack(&packed, 4_999_999), None);
        assert_eq!(unpack(b"{}", 2).as_deref(), Some(&b"{}"[..]));
        assert_eq!(unpack(b"{ }", 2), None);
        assert_eq!(unpack(&packed[..packed.len() - 3], 5_000_000), None, "cut short");
    }
}
