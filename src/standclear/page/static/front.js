// Dropping a program: it goes to the folder, a job is drafted beside it, and its bench opens.
import { send } from "/static/asking.js";

const drop = document.getElementById("drop");
const told = document.getElementById("begin-told");

async function begin(file) {
  if (!file) return;
  told.textContent = `Reading ${file.name} ...`;
  try {
    const answer = await send("POST", `/program?name=${encodeURIComponent(file.name)}`, file);
    location.assign(`/job/${encodeURIComponent(answer.ident)}/`);
  } catch (error) {
    told.textContent = error.message;
    told.classList.add("bad");
  }
}

if (drop) {
  document.getElementById("program-file").addEventListener("change", (event) => begin(event.target.files[0]));
  for (const name of ["dragenter", "dragover"]) {
    drop.addEventListener(name, (event) => { event.preventDefault(); drop.classList.add("over"); });
  }
  drop.addEventListener("dragleave", () => drop.classList.remove("over"));
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    begin(event.dataTransfer.files[0]);
  });
}
