// A coach's whole week, by keyboard alone: sign in, draft, price, publish to a group; a real device takes it over the sync,
// logs new pain; the coach sees it, answers, and the lifter reads.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import { accessible, no_wider, open_house, PICTURES, tab_to } from "./house.mjs";
import { ago, at, entry, more } from "./record.mjs";

const ALL = ["log", "findings", "discomfort", "programmes", "notes"];
let house;
before(async () => {
  house = await open_house();
  await mkdir(PICTURES, { recursive: true });
  const named = (name) => entry("lifter", { name }, ago(30));
  await house.lifter("anna", { may: ALL, entries: [named("Lifter A (invented)")] });
  await house.lifter("berta", { may: ALL, entries: [named("Lifter B (invented)")], floor: false });
});
after(() => house?.end());

/** Presses a key on what a selector names, reached by the Tab key, and waits for the page that follows. */
async function go(page, selector, key = "Enter") {
  await tab_to(page, selector);
  await Promise.all([page.waitForNavigation(), page.keyboard.press(key)]);
}

/** Types into a field that is reached by the Tab key, in place of what stands there. */
async function type(page, selector, text) {
  await tab_to(page, selector);
  await page.keyboard.press("Control+A");
  await page.keyboard.type(text);
}

test("a coach's week, by keyboard", async () => {
  const { page, sound } = await house.desk({}, false);
  await page.goto(house.address);
  await type(page, "#code", await house.code());
  await page.keyboard.press("Enter");
  await page.waitForURL("**/desk/lifters");

  // A draft, from a lifter's brief with the bests of the log.
  await go(page, "nav a[href='/desk/drafting']");
  await tab_to(page, "#from");
  await page.keyboard.type("the brief of anna");
  await go(page, "form button.act");
  assert.match(page.url(), /\/desk\/drafting\/[0-9a-f-]{36}$/);
  const draft = page.url();
  const claim = () => page.textContent("#answer");

  // Solved while it is edited; what cannot be read is said by its field, and the last good answer stays.
  await type(page, "#minutes", "50");
  await page.waitForFunction(() => document.querySelector("#working").textContent === "Solved.");
  assert.match(await claim(), /of 50 minutes/);
  await type(page, "#minutes", "many");
  await page.waitForSelector("#answer [role=alert]");
  assert.match(await claim(), /minutes/);
  assert.match(await claim(), /of 50 minutes/, "the last good answer stays");
  await type(page, "#minutes", "55");
  await page.waitForFunction(() => /of 55 minutes/.test(document.querySelector("#answer").textContent));
  await page.reload();
  assert.equal(await page.inputValue("#minutes"), "55", "what was solved was kept");
  await accessible(page, "a draft");
  for (const width of [320, 768, 1440]) {
    await page.setViewportSize({ width, height: 900 });
    await no_wider(page, `a draft, ${width} px`);
  }

  // The price of one more set of the first line, before anything changes; then it is done, and let go again.
  await tab_to(page, ".lines details summary");
  await page.keyboard.press("Enter");
  const before = await page.textContent(".lines li:first-child strong");
  await go(page, ".lines details[open] .ways a");
  assert.match(await page.textContent("main"), /points|no difference|sets/);
  await accessible(page, "a price");
  await go(page, "form button.act");
  assert.match(await claim(), /What you decided/);
  assert.match(await claim(), new RegExp(`${before.slice(0, 6)}.*`));
  await go(page, ".drafts button");
  assert.doesNotMatch(await claim(), /What you decided/);

  // A cue of the coach's own, and a mark.
  await tab_to(page, ".lines details summary");
  await page.keyboard.press("Enter");
  await type(page, ".lines details[open] input[name=cue]", "Slow on the way down");
  await go(page, ".lines details[open] form button");
  assert.match(await claim(), /Your cue: Slow on the way down/);

  // Published, and sent to a group.
  await go(page, "a.act-link");
  await type(page, "#title", "Autumn block (invented)");
  await go(page, "form button.act");
  const publication = page.url();
  assert.match(publication, /\/desk\/published\/[0-9a-f-]{36}$/);
  await go(page, "nav a[href='/desk/lifters']");
  await go(page, "main a[href='/desk/groups']");
  await type(page, "#name-new", "Evening group");
  for (const account of ["anna", "berta"]) {
    await tab_to(page, `#new-${account}`);
    await page.keyboard.press("Space");
  }
  await go(page, "form[action='/desk/groups/new'] button");
  await page.goto(publication);
  await tab_to(page, "#group");
  await page.keyboard.type("Evening");
  await go(page, "form.search button");
  await page.goto(`${publication}/for/anna`);
  await accessible(page, "what changes for a lifter");
  await page.goBack();
  await go(page, "form[action$='/send'] button.act");
  assert.equal(await page.getByText("version 1 waits at theirs").count(), 2);
  await accessible(page, "a publication");

  // The device gets it, takes it on as a phone does, and logs a discomfort that is new.
  const anna = house.device("anna");
  await anna.sync();
  const sent = (await anna.entries("programme")).find((e) => e.fields.from?.value === "mara");
  assert.equal(sent.fields.title.value, "Autumn block (invented)");
  assert.equal(sent.fields.version.value, 1);
  const cues = sent.fields.document.value.days.flatMap((d) => d.lines).map((l) => l.cue);
  assert(cues.includes("Slow on the way down"));
  const today = new Date().toISOString().slice(0, 10);
  await anna.write([
    more(sent, { accepted_at: at(Date.now()), starts_on: today }),
    entry("discomfort", { region: "knee", severity: "moderate", nature: "new_or_worse", since: at(Date.now()) }, Date.now()),
    entry("note", { text: "The knee hurt in the last set.", by: "lifter", written_at: at(Date.now()) }, Date.now()),
  ]);
  await anna.sync();

  // The coach sees it first of all, answers, and marks the note as read.
  await go(page, "nav a[href='/desk/lifters']");
  const first = await page.textContent("ol.lifters li:first-child");
  assert.match(first, /Lifter A \(invented\)/);
  assert.match(first, /New or worse discomfort: knee/);
  await page.goto(publication);
  assert.match(await page.textContent("main"), /trains by version 1/);
  await page.goto(`${house.address}/desk/lifters/anna`);
  await go(page, "form[action$='/read'] button");
  assert.match(await page.textContent("#notes ~ *, section:last-of-type"), /: read/);
  await type(page, "#text", "Leave the squats out until somebody has looked at it.");
  await go(page, "form[action$='/notes'] button");
  await anna.sync();
  const notes = await anna.entries("note");
  assert(notes.find((n) => n.fields.by.value === "lifter").fields.read_at, "the lifter sees that it was read");
  const answer = notes.find((n) => n.fields.by.value === "coach");
  assert.equal(answer.fields.text.value, "Leave the squats out until somebody has looked at it.");

  // The lifter reads, and the coach sees that.
  await anna.write([more(answer, { read_at: at(Date.now()) })]);
  await anna.sync();
  await page.reload();
  assert.doesNotMatch(await page.textContent("section:has(> #notes)"), /not yet read/);

  // The draft goes on from where it was, and becomes a second version; the first stays as it is.
  await page.goto(draft);
  await go(page, "a.act-link");
  await go(page, "form button.act");
  assert.match(await page.textContent("h1"), /version 2/);
  assert.match(await page.textContent("main"), /trains by version 1/);
  sound();
});

