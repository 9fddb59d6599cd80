// The words of a tally: where a ball landed, seen against the circle, and where it finished, seen against the hole.
import { make } from "./words.js";

const LANDINGS = [["in", "In the circle"], ["short", "Short"], ["long", "Long"], ["left", "Left"], ["right", "Right"], ["not seen", "Not seen"]];
const FINISHES = [["holed", "Holed"], ["given", "Given"], ["within two paces", "Two paces"], ["further, short", "Short"], ["further, past", "Past"], ["not seen", "Not seen"]];

/** Put the buttons in their places; `tapped(part, value, button)` is called at each tap. */
export function tallyButtons(tapped) {
  for (const [part, list] of [["landed", LANDINGS], ["finished", FINISHES]]) {
    document.getElementById(`tally-${part}`).replaceChildren(...list.map(([value, text]) => {
      const button = make("button", { type: "button", "aria-pressed": "false" }, text);
      button.addEventListener("click", () => tapped(part, value, button));
      return button;
    }));
  }
}

/** Show the tapped button of its row as pressed, or none. */
export function press(button) {
  for (const other of button.parentElement.children) other.setAttribute("aria-pressed", String(other === button));
}
