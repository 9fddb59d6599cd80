// A link for a player: its address is shown once.
import { say, send } from "./forms.js";

const form = document.querySelector("#link");
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    const days = Number(form.querySelector("#days").value);
    const { path } = await send(`/api/players/${form.dataset.player}/links`, "POST", { days });
    const address = form.querySelector("#address");
    address.value = location.origin + path;
    form.querySelector(".link-made").hidden = false;
    address.select();
  } catch (error) {
    say(form, error.message);
  }
});
