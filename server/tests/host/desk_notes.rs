//! Notes between a coach and a lifter, each with whether it was read.

use crate::browser::{Browser, form_of};
use crate::common::{Folder, Running, entry, id};
use crate::published::{grant, lifter, withdraw};
use plinth_core::record::{Kind, NoteFields, View, Writer};
use serde_json::json;

/// The notes of a lifter's record, by their text.
async fn notes(gym: &Running, of: &str) -> Vec<NoteFields> {
    let mut all: Vec<_> = gym.held(of, &Kind::Note).await.iter().map(|e| NoteFields::read(e).0).collect();
    all.sort_by(|a, b| a.text.cmp(&b.text));
    all
}

#[tokio::test]
async fn notes_go_both_ways_and_each_side_sees_what_was_read() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let anna = lifter(&gym, "anna", &["log", "notes"]).await;
    let asked = json!({"text": "b: may I squat?", "by": "lifter"});
    gym.push(&anna, vec![entry(20, "note", asked, 30)]).await;
    let mut mara = Browser::default();
    mara.sign_in(&gym, "mara").await;
    let at = "/desk/lifters/anna";
    assert!(mara.look(&gym, "/desk/lifters").await.text.contains("A note is not yet read"));

    // Read, it says so to the lifter and asks for nobody any more.
    let tick = format!("{at}/notes/{}/read", id(20));
    assert_eq!(mara.send(&gym, &tick, "proof=00").await.status, 403);
    assert_eq!(notes(&gym, "anna").await[0].read_at, None);
    let page = mara.fill(&gym, at, &tick, &[]).await;
    assert_eq!(page.header("location"), Some("/desk/lifters/anna#notes"), "{}", page.text);
    let read = &notes(&gym, "anna").await[0];
    assert!(read.read_at.is_some() && read.text.as_deref() == Some("b: may I squat?"));
    assert_eq!(read.by, Some(Writer::Lifter));
    assert!(!mara.look(&gym, "/desk/lifters").await.text.contains("not yet read"));
    let page = mara.look(&gym, at).await.text;
    assert!(!page.contains("not yet read") && !page.contains(&tick), "{page}");

    // Her answer, as it was written; unread until the lifter says so.
    let write = format!("{at}/notes");
    let form = form_of(&[("proof", "00"), ("text", "no")]);
    assert_eq!(mara.send(&gym, &write, &form).await.status, 403);
    for text in ["", " \r\n ", "a\u{7}b", &"x".repeat(2_001)] {
        let page = mara.fill(&gym, at, &write, &[("text", text)]).await;
        assert!(page.status == 400 && page.text.contains("text"), "{text:?}");
    }
    assert_eq!(notes(&gym, "anna").await.len(), 1);
    let text = "a: yes,\r\nbelow <parallel> & slowly ";
    assert_eq!(mara.fill(&gym, at, &write, &[("text", text)]).await.status, 303);
    let all = notes(&gym, "anna").await;
    assert_eq!(all[0].text.as_deref(), Some("a: yes,\nbelow <parallel> & slowly"));
    assert_eq!((all.len(), all[0].by, &all[0].read_at), (2, Some(Writer::Coach), &None));
    assert!(all[0].written_at.is_some());
    let page = mara.look(&gym, at).await.text;
    assert!(page.contains("below &lt;parallel&gt; &amp; slowly") && page.contains("not yet read"), "{page}");
    assert!(
        !mara.look(&gym, "/desk/lifters").await.text.contains("not yet read"),
        "hers waits for the lifter"
    );
    let hers = gym.held("anna", &Kind::Note).await.into_iter().find(|e| e.id != id(20)).unwrap().id;
    let mut read = entry(0, "note", json!({"read_at": "2026-05-04T18:04:09.250+02:00"}), 0);
    read["id"] = json!(hers);
    gym.push(&anna, vec![read]).await;
    assert!(!mara.look(&gym, at).await.text.contains("not yet read"));
}

#[tokio::test]
async fn a_mark_is_a_coachs_on_a_lifters_note_alone_and_within_the_grant() {
    let folder = Folder::new();
    let gym = Running::plain(&folder).await;
    let anna = lifter(&gym, "anna", &["log", "notes"]).await;
    let from = "2026-01-01T00:00:00.000+00:00";
    let other = json!({"to": "nils", "may": ["log", "notes"], "from": from});
    gym.push(
        &anna,
        vec![
            entry(901, "grant", other, 50),
            entry(20, "note", json!({"text": "mine", "by": "lifter"}), 30),
            entry(21, "session", json!({"title": "x"}), 30),
        ],
    )
    .await;
    let (mut mara, mut nils) = (Browser::default(), Browser::default());
    mara.sign_in(&gym, "mara").await;
    nils.sign_in(&gym, "nils").await;
    let at = "/desk/lifters/anna";
    assert_eq!(nils.fill(&gym, at, &format!("{at}/notes"), &[("text", "his")]).await.status, 303);
    let his = gym.held("anna", &Kind::Note).await.into_iter().find(|e| e.id != id(20)).unwrap().id;
    // Neither another coach's note nor her own, nor what is no note or not there.
    for of in [his.to_string(), id(21).to_string(), id(22).to_string(), "x".into()] {
        let page = mara.fill(&gym, at, &format!("{at}/notes/{of}/read"), &[]).await;
        assert!(matches!(page.status, 403 | 404), "{of}: {}", page.status);
    }
    let own = nils.fill(&gym, at, &format!("{at}/notes/{his}/read"), &[]).await;
    assert_eq!(own.status, 403, "that a coach's note was read is the lifter's to say");
    assert!(notes(&gym, "anna").await.iter().all(|n| n.read_at.is_none()));
    assert_eq!(gym.held("anna", &Kind::Note).await.len(), 2, "nothing was made by a mark");

    // Without the log she sees no note of the lifter's, and marks none; without the notes she writes none.
    let tick = format!("{at}/notes/{}/read", id(20));
    grant(&gym, &anna, &["notes"], 20).await;
    let page = mara.look(&gym, at).await.text;
    assert!(!page.contains("mine") && page.contains("Write a note"), "{page}");
    assert_eq!(mara.fill(&gym, at, &tick, &[]).await.status, 403);
    grant(&gym, &anna, &["log"], 15).await;
    let page = mara.look(&gym, at).await.text;
    assert!(page.contains("mine") && !page.contains("Write a note") && !page.contains(&tick), "{page}");
    assert_eq!(mara.fill(&gym, at, &tick, &[]).await.status, 403);
    assert_eq!(mara.fill(&gym, at, &format!("{at}/notes"), &[("text", "no")]).await.status, 403);
    withdraw(&gym, &anna, 10).await;
    for path in [tick, format!("{at}/notes")] {
        let page = mara.fill(&gym, "/desk/lifters", &path, &[("text", "no")]).await;
        assert_eq!(page.status, 404, "{path}");
    }
    let all = notes(&gym, "anna").await;
    assert!(all.len() == 2 && all.iter().all(|n| n.read_at.is_none()), "{all:?}");
}
