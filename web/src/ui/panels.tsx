// What can be changed, a sheet at a time, over the left of the ground; frame and
// verdict beside it stay in sight and follow.

import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { Away, workspace, type Found, type Listed } from "../engine/workspace";
import type { Failure } from "../engine/ask";
import { poses, skies, type Light, type Person, type Session, type Setup, type Solid, type WaysAnswer } from "../engine/types";
import { answer, catalogue, change, chosen, doc, open, said, session, setup, show, slow } from "../state/store";
import { clock, fromUnit, habits, lengthUnit, local, minutesOf, plain, speed, toUnit } from "../state/words";
import * as edit from "../actions/edit";
import { bearingOf } from "../draw/geometry";
import { standsAt } from "../draw/ground";
import { Fault, Num, Pick, Text } from "./parts";
import { Papers, Today } from "./today";
import { Ways } from "./ways";

export const panel = signal("");

export const panels: [string, string][] = [["place", "place and hour"], ["ways", "which way"], ["setup", "setup"], ["look", "look"], ["kit", "kit"], ["people", "people"], ["day", "the day"], ["safety", "safety"], ["paper", "paper"], ["habits", "units"]];

const titles: Record<string, string> = { ...Object.fromEntries(panels), sessions: "sessions", new: "new session" };

export function Panel() {
  const inside = { place: Where, ways: Ways, setup: SetupSheet, look: Look, kit: Kit, people: People, day: Today, safety: Safety, paper: Papers, habits: Habits, sessions: Sessions, new: Newcomer }[panel.value];
  const Inside = inside ?? (() => null);
  return (
    <section class="panel" aria-label={titles[panel.value]}>
      <header>
        <h2>{titles[panel.value]}</h2>
        {session.value && <button class="quiet" onClick={() => (panel.value = "")}>close</button>}
      </header>
      <Inside />
    </section>
  );
}

const skyNames = skies.map((s): [string, string] => [s, s.replaceAll("-", " ")]);
const grounds: [string, string][] = ["grass", "artificial-turf", "asphalt", "concrete", "sand", "snow", "clay", "track"].map((s) => [s, s.replace("-", " ")]);

/** Search finds a place by a town's name or by coordinates. */
function Search({ onFound, first }: { onFound: (f: Found) => void; first?: boolean }) {
  const box = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (first) box.current?.focus();
  }, [first]);
  const [typed, setTyped] = useState("");
  const [found, setFound] = useState<Found[]>([]);
  const [note, setNote] = useState("");
  useEffect(() => {
    if (typed.trim().length < 2) return setFound([]);
    let mine = true;
    const t = setTimeout(async () => {
      try {
        const f = await workspace.places(typed);
        if (mine) {
          setFound(f.slice(0, 5));
          setNote(f.length ? "" : "nothing by that name; a larger town near by, or coordinates?");
        }
      } catch (e) {
        if (mine) setNote(e instanceof Away ? "finding places needs the server" : (e as Failure).text);
      }
    }, 200);
    return () => {
      mine = false;
      clearTimeout(t);
    };
  }, [typed]);
  const take = (f: Found) => {
    setTyped("");
    setFound([]);
    onFound(f);
  };
  return (
    <div class="search">
      <label class="field">
        <span>find a town, or coordinates</span>
        <input ref={box} value={typed} onInput={(e) => setTyped(e.currentTarget.value)} onKeyDown={(e) => e.key === "Enter" && found[0] && take(found[0])} autocomplete="off" />
      </label>
      {found.length > 0 && (
        <ul class="found">
          {found.map((f) => (
            <li key={f.name + f.lat_deg}><button onClick={() => take(f)}>{f.name}<small>{plain(f.lat_deg, 2)}°, {plain(f.lon_deg, 2)}°</small></button></li>
          ))}
        </ul>
      )}
      {note && <p class="note">{note}</p>}
    </div>
  );
}

const placed = (f: Found): Edit => (s) => {
  const keep = s.place.ground;
  s.place = { name: f.name, lat_deg: f.lat_deg, lon_deg: f.lon_deg, zone: f.zone, ground: keep ?? "grass" };
  if (f.elevation_m != null) s.place.elevation_m = f.elevation_m;
};
type Edit = (s: Session) => void;

