//! `plinth host`: looks after a host in person, beside a host that runs or without one.

use crate::arguments::{HostArguments, HostQuestion};
use crate::failure::Failure;
use crate::host::account::{AccountId, Role};
use crate::host::backups;
use crate::host::fault::{Fails, Fault};
use crate::host::ledger::{Ledger, LedgerFault, private};
use crate::host::restore::{RestoreFault, restore};
use crate::host::sqlite::mend::{MendFault, mend};
use crate::host::sqlite::{SqliteStore, swap};
use crate::host::store::{Store, StoreFault};
use crate::host::{Host, ledger_beside, system_clock};
use crate::output::{json, print_table, sentence, table_of};
use crate::qr::Qr;
use chrono::DateTime;
use plinth_core::sync::Invitation;
use plinth_core::words::{Arg, Speech};
use serde_json::json;
use std::fs::{File, OpenOptions};
use std::io::{self, IsTerminal, Write};
use std::path::Path;
use tokio::runtime::Builder;

/// Who acts, in what an account's lifter reads: the keeper of the machine.
const KEEPER: &str = "host";
/// What is said where a host runs on a store that is to be exchanged.
const HELD: &str = "STORE: a host holds this store, or someone else restores it; end the host first.";
/// Accounts that are listed at a time.
const STEP: u32 = 200;

pub(crate) fn run(speech: &Speech, a: &HostArguments) -> Result<(), Failure> {
    Builder::new_current_thread().enable_all().build()?.block_on(answer(speech, &a.question))
}

async fn answer(speech: &Speech, question: &HostQuestion) -> Result<(), Failure> {
    match question {
        HostQuestion::Pair { store, account, role, address, qr, picture, show } => {
            let role: Role = role.parse().map_err(|f| Failure::Input(format!("--role: {f}.")))?;
            let (host, account) = (open(store).await?, named(account)?);
            // Before a code is spent: where the picture cannot be written, nothing is.
            let to = picture.as_deref().map(|file| new_file(file).map(|f| (file, f))).transpose()?;
            let invitation = invite(&host, &account, role, address.as_deref()).await?;
            let drawn = || Qr::of(&invitation.to_string()).map_err(|e| Failure::Host(e.to_string()));
            if let Some((path, mut file)) = to {
                let title = speech.say("desk-pair-picture", &[("account", account.as_str().into())]);
                file.write_all(drawn()?.svg(&title).as_bytes())?;
                let path = path.display().to_string();
                eprintln!("{}", speech.say("host-picture", &[("path", (&path).into())]));
            }
            if show.json {
                let certificate = invitation.certificate_text();
                let (line, Invitation { address, code, .. }) = (invitation.to_string(), invitation);
                let told = json!({ "invitation": line, "address": address, "certificate": certificate, "code": code });
                return json(&mut io::stdout().lock(), &told);
            }
            println!("{invitation}");
            let seen = io::stdout().is_terminal();
            if *qr || seen {
                // Black on white whatever the terminal's own colours are: not every reader takes the inverse.
                let (black, plain) = if seen { ("\x1b[38;5;16;48;5;231m", "\x1b[0m") } else { ("", "") };
                drawn()?.lines().iter().for_each(|line| println!("{black}{line}{plain}"));
            }
            say(speech, "host-invited", &[("account", account.as_str().into())])
        }
        HostQuestion::Devices { store, account, show } => {
            let host = open(store).await?;
            match account {
                Some(account) => devices(speech, &host, &named(account)?, show.json).await,
                None => accounts(speech, &host, show.json).await,
            }
        }
        HostQuestion::Revoke { store, account, device } => {
            let (host, account) = (open(store).await?, named(account)?);
            host.revoke(&account, device, &named(KEEPER)?).await.map_err(|f| told("DEVICE", &f))?;
            say(speech, "host-revoked", &[("device", device.as_str().into())])
        }
        HostQuestion::Erase { store, account, everything } => {
            let (host, account) = (open(store).await?, named(account)?);
            if !everything {
                return Err(Failure::Input(
                    "--everything: erasing takes the account with its whole record off this host, for good; the \
                     lifter's own devices keep theirs. Add --everything."
                        .into(),
                ));
            }
            host.erase(&account).await.map_err(|f| told("ACCOUNT", &f))?;
            say(speech, "host-erased", &[("account", account.as_str().into())])
        }
        HostQuestion::Check { store, mend: true, show } => mended(speech, store, show.json).await,
        HostQuestion::Check { store, mend: false, show } => checked(speech, &there(store)?, show.json).await,
        HostQuestion::Restore { store, from, ledger } => put_back(speech, store, from, ledger.as_deref()),
        HostQuestion::Backup { store, to } if to.is_dir() => {
            there(store)?;
            let made = backups::make(store, to, system_clock()());
            let made = made.map_err(|e| Failure::Host(e.to_string()))?;
            let to = made.path.display().to_string();
            let args = [
                ("to", (&to).into()),
                ("entries", made.checked.entries.into()),
                ("accounts", made.checked.accounts.into()),
            ];
            say(speech, "host-backup-dated", &args)?;
            match made.removed.len() {
                0 => Ok(()),
                n => say(speech, "host-backups-thinned", &[("n", n.into())]),
            }
        }
        HostQuestion::Backup { to, .. } if to.to_string_lossy().ends_with(std::path::is_separator) => {
            let to = to.display();
            Err(Failure::Input(format!("TO: {to} is no folder; make it, or give the path of a file.")))
        }
        HostQuestion::Backup { store, to } => {
            let copied = there(store)?.backup(to).await;
            copied.map_err(|e| Failure::Host(e.to_string()))?;
            let to = to.display().to_string();
            say(speech, "host-backup", &[("to", (&to).into())])
        }
    }
}

