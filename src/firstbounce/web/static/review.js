// Review on the laptop; when there are balls that the last review has not seen, it starts by itself.
import { follow } from "./jobs.js";
import { say, send } from "./forms.js";

const place = document.querySelector("#review");

async function again() {
  const button = document.querySelector("#again");
  button.disabled = true;
  try {
    const { job } = await send(`/api/sessions/${place.dataset.session}/review`, "POST");
    await follow(job, document.querySelector("#progress"));
    location.reload();
  } catch (error) {
    say(place, error.message);
    button.disabled = false;
  }
}

if (place) {
  document.querySelector("#again").addEventListener("click", again);
  if (place.dataset.fresh === "no") again();
}