function Where() {
  const s = session.value!;
  const set = (label: string, e: Edit) => change(label, e);
  return (
    <div class="sheet">
      <p class="lead">{s.place.name ?? "no name"}<br /><small>{plain(s.place.lat_deg, 3)}°, {plain(s.place.lon_deg, 3)}° · {s.place.zone}</small></p>
      <Search onFound={(f) => set("change place", placed(f))} />
      <Text label="what you call it" value={s.place.name ?? ""} onSet={(x) => set("name place", (s) => { s.place.name = x; })} />
      <Text label="day and hour, clock of the place" type="datetime-local" value={s.start.slice(0, 16)} onSet={(x) => x && set("change start", startAt(x))} />
      <div class="two">
        <Pick label="ground" value={s.place.ground ?? "grass"} of={grounds} onSet={(x) => set("change ground", (s) => { s.place.ground = x; })} />
        <Pick label="sky" value={s.sky.kind === "named" ? (s.sky.name ?? "clear").replaceAll(" ", "-") : s.sky.kind} of={s.sky.kind === "named" ? [...skyNames, ["meter", "as metered"]] : [...skyNames, [s.sky.kind, s.sky.kind === "meter" ? "as metered" : s.sky.kind]]}
          onSet={(x) => set("change sky", (s) => { if (x === "meter") edit.meter(answer.value?.daylight.background_ev100)(s); else s.sky = skies.includes(x) ? { kind: "named", name: x } : s.sky; })} />
      </div>
      {s.sky.kind === "meter" && <Num label="incident reading" at="sky.meter_ev100" unit="EV" step={0.1} digits={1} min={-6} max={20} value={s.sky.meter_ev100} onSet={(x) => x !== undefined && set("meter the sky", (s) => { s.sky.meter_ev100 = x; })} />}
      <FieldLights s={s} />
      <h3>offered hours</h3>
      {!s.slots?.length && <p class="note">None yet. The team names its hours; each is compared in “which way”.</p>}
      <ul class="rows">
        {(s.slots ?? []).map((slot, i) => (
          <li key={i}>
            <button onClick={() => set("take slot", (s) => { const su = s.setups[chosen.value]; if (su) su.at = slot.start; })}>{slot.start.slice(0, 10)} {clock(minutesOf(slot.start))}<small>{slot.minutes} min</small></button>
            <button class="quiet" aria-label={`remove ${slot.start}`} onClick={() => set("remove slot", (s) => { s.slots!.splice(i, 1); })}>remove</button>
          </li>
        ))}
      </ul>
      <button class="add" onClick={() => set("add slot", (s) => { (s.slots ??= []).push({ start: (s.setups[chosen.value]?.at ?? s.start).slice(0, 16), minutes: 60 }); })}>offer this hour</button>
      <h3>what stands around</h3>
      {(s.place.solids ?? []).map((o, i) => o.kind !== "field light" && <SolidRow key={i} o={o} i={i} />)}
      <button class="add" onClick={() => set("add a thing", (s) => { (s.place.solids ??= []).push({ kind: "vehicle", east_m: 0, north_m: -12, label: "hide" }); })}>add a thing</button>
    </div>
  );
}

const kinds: [string, string][] = ["wall", "fence", "pole", "seating", "building", "vehicle", "tree"].map((k) => [k, k]);

/** Stands is where a thing stands, from the mark. */
function Stands({ o, i }: { o: Solid; i: number }) {
  const at = standsAt(o);
  const [deg, away] = [bearingOf(at), Math.hypot(...at)];
  const path = `place.solids[${i}].`;
  return (
    <>
      <Num label="from the mark" unit={lengthUnit()} step={1} min={0} digits={1} at={`${path}distance_m`} value={toUnit(away)} onSet={(x) => x !== undefined && change("move thing", edit.standAt(i, deg, fromUnit(x)))} />
      <Num label="direction" unit="°" step={5} digits={0} value={deg} onSet={(x) => x !== undefined && change("move thing", edit.standAt(i, x, away))} />
    </>
  );
}

// What lights the place at night: poles that are on, how strong they are where
// that is known, and what the plan makes of them.
function FieldLights({ s }: { s: Session }) {
  const poles = (s.place.solids ?? []).map((o, i) => ({ o, i })).filter(({ o }) => o.kind === "field light");
  const on = poles.some(({ o }) => o.lit);
  const level = s.place.field_light_lx;
  const a = answer.value;
  const notes = a?.notes.filter((n) => n.code.startsWith("field_lights") || n.code === "flicker") ?? [];
  return (
    <>
      <h3>field lights</h3>
      {poles.map(({ o, i }, n) => <PoleRow key={i} o={o} i={i} name={o.name ?? `pole ${n + 1}`} />)}
      <div class="row"><button class="add" onClick={() => change("add a lit pole", edit.litPole(chosen.value))}>add a lit pole</button></div>
      <Num label={s.place.field ? "light on the ground, mean of the field" : "light on the ground, at the mark"} unit="lx" step={25} digits={0} at="place.field_light_lx" value={level}
        hint={level !== undefined ? undefined : on ? "not said: a training class is taken" : "not said, and none is on: no field lights"}
        onSet={(x) => change("level of field lights", (s) => { if (x === undefined) delete s.place.field_light_lx; else s.place.field_light_lx = x; })} />
      {notes.map((n) => <p class="note" key={n.code + n.text}>{local(n.text)}{n.code === "flicker" && n.hint && `; ${local(n.hint)}`}</p>)}
      {(a?.daylight.lamps_lx ?? 0) > 0 && s.sky.kind !== "meter" && <div class="row"><button class="quiet" onClick={() => change("meter the sky", edit.meter(a?.daylight.background_ev100))}>a meter read there says more: enter it</button></div>}
    </>
  );
}