async fn checked(speech: &Speech, store: &SqliteStore, as_json: bool) -> Result<(), Failure> {
    let checked = store.check().await.map_err(|e| Failure::Host(e.to_string()))?;
    if as_json {
        json(&mut io::stdout().lock(), &checked)?;
    }
    match checked.faults.first() {
        Some(fault) => {
            let fault = speech.english(fault);
            Err(Failure::Damaged(speech.say("host-check-bad", &[("fault", (&fault).into())])))
        }
        None if as_json => Ok(()),
        None => say(speech, "host-check-good", &[("n", checked.entries.into())]),
    }
}

async fn mended(speech: &Speech, store: &Path, as_json: bool) -> Result<(), Failure> {
    is_there(store)?;
    let mended = mend(store, system_clock()()).map_err(|fault| match fault {
        MendFault::Held => Failure::Input(HELD.into()),
        MendFault::Unreadable(fault) => {
            let fault = speech.english(&fault.to_string());
            Failure::Damaged(speech.say("host-mend-unreadable", &[("fault", (&fault).into())]))
        }
        MendFault::Store(fault) => Failure::Host(fault.to_string()),
    })?;
    let Some(mended) = mended else { return checked(speech, &there(store)?, as_json).await };
    if as_json {
        return json(&mut io::stdout().lock(), &mended);
    }
    let aside = mended.aside.display().to_string();
    let args =
        [("kept", mended.entries.into()), ("lost", mended.lost.len().into()), ("aside", (&aside).into())];
    say(speech, "host-mended", &args)?;
    if !mended.made_again.is_empty() {
        let accounts = mended.made_again.join(", ");
        say(speech, "host-mend-made-again", &[("accounts", (&accounts).into())])?;
    }
    if mended.grants_withdrawn {
        say(speech, "host-mend-grants", &[])?;
    }
    say(speech, "host-restore-follows", &[])
}

fn put_back(speech: &Speech, store: &Path, from: &Path, ledger: Option<&Path>) -> Result<(), Failure> {
    if !from.is_file() {
        let from = from.display();
        return Err(Failure::Input(format!("FROM: there is no backup at {from}; give the path of one.")));
    }
    let done = restore(store, from, ledger, system_clock()()).map_err(|fault| match fault {
        RestoreFault::Held => Failure::Input(HELD.into()),
        RestoreFault::Backup(StoreFault::Damaged(why)) => {
            let why = speech.english(&why);
            Failure::Damaged(speech.say("host-restore-bad", &[("fault", (&why).into())]))
        }
        RestoreFault::Backup(fault @ (StoreFault::NotAStore(_) | StoreFault::Newer { .. })) => {
            Failure::Input(format!("FROM: {fault}; give a backup of a host's store. Nothing was changed."))
        }
        RestoreFault::NoLedger(path) => {
            Failure::Input(format!("--ledger: there is no ledger at {}; give the path of one.", path.display()))
        }
        RestoreFault::Ledger(fault @ LedgerFault::Changed(_)) => Failure::Input(format!("--ledger: {fault}; give another copy of it.")),
        RestoreFault::Apart => Failure::Input(
            "--ledger: it and the ledger that is there each say what the other does not; leave --ledger out, or move \
             the one that is there out of the way yourself."
                .into(),
        ),
        fault => Failure::Host(fault.to_string()),
    })?;
    let from = from.display().to_string();
    let args = [
        ("from", (&from).into()),
        ("entries", done.checked.entries.into()),
        ("accounts", done.checked.accounts.into()),
    ];
    say(speech, "host-restored", &args)?;
    if let Some(aside) = &done.aside {
        let aside = aside.display().to_string();
        say(speech, "host-restore-aside", &[("aside", (&aside).into())])?;
    }
    if ledger.is_some() {
        let key = if done.ledger_taken { "host-restore-ledger-taken" } else { "host-restore-ledger-stays" };
        say(speech, key, &[])?;
    }
    let Some(why) = &done.revokes else { return say(speech, "host-restore-follows", &[]) };
    let why = speech.english(why);
    say(speech, "host-restore-revokes", &[("why", (&why).into())])
}

