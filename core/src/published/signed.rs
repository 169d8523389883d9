//! A signed programme: one JSON file that says whose it is, and shows when a byte of it was changed on the way.
//!
//! The signature is Ed25519 (RFC 8032) over `plinth.published/1`, a line feed, and the canonical form (sorted members, no
//! white space, as RFC 8785 writes strings and whole numbers) of an object of `by`, `made_at`, `programme` and `version`.
//! It says that whoever holds the key made it. Whose key that is, the lifter asks the coach: [`Signer::fingerprint`] is
//! short enough to be compared aloud.

use crate::plan::DocumentFault;
use crate::record::Json;
use crate::terms::one_line;
use data_encoding::HEXLOWER;
use ed25519_dalek::{Signature, Signer as _, SigningKey, VerifyingKey};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::fmt;

/// The form and its version.
pub const FORM: &str = "plinth.published/1";
/// The longest name of who published, characters.
const LONGEST_NAME: usize = 60;

/// A programme with who published it, signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Signed {
    /// [`FORM`].
    pub format: String,
    /// Who published it, as the lifter knows them.
    pub by: String,
    /// When, RFC 3339.
    pub made_at: String,
    /// Its version, counted by who published it.
    pub version: u32,
    /// The programme, as `plinth schema programme` says.
    pub programme: Map<String, Value>,
    /// The public key, 32 bytes in hexadecimal digits.
    pub key: String,
    /// The signature, 64 bytes in hexadecimal digits.
    pub signature: String,
}

/// Who signed a programme.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signer {
    /// What they call themselves. Only the key is proved.
    pub by: String,
    /// The version.
    pub version: u32,
    /// When, RFC 3339.
    pub made_at: String,
    /// The public key.
    pub key: [u8; 32],
}

impl Signer {
    /// The key in short, to be compared aloud: 64 bits of its SHA-256 in four groups of four hexadecimal digits.
    pub fn fingerprint(&self) -> String {
        fingerprint(&self.key)
    }
}

/// A public key in short.
pub fn fingerprint(key: &[u8; 32]) -> String {
    let digits = HEXLOWER.encode(&Sha256::digest(key)[..8]);
    let groups: Vec<&str> = (0..4).filter_map(|k| digits.get(k * 4..k * 4 + 4)).collect();
    groups.join(" ")
}

/// A private key.
pub struct Key(SigningKey);

impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Key").field("public", &HEXLOWER.encode(&self.public())).finish_non_exhaustive()
    }
}

impl Key {
    /// The key of 32 secret random bytes.
    pub fn of(secret: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(secret))
    }

    /// The key of 64 hexadecimal digits in lower case, as a file holds them; nothing of another text.
    pub fn of_digits(digits: &str) -> Option<Self> {
        HEXLOWER.decode(digits.as_bytes()).ok()?.try_into().ok().map(|secret| Self::of(&secret))
    }

    /// Its public half.
    pub fn public(&self) -> [u8; 32] {
        self.0.verifying_key().to_bytes()
    }

    /// Signs a programme. A programme is what [`read_programme`](crate::plan::programme::read_programme) took.
    ///
    /// # Errors
    /// A name that is none.
    pub fn sign(
        &self,
        programme: Map<String, Value>,
        by: &str,
        version: u32,
        made_at: &str,
    ) -> Result<Signed, DocumentFault> {
        let mut signed = Signed {
            format: FORM.to_owned(),
            by: by.to_owned(),
            made_at: made_at.to_owned(),
            version,
            programme,
            key: HEXLOWER.encode(&self.public()),
            signature: String::new(),
        };
        signed.signature = HEXLOWER.encode(&self.0.sign(&signed.what_is_signed()?).to_bytes());
        Ok(signed)
    }
}

/// Whether a document says that it is a signed one.
pub(super) fn is_signed(bytes: &[u8]) -> bool {
    #[derive(Deserialize)]
    struct Head {
        format: String,
    }
    serde_json::from_slice::<Head>(bytes).is_ok_and(|h| h.format.starts_with("plinth.published/"))
}

impl Signed {
    fn what_is_signed(&self) -> Result<Vec<u8>, DocumentFault> {
        if !one_line(&self.by, LONGEST_NAME) {
            let problem = format!("it has to be a name of 1 to {LONGEST_NAME} characters");
            return Err(DocumentFault::new("by", problem, "ask the coach for the file again"));
        }
        let whole = json!({
            "by": self.by, "made_at": self.made_at, "programme": self.programme, "version": self.version,
        });
        let form = Json::of(&whole)
            .map_err(|r| DocumentFault::new("programme", r.what, r.remedy))?
            .canonical()
            .into_owned();
        Ok([FORM.as_bytes(), b"\n", form.as_bytes()].concat())
    }

