//! A draft answers while it is edited: `cargo bench -p plinth-bench-host --bench drafting`.
//!
//! A coach's browser sends changed briefs of the example's gym one after the other, as the desk's script does, and waits
//! for the answered part. Beside it, in the same run, the same briefs are solved barely. What the answer costs over the
//! solving is the ratio.

use plinth::client::Way;
use plinth::host::account::Role;
use plinth_bench_host::{Device, Fault, House, percentile};
use plinth_core::catalogue::Catalogue;
use plinth_core::plan::brief::read_brief;
use plinth_core::plan::search::Effort;
use plinth_core::plan::{Planner, Weights};
use plinth_core::record::{DeviceId, EntryId};
use plinth_core::sync::unpack;
use plinth_tests::faults::Folder;
use serde_json::value::RawValue;
use serde_json::{Value, json};
use std::hint::black_box;
use std::time::Instant;

const EXAMPLE: &[u8] = include_bytes!("../../../server/data/example-brief.json");
const CHANGES: u32 = 120;
/// The longest page, bytes.
const LONGEST: u64 = 4 * 1024 * 1024;
/// The bars: an answer at the 95th percentile, and how many times the bare solve that may be.
const BAR_MS: f64 = 100.0;
const BAR_TIMES: f64 = 1.5;

fn main() -> Result<(), Fault> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(run())
}

/// The example with another number of minutes, or other weights of the goal: never one that was asked for before.
fn changed(k: u32) -> Result<Value, Fault> {
    let mut brief: Value = serde_json::from_slice(EXAMPLE)?;
    brief["minutes"] = json!(40 + k % 35);
    brief["goal"] = json!({"strength": 50 + k / 35, "size": 50});
    Ok(brief)
}

fn escaped(text: &str) -> String {
    text.bytes().map(|b| format!("%{b:02X}")).collect()
}

async fn run() -> Result<(), Fault> {
    let (folder, binary) = (Folder::new(), House::build()?);
    let store = folder.file("desk");
    let id = DeviceId::new(90_001);
    let token = House::furnish_as(&store, Role::Coach, &[("mara".into(), id)]).await?.concat();
    let house = House::serve(&binary, &store)?;
    let mut way = Way::to(&house.address, None)?;
    let draft = EntryId::new(1_777_700_000_000, [7; 10]);
    let entry = json!({
        "id": draft, "kind": "draft", "stamp": "019ddc11c005-0000-0000000000000001",
        "fields": {"title": {"value": "invented"}, "brief": {"value": changed(0)?}},
    });
    let mut device = Device::new(id, token.clone());
    let ready = device.ready(&[RawValue::from_string(entry.to_string())?], 0, false)?;
    device.send(&mut way, ready).await?;

    let mut headers = vec![("Cookie".to_owned(), format!("plinth_token={token}"))];
    let path = format!("/desk/drafting/{draft}");
    let page = way.send("GET".parse()?, &path, &headers, Vec::new()).await?;
    let page = String::from_utf8(unpack(&page.body, LONGEST).ok_or("the page does not unpack")?)?;
    let proof = page.split_once("name=\"proof\" value=\"").and_then(|(_, rest)| rest.split('"').next());
    let proof = proof.ok_or("the page has no form")?.to_owned();
    headers.push(("Content-Type".into(), "application/x-www-form-urlencoded".into()));
    headers.push(("X-Part".into(), "answer".into()));

    let (catalogue, weights) = (
        Catalogue::builtin().map_err(|e| format!("{e:?}"))?,
        Weights::builtin().map_err(|e| format!("{e:?}"))?,
    );
    let planner = Planner::new(&catalogue, &weights);
    let (mut answers, mut bare) = (Vec::new(), Vec::new());
    for k in 1..=CHANGES {
        let brief = changed(k)?;
        let form = format!("proof={proof}&document={}", escaped(&brief.to_string()));
        let at = Instant::now();
        let reply =
            way.send("POST".parse()?, &format!("{path}/document"), &headers, form.into_bytes()).await?;
        answers.push(at.elapsed().as_secs_f64() * 1_000.0);
        let part = unpack(&reply.body, LONGEST).ok_or("the part does not unpack")?;
        let wanted = format!("of {} minutes", brief["minutes"]);
        if reply.status != 200 || !String::from_utf8(part)?.contains(&wanted) {
            return Err(format!("the draft answers {}, or another brief", reply.status).into());
        }
        let (read, _) = read_brief(brief.to_string().as_bytes(), &catalogue).map_err(|f| f[0].to_string())?;
        let at = Instant::now();
        black_box(planner.solve(&read, Effort::QUICK, &mut |_| true));
        bare.push(at.elapsed().as_secs_f64() * 1_000.0);
    }
    let (of, beside) =
        ([50, 95].map(|p| percentile(&mut answers, p)), [50, 95].map(|p| percentile(&mut bare, p)));
    println!("{CHANGES} changes of a draft: p50 {:.1} ms, p95 {:.1} ms", of[0], of[1]);
    println!("the same solved barely: p50 {:.1} ms, p95 {:.1} ms", beside[0], beside[1]);
    let times = of[1] / beside[1];
    println!("{times:.2} times at p95, of {BAR_TIMES} that it may; {:.1} ms, of {BAR_MS}", of[1]);
    if times > BAR_TIMES || of[1] > BAR_MS { Err("a draft answers too late".into()) } else { Ok(()) }
}
