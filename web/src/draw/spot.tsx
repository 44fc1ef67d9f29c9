// Where one light goes, as the photographer stands: camera below, subject in the
// middle, the way the photographer looks is up.

import { signed, type Placed } from "./geometry";

export interface SpotProps {
  lights: Placed[];
  which: number;
  camera: { distance_m: number; bearing_deg: number };
  faces: number;
}

export function Spot(p: SpotProps) {
  const [w, h] = [340, 168];
  const far = Math.max(p.camera.distance_m * 0.6, ...p.lights.map((l) => l.distance));
  const k = 66 / far; // pixels a metre, the same both ways
  const [cx, cy] = [w / 2, h / 2 - 8];
  const spot = (angle: number, m: number): [number, number] => [cx - Math.sin((angle * Math.PI) / 180) * m * k, cy + Math.cos((angle * Math.PI) / 180) * m * k];
  const l = p.lights[p.which];
  if (!l) return null;
  const a = signed(l.angle);
  const look = ((p.faces - p.camera.bearing_deg - 180) * Math.PI) / 180;
  return (
    <svg class="spot" viewBox={`0 0 ${w} ${h}`} role="img" aria-label={`${l.role} light ${Math.round(Math.abs(a))}° to the ${a < 0 ? "right" : "left"} of the camera, seen from above`}>
      <path class="line" d={`M${cx} ${h - 26}L${cx} ${cy + 20}`} />
      {p.lights.map((x, i) => {
        const [sx, sy] = spot(x.angle, x.distance);
        const to = (Math.atan2(cy - sy, cx - sx) * 180) / Math.PI;
        return (
          <g key={i} transform={`translate(${sx} ${sy}) rotate(${to})`}>
            {i === p.which ? <><path class="ray" d={`M4 -13L${Math.hypot(cx - sx, cy - sy) - 14} -5M4 13L${Math.hypot(cx - sx, cy - sy) - 14} 5`} /><rect class="this" x="-5" y="-17" width="9" height="34" /></> : <rect class="other" x="-4" y="-11" width="7" height="22" />}
          </g>
        );
      })}
      <circle class="body" cx={cx} cy={cy} r="13" />
      <path class="nose" d={`M${cx - Math.sin(look) * 11} ${cy + Math.cos(look) * 11}L${cx - Math.sin(look) * 22} ${cy + Math.cos(look) * 22}`} />
      <path class="cam" d={`M${cx - 15} ${h - 4}v-15h9l2 -7h8l2 7h9v15z`} />
    </svg>
  );
}
