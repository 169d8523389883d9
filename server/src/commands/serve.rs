//! `plinth serve`: runs a host until it is told to end.

use crate::arguments::ServeArguments;
use crate::desk;
use crate::failure::Failure;
use crate::host::backups::{self, Plan};
use crate::host::ledger::Ledger;
use crate::host::lock::hold;
use crate::host::serve::{Listening, Serving};
use crate::host::signature;
use crate::host::sqlite::{SqliteStore, swap};
use crate::host::store::Store;
use crate::host::tls::{Certificate, shown};
use crate::host::{Found, Host, beside, ledger_beside, system_clock};
use crate::output::sentence;
use hyper::Uri;
use plinth_core::sync::Invitation;
use plinth_core::words::Speech;
use std::io::{self, Write};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;
use tokio::runtime::Builder;
use tracing::Level;

/// What is shown: a certificate that is given, one that is made here, or none.
enum Shown {
    Public(Certificate),
    Own(Certificate),
    Plain,
}

pub(crate) fn run(speech: &Speech, a: &ServeArguments) -> Result<(), Failure> {
    // Everything is checked before a file is made.
    let public = a.public.as_deref().map(called).transpose()?;
    let shown = what_is_shown(a)?;
    log(a.log_json);
    let runtime = Builder::new_multi_thread().enable_all().build()?;
    let ended = runtime.block_on(serve(speech, a, public, shown));
    // A backup that is half written is not waited for: it has no name yet, and the next one sweeps it away.
    runtime.shutdown_background();
    ended
}

fn what_is_shown(a: &ServeArguments) -> Result<Shown, Failure> {
    if let Some(metrics) = a.metrics.filter(|m| !m.ip().is_loopback()) {
        let sentence = format!(
            "--metrics: {metrics} is open to others; give an address of this machine, such as 127.0.0.1:9464."
        );
        return Err(Failure::Input(sentence));
    }
    if let Some(folder) = a.backups.as_ref().filter(|f| !f.is_dir()) {
        let folder = folder.display();
        return Err(Failure::Input(format!("--backups: {folder} is no folder; make it, or give another.")));
    }
    if a.public.is_none() && (a.behind_proxy || a.listen.ip().is_unspecified()) {
        let sentence = "--public: an invitation has to name what devices call; give it, such as \
                        https://192.168.1.20:8443.";
        return Err(Failure::Input(sentence.into()));
    }
    if a.plain {
        if !a.listen.ip().is_loopback() && !a.behind_proxy {
            let sentence = "--plain: others would read along on this address; leave it out, listen on \
                            127.0.0.1, or say --behind-proxy where a proxy speaks TLS before it.";
            return Err(Failure::Input(sentence.into()));
        }
        return Ok(Shown::Plain);
    }
    let bad =
        |e: &io::Error| Failure::Input(format!("--certificate: {e}; give PEM files, or leave both out."));
    if let (Some(certificate), Some(key)) = (&a.certificate, &a.key) {
        return Ok(Shown::Public(Certificate::read(certificate, key).map_err(|e| bad(&e))?));
    }
    Ok(Shown::Own(Certificate::own(&own_certificate(&a.store), names(a)).map_err(|e| bad(&e))?))
}

/// What the host is called by, as far as it is known.
fn names(a: &ServeArguments) -> Vec<String> {
    let mut names = vec!["localhost".to_owned()];
    if !a.listen.ip().is_unspecified() {
        names.push(a.listen.ip().to_string());
    }
    let public = a.public.as_deref().and_then(|p| p.parse::<Uri>().ok());
    if let Some(host) = public.as_ref().and_then(Uri::host) {
        names.push(host.trim_start_matches('[').trim_end_matches(']').to_owned());
    }
    names
}

/// Where the certificate lies that a host makes itself.
fn own_certificate(store: &Path) -> std::path::PathBuf {
    beside(store, "certificate")
}

fn log(json: bool) {
    let lines =
        tracing_subscriber::fmt().with_max_level(Level::INFO).with_writer(io::stderr).with_target(false);
    // A test that runs two hosts in one process has one log.
    let _ = if json { lines.json().try_init() } else { lines.with_ansi(false).try_init() };
}

