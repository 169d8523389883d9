//! Syncs against the protocol's model, whose answers the vectors keep; and every way in which one stops.

use super::events::lines;
use super::press::{begins, open};
use super::{Call, Gives, Runner, line};
use crate::meeting_point::MeetingPoint;
use plinth_core::page::{Deed, PageEvent, Place, Spot};
use plinth_core::sync::unpack;
use plinth_core::words::Language;
use plinth_ffi::{FileForm, SyncStep};

const TOKEN: &str = "token-of-the-vectors";
const LONGEST: u64 = 1 << 24;

#[derive(Default)]
pub(super) struct Talk {
    runner: Runner,
    pub(super) lines: Vec<String>,
}

impl Talk {
    pub(super) fn make(&mut self, call: &Call) -> Result<Gives, String> {
        let gives = self.runner.make(call);
        self.lines.push(line(call, &gives)?);
        Ok(gives)
    }

    /// Syncs to the end.
    pub(super) fn sync(&mut self, server: &mut MeetingPoint) -> Result<(), String> {
        let at = begins();
        let mut gives = self.make(&Call::Sync { at: at.clone(), token: TOKEN.into() })?;
        for _ in 0..20 {
            let request = match gives {
                Gives::Sync(SyncStep::Send { request }) => request,
                Gives::Sync(SyncStep::Done { .. }) => return Ok(()),
                other => return Err(format!("sync: {other:?}")),
            };
            let answer =
                unpack(&server.post(&request.body), LONGEST).ok_or("an answer that does not unpack")?;
            let body = String::from_utf8(answer).map_err(|e| e.to_string())?;
            gives =
                self.make(&Call::SyncAnswer { at: at.clone(), status: 200, retry_after_s: None, body })?;
        }
        Err("sync: it never ends".into())
    }
}

/// Two records meet at a server; then what a server may answer besides.
pub(super) fn exchanges() -> Result<Vec<String>, String> {
    let at = begins();
    let mut server = MeetingPoint::new("0123456789abcdef", at.wall_ms);
    let mut talk = Talk::default();
    let import =
        |document: &str| Call::Import { at: at.clone(), document: document.to_owned(), form: FileForm::Json };
    for (seed, file) in [(11, include_str!("gym.json")), (12, include_str!("import.json"))] {
        talk.make(&open(&at, Language::English, seed))?;
        talk.make(&import(file))?;
        talk.sync(&mut server)?;
        talk.make(&Call::Digest { at: at.clone() })?;
        talk.sync(&mut server)?;
    }
    talk.make(&open(&at, Language::German, 13))?;
    talk.make(&import(include_str!("import.json")))?;
    let begin = Call::Sync { at: at.clone(), token: TOKEN.into() };
    let fault = |code: &str| {
        format!(
            "{{\"code\":\"{code}\",\"field\":null,\"reason\":\"said by the server\",\"remedy\":\"as it says\"}}"
        )
    };
    let answers: [(u16, Option<u32>, String); 7] = [
        (401, None, fault("token_revoked")),
        (403, None, String::new()),
        (426, None, fault("too_old")),
        (429, Some(90), String::new()),
        (503, None, "<html>".to_owned()),
        (200, None, "{\"protocol\":".to_owned()),
        (302, None, String::new()),
    ];
    for (status, retry_after_s, body) in answers {
        talk.make(&begin)?;
        talk.make(&Call::SyncNext { at: at.clone() })?;
        talk.make(&Call::SyncAnswer { at: at.clone(), status, retry_after_s, body })?;
    }
    talk.make(&begin)?;
    talk.make(&Call::SyncCut { at: at.clone() })?;
    talk.make(&Call::SyncAnswer { at: at.clone(), status: 200, retry_after_s: None, body: "{}".into() })?;
    talk.make(&Call::ShutDown)?;
    talk.make(&Call::SyncNext { at })?;
    Ok(talk.lines)
}

/// A device is paired by an invitation, opens the record to a coach, and parts; and every way in which pairing fails.
pub(super) fn pairing() -> Result<Vec<String>, String> {
    const ADDRESS: &str = "https://192.168.1.20:8443";
    let at = begins();
    let does = |event: PageEvent| Call::Dispatch { at: at.clone(), event: event.into() };
    let choose = |field: &str, value: &str| {
        does(PageEvent::Choose { field: field.to_owned(), value: value.to_owned() })
    };
    let act = |deed: Deed| does(PageEvent::Do { deed });
    let answered = |status: u16, body: &str| Call::Paired {
        at: at.clone(),
        address: ADDRESS.to_owned(),
        status,
        body: body.to_owned(),
    };
    let good = "{\"token\":\"token-of-the-vectors\",\"account\":\"Lifter 1\",\"role\":\"lifter\"}";
    let certificate = "0f".repeat(32);
    let mara = || Spot::Grant { coach: "mara".to_owned() };
    let mut out = Vec::new();
    for (seed, language) in [(14, Language::English), (15, Language::German)] {
        out.extend([
            open(&at, language, seed),
            does(PageEvent::Place { place: Place::Locker }),
            does(PageEvent::Open { spot: Spot::Pairing }),
            act(Deed::Pair),
            act(Deed::Sync),
            choose("invitation", "https://192.168.1.20"),
            choose(
                "invitation",
                &format!("plinth:pair?at={ADDRESS}&certificate={certificate}&code=abcd-2345"),
            ),
            choose("name", "A phone"),
            act(Deed::Pair),
            choose("certificate", ""),
            act(Deed::Pair),
            answered(401, ""),
            answered(429, ""),
            answered(426, ""),
            answered(200, "<html>"),
            answered(200, good),
            Call::Screen { at: at.clone() },
            choose("metered", "yes"),
            choose("metered", "no"),
            act(Deed::Sync),
            does(PageEvent::Open { spot: Spot::Grants }),
            does(PageEvent::Open { spot: Spot::NewGrant }),
            choose("to", "mara b"),
            choose("to", "Mara"),
            act(Deed::Keep),
            choose("log", "yes"),
            choose("notes", "yes"),
            choose("until", "2026-03-01"),
            choose("until", "2026-06-30"),
            act(Deed::Keep),
            does(PageEvent::Open { spot: mara() }),
            choose("notes", "no"),
            act(Deed::Keep),
            does(PageEvent::Open { spot: mara() }),
            act(Deed::Remove),
            act(Deed::Remove),
            act(Deed::Keep),
            does(PageEvent::Open { spot: Spot::Pairing }),
            act(Deed::Remove),
            act(Deed::Remove),
            answered(200, good),
            Call::Unpair { at: at.clone() },
            Call::Screen { at: at.clone() },
            does(PageEvent::Open { spot: Spot::Settings }),
            choose("hand", "left"),
            choose("hand", "right"),
        ]);
    }
    lines(out)
}
