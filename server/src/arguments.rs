//! What the command line accepts.

use clap::{Args, Parser, Subcommand};
use plinth_core::words::Language;
use std::net::SocketAddr;
use std::path::PathBuf;

/// Makes a week of strength training from a few compound movements, as an optimum inside the lifter's days,
/// minutes, kit and limits, with a reason for every line.
///
/// Without a command it plans for an invented lifter and, in a terminal, opens a coach's desk of invented lifters on
/// this machine. Not medical advice: pain, illness and limits belong to
/// licensed care, and local rules and whoever supervises the place come first.
#[derive(Debug, Parser)]
#[command(name = "plinth", version, max_term_width = 100)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    #[command(flatten)]
    pub(crate) show: Show,
    /// Without a command, in a terminal: keep the demo house in this folder, instead of taking it away at the end.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) keep: Option<PathBuf>,
    /// Say it in English (en) or German (de); without it, what LANG begins with.
    #[arg(long, global = true, value_name = "en|de", hide_possible_values = true)]
    pub(crate) language: Option<Language>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make a brief into a programme.
    Plan(PlanArguments),
    /// Say what a change to the planned week would cost, solved again.
    Price(PriceArguments),
    /// Adapt a published programme to another lifter by least change.
    Adapt(AdaptArguments),
    /// Re-plan a session under way: a stand-in, the minutes left, a missed day.
    Session(SessionArguments),
    /// List movements, or show all that is known of one.
    Catalogue(CatalogueArguments),
    /// Say how heavy: estimates, percentages, ramps and the discs on the bar.
    Load(LoadArguments),
    /// Lead a session, set by set, and keep what is done in a record.
    Floor(FloorArguments),
    /// Say what the log adds up to, and draw it.
    Findings(FindingsArguments),
    /// Begin, export, import, check, merge, back up, restore or erase a record.
    Record(RecordArguments),
    /// Bring a record and its copy on a host together.
    Sync(SyncArguments),
    /// Run a host: the server that a gym's or a club's records sync with.
    Serve(ServeArguments),
    /// Look after a host in person: pair, list, revoke, erase, check, back up, restore.
    Host(HostArguments),
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
pub(crate) struct PriceArguments {
    /// The brief, a JSON file; `-` reads it from standard input.
    pub(crate) brief: PathBuf,
    #[command(subcommand)]
    pub(crate) change: ChangeArgument,
}

#[derive(Debug, Subcommand)]
pub(crate) enum ChangeArgument {
    /// The movement must be there.
    Force {
        /// Its id.
        movement: String,
        /// On this training day, counted from 1; on any when absent.
        #[arg(long)]
        day: Option<usize>,
        #[command(flatten)]
        show: Show,
    },
    /// The movement must not be there.
    Forbid {
        /// Its id.
        movement: String,
        #[command(flatten)]
        show: Show,
    },
    /// The movement goes to another day.
    Move {
        /// Its id.
        movement: String,
        /// From this training day, counted from 1.
        from: usize,
        /// To this one.
        to: usize,
        #[command(flatten)]
        show: Show,
    },
    /// The movement is done with exactly so many sets on a day.
    Sets {
        /// Its id.
        movement: String,
        /// The training day, counted from 1.
        day: usize,
        /// Sets; 0 takes it off the day.
        sets: u32,
        #[command(flatten)]
        show: Show,
    },
}

#[derive(Debug, Args)]
pub(crate) struct AdaptArguments {
    /// The published programme, a JSON file: what `plinth plan --json` prints, or its `programme`.
    pub(crate) programme: PathBuf,
    /// The other lifter's brief, a JSON file.
    pub(crate) brief: PathBuf,
    #[command(flatten)]
    pub(crate) show: Show,
}

#[derive(Debug, Args)]
pub(crate) struct SessionArguments {
    /// The brief, a JSON file; its programme is made first.
    pub(crate) brief: PathBuf,
    /// Today's training day, counted from 1.
    #[arg(long, default_value_t = 1)]
    pub(crate) today: usize,
    /// Sets done today, such as `barbell_back_squat=3`; may be given several times.
    #[arg(long, value_name = "MOVEMENT=SETS")]
    pub(crate) done: Vec<String>,
    /// Kit that is taken just now, separated by commas.
    #[arg(long, value_delimiter = ',')]
    pub(crate) taken: Vec<String>,
    #[command(subcommand)]
    pub(crate) question: SessionQuestion,
}

