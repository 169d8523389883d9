//! The certificate: one that is given, or one that the host makes itself and keeps beside its store.
//!
//! The SHA-256 of a made certificate travels in the invitation, and a device accepts exactly that one, so that a
//! laptop in a basement can be paired without a name in the public directory.

use super::ledger::private;
use plinth_core::record::hex_of;
use sha2::{Digest, Sha256};
use std::fs::OpenOptions;
use std::io::{self, Write};
use std::path::Path;
use std::sync::Arc;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::{CryptoProvider, ring};
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};

/// What a host shows, and its key.
#[derive(Debug)]
pub struct Certificate {
    /// It, and those that vouch for it.
    pub chain: Vec<CertificateDer<'static>>,
    key: PrivateKeyDer<'static>,
}

impl Certificate {
    /// Reads a certificate with its chain, and its key, from PEM files.
    ///
    /// # Errors
    /// Which file is not what it should be.
    pub fn read(chain: &Path, key: &Path) -> io::Result<Self> {
        let bad = |path: &Path, why: &dyn std::fmt::Display| {
            io::Error::new(io::ErrorKind::InvalidData, format!("{}: {why}", path.display()))
        };
        let certificates: Vec<_> =
            CertificateDer::pem_file_iter(chain).and_then(Iterator::collect).map_err(|e| bad(chain, &e))?;
        if certificates.is_empty() {
            return Err(bad(chain, &"there is no certificate in it"));
        }
        let key = PrivateKeyDer::from_pem_file(key).map_err(|e| bad(key, &e))?;
        Ok(Self { chain: certificates, key })
    }

    /// Reads the certificate that the host made, or makes it: a file with the certificate and its key, which only the
    /// owner can read. The names stand in a new one: devices compare the certificate alone, but who takes it into a
    /// browser by hand is asked for less where they are right.
    ///
    /// # Errors
    /// Those of the disk, and a file that is no certificate.
    pub fn own(file: &Path, names: Vec<String>) -> io::Result<Self> {
        if !file.exists() {
            make(file, names)?;
        }
        Self::read(file, file)
    }

    /// The SHA-256 of the certificate itself.
    pub fn fingerprint(&self) -> [u8; 32] {
        self.chain.first().map(|c| Sha256::digest(c.as_ref()).into()).unwrap_or_default()
    }

    /// What a listener needs of it.
    ///
    /// # Errors
    /// A key that is not the certificate's.
    pub fn server(self) -> io::Result<Arc<ServerConfig>> {
        let config = ServerConfig::builder_with_provider(provider())
            .with_safe_default_protocol_versions()
            .map_err(io::Error::other)?
            .with_no_client_auth()
            .with_single_cert(self.chain, self.key)
            .map_err(|e| io::Error::new(io::ErrorKind::InvalidData, e))?;
        Ok(Arc::new(config))
    }
}

/// The cryptography of both sides.
pub(crate) fn provider() -> Arc<CryptoProvider> {
    Arc::new(ring::default_provider())
}

/// A fingerprint as it is shown.
pub fn shown(fingerprint: &[u8; 32]) -> String {
    hex_of(fingerprint)
}

fn make(file: &Path, names: Vec<String>) -> io::Result<()> {
    let made = rcgen::generate_simple_self_signed(names).map_err(io::Error::other)?;
    let part = super::beside(file, "part");
    let mut to = private(OpenOptions::new().write(true).create(true).truncate(true)).open(&part)?;
    to.write_all(made.cert.pem().as_bytes())?;
    to.write_all(made.signing_key.serialize_pem().as_bytes())?;
    to.sync_all()?;
    std::fs::rename(&part, file)?;
    super::ledger::sync_folder(file);
    Ok(())
}
