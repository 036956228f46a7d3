// The number pad on the form: with it on, a number that is pressed is asked for on the pad, which
// goes on from field to field. On from the start where a finger is what points.
import { askNumber } from "/static/pad.js";

const KEPT = "standclear:number-pad";
// As the process reads it: 52, 52.5, 52,5, 1 7/8.
const NUMBER = /^[+-]?(\d+([.,]\d*)?|[.,]\d+|(\d+[ -])?\d+\/\d+)$/;
const form = document.getElementById("form");
const key = document.getElementById("with-pad");
let on = (localStorage.getItem(KEPT) ?? String(matchMedia("(pointer: coarse)").matches)) === "true";

function show() {
  key.setAttribute("aria-pressed", String(on));
  // The device's own keys would lie over the pad.
  for (const field of numbers()) field.inputMode = on ? "none" : "decimal";
}

const numbers = () => [...form.querySelectorAll("input[data-number]")];
const within = (field) => !field.disabled && !field.closest("[hidden]") && field.closest("details:not([open])") === null;

function ask(field) {
  field.scrollIntoView({ block: "center" });
  askNumber({
    label: labelOf(field),
    text: field.value,
    take(typed) {
      const text = typed.trim();
      if (text === field.value) return "";
      const several = field.closest(".entry-lengths, .entry-wholes");
      if (text && !(several ? text.split(/ +/) : [text]).every((each) => NUMBER.test(each))) {
        return several ? "Give numbers such as 3 5, with spaces between." : "Give a number such as 52.5.";
      }
      field.value = text;
      field.dispatchEvent(new Event("input", { bubbles: true }));
      return "";
    },
    next() {
      const shown = numbers().filter(within);
      const after = shown[shown.indexOf(field) + 1];
      if (after) ask(after);
      return Boolean(after);
    },
  });
}

/** Row and field, as `tool 2: Corner radius, mm`. */
function labelOf(field) {
  const row = field.closest("[data-line]")?.getAttribute("aria-label");
  const own = field.closest(".entry").querySelector("label");
  const unit = own.querySelector(".unit")?.textContent.trim();
  const name = own.firstChild.textContent.trim();
  return `${row ? `${row}: ` : ""}${name}${unit ? `, ${unit}` : ""}`;
}

form.addEventListener("click", (event) => {
  if (on && event.target.matches("input[data-number]") && !event.target.disabled) ask(event.target);
});
// Rows and guesses are drawn anew by the process.
form.addEventListener("focusin", (event) => {
  if (event.target.matches("input[data-number]")) event.target.inputMode = on ? "none" : "decimal";
});
key.addEventListener("click", () => {
  on = !on;
  localStorage.setItem(KEPT, String(on));
  show();
});
show();