#[derive(Debug, Subcommand)]
pub(crate) enum SessionQuestion {
    /// The best four movements in the place of a line.
    StandIn {
        /// The id of the line's movement.
        movement: String,
        #[command(flatten)]
        show: Show,
    },
    /// The best of today's lines in the minutes that are left.
    MinutesLeft {
        /// The minutes.
        minutes: u32,
        #[command(flatten)]
        show: Show,
    },
    /// A missed training day folded into the days that are left, within every cap.
    FoldIn {
        /// The missed day, counted from 1.
        day: usize,
        #[command(flatten)]
        show: Show,
    },
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
pub(crate) struct FloorArguments {
    /// The programme, a JSON file: what `plinth plan --json` prints, or its `programme`.
    pub(crate) programme: PathBuf,
    /// The record, a file that is made where it is not there.
    pub(crate) record: PathBuf,
    /// The lifter's brief, a JSON file: kit, limits and recent bests. Kept in the record.
    #[arg(long)]
    pub(crate) brief: Option<PathBuf>,
    /// Replay events instead of reading keys: JSON lines of `{"at": MOMENT, "event": EVENT}`; `-` reads them
    /// from standard input. Prints each screen with its effects as a JSON line.
    #[arg(long, value_name = "FILE")]
    pub(crate) events: Option<PathBuf>,
    /// In a replay, draw identities from this seed, so that it repeats exactly.
    #[arg(long, value_name = "NUMBER", requires = "events")]
    pub(crate) seed: Option<u64>,
}

#[derive(Debug, Args)]
pub(crate) struct FindingsArguments {
    /// The record.
    pub(crate) record: PathBuf,
    /// Also draw charts, SVG files, into this folder, which is made where it is not there.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) charts: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) show: Show,
}

#[derive(Debug, Args)]
pub(crate) struct RecordArguments {
    #[command(subcommand)]
    pub(crate) question: RecordQuestion,
}

#[derive(Debug, Subcommand)]
pub(crate) enum RecordQuestion {
    /// Take a brief and a programme into a record, which is made where it is not there.
    Begin {
        /// The record.
        record: PathBuf,
        /// The brief, a JSON file.
        #[arg(long)]
        brief: Option<PathBuf>,
        /// The programme, a JSON file: what `plinth plan --json` prints, or its `programme`.
        #[arg(long)]
        programme: Option<PathBuf>,
        /// The first day of the programme, such as 2026-05-03; today when absent.
        #[arg(long, value_name = "DATE", requires = "programme")]
        starts_on: Option<String>,
    },
    /// Write the whole record as JSON, or its sets as CSV.
    Export {
        /// The record.
        record: PathBuf,
        /// Sets only, as CSV for a spreadsheet.
        #[arg(long)]
        csv: bool,
        /// To this file; to standard output when absent.
        #[arg(short, long, value_name = "FILE")]
        output: Option<PathBuf>,
    },
    /// Take in what an export wrote. Every good entry is taken; the others are told, with exit code 2.
    Import {
        /// The record.
        record: PathBuf,
        /// The file; `-` reads it from standard input.
        file: PathBuf,
        /// It is CSV with sets.
        #[arg(long)]
        csv: bool,
        #[command(flatten)]
        show: Show,
    },
    /// Check every entry against its digest.
    Check {
        /// The record.
        record: PathBuf,
        #[command(flatten)]
        show: Show,
    },
    /// Merge another record, or an export, into this one; the newer of two writes stands.
    Merge {
        /// The record.
        record: PathBuf,
        /// The other one, which stays as it is.
        other: PathBuf,
        #[command(flatten)]
        show: Show,
    },
    /// Copy the record to one file.
    Backup {
        /// The record.
        record: PathBuf,
        /// The file; one that is there is replaced when the copy is whole.
        to: PathBuf,
    },
    /// Put a backup in the record's place: it is checked first, and the record that was there is kept aside.
    Restore {
        /// The record.
        record: PathBuf,
        /// The backup.
        from: PathBuf,
    },
    /// Make the key of sealed backups and print its 24 words, which are shown this once.
    Key {
        /// The record.
        record: PathBuf,
    },
    /// Write a sealed backup, which only the 24 words open.
    Seal {
        /// The record.
        record: PathBuf,
        /// The file; one that is there is replaced when the copy is whole.
        to: PathBuf,
    },
    /// Open a sealed backup into a file that `restore` takes.
    Open {
        /// The sealed backup.
        sealed: PathBuf,
        /// The file to make.
        to: PathBuf,
        /// A file with the 24 words; `-` reads them from standard input.
        #[arg(long, value_name = "FILE")]
        key: PathBuf,
    },
    /// Erase the record and every copy beside it that bears its name, for good.
    Erase {
        /// The record.
        record: PathBuf,
        /// Yes, everything.
        #[arg(long)]
        everything: bool,
    },
}

#[derive(Debug, Args)]
pub(crate) struct SchemaArguments {
    /// Which document.
    #[arg(value_parser = crate::commands::schema::NAMES)]
    pub(crate) document: String,
}

#[derive(Debug, Args)]
pub(crate) struct SyncArguments {
    /// The record.
    pub(crate) record: PathBuf,
    /// Pair with a host first: the line of its invitation, in quotes; `-` reads it from standard input.
    #[arg(long, value_name = "INVITATION")]
    pub(crate) pair: Option<String>,
    /// What the host's list calls this device.
    #[arg(long, value_name = "NAME", requires = "pair", default_value = "desk")]
    pub(crate) name: String,
    #[command(flatten)]
    pub(crate) show: Show,
}

#[derive(Debug, Args)]
pub(crate) struct ServeArguments {
    /// The host's store, a file that is made where it is not there. Ledger and certificate lie beside it.
    pub(crate) store: PathBuf,
    /// Where to listen; port 0 takes a free one.
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:8443")]
    pub(crate) listen: SocketAddr,
    /// What devices call, such as `https://gym.example:8443`; what is listened on when absent. Needed for an address
    /// such as 0.0.0.0, and behind a proxy.
    #[arg(long, value_name = "ADDRESS")]
    pub(crate) public: Option<String>,
    /// A certificate with its chain, a PEM file. Without one the host makes its own.
    #[arg(long, value_name = "FILE", requires = "key")]
    pub(crate) certificate: Option<PathBuf>,
    /// The certificate's key, a PEM file.
    #[arg(long, value_name = "FILE", requires = "certificate")]
    pub(crate) key: Option<PathBuf>,
    /// Plain HTTP: on this machine alone, or behind a proxy that speaks TLS.
    #[arg(long, conflicts_with = "certificate")]
    pub(crate) plain: bool,
    /// A proxy stands before it, and names each peer in `X-Forwarded-For`.
    #[arg(long)]
    pub(crate) behind_proxy: bool,
    /// Where `/metrics` is told, for this machine or its keeper; nowhere when absent.
    #[arg(long, value_name = "ADDRESS")]
    pub(crate) metrics: Option<SocketAddr>,
    /// Write backups into this folder while it runs, each with the ledger beside it; older ones are thinned out.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) backups: Option<PathBuf>,
    /// How long after a backup the next is due, in hours.
    #[arg(long, value_name = "HOURS", requires = "backups", default_value_t = 24,
        value_parser = clap::value_parser!(u64).range(1..=24 * 365))]
    pub(crate) every: u64,
    /// Log as JSON lines instead of plain ones.
    #[arg(long)]
    pub(crate) log_json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct HostArguments {
    #[command(subcommand)]
    pub(crate) question: HostQuestion,
}

