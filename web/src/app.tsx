// hardnoon in a browser: the bench to plan on, the field to work from.

import { render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { workspace } from "./engine/workspace";
import { keep, listen, open, session } from "./state/store";
import { follow } from "./state/day";
import { Bench } from "./ui/bench";
import { panel } from "./ui/panels";
import { FieldPage } from "./ui/field";

const [, page, id] = /^\/(field|session)?\/?([^/]*)/.exec(location.pathname) ?? [];

// which session to show: the one the address names, else the one that was here,
// else the last saved.
async function start() {
  if (await open(id ? decodeURIComponent(id) : "")) return;
  const list = await workspace.list().catch(() => []);
  if (list[0] && (await open(list[0].id))) return;
  panel.value = "new";
}

function App() {
  const [ready, setReady] = useState(session.value !== null);
  useEffect(() => {
    void start().finally(() => setReady(true));
  }, []);
  if (page === "field") return <FieldPage ready={ready} />;
  return <Bench />;
}

document.documentElement.dataset.page = page === "field" ? "field" : "bench";
render(<App />, document.getElementById("app")!);
listen();
if (page !== "field") follow();
addEventListener("pagehide", keep);
if ("serviceWorker" in navigator) void navigator.serviceWorker.register("/sw.js").catch(() => undefined);
