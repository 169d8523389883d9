// Signing in by code, by keyboard alone, and the same walk without script.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { open_house } from "./house.mjs";
import { ago, entry, sessions } from "./record.mjs";

let house;
before(async () => {
  house = await open_house();
  await house.lifter("anna", { entries: [entry("lifter", { name: "Lifter A (invented)" }, ago(9)), ...sessions(6)] });
});
after(() => house?.end());

test("a wrong code is told where it was typed; the right one lets in, and its cookie is for no script", async () => {
  const { page, context, sound } = await house.desk({}, false);
  await page.goto(house.address);
  assert.match(page.url(), /\/desk\/sign-in$/, "nobody sees a lifter without signing in");
  await page.fill("#code", "0000000000");
  await page.click("button.act");
  assert.match(await page.locator("[role=alert]").innerText(), /code/);
  assert.equal(await page.locator("#code").getAttribute("aria-describedby"), "wrong");
  assert.deepEqual(await context.cookies(), []);

  await page.fill("#code", await house.code());
  await page.press("#code", "Enter");
  await page.waitForURL("**/desk/lifters");
  const cookies = await context.cookies(`${house.address}/desk/lifters`);
  assert.equal(cookies.length, 1);
  assert(cookies[0].httpOnly && cookies[0].sameSite === "Strict" && cookies[0].path === "/desk");
  assert(!(await page.evaluate(() => document.cookie)).includes(cookies[0].name));
  sound();
});

test("a code counts once", async () => {
  const code = await house.code();
  const first = await house.desk({}, false);
  const second = await house.desk({}, false);
  for (const { page } of [first, second]) {
    await page.goto(`${house.address}/desk/sign-in`);
    await page.fill("#code", code);
    await page.click("button.act");
  }
  assert.match(first.page.url(), /\/desk\/lifters$/);
  assert.equal(await second.page.locator("[role=alert]").count(), 1);
});

/** In, to a lifter, in German, to a part that is folded, and out. */
async function walk(page) {
  await page.goto(house.address);
  await page.fill("#code", await house.code());
  await page.click("button.act");
  await page.getByRole("link", { name: "Lifter A" }).click();
  assert.equal(await page.locator("h1").innerText(), "Lifter A (invented)");
  assert(await page.locator("figure svg").count() > 0, "a chart is there");
  await page.locator("summary").first().click();
  assert(await page.locator("details p").first().isVisible(), "what a finding rests on unfolds");
  await page.click("button[lang=de]");
  assert.equal(await page.locator("html").getAttribute("lang"), "de");
  await page.fill("#q", "nobody is called so");
  await page.press("#q", "Enter");
  assert.equal(await page.locator(".lifters li").count(), 0);
  await page.click("form[action='/desk/sign-out'] button >> nth=0");
  assert.match(page.url(), /\/desk\/sign-in$/);
  await page.goto(`${house.address}/desk/lifters`);
  assert.match(page.url(), /\/desk\/sign-in$/, "signed out is signed out");
}

for (const javaScriptEnabled of [true, false]) {
  test(`a coach walks through the desk ${javaScriptEnabled ? "with" : "without"} script`, async () => {
    const { page, sound } = await house.desk({ javaScriptEnabled }, false);
    await walk(page);
    sound();
  });
}

test("the keyboard reaches every control, the way past the frame first, and shows where it is", async () => {
  const { page, sound } = await house.desk();
  for (const place of ["/desk/lifters", "/desk/lifters/anna"]) {
    await page.goto(house.address + place);
    const wanted = await page.evaluate(() => {
      const all = [...document.querySelectorAll("a[href], button, input, summary, [tabindex='0']")];
      const can = all.filter((e) => !e.disabled && e.type !== "hidden");
      can.forEach((e, k) => { e.dataset.stop = k; });
      return can.length;
    });
    const reached = [];
    for (let k = 0; k < wanted; k += 1) {
      await page.keyboard.press("Tab");
      const stop = await page.evaluate(() => {
        const e = document.activeElement;
        const { outlineStyle, outlineWidth } = getComputedStyle(e);
        const { width, height, left } = e.getBoundingClientRect();
        return { e: e.dataset.stop, skip: e.className === "skip", seen: width > 0 && height > 0 && left >= 0,
          outline: outlineStyle === "solid" && parseFloat(outlineWidth) >= 2, told: e.outerHTML.slice(0, 120) };
      });
      assert(k > 0 || stop.skip, "the first stop leads past the frame");
      assert(stop.outline && stop.seen, `one sees that the focus is at ${stop.told}`);
      reached.push(stop.e);
    }
    assert.equal(new Set(reached).size, wanted, `${place}: every control has its stop: ${reached}`);
  }
  await page.goto(`${house.address}/desk/lifters`);
  await page.keyboard.press("Tab");
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => document.activeElement.id), "main");
  sound();
});
