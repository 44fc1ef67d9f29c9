// The ring of bearings around the mark: the further it bulges at a bearing, the
// more one gives up by looking that way. It lies where that bearing's
// background lies, so what stands behind the head is named where it stands.

import { useState } from "preact/hooks";
import type { SetupWays, WayJSON } from "../engine/types";
import type { Point } from "./geometry";
import { bearing, cos, signed, sin } from "./geometry";

export interface RingProps {
  ways: SetupWays;
  now: number; // the bearing the camera looks to
  write: (stops: number) => string;
  onTake: (bearing: number) => void;
}

const aStop = 11; // pixels of bulge for a stop of regret
const most = 4; // stops; more is drawn no thicker

export function wayAt(all: WayJSON[], b: number): WayJSON | undefined {
  return all.reduce<WayJSON | undefined>((a, w) => (!a || Math.abs(signed(w.bearing_deg - b)) < Math.abs(signed(a.bearing_deg - b)) ? w : a), undefined);
}

/** costs says the most of what a bearing costs. */
export const costs = (w: WayJSON) => (w.margin_stops < 0 ? "too little flash" : ([...w.reasons].sort((a, b) => b.regret_stops - a.regret_stops).find((r) => r.regret_stops > 0)?.text ?? "nothing against it"));

export function Ring({ ways, now, write, onTake, middle: [cx, cy], r, width }: RingProps & { middle: Point; r: number; width: number }) {
  const [over, setOver] = useState<number | null>(null);
  const all = ways.all ?? [];
  if (!all.length) return null;
  const half = 180 / all.length;
  const least = Math.min(...all.map((w) => w.regret_stops));
  const bulge = (w: WayJSON) => r + 2 + aStop * Math.min(w.regret_stops - least, most);
  const spot = (b: number, at: number): Point => [cx + at * sin(b), cy - at * cos(b)];
  const P = (b: number, at: number) => spot(b, at).map((v) => v.toFixed(1)).join(" ");
  const arc = (from: number, to: number, at: number, back = false) => `A${at} ${at} 0 ${bearing(to - from) > 180 ? 1 : 0} ${back ? 0 : 1} ${P(back ? from : to, at)}`;
  const wedge = (w: WayJSON) => {
    const [a, b, out] = [w.bearing_deg - half, w.bearing_deg + half, bulge(w)];
    return `M${P(a, r)}L${P(a, out)}${arc(a, b, out)}L${P(b, r)}${arc(a, b, r, true)}Z`;
  };
  const from = (e: PointerEvent) => {
    const box = (e.currentTarget as SVGElement).ownerSVGElement!.getBoundingClientRect();
    return wayAt(all, bearing((Math.atan2(e.clientX - box.left - cx, cy - (e.clientY - box.top)) * 180) / Math.PI))!.bearing_deg;
  };
  const key = (e: KeyboardEvent) => {
    const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[e.key];
    if (!by) return;
    e.preventDefault();
    onTake(bearing(wayAt(all, now)!.bearing_deg + by * 2 * half));
  };
  const shown = wayAt(all, over ?? now)!;
  return (
    <g class="ring" tabindex={0} role="slider" aria-label="Way to look" aria-valuemin={0} aria-valuemax={360} aria-valuenow={Math.round(now)}
      aria-valuetext={`${Math.round(now)}°, ${costs(wayAt(all, now)!)}, ${write(wayAt(all, now)!.margin_stops)} stops; best ${Math.round(ways.best.bearing_deg)}°`}
      onPointerMove={(e) => setOver(from(e))} onPointerLeave={() => setOver(null)} onClick={(e) => onTake(from(e as unknown as PointerEvent))} onKeyDown={key}>
      <circle class="ring-hit" cx={cx} cy={cy} r={r + 16} />
      <path class="regret" d={all.filter((w) => w.margin_stops >= 0).map(wedge).join("")} />
      <path class="lack" d={all.filter((w) => w.margin_stops < 0).map(wedge).join("")} />
      <circle class="ring-line" cx={cx} cy={cy} r={r} />
      {over !== null && <path class="ring-over" d={wedge(shown)} />}
      <path class="ring-now" d={`M${P(now + 180, r)}L${P(now, r)}`} />
      <path class="ring-here" d={`M${P(now, r - 3)}L${P(now - 2.2, r - 14)}L${P(now + 2.2, r - 14)}Z`} />
      {ways.avoid.map((a) => <path key={a.from_deg} class="ring-avoid" d={`M${P(a.from_deg - half, r - 5)}${arc(a.from_deg - half, a.to_deg + half, r - 5)}`} />)}
      {named(ways, spot, r, width).map((n) => <text key={n.text + n.at} class={n.best ? "ring-best" : "measure"} x={n.x} y={n.y} text-anchor={n.anchor}>{n.text}</text>)}
      {over !== null && <Said at={spot(over, bulge(shown) + 12)} b={over} text={`${Math.round(over)}°: ${costs(shown)}`} />}
    </g>
  );
}

