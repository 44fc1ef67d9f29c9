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
    const from = wayAt(all, now)!.bearing_deg;
    const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[e.key];
    const to = by ? from + by * 2 * half : { PageDown: from - 45, PageUp: from + 45, Home: all[0]!.bearing_deg, End: all.at(-1)!.bearing_deg, Enter: ways.best.bearing_deg }[e.key];
    if (to === undefined) return;
    e.preventDefault();
    onTake(bearing(to));
  };
  const shown = wayAt(all, over ?? now)!;
  return (
    <g class="ring" tabindex={0} role="slider" aria-label="Way to look" aria-valuemin={0} aria-valuemax={360} aria-valuenow={Math.round(now)}
      aria-valuetext={`${Math.round(now)}°, ${costs(wayAt(all, now)!)}, ${write(wayAt(all, now)!.margin_stops)} stops; best ${Math.round(ways.best.bearing_deg)}°, Enter takes it`}
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
  name: string; // the hour it is of
  ways: SetupWays;
  least: number; // regret that is drawn as nothing, the same for every hour
  now: number;
  write: (stops: number) => string;
  onTake: (bearing: number) => void;
}

/** Strip is the ring of one hour, cut in the north and laid flat: below each
 * other the strips of a day are a table of hours and bearings. Arrows walk it,
 * Enter looks that way. */
export function Strip({ width, name, ways, least, now, write, onTake }: StripProps) {
  const all = ways.all ?? [];
  const [at, setAt] = useState<number | null>(null); // the cell under the hand or the keys
  if (!all.length) return null;
  const [tall, edge, n] = [16, 3, all.length];
  const each = (width - 2 * edge) / n;
  const X = (b: number) => edge + ((((b / 360) * n + 0.5) % n) * each); // a cell lies about its bearing
  const here = all.indexOf(wayAt(all, now)!);
  const w = all[at ?? here]!;
  const said = `${Math.round(w.bearing_deg)}°: ${costs(w)}, ${write(w.margin_stops)}`;
  const cell = (e: PointerEvent) => Math.min(Math.max(Math.floor((e.clientX - (e.currentTarget as Element).getBoundingClientRect().left - edge) / each), 0), n - 1);
  const key = (e: KeyboardEvent) => {
    const from = at ?? here;
    const far = Math.round(n / 8);
    const to = { ArrowLeft: from - 1, ArrowDown: from - 1, ArrowRight: from + 1, ArrowUp: from + 1, PageDown: from - far, PageUp: from + far, Home: 0, End: n - 1 }[e.key];
    if (e.key === "Enter" || e.key === " ") onTake(w.bearing_deg);
    else if (to !== undefined) setAt((to + n) % n);
    else return;
    e.preventDefault();
  };
  return (
    <svg class="strip" width={width} height={tall + 15} tabindex={0} role="slider" aria-label={`Ways to look, ${name}; best ${Math.round(ways.best.bearing_deg)}°`}
      aria-valuemin={0} aria-valuemax={360} aria-valuenow={Math.round(w.bearing_deg)} aria-valuetext={`${said} stops; Enter looks that way`}
      onPointerMove={(e) => setAt(cell(e))} onPointerLeave={(e) => document.activeElement !== e.currentTarget && setAt(null)}
      onFocus={() => setAt((was) => was ?? here)} onBlur={() => setAt(null)} onClick={(e) => onTake(all[cell(e as unknown as PointerEvent)]!.bearing_deg)} onKeyDown={key}>
      {all.map((w, i) => <rect key={i} class={w.margin_stops < 0 ? "lack" : "regret"} x={edge + i * each} y={0} width={each + 0.3} height={tall} style={w.margin_stops < 0 ? undefined : { fillOpacity: 0.06 + (0.8 * Math.min(Math.max(w.regret_stops - least, 0), most)) / most }} />)}
      <path class="strip-best" d={`M${X(ways.best.bearing_deg)} ${tall - 1}l-4 7h8z`} />
      <path class="strip-now" d={`M${X(now)} 0v${tall}`} />
      {at === null ? ["N", "E", "S", "W"].map((d, i) => <text key={d} class="hour-name" x={X(i * 90)} y={tall + 13} text-anchor="middle">{d}</text>) : (
        <>
          <rect class="strip-at" x={edge + at * each - 1.5} y={1} width={each + 3} height={tall - 2} />
          <text class="strip-said" x={at < n / 2 ? Math.max(X(w.bearing_deg) - 8, 0) : Math.min(X(w.bearing_deg) + 8, width)} y={tall + 13} text-anchor={at < n / 2 ? "start" : "end"}>{said}</text>
        </>
      )}
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
