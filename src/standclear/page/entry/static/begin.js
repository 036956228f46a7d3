// A job from nothing: its name makes its folder, and the form opens.
import { send } from "/static/asking.js";

const form = document.getElementById("begin-new");

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const told = document.getElementById("new-told");
  told.textContent = "";
  try {
    const answer = await send("POST", "/new", { name: document.getElementById("new-name").value });
    location.assign(`/job/${encodeURIComponent(answer.ident)}/form/`);
  } catch (error) {
    told.textContent = error.message;
    document.getElementById("new-name").focus();
  }
});

// On the bench: a job that cannot be proved yet is put right on the form.
const faults = document.getElementById("faults");
const bench = document.getElementById("bench");
if (faults && bench && !bench.hasAttribute("data-looking")) {
  const link = document.createElement("a");
  link.className = "key strong";
  link.href = `/job/${encodeURIComponent(bench.dataset.job)}/form/`;
  link.textContent = "Put it right on the form";
  faults.append(link);
}

export function start() {}