    /// Reads a signed programme, and checks that it is what was signed. What the programme itself holds is not looked
    /// at.
    ///
    /// # Errors
    /// What is not of the form; a signature that does not fit.
    pub fn read(bytes: &[u8]) -> Result<Self, DocumentFault> {
        let again = "ask the coach for the file again";
        let signed: Self = serde_json::from_slice(bytes)
            .map_err(|e| DocumentFault::new("published programme", e.to_string(), again))?;
        if signed.format != FORM {
            let problem = format!("{} is not a form that this version reads", signed.format);
            return Err(DocumentFault::new("format", problem, "update this program"));
        }
        let digits = |field: &str, text: &str, bytes: usize| {
            let read = HEXLOWER.decode(text.as_bytes()).ok().filter(|b| b.len() == bytes);
            read.ok_or_else(|| {
                let problem = format!("it has to be {} hexadecimal digits in lower case", bytes * 2);
                DocumentFault::new(field, problem, again)
            })
        };
        let key: [u8; 32] = digits("key", &signed.key, 32)?.try_into().unwrap_or_default();
        let signature = digits("signature", &signed.signature, 64)?;
        let wrong = || {
            let problem = "the signature does not fit: the file is not as the coach published it";
            DocumentFault::new("signature", problem, again)
        };
        let key = VerifyingKey::from_bytes(&key).map_err(|_| wrong())?;
        let signature = Signature::from_slice(&signature).map_err(|_| wrong())?;
        key.verify_strict(&signed.what_is_signed()?, &signature).map_err(|_| wrong())?;
        Ok(signed)
    }

    /// Who signed it.
    pub fn signer(&self) -> Signer {
        let key = HEXLOWER.decode(self.key.as_bytes()).ok().and_then(|k| k.try_into().ok());
        Signer {
            by: self.by.clone(),
            version: self.version,
            made_at: self.made_at.clone(),
            key: key.unwrap_or_default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn programme() -> Map<String, Value> {
        let Value::Object(map) = json!({"title": "Invented: two days", "days": [1, 2], "é": "ü\u{1}"})
        else {
            unreachable!()
        };
        map
    }

    /// RFC 8032, section 7.1, test 1: the secret key and the public key that it gives.
    #[test]
    fn a_key_is_that_of_the_standard() {
        let secret = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60";
        let key = Key::of_digits(secret).unwrap();
        assert!(Key::of_digits("9d61").is_none() && Key::of_digits(&"zz".repeat(32)).is_none());
        let public = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
        assert_eq!(HEXLOWER.encode(&key.public()), public);
        // The signature of the empty message, as the same test gives it.
        let signature = "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b";
        assert_eq!(HEXLOWER.encode(&key.0.sign(b"").to_bytes()), signature);
    }

    #[test]
    fn what_was_changed_by_a_byte_is_refused() {
        let key = Key::of(&[7; 32]);
        let signed =
            key.sign(programme(), "Coach of the invented club", 3, "2026-05-03T18:04:09+02:00").unwrap();
        let text = serde_json::to_string(&signed).unwrap();
        let read = Signed::read(text.as_bytes()).unwrap();
        assert_eq!(read, signed);
        assert_eq!(read.signer().key, key.public());
        // The order of members and white space are no part of what was signed.
        let pretty = serde_json::to_string_pretty(&serde_json::to_value(&signed).unwrap()).unwrap();
        assert_eq!(Signed::read(pretty.as_bytes()).unwrap(), signed);
        for (from, to) in [
            ("two days", "two  days"),
            ("[1,2]", "[2,1]"),
            ("\"version\":3", "\"version\":4"),
            ("invented club", "other club"),
            ("2026-05-03T18:04:09", "2026-05-03T18:04:08"),
        ] {
            let changed = text.replacen(from, to, 1);
            assert_ne!(changed, text, "{from}");
            let fault = Signed::read(changed.as_bytes()).unwrap_err();
            assert_eq!(fault.field, "signature", "{from}: {fault}");
        }
        let other = HEXLOWER.encode(&Key::of(&[8; 32]).public());
        let stolen = text.replace(&signed.key, &other);
        assert_eq!(Signed::read(stolen.as_bytes()).unwrap_err().field, "signature");
    }

    #[test]
    fn what_is_not_of_the_form_names_its_field() {
        let key = Key::of(&[7; 32]);
        assert_eq!(key.sign(programme(), " ", 1, "").unwrap_err().field, "by");
        assert_eq!(key.sign(programme(), "a\nb", 1, "").unwrap_err().field, "by");
        let signed = key.sign(programme(), "a", 1, "").unwrap();
        let with = |f: &dyn Fn(&mut Signed)| {
            let mut s = signed.clone();
            f(&mut s);
            Signed::read(&serde_json::to_vec(&s).unwrap()).unwrap_err().field
        };
        assert_eq!(with(&|s| s.key = "ab".into()), "key");
        assert_eq!(with(&|s| s.key = "zz".repeat(32)), "key");
        assert_eq!(with(&|s| s.signature.clear()), "signature");
        assert_eq!(with(&|s| s.format = "plinth.published/2".into()), "format");
        assert_eq!(Signed::read(b"{}").unwrap_err().field, "published programme");
    }

    #[test]
    fn a_fingerprint_can_be_read_aloud() {
        let short = fingerprint(&[0; 32]);
        assert_eq!(short.len(), 19);
        assert_ne!(short, fingerprint(&[1; 32]));
    }
}
