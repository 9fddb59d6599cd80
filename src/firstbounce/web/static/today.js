// Green today: one-tap readings, entries in one button, a new green as an oval.
import { add, newId, outcome } from "./outbox.js";
import { say } from "./forms.js";

const CORNERS = 20;

/** Buttons that carry entries: each goes into the outbox, then the page shows what came of them. */
for (const button of document.querySelectorAll("button[data-rows]")) {
  button.addEventListener("click", async () => {
    const place = button.closest("fieldset, li, div.row");
    button.disabled = true;
    try {
      let last = null;
      for (const { kind, body } of JSON.parse(button.dataset.rows)) last = await add(kind, body);
      const became = await outcome(last.id);
      if (became.refused) throw new Error(became.refused);
      if (became.waiting) say(place, "Saved on this phone; it goes to the laptop when that is in reach.", "done");
      else location.reload();
    } catch (error) {
      say(place, error.message);
    }
    button.disabled = false;
  });
}

/** An oval whose near edge's middle is the mark. */
export function oval(wide_m, deep_m) {
  return [...Array(CORNERS).keys()].map((k) => {
    const turn = (2 * Math.PI * k) / CORNERS;
    return [wide_m / 2 * Math.sin(turn), deep_m / 2 - deep_m / 2 * Math.cos(turn)].map((value) => Number(value.toFixed(2)));
  });
}

document.querySelector("#new-green").addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  const pace = Number(form.querySelector("[data-pace]").dataset.pace);
  const { name, wide, deep, slope_word } = Object.fromEntries(new FormData(form));
  const [green, day] = [newId(), newId()];
  try {
    await add("green", { name: name.trim() }, green);
    await add("shape", { green_id: green, outline: oval(wide * pace, deep * pace), slope_word, fringe_m: 1 });
    await add("day", { green_id: green }, day);
    const became = await outcome(day);
    if (became.refused) throw new Error(became.refused);
    location.assign(`/days/${day}`);
  } catch (error) {
    say(form, error.message);
  }
});
