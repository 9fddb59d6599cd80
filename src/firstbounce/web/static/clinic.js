// The screen of a clinic: in or out in one tap a name, one tap to a player's log, a clock for the turns.
import { change, keep, kept } from "./outbox.js";
import { countsText, standing } from "./counts.js";
import { follow } from "./jobs.js";
import { send } from "./forms.js";
import { roster } from "./roster.js";
import { keepLog, member, setSheet, sheetOf, tap, total, untap } from "./group.js";
import { balls as ballsText, make } from "./words.js";

const FEWEST = 3; // balls of a player before there is something to review
const $ = (id) => document.getElementById(id);
const here = location.pathname.split("/")[2];
let clinic = null;
let course = null;
let correcting = false;
let tapped = []; // whose turn each tap of this page was, for undo
let queue = Promise.resolve(); // taps are written one after the other

/** The clinic as the laptop wrote it into the page, with those who joined on this phone. */
async function find() {
  const known = await kept(`clinic:${here}`);
  const written = document.querySelector("#clinic-data");
  if (!written) return known;
  const told = JSON.parse(written.textContent);
  if (told.id !== here) return known;
  const there = new Set(told.members.map((one) => one.session_id));
  const own = (known?.members ?? []).filter((one) => !there.has(one.session_id));
  const joined = { ...told, members: [...told.members, ...own] };
  await keep(`clinic:${here}`, joined).catch(() => {}); // a full phone still shows the page; taps say so themselves
  return joined;
}

function entry(one, sheet) {
  const { successes, out_of } = total(one, sheet);
  const logged = standing(one.balls).length;
  const count = [out_of ? `${successes} of ${out_of} in` : "no tap yet", ...(logged ? [ballsText(logged)] : [])].join(", ");
  const person = make("a", { class: "person", href: `/sessions/${one.session_id}/log` },
    make("span", { class: "name" }, one.player.name), make("span", { class: "count" }, count));
  return make("li", { "data-session": one.session_id }, person, ...(correcting ? fields(one, sheet) : buttons(one)));
}

const buttons = (one) => [[true, "In"], [false, "Out"]].map(([hit, words]) => {
  const button = make("button", { type: "button", "aria-label": `${one.player.name}: ${words.toLowerCase()}` }, words);
  button.addEventListener("click", () => write(one, () => tap(clinic, one, hit), () => {
    tapped.push(one);
    return `${one.player.name}: ${words.toLowerCase()}, saved on this phone.`;
  }));
  return button;
});

function fields(one, sheet) {
  const make_ = (name, label, value) => make("input", {
    type: "number", inputmode: "numeric", min: 0, max: 1000, value, "data-part": name, "aria-label": `${one.player.name}: ${label}`,
  });
  const [hits, of] = [make_("successes", "in", sheet?.successes ?? 0), make_("out_of", "of", sheet?.out_of ?? 0)];
  for (const field of [hits, of]) field.addEventListener("change", () => {
    const [successes, out_of] = [hits, of].map((each) => Number(each.value));
    if (!(Number.isInteger(successes) && Number.isInteger(out_of) && successes >= 0 && out_of <= 1000)) return;
    if (successes > out_of) { $("trouble").textContent = `${one.player.name}: at most ${out_of} of ${out_of} can be in.`; return; }
    write(one, () => setSheet(clinic, one, successes, out_of), () => `${one.player.name}: ${successes} of ${out_of} on this phone.`);
  });
  return [hits, of];
}

/** Write one change, then say so; one after the other, so that quick taps keep their order. */
function write(one, work, said) {
  const next = queue.then(async () => {
    $("trouble").textContent = "";
    try {
      await work();
    } catch (error) {
      $("trouble").textContent = error.message;
      $("saved").textContent = "";
      return;
    }
    navigator.vibrate?.(30);
    $("saved").textContent = said();
    await showOne(one);
  });
  queue = next;
  return next;
}

async function showOne(one) {
  const before = document.querySelector(`li[data-session="${one.session_id}"]`);
  const label = before?.contains(document.activeElement) ? document.activeElement.getAttribute("aria-label") : null;
  const after = entry(one, await sheetOf(one));
  before.replaceWith(after);
  if (label) after.querySelector(`[aria-label="${CSS.escape(label)}"]`)?.focus();
  $("undo").disabled = !tapped.length;
}

async function show() {
  const rows = [];
  for (const one of clinic.members) rows.push(entry(one, await sheetOf(one)));
  $("members").replaceChildren(...rows);
  $("correct").setAttribute("aria-pressed", String(correcting));
  $("correct").textContent = correcting ? "Done correcting" : "Correct";
  $("undo").disabled = !tapped.length;
  $("what").textContent = correcting
    ? "In, and of how many: the taps of this phone."
    : `${clinic.drill}, from ${clinic.place.station.name}. Tap a name to log that player's balls.`;
}

