// The ground from above: metres, true north up, every shadow computed. Pure: it
// draws what it is given and reports where a hand moved something.

import { useMemo, useState } from "preact/hooks";
import type { Solid } from "../engine/types";
import type { Point, Placed } from "./geometry";
import { Ring, type RingProps } from "./ring";
import { bearing, bearingOf, body, cast, cos, front, hull, shadows, signed, sin, towards } from "./geometry";

export interface Grip {
  what: string; // "camera", "subject", "sun" or "light 0"
  to: Point; // metres, from the mark
}

export interface GroundProps {
  width: number;
  height: number;
  lights: Placed[];
  solids: Solid[];
  camera: { bearing: number; distance: number; half: number; near?: number; far?: number | null };
  faces: number;
  stature: number;
  sun: { altitude: number; azimuth: number };
  /** tip of the shadow through the day: minutes of the day and where the sun is */
  track: { minutes: number; altitude: number; azimuth: number }[];
  hours: (minutes: number) => string;
  keepOut: (number | null)[];
  metre: { step: number; label: string };
  words: { distance: (m: number) => string };
  chosen: string;
  ring: RingProps | null;
  zoom: number;
  onZoom: (by: number) => void;
  onGrab: (what: string) => void;
  onMove: (grip: Grip) => void;
  onDrop: () => void;
  onKey: (what: string, key: string, fine: boolean) => boolean;
}

const path = (points: Point[], close = true) => "M" + points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L") + (close ? "Z" : "");

/** scale picks pixels a metre so that the session fills the drawing. */
function scale(p: GroundProps): { k: number; cx: number; cy: number } {
  const c = towards(p.camera.bearing + 180, p.camera.distance);
  const spots: Point[] = [[-2.2, -2.2], [2.2, 2.2], [c[0] * 1.12, c[1] * 1.12]];
  p.lights.forEach((l, i) => {
    const r = Math.min(p.keepOut[i] ?? 1, 1.6);
    spots.push([l.at[0] - r, l.at[1] - r], [l.at[0] + r, l.at[1] + r]);
  });
  const r = p.ring ? ringRadius(p) : 0;
  if (r) spots.push([-r, -r], [r, r]);
  const aside = r ? 230 : 120; // pixels for names
  const xs = spots.map((s) => s[0]);
  const ys = spots.map((s) => s[1]);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const k = Math.min((p.width - aside) / (x1 - x0), (p.height - aside - 30 + (r ? 60 : 0)) / (y1 - y0), 130) * p.zoom;
  return { k, cx: p.width / 2 - (k * (x0 + x1)) / 2, cy: p.height / 2 - 26 + (k * (y0 + y1)) / 2 };
}

// The ring lies just outside the camera and the lights.
function ringRadius(p: GroundProps) {
  return Math.max(p.camera.distance * 1.25, ...p.lights.map((l) => Math.hypot(l.at[0], l.at[1]) + 0.8), 2.4);
}

// While a hand drags, the drawing must not slip away under it.
let still: { k: number; cx: number; cy: number } | null = null;

