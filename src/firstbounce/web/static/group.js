// A clinic on this phone: its members, what a log needs of each, and the score sheet of each.
import { add, addWith, keep, kept, newId } from "./outbox.js";

/** A session for one more player: an entry of the outbox, and what the phone keeps of it. */
export async function member(clinic, player) {
  const { green_id, day_id, station } = clinic.place;
  const session_id = newId();
  const where = { ...(green_id ? { green_id } : {}), ...(day_id ? { day_id } : {}), station_id: station.id };
  await add("session", { player_id: player.id, kind: "clinic", clinic_id: clinic.id, ...where }, session_id);
  return { session_id, player: { id: player.id, name: player.name }, clubs: player.clubs, balls: [], sheets: [], verdict: "" };
}

/** What the log of one member needs; balls that this phone knows already stay. */
export async function keepLog(clinic, one) {
  const key = `session:${one.session_id}`;
  const before = await kept(key);
  const known = new Set(one.balls.map((ball) => ball.id));
  const own = (before?.balls ?? []).filter((ball) => !known.has(ball.id));
  const { station, outline } = clinic.place;
  await keep(key, {
    ...before, session_id: one.session_id, player: one.player, clubs: one.clubs, station, outline, units: clinic.units,
    pace_m: clinic.pace_m, balls: [...one.balls, ...own],
    clinic: { id: clinic.id, members: clinic.members.map(({ session_id, player }) => ({ session_id, name: player.name })) },
  });
  return [...one.balls, ...own];
}

const sheetKey = (one) => `sheet:${one.session_id}`;

/** This phone's own sheet of a member: { root, last, successes, out_of, taps }, or null before the first tap. */
export const sheetOf = async (one) => (await kept(sheetKey(one))) ?? null;

/** Taps of this phone and of others together. */
export function total(one, sheet) {
  const others = one.sheets.filter((other) => other.root !== sheet?.root);
  const sum = (name) => others.reduce((all, other) => all + other[name], sheet?.[name] ?? 0);
  return { successes: sum("successes"), out_of: sum("out_of") };
}

/** Each change of a sheet is a row that corrects the one before: kept once each, and the last one counts. */
function write(clinic, one, work) {
  return addWith("score", sheetKey(one), (before, id) => {
    const { successes, out_of, taps } = work(before ?? { successes: 0, out_of: 0, taps: [] });
    const chain = before ? { corrects_id: before.last, withdrawn: !out_of } : {}; // a sheet without a tap is none
    const body = { player_id: one.player.id, session_id: one.session_id, drill: clinic.drill, successes, out_of, ...chain };
    return { body, value: { root: before?.root ?? id, last: id, successes, out_of, taps } };
  });
}

export const tap = (clinic, one, hit) => write(clinic, one, ({ successes, out_of, taps }) =>
  ({ successes: successes + Number(hit), out_of: out_of + 1, taps: [...taps, hit] }));

/** Takes back the last tap of this sheet, when there is one. */
export const untap = (clinic, one) => write(clinic, one, ({ successes, out_of, taps }) => (taps.length
  ? { successes: successes - Number(taps.at(-1)), out_of: out_of - 1, taps: taps.slice(0, -1) }
  : { successes, out_of, taps }));

export const setSheet = (clinic, one, successes, out_of) => write(clinic, one, () => ({ successes, out_of, taps: [] }));
