// Every page: the outbox's count, the service worker where the context is secure, forms that speak JSON.
import { flush, listen, rows, start, waitingFile } from "./outbox.js";
import { takeForms, takeStarts } from "./forms.js";

const bar = document.querySelector("#outbox");

function words({ waiting, refused, online, signIn }) {
  if (signIn) return `${waiting} waiting on this phone: sign in to send`;
  if (refused) return `${waiting} waiting, ${refused} not taken`;
  if (waiting) return `${waiting} waiting on this phone`;
  return online ? "All sent" : "No signal";
}

function show(state) {
  bar.querySelector("#waiting").textContent = words(state);
  bar.dataset.state = state.refused || state.signIn ? "trouble" : state.waiting ? "waiting" : "sent";
  bar.querySelector("#waiting-more").hidden = !(state.waiting || state.refused);
}

async function saveFile() {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(await waitingFile());
  link.download = `firstbounce-waiting-${new Date().toISOString().slice(0, 10)}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

async function tellReasons() {
  const list = bar.querySelector("#refusals");
  const all = (await rows()).filter((row) => row.refused);
  list.replaceChildren(...all.map((row) => {
    const item = document.createElement("li");
    item.textContent = `${row.kind}: ${row.refused}`;
    return item;
  }));
}

if (bar) {
  listen((state) => { show(state); tellReasons(); });
  bar.querySelector("#save-waiting").addEventListener("click", saveFile);
  bar.querySelector("#send-again").addEventListener("click", () => flush({ all: true }));
  start();
}

if (bar && "serviceWorker" in navigator) { // not before signing in: it would keep the wrong pages
  const register = () => navigator.serviceWorker.register("/sw.js").catch(() => {});
  if (document.readyState === "complete") register();
  else addEventListener("load", register); // what it fetches comes after the page can be used
} else {
  document.querySelector("#keep-open")?.removeAttribute("hidden");
}
takeForms();
takeStarts();