export function Ground(p: GroundProps) {
  const { k, cx, cy } = still ?? scale(p);
  const [held, setHeld] = useState(""); // what the keyboard is on
  const X = ([x, y]: Point): Point => [cx + x * k, cy - y * k];
  const M = (px: number, py: number): Point => [(px - cx) / k, (cy - py) / k];

  const grab = (what: string) => (e: PointerEvent) => {
    if (e.button) return;
    e.preventDefault();
    const g = e.currentTarget as SVGGElement;
    const svg = g.ownerSVGElement!;
    g.focus();
    g.setPointerCapture(e.pointerId);
    still = { k, cx, cy };
    p.onGrab(what);
    const spot = (m: PointerEvent): Point => {
      const box = svg.getBoundingClientRect();
      return M(m.clientX - box.left, m.clientY - box.top);
    };
    const move = (m: PointerEvent) => p.onMove({ what, to: spot(m) });
    const drop = () => {
      g.removeEventListener("pointermove", move);
      g.removeEventListener("pointerup", drop);
      g.removeEventListener("pointercancel", drop);
      still = null;
      p.onDrop();
    };
    g.addEventListener("pointermove", move);
    g.addEventListener("pointerup", drop);
    g.addEventListener("pointercancel", drop);
  };
  const grip = (what: string, label: string) => ({
    class: "grip", tabindex: 0, role: "button", "aria-label": label, "aria-roledescription": "can be moved with the arrow keys", "data-what": what,
    onPointerDown: grab(what), onFocus: () => setHeld(what), onBlur: () => setHeld(""),
    onKeyDown: (e: KeyboardEvent) => p.onKey(what, e.key, e.shiftKey) && e.preventDefault(),
  });

  // what a hand that drags a light leaves as it is
  const at = [k, cx, cy, p.width, p.height];
  const crosses = useMemo(() => <Crosses p={p} X={X} M={M} k={k} />, [...at, p.metre.step]);
  const things = useMemo(() => p.solids.map((o, i) => <Thing key={i} o={o} X={X} k={k} grip={grip(`solid ${i}`, `${o.name ?? o.kind}${o.lit ? ", on" : ""}${o.label === "hide" ? ", to be hidden" : ""}`)} />), [...at, JSON.stringify(p.solids)]);
  const words = nameSpots(p, X, k);
  const track = useMemo(() => <Track p={p} X={X} grip={grip} words={words} />, [...at, still ? "" : words.join(), p.track, p.sun.altitude, p.sun.azimuth, p.stature, p.hours(0)]);

  return (
    <svg class="ground" width={p.width} height={p.height} role="group" aria-label="The ground from above, true north up" onWheel={(e: WheelEvent) => { e.preventDefault(); p.onZoom(2 ** (-e.deltaY / 500)); }}>
      <defs>
        <pattern id="shade" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(-38)">
          <rect width="5" height="5" class="shade-bed" />
          <path d="M0 0H5" class="shade-line" />
        </pattern>
        <pattern id="hide" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0H7" class="hide-line" /></pattern>
        <clipPath id="ground-edge"><rect width={p.width} height={p.height} /></clipPath>
      </defs>
      <g clip-path="url(#ground-edge)">
        {crosses}
        {things}
        <View p={p} X={X} k={k} />
        {p.solids.map((o, i) => (o.lit || held === `solid ${i}`) && <Afar key={i} o={o} X={X} p={p} held={held === `solid ${i}`} />)}
        {p.ring && <Ring {...p.ring} middle={X([0, 0])} r={ringRadius(p) * k} width={p.width} />}
        {p.lights.map((l, i) => <Beam key={i} l={l} X={X} k={k} i={i} />)}
        <Shade p={p} X={X} />
        {track}
        {p.lights.map((_, i) => p.keepOut[i] && <circle key={i} class="fall" cx={X(foot(p.lights[i]!))[0]} cy={X(foot(p.lights[i]!))[1]} r={p.keepOut[i]! * k} />)}
        <Person p={p} X={X} k={k} grip={grip} />
        {p.lights.map((l, i) => <Head key={i} l={l} X={X} k={k} p={p} grip={grip(`light ${i}`, `${l.role} ${lightMeasure(p, l)}, ${Math.round(Math.abs(signed(l.angle)))}° ${signed(l.angle) < 0 ? "anticlockwise" : "clockwise"} of the camera`)} chosen={p.chosen === `light ${i}`} />)}
        <Camera p={p} X={X} k={k} grip={grip} />
        <North p={p} />
        <Rule p={p} k={k} />
      </g>
    </svg>
  );
}

const foot = (l: Placed): Point => [l.at[0], l.at[1]];

type To = (p: Point) => Point;
type GripFor = (what: string, label: string) => Record<string, unknown>;

// A cross at every metre, as on a surveyor's sheet.
function Crosses({ p, X, M, k }: { p: GroundProps; X: To; M: (x: number, y: number) => Point; k: number }) {
  const each = p.metre.step * ([1, 5, 10, 50].find((x) => x * p.metre.step * k > 22) ?? 100);
  const [x0, y0] = M(0, p.height);
  const [x1, y1] = M(p.width, 0);
  let d = "";
  for (let x = Math.ceil(x0 / each) * each; x <= x1; x += each)
    for (let y = Math.ceil(y0 / each) * each; y <= y1; y += each) {
      const [a, b] = X([x, y]);
      d += `M${a - 2.5} ${b}h5M${a} ${b - 2.5}v5`;
    }
  return <path class="crosses" d={d} />;
}

