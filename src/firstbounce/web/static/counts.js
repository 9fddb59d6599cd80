// Counts over the balls of a session, for the phone alone: from the third ball on there is something to say.

const FEWEST = 3;

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
