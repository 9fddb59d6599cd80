// Ask for what the page is to show, wait until it is made, show it: the page as it then is stays on the phone.
import { follow } from "./jobs.js";
import { say, send } from "./forms.js";

const place = document.querySelector("#wait");
try {
  const { job } = await send(place.dataset.post, "POST");
  await follow(job, document.querySelector("#progress"));
  location.reload();
} catch (error) {
  place.querySelector("p").hidden = true;
  say(place, error.message);
}