function PoleRow({ o, i, name }: { o: Solid; i: number; name: string }) {
  const set = (label: string, e: (o: Solid) => void) => change(label, (s) => e(s.place.solids![i]!));
  const path = `place.solids[${i}].`;
  return (
    <fieldset class="light">
      <legend>{name}</legend>
      <div class="three">
        <Pick label="lamps" value={o.lit ? "on" : ""} of={[["on", "on"], ["", "off"]]} onSet={(x) => set(`switch ${name} ${x || "off"}`, (o) => { if (x) o.lit = true; else delete o.lit; })} />
        <Stands o={o} i={i} />
      </div>
      <div class="three">
        <Num label="high" unit={lengthUnit()} step={1} min={0.01} at={`${path}height_m`} value={o.height_m === undefined ? undefined : toUnit(o.height_m)} onSet={(x) => set("size", (o) => { if (x === undefined) delete o.height_m; else o.height_m = fromUnit(x); })} />
        <Num label="shines to" unit="°" step={5} digits={0} value={o.turn_deg} onSet={(x) => set("turn thing", (o) => { if (x === undefined) delete o.turn_deg; else o.turn_deg = ((x % 360) + 360) % 360; })} />
        <div class="field end"><button class="quiet" onClick={() => change("remove thing", (s) => { s.place.solids!.splice(i, 1); })}>take away</button></div>
      </div>
      <Fault at={`place.solids[${i}]`} />
    </fieldset>
  );
}

function SolidRow({ o, i }: { o: Solid; i: number }) {
  const set = (label: string, e: (o: Solid) => void) => change(label, (s) => e(s.place.solids![i]!));
  return (
    <fieldset class="light">
      <legend>{o.name ?? o.kind}</legend>
      <div class="two">
        <Pick label="kind" value={o.kind} of={kinds} onSet={(x) => set("change thing", (o) => { o.kind = x; delete o.width_m; delete o.depth_m; delete o.height_m; })} />
        <Pick label="in the frame" value={o.label ?? "keep"} of={[["keep", "may be seen"], ["hide", "shall be hidden"]]} onSet={(x) => set("hide or keep", (o) => { o.label = x; })} />
      </div>
      <div class="three">
        <Num label="wide" unit={lengthUnit()} step={0.5} min={0.01} at={`place.solids[${i}].width_m`} value={o.width_m === undefined ? undefined : toUnit(o.width_m)} onSet={(x) => set("size", (o) => { if (x === undefined) delete o.width_m; else o.width_m = fromUnit(x); })} />
        <Num label="high" unit={lengthUnit()} step={0.5} min={0.01} at={`place.solids[${i}].height_m`} value={o.height_m === undefined ? undefined : toUnit(o.height_m)} onSet={(x) => set("size", (o) => { if (x === undefined) delete o.height_m; else o.height_m = fromUnit(x); })} />
        <Num label="turned to" unit="°" step={5} digits={0} value={o.turn_deg} onSet={(x) => set("turn thing", (o) => { if (x === undefined) delete o.turn_deg; else o.turn_deg = ((x % 360) + 360) % 360; })} />
      </div>
      <div class="three">
        <Stands o={o} i={i} />
        <div class="field end"><button class="quiet" onClick={() => change("remove thing", (s) => { s.place.solids!.splice(i, 1); })}>take away</button></div>
      </div>
      <Fault at={`place.solids[${i}]`} />
    </fieldset>
  );
}

// startAt moves the session; setups keep their hours on the new day.
const startAt = (x: string): Edit => (s) => {
  const shift = Date.parse(x) - Date.parse(s.start.slice(0, 16));
  s.start = x;
  for (const su of s.setups) if (su.at) su.at = new Date(Date.parse(`${su.at.slice(0, 16)}Z`) + shift).toISOString().slice(0, 16);
};

