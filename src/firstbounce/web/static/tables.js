// Which club, where to land it, from tables of carry and run that the laptop made. Lengths in metres.
// Between two rows of a table values are taken on the straight line; the putter has equations instead of rows.
// tests/web compares with the laptop's own.

const NINE_OF_TEN = 3.29; // width of the middle nine of ten in standard deviations
const AS_GOOD = 1.1; // a leave within a tenth of the best cannot be told from it
const CLEAR_M = 0.5; // at least so far onto the green
const STOPS = 0.15; // share of a level green's braking that must be left on the slope, else no putt is told

/** The value at x of a curve given at rising xs, ends held. */
export function between(xs, ys, x) {
  if (x <= xs[0]) return ys[0];
  for (let k = 1; k < xs.length; k += 1) {
    if (x <= xs[k]) return ys[k - 1] + ((ys[k] - ys[k - 1]) * (x - xs[k - 1])) / (xs[k] - xs[k - 1]);
  }
  return ys.at(-1);
}

/** Run of a club at a carry, with where nine of ten clean strikes end: {run_m, low_m, high_m}. */
export function runOf(table, slope, club, carry) {
  const row = table.slopes[slope].find((one) => one.club === club);
  const value = (name) => between(table.carries_m, row[name], carry);
  return { run_m: value("run_m"), low_m: value("low_m"), high_m: value("high_m") };
}

/** The carry whose carry and run together are `far`, or null when the table does not reach there. */
export function carryFor(table, slope, club, far) {
  const total = (carry) => carry + runOf(table, slope, club, carry).run_m;
  let low = table.carries_m[0];
  let high = table.carries_m.at(-1);
  if (far < total(low) || far > total(high)) return null;
  for (let k = 0; k < 50; k += 1) {
    const middle = (low + high) / 2;
    if (total(middle) < far) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * A putt from the lie to the hole: { club, is_putt, putt_m, leave_m }, or null where nobody putts. `putt_m` is the length
 * of the putt on the level green that needs the same stroke. A ball that rolls is slowed evenly: its energy is spent on
 * the grass short of the green, on the green, and on the slope.
 */
export function putt(table, { to_edge_m, edge_to_hole_m, slope, lie }) {
  const { putter } = table;
  if (!putter || !(lie in putter.stimp_ratio)) return null;
  const brake = putter.deceleration;
  const pull = putter.pull[slope];
  const [grass, green] = [brake / putter.stimp_ratio[lie] + pull, brake + pull];
  if (green < STOPS * brake || grass < STOPS * brake) return null;
  const far = to_edge_m + edge_to_hole_m;
  const putt_m = (grass * to_edge_m + green * edge_to_hole_m) / brake;
  const work = [to_edge_m / putter.stimp_ratio[lie], edge_to_hole_m]; // of the turf alone, over the green's braking
  const rough = lie === "green" ? 0 : work[0] / (work[0] + work[1]);
  const along = (brake / green) * putt_m * putter.distance_share;
  const scatter = (brake / green) * (work[0] + work[1]) * rough * putter.grass_sd;
  const ratio = green / brake;
  const turn = Math.hypot(putter.direction, putter.heading_sd * (1 + (putter.rough_heading - 1) * rough));
  const across = (2 * ratio / (1 + ratio)) * turn * far;
  return { club: "putter", is_putt: true, putt_m, leave_m: Math.hypot(along, scatter, across), lands_on_green: true };
}

/** Every club that can get there, best first: the least usual leave among those that land on the green, or roll on it. */
export function choices(table, { to_edge_m, edge_to_hole_m, slope, lie }) {
  const far = to_edge_m + edge_to_hole_m;
  const chips = table.slopes[slope].map((row) => choice(table, slope, row.club, far, to_edge_m));
  const found = [...chips, putt(table, { to_edge_m, edge_to_hole_m, slope, lie })].filter(Boolean);
  found.sort((a, b) => Number(b.lands_on_green) - Number(a.lands_on_green) || a.leave_m - b.leave_m);
  return found.map((one) => ({
    ...one,
    as_good: one.lands_on_green === found[0].lands_on_green && one.leave_m <= AS_GOOD * found[0].leave_m,
  }));
}

function choice(table, slope, club, far, to_edge_m) {
  const carry_m = carryFor(table, slope, club, far);
  if (carry_m === null) return null;
  const run = runOf(table, slope, club, carry_m);
  const along = between(table.carries_m, table.along_m, carry_m);
  const step = Math.min(0.25, carry_m / 4);
  const rise = 1 + (runOf(table, slope, club, carry_m + step).run_m - runOf(table, slope, club, carry_m - step).run_m) / (2 * step);
  const scatter = (run.high_m - run.low_m) / NINE_OF_TEN;
  const across = between(table.carries_m, table.across_m, carry_m) * (far / carry_m);
  return {
    club,
    is_putt: false,
    carry_m,
    ...run,
    circle_m: between(table.carries_m, table.circle_m, carry_m),
    leave_m: Math.hypot(along * rise, scatter, across),
    lands_on_green: carry_m - to_edge_m >= Math.max(CLEAR_M, along),
  };
}
