// A program from the control: dropped or chosen, held beside the job's own.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { onFile } from "/static/dropping.js";
import { paragraphs } from "/static/lines.js";

const told = document.getElementById("brought-told");
const place = document.getElementById("brought-lines");
const of = document.getElementById("brought-of");

onFile(document.getElementById("brought-drop"), document.getElementById("brought-file"), async (file) => {
  told.classList.remove("bad");
  told.textContent = `Reading ${file.name} ...`;
  place.replaceChildren();
  const own = of?.value ?? document.getElementById("program")?.dataset.name ?? "";
  try {
    const query = new URLSearchParams({ of: own, name: file.name });
    const answer = await send("POST", `${bench.address}/compare/look?${query}`, file);
    told.textContent = answer.good ? "It moves as the job's own does, and the job is clear with it."
      : answer.alike ? `It moves as the job's own does; the job is ${answer.verdict} with it.`
        : `It moves differently; the job is ${answer.verdict} with it.`;
    told.classList.toggle("bad", !answer.good);
    place.replaceChildren(...paragraphs(answer.lines));
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    told.textContent = error.message;
    told.classList.add("bad");
  }
});