function SetupSheet() {
  const s = session.value!;
  const su = setup.value!;
  const i = chosen.value;
  const set = (label: string, e: (su: Setup) => void) => change(label, edit.setupOf(i, e));
  return (
    <div class="sheet">
      <Text label="what you call it" value={su.title ?? ""} onSet={(x) => set("name setup", (su) => { su.title = x; })} />
      <div class="three">
        <Num label="camera away" at={`setups[${i}].camera.distance_m`} unit={lengthUnit()} step={0.1} value={toUnit(su.camera.distance_m)} onSet={(x) => x && set("move camera", (su) => { su.camera.distance_m = fromUnit(x); })} />
        <Num label="lens high" at={`setups[${i}].camera.height_m`} unit={lengthUnit()} step={0.1} min={0} value={toUnit(su.camera.height_m)} onSet={(x) => x !== undefined && set("raise camera", (su) => { su.camera.height_m = fromUnit(x); })} />
        <Num label="looks to" at={`setups[${i}].camera.bearing_deg`} unit="°" step={5} digits={0} value={su.camera.bearing_deg} onSet={(x) => x !== undefined && set("turn camera", (su) => { su.camera.bearing_deg = ((x % 360) + 360) % 360; })} />
      </div>
      <div class="two">
        <Pick label="lens" value={su.lens} of={s.kit.lenses.map((l) => [l.id, l.name ?? l.id])} onSet={(x) => set("change lens", (su) => { su.lens = x; const l = s.kit.lenses.find((l) => l.id === x); if (l) su.focal_mm = Math.min(Math.max(su.focal_mm, l.focal_min_mm), l.focal_max_mm); })} />
        <Num label="focal length" at={`setups[${i}].focal_mm`} unit="mm" step={5} digits={0} min={s.kit.lenses.find((l) => l.id === su.lens)?.focal_min_mm} max={s.kit.lenses.find((l) => l.id === su.lens)?.focal_max_mm} value={su.focal_mm} onSet={(x) => x && set("zoom", (su) => { su.focal_mm = x; })} />
      </div>
      <div class="two">
        <Pick label="subject" value={su.subject?.person ?? ""} of={[["", "somebody"], ...(s.people ?? []).map((p): [string, string] => [p.id, p.name ?? p.id])]} onSet={(x) => set("change subject", (su) => { const to = (su.subject ??= {}); if (x) to.person = x; else delete to.person; })} />
        <Pick label="pose" value={su.subject?.pose ?? "stand"} of={[...new Set([su.subject?.pose ?? "stand", ...poses])].map((x) => [x, x])} onSet={(x) => set("change pose", (su) => { (su.subject ??= {}).pose = x; })} />
      </div>
      <h3>lights</h3>
      {su.lights.map((l, n) => <LightRow key={n} l={l} n={n} />)}
      <div class="row">
        {su.lights.length < 3 && s.kit.heads.some((h) => !su.lights.some((l) => l.head === h.id)) && (
          <button class="add" onClick={() => set("add light", (su) => {
            const role = ["key", "edge", "fill"].find((r) => !su.lights.some((l) => l.role === r)) ?? "fill";
            const head = s.kit.heads.find((h) => !su.lights.some((l) => l.head === h.id));
            if (head) su.lights.push(edit.usualLight(role, head.id));
          })}>add a light</button>
        )}
      </div>
      <h3>shots</h3>
      <ul class="rows">
        {(su.shots ?? []).map((shot, n) => (
          <li key={shot.id}>
            <Text label={`shot ${n + 1}`} value={shot.title ?? shot.id} onSet={(x) => set("name shot", (su) => { su.shots![n]!.title = x; })} />
            <button class="quiet" onClick={() => set("remove shot", (su) => { su.shots!.splice(n, 1); })} aria-label={`remove shot ${n + 1}`}>remove</button>
          </li>
        ))}
      </ul>
      <button class="add" onClick={() => change("add shot", (s) => {
        const su = s.setups[i];
        const taken = s.setups.flatMap((x) => x.shots ?? []).map((x) => x.id);
        if (su) (su.shots ??= []).push({ id: edit.freshId(taken, `${su.id}-shot`), title: "a shot", frames: 8 });
      })}>add a shot</button>
      <h3>this setup</h3>
      <div class="row">
        <button class="add" onClick={() => { change("copy setup", edit.copySetup(i)); chosen.value = i + 1; }}>copy</button>
        <button class="add" disabled={i === 0} onClick={() => { change("move setup", edit.moveSetup(i, -1)); chosen.value = i - 1; }}>earlier</button>
        <button class="add" disabled={i === s.setups.length - 1} onClick={() => { change("move setup", edit.moveSetup(i, 1)); chosen.value = i + 1; }}>later</button>
        <button class="add" disabled={s.setups.length === 1} onClick={() => { change("remove setup", edit.dropSetup(i)); chosen.value = Math.max(i - 1, 0); }}>remove</button>
      </div>
    </div>
  );
}

