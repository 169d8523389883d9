//! What can go wrong when loads are worked out, in words that name the field and the remedy.

use thiserror::Error;

use super::mass::Mass;

/// Why a load could not be read, made or estimated.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum LoadError {
    /// A mass that cannot be read.
    #[error(
        "mass `{text}`: {problem}; write a number with a point and a unit, such as \"137.5 kg\" or \"45 lb\""
    )]
    Mass {
        /// What was given.
        text: String,
        /// What is wrong with it.
        problem: &'static str,
    },
    /// A field of a kit that cannot be right.
    #[error("kit: {field}: {problem}; {remedy}")]
    Kit {
        /// The field, such as `bars[1].mass`.
        field: String,
        /// What is wrong with it.
        problem: String,
        /// What to do about it.
        remedy: String,
    },
    /// The kit has nothing of the kind that was asked for.
    #[error("kit: there is no {what} in this kit; add it to the kit or choose a movement that does without")]
    Missing {
        /// What is missing.
        what: String,
    },
    /// Nothing in the kit is light enough.
    #[error(
        "load: {wanted} is less than the lightest that this kit can make, {lightest}; \
         choose a lighter bar, a dumbbell or another way in"
    )]
    BelowLightest {
        /// The load asked for.
        wanted: Mass,
        /// The lightest load of the kit.
        lightest: Mass,
    },
    /// The kit has more different discs than can be worked out at this load.
    #[error(
        "load: {wanted} cannot be worked out with so many different discs (certain up to {certain_to}); \
         leave discs that are never used out of the kit"
    )]
    TooVaried {
        /// The load asked for.
        wanted: Mass,
        /// The heaviest load up to which every load is known.
        certain_to: Mass,
    },
    /// A load of a session that the kit cannot make exactly.
    #[error(
        "load {number}: {wanted} cannot be made exactly with this kit; make the load first, then ask for the route"
    )]
    NotMade {
        /// Which load of the sequence, counted from one.
        number: usize,
        /// The load asked for.
        wanted: Mass,
    },
    /// Too many loads in one route.
    #[error("loads: {given} loads in one route; at most {most} fit, split the session by movement")]
    TooManyLoads {
        /// How many were given.
        given: usize,
        /// How many fit.
        most: usize,
    },
    /// Repetitions outside the range for which an equation or a table was made.
    #[error("reps: {reps} is outside {from} to {to}, the range of {what}; use a set within that range")]
    Reps {
        /// The repetitions given.
        reps: u32,
        /// The lowest of the range.
        from: u32,
        /// The highest of the range.
        to: u32,
        /// The equation or table.
        what: String,
    },
    /// A percentage outside a published table.
    #[error(
        "percent: {per_mille} per mille is outside {from} to {to}, the range of {what}; use a value within it"
    )]
    Percent {
        /// The value given, in per mille of the one-repetition maximum.
        per_mille: u32,
        /// The lowest of the range.
        from: u32,
        /// The highest of the range.
        to: u32,
        /// The table.
        what: String,
    },
    /// A name that no table knows.
    #[error("{field}: `{given}` is not known; choose one of {known}")]
    Unknown {
        /// The field.
        field: &'static str,
        /// What was given.
        given: String,
        /// What is known.
        known: String,
    },
    /// A number outside its bounds.
    #[error("{field}: {given} is out of bounds; use {bounds}")]
    Bounds {
        /// The field.
        field: &'static str,
        /// What was given.
        given: String,
        /// What is accepted.
        bounds: String,
    },
    /// A published table of the program itself is damaged.
    #[error("table {file}, row {row}: {problem}; the program's own data are damaged, install it again")]
    Table {
        /// The file under `core/data/tables`.
        file: &'static str,
        /// The row, counted from one without the header; 0 is the header.
        row: usize,
        /// What is wrong.
        problem: String,
    },
}
