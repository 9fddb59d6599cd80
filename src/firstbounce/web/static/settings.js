// Entries from a file of a phone; signing out.
import { say, send } from "./forms.js";
import { forget } from "./outbox.js";

const BATCH = 300;

document.querySelector("#take-in").addEventListener("submit", async (event) => {
  event.preventDefault();
  const form = event.target;
  try {
    const { v, rows } = JSON.parse(await form.querySelector("#file").files[0].text());
    if (!Array.isArray(rows)) throw new Error("This is not a file of waiting entries.");
    let stored = 0;
    const refused = [];
    for (let k = 0; k < rows.length; k += BATCH) {
      const answer = await send("/api/outbox", "POST", { v, rows: rows.slice(k, k + BATCH) });
      stored += answer.stored.length;
      refused.push(...answer.refused);
    }
    const why = refused.length ? ` ${refused.length} not taken: ${refused[0].error}` : "";
    say(form, `${stored} of ${rows.length} entries are in the records.${why}`, refused.length ? "trouble" : "done");
  } catch (error) {
    say(form, error instanceof SyntaxError ? "This is not a file of waiting entries." : error.message);
  }
});

document.querySelector("#sign-out")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  await send("/api/sign-out", "POST");
  await forget();
  (await navigator.serviceWorker?.ready)?.active?.postMessage("forget");
  location.assign("/sign-in");
});
