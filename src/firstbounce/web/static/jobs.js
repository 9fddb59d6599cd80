// Long work on the laptop: ask how far it is until it is done. Leaving the page does not stop it.
import { send } from "./forms.js";

const EVERY_MS = 400;

/** Follow a job; moves the progress bar; resolves with its answer or rejects with its sentence. */
export async function follow(id, bar) {
  bar.hidden = false;
  try {
    for (;;) {
      const job = await send(`/api/jobs/${id}`, "GET");
      bar.value = job.share;
      if (job.state === "done") return job.answer;
      if (job.state === "failed") throw new Error(job.error);
      if (job.state === "stopped") throw new Error("It was stopped.");
      await new Promise((resolve) => setTimeout(resolve, EVERY_MS));
    }
  } finally {
    bar.hidden = true;
  }
}
