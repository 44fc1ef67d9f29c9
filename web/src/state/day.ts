// The day of the setup that is looked at: the same setup planned every ten
// minutes from sunrise to sunset, under field lights into the night, in the second engine, so that it never holds
// up a hand that drags.

import { effect, signal } from "@preact/signals";
import type { DayAnswer, PlanAnswer, Session } from "../engine/types";
import type { Moment } from "../draw/day";
import { chosen, session, slow } from "./store";
import { minutesOf, wallClock } from "./words";

export const moments = signal<Moment[]>([]);

const each = 10; // minutes
const [lampsFrom, lampsTo] = [8 * 60, 23 * 60]; // hours field lights are on, where no sun rises; own choice

async function look(s: Session, which: number) {
  const su = s.setups[which];
  if (!su) return;
  const at = su.at ?? s.start;
  const day = await slow.ask<DayAnswer>("day", { session: { ...s, start: at, slots: [] }, every_s: 43200 });
  const lamps = s.place.field_light_lx !== undefined || (s.place.solids ?? []).some((o) => o.lit);
  const sun = day.sunrise_at && day.sunset_at ? [minutesOf(day.sunrise_at), minutesOf(day.sunset_at)] : null;
  if (!sun && !lamps) return [];
  const [from, to] = [sun?.[0] ?? lampsFrom, Math.max(sun?.[1] ?? 0, lamps ? lampsTo : 0)] as [number, number];
  const times: number[] = [];
  for (let m = Math.ceil((from + 6) / each) * each; m < to - 4; m += each) times.push(m);
  const setups = times.map((m, i) => ({ ...su, id: `m${i}`, at: wallClock(at, m) }));
  const plan = await slow.ask<PlanAnswer>("plan", { ...s, setups, slots: [] });
  return plan.setups.map((p, i): Moment => ({
    minutes: times[i]!, altitude: p.sun.altitude_deg, azimuth: p.sun.azimuth_deg, ev: p.daylight.background_ev100, margin: p.answer ? p.margin_stops : null,
  }));
}

let timer = 0;
let turn = 0;

/** follow keeps the day up to date; what only moves the hour changes nothing. */
export function follow() {
  let last = "";
  effect(() => {
    const s = session.value;
    const which = chosen.value;
    const su = s?.setups[which];
    if (!s || !su) return;
    const key = JSON.stringify([s.place, s.sky, s.kit, { ...su, at: (su.at ?? s.start).slice(0, 10), title: "" }]);
    if (key === last) return;
    clearTimeout(timer);
    timer = window.setTimeout(async () => {
      last = key;
      const mine = ++turn;
      const m = await look(s, which).catch(() => []);
      if (m && mine === turn) moments.value = m;
    }, moments.value.length ? 180 : 0);
  });
}