function LightRow({ l, n }: { l: Light; n: number }) {
  const s = session.value!;
  const i = chosen.value;
  const set = (label: string, e: (l: Light) => void) => change(label, edit.setupOf(i, (su) => e(su.lights[n]!)));
  const limit = (key: "distance_min_m" | "distance_max_m") => (x: number | undefined) => set("limit distance", (l) => {
    delete l.distance_m;
    if (x === undefined) delete l[key];
    else l[key] = fromUnit(x);
    if (l.distance_min_m !== undefined && l.distance_max_m !== undefined && l.distance_min_m > l.distance_max_m) l.distance_max_m = l.distance_min_m;
  });
  return (
    <fieldset class="light">
      <legend>{l.role}</legend>
      <div class="two second">
        <Pick label="head" value={l.head} of={s.kit.heads.map((h) => [h.id, h.name ?? h.id])} onSet={(x) => set("change head", (l) => { l.head = x; })} />
        <Pick label="modifier" value={l.modifier ?? "bare"} of={[["bare", "bare"], ...(s.kit.modifiers ?? []).map((m): [string, string] => [m.id, m.name ?? m.id])]} onSet={(x) => set("change modifier", (l) => { if (x === "bare") delete l.modifier; else l.modifier = x; })} />
      </div>
      <div class="three">
        <Num label="at least" at={`setups[${i}].lights[${n}].distance_min_m`} unit={lengthUnit()} step={0.1} value={l.distance_m !== undefined ? toUnit(l.distance_m) : l.distance_min_m !== undefined ? toUnit(l.distance_min_m) : undefined} onSet={limit("distance_min_m")} />
        <Num label="at most" at={`setups[${i}].lights[${n}].distance_max_m`} unit={lengthUnit()} step={0.1} value={l.distance_m !== undefined ? toUnit(l.distance_m) : l.distance_max_m !== undefined ? toUnit(l.distance_max_m) : undefined} onSet={limit("distance_max_m")} />
        <Num label="high" at={`setups[${i}].lights[${n}].height_m`} unit={lengthUnit()} step={0.1} min={0} value={l.height_m !== undefined ? toUnit(l.height_m) : undefined} onSet={(x) => set("raise light", (l) => { if (x === undefined) delete l.height_m; else l.height_m = fromUnit(x); })} />
      </div>
      <div class="row"><button class="quiet" disabled={setup.value!.lights.length === 1} onClick={() => change("remove light", edit.setupOf(i, (su) => { su.lights.splice(n, 1); }))}>take away</button></div>
    </fieldset>
  );
}

const routes: [string, string][] = [["stop-down", "stop down at sync"], ["nd", "ND at sync"], ["high-speed", "high-speed sync"], ["leaf", "leaf or global shutter"]];

function Look() {
  const su = setup.value!;
  const look = su.look;
  type Key = Exclude<keyof typeof look, "under_stops" | "route">;
  const set = (label: string, key: Key, x: number | undefined) => change(label, edit.setupOf(chosen.value, (su) => { if (x === undefined) delete su.look[key]; else su.look[key] = x; }));
  const third = session.value!.kit.camera.dial === "halves" ? 0.5 : 1 / 3;
  return (
    <div class="sheet">
      <p class="note">Levels are stops from mid-tone: 0 is a grey card, −2 two stops under.</p>
      <div class="two">
        <Num label="background under" at={`setups[${chosen.value}].look.under_stops`} unit="stops" step={third} digits={1} value={look.under_stops} onSet={(x) => x !== undefined && change("background under", edit.setupOf(chosen.value, (su) => { su.look.under_stops = x; }))} />
        <Num label="key" at={`setups[${chosen.value}].look.key_stops`} unit="stops" step={third} digits={1} value={look.key_stops ?? 0} onSet={(x) => set("key level", "key_stops", x)} />
      </div>
      <div class="two">
        <Num label="edge" at={`setups[${chosen.value}].look.edge_stops`} unit="stops" step={third} digits={1} value={look.edge_stops} onSet={(x) => set("edge level", "edge_stops", x)} />
        <Num label="fill" at={`setups[${chosen.value}].look.fill_stops`} unit="stops" step={third} digits={1} value={look.fill_stops} onSet={(x) => set("fill level", "fill_stops", x)} />
      </div>
      <Pick label="route" value={look.route ?? ""} of={[["", "left to the plan"], ...routes]} onSet={(x) => change("route", edit.setupOf(chosen.value, (su) => { if (x) su.look.route = x; else delete su.look.route; }))} />
      <h3>aperture</h3>
      <div class="three">
        <Num label="exactly" at={`setups[${chosen.value}].look.f_number`} unit="f" step={1} digits={1} value={look.f_number} onSet={(x) => set("aperture", "f_number", x)} />
        <Num label="from" at={`setups[${chosen.value}].look.f_number_min`} unit="f" step={1} digits={1} value={look.f_number_min} onSet={(x) => set("widest aperture", "f_number_min", x)} />
        <Num label="to" at={`setups[${chosen.value}].look.f_number_max`} unit="f" step={1} digits={1} value={look.f_number_max} onSet={(x) => set("smallest aperture", "f_number_max", x)} />
      </div>
      <h3>movement</h3>
      <div class="two">
        <Num label="across the frame" at={`setups[${chosen.value}].look.speed_mps`} unit="m/s" step={1} digits={1} min={0} value={look.speed_mps} onSet={(x) => set("speed", "speed_mps", x)} />
        <Num label="still sharp" at={`setups[${chosen.value}].look.blur_px`} unit="px" step={1} digits={0} min={1} value={look.blur_px} onSet={(x) => set("blur", "blur_px", x)} />
      </div>
    </div>
  );
}

