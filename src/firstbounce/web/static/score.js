// The score sheet of a drill: a tap a ball, kept as one entry of the outbox.
import { add, outcome } from "./outbox.js";
import { say } from "./forms.js";

const sheet = document.querySelector("#sheet");
const { player, drill, outOf, passes } = sheet.dataset;
let taps = [];

function show() {
  const hits = taps.filter(Boolean).length;
  document.querySelector("#count").value = `${hits} of ${taps.length}`;
  document.querySelector("#keep-score").disabled = !taps.length;
  document.querySelector("#back-one").disabled = !taps.length;
  for (const id of ["hit", "miss"]) document.getElementById(id).disabled = taps.length >= Number(outOf);
}

function tap(hit) {
  taps.push(hit);
  show();
}

async function keep(event) {
  event.preventDefault();
  const successes = taps.filter(Boolean).length;
  try {
    const row = await add("score", {
      player_id: player, drill, successes, out_of: taps.length,
      passed: taps.length >= Number(outOf) && successes >= Number(passes),
    });
    const became = await outcome(row.id);
    if (became.refused) throw new Error(became.refused);
    taps = [];
    show();
    say(sheet, became.waiting ? "Saved on this phone." : "Kept.", "done");
  } catch (error) {
    say(sheet, error.message);
  }
}

document.querySelector("#hit").addEventListener("click", () => tap(true));
document.querySelector("#miss").addEventListener("click", () => tap(false));
document.querySelector("#back-one").addEventListener("click", () => { taps.pop(); show(); });
sheet.addEventListener("submit", keep);
show();
