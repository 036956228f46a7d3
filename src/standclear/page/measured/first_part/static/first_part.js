// The sizes of the first part as typed, kept by the browser until they are emptied.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { paragraphs } from "/static/lines.js";
import { make } from "/static/showing.js";

const rows = document.getElementById("first-part-rows");
const told = document.getElementById("first-part-told");
const place = document.getElementById("first-part-lines");
const kept = `standclear:${bench.ident}:first-part`;

function typed() {
  return Object.fromEntries([...rows.querySelectorAll("[data-size]")].map((row) => [
    row.dataset.size, [...row.querySelectorAll("input")].map((input) => input.value.trim()),
  ]));
}

async function build() {
  const known = await send("GET", `${bench.address}/sizes.json`);
  const before = JSON.parse(localStorage.getItem(kept) ?? "{}");
  if (!known.sizes.length) {
    rows.replaceChildren(make("p", "soft", {}, "The job asks for no sizes; name some on the drawing first."));
    return;
  }
  rows.replaceChildren(...known.sizes.map((size, number) => {
    const row = make("div", "measured-row", { "data-size": size.name });
    const [measured, doubt] = before[size.name] ?? ["", ""];
    row.append(
      make("label", "", { for: `size-${number}` }, size.name),
      make("span", "soft", {}, `wanted ${size.wanted} ${known.units}, ${size.tolerance}`),
      field(`size-${number}`, measured, "decimal"),
      make("label", "soft", { for: `doubt-${number}` }, "plus or minus"),
      field(`doubt-${number}`, doubt, "decimal"),
    );
    return row;
  }));
}

function field(id, value, mode) {
  const input = make("input", "", { id, inputmode: mode, autocomplete: "off" });
  input.value = value;
  return input;
}

rows.addEventListener("input", () => localStorage.setItem(kept, JSON.stringify(typed())));
document.getElementById("first-part-empty").addEventListener("click", () => {
  localStorage.removeItem(kept);
  for (const input of rows.querySelectorAll("input")) input.value = "";
  place.replaceChildren();
  told.textContent = "";
});
document.getElementById("first-part").addEventListener("submit", async (event) => {
  event.preventDefault();
  const quoted = (name) => `"${name.replaceAll('"', '""')}"`;
  const lines = Object.entries(typed()).filter(([, [measured]]) => measured)
    .map(([name, [measured, doubt]]) => [quoted(name), measured, doubt].map((cell) => cell.replaceAll(/[\r\n]/g, " ")).join(","));
  if (!lines.length) {
    told.textContent = "Type at least one measured size.";
    return;
  }
  told.textContent = "Working it out ...";
  try {
    const answer = await send("POST", `${bench.address}/first-part`, {
      table: ["name,measured,uncertainty", ...lines].join("\n"),
    });
    place.replaceChildren(...paragraphs(answer.lines));
    told.textContent = answer.settled ? "Every measured size is right with this." : "Something is left: see below.";
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    told.textContent = error.message;
    place.replaceChildren();
  }
});
document.addEventListener("job-changed", build);
build().catch((error) => {
  if (!(error instanceof Told)) throw error;
  told.textContent = error.message;
});
