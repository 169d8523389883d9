//! What a desk keeps of its pairing: a file beside the record, which only its owner can read.

use super::Way;
use crate::host::beside;
use crate::host::ledger::{private, sync_folder};
use plinth_core::record::DeviceId;
use plinth_core::sync::{Fault, Invitation, PAIR_PATH, PairAnswer, PairRequest, unpack};
use serde::{Deserialize, Serialize};
use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// A token is renewed when it is older than this, milliseconds: thirty days.
const RENEWED_MS: i64 = 30 * 24 * 60 * 60 * 1000;
/// The longest answer to a question of this room.
const LONGEST: u64 = 64 * 1024;

/// A pairing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Paired {
    /// The host's address.
    pub address: String,
    /// Its certificate's fingerprint, where the invitation had one.
    pub certificate: Option<String>,
    /// The account there.
    pub account: String,
    /// What the account is for.
    pub role: String,
    /// The token.
    pub token: String,
    /// Since when, milliseconds since 1970.
    pub since_ms: i64,
}

/// Why a desk is not paired.
#[derive(Debug, thiserror::Error)]
pub enum PairingFault {
    /// The host was not reached, or the file cannot be written.
    #[error("{0}")]
    Io(#[from] io::Error),
    /// The host said no.
    #[error("{}; {}", .0.reason, .0.remedy)]
    Refused(Fault),
}

/// An answer of the host, or what it said instead.
fn read<T: for<'de> Deserialize<'de>>(reply: &super::Reply) -> Result<T, PairingFault> {
    let unread =
        || io::Error::new(io::ErrorKind::InvalidData, format!("it answered with status {}", reply.status));
    let body = unpack(&reply.body, LONGEST).ok_or_else(unread)?;
    if reply.status != 200 {
        return Err(serde_json::from_slice(&body).map_or_else(|_| unread().into(), PairingFault::Refused));
    }
    serde_json::from_slice(&body).map_err(|_| unread().into())
}

impl Paired {
    /// Where the pairing of a record is kept.
    pub fn file(record: &Path) -> PathBuf {
        beside(record, "paired")
    }

    /// Reads the pairing of a record; nothing where there is none.
    ///
    /// # Errors
    /// Those of the disk, and a file that is none.
    pub fn of(record: &Path) -> io::Result<Option<Self>> {
        match fs::read(Self::file(record)) {
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(e) => Err(e),
            Ok(text) => serde_json::from_slice(&text).map(Some).map_err(io::Error::from),
        }
    }

    /// Keeps it: whole or not at all.
    ///
    /// # Errors
    /// Those of the disk.
    pub fn keep(&self, record: &Path) -> io::Result<()> {
        let file = Self::file(record);
        let part = beside(&file, "part");
        // Never through what another one may have put there.
        match fs::remove_file(&part) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(e),
            _ => {}
        }
        let mut to = private(OpenOptions::new().write(true).create_new(true)).open(&part)?;
        to.write_all(&serde_json::to_vec_pretty(self)?)?;
        to.sync_all()?;
        fs::rename(&part, &file)?;
        sync_folder(&file);
        Ok(())
    }

    /// The way to the host.
    ///
    /// # Errors
    /// A file that was changed by hand.
    pub fn way(&self) -> io::Result<Way> {
        let text = self.certificate.as_deref().unwrap_or_default();
        // Of an invitation only the form of address and fingerprint is asked here.
        let checked = Invitation::new(&self.address, text, "000000").map_err(io::Error::other)?;
        Way::to(&checked.address, checked.certificate)
    }

    /// Redeems an invitation, and keeps what comes of it.
    ///
    /// # Errors
    /// What the host says; no connection; those of the disk.
    pub async fn redeem(
        record: &Path,
        invitation: &Invitation,
        device: DeviceId,
        name: &str,
        now_ms: i64,
    ) -> Result<Self, PairingFault> {
        let mut way = Way::to(&invitation.address, invitation.certificate)?;
        let app = env!("CARGO_PKG_VERSION").to_owned();
        let request = PairRequest { code: invitation.code.clone(), device, name: name.to_owned(), app };
        let body = serde_json::to_vec(&request).map_err(io::Error::from)?;
        let PairAnswer { token, account, role } = read(&way.post_json(PAIR_PATH, None, body).await?)?;
        let paired = Self {
            address: invitation.address.clone(),
            certificate: invitation.certificate_text(),
            account,
            role,
            token,
            since_ms: now_ms,
        };
        paired.keep(record)?;
        Ok(paired)
    }

    /// Takes a new token where this one is old. The old one counts until the new one was used.
    ///
    /// # Errors
    /// What the host says; no connection; those of the disk.
    pub async fn renew_when_old(
        &mut self,
        record: &Path,
        way: &mut Way,
        now_ms: i64,
    ) -> Result<(), PairingFault> {
        #[derive(Deserialize)]
        struct Renewed {
            token: String,
        }
        if (0..RENEWED_MS).contains(&now_ms.saturating_sub(self.since_ms)) {
            return Ok(());
        }
        let reply = way.post_json("/v1/token", Some(&self.token), Vec::new()).await?;
        let Renewed { token } = read(&reply)?;
        let renewed = Self { token, since_ms: now_ms, ..self.clone() };
        renewed.keep(record)?;
        *self = renewed;
        Ok(())
    }
}
