// What if: the same station with another speed or firmness.
import { follow } from "./jobs.js";
import { say, send, told } from "./forms.js";

const form = document.querySelector("#what-if");
form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const asked = told(form);
  if (!Object.keys(asked).length) { say(form, "Choose a speed or a firmness first."); return; }
  form.querySelector("button").disabled = true;
  try {
    const { job } = await send(`/api/plans/${form.dataset.plan}/what-if`, "POST", asked);
    const { plan } = await follow(job, document.querySelector("#progress"));
    location.assign(`/plans/${plan}`);
  } catch (error) {
    say(form, error.message);
    form.querySelector("button").disabled = false;
  }
});
