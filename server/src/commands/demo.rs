//! `plinth` without a command: the week of an invented lifter, and in a terminal a coach's desk over a house of them.

use super::plan;
use super::serve::told_to_end;
use crate::arguments::Show;
use crate::demo::{COACH, DemoFault, Folder, Furnished, furnish, lifters};
use crate::desk;
use crate::failure::Failure;
use crate::host::lock::hold;
use crate::host::serve::{Listening, Serving};
use crate::host::signature;
use crate::host::store::Store;
use crate::moment;
use crate::output::sentence;
use plinth_core::words::Speech;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tokio::net::TcpListener;
use tokio::runtime::Builder;

/// Where the house lies: in a folder that goes at the end, or in one that was named.
enum Place {
    Own(Folder),
    Kept(PathBuf),
}

impl Place {
    fn path(&self) -> &Path {
        match self {
            Self::Own(folder) => folder.path(),
            Self::Kept(path) => path,
        }
    }
}

pub(crate) fn run(speech: &Speech, show: &Show, keep: Option<&Path>) -> Result<(), Failure> {
    let opens = !show.json && io::stdin().is_terminal() && io::stdout().is_terminal();
    if let Some(folder) = keep {
        if !opens {
            let sentence = "--keep: the demo house opens in a terminal only, and not with --json; leave it out, or run it in \
                            one.";
            return Err(Failure::Input(sentence.into()));
        }
        let store = folder.join("demo.plinth");
        if store.exists() {
            let (store, at) = (store.display(), folder.display());
            let sentence = format!(
                "--keep: {at} holds a house already; run `plinth serve {store}`, or give another folder."
            );
            return Err(Failure::Input(sentence));
        }
    }
    plan::example(speech, show)?;
    if !opens {
        return Ok(());
    }
    let runtime = Builder::new_multi_thread().enable_all().build()?;
    let ended = runtime.block_on(open(speech, keep));
    runtime.shutdown_background();
    ended
}

fn broken(fault: &impl std::fmt::Display) -> Failure {
    Failure::Host(fault.to_string())
}

/// Makes the house, says where it is, and serves it until it is told to end.
async fn open(speech: &Speech, keep: Option<&Path>) -> Result<(), Failure> {
    // Before there is a folder that would be left behind.
    let told_to_end = told_to_end()?;
    tokio::pin!(told_to_end);
    let out = &mut io::stdout();
    writeln!(out)?;
    sentence(out, "", &speech.say("demo-making", &[]))?;
    let language = speech.language();
    let trained = tokio::task::spawn_blocking(move || lifters(&Speech::new(language), &moment::now()));
    let lifters = tokio::select! {
        biased;
        ended = &mut told_to_end => return Ok(ended?),
        lifters = trained => lifters.map_err(|e| broken(&e))?.map_err(|e| broken(&e))?,
    };
    let place = match keep {
        None => Place::Own(Folder::temporary()?),
        Some(folder) => {
            std::fs::create_dir_all(folder)
                .map_err(|e| Failure::Input(format!("--keep: {} cannot be made ({e}).", folder.display())))?;
            Place::Kept(folder.to_owned())
        }
    };
    let furnished = tokio::select! {
        biased;
        ended = &mut told_to_end => return Ok(ended?),
        furnished = furnish(place.path(), &lifters) => furnished.map_err(|e: DemoFault| broken(&e))?,
    };
    let Furnished { mut host, store, code } = furnished;
    let Some(_held) = hold(&store)? else { return Err(broken(&"another host holds the demo house")) };
    let bound = TcpListener::bind("127.0.0.1:0").await?;
    let address = format!("http://{}", bound.local_addr()?);
    host.house.address.clone_from(&address);
    host.store.keep_house(host.house.clone()).await.map_err(|e| broken(&e))?;
    let host = Arc::new(host);
    let key = signature::key(&store).map_err(|e| broken(&e))?;
    let keeping = desk::Keeping { store: store.clone(), backups: None, invented: true };
    let pages = desk::pages(&host, false, key, keeping);
    let listening = Listening { tls: None, behind_proxy: false, metrics: None, pages };
    let serving = Serving::begin(host, bound, listening).await?;
    let with_code = format!("{address}{}/sign-in?code={code}", desk::ROOT);
    let another = format!("plinth host pair {} {COACH} --role coach", store.display());
    let args = [
        ("address", (&address).into()),
        ("code", (&code).into()),
        ("with-code", (&with_code).into()),
        ("command", (&another).into()),
    ];
    writeln!(out, "\n{}\n", speech.say("demo-open", &args[2..3]))?;
    sentence(out, "", &speech.say("demo-code", &args[..2]))?;
    sentence(out, "", &speech.say("demo-another", &args[3..]))?;
    match &place {
        Place::Own(_) => sentence(out, "", &speech.say("demo-ends", &[]))?,
        Place::Kept(folder) => {
            let folder = folder.display().to_string();
            sentence(out, "", &speech.say("demo-kept", &[("folder", (&folder).into())]))?;
        }
    }
    out.flush()?;
    told_to_end.await?;
    serving.end().await;
    Ok(())
}
