// The log: a ball in two placements, or a tally in two taps. Each ball is on this phone's disk before the page
// says so; see outbox.js. Undo and changes are entries of their own, so nothing that was sent is ever lost.
import { add, change, keep, kept, newId } from "./outbox.js";
import { balls as ballsText, clubText, make, paces, small } from "./words.js";
import { Window } from "./place.js";
import { press, tallyButtons } from "./tallies.js";
import { closeM, countsText, standing, tryNext } from "./counts.js";

const $ = (id) => document.getElementById(id);
const STRIKES = ["clean", "heavy", "thin", "toe", "heel", "shank"];
const NUDGE_M = 0.25;
const PLACED_SD_M = 0.3; // by eye in a window
const PACED_SD_M = 0.4;

let session = null;
let frame = null;
let windows = {};
let step = "landed";
let landing = null; // null: not placed; "not seen"
let tally = {};
let correcting = null;
let byNumbers = { landed: false, finished: false };

/** Unit vectors of the line from start to hole, and both ways between the green's frame and the line's. */
function frameOf({ start_m: start, hole_m: hole }) {
  const [dx, dy] = [hole[0] - start[0], hole[1] - start[1]];
  const far = Math.hypot(dx, dy);
  const [ux, uy] = [dx / far, dy / far];
  return {
    far,
    out: (origin, { along, across }) => [origin[0] + along * ux + across * uy, origin[1] + along * uy - across * ux],
    into: (origin, [x, y]) => {
      const [ex, ey] = [x - origin[0], y - origin[1]];
      return { along: ex * ux + ey * uy, across: ex * uy - ey * ux };
    },
  };
}

const aim = () => session.station.landing_spot_m ?? frame.out(session.station.start_m, { along: frame.far / 2, across: 0 });

function marksLanded(window) {
  const { start_m, hole_m, circle_radius_m, landing_spot_m } = session.station;
  ground(window, aim());
  if (landing_spot_m) {
    if (circle_radius_m) window.circle(0, 0, circle_radius_m, "circle");
    window.spot(0, 0, "aim", "spot");
  }
  const hole = frame.into(aim(), hole_m);
  window.spot(hole.along, hole.across, "hole", "hole");
  const ball = frame.into(aim(), start_m);
  window.spot(ball.along, ball.across, "earlier", "ball");
  for (const one of standing(session.balls)) if (one.landed_m) spotOf(window, aim(), one.landed_m);
}

function marksFinished(window) {
  ground(window, session.station.hole_m);
  window.circle(0, 0, closeM(session.pace_m), "close");
  window.spot(0, 0, "hole", "hole");
  for (const one of standing(session.balls)) if (one.finished_m) spotOf(window, session.station.hole_m, one.finished_m);
}

function spotOf(window, origin, place) {
  const { along, across } = frame.into(origin, place);
  window.spot(along, across, "earlier");
}

function ground(window, origin) {
  if (session.outline) {
    window.outline(session.outline.map((corner) => { const at = frame.into(origin, corner); return [at.along, at.across]; }), "edge");
  } else if (session.edge_m !== undefined) {
    const edge = frame.into(origin, frame.out(session.station.start_m, { along: session.edge_m, across: 0 }));
    window.edge(edge.along, "edge of the green");
  }
}

const words = ({ along, across }) => {
  const far = (value, plus, minus) => `${small(Math.abs(value), session.units)} ${value >= 0 ? plus : minus}`;
  return `${far(along, "long", "short")}, ${far(across, "right", "left")}`;
};

function readout() {
  const window = windows[step];
  const from = step === "landed" ? (session.station.landing_spot_m ? "of the spot" : "of half-way") : "of the hole";
  const [title, hint] = step === "landed" ? ["Where did it land?", "Tap or drag"] : ["Where did it finish?", "Tap or drag"];
  $("readout").textContent = window.placed ? `${words(window.at)} ${from}` : `${title} ${hint}.`;
  $("numbers-hint").textContent = `Counted from the ${step === "landed" ? "landing spot" : "hole"}.`;
}

function showStep(name) {
  step = name;
  for (const each of ["landed", "finished"]) {
    $(`window-${each}`).hidden = each !== name;
    $(`step-${each}`).setAttribute("aria-pressed", String(each === name));
  }
  $("holed").disabled = name === "landed";
  $("next").textContent = name === "landed" ? "Next" : correcting ? "Save change" : "Log ball";
  windows[name].redraw();
  readout();
}

function reset() {
  landing = null;
  tally = {};
  correcting = null;
  byNumbers = { landed: false, finished: false };
  for (const window of Object.values(windows)) window.clear();
  for (const button of document.querySelectorAll("#tally button")) button.setAttribute("aria-pressed", "false");
  for (const input of document.querySelectorAll("#strikes input")) input.checked = false;
  showStep("landed");
}

const strike = () => document.querySelector("#strikes input:checked")?.value ?? null;

