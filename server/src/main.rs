//! The `plinth` command line.

mod arguments;
mod commands;
mod failure;
mod input;
mod moment;
mod output;

use arguments::{Arguments, Command};
use clap::Parser;
use failure::Failure;
use plinth_core::words::{Language, Speech};
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let language = arguments.language.unwrap_or_else(|| {
        std::env::var("LANG").map_or(Language::English, |locale| Language::of_locale(&locale))
    });
    let speech = Speech::new(language);
    let result = match arguments.command {
        None => commands::plan::example(&speech, &arguments.show),
        Some(Command::Plan(a)) => commands::plan::run(&speech, &a),
        Some(Command::Price(a)) => commands::price::run(&speech, &a),
        Some(Command::Adapt(a)) => commands::adapt::run(&speech, &a),
        Some(Command::Session(a)) => commands::session::run(&speech, &a),
        Some(Command::Catalogue(a)) => commands::catalogue::run(&speech, &a),
        Some(Command::Load(a)) => commands::load::run(&speech, &a),
        Some(Command::Floor(a)) => commands::floor::run(&speech, &a),
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
