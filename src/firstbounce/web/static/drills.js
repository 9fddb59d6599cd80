// Find a drill by a word; a name after # in the address opens it ("same drill").
const lines = [...document.querySelectorAll("#drills li")];
const wanted = document.querySelector("#wanted");

wanted.addEventListener("input", () => {
  const word = wanted.value.trim().toLowerCase();
  for (const line of lines) line.hidden = !line.textContent.toLowerCase().includes(word);
  const n = lines.filter((line) => !line.hidden).length;
  document.querySelector("#found").textContent = n === 1 ? "1 drill" : `${n} drills`;
});

const named = decodeURIComponent(location.hash.slice(1));
const line = named && lines.find((one) => one.dataset.name === named);
if (line) location.replace(line.querySelector("a").href);
