// The field: a phone in the sun, one thumb. One question and one answer a
// screen; three keys above, three below, always the same.

import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { SetupAnswer } from "../engine/types";
import { answer, chosen, doc, saving, session, setup } from "../state/store";
import { clock, habits, length, local, minutesOf, plain, stops, toUnit, lengthUnit } from "../state/words";
import { bearing, signed } from "../draw/geometry";
import { Frame } from "../draw/frame";
import { Spot } from "../draw/spot";
import * as field from "../state/field";
import { faces, lights, looking, stature } from "./lit";

type Card =
  | { kind: "camera" }
  | { kind: "light"; n: number }
  | { kind: "test"; n: number; on: string[]; role: string }
  | { kind: "shot"; id: string; title: string; want: number };

function cards(): Card[] {
  const su = setup.value;
  if (!su) return [];
  const roles = su.lights.map((l) => l.role);
  const others = roles.filter((r) => r !== "key");
  const tests: Card[] = [{ kind: "test", n: 1, on: [], role: "" }];
  const on: string[] = [];
  for (const role of [...others, ...roles.filter((r) => r === "key")]) {
    on.push(role);
    tests.push({ kind: "test", n: tests.length + 1, on: [...on], role });
  }
  return [
    { kind: "camera" },
    ...su.lights.map((_, n): Card => ({ kind: "light", n })),
    ...tests,
    ...(su.shots ?? []).map((s): Card => ({ kind: "shot", id: s.id, title: s.title ?? s.id, want: s.frames ?? 0 })),
  ];
}

/** Big is a number twelve millimetres tall; what stands before it is smaller. */
function Big({ text, unit, changed }: { text: string; unit?: string; changed?: boolean }) {
  const [, lead, rest] = /^(1\/|f\/|)(.*)$/.exec(text) ?? [];
  return (
    <p class="big" data-changed={changed || undefined}>
      {changed && <span class="heard">changed: </span>}
      {lead && <i>{lead}</i>}
      <b>{rest}</b>
      {unit && <i>{unit}</i>}
    </p>
  );
}

function Named({ name, children }: { name: string; children: ComponentChildren }) {
  return <div class="named"><span>{name}</span>{children}</div>;
}

function CameraCard() {
  const d = field.dials.value;
  const p = answer.value?.answer;
  if (!d || !p) return <NoAnswer />;
  return (
    <div class="card">
      <h2>Camera{field.sky.value ? `, ${field.sky.value > 0 ? "brighter" : atNight() ? "darker" : "cloud"}` : ""}</h2>
      <div class="dial-rows">
        <Big text={d.shutter} changed={d.shutter !== p.shutter} />
        <Big text={d.aperture} changed={d.aperture !== p.aperture} />
        <Named name="ISO"><Big text={String(d.iso)} changed={d.iso !== p.iso} /></Named>
        <Named name="ND">{<Big text={d.nd ? String(d.nd) : "none"} changed={d.nd !== p.nd_stops} />}</Named>
      </div>
    </div>
  );
}

function NoAnswer() {
  return (
    <div class="card">
      <h2>No setting does it</h2>
      <ul class="plain">{answer.value?.ways_out.map((w) => <li key={w.change}>{w.change}</li>)}</ul>
    </div>
  );
}

function LightCard({ n }: { n: number }) {
  const s = field.sets.value[n];
  if (!s) return <NoAnswer />;
  const turn = Math.round(Math.abs(signed(lights.value[n]?.angle ?? 0)));
  const side = signed(lights.value[n]?.angle ?? 0) < 0 ? "right" : "left";
  const [base, plus] = s.power.split(" ");
  const mod = session.value?.kit.modifiers?.find((m) => m.id === s.light.modifier);
  return (
    <div class="card">
      <h2>{s.light.role}, {mod ? (mod.name ?? mod.id) : s.light.modifier || "bare"}: {turn}° to your {side}, {plain(toUnit(s.light.height_m ?? lights.value[n]?.at[2] ?? 2))}{"\u00a0"}{lengthUnit()} high</h2>
      <Spot lights={lights.value} which={n} camera={setup.value!.camera} faces={faces.value} />
      <Big text={plain(toUnit(s.distance))} unit={` ${lengthUnit()}`} changed={Math.abs(s.distance - s.light.distance_m) > 0.02} />
      <p class="big" data-changed={s.power !== s.light.power || undefined}><span class="heard">power </span><i>1/</i><b>{base!.slice(2)}</b>{plus && <b class="plus">{plus}</b>}</p>
    </div>
  );
}

