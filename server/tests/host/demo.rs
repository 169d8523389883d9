//! The demo house: who is there, and what a coach sees of them.

use crate::common::{Folder, Running, now};
use crate::desk::Browser;
use plinth::demo::{COACH, furnish, lifters};
use plinth::host::serve::{Listening, Serving};
use plinth::host::signature;
use plinth_core::words::{Language, Speech};
use std::sync::Arc;
use tokio::net::TcpListener;

#[tokio::test]
async fn five_invented_lifters_are_on_the_desk_each_with_something_else_to_see() {
    let folder = Folder::new();
    let all = lifters(&Speech::new(Language::English), &now()).unwrap();
    let furnished = furnish(&folder.file("."), &all).await.unwrap();
    let host = Arc::new(furnished.host);
    let keeping = plinth::desk::Keeping { store: furnished.store.clone(), backups: None, invented: true };
    let pages = plinth::desk::pages(&host, false, signature::key(&furnished.store).unwrap(), keeping);
    let listening = Listening { tls: None, behind_proxy: false, metrics: None, pages };
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let serving = Serving::begin(Arc::clone(&host), listener, listening).await.unwrap();
    let address = format!("http://{}", serving.address);
    let gym = Running { host, serving, address, certificate: None, found: None };
    let mut browser = Browser::default();

    let page = browser.look(&gym, &format!("/desk/sign-in?code={}", furnished.code)).await;
    assert!(page.text.contains(&format!("value=\"{}\"", furnished.code)), "{}", page.text);
    assert!(page.text.contains("everybody here is invented"));
    let page = browser.send(&gym, "/desk/sign-in", &format!("code={}&name=Desk", furnished.code)).await;
    assert_eq!(page.header("location"), Some("/desk/lifters"), "{}", page.text);

    let list = browser.look(&gym, "/desk/lifters").await;
    assert!(list.text.contains("everybody here is invented"));
    println!("{}", list.text);
    let of = |n: u32| {
        let (_, rest) = list.text.split_once(&format!(">Lifter {n}</a>")).expect("on the list");
        rest.split("</li>").next().unwrap().to_owned()
    };
    let _ = (COACH, of(5));
}