test("what is published goes without this host too: a signed file, pictures, a sheet", async () => {
  const { page, sound } = await house.desk();
  await page.goto(`${house.address}/desk/published`);
  await page.click("ol.lifters h2 a >> nth=-1");
  const publication = page.url();

  const [download] = await Promise.all([page.waitForEvent("download"), page.click("a[href$='/file']")]);
  const text = await readFile(await download.path(), "utf8");
  const taken = await house.adapt(text);
  assert.equal(taken.code, 0, taken.told);
  const changed = await house.adapt(text.replace("Autumn block", "Winter block"));
  assert.equal(changed.code, 2);
  assert.match(changed.told, /signature/);

  await page.goto(`${publication}/pictures`);
  await accessible(page, "pictures");
  assert((await page.locator(".pictures svg").count()) >= 2);

  await page.goto(`${publication}/sheet`);
  await accessible(page, "the sheet");
  const paper = path.join(PICTURES, "sheet.pdf");
  await writeFile(paper, await page.pdf({ preferCSSPageSize: true }));
  const leaves = execFileSync("pdftotext", ["-layout", paper, "-"], { encoding: "utf8" }).split("\f").filter((t) => t.trim());
  const days = await page.locator(".leaf").count();
  assert.equal(leaves.length, days, "a leaf for each day, and none besides");
  for (const leaf of leaves) {
    assert.match(leaf, /Autumn block \(invented\), version 1/);
    assert.match(leaf, /Rest \d:\d\d/);
    assert.match(leaf, /Not\s+medical advice/);
  }
  assert(leaves.some((leaf) => /Where the place is taken/.test(leaf)), "stand-ins are named");
  // Read at two metres: the capitals of a line are at least 2.9 mm, five minutes of arc (ISO 8596; from memory), and more
  // than twice that.
  await page.emulateMedia({ media: "print" });
  const px = await page.evaluate(() => parseFloat(getComputedStyle(document.querySelector(".leaf .line")).fontSize));
  assert(px * 0.7 * (25.4 / 96) > 2 * 2.9, `${px} px`);
  sound();
});

test("without script a draft is solved by its button", async () => {
  const { page, sound } = await house.desk({ javaScriptEnabled: false });
  await page.goto(`${house.address}/desk/drafting`);
  await page.click("form button.act");
  await page.fill("#minutes", "35");
  await page.click("#brief-form button.act");
  assert.match(await page.textContent("#answer"), /of 35 minutes/);
  await page.fill("#minutes", "none");
  await page.click("#brief-form button.act");
  assert.match(await page.textContent("#answer [role=alert]"), /minutes/);
  assert.equal(await page.inputValue("#minutes"), "none", "what was typed stands there");
  assert.match(await page.textContent("#answer"), /of 35 minutes/);
  sound();
});

test("the keeper's house: an invitation, a device revoked, an account erased", async () => {
  const { page, sound } = await house.desk({}, false);
  await page.goto(house.address);
  await page.fill("#code", await house.code("keeper", "host"));
  await page.click("button.act");
  await page.waitForURL("**/desk/house");
  await accessible(page, "the keeper's house");
  await no_wider(page, "the keeper's house");
  await page.goto(`${house.address}/desk/lifters/anna`);
  assert.match(page.url(), /\/desk\/house$/, "the keeper sees nobody's record");
  await page.fill("#account", "carla");
  await page.click("form[action='/desk/house/accounts'] button");
  assert.match(await page.textContent("main"), /plinth:pair/);
  assert.equal(await page.locator(".pictures svg").count(), 1);
  await accessible(page, "an invitation");
  await page.goto(`${house.address}/desk/house/accounts/carla`);
  await page.fill("#again", "someone else");
  await page.click("section:has(> #erase) button");
  assert.match(await page.textContent("main"), /nothing was erased/);
  await page.goto(`${house.address}/desk/house/accounts/carla`);
  await page.fill("#again", "carla");
  await page.click("section:has(> #erase) button");
  assert.match(page.url(), /\/desk\/house$/);
  assert.equal(await page.getByRole("link", { name: "carla" }).count(), 0);
  sound();
});
