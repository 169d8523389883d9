//! What a limit, a discomfort or training alone takes out or eases. Nothing here diagnoses.

mod permit;

pub use permit::{Circumstances, Ease, Refusal, Sore, permit};
