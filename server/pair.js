// The code may stand behind # in the address: the QR code puts it there.
const form = document.getElementById("form"), code = document.getElementById("code"), said = document.getElementById("said");
async function pair() {
  said.textContent = "";
  try {
    const r = await fetch("/pair", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code: code.value }) });
    if (r.ok) { location.replace("/"); return; }
    const { error } = await r.json();
    said.textContent = error.text + (error.hint ? ": " + error.hint : "");
  } catch {
    said.textContent = "the computer does not answer: are both on the same network?";
  }
  code.select();
}
form.addEventListener("submit", (e) => { e.preventDefault(); pair(); });
if (/^#[0-9]{6}$/.test(location.hash)) {
  code.value = location.hash.slice(1);
  history.replaceState(null, "", "/pair");
  pair();
}
