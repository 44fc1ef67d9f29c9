import { render } from "preact";
import { answer, open, session } from "./state/store";

function Page() {
  return <main><h1>{session.value?.title}</h1><p>{answer.value?.margin_stops}</p></main>;
}
void open("javelin");
render(<Page />, document.getElementById("app")!);