// expected says what a test frame shows when all is as planned.
function expected(a: SetupAnswer, on: string[]) {
  const p = a.answer!;
  const face = p.background_stops + a.daylight.face_ev100 - a.daylight.background_ev100;
  const key = p.lights.find((l) => l.role === "key");
  const edge = p.lights.find((l) => l.role === "edge");
  return {
    background: p.background_stops,
    key: key && on.includes("key") ? key.total_stops : face,
    edge: edge && on.includes("edge") ? edge.total_stops : null,
  };
}

const click = () => (session.value?.kit.camera.dial === "halves" ? 0.5 : 0.333);

const cameraKnobs = ["shutter", "aperture", "iso", "filter"];

// turnOf says the one knob and its one direction: of a light, or of the camera.
function turnOf(role: string): string {
  const a = field.adjusted.value;
  if (!a) return "…";
  const step = a.steps.find((s) => (role ? s.knob === role || s.knob === `${role} power` : cameraKnobs.includes(s.knob)));
  if (!step) return `leave the ${role || "camera"} as it is`;
  if (step.knob === role) return `${role} ${step.stops > 0 ? "nearer" : "further"}: ${length(field.sets.value.find((s) => s.light.role === role)?.distance ?? 0)}`;
  return role ? `${step.knob} ${step.stops > 0 ? "up" : "down"}: ${step.to}` : step.text;
}

function TestCard({ n, on, role }: { n: number; on: string[]; role: string }) {
  const a = answer.value;
  const e = looking.value;
  if (!a?.answer || !e) return <NoAnswer />;
  const x = expected(a, on);
  const step = click();
  const rim = signed(lights.value.find((l) => l.role === "edge")?.angle ?? 150) < 0 ? 1 : -1;
  const part = role === "key" ? "face" : role === "edge" ? "edge" : role === "fill" ? "shadow side" : "background";
  const said = role ? field.said(role) : -field.offset.value;
  const say = (by: number) => field.tap({ kind: "adjust", setup: setup.value!.id, stops: role ? by : -by, ...(role ? { light: role } : {}) });
  const level = role === "key" ? x.key : role === "edge" ? (x.edge ?? 0) : x.background;
  const knob = said === 0 ? null : field.adjustFailed.value || turnOf(role);
  return (
    <div class="card">
      <h2>Test {n}: {on.length === 0 ? "no flash" : on.length === field.sets.value.length ? "all lights" : `${on.join(" and ")} only`}</h2>
      {knob ? <p class="knob" role="status">{knob}</p> : (
        <div class="test-frame"><Frame width={200} eye={e} stature={stature.value} faces={faces.value} lights={[]} levels={x} write={stops} bare rim={rim} /></div>
      )}
      <Named name={part}><Big text={stops(level)} /></Named>
      <div class="pair">
        <button onClick={() => say(step)}>too dark</button>
        <button onClick={() => say(-step)}>too bright</button>
      </div>
    </div>
  );
}

function ShotCard({ id, title, want }: { id: string; title: string; want: number }) {
  const now = useNow(100);
  const n = field.frames(id);
  const slow = Math.max(0, ...(answer.value?.answer?.lights.map((l) => l.recycle_s) ?? [0]));
  const last = field.lastFrame.value;
  const wait = last ? Math.max(0, slow - (now - Date.parse(last.at)) / 1000) : 0;
  const su = setup.value!.id;
  const done = field.ticked(id);
  return (
    <div class="card">
      <h2>{title}</h2>
      <Named name={wait > 0 ? "charging" : "frames"}><p class="big"><b>{wait > 0 ? wait.toFixed(1) : n}</b><i>{wait > 0 ? " s" : want ? ` of ${want}` : ""}</i></p></Named>
      <div class="pair">
        <button onClick={() => field.tap({ kind: "frame", setup: su, shot: id })}>frame taken</button>
        <button onClick={() => field.tap({ kind: "misfire", setup: su, shot: id })}>misfire {field.misfires.value || ""}</button>
      </div>
      <button class="wide" aria-pressed={done} onClick={() => (done ? field.untap() : (field.tap({ kind: "tick", setup: su, shot: id }), next()))}>{done ? "✓ got it" : "got it"}</button>
    </div>
  );
}

