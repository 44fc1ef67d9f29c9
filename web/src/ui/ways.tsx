// Which of the offered hours, and which way to look in it: a table of the hours,
// and a ring around the mark on the ground.

import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import type { Failure } from "../engine/ask";
import type { SetupWays, SlotWays, WayJSON, WaysAnswer } from "../engine/types";
import { change, chosen, session, setup, slow } from "../state/store";
import { clock, local, minutesOf, plain, stops } from "../state/words";
import { costs } from "../draw/ring";
import * as edit from "../actions/edit";

/** ways is what the ring shows; null while nobody asks. */
export const ways = signal<SetupWays | null>(null);
const slot = signal(1);

export const takeBearing = (b: number) => change(`look along ${Math.round(b)}°`, edit.lookAlong(chosen.value, b));

// within tells whether the setup's own hour lies in an offered one.
const within = (at: string, x: SlotWays) => at.slice(0, 16) >= x.start_at.slice(0, 16) && at.slice(0, 16) <= x.end_at.slice(0, 16);

function takeBest(w: SetupWays, hour: string) {
  const i = chosen.value;
  change(`look along ${Math.round(w.best.bearing_deg)}°, lights too`, (s) => {
    if (hour) edit.hourTo(i, hour)(s);
    edit.lookAlong(i, w.best.bearing_deg)(s);
    s.setups[i]?.lights.forEach((l, n) => {
      const stand = w.lights[n];
      if (stand?.role !== l.role || stand.by_sun) return;
      l.angle_deg = stand.angle_deg;
      l.height_m = stand.height_m;
    });
  });
}

export function Ways() {
  const [slots, setSlots] = useState<WaysAnswer | null>(null);
  const [note, setNote] = useState("");
  const s = session.value!;
  const id = setup.value?.id;
  const n = Math.min(slot.value, Math.max(s.slots?.length ?? 1, 1));
  useEffect(() => {
    let mine = true;
    const wait = setTimeout(async () => {
      try {
        const one = await slow.ask<WaysAnswer>("way", { session: s, setup: id, slot: n, all: true });
        if (mine) ways.value = one.slots[0]?.setups[0] ?? null;
        const all = await slow.ask<WaysAnswer>("way", { session: s });
        if (mine) {
          setSlots(all);
          setNote("");
        }
      } catch (e) {
        if (mine) setNote((e as Failure).text);
      }
    }, 120);
    return () => {
      mine = false;
      clearTimeout(wait);
    };
  }, [s, id, n]);
  useEffect(() => () => void (ways.value = null), []);
  const w = ways.value;
  const offered = slots?.slots.find((x) => x.number === n);
  // the hour to take with the bearing, where the setup's own lies in no other
  const hour = offered && !within(setup.value?.at ?? s.start, offered) ? offered.start_at.slice(0, 16) : "";
  return (
    <div class="sheet">
      <h3>offered hours</h3>
      <ul class="rows">
        {slots?.slots.map((x) => {
          const yes = x.setups.filter((y) => y.yes).length;
          return (
            <li key={x.number}>
              <button aria-current={x.number === n ? "true" : undefined} onClick={() => (slot.value = x.number)}>
                <span>{x.start_at.slice(8, 10)}. {clock(minutesOf(x.start_at))}–{clock(minutesOf(x.end_at))}<small> sun {Math.round(x.sun_altitude_deg[0])}° to {Math.round(x.sun_altitude_deg[1])}°</small></span>
                <small>{yes} of {x.setups.length} yes · gives up {plain(x.regret_stops)}{x.number === slots.best_slot && slots.slots.length > 1 ? " · best" : ""}</small>
              </button>
            </li>
          );
        }) ?? <li><small>each is looked through, all round …</small></li>}
      </ul>
      {note && <p class="note" role="alert">{note}</p>}
      {w && (
        <>
          <h3>{setup.value?.title || w.id}</h3>
          <p class="lead">{local(w.say)}</p>
          <div class="row">
            <button class="add" onClick={() => takeBest(w, hour)}>look along {Math.round(w.best.bearing_deg)}°, lights too{hour && `, at ${clock(minutesOf(hour))}`}</button>
            {w.runner_up && <button class="add" onClick={() => takeBearing(w.runner_up!.bearing_deg)}>or {Math.round(w.runner_up.bearing_deg)}°</button>}
          </div>
          <Compared w={w} />
          {w.changes.map((c) => <p class="note" key={c}>{local(c)}</p>)}
          {w.avoid.length > 0 && <h3>not along</h3>}
          <dl class="keys wide-keys">{w.avoid.map((a) => <div key={a.from_deg}><dt>{Math.round(a.from_deg)}°{a.to_deg !== a.from_deg && `–${Math.round(a.to_deg)}°`}</dt><dd>{local(a.text)}</dd></div>)}</dl>
          <h3>sun and lights share the work</h3>
          <ul class="rows">
            {w.variants.map((v) => (
              <li key={v.variant}>
                <button disabled={!v.exists || v.bearing_deg === null} title={local(v.text)} onClick={() => takeBearing(v.bearing_deg!)}>{v.variant}<small>{v.exists && v.bearing_deg !== null ? `${Math.round(v.bearing_deg)}°, ${stops(v.margin_stops ?? 0)}` : "not at this hour"}</small></button>
              </li>
            ))}
          </ul>
        </>
      )}
      <p class="note">On the ground the ring bulges where looking costs most; press it to look that way. Regret is in stops given up: our judgement, it hides nothing.</p>
    </div>
  );
}

function Compared({ w }: { w: SetupWays }) {
  const row = (name: string, x: WayJSON) => (
    <tr><th scope="row">{name}</th><td>{Math.round(x.bearing_deg)}°</td><td>{stops(x.margin_stops)}</td><td>{plain(x.regret_stops)}</td><td>{costs(x)}</td></tr>
  );
  return (
    <table class="table">
      <thead><tr><th /><th>along</th><th>to spare</th><th>gives up</th><th /></tr></thead>
      <tbody>
        {row("best", w.best)}
        {w.runner_up && row("or", w.runner_up)}
        {row("now", w.as_planned)}
      </tbody>
    </table>
  );
}
