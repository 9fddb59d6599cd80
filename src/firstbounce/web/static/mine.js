// A player's own tally through a link: on this device's disk before the page says so, and forgotten there only when
// the server names its id. What waits lies under the key of this link: another player's link never sends it.
import { change, kept, newId } from "./outbox.js";
import { say } from "./forms.js";
import { press, tallyButtons } from "./tallies.js";

const AT_ONCE = 100;
const AGAIN_MS = 8000;
const $ = (id) => document.getElementById(id);
const form = $("tally");
const key = `mine:${form.dataset.key}`;
let tapped = {};
let mine = []; // ids tallied on this page, for undo
let sending = null;

const list = (known) => known ?? { seq: 0, waiting: [] };
const two = (number) => String(number).padStart(2, "0");
const today = () => { const now = new Date(); return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`; };

function showWaiting(n) {
  $("send-again").hidden = !n;
  $("send-again").textContent = `${n} waiting: send again`;
}

/** Put one entry on the disk, then say so, then send. */
async function put(entry, said) {
  $("trouble").textContent = "";
  try {
    const after = await change(key, (known) => {
      const { seq, waiting } = list(known);
      return { seq: seq + 1, waiting: [...waiting, { id: newId(), seq, day: today(), ...entry }] };
    });
    $("saved").textContent = said;
    showWaiting(after.waiting.length);
    send();
    return after.waiting.at(-1).id;
  } catch (error) {
    $("saved").textContent = "";
    $("trouble").textContent = `This ball is not saved: ${error?.message ?? error}.`;
    return null;
  }
}

function send() {
  sending ??= work().finally(() => { sending = null; });
  return sending;
}

async function work() {
  for (;;) {
    const { waiting } = list(await kept(key));
    if (!waiting.length) { showWaiting(0); return; }
    let settled;
    try {
      const answer = await fetch("/api/mine/tallies", {
        method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ tallies: waiting.slice(0, AT_ONCE) }),
      });
      settled = await answer.json();
      if (!answer.ok) throw new Error(settled.error);
    } catch (error) {
      showWaiting(waiting.length);
      $("trouble").textContent = navigator.onLine && error?.name !== "TypeError" ? `${error.message ?? error}` : "";
      setTimeout(send, AGAIN_MS);
      return;
    }
    const done = new Set([...settled.stored, ...settled.refused.filter((one) => !one.again).map((one) => one.id)]);
    const left = await change(key, (known) => ({ ...list(known), waiting: list(known).waiting.filter((one) => !done.has(one.id)) }));
    const circle = settled.seen ? `, ${settled.in_circle} of ${settled.seen} seen to land in the circle` : "";
    $("home").textContent = `Since the last lesson: ${settled.balls} ${settled.balls === 1 ? "ball" : "balls"} tallied${circle}.`;
    if (settled.refused.length) $("trouble").textContent = `Not taken: ${settled.refused[0].error}`;
    showWaiting(left.waiting.length);
    if (!done.size) { setTimeout(send, AGAIN_MS); return; }
  }
}

async function tap(part, value, button) {
  if (!form.reportValidity()) return;
  tapped[part] = value;
  press(button);
  if (!(tapped.landed && tapped.finished)) return;
  const pace = Number(form.dataset.pace);
  const metres = (id) => Number((Number($(id).value) * pace).toFixed(3));
  const { landed, finished } = tapped;
  tapped = {};
  for (const one of form.querySelectorAll("[aria-pressed]")) one.setAttribute("aria-pressed", "false");
  const id = await put({
    club: $("club").value, to_spot_m: metres("to_spot"), spot_to_hole_m: metres("to_hole"), circle_radius_m: metres("circle"),
    landed, finished,
  }, "Saved on this device.");
  if (id) mine.push(id);
  $("undo").disabled = !mine.length;
}

async function undo() {
  const id = mine.pop();
  $("undo").disabled = !mine.length;
  if (id) await put({ takes_back: id }, "The last ball is taken back.");
}

tallyButtons(tap);
form.addEventListener("submit", (event) => { event.preventDefault(); say(form, "Tap where the ball landed and where it finished.", "done"); });
$("undo").addEventListener("click", undo);
$("send-again").addEventListener("click", send);
addEventListener("online", send);
send();
