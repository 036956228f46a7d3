// Dropping a program: it goes to the folder, a job is drafted beside it, and its bench opens.
import { send } from "/static/asking.js";
import { onFile } from "/static/dropping.js";

const drop = document.getElementById("drop");
const told = document.getElementById("begin-told");

async function begin(file) {
  told.textContent = `Reading ${file.name} ...`;
  try {
    const answer = await send("POST", `/program?name=${encodeURIComponent(file.name)}`, file);
    location.assign(`/job/${encodeURIComponent(answer.ident)}/`);
  } catch (error) {
    told.textContent = error.message;
    told.classList.add("bad");
  }
}

if (drop) onFile(drop, document.getElementById("program-file"), begin);