/** From the third ball on there is something to say of a player; the others stand together in one line. */
function showVerdicts() {
  const [few, told] = [[], []];
  for (const one of clinic.members) {
    const counts = countsText({ balls: one.balls, pace_m: clinic.pace_m });
    if (counts || one.verdict) told.push(make("dt", {}, one.player.name), make("dd", {}, [one.verdict, counts].filter(Boolean).join(" ")));
    else few.push(`${one.player.name} ${standing(one.balls).length}`);
  }
  $("verdicts").replaceChildren(...told);
  $("few").textContent = few.length ? `Fewer than ${FEWEST} balls logged, not enough yet: ${few.join(", ")}.` : "";
}

/** Work of the laptop for one after the other; what goes wrong with one is said, and the others go on. */
async function forEach(members, button, work) {
  $("trouble").textContent = "";
  button.disabled = true;
  const wrong = [];
  for (const one of members) {
    try {
      await work(one);
    } catch (error) {
      wrong.push(`${one.player.name}: ${error.message}`);
    }
  }
  button.disabled = false;
  $("trouble").textContent = wrong.join(" ");
  return !wrong.length;
}

async function reviewAll() {
  const due = clinic.members.filter((one) => standing(one.balls).length >= FEWEST);
  if (!due.length) { $("trouble").textContent = `Nobody has ${FEWEST} balls logged yet; tap a name to log some.`; return; }
  const whole = await forEach(due, $("review"), async (one) => {
    const { job } = await send(`/api/sessions/${one.session_id}/review`, "POST");
    await follow(job, $("progress"));
  });
  if (whole) location.reload();
}

/** A guide for everybody, with the drill that was scored; each opens from its line. */
async function allGuides() {
  $("made").replaceChildren();
  await forEach(clinic.members, $("guides"), async (one) => {
    const { job } = await send("/api/guides", "POST", { player_id: one.player.id, drills: [clinic.drill] });
    const { guide } = await follow(job, $("progress"));
    $("made").append(make("li", {}, make("a", { href: `/guides/${guide}` }, make("strong", {}, one.player.name), "guide")));
    $("made").hidden = false;
  });
}

/** The clock of the turns: when this one ends is kept on the phone, so that opening the page again loses nothing. */
const clockKey = `clock:${here}`;
let ends = null;

function tick() {
  const turn = (clinic.rotation_min ?? 8) * 60000;
  if (ends !== null && Date.now() >= ends) {
    const over = Math.floor((Date.now() - ends) / turn) + 1;
    ends += over * turn;
    keep(clockKey, ends).catch(() => {});
    $("turn").textContent = "Change places.";
    $("turn").hidden = false;
    navigator.vibrate?.([200, 100, 200]);
  }
  const left = Math.ceil((ends === null ? turn : ends - Date.now()) / 1000);
  $("left").textContent = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
  $("clock").textContent = ends === null ? "Start" : "Stop";
}

function startStop() {
  ends = ends === null ? Date.now() + (clinic.rotation_min ?? 8) * 60000 : null;
  $("turn").hidden = true;
  keep(clockKey, ends).catch(() => {});
  tick();
}

async function showOthers() {
  ({ course } = await roster());
  const members = new Set(clinic.members.map((one) => one.player.id));
  const others = course.players.filter((player) => !members.has(player.id));
  $("who").replaceChildren(...others.map((player) => make("option", { value: player.id }, player.name)));
  $("more").hidden = !others.length;
}

async function join(event) {
  event.preventDefault();
  const player = course.players.find((one) => one.id === $("who").value);
  try {
    const one = await member(clinic, player);
    clinic = await change(`clinic:${here}`, (known) => ({ ...(known ?? clinic), members: [...(known ?? clinic).members, one] }));
    for (const each of clinic.members) each.balls = await keepLog(clinic, each);
    await show();
    showVerdicts();
    await showOthers();
  } catch (error) {
    $("trouble").textContent = error.message;
  }
}

clinic = await find();
if (clinic) {
  document.title = `${clinic.name} · Firstbounce`;
  $("title").textContent = clinic.name;
  for (const one of clinic.members) one.balls = await keepLog(clinic, one).catch(() => one.balls);
  await show();
  showVerdicts();
  ends = (await kept(clockKey)) ?? null;
  tick();
  setInterval(tick, 1000);
  $("clock").addEventListener("click", startStop);
  $("correct").addEventListener("click", () => { correcting = !correcting; show(); });
  $("undo").addEventListener("click", () => {
    const one = tapped.pop();
    if (one) write(one, () => untap(clinic, one), () => `The last tap of ${one.player.name} is taken back.`);
  });
  $("review").addEventListener("click", reviewAll);
  $("guides").addEventListener("click", allGuides);
  $("join").addEventListener("submit", join);
  $("clinic").hidden = false;
  showOthers();
} else $("no-clinic").hidden = false;
