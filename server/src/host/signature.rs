//! The key with which a host's coaches sign what they publish: in a file beside the store that only its owner can read.

use super::beside;
use super::ledger::private;
use plinth_core::published::signed::Key;
use plinth_core::record::hex_of;
use plinth_core::store::system_random;
use std::fs::OpenOptions;
use std::io::{self, Read, Write};
use std::path::Path;

/// Reads the key that lies beside a store, or makes it.
///
/// # Errors
/// Those of the disk, a file that holds no key, a system without random bytes.
pub fn key(store: &Path) -> io::Result<Key> {
    let path = beside(store, "signature");
    match OpenOptions::new().read(true).open(&path) {
        Ok(file) => {
            let mut text = String::new();
            file.take(1024).read_to_string(&mut text)?;
            Key::of_digits(text.trim()).ok_or_else(|| {
                let path = path.display();
                let problem = format!("{path}: it holds no key; put the one of a backup in its place");
                io::Error::new(io::ErrorKind::InvalidData, problem)
            })
        }
        Err(e) if e.kind() == io::ErrorKind::NotFound => {
            let mut secret = [0; 32];
            if !system_random(&mut secret) {
                return Err(io::Error::other("the system gives no random bytes"));
            }
            let mut file = private(OpenOptions::new().write(true).create_new(true)).open(&path)?;
            file.write_all(hex_of(&secret).as_bytes())?;
            file.sync_all()?;
            Ok(Key::of(&secret))
        }
        Err(e) => Err(e),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_key_stays_the_same_and_is_its_owners() {
        let folder = std::env::temp_dir().join(format!("plinth-signature-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let store = folder.join("club.plinth");
        let first = key(&store).unwrap().public();
        assert_eq!(key(&store).unwrap().public(), first);
        let path = beside(&store, "signature");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        }
        std::fs::write(&path, "no key").unwrap();
        assert!(key(&store).unwrap_err().to_string().contains("it holds no key"));
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
