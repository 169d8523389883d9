//! `plinth sync`: brings a record and its copy on a host together.

use crate::arguments::SyncArguments;
use crate::client::{Paired, PairingFault, exchange};
use crate::failure::Failure;
use crate::opening::open_existing;
use crate::output::{json, sentence};
use crate::{input, moment};
use plinth_core::sync::{Invitation, Told};
use plinth_core::words::Speech;
use std::io;
use std::path::Path;
use tokio::runtime::Builder;

/// The longest invitation, bytes.
const LARGEST_INVITATION_BYTES: usize = 1024;

pub(crate) fn run(speech: &Speech, a: &SyncArguments) -> Result<(), Failure> {
    let invitation = a.pair.as_deref().map(invitation).transpose()?;
    let (mut companion, at) = open_existing(speech, &a.record)?;
    let runtime = Builder::new_current_thread().enable_all().build()?;
    let mut paired = match invitation {
        Some(invitation) => {
            let device = companion.store().device();
            let redeemed = Paired::redeem(&a.record, &invitation, device, &a.name, at.wall_ms);
            runtime.block_on(redeemed).map_err(|e| refused(&e))?
        }
        None => Paired::of(&a.record)?.ok_or_else(|| {
            let file = Paired::file(&a.record);
            Failure::Input(format!("--pair: there is no pairing at {}; give an invitation.", file.display()))
        })?,
    };
    let mut way =
        paired.way().map_err(|e| Failure::Input(format!("{}: {e}.", Paired::file(&a.record).display())))?;
    let told = runtime.block_on(async {
        // A host that cannot renew now does so another day.
        match paired.renew_when_old(&a.record, &mut way, at.wall_ms).await {
            Err(PairingFault::Io(e)) if Path::new(&Paired::file(&a.record)).exists() => {
                tracing::debug!("not renewed: {e}");
            }
            other => other.map_err(|e| refused(&e))?,
        }
        exchange(&mut companion, &mut way, &paired.token, &mut moment::now)
            .await
            .map_err(|f| Failure::Sync(Box::new(f)))
    })?;
    show(speech, told, a.show.json)
}

fn invitation(text: &str) -> Result<Invitation, Failure> {
    let read = if text == "-" {
        let bytes = input::read(Path::new("-"), LARGEST_INVITATION_BYTES)?;
        String::from_utf8_lossy(&bytes).into_owned()
    } else {
        text.to_owned()
    };
    read.parse().map_err(|f: plinth_core::sync::InvitationFault| Failure::Input(format!("--pair: {f}")))
}

fn refused(fault: &PairingFault) -> Failure {
    match fault {
        PairingFault::Refused(_) => Failure::Input(format!("--pair: {fault}.")),
        PairingFault::Io(_) => Failure::Host(fault.to_string()),
    }
}

fn show(speech: &Speech, told: Told, as_json: bool) -> Result<(), Failure> {
    let out = &mut io::stdout().lock();
    if as_json {
        return json(out, &told);
    }
    let args =
        [("sent", told.sent.into()), ("received", told.received.into()), ("aside", told.set_aside.into())];
    sentence(out, "", &speech.say(if told.together { "sync-together" } else { "sync-apart" }, &args))
}
