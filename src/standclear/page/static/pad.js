// The page's own number pad, for gloves: it asks for one number and hands it over as it was typed.

const pad = document.getElementById("pad");
const value = document.getElementById("pad-value");
const told = document.getElementById("pad-told");
let asking = null;
let fresh = true; // the first digit takes the place of what stands there

/** Asks for a number. `take(text)` gives what is wrong with it, nothing where it has taken it; then
 *  `next`, where there is one, may ask for another. */
export function askNumber({ label, text, take, next }) {
  asking = { take, next };
  fresh = true;
  document.getElementById("pad-label").textContent = label;
  value.value = text;
  told.textContent = "";
  if (!pad.open) pad.showModal();
  value.select();
}

function pressed(event, digit) {
  if (digit === "set") return;
  event.preventDefault();
  // The second click of a double one that opened the pad means no key.
  if (fresh && event.detail > 1) return;
  if (digit === "leave") { pad.close(); return; }
  if (digit === "next") { taken(asking.next); return; }
  const text = fresh && /[0-9.]/.test(digit) ? "" : value.value;
  fresh = false;
  if (digit === "rub") value.value = text.slice(0, -1);
  else if (digit === "space") value.value = `${text} `;
  else if (digit === "±") value.value = text.startsWith("-") ? text.slice(1) : `-${text}`;
  else value.value = text + digit;
}

function taken(next) {
  const wrong = asking.take(value.value);
  told.textContent = wrong || "";
  if (wrong) return;
  if (!next?.()) pad.close();
}

for (const key of pad.querySelectorAll("[data-digit]")) {
  key.addEventListener("click", (event) => pressed(event, key.dataset.digit));
}
value.addEventListener("input", () => { fresh = false; });
// The keyboard stays with the number, whatever a finger or a second click meets.
pad.addEventListener("mousedown", (event) => { if (event.target !== value) event.preventDefault(); });
pad.querySelector("form").addEventListener("submit", (event) => {
  event.preventDefault();
  taken();
});
