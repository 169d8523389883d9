// A house for a test: the real host with a store of its own, lifters whose devices sync with it, and a coach's browser.
//
//   const house = await open_house();                          // plinth serve, on a free port of this machine
//   await house.lifter("anna", { may: ["log"], entries: sessions(8) });
//   const desk = await house.desk();                           // a browser in which the coach has signed in
//   await desk.page.goto(house.address + "/desk/lifters/anna");
//   desk.sound();                                              // throws on what no page may do
//   await house.end();                                         // the host, the browser, the folder

import assert from "node:assert/strict";
import { execFile, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync } from "node:fs";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import axe from "axe-core";
import { chromium } from "playwright-core";
import { document, grant, session_events } from "./record.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
const root = path.resolve(here, "../..");
const program = process.env.PLINTH_PROGRAM ?? path.join(root, "target/debug/plinth");
const brief = path.join(root, "server/data/example-brief.json");

/** Where pictures of the pages go, for whoever wants to look. */
export const PICTURES = path.join(root, "tests/.cache/desk");

/** The coach's account. */
export const COACH = "mara";

async function plinth(...args) {
  const { stdout } = await promisify(execFile)(program, args, { env: { ...process.env, LANG: "en" }, maxBuffer: 1 << 26 });
  return stdout;
}

function browser_path() {
  const found = [process.env.PLINTH_CHROMIUM, "/usr/bin/chromium"].find((p) => p && existsSync(p));
  assert(found, "there is no Chromium; install Debian's package chromium, or name one in PLINTH_CHROMIUM");
  return found;
}

