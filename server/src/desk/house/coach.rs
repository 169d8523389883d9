//! The house as a coach has it: own devices, what lifters have granted, what was done with the own account.

use super::super::look::proof;
use super::super::visit::Visit;
use super::super::{Desk, lifter, lifters};
use super::{devices, newest, trail};
use crate::host::fault::Fault;
use crate::host::store::Store;
use maud::{Markup, html};

pub(super) async fn main<S: Store>(desk: &Desk<S>, visit: &Visit) -> Result<Markup, Fault> {
    let (s, id) = (&*visit.speech, &visit.caller.account.id);
    let store = &desk.host.store;
    let mut grants = Vec::new();
    for (account, may) in lifters::granting(desk, id).await? {
        grants.push((account, lifter::what_is_granted(s, &may)));
    }
    let (own, lines) = (store.devices(id).await?, newest(desk, id).await?);
    Ok(html! {
        section aria-labelledby="devices" {
            h2 #devices { (s.say("desk-devices-yours", &[])) }
            (devices(s, visit, id, own))
            form method="post" action="/desk/house/pair" {
                (proof(visit))
                button { (s.say("desk-pair-own", &[])) }
            }
        }
        section aria-labelledby="grants" {
            h2 #grants { (s.say("desk-grants", &[])) }
            p { (s.say("desk-grants-about", &[])) }
            @if grants.is_empty() { p { (s.say("desk-nobody", &[])) } }
            dl {
                @for (account, what) in &grants {
                    dt { a href={ "/desk/lifters/" (account) } { (account) } }
                    dd { (what) }
                }
            }
        }
        section aria-labelledby="trail" {
            h2 #trail { (s.say("desk-trail-head", &[])) }
            (trail(s, lines))
        }
        p.soft { (s.say("desk-house-keeper", &[])) }
    })
}
