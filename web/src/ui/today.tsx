// The day: its setups in order with minutes and slack, the line of people, and
// what to turn as the hours go on.

import { useEffect, useState } from "preact/hooks";
import type { Failure } from "../engine/ask";
import type { DriftAnswer, OrderAnswer, OrderRequest, Session } from "../engine/types";
import { change, chosen, doc, session, setup, slow } from "../state/store";
import { clock, habits, local, minutesOf, plain } from "../state/words";
import { Hours } from "../draw/hours";
import * as edit from "../actions/edit";
import { Num, Text, Wide } from "./parts";

const hour = (at: string) => clock(Math.floor(minutesOf(at))); // as the engine writes it

/** useAnswer asks while it is looked at, a moment after the last change. */
function useAnswer<A>(question: string, request: unknown): [A | null, string] {
  const [a, setA] = useState<A | null>(null);
  const [note, setNote] = useState("");
  const key = JSON.stringify(request);
  useEffect(() => {
    let mine = true;
    const wait = setTimeout(() => {
      slow.ask<A>(question, JSON.parse(key)).then(
        (x) => mine && (setA(x), setNote("")),
        (e: Failure) => mine && (setA(null), setNote(e.text)),
      );
    }, 150);
    return () => {
      mine = false;
      clearTimeout(wait);
    };
  }, [question, key]);
  return [a, note];
}

export function Today() {
  const s = session.value!;
  const [finish, setFinish] = useState("");
  const [behind, setBehind] = useState<number | undefined>(undefined);
  const [done, setDone] = useState<string[]>([]);
  const request: Partial<OrderRequest> = { session: s };
  if (/^\d?\d:\d\d$/.test(finish)) request.finish = finish;
  if (behind) request.behind_min = behind;
  const real = done.filter((id) => s.setups.some((su) => su.id === id));
  if (real.length && real.length < s.setups.length) request.done = real;
  const [a, note] = useAnswer<OrderAnswer>("order", request);
  const order = a?.rows.map((r) => r.setup) ?? [];
  const same = order.length === s.setups.length && order.every((id, i) => s.setups[i]?.id === id);
  return (
    <div class="sheet">
      {a && <p class="lead">{local(a.now.replace(/(\d\d min) \d+ s/, "$1"))}</p>}
      {!a && !note && <p class="lead">…</p>}
      {note && <p class="note" role="alert">{note}</p>}
      <div class="two">
        <Text label={`out by${a?.finish_at ? `, now ${hour(a.finish_at)}` : ""}`} value={finish} onSet={setFinish} />
        <Num label="behind by" unit="min" step={5} min={0} max={600} digits={0} value={behind} onSet={setBehind} />
      </div>
      {a && <Wide>{(w) => <Hours width={w} rows={a.rows} finish={a.finish_at} chosen={setup.value?.id ?? ""} hours={hour} onPick={(id) => (chosen.value = Math.max(s.setups.findIndex((su) => su.id === id), 0))} />}</Wide>}
      <p class="row checks" role="group" aria-label="already shot"><span>already shot</span>
        {s.setups.map((su) => (
          <label key={su.id}><input type="checkbox" checked={done.includes(su.id)} onChange={(e) => setDone(e.currentTarget.checked ? [...done, su.id] : done.filter((x) => x !== su.id))} />{su.id}</label>
        ))}
      </p>
      {a && (
        <>
          <p class="note">{a.lights_moved === 1 ? "1 light" : `${a.lights_moved} lights`} carried, {a.lens_changes} lens changes, {plain(a.change_min, 0)} min of changing{a.change_min_as_listed !== null && a.change_min_as_listed > a.change_min + 0.4 && `; ${plain(a.change_min_as_listed, 0)} as listed`}; {a.method}.</p>
          {!same && order.length === s.setups.length && <button class="add" onClick={() => change("put in this order", edit.inOrder(order))}>list them in this order</button>}
          {a.ways_out.length > 0 && (
            <ul class="ways plain-ways" aria-label="What saves time">
              {a.ways_out.slice(0, 3).map((w) => <li key={w.change}><span>{local(w.change)}<b>{plain(w.saves_min, 0)} min</b></span></li>)}
            </ul>
          )}
          {a.heads.map((h) => <p class="note" key={h.head}>{s.kit.heads.find((x) => x.id === h.head)?.name ?? `head ${h.head}`}: {h.pops} pops, {Math.round(h.charges * 100)} % of a charge{h.rest_min > 0.1 && `, rests ${plain(h.rest_min)} min`}</p>)}
          {a.notes.filter((n) => n.severity !== "info").map((n) => <p class="note" key={n.text}>{local(n.text)}</p>)}
        </>
      )}
      <Roster s={s} turns={a?.turns ?? []} />
      <Drift s={s} />
    </div>
  );
}

