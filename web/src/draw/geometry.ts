// The ground in metres: the mark is the origin, x east, y north, z up, bearings
// clockwise from true north. Only geometry; what light does is the engine's.

import type { Light, ModifierJSON, Setup, SetupAnswer } from "../engine/types";

export type Vec = readonly [x: number, y: number, z: number];
export type Point = readonly [x: number, y: number];

const turn = Math.PI / 180;
export const sin = (deg: number) => Math.sin(deg * turn);
export const cos = (deg: number) => Math.cos(deg * turn);
export const bearing = (deg: number) => ((deg % 360) + 360) % 360;
/** signed puts an angle between −180 and 180. */
export const signed = (deg: number) => bearing(deg + 180) - 180;
export const towards = (deg: number, m: number): Point => [m * sin(deg), m * cos(deg)];
export const bearingOf = ([x, y]: Point) => bearing(Math.atan2(x, y) / turn);

/** The subject's height when nobody says: own choice, a grown teenager. */
export const usualHeight = 1.7;

export interface Placed {
  light: Light;
  at: Vec; // the front of the modifier
  distance: number;
  angle: number; // from the line subject to camera
  held: boolean; // the person holds the distance; the plan may not move it
  width: number;
  tall: number;
  beam: number; // full angle of half the level, degrees
  mast: number; // height of the stand with what is on it
  role: string;
  power: string;
}

// As the engine has them: api.UsualAngle, and lightHeight until it has answered.
const usualAngle: Record<string, number> = { key: 40, edge: 150 };
const usualLight = 2.2;

/** place puts every light of a setup where the plan says. */
export function place(su: Setup, answer: SetupAnswer | null, classes: Map<string, ModifierJSON>): Placed[] {
  const back = bearing(su.camera.bearing_deg + 180);
  return su.lights.map((light, i) => {
    const set = answer?.answer?.lights[i];
    const same = set && set.role === light.role ? set : undefined;
    const distance = light.distance_m ?? same?.distance_m ?? light.distance_min_m ?? 2;
    const angle = light.angle_deg ?? usualAngle[light.role] ?? 0;
    const z = light.height_m ?? same?.height_m ?? usualLight;
    const c = classes.get(light.modifier ?? "bare") ?? classes.get("bare");
    const [x, y] = towards(back + angle, level(distance, z));
    return {
      light, distance, angle, at: [x, y, z], held: light.distance_m != null && light.distance_min_m == null && light.distance_max_m == null,
      width: Math.max(c?.width_m ?? 0.1, 0.08), tall: Math.max(c?.height_m ?? 0.1, 0.08), beam: Math.min(c?.beam_deg ?? 120, 170),
      mast: z + (c?.height_m ?? 0.1) / 2, role: light.role, power: same?.power ?? "",
    };
  });
}

/** The face is what a light is measured to. */
export const faceHeight = (stature: number) => stature * 0.92;

// level is how far over the ground a light stands whose distance to the face is d.
function level(d: number, z: number): number {
  const up = z - faceHeight(usualHeight);
  return Math.sqrt(Math.max(d * d - up * up, d * d * 0.04));
}

/** distanceTo undoes level: from a spot on the ground to the light's distance. */
export function distanceTo([x, y]: Point, z: number): number {
  return Math.hypot(x, y, z - faceHeight(usualHeight));
}

/** cast is where the shadow of a point falls on level ground, null with no sun. */
export function cast([x, y, z]: Vec, altitude: number, azimuth: number): Point | null {
  if (altitude < 0.5) return null;
  const long = z / Math.tan(altitude * turn);
  return [x - long * sin(azimuth), y - long * cos(azimuth)];
}

/** hull is the convex outline of points. */
export function hull(points: Point[]): Point[] {
  const p = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: Point[]) => {
    const out: Point[] = [];
    for (const c of list) {
      while (out.length > 1) {
        const [a, b] = [out[out.length - 2]!, out[out.length - 1]!];
        if ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0) break;
        out.pop();
      }
      out.push(c);
    }
    out.pop();
    return out;
  };
  return [...half(p), ...half(p.reverse())];
}

/** One rounded part of a body: from a to b, radius r. Shares of the stature. */
export interface Limb {
  a: Vec;
  b: Vec;
  r: number;
}