/** What every ball says, however it is logged. */
function common() {
  const { station } = session;
  return {
    session_id: session.session_id, station_id: station.id, ...(session.plan_id ? { plan_id: session.plan_id } : {}),
    club: $("club").value, lie: station.lie, start_m: station.start_m, hole_m: station.hole_m,
    ...(station.landing_spot_m ? { aim_m: station.landing_spot_m } : {}),
    ...(station.circle_radius_m ? { circle_radius_m: station.circle_radius_m } : {}),
    ...(strike() ? { strike: strike() } : {}), ...(correcting ? { corrects_id: correcting.id } : {}),
  };
}

async function save(ball, said) {
  const mine = session; // another member's log may be on screen by the time this one's ball is on disk
  const key = `session:${mine.session_id}`;
  $("trouble").textContent = "";
  const id = newId();
  try {
    await add("ball", ball, id);
  } catch (error) {
    $("trouble").textContent = error.message;
    $("saved").textContent = "";
    return false;
  }
  navigator.vibrate?.(30);
  const more = (known) => ({ ...(known ?? mine), balls: [...(known ?? mine).balls, { id, ...ball }] });
  mine.balls = (await change(key, more).catch(() => more(mine))).balls; // the list only; the ball is safe
  if (session === mine) reset();
  showBalls();
  $("saved").textContent = session === mine ? said : `${mine.player.name}: ${said}`;
  return true;
}

async function logPlaced(holed = false) {
  const finished = windows.finished;
  const there = landing === "seen" ? frame.out(aim(), windows.landed.at) : null;
  const end = !holed && finished.placed ? frame.out(session.station.hole_m, finished.at) : null;
  if (!there && !end && !holed) {
    $("trouble").textContent = "Place where it landed or where it finished; one of them is needed.";
    return;
  }
  const fixed = (point) => point.map((value) => Number(value.toFixed(3)));
  await save({
    ...common(), kind: "placed", holed,
    ...(there ? { landed_m: fixed(there), landed_sd_m: byNumbers.landed ? PACED_SD_M : PLACED_SD_M } : {}),
    ...(end ? { finished_m: fixed(end), finished_sd_m: byNumbers.finished ? PACED_SD_M : PLACED_SD_M } : {}),
  }, correcting ? "Changed." : `Ball ${standing(session.balls).length + 1} is saved on this phone.`);
}

function next() {
  $("trouble").textContent = "";
  if (step === "landed") {
    if (!windows.landed.placed) { $("trouble").textContent = "Place where it landed first, or tap Not seen."; return; }
    landing = "seen";
    showStep("finished");
  } else if (windows.finished.placed) logPlaced();
  else $("trouble").textContent = "Place where it finished first, or tap Holed or Not seen.";
}

function notSeen() {
  if (step === "landed") { landing = "not seen"; windows.landed.clear(); showStep("finished"); }
  else { windows.finished.clear(); logPlaced(); }
}

function tallyTap(part, value, button) {
  tally[part] = value;
  press(button);
  if (tally.landed && tally.finished) {
    save({ ...common(), kind: "tally", tally_landed: tally.landed, tally_finished: tally.finished },
      correcting ? "Changed." : `Ball ${standing(session.balls).length + 1} is saved on this phone.`);
  }
}

async function withdraw(ball) {
  await save({ session_id: session.session_id, kind: "withdrawn", corrects_id: ball.id }, "Taken back.");
}

function startChange(ball) {
  setMode(ball.kind === "tally" ? "tally" : "place");
  reset();
  correcting = ball;
  $("club").value = ball.club;
  for (const input of document.querySelectorAll("#strikes input")) input.checked = input.value === ball.strike;
  if (ball.landed_m) { const at = frame.into(aim(), ball.landed_m); windows.landed.put(at.along, at.across); landing = "seen"; }
  if (ball.finished_m) { const at = frame.into(session.station.hole_m, ball.finished_m); windows.finished.put(at.along, at.across); }
  showStep("landed");
  $("saved").textContent = "Change it, then save.";
  $("log").scrollIntoView();
  $("step-landed").focus();
}

function ballWords(ball) {
  const parts = [clubText(ball.club)];
  if (ball.kind === "tally") parts.push(`landed ${ball.tally_landed}`, ball.tally_finished);
  if (ball.landed_m && session.station.landing_spot_m) parts.push(`landed ${words(frame.into(aim(), ball.landed_m))}`);
  if (ball.holed) parts.push("holed");
  else if (ball.finished_m) parts.push(`finished ${words(frame.into(session.station.hole_m, ball.finished_m))}`);
  if (ball.strike) parts.push(ball.strike);
  return parts.join("; ");
}

function showBalls() {
  const stand = standing(session.balls);
  const counted = countsText(session) ?? `${ballsText(stand.length)} logged here.`;
  $("so-far").textContent = `${counted} ${tryNext(session)}`.trim();
  $("undo").disabled = !stand.length;
  showGroup();
  $("balls").replaceChildren(...stand.slice(-10).reverse().map((ball) => {
    const changeIt = make("button", { type: "button", class: "plain" }, "Change");
    changeIt.addEventListener("click", () => startChange(ball));
    const drop = make("button", { type: "button", class: "plain" }, "Remove");
    drop.addEventListener("click", () => withdraw(ball));
    return make("li", {}, make("span", {}, ballWords(ball)), make("span", { class: "row" }, changeIt, drop));
  }));
}