// Usual sizes, for drawing alone: where none is said the engine takes its own.
const usualSize: Record<string, [width: number, depth: number]> = {
  wall: [10, 0.2], fence: [20, 0.05], pole: [0.15, 0.15], seating: [20, 5], building: [20, 10], vehicle: [1.8, 4.5], tree: [6, 6], "field light": [0.4, 0.4],
};

export function standsAt(o: Solid): Point {
  return o.east_m !== undefined || o.north_m !== undefined ? [o.east_m ?? 0, o.north_m ?? 0] : towards(o.bearing_deg ?? 0, o.distance_m ?? 0);
}

const ray = (x: number, y: number, deg: number, r: number) => `M${x + (r + 3) * sin(deg)} ${y - (r + 3) * cos(deg)}L${x + (r + 11) * sin(deg)} ${y - (r + 11) * cos(deg)}`;

// What stands around; hatched where the picture shall not show it.
function Thing({ o, X, k, grip }: { o: Solid; X: To; k: number; grip: Record<string, unknown> }) {
  const at = standsAt(o);
  const [w, d] = usualSize[o.kind] ?? [1, 1];
  const [wide, deep] = [(o.width_m ?? w) / 2, (o.depth_m ?? (o.width_m && w === d ? o.width_m : d)) / 2];
  const turn = o.turn_deg ?? bearingOf(at);
  const corner = (a: number, b: number): Point => {
    const [f, r] = [towards(turn, a * deep), towards(turn + 90, b * wide)];
    return X([at[0] + f[0] + r[0], at[1] + f[1] + r[1]]);
  };
  const round = ["tree", "pole", "field light"].includes(o.kind);
  const kind = o.label === "hide" ? "solid hide" : "solid";
  const [x, y] = X(at);
  return (
    <g {...grip}>
      {o.lit && <path class="rays" d={[-40, -20, 0, 20, 40].map((d) => ray(x, y, (o.turn_deg ?? turn + 180) + d, Math.max(wide * k, 4))).join("")} />}
      {round ? <circle class={kind} cx={x} cy={y} r={Math.max(wide * k, 3)} /> : <path class={kind} d={path([corner(1, 1), corner(1, -1), corner(-1, -1), corner(-1, 1)])} />}
      <text class="measure" x={x} y={y - Math.max(deep * k, 4) - 5} text-anchor="middle">{o.name ?? o.kind}</text>
    </g>
  );
}

// What stands beyond the drawing and counts, a field light that is on or a thing
// the keyboard is on: an arrow at the edge, towards it.
function Afar({ o, X, p, held }: { o: Solid; X: To; p: GroundProps; held: boolean }) {
  const at = standsAt(o);
  const [mx, my] = X([0, 0]);
  const [x, y] = X(at);
  const inset = 18;
  if (x > 0 && x < p.width && y > 0 && y < p.height) return null;
  const share = Math.min(...[[x - mx, p.width - inset - mx, inset - mx], [y - my, p.height - inset - my, inset - my]].map(([d, far, near]) => (d! > 0 ? far! / d! : d! < 0 ? near! / d! : Infinity)));
  const [ex, ey] = [mx + (x - mx) * share, my + (y - my) * share];
  const turn = bearingOf(at);
  const left = ex > p.width / 2;
  return (
    <g class="afar">
      {held && <circle class="held" cx={ex} cy={ey} r="12" />}
      <path d="M0 -9L5 3H-5Z" transform={`translate(${ex} ${ey}) rotate(${turn})`} />
      <text class="measure" x={ex + (left ? -16 : 16)} y={ey + 4} text-anchor={left ? "end" : "start"}>{o.name ?? o.kind} {p.words.distance(Math.hypot(...at))}</text>
    </g>
  );
}

