// The shape of a green: corners by taps or paced numbers; each closed line becomes the outline or an area; undo.
import { add, outcome } from "./outbox.js";
import { say } from "./forms.js";
import { Window } from "./place.js";
import { make } from "./words.js";

const $ = (id) => document.getElementById(id);
const NUDGE_M = 0.5;
const { green_id, shape: given } = JSON.parse($("green-data").textContent);
let shape = structuredClone(given);
let corners = [];
const history = [];
let map = null;

const centre = () => {
  const all = shape.outline.length ? shape.outline : [[0, 10]];
  return [0, 1].map((k) => (Math.min(...all.map((one) => one[k])) + Math.max(...all.map((one) => one[k]))) / 2);
};
const origin = centre();
const into = ([x, y]) => [y - origin[1], x - origin[0]];
const here = () => [map.at.across + origin[0], map.at.along + origin[1]].map((value) => Number(value.toFixed(2)));

function marks(window) {
  if (shape.outline.length) window.outline(shape.outline.map(into), "edge");
  for (const area of shape.areas ?? []) {
    window.outline(area.polygon.map(into), "close");
    const [along, across] = into(area.polygon[0]);
    window.spot(along, across, "earlier", area.kind);
  }
  for (const [k, corner] of corners.entries()) {
    const [along, across] = into(corner);
    window.spot(along, across, "aim", String(k + 1));
  }
  const [along, across] = into([0, 0]);
  window.spot(along, across, "hole", "mark");
}

function tell(text) {
  const [x, y] = here();
  const at = map.placed ? `${x.toFixed(1)} m right, ${y.toFixed(1)} m away of the mark. ` : "";
  $("readout").textContent = text ?? `${at}${corners.length} corners so far.`;
  $("undo").disabled = !corners.length && !history.length;
  $("finish").disabled = corners.length < 3;
}

/** Every area that is drawn, each with a button that takes it away; undo brings it back. */
function showAreas() {
  const areas = shape.areas ?? [];
  $("areas").replaceChildren(...areas.map((area, k) => {
    const across = area.polygon.map((corner) => corner[0]);
    const away = area.polygon.map((corner) => corner[1]);
    const size = [across, away].map((all) => (Math.max(...all) - Math.min(...all)).toFixed(0));
    const words = `${area.kind}, about ${size[0]} x ${size[1]} m`;
    const gone = make("button", { type: "button", class: "plain" }, "Remove", make("span", { class: "only-heard" }, ` ${words}`));
    gone.addEventListener("click", () => {
      history.push(structuredClone(shape));
      shape.areas = areas.filter((_, other) => other !== k);
      redraw(`The ${area.kind} is taken away; save the shape to keep it so.`);
    });
    return make("li", {}, make("span", {}, words), gone);
  }));
  if (!areas.length) $("areas").replaceChildren(make("li", {}, make("span", {}, "None yet: choose an area above, tap its corners, close it.")));
}

function redraw(text) {
  map.redraw();
  showAreas();
  tell(text);
}

function corner(place) {
  corners.push(place);
  map.redraw();
  tell();
}

function finish() {
  history.push(structuredClone(shape));
  const part = $("part").value;
  if (part === "outline") shape.outline = corners;
  else shape.areas = [...(shape.areas ?? []), { kind: part, polygon: corners }];
  corners = [];
  map.clear();
  redraw(part === "outline" ? "The outline is drawn; save the shape to keep it." : `The ${part} is drawn; save the shape to keep it.`);
}

function undo() {
  if (corners.length) corners.pop();
  else if (history.length) shape = history.pop();
  redraw();
}

async function save(event) {
  event.preventDefault();
  try {
    if (shape.outline.length < 3) throw new Error("The outline needs three corners or more.");
    const ground = { fringe_m: Number($("fringe").value), around: $("around").value };
    const row = await add("shape", { ...shape, ...ground, green_id });
    const became = await outcome(row.id);
    if (became.refused) throw new Error(became.refused);
    say(event.target, became.waiting ? "Saved on this phone." : "Saved.", "done");
  } catch (error) {
    say(event.target, error.message);
  }
}

map = new Window($("map"), marks, () => tell());
map.half = 16;
map.redraw();
$("fringe").value = shape.fringe_m ?? 0;
$("around").value = shape.around ?? "fairway";
showAreas();
tell("Tap a corner, then Add corner; go round once and close it.");
$("corner").addEventListener("click", () => (map.placed ? corner(here()) : tell("Tap a place on the map first.")));
$("undo").addEventListener("click", undo);
$("finish").addEventListener("click", finish);
$("save").addEventListener("submit", save);
$("paced").addEventListener("submit", (event) => {
  event.preventDefault();
  const unit = $("paces").checked ? Number(event.target.dataset.pace) : 1;
  corner(["x", "y"].map((id) => Number((Number($(id).value) * unit).toFixed(2))));
});
for (const [name, along, across] of [["long", 1, 0], ["short", -1, 0], ["left", 0, -1], ["right", 0, 1]]) {
  $(`nudge-${name}`).addEventListener("click", () => map.nudge(along * NUDGE_M, across * NUDGE_M));
}
$("zoom-in").addEventListener("click", () => map.zoom(1));
$("zoom-out").addEventListener("click", () => map.zoom(-1));
