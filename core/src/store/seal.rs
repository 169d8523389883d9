//! Encrypted backups, in the age format (age-encryption.org/v1), with a passphrase or a key shown once as words.

use super::error::StoreError;
use super::{Random, Store, files};
use age::secrecy::{ExposeSecret, SecretString};
use age::{scrypt, x25519};
use bech32::{Bech32, Hrp};
use bip39::Mnemonic;
use std::fmt;
use std::fs;
use std::io::{BufReader, Read, Write};
use std::iter;
use std::path::Path;

/// scrypt's cost as a power of two: 64 MB for a moment, which a phone has.
const WORK: u8 = if cfg!(test) { 8 } else { 16 };
/// The greatest cost that is taken on for an unknown file.
const MOST_WORK: u8 = 18;
/// What is opened at a time, as the format cuts it.
const PIECE_BYTES: usize = 64 * 1024;
const PREFIX: &str = "age-secret-key-";

/// The secret key of a lifter's backups. It is shown once, as 24 words; the device keeps only its recipient.
pub struct Key(x25519::Identity);

impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Key(not shown)")
    }
}

impl Key {
    /// A new key of random bytes.
    ///
    /// # Errors
    /// [`StoreError::Random`].
    pub fn new(random: Random<'_>) -> Result<Self, StoreError> {
        let mut bits = [0; 32];
        if random(&mut bits) { Self::of_bits(&bits) } else { Err(StoreError::Random) }
    }

    fn of_bits(bits: &[u8]) -> Result<Self, StoreError> {
        let text = Hrp::parse(PREFIX)
            .ok()
            .and_then(|prefix| bech32::encode_upper::<Bech32>(prefix, bits).ok())
            .ok_or_else(|| sealed("the key has no text form"))?;
        text.parse().map(Self).map_err(|_| sealed("the key is none"))
    }

    /// Its 24 words (BIP 39, English).
    ///
    /// # Errors
    /// [`StoreError::Sealed`], which a key made here never gives.
    pub fn words(&self) -> Result<String, StoreError> {
        let text = self.0.to_string();
        let bits = bech32::decode(text.expose_secret())
            .ok()
            .map(|(_, bits)| bits)
            .ok_or_else(|| sealed("the key has no words"))?;
        let words = Mnemonic::from_entropy(&bits).map_err(|_| sealed("the key has no words"))?;
        Ok(words.to_string())
    }

    /// The key of 24 words; capitals and spacing do not matter.
    ///
    /// # Errors
    /// [`StoreError::Sealed`] says which word is none, or that one was mistaken for another.
    pub fn of_words(words: &str) -> Result<Self, StoreError> {
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        if words.len() != 24 {
            return Err(sealed(&format!("there are {} words and should be 24", words.len())));
        }
        let read = Mnemonic::parse_in_normalized(bip39::Language::English, &words.join(" ")).map_err(
            |e| match e {
                bip39::Error::UnknownWord(k) => sealed(&format!("word {} is not in the list", k + 1)),
                _ => sealed("one of the words was mistaken for another"),
            },
        )?;
        Self::of_bits(&read.to_entropy())
    }

    /// What the device keeps to seal for this key: it cannot open what it seals.
    pub fn recipient(&self) -> String {
        self.0.to_public().to_string()
    }
}

/// Seals bytes with a passphrase.
///
/// # Errors
/// [`StoreError::Sealed`] for an empty passphrase.
pub fn seal(bytes: &[u8], passphrase: &str) -> Result<Vec<u8>, StoreError> {
    if passphrase.is_empty() {
        return Err(sealed("the passphrase is empty"));
    }
    let mut recipient = scrypt::Recipient::new(SecretString::from(passphrase));
    recipient.set_work_factor(WORK);
    age::encrypt(&recipient, bytes).map_err(|e| sealed(&e.to_string()))
}

/// Opens what [`seal`] made.
///
/// # Errors
/// [`StoreError::Sealed`] for another passphrase or a file that is not whole.
pub fn unseal(bytes: &[u8], passphrase: &str) -> Result<Vec<u8>, StoreError> {
    let mut identity = scrypt::Identity::new(SecretString::from(passphrase));
    identity.set_max_work_factor(MOST_WORK);
    age::decrypt(&identity, bytes).map_err(|e| sealed(&e.to_string()))
}

/// Seals bytes for a key, given its recipient.
///
/// # Errors
/// [`StoreError::Sealed`] when the recipient is none.
pub fn seal_for(bytes: &[u8], recipient: &str) -> Result<Vec<u8>, StoreError> {
    let recipient: x25519::Recipient = recipient.parse().map_err(|_| sealed("the recipient is none"))?;
    age::encrypt(&recipient, bytes).map_err(|e| sealed(&e.to_string()))
}

/// Opens what [`seal_for`] made.
///
/// # Errors
/// [`StoreError::Sealed`] for another key or a file that is not whole.
pub fn unseal_with(bytes: &[u8], key: &Key) -> Result<Vec<u8>, StoreError> {
    age::decrypt(&key.0, bytes).map_err(|e| sealed(&e.to_string()))
}

