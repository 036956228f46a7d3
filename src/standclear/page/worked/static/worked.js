// One answer at a time, worked out for what is dragged; again after each full answer of the bench.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { paragraphs } from "/static/lines.js";
import { make } from "/static/showing.js";

const keys = [...document.querySelectorAll("[data-worked]")];
const place = document.getElementById("worked-lines");
const picture = document.getElementById("worked-picture");
const parser = new DOMParser();
const told = document.getElementById("worked-told");
const print = document.getElementById("worked-print");
const tool = document.getElementById("worked-tool");
const station = document.getElementById("worked-station");
const insert = document.getElementById("worked-insert");
const holder = document.getElementById("worked-holder");
const off = document.getElementById("worked-tool-off");
const RESTART = "restart";
let other = ""; // STATION=INSERT/HOLDER: what stands there now
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
    tool.hidden = open !== RESTART;
    if (open === RESTART) stations();
    work();
  });
}
bench.onAnswer((answer) => { if (answer.full) work(); });

async function stations() {
  if (station.options.length) return;
  try {
    const known = await send("GET", `${bench.address}/stations.json`);
    station.replaceChildren(...known.tools.map((each) => make(
      "option", "", { value: each.station }, `T${each.station}${each.insert ? ` ${each.insert}` : ""}${each.holder ? ` ${each.holder}` : ""}`,
    )));
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    tool.hidden = true;
  }
}
tool.addEventListener("submit", (event) => {
  event.preventDefault();
  if (!insert.value.trim()) { told.textContent = "Name the insert that stands there now, such as CNMG120412."; insert.focus(); return; }
  name(`${station.value}=${insert.value.trim()}${holder.value.trim() ? `/${holder.value.trim()}` : ""}`);
});
off.addEventListener("click", () => name(""));
document.addEventListener("job-changed", () => station.replaceChildren());

function name(words) {
  other = words;
  off.hidden = !words;
  place.replaceChildren();
  work();
}

function address(ending) {
  const named = open === RESTART && other ? [["tool", other]] : [];
  const query = new URLSearchParams([...Object.entries(bench.values), ...named]).toString();
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
      if (open === RESTART && other) told.textContent += ` With ${other.split("=")[1]} at station ${other.split("=")[0]}.`;
      shown = asked;
    }
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    told.textContent = error.message;
    place.replaceChildren();
    shown = asked;
  } finally {
    running = false;
  }
  // What was dragged while this was on its way is worked out next.
  if (open && `${address(".json")} ${bench.revision}` !== shown) work();
}
