//! What the command line accepts.

use clap::{Args, Parser, Subcommand};
use std::path::PathBuf;

/// Makes a week of strength training from a few compound movements, as an optimum inside the lifter's days,
/// minutes, kit and limits, with a reason for every line.
///
/// Without a command it plans for an invented lifter. Not medical advice: pain, illness and limits belong to
/// licensed care, and local rules and whoever supervises the place come first.
#[derive(Debug, Parser)]
#[command(name = "plinth", version, max_term_width = 100)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    #[command(flatten)]
    pub(crate) show: Show,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make a brief into a programme.
    Plan(PlanArguments),
    /// List movements, or show all that is known of one.
    Catalogue(CatalogueArguments),
    /// Say how heavy: estimates, percentages, ramps and the discs on the bar.
    Load(LoadArguments),
    /// Print the JSON Schema of a document.
    Schema(SchemaArguments),
}

#[derive(Debug, Args)]
pub(crate) struct Show {
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct PlanArguments {
    /// The brief, a JSON file; `-` reads it from standard input.
    pub(crate) brief: PathBuf,
    /// Print the exact numeric instance, so that any solver can check any plan.
    #[arg(long, conflicts_with = "json")]
    pub(crate) instance: bool,
    /// Search and prove for some seconds before answering.
    #[arg(long)]
    pub(crate) thorough: bool,
    #[command(flatten)]
    pub(crate) show: Show,
}

#[derive(Debug, Args)]
#[allow(clippy::struct_excessive_bools)] // independent options
pub(crate) struct CatalogueArguments {
    /// Show this movement.
    pub(crate) movement: Option<String>,
    /// Only movements of this pattern.
    #[arg(long)]
    pub(crate) pattern: Option<String>,
    /// Only movements that train this muscle.
    #[arg(long)]
    pub(crate) muscle: Option<String>,
    /// Only movements that this kit allows (several, separated by commas).
    #[arg(long, value_delimiter = ',')]
    pub(crate) with: Vec<String>,
    /// Only movements that ask nothing of this region.
    #[arg(long)]
    pub(crate) sparing: Option<String>,
    /// List the muscle groups.
    #[arg(long, group = "list")]
    pub(crate) muscles: bool,
    /// List the patterns.
    #[arg(long, group = "list")]
    pub(crate) patterns: bool,
    /// List the kit.
    #[arg(long, group = "list")]
    pub(crate) kit: bool,
    /// List the regions.
    #[arg(long, group = "list")]
    pub(crate) regions: bool,
    #[command(flatten)]
    pub(crate) show: Show,
}

#[derive(Debug, Args)]
pub(crate) struct LoadArguments {
    #[command(subcommand)]
    pub(crate) question: LoadQuestion,
}

#[derive(Debug, Subcommand)]
pub(crate) enum LoadQuestion {
    /// Estimate a one-repetition maximum from a set.
    Estimate {
        /// The load, such as "100 kg".
        load: String,
        /// Repetitions done.
        reps: u32,
        /// Repetitions left.
        #[arg(long, default_value_t = 0)]
        reserve: u32,
        #[command(flatten)]
        show: Show,
    },
    /// Ramp up to a load, with the discs and the fewest disc moves.
    Ramp {
        /// The load of the first working set, such as "100 kg".
        load: String,
        /// Its repetitions.
        #[arg(long, default_value_t = 5)]
        reps: u32,
        /// Ramp sets.
        #[arg(long, default_value_t = 4)]
        sets: u32,
        /// The kit: `home`, `gym_kg`, `gym_lb` or a JSON file.
        #[arg(long, default_value = "gym_kg")]
        kit: String,
        /// The bar, by its name in the kit; the first barbell when absent.
        #[arg(long)]
        bar: Option<String>,
        /// The bar is lifted from the floor.
        #[arg(long)]
        floor: bool,
        #[command(flatten)]
        show: Show,
    },
    /// Find the loading of several loads in a row that needs the fewest disc moves.
    Route {
        /// The loads in order, such as "40 kg" "60 kg" "80 kg".
        #[arg(required = true, num_args = 1..)]
        loads: Vec<String>,
        /// The kit: `home`, `gym_kg`, `gym_lb` or a JSON file.
        #[arg(long, default_value = "gym_kg")]
        kit: String,
        /// The bar, by its name in the kit; the first barbell when absent.
        #[arg(long)]
        bar: Option<String>,
        /// The bar is lifted from the floor.
        #[arg(long)]
        floor: bool,
        #[command(flatten)]
        show: Show,
    },
}

#[derive(Debug, Args)]
pub(crate) struct SchemaArguments {
    /// Which document.
    #[arg(value_parser = crate::commands::schema::NAMES)]
    pub(crate) document: String,
}