// atNight no cloud matters: what can change is the light of lamps.
const atNight = () => (answer.value?.sun.altitude_deg ?? 90) < -6;

function SkyCard() {
  const v = field.sky.value;
  const step = click();
  const say = (x: number) => field.tap({ kind: x === 0 ? "sun" : x < 0 ? "cloud" : "sun", setup: setup.value!.id, stops: Math.round(x * 100) / 100 });
  const usual = answer.value?.cloud?.ambient_change_stops ?? -2;
  const a = field.adjusted.value;
  return (
    <div class="card">
      <h2>The light is now</h2>
      {atNight() ? <button class="wide" aria-pressed={v === 0} onClick={() => say(0)}>as planned</button> : (
        <div class="pair">
          <button aria-pressed={v === 0} onClick={() => say(0)}>as planned</button>
          <button aria-pressed={v < 0} onClick={() => say(usual)}>cloud</button>
        </div>
      )}
      <Named name="stops"><Big text={stops(v)} /></Named>
      <div class="pair">
        <button onClick={() => say(v - step)} aria-label="a click darker">− darker</button>
        <button onClick={() => say(v + step)} aria-label="a click brighter">+ brighter</button>
      </div>
      {a && !field.adjustFailed.value && a.steps.length > 1 ? (
        <ul class="knob turns" role="status">{a.steps.map((x) => <li key={x.knob}><span>{x.knob.replace("iso", "ISO")}</span><b>{local(`${x.from} → ${x.to}`)}</b></li>)}</ul>
      ) : <p class="knob" role="status">{field.adjustFailed.value || a?.now || "as planned: leave everything"}</p>}
      {a?.notes.filter((n) => n.severity !== "info").map((n) => <p class="small" key={n.code}>{n.severity === "stop" ? <strong>Stop: {n.text}</strong> : n.text}</p>)}
    </div>
  );
}

const thunderWait = 30 * 60; // seconds after the last thunder or flash; docs/safety.md

function ClockCard() {
  const now = useNow(1000);
  const t = field.lastThunder.value;
  const left = t ? thunderWait - (now - Date.parse(t.at)) / 1000 : 0;
  const late = behind(now);
  return (
    <div class="card">
      {left > 0 ? (
        <>
          <h2>Thunder: all into a building or a car</h2>
          <Named name="not before"><Big text={`${Math.floor(left / 60)}:${String(Math.floor(left % 60)).padStart(2, "0")}`} /></Named>
          <p class="small">Local rules and trained people decide.</p>
        </>
      ) : (
        <>
          <h2>{late === null ? "Planned for" : late > 0 ? "Behind by" : "Ahead by"}</h2>
          {late === null ? <Big text={clock(plannedNow())} /> : <Big text={String(Math.abs(Math.round(late)))} unit=" min" />}
          <p class="small">{setup.value?.title}</p>
        </>
      )}
      <button class="wide" onClick={() => field.tap({ kind: "thunder" })}>thunder or a flash</button>
      <button class="wide" aria-pressed={habits.value.dark} onClick={() => (habits.value = { ...habits.value, dark: !habits.value.dark })}>dark room</button>
    </div>
  );
}

// plannedNow is when this card should be up: setups begin at their hour, cards
// share their minutes.
function plannedNow(): number {
  const su = setup.value;
  const s = session.value;
  if (!su || !s) return 0;
  const start = minutesOf(su.at ?? s.start);
  return start + ((su.minutes ?? 0) * field.card.value) / Math.max(cards().length, 1);
}

function behind(now: number): number | null {
  const s = session.value;
  if (!s) return null;
  const there = new Intl.DateTimeFormat("sv-SE", { timeZone: s.place.zone, dateStyle: "short", timeStyle: "short" }).format(now).replace(" ", "T");
  if (there.slice(0, 10) !== (setup.value?.at ?? s.start).slice(0, 10)) return null;
  return minutesOf(there) - plannedNow();
}

