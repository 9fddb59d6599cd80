// Ask for the chart, wait until it is drawn, show it: the page as it then is stays on the phone.
import { follow } from "./jobs.js";
import { say, send } from "./forms.js";

const place = document.querySelector("#chart");
try {
  const { job } = await send(`/api/players/${place.dataset.player}/chart`, "POST");
  await follow(job, document.querySelector("#progress"));
  location.reload();
} catch (error) {
  place.querySelector("p").hidden = true;
  say(place, error.message);
}