export interface StripProps {
  width: number;
  ways: SetupWays;
  least: number; // regret that is drawn as nothing, the same for every hour
  now: number;
  onTake: (bearing: number) => void;
}

/** Strip is the ring of one hour, cut in the north and laid flat: below each
 * other the strips of a day are a table of hours and bearings. */
export function Strip({ width, ways, least, now, onTake }: StripProps) {
  const all = ways.all ?? [];
  const [tall, edge] = [16, 3];
  const each = (width - 2 * edge) / all.length;
  const X = (b: number) => edge + (bearing(b + each / 2 / width) / 360) * (width - 2 * edge);
  return (
    <svg class="strip" width={width} height={tall + 15} role="img" aria-label={`Bearings: best ${Math.round(ways.best.bearing_deg)}°, ${costs(ways.best)}`}
      onClick={(e) => {
        const w = all[Math.floor((e.clientX - e.currentTarget.getBoundingClientRect().left - edge) / each)];
        if (w) onTake(w.bearing_deg);
      }}>
      {all.map((w, i) => <rect key={i} class={w.margin_stops < 0 ? "lack" : "regret"} x={edge + i * each} y={0} width={each + 0.3} height={tall} style={w.margin_stops < 0 ? undefined : { fillOpacity: 0.06 + (0.8 * Math.min(Math.max(w.regret_stops - least, 0), most)) / most }}><title>{Math.round(w.bearing_deg)}°: {costs(w)}</title></rect>)}
      <path class="strip-best" d={`M${X(ways.best.bearing_deg)} ${tall - 1}l-4 7h8z`} />
      <path class="strip-now" d={`M${X(now)} 0v${tall}`} />
      {["N", "E", "S", "W"].map((n, i) => <text key={n} class="hour-name" x={X(i * 90) + (i ? 0 : 1)} y={tall + 13} text-anchor={i ? "middle" : "start"}>{n}</text>)}
    </svg>
  );
}

interface Named {
  at: number;
  text: string;
  best: boolean;
  x: number;
  y: number;
  anchor: "start" | "middle" | "end";
}

const anchorOf = (b: number) => (sin(b) > 0.3 ? "start" : sin(b) < -0.3 ? "end" : "middle");

// named puts words outside the ring: the best first, then what is to be avoided,
// the worst first; what would lie on another is left to the sheet.
function named(ways: SetupWays, spot: (b: number, at: number) => Point, r: number, width: number): Named[] {
  const list = [
    { at: ways.best.bearing_deg, text: `best ${Math.round(ways.best.bearing_deg)}°`, best: true, worth: Infinity },
    ...ways.avoid.map((a) => ({ at: bearing(a.from_deg + bearing(a.to_deg - a.from_deg) / 2), text: a.text, best: false, worth: a.regret_stops })),
  ].sort((a, b) => b.worth - a.worth);
  const out: Named[] = [];
  for (const l of list) {
    const [px, y] = spot(l.at, l.best ? r + 18 : r + 2 + aStop * most + 8);
    const wide = l.text.length * 6.4 + 6;
    const anchor = anchorOf(l.at);
    const [from = 0, to = width] = { start: [6, width - wide], middle: [wide / 2, width - wide / 2], end: [wide, width - 6] }[anchor];
    const x = Math.min(Math.max(px, from), to);
    if (out.every((o) => Math.abs(o.y - y) > 17 || Math.abs(o.x - x) > 150)) out.push({ ...l, x, y: y + 4, anchor });
  }
  return out;
}

function Said({ at: [x, y], b, text }: { at: Point; b: number; text: string }) {
  return <text class="ring-said" x={x} y={y + 4} text-anchor={anchorOf(b)}>{text}</text>;
}
