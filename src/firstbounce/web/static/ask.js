// Place the ball and the hole on the green, ask for the plan, follow it, open it.
import { follow } from "./jobs.js";
import { say, send, told } from "./forms.js";
import { Window } from "./place.js";

const $ = (id) => document.getElementById(id);
const NUDGE_M = 0.5;
const data = $("green-data") ? JSON.parse($("green-data").textContent) : null;
const places = { start: null, hole: null };
let which = "start";
let map = null;

async function plan(form, body) {
  const buttons = [...document.querySelectorAll("main button")];
  buttons.forEach((button) => { button.disabled = true; });
  try {
    const { job } = await send("/api/plans", "POST", body);
    const { plan: made } = await follow(job, $("progress"));
    location.assign(`/plans/${made}`);
  } catch (error) {
    say(form, error.message);
  } finally {
    buttons.forEach((button) => { button.disabled = false; });
  }
}

const middle = () => {
  const mean = (k) => data.outline.reduce((sum, corner) => sum + corner[k], 0) / data.outline.length;
  return [mean(0), mean(1)];
};

/** Here "along" is away from the mark and "across" is right of it, both from the middle of the green. */
const into = ([x, y]) => ({ along: y - middle()[1], across: x - middle()[0] });
const out = ({ along, across }) => [across + middle()[0], along + middle()[1]].map((value) => Number(value.toFixed(2)));

function marks(window) {
  window.outline(data.outline.map((corner) => { const at = into(corner); return [at.along, at.across]; }), "edge");
  for (const [name, kind, words] of [["start", "aim", "ball"], ["hole", "hole", "hole"]]) {
    if (places[name] && name !== which) { const at = into(places[name]); window.spot(at.along, at.across, kind, words); }
  }
}

function moved() {
  places[which] = out(map.at);
  const { start, hole } = places;
  const far = start && hole ? ` ${Math.hypot(hole[0] - start[0], hole[1] - start[1]).toFixed(1)} m from ball to hole.` : "";
  const [x, y] = places[which];
  $("readout").textContent = `${which === "start" ? "Ball" : "Hole"}: ${x.toFixed(1)} m right, ${y.toFixed(1)} m away of the mark.${far}`;
}

function show(name) {
  which = name;
  for (const each of ["start", "hole"]) $(`which-${each}`).setAttribute("aria-pressed", String(each === name));
  if (places[name]) { const at = into(places[name]); map.put(at.along, at.across); }
  else {
    map.clear();
    $("readout").textContent = name === "start" ? "Tap where the ball lies." : "Tap where the hole is.";
  }
}

function submit(event) {
  event.preventDefault();
  const form = event.target;
  if (!places.start) { show("start"); say(form, "Tap where the ball lies first."); return; }
  if (!places.hole) { show("hole"); say(form, "Tap where the hole is first."); return; }
  const lie = { kind: $("lie").value, wet: $("wet").checked };
  const station = { name: $("name").value.trim() || "Station", start_m: places.start, hole_m: places.hole, lie };
  plan(form, { player_id: form.dataset.player, day_id: form.dataset.day, station });
}

if (data) {
  map = new Window($("map"), marks, moved);
  map.half = 16;
  map.redraw();
  $("which-start").addEventListener("click", () => show("start"));
  $("which-hole").addEventListener("click", () => show("hole"));
  for (const [name, along, across] of [["long", 1, 0], ["short", -1, 0], ["left", 0, -1], ["right", 0, 1]]) {
    $(`nudge-${name}`).addEventListener("click", () => map.nudge(along * NUDGE_M, across * NUDGE_M));
  }
  $("zoom-in").addEventListener("click", () => map.zoom(1));
  $("zoom-out").addEventListener("click", () => map.zoom(-1));
  $("place").addEventListener("submit", submit);
  $("again")?.addEventListener("submit", (event) => {
    event.preventDefault();
    event.stopImmediatePropagation();
    plan(event.target, { ...JSON.parse(event.target.dataset.given), ...told(event.target) });
  }, { capture: true });
}
