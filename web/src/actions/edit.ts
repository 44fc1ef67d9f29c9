// What a person can do to a session, as edits with a name for undo.

import type { Light, Session, Setup, SetupWays } from "../engine/types";
import { bearing, bearingOf, distanceTo, signed, type Point } from "../draw/geometry";

export type Edit = (s: Session) => void;

const round = (x: number, to: number) => Math.round(x / to) * to;
const clean = (x: number) => Number(x.toFixed(3));
const within = (x: number, a: number, b: number) => Math.min(Math.max(x, a), b);

export const setupOf = (i: number, edit: (su: Setup) => void): Edit => (s) => {
  const su = s.setups[i];
  if (su) edit(su);
};

/** hold sets where a light stands; the plan may no longer choose the distance. */
export const hold = (i: number, light: number, distance: number, angle: number): Edit => setupOf(i, (su) => {
  const l = su.lights[light];
  if (!l) return;
  l.distance_m = clean(within(round(distance, 0.05), 0.3, 60));
  delete l.distance_min_m;
  delete l.distance_max_m;
  l.angle_deg = clean(round(signed(angle), 1));
});

/** free gives the distance back to the plan, within limits. */
export const free = (i: number, light: number): Edit => setupOf(i, (su) => {
  const l = su.lights[light];
  if (!l?.distance_m) return;
  l.distance_min_m = clean(within(l.distance_m * 0.7, 0.5, 60));
  l.distance_max_m = clean(within(l.distance_m * 1.4, 0.7, 100));
  delete l.distance_m;
});

/** lightTo moves a light to a spot on the ground. */
export const lightTo = (i: number, light: number, to: Point, height: number): Edit => (s) => {
  const su = s.setups[i];
  if (su) hold(i, light, distanceTo(to, height), bearingOf(to) - su.camera.bearing_deg - 180)(s);
};

/** cameraTo moves the camera; it goes on looking at the subject. Lights keep
 * their place on the ground, and so does the way the subject faces. */
export const cameraTo = (i: number, to: Point): Edit => setupOf(i, (su) => {
  const looks = round(bearing(bearingOf(to) + 180), 1);
  const turned = looks - su.camera.bearing_deg;
  su.camera.distance_m = clean(within(round(Math.hypot(...to), 0.05), 0.5, 200));
  su.camera.bearing_deg = clean(bearing(looks));
  for (const l of su.lights) if (l.angle_deg !== undefined) l.angle_deg = clean(signed(l.angle_deg - turned));
});

// How far a subject faces from the lens before it counts as at play: then the
// camera goes round it, as the engine has it.
const atPlay = 60;

/** lookAlong turns the whole setup about the mark: camera and lights, and the
 * subject with them unless it is at play. */
export const lookAlong = (i: number, deg: number): Edit => setupOf(i, (su) => {
  const by = deg - su.camera.bearing_deg;
  const faces = su.subject?.faces_deg;
  if (faces !== undefined && Math.abs(signed(faces - su.camera.bearing_deg - 180)) <= atPlay) su.subject!.faces_deg = clean(bearing(faces + by));
  su.camera.bearing_deg = clean(bearing(deg));
});

/** lookBest turns the setup to its best bearing and puts the lights where they
 * stand well there. */
export const lookBest = (i: number, w: SetupWays): Edit => (s) => {
  lookAlong(i, w.best.bearing_deg)(s);
  s.setups[i]?.lights.forEach((l, n) => {
    const stand = w.lights[n];
    if (stand?.role !== l.role || stand.by_sun) return;
    l.angle_deg = stand.angle_deg;
    l.height_m = stand.height_m;
  });
};

export const faceTo = (i: number, deg: number): Edit => setupOf(i, (su) => {
  (su.subject ??= {}).faces_deg = clean(bearing(round(deg, 1)));
});

export const solidTo = (n: number, [x, y]: Point): Edit => (s) => {
  const o = s.place.solids?.[n];
  if (!o) return;
  delete o.bearing_deg;
  delete o.distance_m;
  o.east_m = clean(round(x, 0.1));
  o.north_m = clean(round(y, 0.1));
};

/** standAt puts a thing at a bearing and a distance from the mark. */
export const standAt = (n: number, deg: number, distance: number): Edit => (s) => {
  const o = s.place.solids?.[n];
  if (!o) return;
  delete o.east_m;
  delete o.north_m;
  o.bearing_deg = clean(bearing(deg));
  o.distance_m = clean(distance);
};

// Where lit poles are put first, from the way the lens looks: out of the frame,
// the first two behind the camera.
const outOfFrame = [225, 135, 315, 45];

/** litPole adds a field light that is on. */
export const litPole = (i: number): Edit => (s) => {
  const solids = (s.place.solids ??= []);
  const n = solids.filter((o) => o.kind === "field light").length;
  solids.push({ kind: "field light", name: `pole ${n + 1}`, lit: true, bearing_deg: clean(bearing((s.setups[i]?.camera.bearing_deg ?? 0) + outOfFrame[n % 4]!)), distance_m: 30 + 10 * Math.floor(n / 4) });
};

