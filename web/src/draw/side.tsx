// The same place from the side, along the line of sight: heights, the sun's way
// down to the face, what the lens takes in.

import type { Eye, Placed } from "./geometry";
import { body, cos, sin } from "./geometry";

export interface SideProps {
  width: number;
  height: number;
  eye: Eye;
  distance: number;
  lights: Placed[];
  stature: number;
  faces: number;
  sun: { altitude: number; azimuth: number };
  words: (m: number) => string;
}

export function Side(p: SideProps) {
  // u runs from camera to subject and on; the subject stands at 0
  const along = (x: number, y: number) => x * sin(p.eye.bearing) + y * cos(p.eye.bearing);
  const us = [-p.distance - 0.5, 1.4, ...p.lights.map((l) => along(l.at[0], l.at[1]) - 0.4), ...p.lights.map((l) => along(l.at[0], l.at[1]) + 0.4)];
  const [u0, u1] = [Math.min(...us), Math.max(...us)];
  const top = Math.max(p.stature + 0.5, ...p.lights.map((l) => l.mast + 0.45));
  const k = Math.min((p.width - 24) / (u1 - u0), (p.height - 34) / top);
  const ox = p.width / 2 - (k * (u0 + u1)) / 2;
  const ground = p.height - 22;
  const U = (u: number) => ox + u * k;
  const Z = (z: number) => ground - z * k;
  const limbs = body(p.stature, p.faces);
  const c = { u: -p.distance, z: p.eye.at[2] };
  const ray = (t: number) => {
    const d = p.eye.pitch + (t * Math.atan(p.eye.high) * 180) / Math.PI;
    const far = 60;
    return `M${U(c.u)} ${Z(c.z)}L${U(c.u + far * cos(d))} ${Z(c.z + far * sin(d))}`;
  };
  // the sun's way in this plane
  const s = along(Math.sin((p.sun.azimuth * Math.PI) / 180) * cos(p.sun.altitude), Math.cos((p.sun.azimuth * Math.PI) / 180) * cos(p.sun.altitude));
  const head = { u: 0, z: p.stature * 0.96 };
  return (
    <svg class="side" width={p.width} height={p.height} role="img" aria-label={`From the side: camera ${p.words(c.z)} high, ${p.lights.map((l) => `${l.role} light ${p.words(l.at[2])} high`).join(", ")}`}>
      <clipPath id="side-edge"><rect width={p.width} height={ground} /></clipPath>
      <g clip-path="url(#side-edge)">
        <path class="view-side" d={ray(1) + ray(-1)} />
        {p.sun.altitude > 0 && <path class="sun-way" d={`M${U(head.u)} ${Z(head.z)}L${U(head.u + s * 20)} ${Z(head.z + sin(p.sun.altitude) * 20)}`} />}
        <path class="figure-line" d={limbs.map((l) => `M${U(along(l.a[0], l.a[1]))} ${Z(l.a[2])}L${U(along(l.b[0], l.b[1]))} ${Z(l.b[2])}`).join("")} stroke-width={Math.max(0.11 * k, 2)} />
        <circle class="figure-head" cx={U(along(limbs[0]!.b[0], limbs[0]!.b[1]))} cy={Z(p.stature * 0.935)} r={0.062 * p.stature * k} />
        {p.lights.map((l, i) => {
          const u = along(l.at[0], l.at[1]);
          const out = Math.atan2(p.stature * 0.92 - l.at[2], -u || 0.001);
          const [du, dz] = [(-Math.sin(out) * l.tall) / 2, (Math.cos(out) * l.tall) / 2];
          return (
            <g key={i}>
              <path class="mast" d={`M${U(u)} ${ground}V${Z(l.at[2])}M${U(u - 0.35)} ${ground}L${U(u)} ${Z(0.5)}L${U(u + 0.35)} ${ground}`} />
              <path class="front-side" d={`M${U(u - du)} ${Z(l.at[2] - dz)}L${U(u + du)} ${Z(l.at[2] + dz)}`} />
              <text class="measure" x={U(u)} y={Z(l.at[2]) - (Math.abs(dz) * k + 7)} text-anchor={U(u) > p.width - 46 || (u < 0 && U(u) > 46) ? "end" : "start"}>{l.role}</text>
            </g>
          );
        })}
        <rect class="camera" x={U(c.u) - 9} y={Z(c.z) - 5} width="13" height="10" />
        <rect class="camera" x={U(c.u) + 4} y={Z(c.z) - 3} width="5" height="6" />
      </g>
      <path class="earth" d={`M0 ${ground}H${p.width}`} />
      {labels([{ u: c.u, t: p.words(c.z) }, { u: 0, t: p.words(p.stature) }, ...p.lights.map((l) => ({ u: along(l.at[0], l.at[1]), t: p.words(l.at[2]) }))], U, p.width).map((l) => (
        <text key={l.t + l.x} class="measure" x={l.x} y={p.height - 6} text-anchor="middle">{l.t}</text>
      ))}
    </svg>
  );
}

// labels keeps names of neighbours from lying on each other.
function labels(list: { u: number; t: string }[], U: (u: number) => number, width: number) {
  const out: { x: number; t: string }[] = [];
  for (const { u, t } of [...list].sort((a, b) => a.u - b.u)) {
    const x = Math.max(U(u), (out.at(-1)?.x ?? -50) + 44, 24);
    out.push({ x, t });
  }
  let edge = width - 20;
  for (const l of out.reverse()) {
    l.x = Math.min(l.x, edge);
    edge = l.x - 44;
  }
  return out;
}