#[derive(Debug, Subcommand)]
pub(crate) enum HostQuestion {
    /// Invite a device: an account is made where it is not there, and a line printed that pairs one device within ten
    /// minutes.
    Pair {
        /// The host's store.
        store: PathBuf,
        /// The account: 1 to 40 of a-z, 0-9 and hyphens.
        account: String,
        /// What the account is for: lifter, coach or host.
        #[arg(long, default_value = "lifter")]
        role: String,
        /// What the device calls, instead of what the host last said.
        #[arg(long, value_name = "ADDRESS")]
        address: Option<String>,
        /// Show the invitation as a QR code below its line, also where nobody looks on.
        #[arg(long)]
        qr: bool,
        /// Write the invitation as a QR code into an SVG file.
        #[arg(long, value_name = "FILE")]
        picture: Option<PathBuf>,
        #[command(flatten)]
        show: Show,
    },
    /// List the accounts, or the devices of one.
    Devices {
        /// The host's store.
        store: PathBuf,
        /// The account.
        account: Option<String>,
        #[command(flatten)]
        show: Show,
    },
    /// Revoke a device. No restored backup brings it back.
    Revoke {
        /// The host's store.
        store: PathBuf,
        /// The account.
        account: String,
        /// The device's key, as the list of devices says it.
        device: String,
    },
    /// Erase an account with all that it owns. No restored backup brings it back, and its name is not given again.
    Erase {
        /// The host's store.
        store: PathBuf,
        /// The account.
        account: String,
        /// Yes, everything.
        #[arg(long)]
        everything: bool,
    },
    /// Check every entry against its digest and every account against its sums.
    Check {
        /// The host's store.
        store: PathBuf,
        /// Where it is damaged and no host runs: put what is good into a fresh store, and set the damaged one aside.
        #[arg(long)]
        mend: bool,
        #[command(flatten)]
        show: Show,
    },
    /// Copy the store to one file, while the host runs.
    Backup {
        /// The host's store.
        store: PathBuf,
        /// The file; one that is there is replaced when the copy is whole. Or a folder: the copy gets a name with the
        /// time, the ledger is copied beside it, and older ones are thinned out.
        to: PathBuf,
    },
    /// Put a backup in the store's place while no host runs: it is checked first, and the store that was there is kept
    /// aside. The ledger stays as it is.
    Restore {
        /// The host's store.
        store: PathBuf,
        /// The backup.
        from: PathBuf,
        /// The ledger that was kept beside the backup, where the host's own was lost; the one that says more is used.
        #[arg(long, value_name = "FILE")]
        ledger: Option<PathBuf>,
    },
}
