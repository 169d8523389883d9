// Documents of a record as a lifter's device writes them. Everybody in them is invented.

const DAY_MS = 86_400_000;
const DEVICE = "00000000000000d5";
let drawn = 0;

const hex = (number, digits) => number.toString(16).padStart(digits, "0");

/** An instant in UTC, as a record writes it. */
export const at = (ms) => new Date(ms).toISOString().replace("Z", "+00:00");

/** The instant so many days before now, milliseconds. */
export const ago = (days) => Date.now() - days * DAY_MS;

/** An entry: its kind, its fields as plain values, and when it was written (milliseconds). */
export function entry(kind, fields, ms) {
  drawn += 1;
  const time = hex(ms, 12);
  const id = `${time.slice(0, 8)}-${time.slice(8)}-7000-8000-${hex(drawn, 12)}`;
  const values = Object.entries(fields).map(([name, value]) => [name, { value }]);
  return { id, kind, stamp: `${time}-${hex(drawn % 0x10000, 4)}-${DEVICE}`, fields: Object.fromEntries(values) };
}

/** An entry that is there with more of its fields written now. */
export function more(there, fields) {
  const now = entry(there.kind, fields, Date.now());
  return { ...now, id: there.id };
}

/** What `plinth record import` reads. */
export const document = (entries) => JSON.stringify({ form: "plinth.record/1", entries });

/** A grant to a coach, from now on. `may` holds words of docs/sync-protocol.md, such as log or discomfort. */
export const grant = (to, may) => entry("grant", { to, may, from: at(ago(1)) }, ago(1));

/**
 * Sessions of the last weeks, three days apart, the last one two days ago: squats and bench presses of three sets, which
 * grow by `gain_kg` a session.
 */
export function sessions(count, { first_kg = 80, gain_kg = 2.5, unit = "kg" } = {}) {
  const entries = [];
  for (let k = 0; k < count; k += 1) {
    const begun = ago(2 + 3 * (count - 1 - k)) - 3_600_000;
    const session = entry("session", {
      title: "invented session", begun_at: at(begun), ended_at: at(begun + 2_700_000), closed_by: "lifter",
      feeling: "usual",
    }, begun);
    entries.push(session);
    for (const [movement, share] of [["barbell_back_squat", 1], ["barbell_bench_press", 0.7]]) {
      const mass = Math.round((first_kg + gain_kg * k) * share * 2) / 2;
      for (let number = 1; number <= 3; number += 1) {
        const ended = begun + number * 240_000 + (share < 1 ? 900_000 : 0);
        entries.push(entry("set", {
          session: session.id, movement, purpose: "working", planned: true, outcome: "done", measure: "repetitions",
          amount: 5, low: 4, high: 6, number, load: { of: "bar", mass: `${mass} ${unit}` }, reserve: { reps: 2 },
          target_reserve: 2, ended_at: at(ended),
        }, ended));
      }
    }
  }
  return entries;
}

/** Events of a session on the floor, an hour ago, for `plinth floor --events`: what a screen does not offer is refused. */
export function session_events() {
  const began_ms = Date.now() - 3_600_000;
  const lines = [];
  let passed_ms = 0;
  const happens = (event, after_s) => {
    passed_ms += after_s * 1000;
    const moment = { wall_ms: began_ms + passed_ms, offset_min: 0, monotonic_ms: 1_000_000 + passed_ms, boot: "test" };
    lines.push(JSON.stringify({ at: moment, event }));
  };
  happens({ event: "open" }, 1);
  happens({ event: "choose_day", day: 0 }, 1);
  happens({ event: "company", company: "spotted" }, 1);
  happens({ event: "safeties", there: true }, 1);
  happens({ event: "feeling", feeling: "usual" }, 1);
  happens({ event: "begin" }, 1);
  for (let k = 0; k < 12; k += 1) {
    happens({ event: "warm_up_done" }, 60);
    happens({ event: "done_with", reserve: 2 }, 40);
    happens({ event: "ready" }, 150);
  }
  happens({ event: "close" }, 1);
  return lines.join("\n");
}
