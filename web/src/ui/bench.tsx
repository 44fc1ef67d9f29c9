// The bench: one screen to plan on. The ground is the largest thing; beside it
// the frame and the verdict; below, the day.

import { signal } from "@preact/signals";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { WayOutJSON } from "../engine/types";
import { answer, answers, begin, canRedo, canUndo, change, chosen, doc, done, move, redo, said, saving, serverOnly, session, setup, solving, trouble, undo } from "../state/store";
import { moments } from "../state/day";
import { clock, fromUnit, habits, length, lengthUnit, local, minutesOf, size, stops, plain, verdict, wallClock } from "../state/words";
import { bearing, bearingOf, sensorSize, signed } from "../draw/geometry";
import { Ground, standsAt, type Grip } from "../draw/ground";
import { Side } from "../draw/side";
import { Frame, frameHeight, inFrame } from "../draw/frame";
import { Day, at as momentAt } from "../draw/day";
import * as edit from "../actions/edit";
import { faces, lights, looking, minutes, stature } from "./lit";
import { Panel, panel, panels } from "./panels";
import { Wide } from "./parts";
import { Picture } from "./picture";
import { takeBearing, ways } from "./ways";

const thing = signal("");
const zoom = signal(1);
const zoomBy = (by: number) => (zoom.value = Math.min(Math.max(zoom.value * by, 0.02), 3));

const dayOf = () => (setup.value?.at ?? session.value!.start).slice(0, 10);

function moveTo(g: Grip) {
  const i = chosen.value;
  if (g.what === "camera") move(edit.cameraTo(i, g.to));
  else if (g.what === "subject") move(edit.faceTo(i, bearingOf(g.to)));
  else if (g.what === "sun") {
    // the hour whose shadow tip lies nearest the hand
    const to = nearestHour(g.to[0], g.to[1]);
    if (to !== null) move(edit.hourTo(i, wallClock(dayOf(), to)));
  } else if (g.what.startsWith("solid")) move(edit.solidTo(Number(g.what.split(" ")[1]), g.to));
  else {
    const n = Number(g.what.split(" ")[1]);
    const l = lights.value[n];
    if (l) move(edit.lightTo(i, n, g.to, l.at[2]));
  }
}

function nearestHour(x: number, y: number): number | null {
  let best: number | null = null;
  let least = Infinity;
  const m = moments.value;
  for (let t = m[0]?.minutes ?? 0; t <= (m.at(-1)?.minutes ?? -1); t += 1) {
    const s = fine(t);
    if (!s || s.altitude < 5) continue;
    const long = stature.value / Math.tan((s.altitude * Math.PI) / 180);
    const [tx, ty] = [-long * Math.sin((s.azimuth * Math.PI) / 180), -long * Math.cos((s.azimuth * Math.PI) / 180)];
    const d = Math.hypot(tx - x, ty - y);
    if (d < least) [best, least] = [t, d];
  }
  return best;
}

// fine reads the sun between two moments, round the compass the short way.
function fine(t: number) {
  const m = momentAt(moments.value, t);
  if (!m) return null;
  const i = moments.value.findIndex((x) => x.minutes >= t);
  const [a, b] = [moments.value[Math.max(i - 1, 0)]!, moments.value[i]!];
  const share = a === b ? 0 : (t - a.minutes) / (b.minutes - a.minutes);
  return { altitude: m.altitude, azimuth: bearing(a.azimuth + share * signed(b.azimuth - a.azimuth)) };
}

/** shift moves the thing by keys; returns whether it knew the key. */
function shift(what: string, key: string, small: boolean): boolean {
  const i = chosen.value;
  const su = setup.value;
  if (!su || !["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"].includes(key)) return false;
  const turn = (key === "ArrowLeft" ? -1 : key === "ArrowRight" ? 1 : 0) * (small ? 1 : 5);
  const away = (key === "ArrowUp" ? 1 : key === "ArrowDown" ? -1 : 0) * (small ? 0.05 : 0.2);
  if (what === "camera") {
    const b = su.camera.bearing_deg + turn + 180;
    const d = su.camera.distance_m + away;
    change("move camera", edit.cameraTo(i, [d * Math.sin((b * Math.PI) / 180), d * Math.cos((b * Math.PI) / 180)]));
  } else if (what === "subject") change("turn subject", edit.faceTo(i, faces.value + turn));
  else if (what === "sun") return shiftHour(key, small);
  else if (what.startsWith("solid")) {
    const n = Number(what.split(" ")[1]);
    const o = session.value?.place.solids?.[n];
    const [x, y] = o ? standsAt(o) : [0, 0];
    const [right, up] = [turn / (small ? 5 : 10), away * (small ? 4 : 2.5)];
    change(`move ${o?.name ?? o?.kind}`, edit.solidTo(n, [x + right, y + up]));
  } else {
    const n = Number(what.split(" ")[1]);
    const l = lights.value[n];
    if (l) change(`move ${l.role}`, edit.hold(i, n, l.distance + away, l.angle + turn));
  }
  return true;
}