function setMode(name) {
  for (const each of ["place", "tally"]) {
    $(each).hidden = each !== name;
    $(`mode-${each}`).setAttribute("aria-pressed", String(each === name));
  }
}

function numbers(event) {
  event.preventDefault();
  const form = new FormData(event.target);
  const unit = form.get("paces") ? session.pace_m : 1;
  byNumbers[step] = true;
  windows[step].put(Number(form.get("along")) * unit, Number(form.get("across")) * unit);
}

function listen() {
  $("mode-place").addEventListener("click", () => { setMode("place"); reset(); });
  $("mode-tally").addEventListener("click", () => { setMode("tally"); reset(); });
  $("step-landed").addEventListener("click", () => showStep("landed"));
  $("step-finished").addEventListener("click", next);
  $("next").addEventListener("click", next);
  $("not-seen").addEventListener("click", notSeen);
  $("holed").addEventListener("click", () => logPlaced(true));
  $("undo").addEventListener("click", () => withdraw(standing(session.balls).at(-1)));
  $("numbers").addEventListener("submit", numbers);
  for (const [name, along, across] of [["long", 1, 0], ["short", -1, 0], ["left", 0, -1], ["right", 0, 1]]) {
    $(`nudge-${name}`).addEventListener("click", () => windows[step].nudge(along * NUDGE_M, across * NUDGE_M));
  }
  $("zoom-in").addEventListener("click", () => windows[step].zoom(1));
  $("zoom-out").addEventListener("click", () => windows[step].zoom(-1));
}

function fill() {
  const { station } = session;
  document.title = `Log, ${session.player.name} · Firstbounce`;
  $("title").textContent = `${session.player.name}: ${station.name}`;
  $("back").href = `/players/${session.player.id}`;
  $("review").href = `/sessions/${session.session_id}/review`;
  $("club").replaceChildren(...session.clubs.map((club) => make("option", { value: club, selected: club === station.club }, clubText(club))));
  $("strikes").replaceChildren(...STRIKES.map((name) =>
    make("label", { class: "choice" }, make("input", { type: "radio", name: "strike", value: name }), make("span", {}, name))));
  tallyButtons(tallyTap);
  const canTally = Boolean(station.landing_spot_m && station.circle_radius_m);
  $("mode-tally").disabled = !canTally;
  $("so-far").title = canTally ? paces(station.circle_radius_m, session.pace_m) : "";
}

/** In a clinic: everybody's name, one tap from log to log. */
async function showGroup() {
  const { clinic } = session;
  $("group").hidden = !clinic;
  if (!clinic) return;
  $("back").href = `/clinics/${clinic.id}`;
  $("back").textContent = "Clinic";
  const known = await Promise.all(clinic.members.map((one) => kept(`session:${one.session_id}`)));
  $("group").replaceChildren(...clinic.members.map((one, k) => {
    const mine = one.session_id === session.session_id;
    const n = standing((mine ? session : known[k])?.balls ?? []).length;
    const count = make("span", { class: "count" }, String(n), make("span", { class: "only-heard" }, n === 1 ? " ball" : " balls"));
    const button = make("button", { type: "button", "aria-pressed": String(mine) }, one.name, " ", count);
    button.addEventListener("click", () => switchTo(one.session_id));
    return button;
  }));
  $("group").querySelector('[aria-pressed="true"]')?.scrollIntoView({ block: "nearest", inline: "center" });
}

/** The log of another member, as this phone keeps it; how balls are logged stays as it is. */
async function switchTo(id) {
  const next = id === session.session_id ? null : await kept(`session:${id}`);
  if (!next) { if (id !== session.session_id) location.assign(`/sessions/${id}/log`); return; }
  session = next;
  history.replaceState(null, "", `/sessions/${id}/log`);
  $("saved").textContent = "";
  $("trouble").textContent = "";
  begin();
  document.querySelector('#group [aria-pressed="true"]')?.focus();
}

/** Show a session from its start. */
function begin() {
  frame = frameOf(session.station);
  fill();
  reset();
  showBalls();
}

/** The session as the server wrote it into the page, joined with what this phone kept of it. */
async function find() {
  const id = location.pathname.split("/")[2];
  const written = document.querySelector("#log-data");
  const known = await kept(`session:${id}`);
  if (!written) return known;
  const told = JSON.parse(written.textContent);
  if (told.session_id !== id) return known;
  const there = new Set(told.balls.map((ball) => ball.id));
  const own = (known?.balls ?? []).filter((ball) => !there.has(ball.id));
  const joined = { ...told, balls: [...told.balls, ...own] };
  keep(`session:${id}`, joined).catch(() => {}); // nobody waits for it; a full phone still shows the page
  return joined;
}

session = await find();
if (session) {
  frame = frameOf(session.station);
  for (const [name, marks] of [["landed", marksLanded], ["finished", marksFinished]]) {
    windows[name] = new Window($(`window-${name}`), marks, readout);
  }
  listen();
  begin();
  $("log").hidden = false;
} else $("no-session").hidden = false;