function View({ p, X }: { p: GroundProps; X: To; k: number }) {
  const c = p.camera;
  const at = towards(c.bearing + 180, c.distance);
  const far = 400;
  const arm = (d: number, m: number): Point => X([at[0] + towards(c.bearing + d, m)[0], at[1] + towards(c.bearing + d, m)[1]]);
  const arc = (m: number) => path(Array.from({ length: 13 }, (_, i) => arm(-c.half + (i * c.half) / 6, m / cos(-c.half + (i * c.half) / 6))), false);
  return (
    <g>
      <path class="view-side" d={`M${X(at).join(" ")}L${arm(-c.half, far).join(" ")}M${X(at).join(" ")}L${arm(c.half, far).join(" ")}`} />
      {c.near && <path class="sharp" d={arc(c.near)} />}
      {c.far && c.far < 60 && <path class="sharp" d={arc(c.far)} />}
    </g>
  );
}

// The beam to half its middle level, and the strip around the mark that stays
// within a third of a stop of it.
function Beam({ l, X, k, i }: { l: Placed; X: To; k: number; i: number }) {
  const to = bearingOf([-l.at[0], -l.at[1]]);
  const level = Math.hypot(l.at[0], l.at[1]);
  const half = l.beam / 2;
  const out = level * 1.32;
  const side = towards(to + 90, l.width / 2);
  const from = (s: number): Point => [l.at[0] + side[0] * s, l.at[1] + side[1] * s];
  const ray = (s: number, d: number, m: number): Point => {
    const v = towards(to + d, m);
    return [from(s)[0] + v[0], from(s)[1] + v[1]];
  };
  const turns = Array.from({ length: 17 }, (_, j) => -half + (j * half) / 8);
  const cone = [from(-1), ...turns.map((d) => ray(d / half, d, out)), from(1)];
  const third = 2 ** (1 / 6);
  const strip = [...turns.map((d) => ray(0, Math.max(-40, Math.min(40, d)) / 2, level / third)), ...[...turns].reverse().map((d) => ray(0, Math.max(-40, Math.min(40, d)) / 2, level * third))];
  const [a, b] = X(foot(l));
  return (
    <g class="beam">
      <radialGradient id={`glow${i}`} gradientUnits="userSpaceOnUse" cx={a} cy={b} r={out * k}>
        <stop offset="0" class="glow-in" />
        <stop offset="1" class="glow-out" />
      </radialGradient>
      <path d={path(cone.map(X))} fill={`url(#glow${i})`} />
      {l.role === "key" && <path class="third" d={path(strip.map(X))} />}
    </g>
  );
}

function Shade({ p, X }: { p: GroundProps; X: To }) {
  const { altitude, azimuth } = p.sun;
  const parts = shadows(body(p.stature, p.faces), altitude, azimuth);
  for (const l of p.lights) {
    const rim = front(l, p.stature).map((v) => cast(v, altitude, azimuth));
    if (rim.every((r) => r !== null)) parts.push(hull(rim as Point[]));
    const top = cast([l.at[0], l.at[1], l.at[2]], altitude, azimuth);
    if (top) {
      const across = towards(azimuth + 90, 0.018);
      const [x, y] = foot(l);
      parts.push([[x - across[0], y - across[1]], [x + across[0], y + across[1]], [top[0] + across[0], top[1] + across[1]], [top[0] - across[0], top[1] - across[1]]]);
    }
  }
  return <path class="shade" d={parts.map((o) => path(o.map(X))).join("")} />;
}

// The way the tip of the subject's shadow takes through the day, with its hours:
// the subject is the hand of a sundial, and can be turned.
function Track({ p, X, grip, words }: { p: GroundProps; X: To; grip: GripFor; words: Point[] }) {
  const spot = (s: { altitude: number; azimuth: number }) => cast([0, 0, p.stature], s.altitude, s.azimuth);
  const line = p.track.filter((t) => t.altitude > 6).map((t) => ({ t, at: spot(t)! }));
  const hours = line.filter(({ t }) => Math.abs(t.minutes - Math.round(t.minutes / 60) * 60) < 0.5);
  const now = spot(p.sun);
  // names of the hours stand apart from each other, from the tip and from other names
  const apart: Point[] = [...(now ? [X(now)] : []), ...words];
  const named = new Set(hours.filter(({ at }) => {
    const [x] = X(at);
    if (x < 42 || x > p.width - 42) return false; // it would be cut
    const far = apart.every((o) => Math.hypot(o[0] - X(at)[0], o[1] - X(at)[1]) > 34);
    if (far) apart.push(X(at));
    return far;
  }));
  return (
    <g>
      {line.length > 1 && <path class="track" d={path(line.map(({ at }) => X(at)), false)} />}
      {hours.map((h) => {
        const { t, at } = h;
        const [x, y] = X(at);
        const [dx, dy] = [at[0], at[1]].map((v) => v / (Math.hypot(at[0], at[1]) || 1)) as [number, number];
        return (
          <g key={t.minutes}>
            <path class="hour" d={`M${x - dx * 3} ${y + dy * 3}L${x + dx * 4} ${y - dy * 4}`} />
            {named.has(h) && <text class="hour-name" x={x + dx * 15} y={y - dy * 13 + 4} text-anchor={dx > 0.5 ? "start" : dx < -0.5 ? "end" : "middle"}>{p.hours(t.minutes)}</text>}
          </g>
        );
      })}
      {now && (
        <g {...grip("sun", `tip of the subject's shadow, sun ${Math.round(p.sun.altitude)}° high in ${Math.round(p.sun.azimuth)}°: move it to change the hour`)}>
          <circle class="hit" cx={X(now)[0]} cy={X(now)[1]} r="16" />
          <circle class="tip" cx={X(now)[0]} cy={X(now)[1]} r="4.5" />
        </g>
      )}
    </g>
  );
}