/// Opens a file that was sealed for a key, piece by piece, to another that is whole or not there.
///
/// # Errors
/// [`StoreError::Sealed`] for another key or a file that is not whole; others of the disk.
pub fn unseal_file(from: &Path, to: &Path, key: &Key) -> Result<(), StoreError> {
    let not_opened = |e: &dyn fmt::Display| sealed(&e.to_string());
    let opened = age::Decryptor::new_buffered(BufReader::new(fs::File::open(from)?))
        .and_then(|d| d.decrypt(iter::once(&key.0 as &dyn age::Identity)));
    let mut plain = opened.map_err(|e| not_opened(&e))?;
    files::remove(to)?;
    let part = files::beside(to, "part");
    let done = (|| {
        let mut out = fs::File::create(&part)?;
        let mut piece = vec![0; PIECE_BYTES];
        loop {
            // What cannot be read on is a file that is not whole, and no fault of the disk that is written to.
            match plain.read(&mut piece).map_err(|e| not_opened(&e))? {
                0 => break,
                n => out.write_all(&piece[..n])?,
            }
        }
        out.sync_all()?;
        Ok(fs::rename(&part, to)?)
    })();
    if done.is_err() {
        let _ = files::remove(&part); // the fault that matters is the one above
    }
    done
}

impl Store {
    /// A sealed backup of the record for a key's recipient, to a file that is whole or not there.
    ///
    /// # Errors
    /// [`StoreError::Sealed`] when the recipient is none; others of the disk.
    pub fn backup_sealed(&self, to: &Path, recipient: &str) -> Result<(), StoreError> {
        let plain = files::beside(self.path(), "sealing");
        let made = self.backup(&plain).and_then(|()| {
            let sealed = seal_for(&fs::read(&plain)?, recipient)?;
            let part = files::beside(to, "part");
            fs::write(&part, sealed)?;
            fs::File::open(&part)?.sync_all()?;
            Ok(fs::rename(&part, to)?)
        });
        files::remove(&plain)?;
        made
    }
}

fn sealed(what: &str) -> StoreError {
    StoreError::Sealed { what: what.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_comes_back_from_its_words() {
        let mut n = 0u8;
        let key = Key::new(&mut |buffer| {
            for b in buffer.iter_mut() {
                n = n.wrapping_add(37);
                *b = n;
            }
            true
        })
        .unwrap();
        let words = key.words().unwrap();
        assert_eq!(words.split(' ').count(), 24);
        let again = Key::of_words(&words.to_uppercase()).unwrap();
        assert_eq!(again.recipient(), key.recipient());
        let sealed = seal_for(b"record", &key.recipient()).unwrap();
        assert_eq!(unseal_with(&sealed, &again).unwrap(), b"record");
        let mut other: Vec<&str> = words.split(' ').collect();
        other.swap(0, 1);
        assert!(Key::of_words(&other.join(" ")).is_err());
        assert!(Key::of_words("zebra").unwrap_err().to_string().contains("24"));
        let mut torn = sealed.clone();
        torn.pop();
        assert_eq!(unseal_with(&torn, &key).unwrap_err().code(), "store_sealed");
    }

    #[test]
    fn a_file_opens_with_its_key_to_what_is_whole_or_not_there() {
        let folder = crate::store::tests::Folder::new();
        let (from, to) = (folder.file(), folder.file().with_file_name("plain"));
        let (key, other) = (Key::of_bits(&[7; 32]).unwrap(), Key::of_bits(&[8; 32]).unwrap());
        // More than one piece, so that the first is written before the last is found to be missing.
        let record: Vec<u8> = (0..3 * PIECE_BYTES).map(|n| u8::try_from(n % 251).unwrap()).collect();
        let sealed = seal_for(&record, &key.recipient()).unwrap();
        fs::write(&from, &sealed).unwrap();
        assert_eq!(unseal_file(&from, &to, &other).unwrap_err().code(), "store_sealed");
        unseal_file(&from, &to, &key).unwrap();
        assert_eq!(fs::read(&to).unwrap(), record);
        for bad in [&sealed[..sealed.len() - 1], &sealed[..PIECE_BYTES + 400], b"SQLite format 3\0", b""] {
            fs::write(&from, bad).unwrap();
            assert_eq!(unseal_file(&from, &to, &key).unwrap_err().code(), "store_sealed");
            let there = fs::read_dir(from.parent().unwrap()).unwrap();
            let left: Vec<_> = there.map(|f| f.unwrap().path()).filter(|f| *f != from).collect();
            assert!(left.iter().all(|f| *f == to), "a part was left: {left:?}");
        }
    }

    #[test]
    fn a_passphrase_opens_what_it_sealed() {
        let sealed = seal(b"record", "three blue plates").unwrap();
        assert_eq!(unseal(&sealed, "three blue plates").unwrap(), b"record");
        assert_eq!(unseal(&sealed, "three red plates").unwrap_err().code(), "store_sealed");
        assert!(seal(b"record", "").is_err());
    }
}
