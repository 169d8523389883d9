//! The real host: `plinth serve` as a process of its own.

use super::Fault;
use plinth::host::Host;
use plinth::host::account::Role;
use plinth::host::ledger::Ledger;
use plinth::host::sqlite::SqliteStore;
use plinth::host::{ledger_beside, system_clock};
use plinth_core::record::DeviceId;
use plinth_core::sync::PairRequest;
use std::fs::{self, File};
use std::io::{BufRead, BufReader};
use std::net::{IpAddr, Ipv4Addr};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// A host that runs.
#[derive(Debug)]
pub struct House {
    process: Child,
    /// What devices call, such as `http://127.0.0.1:40123`.
    pub address: String,
}

impl House {
    /// Builds the binary as it is released, and says where it lies.
    ///
    /// # Errors
    /// Those of cargo.
    pub fn build() -> Result<PathBuf, Fault> {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let mut command = Command::new(cargo);
        // What cargo tells a bench of its own package would let some build scripts of the binary run again.
        for (name, _) in std::env::vars_os() {
            let ours = ["CARGO_PKG_", "CARGO_MANIFEST_"];
            if name.to_str().is_some_and(|n| ours.iter().any(|o| n.starts_with(o))) {
                command.env_remove(name);
            }
        }
        let built = command
            .args(["build", "--locked", "--release", "-p", "plinth", "--message-format", "json"])
            .stderr(Stdio::inherit())
            .output()?;
        let messages = String::from_utf8(built.stdout)?;
        let found = messages.lines().rev().find_map(|line| {
            let message: serde_json::Value = serde_json::from_str(line).ok()?;
            (message["target"]["name"] == "plinth")
                .then(|| message["executable"].as_str().map(PathBuf::from))?
        });
        found.ok_or_else(|| "cargo built no plinth".into())
    }

    /// Makes a store with accounts and a device of each name, and says their tokens. Nothing runs on it yet.
    ///
    /// # Errors
    /// Those of the host.
    pub async fn furnish(store: &Path, devices: &[(String, DeviceId)]) -> Result<Vec<String>, Fault> {
        Self::furnish_as(store, Role::Lifter, devices).await
    }

    /// As [`Self::furnish`], with accounts of a role.
    ///
    /// # Errors
    /// Those of the host.
    pub async fn furnish_as(
        store: &Path,
        role: Role,
        devices: &[(String, DeviceId)],
    ) -> Result<Vec<String>, Fault> {
        let (host, _) =
            Host::open(SqliteStore::open(store)?, Ledger::at(&ledger_beside(store)), system_clock()).await?;
        let mut tokens = Vec::new();
        for (account, device) in devices {
            let account = account.parse().map_err(|e| format!("{account}: {e}"))?;
            let told = |f: plinth::host::fault::Fault| f.said.reason;
            let code = host.offer(&account, role).await.map_err(told)?;
            let app = env!("CARGO_PKG_VERSION").to_owned();
            let request = PairRequest { code, device: *device, name: "phone".into(), app };
            tokens.push(host.pair(IpAddr::V4(Ipv4Addr::LOCALHOST), &request).await.map_err(told)?.token);
        }
        Ok(tokens)
    }

    /// Starts it on a store, without TLS, on a free port. Its log goes to a file beside the store.
    ///
    /// # Errors
    /// A binary that does not start.
    pub fn serve(binary: &Path, store: &Path) -> Result<Self, Fault> {
        let log = File::create(store.with_extension("log"))?;
        let mut process = Command::new(binary)
            .args(["--language", "en", "serve"])
            .arg(store)
            .args(["--listen", "127.0.0.1:0", "--plain"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(log)
            .spawn()?;
        let out = process.stdout.take().ok_or("no output")?;
        let mut said = String::new();
        for line in BufReader::new(out).lines() {
            said.push_str(&line?);
            if let Some((_, rest)) = said.split_once("http://") {
                let port: String = rest
                    .split_once(':')
                    .map_or("", |(_, port)| port)
                    .chars()
                    .take_while(char::is_ascii_digit)
                    .collect();
                return Ok(Self { process, address: format!("http://127.0.0.1:{port}") });
            }
        }
        process.kill()?;
        Err(format!("it does not say where it listens: {said}").into())
    }

    /// What it holds of memory now, and the most since [`Self::forget_most`], in KiB (Linux).
    ///
    /// # Errors
    /// Another system.
    pub fn memory(&self) -> Result<(u64, u64), Fault> {
        let status = fs::read_to_string(format!("/proc/{}/status", self.process.id()))?;
        let of = |name: &str| {
            let line = status.lines().find_map(|l| l.strip_prefix(name))?;
            line.trim().trim_end_matches(" kB").parse::<u64>().ok()
        };
        Ok((of("VmRSS:").ok_or("no VmRSS")?, of("VmHWM:").ok_or("no VmHWM")?))
    }

    /// Lets the most that it has held begin anew (Linux).
    ///
    /// # Errors
    /// Another system.
    pub fn forget_most(&self) -> Result<(), Fault> {
        Ok(fs::write(format!("/proc/{}/clear_refs", self.process.id()), "5")?)
    }
}

impl Drop for House {
    fn drop(&mut self) {
        // A bench that is over does not wait for a host to end gently.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
