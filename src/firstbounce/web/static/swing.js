// A swing by hand: frames stepped through and chosen, points and a stick placed on stills, other pass marks.
import { follow } from "./jobs.js";
import { say, send, told } from "./forms.js";

const SVG = "http://www.w3.org/2000/svg";
const $ = (id) => document.getElementById(id);
const data = $("swing-data") ? JSON.parse($("swing-data").textContent) : null;
const path = (still) => `/api/technique/${data.id}/stills/${data.set}/${still}`;

async function again(body, place) {
  const buttons = [...document.querySelectorAll("main button")];
  buttons.forEach((one) => { one.disabled = true; });
  try {
    const { job } = await send(`/api/technique/${data.id}/corrections`, "POST", body);
    const { technique } = await follow(job, $("progress"));
    location.assign(`/technique/${technique}?swing=${data.swing}`);
  } catch (error) {
    say(place, error.message);
  } finally {
    buttons.forEach((one) => { one.disabled = false; });
  }
}

// frames
const frames = data ? data.keys.map((key) => ({ ...key, still: key.still, first: key.still })) : [];

function step(k, by) {
  const frame = frames[k];
  frame.still = Math.min(Math.max(frame.still + by, 0), data.times_s.length - 1);
  const item = $("stills").children[k];
  item.querySelector("image").setAttribute("href", path(frame.still));
  item.querySelector(".time").textContent = data.times_s[frame.still].toFixed(2);
  item.classList.toggle("was", frame.still !== frame.first);
  $("keep-frames").hidden = frames.every((one) => one.still === one.first);
}

function keepFrames() {
  const moved = frames.filter((one) => one.still !== one.first);
  const moments = moved.map((one) => ({ swing: data.swing, [one.moment]: data.times_s[one.still] }));
  again({ moments }, $("said").parentElement);
}

// points
const places = new Map(); // "still number/point" to [x, y] in the still, only those that were moved
const [left, top, , bottom] = data ? data.window_px : [];
const scale = data ? data.height / (bottom - top) : 1;
const inPicture = ([x, y]) => [left + x / scale, top + y / scale].map((value) => Number(value.toFixed(2)));
const here = () => ({ k: Number($("which").value), name: $("point").value });
const key = ({ k, name }) => (name.startsWith("stick") ? name : `${k}/${name}`);
const placeOf = ({ k, name }) => places.get(key({ k, name })) ?? data.keys[k].points[name] ?? null;

function draw() {
  const at = here();
  const shown = data.needed.map((name) => ({ k: at.k, name })).concat([{ k: at.k, name: "stick-0" }, { k: at.k, name: "stick-1" }]);
  const image = document.createElementNS(SVG, "image");
  image.setAttribute("href", path(data.keys[at.k].still));
  image.setAttribute("width", data.width);
  image.setAttribute("height", data.height);
  const rings = shown.filter((one) => placeOf(one)).map((one) => {
    const ring = document.createElementNS(SVG, "circle");
    const [x, y] = placeOf(one);
    ring.setAttribute("cx", x);
    ring.setAttribute("cy", y);
    ring.setAttribute("r", one.name === at.name ? 9 : 6);
    if (one.name === at.name) ring.setAttribute("class", "here");
    return ring;
  });
  $("still").replaceChildren(image, ...rings);
  const n = places.size;
  $("moved").textContent = n ? `${n === 1 ? "1 point was" : `${n} points were`} moved.` : "Nothing was moved yet.";
}

function put([x, y]) {
  const within = [Math.min(Math.max(x, 0), data.width), Math.min(Math.max(y, 0), data.height)];
  places.set(key(here()), within);
  draw();
}

function tapped(event) {
  const box = $("still").getBoundingClientRect();
  put([(event.clientX - box.left) * (data.width / box.width), (event.clientY - box.top) * (data.height / box.height)]);
}

function keepPoints(event) {
  event.preventDefault();
  const body = { points: [] };
  for (const [name, place] of places) {
    if (name.startsWith("stick")) continue;
    const [k, point] = name.split("/");
    body.points.push({ time_s: data.times_s[data.keys[Number(k)].still], [point]: inPicture(place) });
  }
  const ends = ["stick-0", "stick-1"].map((name) => places.get(name));
  const length = Number($("stick-length").value);
  if (ends[0] || ends[1] || length) {
    if (!ends[0] || !ends[1] || !length) { say(event.target, "A stick needs both its ends and its length."); return; }
    body.stick = { length_m: length, ends: ends.map(inPicture) };
  }
  if (!body.points.length && !body.stick) { say(event.target, "Move a point first."); return; }
  again(body, event.target);
}

if (data) {
  const moving = $("move");
  moving.addEventListener("click", () => {
    const on = moving.getAttribute("aria-pressed") !== "true";
    moving.setAttribute("aria-pressed", String(on));
    for (const one of document.querySelectorAll(".move")) one.hidden = !on;
  });
  [...$("stills").children].forEach((item, k) => {
    for (const button of item.querySelectorAll("[data-step]")) {
      button.addEventListener("click", () => step(k, Number(button.dataset.step)));
    }
  });
  $("keep-frames").addEventListener("click", keepFrames);
  $("still").addEventListener("click", tapped);
  for (const button of document.querySelectorAll("[data-nudge]")) {
    button.addEventListener("click", () => {
      const [x, y] = placeOf(here()) ?? [data.width / 2, data.height / 2];
      const [right, down] = button.dataset.nudge.split(",").map(Number);
      put([x + right, y + down]);
    });
  }
  $("which").addEventListener("change", draw);
  $("point").addEventListener("change", draw);
  $("points").addEventListener("submit", keepPoints);
  $("marks")?.addEventListener("submit", (event) => { event.preventDefault(); again({ marks: told(event.target) }, event.target); });
  draw();
}
