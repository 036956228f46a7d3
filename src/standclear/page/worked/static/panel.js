// One answer at a time, worked out for what is dragged; again after each full answer of the bench.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { paragraphs } from "/static/lines.js";

const keys = [...document.querySelectorAll("[data-worked]")];
const place = document.getElementById("worked-lines");
const picture = document.getElementById("worked-picture");
const parser = new DOMParser();
const told = document.getElementById("worked-told");
const print = document.getElementById("worked-print");
let open = "";
let shown = "";
let running = false;

for (const key of keys) {
  key.addEventListener("click", () => {
    open = open === key.dataset.worked ? "" : key.dataset.worked;
    for (const each of keys) each.setAttribute("aria-pressed", String(each.dataset.worked === open));
    shown = "";
    place.replaceChildren();
    picture.replaceChildren();
    print.hidden = !open;
    work();
  });
}
bench.onAnswer((answer) => { if (answer.full) work(); });

function address(ending) {
  const query = new URLSearchParams(Object.entries(bench.values)).toString();
  return `${bench.address}/worked/${open}${ending}${query ? `?${query}` : ""}`;
}

async function work() {
  if (!open || running) return;
  const asked = `${address(".json")} ${bench.revision}`;
  if (asked === shown) return;
  running = true;
  told.textContent = "Working it out ...";
  print.href = address("");
  try {
    const answer = await send("GET", address(".json"));
    if (answer.subject === open) {
      place.replaceChildren(...paragraphs(answer.lines));
      picture.replaceChildren(...(answer.svg ? [document.importNode(
        parser.parseFromString(answer.svg, "image/svg+xml").documentElement, true,
      )] : []));
      told.textContent = Object.keys(answer.values).length
        ? "For the blank as it is dragged." : "For the job as it is filed.";
      shown = asked;
    }
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    told.textContent = error.message;
    shown = asked;
  } finally {
    running = false;
  }
  // What was dragged while this was on its way is worked out next.
  if (open && `${address(".json")} ${bench.revision}` !== shown) work();
}
