// Counts over the balls of a session, for the phone alone: from the third ball on there is something to say.

import { small } from "./words.js";

const FEWEST = 3;
const LANDED_OFF_M = 0.5; // a middle landing nearer to the spot than this is on it
const FINISHED_OFF_M = 0.75; // the same of finishes, the landing's own miss taken out

/** Two paces: what counts as close. */
export const closeM = (pace_m) => 2 * pace_m;

/** The balls that stand: not withdrawn, each in its last version. */
export function standing(balls) {
  const replaced = new Set(balls.map((ball) => ball.corrects_id).filter(Boolean));
  return balls.filter((ball) => ball.kind !== "withdrawn" && !replaced.has(ball.id));
}

const far = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

function inCircle(ball) {
  if (ball.kind === "tally") return ball.tally_landed === "not seen" ? null : ball.tally_landed === "in";
  if (!ball.landed_m || !ball.aim_m || !ball.circle_radius_m) return null;
  return far(ball.landed_m, ball.aim_m) <= ball.circle_radius_m;
}

function close(ball, pace_m) {
  if (ball.kind === "tally") {
    if (ball.tally_finished === "not seen") return null;
    return ["holed", "given", "within two paces"].includes(ball.tally_finished);
  }
  if (ball.holed) return true;
  return ball.finished_m && ball.hole_m ? far(ball.finished_m, ball.hole_m) <= closeM(pace_m) : null;
}

function count(values) {
  const seen = values.filter((value) => value !== null);
  return seen.length ? `${seen.filter(Boolean).length} of ${seen.length}` : null;
}

/** One sentence of counts, or null before the third ball. */
export function countsText({ balls, pace_m }) {
  const stand = standing(balls);
  if (stand.length < FEWEST) return null;
  const landed = count(stand.map(inCircle));
  const near = count(stand.map((ball) => close(ball, pace_m)));
  const parts = [landed && `${landed} landed in the circle`, near && `${near} finished within two paces`].filter(Boolean);
  return `${stand.length} balls: ${parts.join(", ")}.`;
}

const median = (values) => {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
};

/** How far `place` is past `wanted` along the line from start to hole [m]. */
function past(ball, place, wanted) {
  const [x, y] = [ball.hole_m[0] - ball.start_m[0], ball.hole_m[1] - ball.start_m[1]];
  return ((place[0] - wanted[0]) * x + (place[1] - wanted[1]) * y) / Math.hypot(x, y);
}

const clean = (ball) => !ball.strike || ball.strike === "clean";

/** Something for the next three balls, a hunch from the middle of the misses; empty before the third ball. */
export function tryNext({ balls, units }) {
  const stand = standing(balls).filter(clean);
  const placed = stand.filter((ball) => ball.kind !== "tally" && ball.landed_m && ball.aim_m && ball.hole_m && ball.start_m);
  const same = "A hunch: the same spot and the same stroke.";
  if (placed.length >= FEWEST) {
    const along = median(placed.map((ball) => past(ball, ball.landed_m, ball.aim_m)));
    if (Math.abs(along) > LANDED_OFF_M) return `A hunch: try to land it ${small(Math.abs(along), units)} ${along > 0 ? "shorter" : "longer"}.`;
    const ended = placed.filter((ball) => ball.finished_m && !ball.holed);
    if (ended.length < FEWEST) return same;
    const left = median(ended.map((ball) => past(ball, ball.finished_m, ball.hole_m) - past(ball, ball.landed_m, ball.aim_m)));
    if (Math.abs(left) <= FINISHED_OFF_M) return same;
    return left > 0
      ? "A hunch: move the spot nearer; balls that land on it end past the hole."
      : "A hunch: move the spot further; balls that land on it end short of the hole.";
  }
  const tallied = stand.filter((ball) => ball.kind === "tally");
  if (tallied.length < FEWEST) return "";
  const many = (word) => tallied.filter((ball) => ball.tally_landed === word).length;
  const [long, short] = [many("long"), many("short")];
  if (long === short) return same;
  return `A hunch: try to land it a little ${long > short ? "shorter" : "longer"}.`;
}
