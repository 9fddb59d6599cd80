// Whom the phone knows and where it can put a ball: from the laptop, or as this phone kept it.
import { keep, kept, newId } from "./outbox.js";
import { send } from "./forms.js";

const HALF_WIDTH_M = 9; // of a green that was only paced, and how far it goes on behind the hole
const BEYOND_M = 6;
const AROUND = { green: "green", fringe: "fringe", "light rough": "light rough", "heavy rough, sitting up": "heavy rough",
  "heavy rough, sitting down": "heavy rough", bare: "bare" };
const NOBODY = { players: [], tables: {}, usual: {}, places: [], pace_m: 0.9, units: "metres" };

/** Players, tables and places; players added here stay until the laptop has them. `online`: it came from there. */
export async function roster() {
  const own = (await kept("own-players")) ?? [];
  const unknown = (course) => {
    const known = new Set(course.players.map((player) => player.id));
    return own.filter((player) => !known.has(player.id));
  };
  try {
    const course = await send("/api/course", "GET");
    await keep("course", course);
    await keep("own-players", unknown(course));
    return { course: { ...course, players: [...course.players, ...unknown(course)] }, online: true };
  } catch {
    const course = { ...NOBODY, ...(await kept("course")) };
    return { course: { ...course, players: [...course.players, ...unknown(course)] }, online: false };
  }
}

/** The clubs of a player whose bag nobody changed yet. */
export const usualClubs = (course, level) => {
  const table = course.usual[level];
  return table ? [...table.slopes.level.map((row) => row.club), ...(table.putter ? ["putter"] : [])] : [];
};

/** A player that this phone added. */
export async function keepOwn(player) {
  await keep("own-players", [...((await kept("own-players")) ?? []), player]);
}

/** The green of two paced distances with its day and station: what goes into the outbox, and what a log needs. */
export function pacedPlace({ name, lie, slope, to_edge_m, edge_to_hole_m, landing_m, circle_m, club }) {
  const [green, shape, day, station] = [newId(), newId(), newId(), newId()];
  const far = to_edge_m + edge_to_hole_m;
  const back = Math.max(to_edge_m, 0.1);
  const outline = [[-HALF_WIDTH_M, back], [HALF_WIDTH_M, back], [HALF_WIDTH_M, far + BEYOND_M], [-HALF_WIDTH_M, far + BEYOND_M]];
  const place = {
    name, start_m: [0, 0], hole_m: [0, far], lie: { kind: lie },
    ...(landing_m ? { landing_spot_m: [0, landing_m], circle_radius_m: circle_m } : {}), // a putt has none
    ...(club ? { club } : {}),
  };
  const entries = [
    ["green", { name, archived: true }, green],
    ["shape", { green_id: green, outline, around: AROUND[lie] ?? "fairway", slope_word: slope }, shape],
    ["day", { green_id: green }, day],
    ["station", { green_id: green, ...place }, station],
  ];
  return { green_id: green, day_id: day, station: { id: station, ...place }, outline, entries };
}
