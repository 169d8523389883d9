//! Writes the bindings of a built library: `plinth-bindings LIBRARY CONFIGURATION kotlin|swift FOLDER`.

use std::process::ExitCode;
use uniffi::{GenerateOptions, TargetLanguage, generate};

fn main() -> ExitCode {
    let given: Vec<String> = std::env::args().skip(1).collect();
    let [library, configuration, language, folder] = given.as_slice() else {
        eprintln!("plinth-bindings LIBRARY CONFIGURATION kotlin|swift FOLDER");
        return ExitCode::from(2);
    };
    let language = match language.as_str() {
        "kotlin" => TargetLanguage::Kotlin,
        "swift" => TargetLanguage::Swift,
        other => {
            eprintln!("{other}: no such language; give kotlin or swift");
            return ExitCode::from(2);
        }
    };
    let options = GenerateOptions {
        languages: vec![language],
        source: library.into(),
        out_dir: folder.into(),
        config_override: Some(configuration.into()),
        ..GenerateOptions::default()
    };
    match generate(options) {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            eprintln!("{library}: {fault:#}");
            ExitCode::FAILURE
        }
    }
}