/** Opens a house. The test ends it. */
export async function open_house() {
  const folder = await mkdtemp(path.join(tmpdir(), "plinth-desk-"));
  const store = path.join(folder, "house.plinth");
  const host = spawn(program, ["serve", store, "--plain", "--listen", "127.0.0.1:0"], {
    env: { ...process.env, LANG: "en" }, stdio: ["ignore", "pipe", "ignore"],
  });
  const ended = once(host, "exit");
  const address = await new Promise((found, failed) => {
    createInterface({ input: host.stdout }).on("line", (line) => {
      const told = /http:\/\/127\.0\.0\.1:\d+/.exec(line);
      if (told) found(told[0]);
    });
    host.once("exit", (code) => failed(new Error(`plinth serve ended with ${code}`)));
  });
  const programme = path.join(folder, "programme.json");
  await writeFile(programme, await plinth("plan", brief, "--json"));
  const browser = await chromium.launch({
    executablePath: browser_path(), args: process.getuid?.() === 0 ? ["--no-sandbox"] : [],
  });

  const pair = async (account, role) =>
    JSON.parse(await plinth("host", "pair", store, account, "--role", role, "--json"));

  return {
    /** The host's address, without a path. */
    address,

    /** A one-time code of an account. */
    code: async (account = COACH, role = "coach") => (await pair(account, role)).code,

    /**
     * A lifter whose device has synced: a programme that began `began_days` ago, where it is not null; one session on the
     * floor by the program itself, unless `floor` is false; `entries` of record.mjs; and a grant to the coach.
     */
    async lifter(account, { may = ["log", "discomfort"], entries = [], began_days = 14, floor = true } = {}) {
      const record = path.join(folder, `${account}.plinth`);
      const starts = new Date(Date.now() - (began_days ?? 0) * 86_400_000).toISOString().slice(0, 10);
      const begin = began_days === null ? [] : ["--programme", programme, "--starts-on", starts];
      await plinth("record", "begin", record, "--brief", brief, ...begin);
      const written = path.join(folder, `${account}.json`);
      await writeFile(written, document([...entries, grant(COACH, may)]));
      await plinth("record", "import", record, written);
      if (floor) {
        const events = path.join(folder, `${account}.jsonl`);
        await writeFile(events, session_events());
        await plinth("floor", programme, record, "--events", events);
      }
      await plinth("sync", record, "--pair", (await pair(account, "lifter")).invitation);
    },

    /** The device of a lifter who is there: what it does by the real program. */
    device(account) {
      const record = path.join(folder, `${account}.plinth`);
      return {
        /** Brings record and host together. */
        sync: () => plinth("sync", record),
        /** Writes entries of record.mjs into the record, as the phone does. */
        async write(entries) {
          const written = path.join(folder, `${account}-more.json`);
          await writeFile(written, document(entries));
          await plinth("record", "import", record, written);
        },
        /** The entries of a kind that the record holds. */
        async entries(kind) {
          return JSON.parse(await plinth("record", "export", record)).entries.filter((e) => e.kind === kind);
        },
      };
    },

    /** What the real program says, and its exit code, for a file of some text and the example's brief: `plinth adapt`. */
    async adapt(text) {
      const file = path.join(folder, "came-in");
      await writeFile(file, text);
      try {
        return { code: 0, told: await plinth("adapt", file, brief) };
      } catch (failed) {
        return { code: failed.code, told: failed.stderr };
      }
    },

    /**
     * A browser of its own, signed in unless `signed` is false. `options` are those of a browser context, such as
     * { colorScheme: "dark", locale: "de-DE", viewport: { width: 320, height: 640 }, javaScriptEnabled: false }.
     */
    async desk(options = {}, signed = true) {
      const context = await browser.newContext({ locale: "en-GB", viewport: { width: 1440, height: 900 }, ...options });
      // Before the page's own: its policy lets no script of a test in later.
      if (options.javaScriptEnabled !== false) await context.addInitScript({ content: `${axe.source};${shifts}` });
      const page = await context.newPage();
      const problems = [];
      page.on("console", (told) => {
        // That a page refuses something is told as an error too.
        if (told.type() === "error" && !/the server responded with a status of 4(0[034]|22)/.test(told.text())) {
          problems.push(`console: ${told.text()}`);
        }
      });
      page.on("pageerror", (error) => problems.push(`error of the page: ${error.message}`));
      page.on("request", (request) => {
        const url = new URL(request.url());
        if (url.origin !== address && url.protocol !== "data:") problems.push(`a request went to ${url}`);
      });
      if (signed) {
        await page.goto(`${address}/desk/sign-in`);
        await page.fill("#code", await this.code());
        await page.click("button.act");
        await page.waitForURL("**/desk/lifters");
      }
      return {
        page,
        context,
        /** Throws where a page complained, broke its policy, or asked another origin for something. */
        sound: () => assert.deepEqual(problems, []),
      };
    },

    /** Ends the host and the browser and takes the folder away. */
    async end() {
      await browser.close();
      host.kill("SIGTERM");
      await ended;
      await rm(folder, { recursive: true });
    },
  };
}

const shifts = `
  window.__shift = 0;
  new PerformanceObserver((list) => { for (const e of list.getEntries()) window.__shift += e.value; })
    .observe({ type: "layout-shift", buffered: true });
`;

/** Throws on what axe-core finds serious or critical in a page. */
export async function accessible(page, what) {
  const { violations } = await page.evaluate(() => window.axe.run());
  const grave = violations.filter((v) => v.impact === "serious" || v.impact === "critical");
  const told = grave.map((v) => `${v.id}: ${v.help}: ${v.nodes.map((n) => n.html).slice(0, 3).join(" | ")}`);
  assert.deepEqual(told, [], what);
}

/** Throws where a page is wider than its window. */
export async function no_wider(page, what) {
  const [needs, has] = await page.evaluate(() => {
    const page = document.scrollingElement;
    return [page.scrollWidth, page.clientWidth];
  });
  assert(needs <= has, `${what}: ${needs} px wide in ${has}`);
}

/** Moves the focus with the Tab key until it is on what a selector names, and throws where it never is. */
export async function tab_to(page, selector) {
  for (let k = 0; k < 400; k += 1) {
    if (await page.evaluate((s) => document.activeElement?.matches(s), selector)) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`the Tab key does not reach ${selector}`);
}