function Person({ p, X, k, grip }: { p: GroundProps; X: To; k: number; grip: GripFor }) {
  const [x, y] = X([0, 0]);
  const s = p.stature;
  const nose = X(towards(p.faces, 0.75));
  const head = X(towards(p.faces, 0.012 * s));
  return (
    <g {...grip("subject", `subject, faces ${Math.round(p.faces)}°`)}>
      <circle class="hit" cx={nose[0]} cy={nose[1]} r="14" />
      <circle class="hit" cx={x} cy={y} r={Math.max(0.3 * k, 12)} />
      <ellipse class="shoulders" cx={x} cy={y} rx={Math.max(0.128 * s * k, 8)} ry={Math.max(0.066 * s * k, 4.5)} transform={`rotate(${p.faces} ${x} ${y})`} />
      <circle class="skull" cx={head[0]} cy={head[1]} r={Math.max(0.055 * s * k, 4)} />
      <path class="gaze" d={`M${X(towards(p.faces, 0.16)).join(" ")}L${nose.join(" ")}`} />
      <path class="gaze-end" d={path([X(towards(p.faces, 0.82)), X([towards(p.faces, 0.7)[0] + towards(p.faces + 90, 0.05)[0], towards(p.faces, 0.7)[1] + towards(p.faces + 90, 0.05)[1]]), X([towards(p.faces, 0.7)[0] - towards(p.faces + 90, 0.05)[0], towards(p.faces, 0.7)[1] - towards(p.faces + 90, 0.05)[1]])])} />
    </g>
  );
}

const nameWide = 86; // pixels a name and its measure take at most

// label stands on the far side of a thing, seen from the mark; where the drawing
// ends there, under it.
function beside(X: To, at: Point, px: number, width: number): { x: number; y: number; anchor: "start" | "middle" | "end" } {
  const [x, y] = X(at);
  const r = Math.hypot(at[0], at[1]) || 1;
  const [dx, dy] = [at[0] / r, -at[1] / r];
  const anchor = dx > 0.35 ? "start" : dx < -0.35 ? "end" : "middle";
  const to = x + dx * px;
  if ((anchor === "end" && to < nameWide) || (anchor === "start" && to > width - nameWide)) return { x: Math.min(Math.max(x, nameWide / 2 + 4), width - nameWide / 2 - 4), y: y + px + 4, anchor: "middle" };
  return { x: to, y: y + dy * px + 4, anchor };
}

// nameSpots are the middles of the names of lights and camera.
const nameSpots = (p: GroundProps, X: To, k: number): Point[] => [...p.lights.map((l) => beside(X, foot(l), Math.max(0.3 * k, 20) + 8, p.width)), beside(X, towards(p.camera.bearing + 180, p.camera.distance), 30, p.width)]
  .map(({ x, y, anchor }) => [x + { start: 1, middle: 0, end: -1 }[anchor] * (nameWide / 3), y]);