async fn serve(
    speech: &Speech,
    a: &ServeArguments,
    public: Option<String>,
    shown_as: Shown,
) -> Result<(), Failure> {
    let broken = |e: &dyn std::fmt::Display| Failure::Host(e.to_string());
    let Some(_held) = hold(&a.store).map_err(|e| broken(&e))? else {
        let sentence = "STORE: a host holds this store already; end it first, or give another store.";
        return Err(Failure::Input(sentence.into()));
    };
    // A backup that was about to be put in the store's place when the power went.
    swap::finish(&a.store, system_clock()()).map_err(|e| broken(&e))?;
    let store = SqliteStore::open(&a.store).map_err(|e| broken(&e))?;
    let ledger = Ledger::at(&ledger_beside(&a.store));
    let (mut host, found) = Host::open(store, ledger, system_clock()).await.map_err(|e| broken(&e))?;
    let (tls, own, scheme) = match shown_as {
        Shown::Plain => (None, None, "http"),
        Shown::Public(c) => (Some(c.server().map_err(|e| broken(&e))?), None, "https"),
        Shown::Own(c) => {
            let fingerprint = shown(&c.fingerprint());
            (Some(c.server().map_err(|e| broken(&e))?), Some(fingerprint), "https")
        }
    };
    // Before anyone is told that it listens: who was told may end it at once.
    let told_to_end = told_to_end()?;
    let out = &mut io::stdout();
    if let Some(found) = &found {
        tell(speech, out, found)?;
    }
    // The port is known once it is had; what devices call is kept for the invitations.
    let bound = tokio::net::TcpListener::bind(a.listen).await;
    let bound = bound.map_err(|e| Failure::Input(format!("--listen: {} cannot be had ({e}).", a.listen)))?;
    let at = bound.local_addr()?;
    let address = public.unwrap_or_else(|| format!("{scheme}://{at}"));
    host.house.address.clone_from(&address);
    host.house.certificate.clone_from(&own);
    host.store.keep_house(host.house.clone()).await.map_err(|e| broken(&e))?;
    let behind_proxy = a.behind_proxy;
    let host = Arc::new(host);
    let key = signature::key(&a.store).map_err(|e| broken(&e))?;
    let keeping = desk::Keeping { store: a.store.clone(), backups: a.backups.clone(), invented: false };
    let pages = desk::pages(&host, tls.is_some() || behind_proxy, key, keeping);
    let listening = Listening { tls, behind_proxy, metrics: a.metrics, pages };
    let serving = Serving::begin(Arc::clone(&host), bound, listening).await?;
    let backups = a.backups.as_ref().map(|folder| {
        let every = Duration::from_secs(a.every * 60 * 60);
        tokio::spawn(backups::keep(host, Plan::new(&a.store, folder, every)))
    });
    let key = match (&own, scheme, behind_proxy) {
        (Some(_), ..) => "host-serves-own",
        (None, "https", _) => "host-serves-public",
        (None, _, true) => "host-serves-proxy",
        _ => "host-serves-plain",
    };
    let at = at.to_string();
    let fingerprint = own.unwrap_or_default();
    let args = [("at", (&at).into()), ("address", (&address).into()), ("fingerprint", (&fingerprint).into())];
    writeln!(out, "{}", speech.say(key, &args))?;
    if let Some(metrics) = serving.metrics {
        writeln!(out, "{}", speech.say("host-metrics", &[("at", (&metrics.to_string()).into())]))?;
    }
    out.flush()?;
    told_to_end.await?;
    tracing::info!("ending");
    if let Some(backups) = backups {
        backups.abort();
    }
    serving.end().await;
    Ok(())
}

/// What devices are told to call, checked.
fn called(public: &str) -> Result<String, Failure> {
    let checked = Invitation::new(public, "", "000000")
        .map_err(|f| Failure::Input(format!("--public: {}.", f.remedy())))?;
    Ok(checked.address)
}

fn tell(speech: &Speech, out: &mut impl Write, found: &Found) -> Result<(), Failure> {
    match found {
        Found::NewStore => sentence(out, "! ", &speech.say("host-new-store", &[])),
        Found::OlderStore => sentence(out, "! ", &speech.say("host-older-store", &[])),
        Found::NoLedger { why, aside } => {
            let why = speech.english(why);
            sentence(out, "! ", &speech.say("host-no-ledger", &[("why", (&why).into())]))?;
            let Some(aside) = aside else { return Ok(()) };
            let aside = aside.display().to_string();
            sentence(out, "! ", &speech.say("host-ledger-aside", &[("aside", (&aside).into())]))
        }
    }
}

/// Listens for what ends a host, and gives what waits for it: Ctrl-C, or where there is one, the signal that ends a
/// service.
pub(super) fn told_to_end() -> io::Result<impl Future<Output = io::Result<()>>> {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let (mut interrupt, mut terminate) =
            (signal(SignalKind::interrupt())?, signal(SignalKind::terminate())?);
        Ok(async move {
            tokio::select! {
                _ = interrupt.recv() => Ok(()),
                _ = terminate.recv() => Ok(()),
            }
        })
    }
    #[cfg(not(unix))]
    Ok(tokio::signal::ctrl_c())
}
