//! The coach's desk: pages that the host serves, made here and whole without script.
//!
//! `visit` says who sits there, `reading` holds what a lifter's grants show in memory, `glance`
//! keeps what the list says of each, `own` what the coach keeps here, `shelf` has what the build carries, `order` says who most repays five
//! minutes, and a page has a file of its own. Everything that a page asks for comes from this host.

mod drafting;
mod glance;
mod groups;
mod house;
mod lifter;
mod lifters;
mod look;
mod notes;
mod order;
mod own;
mod published;
mod reading;
mod shelf;
mod signing;
mod visit;
mod week;

pub use house::Keeping;

use crate::host::Host;
use crate::host::store::Store;
use crate::moment;
use axum::Router;
use axum::middleware::from_fn_with_state;
use axum::response::Redirect;
use axum::routing::{get, post};
use plinth_core::moment::Moment;
use plinth_core::published::signed::Key;
use reading::Readings;
use std::sync::Arc;

/// Where the desk lies on the host.
pub const ROOT: &str = "/desk";

/// A host's desk.
pub struct Desk<S> {
    host: Arc<Host<S>>,
    /// Whether browsers reach it by TLS alone, so that a cookie may say that it travels by nothing else.
    secure: bool,
    readings: Readings,
    glances: Arc<glance::Glances>,
    own: own::Own,
    key: Key,
    keeping: Keeping,
    drafts: drafting::Solving,
}

impl<S> std::fmt::Debug for Desk<S> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Desk").field("secure", &self.secure).finish_non_exhaustive()
    }
}

impl<S: Store> Desk<S> {
    /// Now, by the host's clock.
    fn moment(&self) -> Moment {
        Moment { wall_ms: self.host.now_ms(), ..moment::now() }
    }
}

/// The pages of a host's desk, to be joined with its other paths. `key` signs what is published;
/// `keeping` says where the house's files lie.
pub fn pages<S: Store>(host: &Arc<Host<S>>, secure: bool, key: Key, keeping: Keeping) -> Router {
    let desk = Arc::new(Desk {
        host: Arc::clone(host),
        secure,
        readings: Readings::default(),
        glances: Arc::default(),
        own: own::Own::default(),
        key,
        keeping,
        drafts: drafting::Solving::default(),
    });
    let signed = Router::new()
        .route("/desk/lifters", get(lifters::page::<S>))
        .route("/desk/lifters/{account}", get(lifter::page::<S>))
        .route("/desk/lifters/{account}/notes", post(notes::write::<S>))
        .route("/desk/lifters/{account}/notes/{id}/read", post(notes::mark_read::<S>))
        .route("/desk/groups", get(groups::page::<S>))
        .route("/desk/groups/{id}", post(groups::keep::<S>))
        .merge(published::routes::<S>())
        .merge(drafting::routes::<S>())
        .merge(house::routes::<S>())
        .route("/desk/sign-out", post(signing::sign_out::<S>))
        .layer(from_fn_with_state(Arc::clone(&desk), visit::signed_in::<S>));
    Router::new()
        .route("/", get(async || Redirect::to("/desk/lifters")))
        .route(ROOT, get(async || Redirect::to("/desk/lifters")))
        .route("/desk/sign-in", get(signing::page::<S>).post(signing::sign_in::<S>))
        .route("/desk/language", post(signing::choose_language::<S>))
        .route("/desk/assets/{name}", get(look::asset))
        .merge(signed)
        .with_state(desk)
}