/// A file of its own: what lies there already is not written over. Whoever reads it can pair, so it is its owner's.
fn new_file(path: &Path) -> Result<File, Failure> {
    let opened = private(OpenOptions::new().write(true).create_new(true)).open(path);
    opened.map_err(|e| {
        Failure::Input(format!("--picture: {} cannot be made ({e}); give another path.", path.display()))
    })
}

fn say(speech: &Speech, key: &str, args: &[(&str, Arg<'_>)]) -> Result<(), Failure> {
    sentence(&mut io::stdout().lock(), "", &speech.say(key, args))
}

fn named(account: &str) -> Result<AccountId, Failure> {
    account.parse().map_err(|f| Failure::Input(format!("ACCOUNT: {f}.")))
}

fn told(field: &str, fault: &Fault) -> Failure {
    let said = format!("{}; {}.", fault.said.reason, fault.said.remedy);
    match fault.fails {
        Fails::Broken | Fails::Busy => Failure::Host(said),
        _ => Failure::Input(format!("{field}: {said}")),
    }
}

/// A store that is there: a name mistyped makes no host.
fn there(store: &Path) -> Result<SqliteStore, Failure> {
    is_there(store)?;
    SqliteStore::open(store).map_err(|e| Failure::Host(e.to_string()))
}

fn is_there(store: &Path) -> Result<(), Failure> {
    if !store.is_file() && swap::fresh(store).is_file() {
        return Err(Failure::Input(format!(
            "STORE: a copy was about to take the place of {} when it was cut short; run `plinth serve` on it, which \
             ends that.",
            store.display()
        )));
    }
    if !store.is_file() {
        return Err(Failure::Input(format!(
            "STORE: there is no host's store at {}; give the path of one, or make one with `plinth serve`.",
            store.display()
        )));
    }
    Ok(())
}

async fn open(store: &Path) -> Result<Host<SqliteStore>, Failure> {
    let ledger = Ledger::at(&ledger_beside(store));
    let (host, found) = Host::beside(there(store)?, ledger, system_clock())
        .await
        .map_err(|e| Failure::Host(e.to_string()))?;
    if found {
        return Err(Failure::Input(
            "STORE: it does not go with its ledger; run `plinth serve` on it once, which says what follows."
                .into(),
        ));
    }
    Ok(host)
}

async fn invite(
    host: &Host<SqliteStore>,
    account: &AccountId,
    role: Role,
    address: Option<&str>,
) -> Result<Invitation, Failure> {
    let certificate = host.house.certificate.clone().unwrap_or_default();
    let address = address.unwrap_or(&host.house.address);
    // Before a code is spent on it.
    Invitation::new(address, &certificate, "000000")
        .map_err(|f| Failure::Input(format!("--address: {}.", f.remedy())))?;
    let code = host.offer(account, role).await.map_err(|f| told("ACCOUNT", &f))?;
    Invitation::new(address, &certificate, &code)
        .map_err(|f| Failure::Input(format!("--address: {}.", f.remedy())))
}

async fn accounts(speech: &Speech, host: &Host<SqliteStore>, as_json: bool) -> Result<(), Failure> {
    let broken = |e: crate::host::store::StoreFault| Failure::Host(e.to_string());
    let mut table = table_of(speech, &["head-account", "head-role", "head-devices"], &[2]);
    let (mut told, mut after) = (Vec::new(), None);
    loop {
        let page = host.store.accounts(after, STEP).await.map_err(broken)?;
        let Some(last) = page.last() else { break };
        after = Some(last.id.clone());
        for account in page {
            let devices = host.store.devices(&account.id).await.map_err(broken)?;
            let counting = devices.iter().filter(|d| d.revoked_ms.is_none()).count();
            table.add_row([account.id.to_string(), account.role.name().to_owned(), counting.to_string()]);
            told.push(json!({ "account": account.id, "role": account.role, "devices": counting }));
        }
    }
    let out = &mut io::stdout().lock();
    if as_json { json(out, &told) } else { print_table(out, &table) }
}

async fn devices(
    speech: &Speech,
    host: &Host<SqliteStore>,
    account: &AccountId,
    as_json: bool,
) -> Result<(), Failure> {
    let devices = host.store.devices(account).await.map_err(|e| Failure::Host(e.to_string()))?;
    let day = |ms: i64| DateTime::from_timestamp_millis(ms).unwrap_or_default().date_naive().to_string();
    let mut table =
        table_of(speech, &["head-device", "head-name", "head-paired", "head-heard", "head-revoked"], &[]);
    let mut list = Vec::new();
    for d in devices {
        let revoked = d.revoked_ms.map(day).unwrap_or_default();
        table.add_row([d.key.clone(), d.name.clone(), day(d.paired_ms), day(d.seen_ms), revoked]);
        list.push(json!({
            "key": d.key, "name": d.name, "app": d.app, "paired_ms": d.paired_ms, "seen_ms": d.seen_ms,
            "revoked_ms": d.revoked_ms,
        }));
    }
    let out = &mut io::stdout().lock();
    if as_json { json(out, &list) } else { print_table(out, &table) }
}
