//! A programme on its way from a coach to many lifters without a server: as a signed file, or as a sequence of pictures.
//!
//! [`open`] is the door through which a programme comes in, whichever of its forms it has.

pub mod parts;
pub mod signed;

pub use signed::{Signed, Signer};

use crate::plan::DocumentFault;
use crate::plan::programme::{LARGEST_PROGRAMME_BYTES, Programme, read_programme};

/// A programme that came in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opened {
    /// It.
    pub programme: Programme,
    /// Who signed it; nothing for a bare programme.
    pub signer: Option<Signer>,
}

/// The most bytes of a form that [`open`] looks at: what stands around a programme, or the text of its pictures.
pub const LARGEST_BYTES: usize = 2 * LARGEST_PROGRAMME_BYTES;

/// Reads a programme: a bare document, a signed one, or the texts of its pictures, each on a line of its own and in any
/// order.
///
/// # Errors
/// The faults of the document; a signature that does not fit what was signed; pictures that are missing or not of one
/// sequence.
pub fn open(bytes: &[u8]) -> Result<Opened, Vec<DocumentFault>> {
    if bytes.len() > LARGEST_BYTES {
        let problem = format!("{} bytes are more than a programme may have", bytes.len());
        let remedy = format!("give at most {LARGEST_PROGRAMME_BYTES}");
        return Err(vec![DocumentFault::new("programme", problem, remedy)]);
    }
    if parts::are_parts(bytes) {
        return open(&parts::join(bytes).map_err(|f| vec![f])?);
    }
    if !signed::is_signed(bytes) {
        return Ok(Opened { programme: read_programme(bytes)?, signer: None });
    }
    let signed = Signed::read(bytes).map_err(|f| vec![f])?;
    let programme = read_programme(&serde_json::to_vec(&signed.programme).unwrap_or_default())?;
    Ok(Opened { programme, signer: Some(signed.signer()) })
}
