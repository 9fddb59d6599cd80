// Make a guide: what its kind needs is shown, the rest is left out; then follow the work and open what was made.
import { follow } from "./jobs.js";
import { say, send, told } from "./forms.js";

const form = document.querySelector("#guide");
const going = document.querySelector("#going");
const look = document.querySelector("#look");
const MOST_SEEN = 5;
const LONGEST_SEEN = 300;
const MOST_DRILLS = 12;

function fit() {
  const kind = form.querySelector("[name=kind]:checked").value;
  for (const part of form.querySelectorAll("[data-for]")) {
    part.hidden = !part.dataset.for.split(",").includes(kind);
    for (const field of part.querySelectorAll("input, select, textarea")) field.disabled = part.hidden;
  }
}

function body() {
  const { player, lesson } = form.dataset;
  const saw = document.querySelector("#saw");
  const lines = saw.disabled ? [] : saw.value.split("\n").map((line) => line.trim()).filter(Boolean);
  return { ...told(form), player_id: player, ...(lesson ? { lesson_id: lesson } : {}), saw: lines };
}

async function see(job) {
  form.dataset.job = job;
  going.hidden = false;
  form.querySelector("button.main").disabled = true;
  try {
    const { guide } = await follow(job, document.querySelector("#progress"));
    location.assign(`/guides/${guide}`);
  } catch (error) {
    say(form, error.message);
  } finally {
    going.hidden = true;
    form.querySelector("button.main").disabled = false;
  }
}

/** What the server would refuse, said in words first. */
function trouble({ saw, drills = [] }) {
  if (saw.length > MOST_SEEN) return `A guide tells at most ${MOST_SEEN} things that were seen; there are ${saw.length} lines.`;
  if (saw.some((line) => line.length > LONGEST_SEEN)) return `A line of what was seen has at most ${LONGEST_SEEN} letters.`;
  if (drills.length > MOST_DRILLS) return `A guide holds at most ${MOST_DRILLS} drills; ${drills.length} are chosen.`;
  return "";
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const asked = body();
    if (trouble(asked)) throw new Error(trouble(asked));
    const { job } = await send("/api/guides", "POST", asked);
    await see(job);
  } catch (error) {
    say(form, error.message);
  }
});
form.addEventListener("change", (event) => { if (event.target.name === "kind") fit(); });
document.querySelector("#stop").addEventListener("click", () => {
  send(`/api/jobs/${form.dataset.job}`, "DELETE").catch((error) => say(form, error.message));
});

look.addEventListener("submit", async (event) => {
  event.preventDefault();
  const [logo] = look.querySelector("#logo").files;
  try {
    await send("/api/look", "PUT", told(look));
    if (look.querySelector("#no-logo")?.checked) await send("/api/look/logo", "DELETE");
    else if (logo) await sendLogo(logo);
    say(look, "Kept: it stands on every guide from now on.", "done");
  } catch (error) {
    say(look, error.message);
  }
});

async function sendLogo(file) {
  const headers = { "Content-Type": "application/octet-stream" };
  const answer = await fetch("/api/look/logo", { method: "PUT", headers, body: file }).catch(() => null);
  if (!answer) throw new Error("There is no connection to the laptop; the logo was not sent.");
  if (!answer.ok) throw new Error((await answer.json()).error);
}

fit();
if (form.dataset.job) see(form.dataset.job);
