//! Plinth at a desk: the command line, the sync server, and the client that brings a record home.

mod arguments;
mod chart;
pub mod client;
mod commands;
pub mod demo;
pub mod desk;
mod failure;
pub mod host;
mod input;
mod moment;
mod opening;
mod output;
mod qr;

use arguments::{Arguments, Command};
use clap::Parser;
use failure::Failure;
use plinth_core::words::{Language, Speech};
use std::process::ExitCode;

/// Does what the arguments of the process ask, and says how it ended.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let language = arguments.language.unwrap_or_else(|| {
        std::env::var("LANG").map_or(Language::English, |locale| Language::of_locale(&locale))
    });
    let speech = Speech::new(language);
    let result = match arguments.command {
        Some(_) if arguments.keep.is_some() => Err(Failure::Input(
            "--keep: it is for the demo house, which opens without a command; leave it or the command out."
                .into(),
        )),
        None => commands::demo::run(&speech, &arguments.show, arguments.keep.as_deref()),
        Some(Command::Plan(a)) => commands::plan::run(&speech, &a),
        Some(Command::Price(a)) => commands::price::run(&speech, &a),
        Some(Command::Adapt(a)) => commands::adapt::run(&speech, &a),
        Some(Command::Session(a)) => commands::session::run(&speech, &a),
        Some(Command::Catalogue(a)) => commands::catalogue::run(&speech, &a),
        Some(Command::Load(a)) => commands::load::run(&speech, &a),
        Some(Command::Floor(a)) => commands::floor::run(&speech, &a),
        Some(Command::Findings(a)) => commands::findings::run(&speech, &a),
        Some(Command::Record(a)) => commands::record::run(&speech, &a),
        Some(Command::Sync(a)) => commands::sync::run(&speech, &a),
        Some(Command::Serve(a)) => commands::serve::run(&speech, &a),
        Some(Command::Host(a)) => commands::host::run(&speech, &a),
        Some(Command::Schema(a)) => commands::schema::run(&a),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        // A reader that closes early, such as `head`, is no fault.
        Err(Failure::Output(e)) if e.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("plinth: {}", failure.said(&speech));
            ExitCode::from(failure.code())
        }
    }
}