function Roster({ s, turns }: { s: Session; turns: OrderAnswer["turns"] }) {
  const list = s.roster ?? [];
  const [names, setNames] = useState<string | null>(null);
  const su = setup.value;
  const read = (text: string) => change("list the team", edit.team(text));
  return (
    <>
      <h3>the team{list.length > 0 && `, ${list.length}`}</h3>
      <label class="field"><span>a line each: number, first name</span>
        <textarea rows={Math.min(Math.max(list.length + 1, 2), 8)} value={names ?? list.map((p) => [p.number, p.name ?? p.id].filter(Boolean).join(" ")).join("\n")}
          onInput={(e) => setNames(e.currentTarget.value)} onBlur={() => { if (names !== null) read(names); setNames(null); }} />
      </label>
      {list.length > 0 && su && <Num label={`minutes each, in ${su.id}`} unit="min" step={0.5} min={0} max={240} digits={1} value={su.minutes_each} onSet={(x) => change("minutes each", edit.setupOf(chosen.value, (su) => { if (x) su.minutes_each = x; else delete su.minutes_each; }))} />}
      {turns.length > 0 && (
        <table class="table">
          <tbody>{turns.map((t) => <tr key={t.setup + t.id}><th scope="row">{t.number}</th><td>{t.shirt}</td><td>{t.name || t.id}</td><td>{t.at ? hour(t.at) : "not in time"}{t.moved && " · moved back"}</td></tr>)}</tbody>
        </table>
      )}
    </>
  );
}

function Drift({ s }: { s: Session }) {
  const su = setup.value;
  const [a, note] = useAnswer<DriftAnswer>("drift", { session: s, setup: su?.id, every_s: 600 });
  if (!su) return null;
  const rows = a?.rows.filter((r, i) => i === 0 || r.turn.length > 0 || r.sun !== a.rows[i - 1]?.sun) ?? [];
  return (
    <>
      <h3>{su.id}, as the hours go on</h3>
      {note && <p class="note">{note}</p>}
      <table class="table">
        <tbody>
          {rows.map((r, i) => (
            <tr key={r.at}>
              <th scope="row">{hour(r.at)}</th>
              <td>{i === 0 ? `${r.state.shutter} ${r.state.aperture} ISO ${r.state.iso}${r.state.nd_stops ? ` ND ${r.state.nd_stops}` : ""}` : r.turn.length ? r.turn.map((t) => <span key={t} class="turn">{local(t)}</span>) : `sun ${r.sun}`}</td>
              <td>EV {plain(r.background_ev100)}<br /><small>sun {Math.round(r.altitude_deg)}°</small></td>
            </tr>
          ))}
        </tbody>
      </table>
      {a && <p class="note">{a.rows.length > rows.length ? "Between these times leave it. " : ""}{a.last_sun_at && `Last sun on the mark ${hour(a.last_sun_at)}. `}{a.sunset_at && `Sunset ${hour(a.sunset_at)}.`}</p>}
    </>
  );
}

const papers: [string, string, string][] = [
  ["light", "light sheet", "where each light goes, settings, test frames"],
  ["family", "for the family", "when, where, what to bring"],
  ["release", "release", "for a guardian to sign, use by use"],
  ["list", "team list", "names with boxes to tick, and a card for each to photograph first"],
  ["pack", "packing list", "what goes in the car, with ballast and spares"],
  ["calendar", "calendar", "the hours, for any calendar"],
];

export function Papers() {
  const id = doc.value?.id ?? "";
  const units = habits.value.imperial ? "&units=imperial&size=letter" : "";
  return (
    <div class="sheet">
      <ul class="rows papers">
        {papers.map(([kind, name, what]) => (
          <li key={kind}><a href={`/api/sessions/${encodeURIComponent(id)}/sheet?kind=${kind}${units}`} target="_blank" rel="noopener">{name}<small>{what}</small></a></li>
        ))}
      </ul>
      <p class="note">They show what is saved. The light sheet takes a moment: its pictures are computed.</p>
    </div>
  );
}
