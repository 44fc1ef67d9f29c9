// Which of the offered hours, and which way to look in it: a table of the hours,
// and a ring around the mark on the ground.

import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import type { Failure } from "../engine/ask";
import type { SetupWays, SlotWays, WayJSON, WaysAnswer } from "../engine/types";
import { change, chosen, session, setup, slow } from "../state/store";
import { clock, local, minutesOf, plain, stops } from "../state/words";
import { costs, Strip } from "../draw/ring";
import * as edit from "../actions/edit";
import { Wide } from "./parts";

/** ways is what the ring shows; null while nobody asks. */
export const ways = signal<SetupWays | null>(null);
const slot = signal(1);

export const takeBearing = (b: number) => take(b, "");

function take(b: number, hour: string) {
  const i = chosen.value;
  change(`look along ${Math.round(b)}°`, (s) => {
    if (hour) edit.hourTo(i, hour)(s);
    edit.lookAlong(i, b)(s);
  });
}

// within tells whether the setup's own hour lies in an offered one.
const within = (at: string, x: SlotWays) => at.slice(0, 16) >= x.start_at.slice(0, 16) && at.slice(0, 16) <= x.end_at.slice(0, 16);

function takeBest(w: SetupWays, hour: string) {
  const i = chosen.value;
  change(`look along ${Math.round(w.best.bearing_deg)}°, lights too`, (s) => {
    if (hour) edit.hourTo(i, hour)(s);
    edit.lookBest(i, w)(s);
  });
}

export function Ways() {
  const [mine, setMine] = useState<WaysAnswer | null>(null); // this setup, all round, in every slot
  const [all, setAll] = useState<WaysAnswer | null>(null); // every setup
  const [note, setNote] = useState("");
  const s = session.value!;
  const id = setup.value?.id;
  const n = Math.min(slot.value, Math.max(s.slots?.length ?? 1, 1));
  useEffect(() => {
    let here = true;
    const wait = setTimeout(async () => {
      try {
        const one = await slow.ask<WaysAnswer>("way", { session: s, setup: id, all: true });
        if (!here) return;
        setMine(one);
        setNote("");
        const every = await slow.ask<WaysAnswer>("way", { session: s });
        if (here) setAll(every);
      } catch (e) {
        if (here) setNote((e as Failure).text);
      }
    }, 120);
    return () => {
      here = false;
      clearTimeout(wait);
    };
  }, [s, id]);
  const offered = mine?.slots.find((x) => x.number === n);
  const w = offered?.setups.find((x) => x.id === id) ?? null;
  useEffect(() => void (ways.value = w), [w]);
  useEffect(() => () => void (ways.value = null), []);
  // the hour to take with the bearing, where the setup's own lies in no other
  const hourOf = (x: SlotWays) => (within(setup.value?.at ?? s.start, x) ? "" : x.start_at.slice(0, 16));
  const hour = offered ? hourOf(offered) : "";
  const least = Math.min(...(mine?.slots.flatMap((x) => x.setups[0]?.all?.map((y) => y.regret_stops) ?? []) ?? []));
  return (
    <div class="sheet">
      <h3>offered hours</h3>
      <ul class="rows hours-rows">
        {mine?.slots.map((x) => {
          const one = x.setups[0];
          const of = all?.slots.find((y) => y.number === x.number);
          return (
            <li key={x.number}>
              <button aria-current={x.number === n ? "true" : undefined} onClick={() => (slot.value = x.number)}>
                <span>{x.start_at.slice(8, 10)}. {clock(minutesOf(x.start_at))}–{clock(minutesOf(x.end_at))}<small>{Math.max(...x.sun_altitude_deg) < 0 ? "sun down" : `sun ${plain(x.sun_altitude_deg[0], 0)}° to ${plain(x.sun_altitude_deg[1], 0)}°`}</small></span>
                <small>{of ? `${of.setups.filter((y) => y.yes).length} of ${of.setups.length} yes${x.number === all!.best_slot && all!.slots.length > 1 ? " · best" : ""}` : "…"}</small>
              </button>
              {one && <Wide>{(width) => <Strip width={width} name={`${clock(minutesOf(x.start_at))}–${clock(minutesOf(x.end_at))}`} ways={one} least={least} now={setup.value!.camera.bearing_deg} write={stops} onTake={(b) => { slot.value = x.number; take(b, hourOf(x)); }} />}</Wide>}
            </li>
          );
        }) ?? (s.slots?.length ? s.slots : [{ start: s.start }]).map((x) => <li key={x.start}><small>{x.start.slice(8, 10)}. {clock(minutesOf(x.start))}: looked through, all round …</small></li>)}
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
      <p class="note">Each hour’s strip goes round the compass, dark where looking that way gives most up; on the ground the ring bulges there. Press either to look that way, or walk it with the arrow keys; Enter takes it. Regret is in stops given up: our judgement, it hides nothing.</p>
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