function Name({ x, y, dy, anchor, name, measure }: { x: number; y: number; dy: number; anchor: "start" | "middle" | "end"; name: string; measure: string }) {
  return (
    <text x={x} y={y + dy - 7} text-anchor={anchor}>
      <tspan class="name">{name}</tspan>{" "}
      <tspan class="measure" x={x} dy="15">{measure}</tspan>
    </text>
  );
}

const lightMeasure = (p: GroundProps, l: Placed) => p.words.distance(l.distance) + (l.power && ` · ${l.power}`);
const cameraMeasure = (p: GroundProps) => `${p.words.distance(p.camera.distance)} · ${Math.round(bearing(p.camera.bearing))}°`;

function Head({ l, X, k, p, grip, chosen }: { l: Placed; X: To; k: number; p: GroundProps; grip: Record<string, unknown>; chosen: boolean }) {
  const at = foot(l);
  const [x, y] = X(at);
  const out = bearingOf([-at[0], -at[1]]);
  const rim = hull(front(l, p.stature).map((v): Point => [v[0], v[1]])).map(X);
  const back = towards(out + 180, 0.22);
  const case_ = X([at[0] + back[0], at[1] + back[1]]);
  const t = beside(X, at, Math.max(0.3 * k, 20) + 8, p.width);
  const dx = t.anchor === "middle" ? (t.y > y ? 16 : -16) : 0;
  return (
    <g {...grip} data-chosen={chosen || undefined}>
      <circle class="hit" cx={x} cy={y} r={Math.max((l.width / 2) * k, 18)} />
      <path class="case" d={`M${x} ${y}L${case_.join(" ")}`} />
      <path class="front" d={path(rim)} />
      <circle class="column" cx={x} cy={y} r="2" />
      <Name {...t} dy={dx} name={l.role} measure={lightMeasure(p, l)} />
    </g>
  );
}

function Camera({ p, X, grip }: { p: GroundProps; X: To; k: number; grip: GripFor }) {
  const c = p.camera;
  const at = towards(c.bearing + 180, c.distance);
  const put = (ahead: number, right: number): Point => {
    const [x, y] = X(at);
    return [x + ahead * sin(c.bearing) + right * cos(c.bearing), y - ahead * cos(c.bearing) + right * sin(c.bearing)];
  };
  const t = beside(X, at, 30, p.width);
  const dx = t.anchor === "middle" ? (t.y > X(at)[1] ? 10 : -10) : 0;
  return (
    <g {...grip("camera", `camera ${cameraMeasure(p)}, from the subject and the way it looks`)}>
      <circle class="hit" cx={X(at)[0]} cy={X(at)[1]} r="20" />
      <path class="camera" d={path([put(-9, -11), put(-9, 11), put(2, 11), put(2, 6), put(11, 7), put(11, -7), put(2, -6), put(2, -11)])} />
      <Name {...t} dy={dx} name="camera" measure={cameraMeasure(p)} />
    </g>
  );
}

function North({ p }: { p: GroundProps }) {
  const [x, y] = [30, 44];
  const s = p.sun;
  return (
    <g>
      <path class="north" d={`M${x} ${y + 18}V${y - 18}M${x - 5} ${y - 8}L${x} ${y - 20}L${x + 5} ${y - 8}`} />
      <text class="north-name" x={x} y={y - 26} text-anchor="middle">N</text>
      {s.altitude > -0.8 && (
        <path class="sun-way" d={`M${x + 16 * sin(s.azimuth)} ${y - 16 * cos(s.azimuth)}L${x + 24 * sin(s.azimuth)} ${y - 24 * cos(s.azimuth)}`} />
      )}
    </g>
  );
}

function Rule({ p, k }: { p: GroundProps; k: number }) {
  const n = [1, 2, 5, 10, 20, 50, 100, 200].find((x) => x * p.metre.step * k > 70) ?? 500;
  const long = n * p.metre.step * k;
  const [x, y] = [22, p.height - 18];
  return (
    <g>
      <path class="rule" d={`M${x} ${y - 5}V${y}H${x + long}V${y - 5}M${x + long / (n % 5 ? n : 5)} ${y - 3}V${y}`} />
      <text class="measure" x={x + long + 8} y={y + 1}>{n} {p.metre.label}{p.sun.altitude > -0.8 && `   sun ${Math.round(p.sun.altitude)}° high, in ${Math.round(p.sun.azimuth)}°`}</text>
    </g>
  );
}
