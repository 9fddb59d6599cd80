// A zoomed window of the green for placing one ball: up is towards the hole, the crosshair stands above the finger.
// Coordinates here are along (long positive) and across (right positive) from the window's middle, in metres.

const FINGER_PX = 64; // the crosshair stands so far above a finger
const SIDE = 320; // of the drawing, in its own units
const SVG = "http://www.w3.org/2000/svg";
const ZOOMS_M = [2, 4, 8, 16]; // half the side of the window

function draw(name, attributes, parent, text) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  if (text) element.textContent = text;
  parent?.append(element);
  return element;
}

export class Window {
  /** `marks(window)` draws what stands there; `moved()` is called after each move. */
  constructor(place, marks, moved) {
    this.svg = draw("svg", { viewBox: `0 0 ${SIDE} ${SIDE}`, class: "window", "aria-hidden": "true" }, place);
    this.still = draw("g", {}, this.svg);
    this.cross = draw("g", { class: "cross" }, this.svg);
    this.marks = marks;
    this.moved = moved;
    this.half = 4;
    this.clear();
    for (const kind of ["pointerdown", "pointermove"]) this.svg.addEventListener(kind, (event) => this.point(event));
  }

  /** Nothing placed yet. */
  clear() {
    this.at = { along: 0, across: 0 };
    this.placed = false;
    this.redraw();
  }

  /** Put the crosshair somewhere. */
  put(along, across) {
    this.at = { along, across };
    this.placed = true;
    while (Math.max(Math.abs(along), Math.abs(across)) > this.half && this.half < ZOOMS_M.at(-1)) this.half *= 2;
    this.redraw();
    this.moved();
  }

  nudge(along, across) {
    this.put(this.at.along + along, this.at.across + across);
  }

  /** Nearer (1) or further (-1). */
  zoom(step) {
    const k = ZOOMS_M.indexOf(this.half) - step;
    this.half = ZOOMS_M[Math.min(Math.max(k, 0), ZOOMS_M.length - 1)];
    this.redraw();
  }

  point(event) {
    if (event.type === "pointermove" && !(event.buttons & 1)) return;
    event.preventDefault();
    this.svg.setPointerCapture(event.pointerId);
    const box = this.svg.getBoundingClientRect();
    const above = event.pointerType === "mouse" ? 0 : FINGER_PX;
    const held = (share) => Math.min(Math.max(share, 0), 1);
    const right = held((event.clientX - box.left) / box.width);
    const down = held((event.clientY - above - box.top) / box.height);
    this.put((1 - 2 * down) * this.half, (2 * right - 1) * this.half);
  }

  x(across) { return SIDE / 2 + (across / this.half) * (SIDE / 2); }
  y(along) { return SIDE / 2 - (along / this.half) * (SIDE / 2); }
  size(length) { return (length / this.half) * (SIDE / 2); }

  redraw() {
    this.still.replaceChildren();
    const step = this.half > 8 ? 4 : this.half > 4 ? 2 : 1;
    for (let m = -Math.floor(this.half / step) * step; m <= this.half; m += step) {
      draw("path", { d: `M${this.x(m)} 0V${SIDE}M0 ${this.y(m)}H${SIDE}`, class: "square" }, this.still);
    }
    this.marks(this);
    draw("text", { x: 8, y: SIDE - 10, class: "scale" }, this.still, `one square: ${step} m`);
    this.cross.replaceChildren();
    const [x, y] = [this.x(this.at.across), this.y(this.at.along)];
    this.cross.setAttribute("data-placed", this.placed);
    draw("path", { d: `M${x - 26} ${y}H${x - 6}M${x + 6} ${y}H${x + 26}M${x} ${y - 26}V${y - 6}M${x} ${y + 6}V${y + 26}` }, this.cross);
    draw("circle", { cx: x, cy: y, r: 4 }, this.cross);
  }

  circle(along, across, radius, kind) {
    draw("circle", { cx: this.x(across), cy: this.y(along), r: this.size(radius), class: kind }, this.still);
  }

  spot(along, across, kind, words) {
    const [x, y] = [this.x(across), this.y(along)];
    if (Math.min(x, y) < 6 || Math.max(x, y) > SIDE - 6) return; // beyond the window
    draw("circle", { cx: x, cy: y, r: 5, class: kind }, this.still);
    if (words) draw("text", { x: x + 9, y: y - 9, class: "words" }, this.still, words);
  }

  /** A straight edge across the line at this distance along. */
  edge(along, words) {
    if (Math.abs(along) > this.half) return;
    draw("path", { d: `M0 ${this.y(along)}H${SIDE}`, class: "edge" }, this.still);
    draw("text", { x: 8, y: this.y(along) - 6, class: "words" }, this.still, words);
  }

  /** A closed line of points [[along, across], ...]. */
  outline(points, kind) {
    const d = points.map(([along, across], k) => `${k ? "L" : "M"}${this.x(across)} ${this.y(along)}`).join("");
    draw("path", { d: `${d}Z`, class: kind }, this.still);
  }
}
