// Draws the pictures of the README from the demo house: run `plinth` in a terminal, and hand in the address that signs in:
//
//   node pictures.mjs 'http://127.0.0.1:40000/desk/sign-in?code=ABCDE-FGHIJ' FOLDER

import { existsSync } from "node:fs";
import path from "node:path";
import { chromium } from "playwright-core";

const [address, folder] = process.argv.slice(2);
const executablePath = [process.env.PLINTH_CHROMIUM, "/usr/bin/chromium"].find((p) => p && existsSync(p));
const browser = await chromium.launch({ executablePath, args: process.getuid?.() === 0 ? ["--no-sandbox"] : [] });
const page = await browser.newPage({ viewport: { width: 1440, height: 900 }, colorScheme: "light", locale: "en-GB" });
await page.goto(address);
await page.click("button.act");
await page.waitForURL("**/desk/lifters");
await page.screenshot({ path: path.join(folder, "desk-lifters.png") });
await page.getByRole("link", { name: "Lifter 1" }).click();
await page.setViewportSize({ width: 1440, height: 1600 });
await page.screenshot({ path: path.join(folder, "desk-lifter.png") });
await browser.close();
