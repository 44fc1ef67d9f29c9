// The engine in a worker: one module, questions in, answers out. Questions that
// arrive before it has started wait; a picture renders one pass at a time, so
// that questions and cancels are heard in between.

interface Preview {
  next(): Uint8Array;
  rgba: Uint8ClampedArray;
  levels: Uint8Array;
  close(): void;
}

interface Scope {
  Go: new () => { importObject: WebAssembly.Imports; run(i: WebAssembly.Instance): Promise<void> };
  hardnoonReady?: () => void;
  hardnoonQuestions: string[];
  hardnoonAsk(name: string, body: Uint8Array): Uint8Array;
  hardnoonPreview?(body: Uint8Array): Preview;
  importScripts(url: string): void;
  onmessage: (m: MessageEvent) => void;
  postMessage(data: unknown, transfer?: Transferable[]): void;
}

const scope = self as unknown as Scope;
const early: MessageEvent[] = [];
const drawing = new Map<number, Preview>();
let ready = false;
let broken = false;

scope.onmessage = (m) => {
  if (broken) scope.postMessage({ id: m.data.id, body: said("no_engine", "the engine did not start in this browser") });
  else if (!ready) early.push(m);
  else answer(m);
};

function answer(m: MessageEvent) {
  const { id, ask, preview, cancel, body } = m.data;
  if (cancel) {
    drawing.get(id)?.close();
    drawing.delete(id);
  } else if (ask) {
    const reply = scope.hardnoonAsk(ask, body);
    scope.postMessage({ id, body: reply }, [reply.buffer as ArrayBuffer]);
  } else if (preview) {
    if (!scope.hardnoonPreview) return scope.postMessage({ id, body: said("no_preview", "this engine makes no pictures") });
    drawing.set(id, scope.hardnoonPreview(preview));
    pass(id);
  }
}

function pass(id: number) {
  const p = drawing.get(id);
  if (!p) return;
  const reply = p.next();
  const state = JSON.parse(new TextDecoder().decode(reply));
  if (state.error) {
    p.close();
    drawing.delete(id);
    return scope.postMessage({ id, body: reply });
  }
  const rgba = p.rgba.buffer as ArrayBuffer;
  const levels = p.levels.buffer as ArrayBuffer;
  scope.postMessage({ id, pass: state, rgba, levels }, [rgba, levels]);
  if (state.done) {
    p.close();
    drawing.delete(id);
  } else setTimeout(() => pass(id));
}

function said(code: string, text: string): Uint8Array {
  return new TextEncoder().encode(JSON.stringify({ error: { code, text } }));
}

async function start() {
  scope.importScripts("/wasm_exec.js");
  const go = new scope.Go();
  scope.hardnoonReady = () => {
    ready = true;
    scope.postMessage({ ready: true, questions: scope.hardnoonQuestions });
    for (const m of early.splice(0)) answer(m);
  };
  const file = await fetch("/hardnoon.wasm");
  if (!file.ok) throw new Error("this hardnoon was built without its engine for the browser");
  const { instance } = await WebAssembly.instantiate(await file.arrayBuffer(), go.importObject);
  void go.run(instance);
}

start().catch((e) => {
  broken = true;
  scope.postMessage({ broken: String(e.message ?? e) });
});
