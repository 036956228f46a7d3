// The least edits, each with a box to tick: what is ticked is proved together, then written.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { paragraphs } from "/static/lines.js";
import { make } from "/static/showing.js";

const find = document.getElementById("changes-find");
const stop = document.getElementById("changes-stop");
const write = document.getElementById("changes-write");
const use = document.getElementById("changes-use");
const told = document.getElementById("changes-told");
const list = document.getElementById("changes-pieces");
const lines = document.getElementById("changes-lines");
let found = null;
let values = {};
let wrote = null;

find.addEventListener("click", () => guarded(async () => {
  values = { ...bench.values };
  empty();
  found = await counted("Looking for edits; each is proved on the whole job. The bench can be used meanwhile",
    () => send("POST", `${bench.address}/changes/look`, { values }));
  list.replaceChildren(...found.edits.map(piece));
  lines.replaceChildren(...paragraphs(found.lines));
  show(found.after, found.edits.length ? `With all of it: ${found.after}.` : "No edit of the program.");
  if (write) write.hidden = !found.edits.length && !found.whole_only;
}));

// Pressed at once, it may come before the search has begun.
const AGAIN = 300; // milliseconds
stop.addEventListener("click", () => guarded(async () => {
  while (find.disabled) {
    const answer = await send("POST", `${bench.address}/changes/stop/look`, { values });
    if (answer.stopped) return;
    await new Promise((done) => { setTimeout(done, AGAIN); });
  }
}));

write?.addEventListener("click", () => guarded(async () => {
  const pieces = taken();
  const answer = await send("POST", `${bench.address}/changes/write`, { values, pieces });
  const still = answer.verdict === "clear" ? "" : ` Still ${answer.verdict}: not to be run.`;
  const keyed = found.keyed && pieces.length === found.edits.length
    ? " With it the zero named below is keyed in; the job is given it too." : "";
  show(answer.verdict, `Written to ${answer.written.join(" and ")}; the program is as it was, and the verdict above is still its own.${still}${keyed}`);
  wrote = { use: answer.use, pieces };
  use.hidden = answer.verdict !== "clear";
}));

use?.addEventListener("click", () => guarded(async () => {
  bench.saving = true;
  try {
    const answer = await send("POST", `${bench.address}/changes/use`, { values, revision: bench.revision, ...wrote });
    const query = new URLSearchParams(Object.entries(answer.values)).toString();
    sessionStorage.setItem("standclear:said", `${answer.file} now runs ${Object.values(wrote.use).join(" and ")}; as it was before it is kept in earlier/.`);
    location.assign(query ? `?${query}` : location.pathname);
  } finally { bench.saving = false; }
}));

function empty() {
  found = wrote = null;
  list.replaceChildren();
  lines.replaceChildren();
  for (const key of [write, use]) if (key) key.hidden = true;
}

// Says how long the looking has taken so far.
async function counted(words, work) {
  const began = performance.now();
  // The seconds are for the eye: read aloud each would drown the answer.
  const seconds = make("span", "", { "aria-hidden": "true" });
  const say = () => { seconds.textContent = `${Math.round((performance.now() - began) / 1000)} s`; };
  told.classList.remove("bad");
  told.replaceChildren(`${words} ... `, seconds);
  say();
  find.disabled = true;
  stop.hidden = false;
  const ticking = setInterval(say, 1000);
  try {
    return await work();
  } finally {
    clearInterval(ticking);
    find.disabled = false;
    stop.hidden = true;
  }
}

function piece(edit, number) {
  const row = make("li", "piece");
  const box = make("input", "", { type: "checkbox", id: `piece-${number}` });
  box.checked = true;
  box.disabled = found.whole_only;
  box.addEventListener("change", () => guarded(prove));
  const head = make("label", "piece-head", { for: `piece-${number}` });
  head.append(box, make("strong", "", {}, `${edit.program} line ${edit.line}`), make("span", "soft", {}, edit.setup));
  const diff = make("div", "piece-diff");
  if (edit.word) {
    diff.append(make("del", "", {}, edit.before), make("ins", "", {}, edit.after));
  } else {
    for (const block of edit.new.split("\n")) diff.append(make("ins", "", {}, block));
    diff.append(make("span", "", {}, edit.before));
  }
  row.append(head, diff, make("p", "", {}, edit.reason), make("p", "soft", {}, edit.level));
  return row;
}

const taken = () => [...list.querySelectorAll("input")].flatMap((box, number) => (box.checked ? [number] : []));

async function prove() {
  const pieces = taken();
  wrote = null;
  if (use) use.hidden = true;
  told.textContent = "Proving what is ticked ...";
  const answer = await send("POST", `${bench.address}/changes/proved/look`, { values, pieces });
  show(answer.verdict, `With ${pieces.length} of ${found.edits.length}: ${answer.headline}`);
}

function show(verdict, words) {
  told.textContent = words;
  told.classList.toggle("bad", verdict !== "clear");
}

async function guarded(work) {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    show("", error.message);
  }
}
