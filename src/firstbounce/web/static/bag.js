// Change a player: name, level, hand, and the clubs with their lofts.
import { say, send, told } from "./forms.js";
import { make } from "./words.js";

const form = document.querySelector("#player");
const bag = document.querySelector("#bag");

/** The clubs that are ticked, each with the loft that stands beside it. */
function clubs() {
  return [...bag.querySelectorAll("li")].filter((line) => line.querySelector("[type=checkbox]").checked).map((line) => {
    const loft = line.querySelector("[type=number]").value;
    return { name: line.dataset.club, ...(loft === "" ? {} : { loft_deg: Number(loft) }) };
  });
}

function addClub() {
  const [name, loft] = ["#club-name", "#club-loft"].map((id) => document.querySelector(id));
  const text = name.value.trim();
  if (!text || !loft.value) { say(form, "A club of another name needs its name and its loft."); return; }
  const there = [...bag.querySelectorAll("li")].find((line) => line.dataset.club === text);
  if (there) { say(form, `${text} is in the list already: change its loft there.`); return; }
  bag.append(make("li", { "data-club": text },
    make("label", { class: "tick" }, make("input", { type: "checkbox", checked: true }), ` ${text}`),
    make("input", { type: "number", inputmode: "decimal", min: 15, max: 72, step: 0.5, value: loft.value, "aria-label": `Loft of ${text}, degrees` }),
    make("span", { class: "hint" }, "read off the club")));
  for (const field of [name, loft]) field.value = "";
  form.querySelector(".said")?.remove();
}

async function save(event) {
  event.preventDefault();
  try {
    await send(`/api/players/${form.dataset.player}`, "PUT", { ...told(form), clubs: clubs() });
    location.assign(`/players/${form.dataset.player}`);
  } catch (error) {
    say(form, error.message);
  }
}

document.querySelector("#add-club").addEventListener("click", addClub);
form.addEventListener("submit", save);