function useNow(each: number): number {
  const [now, set] = useState(Date.now());
  useEffect(() => {
    const t = setInterval(() => set(Date.now()), each);
    return () => clearInterval(t);
  }, [each]);
  return now;
}

function next() {
  if (field.card.value + 1 < cards().length) field.show(field.card.value + 1);
  else if (chosen.value + 1 < (session.value?.setups.length ?? 1)) {
    chosen.value++;
    field.show(0);
  }
}

function back() {
  if (field.card.value > 0) field.show(field.card.value - 1);
  else if (chosen.value > 0) {
    chosen.value--;
    field.show(cards().length - 1);
  }
}

// what the screen says, for the ear
function aloud() {
  const text = (document.querySelector(".card") as HTMLElement | null)?.innerText.replace(/\n+/g, ". ").replace(/1\/\s*\.?\s*(\d)/g, "one over $1").replace(/f\/\s*\.?\s*/g, "f ").replace(/\b(ISO|ND)\. /g, "$1 ").replace(/−/g, "minus ") ?? "";
  speechSynthesis.cancel();
  speechSynthesis.speak(new SpeechSynthesisUtterance(text));
}

export function FieldPage({ ready }: { ready: boolean }) {
  const [over, setOver] = useState<"" | "sky" | "clock">("");
  const now = useNow(15_000);
  useEffect(() => {
    document.documentElement.dataset.dark = habits.value.dark ? "yes" : "no";
    document.querySelector('meta[name="theme-color"]')?.setAttribute("content", habits.value.dark ? "#000000" : "#ffffff");
  }, [habits.value.dark]);
  const id = doc.value?.id;
  useEffect(() => {
    if (id) field.load(id);
  }, [id]);
  if (!session.value) return <main class="field-page"><div class="card alone"><h2>{ready ? "No session here yet" : "One moment"}</h2>{ready && <p class="small">Open the page once beside the computer that has the sessions.</p>}</div></main>;
  const all = cards();
  const c = all[Math.min(field.card.value, all.length - 1)];
  const late = behind(now);
  const first = field.card.value === 0 && chosen.value === 0;
  const last = field.card.value >= all.length - 1 && chosen.value >= session.value.setups.length - 1;
  const waiting = field.unsent.value + (saving.value === "saved" ? 0 : 1);
  return (
    <main class="field-page">
      <h1 class="heard">{session.value.title}, {setup.value?.title}</h1>
      <nav class="keys-row" aria-label="always">
        {"speechSynthesis" in window ? <button onClick={aloud}>say it</button> : <span />}
        <button aria-pressed={over === "clock"} onClick={() => setOver(over === "clock" ? "" : "clock")}>{late === null ? "clock" : late > 0.5 ? `${Math.round(late)} min behind` : "on time"}</button>
        <button disabled={!field.lastTap.value} onClick={field.untap}>undo</button>
      </nav>
      <section class="middle" aria-live="polite">
        {over === "sky" ? <SkyCard /> : over === "clock" ? <ClockCard /> : c?.kind === "camera" ? <CameraCard /> : c?.kind === "light" ? <LightCard n={c.n} /> : c?.kind === "test" ? <TestCard {...c} /> : c?.kind === "shot" ? <ShotCard key={c.id} {...c} /> : null}
      </section>
      <p class="where">{chosen.value + 1}/{session.value.setups.length} {setup.value?.id} · {field.card.value + 1} of {all.length}{waiting > 0 ? " · kept on this phone" : ""}</p>
      <nav class="keys-row" aria-label="go">
        <button disabled={first && !over} onClick={() => (over ? setOver("") : back())}>back</button>
        <button aria-pressed={over === "sky"} onClick={() => setOver(over === "sky" ? "" : "sky")}>{atNight() ? "lamps" : field.sky.value < 0 ? "cloud" : "sun"}</button>
        <button disabled={last && !over} onClick={() => { if (!over) return next(); if (over === "sky") field.show(0); setOver(""); }}>{over === "sky" ? "camera" : "next"}</button>
      </nav>
      <span class="heard">looks to {Math.round(bearing(setup.value?.camera.bearing_deg ?? 0))}°</span>
    </main>
  );
}
