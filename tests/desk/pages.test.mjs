// Every page in both languages, light and dark, at three widths: nothing grave by axe-core, no wider than its window, no
// shift while it loads, light on the wire, and whole on paper. Pictures go to tests/.cache/desk/.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdir, writeFile } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import { accessible, no_wider, open_house, PICTURES } from "./house.mjs";
import { ago, at, entry, sessions } from "./record.mjs";

/** The pages: a name and a path. Add a page here, and it is held to all of this. */
const PAGES = [
  ["lifters", "/desk/lifters"],
  ["lifter", "/desk/lifters/anna"],
  ["nobody", "/desk/lifters/nobody-here"],
  ["drafting", "/desk/drafting"],
  ["published", "/desk/published"],
  ["groups", "/desk/groups"],
  ["house", "/desk/house"],
];
/** What a first page may weigh on the wire with all that it asks for. */
const MOST_BYTES = 100_000;

let house;
before(async () => {
  house = await open_house();
  await mkdir(PICTURES, { recursive: true });
  const named = (name) => entry("lifter", { name }, ago(30));
  await house.lifter("anna", {
    entries: [
      named("Lifter A (invented)"), ...sessions(14),
      entry("discomfort", { region: "knee", severity: "moderate", nature: "new_or_worse", since: at(ago(2)) }, ago(2)),
      entry("note", { text: "The last squat felt slow.", by: "lifter", written_at: at(ago(2)) }, ago(2)),
    ],
  });
  await house.lifter("berta", { entries: [named("Lifter B (invented)"), ...sessions(9, { unit: "lb", first_kg: 185, gain_kg: 0 })] });
  await house.lifter("carl", { may: ["findings"], entries: [named("Lifter C (invented)")], began_days: null, floor: false });
  await published();
});
after(() => house?.end());

/** Begins a draft and publishes it, and adds its pages to those that are held to all of this. */
async function published() {
  const { page, context } = await house.desk();
  await page.goto(`${house.address}/desk/drafting`);
  await page.click("form button.act");
  PAGES.push(["draft", new URL(page.url()).pathname]);
  await page.click("a.act-link");
  await page.fill("#title", "Evenings (invented)");
  await page.click("form button.act");
  const publication = new URL(page.url()).pathname;
  PAGES.push(["publication", publication], ["sheet", `${publication}/sheet`]);
  await context.close();
}

for (const locale of ["en-GB", "de-DE"]) {
  for (const colorScheme of ["light", "dark"]) {
    test(`pages in ${locale}, ${colorScheme}, are for everybody and fit their window`, async () => {
      const { page, sound } = await house.desk({ locale, colorScheme });
      for (const [name, where] of [...PAGES, ["sign-in", "/desk/sign-in"]]) {
        for (const width of [320, 768, 1440]) {
          await page.setViewportSize({ width, height: 900 });
          await page.goto(house.address + where);
          const what = `${name}, ${width} px`;
          await no_wider(page, what);
          assert((await page.evaluate(() => window.__shift)) < 0.01, `${what}: nothing moves while it loads`);
          if (width !== 768) await accessible(page, what);
          if (locale === "en-GB") {
            await page.screenshot({ path: path.join(PICTURES, `${name}-${width}-${colorScheme}.png`), fullPage: true });
          }
        }
        // 400 % of a window of 1280 by 1024.
        await page.setViewportSize({ width: 320, height: 256 });
        await no_wider(page, `${name} at 400 %`);
      }
      sound();
    });
  }
}

test("a first page is light on the wire", async () => {
  const { page, context } = await house.desk();
  const session = await context.newCDPSession(page);
  await session.send("Network.enable");
  await session.send("Network.setCacheDisabled", { cacheDisabled: true });
  for (const [name, where] of PAGES) {
    let bytes = 0;
    const count = ({ encodedDataLength }) => { bytes += encodedDataLength; };
    session.on("Network.loadingFinished", count);
    await page.goto(house.address + where, { waitUntil: "networkidle" });
    session.off("Network.loadingFinished", count);
    assert(bytes > 500 && bytes <= MOST_BYTES, `${name}: ${bytes} bytes`);
  }
});

test("a lifter's page is whole on paper, without what can only be pressed", async () => {
  const { page, sound } = await house.desk({ colorScheme: "dark" });
  await page.goto(`${house.address}/desk/lifters/anna`);
  const paper = path.join(PICTURES, "lifter.pdf");
  await writeFile(paper, await page.pdf({ format: "A4" }));
  const text = execFileSync("pdftotext", ["-layout", paper, "-"], { encoding: "utf8" });
  for (const part of ["Lifter A (invented)", "Findings", "Barbell back squat", "Log", "The last squat felt slow.", "medical"]) {
    assert(text.includes(part), `${part} is on paper`);
  }
  assert(!text.includes("Sign out"));
  await page.emulateMedia({ media: "print" });
  assert.equal(await page.locator("header nav").isVisible(), false);
  sound();
});
