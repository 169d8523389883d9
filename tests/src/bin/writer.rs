//! Writes to a record until it is killed, for the fault tests.

use plinth_tests::faults::{open, write};
use std::error::Error;
use std::io::Write;

const USAGE: &str = "usage:
  writer write RECORD FROM COUNT   write COUNT pairs of set and note, each in one transaction, and print each number
                                   when it is durable; a fault is printed as its code, exit code 1
  writer insist RECORD FROM COUNT  the same, but a fault is printed and the pair written again, at most three times
  writer open RECORD               open the record, which brings it up to date";

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().collect();
    let path = std::path::PathBuf::from(args.get(2).ok_or(USAGE)?);
    let fail = |e: &plinth_core::store::StoreError| -> ! {
        println!("{}", e.code());
        std::process::exit(1)
    };
    match args.get(1).map(String::as_str) {
        Some("write") => {
            let mut store = open(&path).unwrap_or_else(|e| fail(&e)).store;
            let mut out = std::io::stdout().lock();
            let from: u64 = args.get(3).ok_or(USAGE)?.parse()?;
            for n in from..from + args.get(4).ok_or(USAGE)?.parse::<u64>()? {
                write(&mut store, n).unwrap_or_else(|e| fail(&e));
                writeln!(out, "{n}")?;
                out.flush()?;
            }
        }
        Some("insist") => {
            let mut opened = open(&path);
            for _ in 0..3 {
                if let Err(e) = &opened {
                    println!("{}", e.code());
                    opened = open(&path);
                }
            }
            let mut store = opened.unwrap_or_else(|e| fail(&e)).store;
            let from: u64 = args.get(3).ok_or(USAGE)?.parse()?;
            for n in from..from + args.get(4).ok_or(USAGE)?.parse::<u64>()? {
                let mut done = write(&mut store, n);
                for _ in 0..3 {
                    if let Err(e) = &done {
                        println!("{}", e.code());
                        done = write(&mut store, n);
                    }
                }
                done.unwrap_or_else(|e| fail(&e));
                println!("{n}");
            }
        }
        Some("open") => {
            open(&path).unwrap_or_else(|e| fail(&e));
        }
        _ => return Err(USAGE.into()),
    }
    Ok(())
}
