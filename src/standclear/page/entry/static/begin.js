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

// Guesses that nobody has confirmed keep the answer unproven: the way to them stands under it.
async function leadToGuesses() {
  const { bench: asked } = await import("/static/bench.js");
  const line = document.createElement("p");
  line.className = "guess-line";
  const link = document.createElement("a");
  link.className = "key strong";
  link.href = `/job/${encodeURIComponent(bench.dataset.job)}/form/`;
  line.append(link);
  document.getElementById("headline").after(line);
  line.hidden = true;
  asked.onAnswer((answer) => {
    if (!answer.findings) return;
    const count = answer.findings.filter((each) => each.code === "guess-not-confirmed").length;
    line.hidden = count === 0;
    link.textContent = count === 1 ? "Confirm the guess that is left" : `Confirm ${count} guesses`;
  });
}
if (bench && !bench.hasAttribute("data-looking")) leadToGuesses();

export function start() {}
