// Send a clip, with how far it is on its way and how far it was watched; keep what was seen by eye.
import { follow } from "./jobs.js";
import { say, send, told } from "./forms.js";
import { add, drop, outcome } from "./outbox.js";

const clip = document.querySelector("#clip");
const ticks = document.querySelector("#ticks");
let going = null; // what Stop stops: the sending, then the watching

function show(stage) {
  document.querySelector("#going").hidden = !stage;
  document.querySelector("#stage").textContent = stage;
  clip.querySelector("button.main").disabled = Boolean(stage);
}

function sent(file, address) {
  const request = new XMLHttpRequest();
  going = () => request.abort();
  return new Promise((yes, no) => {
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) document.querySelector("#progress").value = event.loaded / event.total;
    });
    request.addEventListener("load", () => {
      let answer = {};
      try { answer = JSON.parse(request.responseText); } catch { /* said below */ }
      if (request.status === 202) yes(answer.job);
      else no(new Error(answer.error ?? `The laptop answered ${request.status}.`));
    });
    request.addEventListener("error", () => no(new Error("The clip did not reach the laptop. Try again closer to it, or copy the clip to the laptop first.")));
    request.addEventListener("abort", () => no(new Error("It was stopped; nothing was kept.")));
    request.open("POST", address);
    request.setRequestHeader("Content-Type", "application/octet-stream");
    request.send(file);
  });
}

async function watch(job) {
  going = () => send(`/api/jobs/${job}`, "DELETE").catch((error) => say(clip, error.message));
  show("Watching the clip on the laptop. You may leave this page meanwhile.");
  try {
    const { technique } = await follow(job, document.querySelector("#progress"));
    location.assign(`/technique/${technique}`);
  } finally {
    show("");
  }
}

async function submit(event) {
  event.preventDefault();
  const [file] = clip.querySelector("#file").files;
  const { player, mostMb } = clip.dataset;
  if (file.size > Number(mostMb) * 1e6) {
    say(clip, `This clip has ${Math.round(file.size / 1e6)} MB; at most ${mostMb} MB can be taken: cut out the part with the swings.`);
    return;
  }
  const rate = clip.querySelector("#filmed_at").value;
  const asked = new URLSearchParams({ player_id: player, ...(rate ? { filmed_at: rate } : {}) });
  try {
    const bar = document.querySelector("#progress");
    bar.value = 0;
    bar.hidden = false;
    show("Sending the clip to the laptop. Keep this page open.");
    await watch(await sent(file, `/api/clips?${asked}`));
  } catch (error) {
    say(clip, error.message);
  } finally {
    show("");
  }
}

if (clip) {
  clip.addEventListener("submit", submit);
  document.querySelector("#stop").addEventListener("click", () => going?.());
  if (clip.dataset.job) watch(clip.dataset.job).catch((error) => say(clip, error.message));
}

ticks.addEventListener("submit", async (event) => {
  event.preventDefault();
  const seen = told(ticks);
  const yes = { yes: true, no: false };
  const body = { player_id: ticks.dataset.player, swings: seen.swings };
  for (const name of ["arms_together", "through_matches_back", "recoil"]) if (name in seen) body[name] = yes[seen[name]];
  if ("held_s" in seen) body.held_s = Number(seen.held_s);
  if (Object.keys(body).length < 3) { say(ticks, "Nothing was ticked: say at least one thing that you saw."); return; }
  try {
    const row = await add("ticks", body);
    const became = await outcome(row.id);
    if (became.refused) { await drop(row.id); throw new Error(became.refused); }
    if (became.waiting) { ticks.reset(); say(ticks, "Saved on this phone; it goes to the laptop when that is in reach.", "done"); }
    else location.assign(`/technique/${row.id}`);
  } catch (error) {
    say(ticks, error.message);
  }
});
