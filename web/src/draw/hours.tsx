// The work in order, drawn to scale down the page: a minute is as long as any
// other. Full is work, hatched is carrying and testing, open is waiting.

import type { OrderRow } from "../engine/types";

export interface HoursProps {
  width: number;
  rows: OrderRow[];
  finish: string | null;
  chosen: string;
  hours: (at: string) => string;
  onPick: (setup: string) => void;
}

const perMinute = 3.4; // pixels
const least = 34; // pixels of a setup, so that its name fits

export function Hours(p: HoursProps) {
  if (!p.rows.length) return null;
  const ms = (at: string) => Date.parse(at) / 60_000;
  const marks: { y: number; at: string; late?: boolean }[] = [];
  const parts = [];
  // Enter looks at a setup; arrows go from one to the next
  const key = (setup: string) => (e: KeyboardEvent) => {
    const all = [...(e.currentTarget as SVGElement).ownerSVGElement!.querySelectorAll<SVGElement>(".hours-work")];
    const i = all.indexOf(e.currentTarget as SVGElement);
    const to = { ArrowUp: i - 1, ArrowLeft: i - 1, ArrowDown: i + 1, ArrowRight: i + 1, Home: 0, End: all.length - 1 }[e.key];
    if (e.key === "Enter" || e.key === " ") p.onPick(setup);
    else if (to !== undefined) all[to]?.focus();
    else return;
    e.preventDefault();
  };
  let y = 10;
  for (const [i, r] of p.rows.entries()) {
    const before = p.rows[i - 1];
    const gap = before ? Math.max(ms(r.begin_at) - ms(before.end_at), 0) : 0;
    const change = Math.min(r.change_min, gap || r.change_min);
    if (i > 0) {
      const [wait, carry] = [Math.max(gap - change, 0) * perMinute, change * perMinute];
      parts.push(<path key={`c${i}`} class="hours-change" d={`M92 ${y}h14v${carry}h-14z`}><title>{r.changes.join(", ")}</title></path>);
      if (wait > 1) parts.push(<path key={`w${i}`} class="hours-wait" d={`M92 ${y + carry}h14v${wait}h-14z`} />);
      if (carry > 9) parts.push(<text key={`n${i}`} class="measure" x={116} y={y + carry / 2 + 4}>{whole(r.changes, p.width - 122)}</text>);
      y += wait + Math.max(carry, 4);
    }
    const long = Math.max((ms(r.end_at) - ms(r.begin_at)) * perMinute, least);
    marks.push({ y, at: r.begin_at, late: r.late_min > 0.5 });
    const here = r.setup === p.chosen;
    const what = `${r.shots.length === 1 ? "1 shot" : `${r.shots.length} shots`}${r.fixed ? ", at its minute" : ""}${r.late_min > 0.5 ? `, ${Math.round(r.late_min)} min late` : ""}${r.rest_min > 0 ? `, ${Math.round(r.rest_min)} min rest` : ""}`;
    parts.push(
      <g key={r.setup} class="hours-work" role="button" tabindex={0} aria-pressed={here} aria-label={`${p.hours(r.begin_at)} ${r.setup}, ${what}`} onClick={() => p.onPick(r.setup)} onKeyDown={key(r.setup)}>
        <rect x={1} y={y} width={p.width - 2} height={long} class="hit" />
        <rect class={here ? "hours-bar here" : "hours-bar"} x={92} y={y} width={14} height={long} />
        <text class="name" x={116} y={y + 13}>{r.setup}</text>
        <text class="measure" x={116} y={y + 29}>{trim(what, p.width - 122)}</text>
      </g>,
    );
    y += long;
  }
  const last = p.rows.at(-1)!;
  marks.push({ y, at: last.end_at });
  if (p.finish) {
    const slack = ms(p.finish) - ms(last.end_at);
    const long = Math.min(Math.abs(slack) * perMinute, 120);
    if (slack > 0) {
      parts.push(<path key="slack" class="hours-wait" d={`M92 ${y}h14v${long}h-14z`} />, <text key="slack-name" class="measure" x={116} y={y + Math.min(long / 2 + 4, 30)}>{Math.round(slack)} min to spare</text>);
      y += long;
      if (long > 12) marks.push({ y, at: p.finish });
    }
  }
  return (
    <svg class="hours" width={p.width} height={y + 12} role="group" aria-label="The order of work">
      {parts}
      {marks.map((m) => <g key={m.at + m.y}><path class="hour" d={`M84 ${m.y}h8`} /><text class={m.late ? "hours-late" : "hours-at"} x={78} y={m.y + 5} text-anchor="end">{p.hours(m.at)}</text></g>)}
    </svg>
  );
}

// whole writes as many changes as there is room for, none cut, and how many more.
function whole(changes: string[], px: number): string {
  for (let n = changes.length; n > 0; n--) {
    const text = changes.slice(0, n).join(", ") + (n < changes.length ? ` and ${changes.length - n} more` : "");
    if (text.length * 6.1 <= px) return text;
  }
  return changes.length === 1 ? "1 change" : `${changes.length} changes`;
}

const trim = (text: string, px: number) => (text.length * 6.1 <= px ? text : `${text.slice(0, Math.max(px / 6.1 - 1, 3)).replace(/[ ,]+$/, "")}…`);