// Shares of stature of a standing body, arms down: joints after Drillis and
// Contini's segment lengths as commonly printed (from memory); widths own.
const joints: readonly { a: Vec; b: Vec; r: number }[] = [
  { a: [0, 0.005, 0.915], b: [0, 0.01, 0.95], r: 0.05 }, // head
  { a: [0, 0, 0.82], b: [0, 0, 0.87], r: 0.032 }, // neck
  { a: [-0.085, 0, 0.78], b: [0.085, 0, 0.78], r: 0.042 }, // shoulders
  { a: [0, 0, 0.77], b: [0, 0, 0.56], r: 0.085 }, // trunk
  { a: [-0.05, 0, 0.53], b: [0.05, 0, 0.53], r: 0.052 }, // hips
  { a: [-0.125, 0, 0.79], b: [-0.155, 0.01, 0.63], r: 0.024 },
  { a: [0.125, 0, 0.79], b: [0.155, 0.01, 0.63], r: 0.024 },
  { a: [-0.155, 0.01, 0.63], b: [-0.165, 0.04, 0.46], r: 0.02 },
  { a: [0.155, 0.01, 0.63], b: [0.165, 0.04, 0.46], r: 0.02 },
  { a: [-0.055, 0, 0.51], b: [-0.07, 0.005, 0.285], r: 0.04 },
  { a: [0.055, 0, 0.51], b: [0.07, 0.005, 0.285], r: 0.04 },
  { a: [-0.07, 0.005, 0.285], b: [-0.08, -0.01, 0.045], r: 0.028 },
  { a: [0.07, 0.005, 0.285], b: [0.08, -0.01, 0.045], r: 0.028 },
  { a: [-0.08, -0.01, 0.02], b: [-0.09, 0.1, 0.016], r: 0.02 },
  { a: [0.08, -0.01, 0.02], b: [0.09, 0.1, 0.016], r: 0.02 },
];

/** body is a standing figure on the mark that faces the bearing faces. */
export function body(stature: number, faces: number): Limb[] {
  const put = ([x, y, z]: Vec): Vec => [stature * (x * cos(faces) + y * sin(faces)), stature * (y * cos(faces) - x * sin(faces)), stature * z];
  return joints.map((l) => ({ a: put(l.a), b: put(l.b), r: stature * l.r }));
}

const ring = Array.from({ length: 12 }, (_, i) => i * 30);

/** shadows are the outlines of a body's shadow on the ground, one a limb. */
export function shadows(limbs: Limb[], altitude: number, azimuth: number): Point[][] {
  return limbs.flatMap(({ a, b, r }) => {
    const rim: Point[] = [];
    for (const c of [a, b]) {
      const at = cast(c, altitude, azimuth);
      if (!at) return [];
      // a ball throws an ellipse, longer by 1/sin(altitude) along the sun
      for (const t of ring) {
        const along = (r * cos(t)) / sin(altitude);
        const across = r * sin(t);
        rim.push([at[0] + along * sin(azimuth) + across * cos(azimuth), at[1] + along * cos(azimuth) - across * sin(azimuth)]);
      }
    }
    return [hull(rim)];
  });
}

/** front is the rim of a modifier: an upright plane turned to the face. */
export function front(p: Placed, stature: number): Vec[] {
  const [x, y, z] = p.at;
  const out = bearingOf([-x, -y]);
  const down = Math.atan2(z - faceHeight(stature), Math.hypot(x, y)) / turn;
  const round = Math.abs(p.width - p.tall) < 0.05;
  const rim = round ? ring.map((t): Point => [cos(t) / 2, sin(t) / 2]) : ([[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]] as Point[]);
  return rim.map(([u, v]): Vec => {
    const across = u * p.width;
    const up = v * p.tall;
    const lean = up * sin(down);
    return [x + across * cos(out) + lean * sin(out), y - across * sin(out) + lean * cos(out), z + up * cos(down)];
  });
}

/** The camera, as far as a picture of geometry needs it. */
export interface Eye {
  at: Vec;
  bearing: number;
  pitch: number;
  wide: number; // tangent of half the angle across
  high: number;
}

export const sensorSize: Record<string, Point> = {
  "full-frame": [36, 24], "aps-c": [23.5, 15.6], "four-thirds": [17.3, 13], "medium-44x33": [43.8, 32.9], "medium-54x40": [53.4, 40],
};

/** eye looks at the figure whole when it fits, else at the face. */
export function eye(su: Setup, sensor: string, stature: number): Eye {
  const [w, h] = sensorSize[sensor] ?? [36, 24];
  const c = su.camera;
  const [x, y] = towards(c.bearing_deg + 180, c.distance_m);
  const high = h / 2 / su.focal_mm;
  const tall = 2 * high * c.distance_m;
  const aim = tall > stature * 1.08 ? stature * 0.52 : Math.max(stature * 1.05 - tall / 2, stature * 0.5);
  return { at: [x, y, c.height_m], bearing: c.bearing_deg, pitch: Math.atan2(aim - c.height_m, c.distance_m) / turn, wide: w / 2 / su.focal_mm, high };
}

/** see puts a point into the frame: −1 to 1 across and up; depth in metres,
 * not positive when it lies behind the camera. */
export function see(e: Eye, [x, y, z]: Vec): { u: number; v: number; depth: number } {
  const [dx, dy, dz] = [x - e.at[0], y - e.at[1], z - e.at[2]];
  const ahead = dx * sin(e.bearing) + dy * cos(e.bearing);
  const right = dx * cos(e.bearing) - dy * sin(e.bearing);
  const depth = ahead * cos(e.pitch) + dz * sin(e.pitch);
  const up = dz * cos(e.pitch) - ahead * sin(e.pitch);
  return { u: right / depth / e.wide, v: up / depth / e.high, depth };
}
