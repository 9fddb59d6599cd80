// A junior's record needs a guardian's consent: its fields show, and count, only then.
const part = document.querySelector("#guardian-part");
const junior = document.querySelector("#junior");
const follow = () => { part.hidden = !junior.checked; part.disabled = !junior.checked; };
junior.addEventListener("change", follow);
follow();
