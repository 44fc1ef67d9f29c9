// The one way the page asks the engine: a question by name, a JSON request, a
// JSON answer. A worker in the browser answers; until it has started, or where
// it cannot, the server does.

import type { PreviewAnswer } from "./types";

/** Why there is no answer, in words for a person. */
export class Failure extends Error {
  constructor(
    readonly code: string,
    readonly text: string,
    readonly hint = "",
    readonly field = "",
  ) {
    super(text);
  }
}

export interface Pass {
  preview?: PreviewAnswer; // with the last
  samples: number;
  of: number;
  width: number;
  height: number;
  done: boolean;
}

export interface Engine {
  /** Called when no engine starts here: from then on the server is asked. */
  onBroken?: (why: string) => void;
  ask<A>(name: string, request: unknown): Promise<A>;
  /** Renders until done or stopped; returns the stop. */
  preview(request: unknown, each: (pass: Pass, rgba: ArrayBuffer, levels: Int16Array) => void, failed: (f: Failure) => void): () => void;
}

interface Waiting {
  name: string;
  body: Uint8Array<ArrayBuffer>;
  settle: (reply: Uint8Array) => void;
}

interface Picture {
  each: (pass: Pass, rgba: ArrayBuffer, levels: Int16Array) => void;
  failed: (f: Failure) => void;
}

const encode = (x: unknown) => new TextEncoder().encode(JSON.stringify(x)) as Uint8Array<ArrayBuffer>;

function read<A>(bytes: Uint8Array): A {
  const reply = JSON.parse(new TextDecoder().decode(bytes));
  if (reply && reply.error) throw failure(reply.error);
  return reply;
}

export function failure(e: { code: string; text: string; hint?: string; field?: string }): Failure {
  return new Failure(e.code, e.text, e.hint, e.field);
}

async function overHTTP(name: string, body: Uint8Array<ArrayBuffer>): Promise<Uint8Array> {
  const r = await fetch(`/api/ask/${name}`, { method: "POST", body, headers: { "Content-Type": "application/json" } });
  return new Uint8Array(await r.arrayBuffer());
}

const nobody = encode({ error: { code: "no_engine", text: "nothing here can compute", hint: "open the page once while hardnoon runs" } });

/** engine answers through whoever is there; the worker starts at the first
 * question. */
export function engine(script = "/worker.js"): Engine {
  const waiting = new Map<number, Waiting>();
  const pictures = new Map<number, Picture>();
  let last = 0;
  let state: "starting" | "ready" | "broken" = "starting";
  let started: Worker | undefined;
  const worker = () => {
    if (!started) {
      started = new Worker(script);
      started.onmessage = heard;
    }
    return started;
  };

  // the server may answer first while the worker starts; when the worker cannot,
  // it is the last to ask
  const viaServer = (w: Waiting) => overHTTP(w.name, w.body).then(w.settle, () => state === "broken" && w.settle(nobody));

  const heard = ({ data }: MessageEvent) => {
    if (data.ready) {
      state = "ready";
      performance.mark("engine here");
    } else if (data.broken) {
      state = "broken";
      self.onBroken?.(data.broken);
      for (const w of waiting.values()) viaServer(w);
      waiting.clear();
      for (const p of pictures.values()) p.failed(new Failure("no_engine", data.broken));
      pictures.clear();
    } else if (data.pass) {
      pictures.get(data.id)?.each(data.pass, data.rgba, new Int16Array(data.levels));
      if (data.pass.done) pictures.delete(data.id);
    } else if (pictures.has(data.id)) {
      const p = pictures.get(data.id)!;
      pictures.delete(data.id);
      try {
        read(data.body);
      } catch (e) {
        p.failed(e as Failure);
      }
    } else {
      waiting.get(data.id)?.settle(data.body);
      waiting.delete(data.id);
    }
  };

  const self: Engine = {
    ask<A>(name: string, request: unknown): Promise<A> {
      return new Promise<Uint8Array>((settle) => {
        const w = { name, body: encode(request), settle };
        if (state !== "ready") void viaServer(w);
        if (state === "broken") return;
        waiting.set(++last, w);
        worker().postMessage({ id: last, ask: name, body: w.body });
      }).then((bytes) => read<A>(bytes));
    },
    preview(request, each, failed) {
      const id = ++last;
      pictures.set(id, { each, failed });
      if (state === "broken") failed(new Failure("no_engine", "no picture without the engine in this browser"));
      else worker().postMessage({ id, preview: encode(request) });
      return () => {
        if (pictures.delete(id)) worker().postMessage({ id, cancel: true });
      };
    },
  };
  return self;
}
