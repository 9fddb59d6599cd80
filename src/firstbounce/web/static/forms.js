// Forms. <form data-row="reading" data-then="here">: an entry of the outbox, on this phone's disk first.
// Others speak the JSON interface: <form data-send="/api/..." data-method="POST" data-then="/players/{id}">.
// A field's name is its key; "a.b" nests; data-as says what a value is: number, yes (checkbox), list, skip-empty text.
import { add, drop, newId, outcome } from "./outbox.js";

function valueOf(field) {
  if (field.type === "checkbox") return field.checked;
  const text = field.value.trim();
  if (field.type === "number" || field.dataset.as === "number") return text === "" ? undefined : Number(text);
  if (field.dataset.as === "numbers") {
    const scale = Number(field.dataset.scale ?? 1);
    return text === "" ? undefined : text.split(/[\s;]+/).map((part) => Number(part.replace(",", ".")) * scale);
  }
  return text === "" && !("empty" in field.dataset) ? undefined : text;
}

/** What a form says, as one object. Radio groups give the chosen value; checkboxes of one name with values a list. */
export function told(form) {
  const body = {};
  for (const field of form.elements) {
    if (!field.name || field.disabled || field.type === "submit" || field.type === "button") continue;
    if (field.type === "radio" && !field.checked) continue;
    if (field.dataset.as === "list") {
      const list = (at(body, field.name)[last(field.name)] ??= []);
      if (field.checked) list.push(field.value);
      continue;
    }
    const value = valueOf(field);
    if (value !== undefined) at(body, field.name)[last(field.name)] = value;
  }
  for (const [key, value] of Object.entries(body)) { // a list of records whose first key was left empty is no record
    if (Array.isArray(value) && value.length && value.every((one) => typeof one === "object" && !one.drill)) delete body[key];
  }
  return body;
}

const last = (name) => name.split(".").at(-1);

function at(body, name) {
  const keys = name.split(".");
  return keys.slice(0, -1).reduce((inner, key, k) => (inner[key] ??= /^\d+$/.test(keys[k + 1]) ? [] : {}), body);
}

/** Send JSON; resolves with the answer or rejects with the server's own sentence. */
export async function send(path, method, body) {
  let answer;
  try {
    answer = await fetch(path, {
      method,
      headers: { "Content-Type": "application/json" },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch {
    throw new Error("There is no connection to the laptop. This needs it; the Course page works without.");
  }
  const said = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Error(said.error ?? `The server answered ${answer.status}.`);
  return said;
}

/** Say something to the person in the form's own place for it. */
export function say(form, text, kind = "trouble") {
  let place = form.querySelector(".said");
  if (!place) {
    place = document.createElement("p");
    place.className = "said";
    place.setAttribute("role", kind === "trouble" ? "alert" : "status");
    form.append(place);
  }
  place.dataset.kind = kind;
  place.textContent = text;
}

/** Put a form's entry into the outbox; says what became of it; resolves with its id. */
async function addRow(form, body) {
  const row = await add(form.dataset.row, body);
  const became = await outcome(row.id);
  if (became.refused) {
    await drop(row.id);
    throw new Error(became.refused);
  }
  return { id: row.id, waiting: became.waiting };
}

async function submit(form, button) {
  if (form.dataset.sure && !confirm(form.dataset.sure)) return;
  const buttons = [...form.querySelectorAll("button")];
  buttons.forEach((one) => { one.disabled = true; });
  form.setAttribute("aria-busy", "true");
  try {
    const body = { ...JSON.parse(form.dataset.given ?? "{}"), ...told(form) };
    const said = form.dataset.row ? await addRow(form, body) : await send(form.dataset.send, form.dataset.method ?? "POST", body);
    const then = button?.dataset.then ?? form.dataset.then;
    if (then === "here" && said.waiting) say(form, "Saved on this phone; it goes to the laptop when that is in reach.", "done");
    else if (then === "here") location.reload();
    else if (then) location.assign(then.replace(/\{(\w+)\}/g, (_, key) => encodeURIComponent(said[key])));
    else say(form, form.dataset.done ?? "Saved.", "done");
  } catch (error) {
    say(form, error.message);
  } finally {
    buttons.forEach((one) => { one.disabled = false; });
    form.removeAttribute("aria-busy");
  }
}

/** Take over every form of the page that names where it sends to. */
export function takeForms(root = document) {
  for (const form of root.querySelectorAll("form[data-send], form[data-row]")) {
    form.addEventListener("submit", (event) => { event.preventDefault(); submit(form, event.submitter); });
  }
}

/** Buttons that begin a session with what they carry, and open its log. */
export function takeStarts(root = document) {
  for (const button of root.querySelectorAll("button[data-start]")) {
    button.addEventListener("click", async () => {
      button.disabled = true;
      const { id = newId(), ...session } = JSON.parse(button.dataset.start);
      try {
        await add("session", session, id);
        await outcome(id);
        location.assign(`/sessions/${id}/log`);
      } catch (error) {
        button.disabled = false;
        say(button.parentElement, error.message);
      }
    });
  }
}