function Kit() {
  const s = session.value!;
  const k = s.kit;
  const cat = catalogue.value;
  const set = (label: string, e: Edit) => change(label, e);
  const heads = (cat?.heads ?? []).map((h): [string, string] => [h.id, h.name]);
  const mods = (cat?.modifiers ?? []).map((m): [string, string] => [m.id, m.name]);
  return (
    <div class="sheet">
      <h3>camera</h3>
      <div class="two">
        <Pick label="sensor" value={k.camera.sensor} of={["full-frame", "aps-c", "four-thirds", "medium-44x33", "medium-54x40"].map((x) => [x, x])} onSet={(x) => set("change sensor", (s) => { s.kit.camera.sensor = x; })} />
        <Pick label="shutter" value={k.camera.shutter ?? "focal-plane"} of={["focal-plane", "leaf", "global"].map((x) => [x, x])} onSet={(x) => set("change shutter", (s) => { s.kit.camera.shutter = x; })} />
      </div>
      <div class="two">
        <Pick label="sync speed" value={k.camera.sync} of={[...new Set([k.camera.sync, "1/125", "1/160", "1/180", "1/200", "1/250", "1/320", "1/400", "1/500", "1/1000", "1/2000"])].map((x) => [x, x])} onSet={(x) => set("change sync", (s) => { s.kit.camera.sync = x; })} />
        <Pick label="one click is" value={k.camera.dial ?? "thirds"} of={[["thirds", "a third"], ["halves", "a half"]]} onSet={(x) => set("change dial", (s) => { s.kit.camera.dial = x; })} />
      </div>
      <h3>heads</h3>
      {k.heads.map((h, i) => (
        <div class="line" key={h.id}>
          <Pick label={h.name ?? h.id} value={h.class ?? ""} of={h.class ? heads : [["", "by its guide number"], ...heads]} onSet={(x) => x && set("change head", (s) => { s.kit.heads[i] = { ...s.kit.heads[i]!, class: x }; })} />
          <button class="quiet" disabled={k.heads.length === 1 || used(s, "head", h.id)} title={used(s, "head", h.id) ? "a setup uses it" : undefined} onClick={() => set("remove head", (s) => { s.kit.heads.splice(i, 1); })}>remove</button>
        </div>
      ))}
      <button class="add" onClick={() => set("add head", (s) => { const id = edit.freshId(s.kit.heads.map((h) => h.id), "head"); s.kit.heads.push({ id, class: s.kit.heads[0]?.class ?? "battery-400", name: id }); })}>add a head</button>
      <h3>modifiers</h3>
      {(k.modifiers ?? []).map((m, i) => (
        <div class="line" key={m.id}>
          <Pick label={m.name ?? m.id} value={m.class} of={mods} onSet={(x) => set("change modifier", (s) => { s.kit.modifiers![i]!.class = x; delete s.kit.modifiers![i]!.name; })} />
          <button class="quiet" disabled={used(s, "modifier", m.id)} title={used(s, "modifier", m.id) ? "a setup uses it" : undefined} onClick={() => set("remove modifier", (s) => { s.kit.modifiers!.splice(i, 1); })}>remove</button>
        </div>
      ))}
      <button class="add" onClick={() => set("add modifier", (s) => { (s.kit.modifiers ??= []).push({ id: edit.freshId(s.kit.modifiers.map((m) => m.id), "softbox"), class: "softbox-60x90" }); })}>add a modifier</button>
      <h3>filters and ballast</h3>
      <div class="two">
        <Text label="ND, in stops" value={(k.nd_stops ?? []).join(", ")} onSet={(x) => set("change filters", (s) => { s.kit.nd_stops = x.split(/[ ,;]+/).map(Number).filter((n) => n > 0 && n <= 20); })} />
        <Num label="ballast" at="kit.ballast_kg" unit="kg" min={0} max={1000} digits={1} value={k.ballast_kg} onSet={(x) => set("change ballast", (s) => { if (x === undefined) delete s.kit.ballast_kg; else s.kit.ballast_kg = x; })} />
      </div>
    </div>
  );
}

const used = (s: Session, key: "head" | "modifier", id: string) => s.setups.some((su) => su.lights.some((l) => l[key] === id));

function People() {
  const s = session.value!;
  return (
    <div class="sheet">
      <p class="note">A first name is enough; surnames are not kept.</p>
      {(s.people ?? []).map((p, i) => {
        const set = (label: string, e: (p: Person) => void) => change(label, (s) => e(s.people![i]!));
        const used = s.setups.some((su) => su.subject?.person === p.id);
        return (
          <fieldset class="light" key={p.id}>
            <legend>{p.name ?? p.id}</legend>
            <div class="two">
              <Text label="first name" value={p.name ?? ""} onSet={(x) => set("name person", (p) => { if (x) p.name = x; else delete p.name; })} />
              <Pick label="hand" value={p.handedness ?? ""} of={[["", "not said"], ["right", "right"], ["left", "left"]]} onSet={(x) => set("hand", (p) => { if (x) p.handedness = x; else delete p.handedness; })} />
            </div>
            <div class="two">
              <Num label="age" at={`people[${i}].age`} unit="years" min={0} max={120} digits={0} value={p.age} onSet={(x) => set("age", (p) => { if (x === undefined) delete p.age; else p.age = x; })} />
              <Num label="height" at={`people[${i}].height_m`} unit={lengthUnit()} step={0.01} value={p.height_m === undefined ? undefined : toUnit(p.height_m)} onSet={(x) => set("height", (p) => { if (x === undefined) delete p.height_m; else p.height_m = Math.min(Math.max(fromUnit(x), 0.4), 2.6); })} />
            </div>
            <div class="row"><button class="quiet" disabled={used} title={used ? "a setup is of them" : undefined} onClick={() => change("remove person", (s) => { s.people!.splice(i, 1); })}>take away</button></div>
          </fieldset>
        );
      })}
      <button class="add" onClick={() => change("add person", (s) => { (s.people ??= []).push({ id: edit.freshId(s.people.map((p) => p.id), "person") }); })}>add a person</button>
    </div>
  );
}