function shiftHour(key: string, small: boolean): boolean {
  const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageUp: 6, PageDown: -6 }[key];
  const to = by ? minutes.value + by * (small ? 1 : 10) : { Home: moments.value[0], End: moments.value.at(-1) }[key]?.minutes;
  if (to === undefined) return false;
  change("change hour", edit.hourTo(chosen.value, wallClock(dayOf(), to)));
  return true;
}

const names: Record<string, string> = { camera: "move camera", subject: "turn subject", sun: "change hour" };

function moved(what: string): string {
  const [kind, n] = what.split(" ");
  const o = session.value?.place.solids?.[Number(n)];
  return `move ${kind === "solid" ? (o?.name ?? o?.kind) : lights.value[Number(n)]?.role}`;
}

function GroundPane() {
  const box = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<[number, number]>([0, 0]);
  useEffect(() => {
    const watch = new ResizeObserver(([e]) => e && setSize([Math.floor(e.contentRect.width), Math.floor(e.contentRect.height)]));
    watch.observe(box.current!);
    return () => watch.disconnect();
  }, []);
  const su = setup.value;
  const a = answer.value;
  const s = session.value;
  const ready = size[0] > 50 && su && s;
  const sensor = sensorSize[s?.kit.camera.sensor ?? ""] ?? [36, 24];
  return (
    <div class={ready ? "pane" : "pane bare"} ref={box}>
      {ready && <div class="zoom">
        <button onClick={() => zoomBy(1 / 1.5)} aria-label="show more ground">−</button>
        <button onClick={() => (zoom.value = 1)} aria-label="fit the lights">fit</button>
        <button onClick={() => zoomBy(1.5)} aria-label="show less ground">+</button>
      </div>}
      {ready && (
        <Ground
          width={size[0]} height={size[1]} lights={lights.value} faces={faces.value} stature={stature.value} chosen={thing.value}
          solids={s.place.solids ?? []}
          camera={{ bearing: su.camera.bearing_deg, distance: su.camera.distance_m, half: (Math.atan(sensor[0] / 2 / su.focal_mm) * 180) / Math.PI, near: a?.lens?.near_m, far: a?.lens?.far_m }}
          sun={{ altitude: a?.sun.altitude_deg ?? -10, azimuth: a?.sun.azimuth_deg ?? 0 }}
          track={moments.value} hours={clock} keepOut={lights.value.map((_, i) => a?.safety?.stands?.[i]?.keep_out_m ?? null)}
          metre={{ step: fromUnit(1), label: lengthUnit() }} words={{ distance: length }}
          ring={ways.value && ways.value.id === su.id ? { ways: ways.value, now: su.camera.bearing_deg, write: stops, onTake: takeBearing } : null}
          zoom={zoom.value} onZoom={zoomBy}
          onGrab={(w) => { thing.value = w; begin(); }} onMove={moveTo}
          onDrop={() => done(names[thing.value] ?? moved(thing.value))}
          onKey={shift}
        />
      )}
    </div>
  );
}

function Verdict() {
  const a = answer.value;
  const no = trouble.value;
  if (no) return <div class="verdict" role="status"><p class="no-answer">{local(no.text)}</p>{no.hint && <p>{local(no.hint)}</p>}</div>;
  if (!a) return <div class="verdict" role="status">{session.value && <p>…</p>}</div>;
  const m = a.margin_stops;
  const v = m === null ? { word: "no", rest: "no setting does it" } : a.too_bright ? { word: "no", rest: `${size(m)} stops too bright, turned down all the way` } : verdict(m, a.uncertainty_stops);
  const why = m === null ? a.notes.find((n) => n.code === "no_setting" || n.code === "night") : undefined;
  const night = why?.code === "night";
  const stray = looking.value && m !== null ? inFrame(looking.value, lights.value, stature.value) : [];
  return (
    <div class="verdict" aria-busy={solving.value}>
      <div class="verdict-line" role="status">
        <b class="margin" data-margin={m ?? ""}>{m === null ? "no" : stops(m)}</b>
        <p>
          {m !== null ? <><strong>{v.word}</strong>, {v.rest} <span class="give">±{size(a.uncertainty_stops)}</span></> : local(why?.text ?? v.rest)}
          <br />
          <small>{a.answer ? `${a.answer.route}; limited by ${a.limited_by}` : night ? `sun ${Math.round(-a.sun.altitude_deg)}° below the horizon` : `limited by ${a.limited_by}`}</small>
        </p>
      </div>
      <ul class="ways" aria-label="Ways out">
        {a.ways_out.slice(0, 3).map((w) => (
          <li key={w.change}>
            {w.do ? <button onClick={() => take(w)}>{local(w.change)}<b>{stops(w.margin_stops)}</b></button> : <span>{local(w.change)}<b>{stops(w.margin_stops)}</b></span>}
          </li>
        ))}
        {night && <li><button onClick={() => lighten("add a lit pole", edit.litPole(chosen.value))}>the field lights are on: place one</button></li>}
        {night && <li><button onClick={() => lighten("meter the sky", edit.meter(usualLamps))}>I have metered under the lamps</button></li>}
      </ul>
      {stray.map((r) => <p class="care" key={r}>The {r} stands in the frame: take it out, or shoot a plate.</p>)}
      {[...a.notes.filter((n) => n.severity === "stop"), ...a.notes.filter((n) => n.severity === "caution" && !["no_setting", "night", "in_frame"].includes(n.code) && !(night && n.code === "sun_down"))].slice(0, 2).map((n) => (
        <p class="care" key={n.code + n.text}>{n.severity === "stop" ? <strong>Stop: {local(n.text)}</strong> : local(n.text)}</p>
      ))}
    </div>
  );
}

