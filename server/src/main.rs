//! The `plinth` command line.

mod arguments;
mod commands;
mod failure;
mod input;
mod output;

use arguments::{Arguments, Command};
use clap::Parser;
use failure::Failure;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let result = match arguments.command {
        None => commands::plan::example(&arguments.show),
        Some(Command::Plan(a)) => commands::plan::run(&a),
        Some(Command::Price(a)) => commands::price::run(&a),
        Some(Command::Adapt(a)) => commands::adapt::run(&a),
        Some(Command::Session(a)) => commands::session::run(&a),
        Some(Command::Catalogue(a)) => commands::catalogue::run(&a),
        Some(Command::Load(a)) => commands::load::run(&a),
        Some(Command::Schema(a)) => commands::schema::run(&a),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        // A reader that closes early, such as `head`, is no fault.
        Err(Failure::Output(e)) if e.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("plinth: {failure}");
            ExitCode::from(failure.code())
        }
    }
}
