// The picture as it would be: rendered by the engine, pass after pass, a moment
// after the last change. Until the first pass is there the frame is drawn from
// geometry alone. Probes can be dragged: every pixel knows its level.

import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { midTint, tints, type SceneProbe } from "../engine/types";
import { answer, painter, session, setup } from "../state/store";
import { size, stops } from "../state/words";

const side = 300; // pixels across; the box stretches it

const views: [id: string, name: string][] = [["frame", "picture"], ["stops", "stops"], ["clip", "lost"]];
const view = signal("frame");

interface Levels {
  width: number;
  height: number;
  at: Int16Array; // hundredths of a stop
}

interface Tag {
  name: string;
  x: number; // 0 left, 1 right
  y: number;
  stops: number | null;
}

type Spot = { x: number; y: number };

export function Picture({ width, height, onShown }: { width: number; height: number; onShown: (shown: boolean) => void }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [probes, setProbes] = useState<SceneProbe[]>([]);
  const [levels, setLevels] = useState<Levels | null>(null);
  const [moved, setMoved] = useState<Record<string, Spot>>({});
  const s = session.value;
  const id = setup.value?.id;
  const solved = answer.value?.answer ? answer.value : null;
  const shown = view.value;
  useEffect(() => setMoved({}), [id]);
  useEffect(() => {
    setProbes([]);
    if (!s || !id || !solved) return onShown(false);
    let stop = () => {};
    const wait = setTimeout(() => {
      stop = painter.preview(
        { session: s, setup: id, view: shown, width_px: side, height_px: Math.round((side * height) / width), noise_stops: 0.12 },
        (pass, rgba, at) => {
          const c = canvas.current;
          if (!c) return;
          c.width = pass.width;
          c.height = pass.height;
          c.getContext("2d")!.putImageData(new ImageData(new Uint8ClampedArray(rgba), pass.width, pass.height), 0, 0);
          setLevels({ width: pass.width, height: pass.height, at });
          onShown(true);
          if (pass.preview) setProbes(pass.preview.probes);
        },
        () => onShown(false), // the drawn frame stays
      );
    }, 350);
    return () => {
      clearTimeout(wait);
      stop();
    };
  }, [s, id, solved, width, height, shown]);
  useEffect(() => onShown(false), [s, id]); // what is shown is of another moment
  const tags = pick(probes).map((p): Tag => {
    const to = moved[p.name];
    return to ? { name: "here", ...to, stops: level(levels, to) } : { name: p.name, x: p.x, y: p.y, stops: p.total_stops };
  });
  const keys = pick(probes).map((p) => p.name);
  const move = (name: string, to: Spot) => setMoved((m) => ({ ...m, [name]: { x: within(to.x), y: within(to.y) } }));
  return (
    <div class="picture">
      <canvas ref={canvas} role="img" aria-label={`The picture as it would be${tags.map((t) => `, ${t.name} ${said(t)}`).join("")}`} />
      {tags.map((t, i) => <Probe key={keys[i]} tag={t} onMove={(to) => move(keys[i]!, to)} />)}
      <div class="views" role="group" aria-label="Picture, stops or what is lost">
        {views.map(([v, name]) => <button key={v} aria-pressed={shown === v} onClick={() => (view.value = v)}>{name}</button>)}
      </div>
      {shown === "stops" && <Scale />}
    </div>
  );
}

const within = (x: number) => Math.min(Math.max(x, 0.005), 0.995);
const said = (t: Tag) => (t.stops === null ? "black" : stops(t.stops));

// level reads the pixels around a spot.
function level(l: Levels | null, { x, y }: Spot): number | null {
  if (!l) return null;
  const [cx, cy] = [Math.floor(x * l.width), Math.floor(y * l.height)];
  let sum = 0;
  let n = 0;
  for (let j = Math.max(cy - 1, 0); j <= Math.min(cy + 1, l.height - 1); j++)
    for (let i = Math.max(cx - 1, 0); i <= Math.min(cx + 1, l.width - 1); i++) {
      const s = l.at[j * l.width + i]!;
      if (s > -9999) (sum += 2 ** (s / 100)), n++;
    }
  return n ? Math.log2(sum / n) : null;
}

function Probe({ tag, onMove }: { tag: Tag; onMove: (to: Spot) => void }) {
  const grab = (e: PointerEvent) => {
    if (e.button) return;
    e.preventDefault();
    const p = e.currentTarget as HTMLElement;
    const box = p.parentElement!.getBoundingClientRect();
    const from = { x: e.clientX, y: e.clientY, at: tag };
    p.focus();
    p.setPointerCapture(e.pointerId);
    const move = (m: PointerEvent) => onMove({ x: from.at.x + (m.clientX - from.x) / box.width, y: from.at.y + (m.clientY - from.y) / box.height });
    const drop = () => p.removeEventListener("pointermove", move);
    p.addEventListener("pointermove", move);
    p.addEventListener("pointerup", drop, { once: true });
    p.addEventListener("pointercancel", drop, { once: true });
  };
  const key = (e: KeyboardEvent) => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    if (!by) return;
    e.preventDefault();
    const step = e.shiftKey ? 0.005 : 0.02;
    onMove({ x: tag.x + by[0]! * step, y: tag.y + by[1]! * step });
  };
  return (
    <button class={tag.x > twoThirds ? "probe probe-left" : "probe"} style={{ left: `${tag.x * 100}%`, top: `${tag.y * 100}%` }} onPointerDown={grab} onKeyDown={key} aria-roledescription="can be moved with the arrow keys">{tag.name} {said(tag)}</button>
  );
}

// Scale names the tints of the stops view.
function Scale() {
  return (
    <ol class="scale" aria-label="Stops from mid-tone">
      {tints.map((t, i) => <li key={t} style={{ background: t, color: i >= midTint - 1 ? "#000" : "#fff" }}>{i === midTint ? "0" : `${i < midTint ? "−" : "+"}${size(Math.abs(i - midTint)).replace(".0", "")}`}</li>)}
    </ol>
  );
}

// where the words of a probe begin: beyond twoThirds they stand on its left
const twoThirds = 0.66;
const written = (p: Spot) => (p.x > twoThirds ? p.x - 0.35 : p.x);

// pick keeps probes far enough apart to be read.
function pick(all: SceneProbe[]): SceneProbe[] {
  const out: SceneProbe[] = [];
  for (const p of all) if (p.x > 0 && p.x < 1 && p.y > 0 && p.y < 0.86 && out.every((o) => Math.abs(o.y - p.y) > 0.09 || Math.abs(written(o) - written(p)) > 0.35)) out.push(p);
  return out.slice(0, 4);
}
