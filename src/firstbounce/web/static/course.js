// The phone alone: players and tables kept on the phone, a choice from them, a station and a session to log in.
import { add, keep, kept, newId } from "./outbox.js";
import { keepOwn, pacedPlace, roster, usualClubs } from "./roster.js";
import { choices } from "./tables.js";
import { clubText, make, paces } from "./words.js";
import { say, send, told } from "./forms.js";
import { follow } from "./jobs.js";

const $ = (id) => document.getElementById(id);
let course = { players: [], tables: {}, usual: {}, pace_m: 0.9, units: "metres" };
let asked = null;
let found = [];
let taken = null;
let loaded = null; // the tables are there, or known not to be

/** What the laptop knows, or what this phone kept of it. */
async function load() {
  const found = await roster();
  course = found.course;
  if (found.online) $("compare").hidden = false;
  if (!Object.keys(course.usual).length) {
    $("source").textContent = "This phone has no tables yet: open this page once with the laptop in reach.";
  }
  await showPlayers();
}

async function showPlayers() {
  const wanted = location.hash.slice(1) || (await kept("player"));
  $("player").replaceChildren(...course.players.map((player) =>
    make("option", { value: player.id, selected: player.id === wanted }, player.name)));
  $("known").hidden = !course.players.length;
  $("add").open = !course.players.length;
}

const chosen = () => course.players.find((player) => player.id === $("player").value);
const tableOf = (player) => course.tables[player.id] ?? course.usual[player.level];

async function addPlayer(event) {
  event.preventDefault();
  await loaded;
  const form = event.target;
  const { guardian, delete_by, ...body } = told(form);
  if (body.junior && !(guardian && delete_by)) {
    say(form, "A junior's record needs who consented, and the day by which it is deleted.");
    return;
  }
  const id = newId();
  const consent = body.junior ? { guardian, delete_by } : {};
  try {
    await add("player", { ...body, ...consent }, id);
  } catch (error) {
    say(form, error.message);
    return;
  }
  const player = { id, ...body, clubs: usualClubs(course, body.level) };
  course.players.push(player);
  await keepOwn(player);
  await keep("player", id);
  history.replaceState(null, "", `#${id}`);
  await showPlayers();
  form.reset();
  form.querySelector(".said")?.remove();
  $("guardian-part").hidden = true;
  $("add").open = false;
  $("to_edge").focus();
}

async function answer(event) {
  event.preventDefault();
  await loaded;
  const player = chosen();
  if (!player) { say($("where"), "Add a player first."); return; }
  const table = tableOf(player);
  if (!table) { say($("where"), "This phone has no tables yet: open this page once with the laptop in reach."); return; }
  $("where").querySelector(".said")?.remove();
  const { lie, slope, to_edge, edge_to_hole } = Object.fromEntries(new FormData($("where")));
  asked = {
    lie, slope, to_edge_m: Number(to_edge) * course.pace_m, edge_to_hole_m: Number(edge_to_hole) * course.pace_m,
    to_edge_paces: Number(to_edge), edge_to_hole_paces: Number(edge_to_hole),
  };
  found = choices(table, asked);
  taken = found[0] ?? null;
  $("answer").hidden = false;
  $("compared").replaceChildren();
  $("rests-on").textContent = table.learned_from_balls
    ? `Learned from ${table.learned_from_balls} balls, a medium green.`
    : "Typical for the level, a medium green: nothing was measured yet.";
  show();
  $("answer").focus();
  $("answer").scrollIntoView({ block: "start" });
}

const runs = (one) => `${Math.floor(one.low_m / course.pace_m)} to ${Math.ceil(one.high_m / course.pace_m)}`;

const bare = (length_m) => paces(length_m, course.pace_m).split(" ")[0];

function show() {
  $("log-here").disabled = !taken;
  if (!taken) {
    $("sentence").textContent = "No club of the bag gets there with a chip or pitch from the tables.";
    $("clubs").replaceChildren();
    return;
  }
  const equal = taken === found[0] ? found.filter((one) => one.as_good && one !== taken) : [];
  const others = equal.length ? ` The ${equal.map((one) => clubText(one.club)).join(" or the ")} would do as well.` : "";
  const short = taken.lands_on_green ? "" : " It may come down short of the green.";
  const how = taken.is_putt
    ? `roll it as a putt of ${paces(taken.putt_m, course.pace_m)} on the level green.`
    : `land it ${paces(taken.carry_m, course.pace_m)} out, most balls run ${runs(taken)} paces.`;
  $("sentence").textContent = `${clubText(taken.club)}: ${how}${others}${short}`.replace(/^./, (letter) => letter.toUpperCase());
  $("clubs").replaceChildren(...found.map(row));
}

function row(one) {
  const button = make("button", { type: "button", class: "plain", "aria-pressed": String(one === taken) }, clubText(one.club));
  button.addEventListener("click", () => { taken = one; show(); });
  const [land, run] = one.is_putt ? ["putt", `as ${bare(one.putt_m)}`] : [bare(one.carry_m), runs(one)];
  return make("tr", { class: one === taken ? "first" : "" },
    make("th", { scope: "row" }, button), make("td", {}, land), make("td", {}, run), make("td", {}, bare(one.leave_m)));
}

/** A green of two paced distances, its day, a station and a session: on this phone's disk, then the log. */
async function logHere() {
  const player = chosen();
  const session = newId();
  const { green_id, day_id, station, outline, entries } = pacedPlace({
    ...asked, name: `${asked.to_edge_paces} + ${asked.edge_to_hole_paces} paces, ${asked.slope}`,
    landing_m: taken.carry_m, circle_m: taken.circle_m, club: taken.club,
  });
  const body = { player_id: player.id, kind: "lesson", green_id, day_id, station_id: station.id };
  try {
    for (const [kind, made, id] of [...entries, ["session", body, session]]) await add(kind, made, id);
    await keep(`session:${session}`, {
      session_id: session, player: { id: player.id, name: player.name }, clubs: player.clubs, outline,
      station, units: course.units, pace_m: course.pace_m, balls: [],
    });
    await keep("player", player.id);
    location.assign(`/sessions/${session}/log`);
  } catch (error) {
    say($("answer"), error.message);
  }
}

async function compare() {
  const button = $("compare-all");
  button.disabled = true;
  try {
    const player = chosen();
    const { job } = await send("/api/plans/paced", "POST", {
      level: player.level, hand: player.hand, lie: { kind: asked.lie }, slope: asked.slope, pace_m: course.pace_m,
      to_edge_paces: asked.to_edge_paces, edge_to_hole_paces: asked.edge_to_hole_paces,
    });
    const plan = await follow(job, $("comparing"));
    $("compared").replaceChildren(
      make("p", { class: "big" }, plan.answer), make("p", {}, plan.reading_advice), make("p", {}, plan.test_advice));
  } catch (error) {
    $("compared").replaceChildren(make("p", { class: "notice" }, error.message));
  } finally {
    button.disabled = false;
  }
}

$("junior").addEventListener("change", (event) => { $("guardian-part").hidden = !event.target.checked; });
$("new-player").addEventListener("submit", addPlayer);
$("where").addEventListener("submit", answer);
$("player").addEventListener("change", () => { keep("player", $("player").value); $("answer").hidden = true; });
$("log-here").addEventListener("click", logHere);
$("compare-all").addEventListener("click", compare);
loaded = load();