/** meter takes the sky as metered, from the level that was expected. */
export const meter = (expected: number | undefined): Edit => (s) => {
  s.sky = { kind: "meter", meter_ev100: Number((expected ?? 15).toFixed(1)) };
};

/** hourTo moves the setup to another minute of its day. */
export const hourTo = (i: number, at: string): Edit => setupOf(i, (su) => {
  su.at = at;
});

export const freshId = (taken: string[], name: string) => {
  const base = name.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, "") || "setup";
  let id = base;
  for (let n = 2; taken.includes(id); n++) id = `${base}-${n}`;
  return id;
};

export const copySetup = (i: number): Edit => (s) => {
  const su = s.setups[i];
  if (!su) return;
  const copy: Setup = JSON.parse(JSON.stringify(su));
  copy.id = freshId(s.setups.map((x) => x.id), su.id.replace(/-\d+$/, ""));
  copy.title = su.title;
  const shots = s.setups.flatMap((x) => x.shots ?? []).map((x) => x.id);
  copy.shots = copy.shots?.map((x) => ({ ...x, id: freshId(shots, `${copy.id}-${x.id}`) }));
  s.setups.splice(i + 1, 0, copy);
};

export const dropSetup = (i: number): Edit => (s) => {
  if (s.setups.length > 1) s.setups.splice(i, 1);
};

export const moveSetup = (i: number, by: number): Edit => (s) => {
  const [su] = s.setups.splice(i, 1);
  if (su) s.setups.splice(within(i + by, 0, s.setups.length), 0, su);
};

/** inOrder lists the setups as given; who is not named comes last. */
export const inOrder = (ids: string[]): Edit => (s) => {
  const place = (id: string) => (ids.indexOf(id) + ids.length) % (ids.length + 1);
  s.setups.sort((a, b) => place(a.id) - place(b.id));
};

/** team reads a line a player, "7 Ana"; who was there before keeps what is
 * known of them. */
export const team = (text: string): Edit => (s) => {
  const before = s.roster ?? [];
  const taken: string[] = [];
  s.roster = text.split("\n").map((l) => l.trim()).filter(Boolean).map((l) => {
    const [, number, name] = /^(\d+[a-z]?)?[.:)\s]*(.*)$/i.exec(l) ?? [];
    const was = before.find((p) => (p.number ?? "") === (number ?? "") && (p.name ?? p.id) === (name || p.id) && !taken.includes(p.id));
    const p = was ?? { id: freshId([...before.map((x) => x.id), ...taken], name || number || "player"), ...(name ? { name } : {}), ...(number ? { number } : {}) };
    taken.push(p.id);
    return p;
  });
  if (!s.roster.length) delete s.roster;
};

export const usualLight = (role: string, head: string): Light =>
  role === "edge" ? { role, head, distance_min_m: 2.2, distance_max_m: 6, angle_deg: -105, height_m: 2.1 } : { role, head, distance_min_m: 1.2, distance_max_m: 3.5, angle_deg: 40, height_m: 2.2 };

/** fresh is a session with nothing said but where and when: two heads, a whole
 * figure, the background two stops under. Which way to look is the engine's. */
export function fresh(place: { name: string; lat_deg: number; lon_deg: number; elevation_m?: number; zone: string }, start: string): Session {
  return {
    format: "hardnoon session 1", title: place.name ? `${place.name}, ${start.slice(0, 10)}` : start.slice(0, 10),
    place: { ...place, ground: "grass" }, start, sky: { kind: "named", name: "clear" },
    kit: {
      camera: { sensor: "full-frame", megapixels: 24, sync: "1/250", fastest: "1/8000", shutter: "focal-plane", iso_min: 100, iso_max: 3200, dial: "thirds" },
      lenses: [{ id: "zoom", name: "standard zoom", focal_min_mm: 24, focal_max_mm: 70, f_min: 2.8, f_max: 22 }, { id: "long", name: "long zoom", focal_min_mm: 70, focal_max_mm: 200, f_min: 2.8, f_max: 22 }],
      heads: [{ id: "a", class: "battery-400", name: "head A" }, { id: "b", class: "battery-400", name: "head B" }],
      modifiers: [{ id: "dish", class: "dish-60", name: "dish" }, { id: "reflector", class: "reflector-18", name: "reflector" }],
      stands: [{ id: "tall", max_height_m: 3.2, leg_radius_m: 0.55, mass_kg: 2.4 }, { id: "short", max_height_m: 2.4, leg_radius_m: 0.45, mass_kg: 1.6 }],
      nd_stops: [3],
    },
    setups: [{
      id: "first", title: "Whole figure, low camera", minutes: 15, camera: { distance_m: 3, height_m: 0.6, bearing_deg: 180 }, lens: "zoom", focal_mm: 35,
      lights: [{ ...usualLight("key", "a"), modifier: "dish", stand: "tall" }, { ...usualLight("edge", "b"), modifier: "reflector", stand: "short" }],
      look: { under_stops: 2, key_stops: 0, edge_stops: 0.5, f_number_min: 2.8, f_number_max: 16 }, shots: [{ id: "one", title: "standing", frames: 12 }],
    }],
  };
}
