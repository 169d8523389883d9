//! What the build carries and every page reads: read once.

use super::visit::Visit;
use crate::host::fault::Fault;
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::Weights;
use plinth_core::words::{Language, Speech};
use std::fmt::Debug;
use std::io;
use std::sync::{Arc, LazyLock};

static CATALOGUE: LazyLock<Result<Catalogue, String>> = LazyLock::new(|| told(Catalogue::builtin()));
static WEIGHTS: LazyLock<Result<Weights, String>> = LazyLock::new(|| told(Weights::builtin()));
static SPEECHES: LazyLock<[Arc<Speech>; Language::ALL.len()]> =
    LazyLock::new(|| Language::ALL.map(|language| Arc::new(Speech::new(language))));

fn told<T, E: Debug>(read: Result<T, E>) -> Result<T, String> {
    read.map_err(|e| format!("the build's own data: {e:?}"))
}

fn of<T>(read: &'static Result<T, String>) -> Result<&'static T, Fault> {
    read.as_ref().map_err(|e| io::Error::other(e.clone()).into())
}

/// The catalogue, without anybody's own movements.
pub(super) fn catalogue() -> Result<&'static Catalogue, Fault> {
    of(&CATALOGUE)
}

/// The weights of the plan.
pub(super) fn weights() -> Result<&'static Weights, Fault> {
    of(&WEIGHTS)
}

/// Speaks a language.
pub(super) fn speech(language: Language) -> Arc<Speech> {
    let all = SPEECHES.iter();
    all.into_iter()
        .find(|s| s.language() == language)
        .map_or_else(|| Arc::new(Speech::new(language)), Arc::clone)
}

/// Speaks a visit's language, and names the own movements of a catalogue.
pub(super) fn speech_of(visit: &Visit, catalogue: &Catalogue) -> Arc<Speech> {
    if catalogue.movements.iter().any(|m| m.own) {
        return Arc::new(Speech::new(visit.speech.language()).with_own_movements(catalogue));
    }
    Arc::clone(&visit.speech)
}
