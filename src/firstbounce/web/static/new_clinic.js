// A new clinic: who takes part and where; on this phone's disk, then its screen.
import { add, keep, newId } from "./outbox.js";
import { keepOwn, pacedPlace, roster, usualClubs } from "./roster.js";
import { member } from "./group.js";
import { make } from "./words.js";
import { say } from "./forms.js";

const MOST = 12; // names that a screen and a coach can follow
const $ = (id) => document.getElementById(id);
let course = null;

function person(player, chosen = false) {
  const box = make("input", { type: "checkbox", value: player.id, checked: chosen });
  box.addEventListener("change", count);
  return make("label", { class: "choice" }, box, make("span", {}, player.name));
}

const chosen = () => [...document.querySelectorAll("#people input:checked")].map((box) => box.value);

function count() {
  const n = chosen().length;
  $("how-many").textContent = n ? `${n} chosen` : "tap each name";
}

function showPlaces() {
  const options = course.places.map((place, k) => make("option", { value: k }, `${place.station.name}, on the green that is open today`));
  $("where").replaceChildren(make("option", { value: "" }, "Paced distances"), ...options);
}

const known = () => ($("where").value === "" ? null : course.places[Number($("where").value)]);

function followPlace() {
  for (const [part, asked] of [["paced", !known()], ["aimed", !known()?.station.landing_spot_m]]) {
    $(part).hidden = !asked;
    $(part).disabled = !asked;
  }
}

async function addPerson() {
  const name = $("new-name").value.trim();
  if (!name) { $("new-name").focus(); return; }
  const id = newId();
  try {
    await add("player", { name }, id);
  } catch (error) {
    say($("clinic"), error.message);
    return;
  }
  const level = "10 to 18"; // what a player is until somebody says otherwise
  const player = { id, name, level, clubs: usualClubs(course, level) };
  await keepOwn(player);
  course.players.push(player);
  $("people").append(person(player, true));
  $("new-name").value = "";
  count();
}

const paces = (id) => Number((Number($(id).value) * course.pace_m).toFixed(3));

/** A station of the green with the landing spot that the clinic hits to: a station of its own when it had none. */
function aimedAt({ station, ...where }) {
  if (station.landing_spot_m) return { ...where, station, entries: [] };
  const [start, hole] = [station.start_m, station.hole_m];
  const far = Math.hypot(hole[0] - start[0], hole[1] - start[1]);
  const spot = [0, 1].map((k) => Number((start[k] + ((hole[k] - start[k]) * paces("landing")) / far).toFixed(3)));
  const { id: _, ...rest } = station;
  const body = { ...rest, landing_spot_m: spot, circle_radius_m: paces("circle") };
  const id = newId();
  return { ...where, station: { id, ...body }, entries: [["station", { green_id: where.green_id, ...body }, id]] };
}

function place() {
  if (known()) return aimedAt(known());
  const slope = document.querySelector("input[name=slope]:checked").value;
  return pacedPlace({
    name: `${$("to_edge").value} + ${$("edge_to_hole").value} paces, ${slope}`, lie: $("lie").value, slope,
    to_edge_m: paces("to_edge"), edge_to_hole_m: paces("edge_to_hole"), landing_m: paces("landing"), circle_m: paces("circle"),
  });
}

async function begin(event) {
  event.preventDefault();
  const form = event.target;
  const ids = chosen();
  if (!ids.length) { say(form, "Choose at least one player, or add somebody new."); return; }
  if (ids.length > MOST) { say(form, `A clinic has at most ${MOST} players; ${ids.length} are chosen.`); return; }
  const { entries, ...where } = place();
  const { day_id } = where;
  const id = newId();
  const about = { name: $("name").value.trim() || "Clinic", rotation_min: Number($("rotation").value) };
  const drill = $("drill").value;
  try {
    for (const [kind, body, row] of entries) await add(kind, body, row);
    await add("clinic", { ...about, day_id, setup: { drill } }, id);
    const clinic = { id, ...about, drill, place: where, units: course.units, pace_m: course.pace_m, members: [] };
    for (const player of course.players.filter((one) => ids.includes(one.id))) clinic.members.push(await member(clinic, player));
    await keep(`clinic:${id}`, clinic);
    location.assign(`/clinics/${id}`);
  } catch (error) {
    say(form, error.message);
  }
}

({ course } = await roster());
$("people").replaceChildren(...course.players.map((player) => person(player)));
$("somebody").open = !course.players.length;
showPlaces();
followPlace();
count();
$("where").addEventListener("change", followPlace);
$("add-person").addEventListener("click", addPerson);
$("new-name").addEventListener("keydown", (event) => { if (event.key === "Enter") { event.preventDefault(); addPerson(); } });
$("clinic").addEventListener("submit", begin);