const usualLamps = 6; // EV of 160 lx, between a training field and a match; to be overwritten

// lighten says what lights the night, where more can be said of it.
function lighten(label: string, e: edit.Edit) {
  change(label, e);
  panel.value = "place";
}

function take(w: WayOutJSON) {
  const i = chosen.value;
  const d = w.do!;
  change(w.change, edit.setupOf(i, (su) => {
    if (d.under_stops != null) su.look.under_stops = Number(d.under_stops.toFixed(2));
    if (d.f_number_max != null) su.look.f_number_max = Number(d.f_number_max.toFixed(1));
    const l = su.lights.find((x) => x.role === d.role);
    if (l && d.distance_m != null) {
      l.distance_m = d.distance_m;
      delete l.distance_min_m;
      delete l.distance_max_m;
    }
  }));
}

// Taken lists what nobody said; a hand that drags does not change it.
function Taken({ list }: { list: string[] }) {
  return useMemo(() => list.length > 0 && (
    <details class="taken">
      <summary>{list.length === 1 ? "1 thing" : `${list.length} things`} nobody said, taken as usual</summary>
      <ul>{list.map((x) => <li key={x}>{local(x)}</li>)}</ul>
    </details>
  ), [list.join(), habits.value]);
}

function Settings() {
  const a = answer.value?.answer;
  if (!a) return null;
  const other = answer.value?.runner_up;
  const taken = [...(answer.value?.assumptions ?? []), ...(answers.value?.assumptions ?? [])];
  return (
    <section class="settings" aria-label="Settings">
      <p class="dials">
        <span class="figure">{a.shutter}</span>
        <span class="figure">{a.aperture}</span>
        <span class="figure"><i>ISO</i> {a.iso}</span>
        {a.nd_stops > 0 && <span class="figure"><i>ND</i> {a.nd_stops}</span>}
      </p>
      <table>
        <thead><tr><th>light</th><th>distance</th><th>turn</th><th>power</th><th>recycle</th></tr></thead>
        <tbody>
          {a.lights.map((l, n) => {
            const placed = lights.value[n];
            return (
              <tr key={n}>
                <th scope="row">{l.role}</th>
                <td>{length(l.distance_m)}{placed?.held ? <button class="quiet" onClick={() => change(`free ${l.role}`, edit.free(chosen.value, n))} title="held where you put it; press to let the plan choose">held</button> : <small> {plain(l.paces)} paces</small>}</td>
                <td>{Math.round(Math.abs(signed(placed?.angle ?? 0)))}° {signed(placed?.angle ?? 0) < 0 ? "right" : "left"}</td>
                <td>{l.power}</td>
                <td>{plain(l.recycle_s)} s</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      {answer.value?.cloud && <p class="cloud"><b>A cloud:</b> {answer.value.cloud.now}</p>}
      {other && <p class="note"><b>Or</b> {other.route}: {other.shutter} {other.aperture} ISO {other.iso}{other.nd_stops > 0 && ` ND ${other.nd_stops}`}, {stops(other.margin_stops)}</p>}
      <Taken list={taken} />
      {serverOnly.value && <p class="note"><b>Answered by the server.</b> {serverOnly.value}: no rendered picture, nothing without the server. “go run ./dev web”, then build again.</p>}
    </section>
  );
}

function SideView() {
  const a = answer.value;
  const e = looking.value;
  if (!e || !setup.value) return null;
  return (
    <div class="side-box">
      <Side width={286} height={116} eye={e} distance={setup.value.camera.distance_m} lights={lights.value} stature={stature.value} faces={faces.value}
        sun={{ altitude: a?.sun.altitude_deg ?? -1, azimuth: a?.sun.azimuth_deg ?? 0 }} words={length} />
    </div>
  );
}

function FrameBox() {
  const [shown, setShown] = useState(false);
  const e = looking.value;
  const a = answer.value;
  if (!e) return null;
  const width = 400;
  const l = a?.answer?.lights;
  return (
    <figure class="frame-box">
      {!shown && <Frame width={width} eye={e} stature={stature.value} faces={faces.value} lights={lights.value} write={stops}
        levels={{ background: a?.answer?.background_stops ?? -2, key: l?.find((x) => x.role === "key")?.total_stops ?? 0, edge: l?.find((x) => x.role === "edge")?.total_stops ?? null }} />}
      <div hidden={!shown}><Picture width={width} height={frameHeight(e, width)} onShown={setShown} /></div>
    </figure>
  );
}

function DayBand() {
  const s = session.value;
  const i = chosen.value;
  const day = s && setup.value ? dayOf() : "";
  return (
    <div class="day-box">
      <Wide>{(w) => s && (
        <Day width={w} height={w < 820 ? 104 : 128} moments={moments.value} now={minutes.value} uncertainty={answer.value?.uncertainty_stops ?? 1} hours={clock} write={stops}
          slots={(s.slots ?? []).filter((x) => x.start.startsWith(day)).map((x) => ({ from: minutesOf(x.start), to: minutesOf(x.start) + x.minutes }))}
          onGrab={begin} onMove={(m) => move(edit.hourTo(i, wallClock(day, m)))} onDrop={() => done("change hour")} onKey={shiftHour} />
      )}</Wide>
    </div>
  );
}

function Bar() {
  const s = session.value;
  return (
    <header class="bar">
      <h1 class="heard">hardnoon: {s?.title ?? "no session"}</h1>
      <button class="title" onClick={() => (panel.value = panel.value === "sessions" ? "" : "sessions")} aria-expanded={panel.value === "sessions"}>{s?.title ?? "hardnoon"}</button>
      <nav class="setups" aria-label="Setups">
        {s?.setups.map((su, i) => (
          <button key={su.id} aria-current={i === chosen.value ? "true" : undefined} onClick={() => (chosen.value = i)} title={su.title}>{i + 1}<span>{su.id}</span></button>
        ))}
      </nav>
      <span class="state" role="status">{said.value || (saving.value === "saved" ? "" : saving.value)}</span>
      {s && (
        <>
          <button class="tool" disabled={!canUndo.value} onClick={() => void undo()} title={canUndo.value ? `undo: ${canUndo.value}` : ""}>undo</button>
          <button class="tool" disabled={!canRedo.value} onClick={() => void redo()} title={canRedo.value ? `redo: ${canRedo.value}` : ""}>redo</button>
          <a class="tool" href={`/field/${doc.value?.id ?? ""}`}>field</a>
        </>
      )}
    </header>
  );
}

function Tabs() {
  return (
    <nav class="tabs" aria-label="What to change">
      {panels.map(([id, name]) => (
        <button key={id} aria-expanded={panel.value === id} onClick={() => (panel.value = panel.value === id ? "" : id)}>{name}</button>
      ))}
    </nav>
  );
}

export function Bench() {
  useEffect(() => {
    const keys = (e: KeyboardEvent) => {
      const typing = e.target instanceof HTMLInputElement || e.target instanceof HTMLTextAreaElement || e.target instanceof HTMLSelectElement;
      if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z" && !typing) {
        e.preventDefault();
        void (e.shiftKey ? redo() : undo());
      } else if (e.key === "Escape" && session.value) panel.value = "";
      else if (!typing && (e.key === "+" || e.key === "-")) zoomBy(e.key === "+" ? 1.5 : 1 / 1.5);
      else if (!typing && !e.ctrlKey && !e.metaKey && !e.altKey && /^[1-9]$/.test(e.key) && session.value?.setups[Number(e.key) - 1]) chosen.value = Number(e.key) - 1;
    };
    addEventListener("keydown", keys);
    return () => removeEventListener("keydown", keys);
  }, []);
  return (
    <div class={session.value ? "bench" : "bench empty"}>
      <Bar />
      <main class="work">
        <div class="left">
          {session.value && <Tabs />}
          <GroundPane />
          <SideView />
          {panel.value && <Panel />}
        </div>
        <aside class="right" aria-label="The answer">
          {!session.value && <div class="frame-to-be" />}
          {!session.value && <p class="note">Here stands the frame as the lens sees it, and whether the light you own is enough. Three answers make the first.</p>}
          <FrameBox />
          <Verdict />
          <Settings />
        </aside>
      </main>
      <DayBand />
    </div>
  );
}
