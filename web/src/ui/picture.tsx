// The picture as it would be: rendered by the engine, pass after pass, a moment
// after the last change. Until the first pass is there the frame is drawn from
// geometry alone.

import { useEffect, useRef, useState } from "preact/hooks";
import type { PreviewAnswer } from "../engine/types";
import { answer, painter, session, setup } from "../state/store";
import { stops } from "../state/words";

const side = 300; // pixels across; the box stretches it

type Shown = PreviewAnswer["probes"];

export function Picture({ width, height, onShown }: { width: number; height: number; onShown: (shown: boolean) => void }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [probes, setProbes] = useState<Shown>([]);
  const s = session.value;
  const id = setup.value?.id;
  const solved = answer.value?.answer ? answer.value : null;
  const up = setup.value?.camera.upright ?? false;
  useEffect(() => {
    onShown(false);
    setProbes([]);
    if (!s || !id || !solved) return;
    let stop = () => {};
    const wait = setTimeout(() => {
      const tall = Math.round((side * height) / width);
      stop = painter.preview(
        { session: s, setup: id, width_px: side, height_px: tall, noise_stops: 0.12 },
        (pass, rgba) => {
          const c = canvas.current;
          if (!c) return;
          c.width = pass.width;
          c.height = pass.height;
          c.getContext("2d")!.putImageData(new ImageData(new Uint8ClampedArray(rgba), pass.width, pass.height), 0, 0);
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
  }, [s, id, solved, width, height, up]);
  const tags = pick(probes);
  return (
    <div class="picture">
      <canvas ref={canvas} role="img" aria-label={`The picture as it would be${tags.map((p) => `, ${p.name} ${stops(p.total_stops)}`).join("")}`} />
      {tags.map((p) => (
        <span key={p.name} class="probe" style={{ left: `${p.x * 100}%`, top: `${p.y * 100}%` }}>{p.name} {stops(p.total_stops)}</span>
      ))}
    </div>
  );
}

// pick keeps probes far enough apart to be read.
function pick(all: Shown): Shown {
  const out: Shown = [];
  for (const p of all) if (p.x > 0 && p.x < 1 && p.y > 0 && p.y < 1 && out.every((o) => Math.abs(o.y - p.y) > 0.09 || Math.abs(o.x - p.x) > 0.35)) out.push(p);
  return out.slice(0, 4);
}