// of leaves out what the sentence is about: it stands before it.
const of = (text: string) => local(text.replace(/^(stand of the [\w ]+|heat|cold|ultraviolet|lightning): /, ""));

function Safety() {
  const s = session.value!;
  const a = answer.value?.safety;
  const w = s.weather ?? {};
  const set = (label: string, key: keyof typeof w, x: number | undefined) => change(label, (s) => {
    const all = { ...s.weather };
    if (x === undefined) delete all[key];
    else all[key] = x;
    s.weather = all;
  });
  const { imperial, fahrenheit: hot } = habits.value;
  const wind = (x: number | undefined) => (x === undefined ? undefined : imperial ? x / 0.44704 : x);
  const back = (x: number | undefined) => (x === undefined ? undefined : imperial ? x * 0.44704 : x);
  return (
    <div class="sheet">
      <div class="two">
        <Num label="wind, mean" at="weather.wind_mps" unit={imperial ? "mph" : "m/s"} min={0} digits={1} value={wind(w.wind_mps)} onSet={(x) => set("wind", "wind_mps", back(x))} />
        <Num label="gusts" at="weather.gust_mps" unit={imperial ? "mph" : "m/s"} min={0} digits={1} value={wind(w.gust_mps)} onSet={(x) => set("gusts", "gust_mps", back(x))} />
      </div>
      <div class="two">
        <Num label="in the shade" at="weather.temperature_c" unit={hot ? "°F" : "°C"} digits={0} value={w.temperature_c === undefined ? undefined : hot ? w.temperature_c * 1.8 + 32 : w.temperature_c} onSet={(x) => set("temperature", "temperature_c", x === undefined ? undefined : hot ? (x - 32) / 1.8 : x)} />
        <Num label="humidity" at="weather.humidity_pct" unit="%" min={0} max={100} digits={0} value={w.humidity_pct} onSet={(x) => set("humidity", "humidity_pct", x)} />
      </div>
      {a && (
        <dl class="safety">
          {a.stands.map((x, i) => (
            <div key={i}>
              <dt>{x.role} stand <b>{x.level}</b></dt>
              <dd>{of(x.text)}{x.gust_mps !== null && <small> tips at {speed(x.tip_speed_mps)} without ballast</small>}</dd>
            </div>
          ))}
          {a.ballast && <div><dt>ballast</dt><dd>{local(a.ballast.text)}</dd></div>}
          <div><dt>heat <b>{a.heat.level}</b></dt><dd>{of(a.heat.text)}</dd></div>
          {a.cold && <div><dt>cold <b>{a.cold.level}</b></dt><dd>{of(a.cold.text)}</dd></div>}
          <div><dt>sun on skin <b>{a.uv.level}</b></dt><dd>{of(a.uv.text)}</dd></div>
          <div><dt>thunder</dt><dd>{of(a.lightning.text)}</dd></div>
        </dl>
      )}
      {a && <p class="note">{a.decides}</p>}
    </div>
  );
}

function Habits() {
  const h = habits.value;
  const set = (x: Partial<typeof h>) => (habits.value = { ...habits.value, ...x });
  return (
    <div class="sheet">
      <Pick label="lengths and wind" value={h.imperial ? "i" : "m"} of={[["m", "metres, m/s"], ["i", "feet, mph"]]} onSet={(x) => set({ imperial: x === "i" })} />
      <Pick label="heat" value={h.fahrenheit ? "f" : "c"} of={[["c", "°C"], ["f", "°F"]]} onSet={(x) => set({ fahrenheit: x === "f" })} />
      <Pick label="parts of a stop" value={String(h.part)} of={[["0", "tenths, 0.3"], ["3", "thirds, ⅓"], ["2", "halves, ½"]]} onSet={(x) => set({ part: Number(x) as 0 | 2 | 3 })} />
      <Pick label="clock" value={h.twelve ? "12" : "24"} of={[["24", "13:20"], ["12", "1:20 pm"]]} onSet={(x) => set({ twelve: x === "12" })} />
      <p class="note">What one click of the camera is belongs to the kit.</p>
      <h3>keys</h3>
      <dl class="keys">
        <div><dt>Tab</dt><dd>to the next thing on the ground</dd></div>
        <div><dt>← →</dt><dd>around the subject, 5°</dd></div>
        <div><dt>↑ ↓</dt><dd>away, nearer, 20 cm</dd></div>
        <div><dt>Shift</dt><dd>with them: finer</dd></div>
        <div><dt>Home End</dt><dd>first and last hour, way or setup</dd></div>
        <div><dt>Enter</dt><dd>take the way the keys are on; on the ring the best</dd></div>
        <div><dt>+ −</dt><dd>less ground, more ground</dd></div>
        <div><dt>1 … 9</dt><dd>setup</dd></div>
        <div><dt>Ctrl Z</dt><dd>undo; with Shift redo</dd></div>
        <div><dt>Esc</dt><dd>close this</dd></div>
      </dl>
    </div>
  );
}

