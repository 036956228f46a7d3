// A box of blanks as typed or dropped, kept by the browser until it is emptied.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { paragraphs } from "/static/lines.js";

const table = document.getElementById("box-table");
const told = document.getElementById("box-told");
const place = document.getElementById("box-lines");
const kept = `standclear:${bench.ident}:box`;
const HEADING = "name,diameter,length,uncertainty";

table.value = localStorage.getItem(kept) ?? "";
table.addEventListener("input", () => localStorage.setItem(kept, table.value));
table.addEventListener("dragover", (event) => event.preventDefault());
table.addEventListener("drop", async (event) => {
  const file = event.dataTransfer?.files?.[0];
  if (!file) return;
  event.preventDefault();
  table.value = await file.text();
  localStorage.setItem(kept, table.value);
});

document.getElementById("box").addEventListener("submit", async (event) => {
  event.preventDefault();
  const text = table.value.trim();
  if (!text) {
    told.textContent = "Type at least one blank.";
    return;
  }
  // A table from a file brings its heading along; one that is typed has none.
  const whole = /^\s*"?name"?\s*[,;]/i.test(text) ? text : `${HEADING}\n${text}`;
  told.textContent = "Sorting ...";
  try {
    const answer = await send("POST", `${bench.address}/box`, { table: whole });
    place.replaceChildren(...paragraphs(answer.lines));
    told.textContent = answer.settled ? "Every blank runs." : "Some blanks do not run: see below.";
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    told.textContent = error.message;
    place.replaceChildren();
  }
});
