// The frame as the lens sees it: horizon, metres on the ground, the figure at
// its size, and every light or stand that would be in the picture.

import type { Eye, Placed, Vec } from "./geometry";
import { body, front, see } from "./geometry";

export interface FrameProps {
  width: number;
  eye: Eye;
  stature: number;
  faces: number;
  lights: Placed[];
  levels: { background: number; key: number; edge: number | null };
  write: (stops: number) => string;
  bare?: boolean; // no words in it
  rim?: number; // where the edge light stands: +1 right of the frame, −1 left
}

/** tone is the grey of a level in stops from mid-tone, as a picture shows it. */
export function tone(stops: number): number {
  const linear = 0.18 * 2 ** stops;
  const shown = linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
  return Math.round(255 * Math.min(Math.max(shown, 0), 1));
}

export const grey = (stops: number) => {
  const t = tone(stops);
  return `rgb(${t} ${t} ${t})`;
};

export function frameHeight(e: Eye, width: number) {
  return Math.round((width * e.high) / e.wide);
}

/** inFrame tells which lights the lens would see. */
export function inFrame(e: Eye, lights: Placed[], stature: number): string[] {
  return lights.filter((l) => {
    const spots: Vec[] = [...front(l, stature), [l.at[0], l.at[1], l.at[2] * 0.75], [l.at[0], l.at[1], l.at[2] * 0.5], [l.at[0], l.at[1], l.at[2] * 0.25], [l.at[0], l.at[1], 0]];
    return spots.some((v) => {
      const s = see(e, v);
      return s.depth > 0.1 && Math.abs(s.u) < 1 && Math.abs(s.v) < 1;
    });
  }).map((l) => l.role);
}

export function Frame(p: FrameProps) {
  const w = p.width;
  const h = frameHeight(p.eye, w);
  const at = (v: Vec) => {
    const s = see(p.eye, v);
    return { x: (w / 2) * (1 + s.u), y: (h / 2) * (1 - s.v), depth: s.depth, px: w / 2 / p.eye.wide / s.depth };
  };
  const horizon = (h / 2) * (1 + Math.tan((p.eye.pitch * Math.PI) / 180) / p.eye.high);
  const limbs = body(p.stature, p.faces).map((l) => ({ a: at(l.a), b: at(l.b), r: l.r })).filter((l) => l.a.depth > 0.15 && l.b.depth > 0.15)
    .sort((l, m) => m.a.depth + m.b.depth - l.a.depth - l.b.depth);
  const face = at([0, 0, p.stature * 0.93]);
  const seen = inFrame(p.eye, p.lights, p.stature);
  return (
    <svg class="frame" width={w} height={h} viewBox={`0 0 ${w} ${h}`} role="img" aria-label={`The frame as the lens sees it: face ${p.write(p.levels.key)}, background ${p.write(p.levels.background)} stops from mid-tone${seen.length ? `; in the frame: ${seen.join(", ")}` : ""}`}>
          <rect width={w} height={h} fill={grey(p.levels.background + 0.7)} />
          <rect y={horizon} width={w} height={Math.max(h - horizon, 0)} fill={grey(p.levels.background - 0.2)} />
          <path class="frame-metres" d={rows(p, at)} />
          {p.levels.edge !== null && p.bare && limbs.map((l, i) => (
            // the figure once more, a little towards the light: what is not covered is the rim
            <line key={`rim ${i}`} x1={l.a.x + (p.rim ?? 1) * 0.016 * l.a.px} y1={l.a.y - 0.006 * l.a.px} x2={l.b.x + (p.rim ?? 1) * 0.016 * l.b.px} y2={l.b.y - 0.006 * l.b.px} stroke={grey(p.levels.edge!)} stroke-width={2 * l.r * (l.a.px + l.b.px) / 2} stroke-linecap="round" />
          ))}
          {limbs.map((l, i) => (
            <line key={i} x1={l.a.x} y1={l.a.y} x2={l.b.x} y2={l.b.y} stroke={grey(p.levels.key + (i === limbs.length - 1 ? 0.25 : -0.1))} stroke-width={2 * l.r * (l.a.px + l.b.px) / 2} stroke-linecap="round" />
          ))}
      {p.lights.filter((l) => seen.includes(l.role)).map((l, i) => {
        const rim = front(l, p.stature).map(at);
        const base = at([l.at[0], l.at[1], 0]);
        const head = at(l.at);
        if (rim.some((r) => r.depth <= 0.1) || base.depth <= 0.1) return null;
        return (
          <g key={i} class="intruder">
            <path d={`M${base.x} ${base.y}L${head.x} ${head.y}M` + rim.map((r) => `${r.x} ${r.y}`).join("L") + "Z"} />
          </g>
        );
      })}
      {!p.bare && <Tag x={face.x + 0.09 * face.px} y={face.y} w={w} h={h} text={`face ${p.write(p.levels.key)}`} />}
      {!p.bare && <Tag x={14} y={Math.min(Math.max(horizon - 18, 26), h - 20)} w={w} h={h} text={`background ${p.write(p.levels.background)}`} />}
    </svg>
  );
}

function Tag({ x, y, w, h, text }: { x: number; y: number; w: number; h: number; text: string }) {
  const wide = text.length * 7 + 12;
  const tx = Math.min(Math.max(x, 6), w - wide - 6);
  const ty = Math.min(Math.max(y, 14), h - 14);
  return (
    <g class="tag">
      <rect x={tx} y={ty - 11} width={wide} height="22" rx="11" />
      <text x={tx + wide / 2} y={ty + 4.5} text-anchor="middle">{text}</text>
    </g>
  );
}

// rows of the ground, a metre apart near by and ten further off
function rows(p: FrameProps, at: (v: Vec) => { x: number; y: number; depth: number }): string {
  let d = "";
  const e = p.eye;
  const ahead = (m: number, right: number): Vec => {
    const [s, c] = [Math.sin((e.bearing * Math.PI) / 180), Math.cos((e.bearing * Math.PI) / 180)];
    return [e.at[0] + m * s + right * c, e.at[1] + m * c - right * s, 0];
  };
  for (const m of [1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 50, 100]) {
    const [a, b] = [at(ahead(m, -m * e.wide * 1.2)), at(ahead(m, m * e.wide * 1.2))];
    if (a.depth > 0.1) d += `M${a.x.toFixed(1)} ${a.y.toFixed(1)}L${b.x.toFixed(1)} ${b.y.toFixed(1)}`;
  }
  return d;
}