export async function go(id: string) {
  chosen.value = 0;
  if (await open(id)) history.replaceState(null, "", `/session/${id}`);
  panel.value = "";
}

function Sessions() {
  const [list, setList] = useState<Listed[] | null>(null);
  const [note, setNote] = useState("");
  useEffect(() => {
    workspace.list().then(setList, (e) => setNote((e as Failure).text));
  }, []);
  const load = async (file: File | undefined) => {
    if (!file) return;
    try {
      const d = await workspace.add(JSON.parse(await file.text()));
      show(d);
      await go(d.id);
    } catch (e) {
      setNote(e instanceof SyntaxError ? "that file is not JSON" : (e as Failure).text);
    }
  };
  return (
    <div class="sheet">
      <ul class="rows sessions">
        {list?.map((l) => (
          <li key={l.id}>
            <button aria-current={l.id === doc.value?.id ? "true" : undefined} onClick={() => void go(l.id)}>{l.title}<small>{l.start.slice(0, 10)} · {l.place} · {l.setups === 1 ? "1 setup" : `${l.setups} setups`}</small></button>
          </li>
        ))}
      </ul>
      {note && <p class="note">{note}</p>}
      <div class="row">
        <button class="add" onClick={() => (panel.value = "new")}>new session</button>
        <label class="add file">read a file<input type="file" accept=".json,application/json" onChange={(e) => void load(e.currentTarget.files?.[0])} /></label>
        {doc.value && <a class="add" href={`/api/sessions/${doc.value.id}/file`} download={`${doc.value.id}.json`}>write a file</a>}
      </div>
      {session.value && <Text label="what you call this one" value={session.value.title} onSet={(x) => x && change("name session", (s) => { s.title = x; })} />}
    </div>
  );
}

// Newcomer asks three things: where, when, with what. All else has a usual
// value and stays open to change on the same screen.
function Newcomer() {
  const [found, setFound] = useState<Found | null>(null);
  const [day, setDay] = useState(() => new Date(Date.now() + 86_400_000).toISOString().slice(0, 10));
  const [hour, setHour] = useState("13:00");
  const [head, setHead] = useState("battery-400");
  const [mod, setMod] = useState("dish-60");
  const [note, setNote] = useState("");
  const cat = catalogue.value;
  const make = async () => {
    if (!found) return setNote("first say where");
    setNote("looking all round for the best way to stand …");
    const s = edit.fresh({ name: found.name, lat_deg: found.lat_deg, lon_deg: found.lon_deg, elevation_m: found.elevation_m ?? undefined, zone: found.zone }, `${day}T${hour}`);
    for (const h of s.kit.heads) h.class = head;
    s.kit.modifiers![0] = { id: "main", class: mod, name: cat?.modifiers.find((m) => m.id === mod)?.name ?? mod };
    s.setups[0]!.lights[0]!.modifier = "main";
    const way = await slow.ask<WaysAnswer>("way", { session: s }).catch(() => null); // at night there is none
    const best = way?.slots[0]?.setups[0];
    if (best) edit.lookBest(0, best)(s);
    try {
      const d = await workspace.add(s);
      show(d);
      await go(d.id);
    } catch (e) {
      setNote((e as Failure).text);
    }
  };
  return (
    <div class="sheet newcomer">
      <h3>1 · where</h3>
      {found ? <p class="lead">{found.name} <button class="quiet" onClick={() => setFound(null)}>elsewhere</button></p> : <Search first onFound={(f) => { setFound(f); setNote(""); }} />}
      <h3>2 · when</h3>
      <div class="two">
        <label class="field"><span>day</span><input type="date" value={day} onInput={(e) => e.currentTarget.value && setDay(e.currentTarget.value)} /></label>
        <label class="field"><span>hour, clock of the place</span><input type="time" value={hour} onInput={(e) => e.currentTarget.value && setHour(e.currentTarget.value)} /></label>
      </div>
      <h3>3 · two lights of which class</h3>
      <Pick label="head" value={head} of={(cat?.heads ?? []).map((h) => [h.id, h.name])} onSet={setHead} />
      <Pick label="on the key" value={mod} of={(cat?.modifiers ?? []).map((m) => [m.id, m.name])} onSet={setMod} />
      {note && <p class="note" role="alert">{note}</p>}
      <button class="main" onClick={() => void make()}>can I?</button>
      {said.value && <p class="note">{said.value}</p>}
    </div>
  );
}
