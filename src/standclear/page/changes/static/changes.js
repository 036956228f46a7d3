// The least edits, each with a box to tick: what is ticked is proved together, then written.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { paragraphs } from "/static/lines.js";
import { make } from "/static/showing.js";

const find = document.getElementById("changes-find");
const write = document.getElementById("changes-write");
const told = document.getElementById("changes-told");
const list = document.getElementById("changes-pieces");
const lines = document.getElementById("changes-lines");
let found = null;
let values = {};

find.addEventListener("click", () => guarded(async () => {
  values = { ...bench.values };
  found = await counted("Looking for edits; each is proved on the whole job",
    () => send("POST", `${bench.address}/changes/look`, { values }));
  list.replaceChildren(...found.edits.map(piece));
  lines.replaceChildren(...paragraphs(found.lines));
  show(found.after, found.edits.length ? `With all of it: ${found.after}.` : "No edit of the program.");
  if (write) write.hidden = !found.edits.length && !found.whole_only;
}));

write?.addEventListener("click", () => guarded(async () => {
  const answer = await send("POST", `${bench.address}/changes/write`, { values, pieces: taken() });
  const still = answer.verdict === "clear" ? "" : ` Still ${answer.verdict}: not to be run.`;
  show(answer.verdict, `Written to ${answer.written.join(" and ")}; the program is as it was.${still}`);
  told.append(
    make("span", "", {}, ` The verdict above is still that of the old program. To run the new one, choose it in the job's form: ${
      Object.entries(answer.use).map(([setup, name]) => `set-up ${setup}, program ${name}`).join("; ")}. `),
    make("a", "key", { href: `${bench.address}/form/` }, "Open the job's form"),
  );
}));

// Says how long the looking has taken so far.
async function counted(words, work) {
  const began = performance.now();
  // The seconds are for the eye: read aloud each would drown the answer.
  const seconds = make("span", "", { "aria-hidden": "true" });
  const say = () => { seconds.textContent = `${Math.round((performance.now() - began) / 1000)} s`; };
  told.replaceChildren(`${words} ... `, seconds);
  say();
  find.disabled = true;
  const ticking = setInterval(say, 1000);
  try {
    return await work();
  } finally {
    clearInterval(ticking);
    find.disabled = false;
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
