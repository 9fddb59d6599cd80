// Lengths and names for people, in the coach's units.

const YARD_M = 0.9144;
const FOOT_M = 0.3048;
const CLUBS = { putter: "putter", LW: "lob wedge", SW: "sand wedge", GW: "gap wedge", PW: "pitching wedge", hybrid: "hybrid" };

export const clubText = (name) => CLUBS[name] ?? (/^[3-9]i$/.test(name) ? `${name[0]}-iron` : name);

/** Whole paces, halves below three. */
export function paces(length_m, pace_m) {
  const count = length_m / pace_m;
  const round = count < 3 ? Math.round(2 * count) / 2 : Math.round(count);
  return `${round} ${round === 1 ? "pace" : "paces"}`;
}

/** A length in metres or yards. */
export function length(length_m, units) {
  return units === "yards" ? `${(length_m / YARD_M).toFixed(1)} yd` : `${length_m.toFixed(1)} m`;
}

/** A short length in metres or feet. */
export function small(length_m, units) {
  return units === "yards" ? `${(length_m / FOOT_M).toFixed(1)} ft` : `${length_m.toFixed(1)} m`;
}

export const balls = (n) => (n === 1 ? "1 ball" : `${n} balls`);

/** An element with text and attributes; children may be strings or elements. */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}
