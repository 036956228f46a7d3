// The set-up sheet, made on request and handed to the browser as a file.
import { bench } from "/static/bench.js";

const told = document.getElementById("papers-told");
const practice = document.getElementById("papers-practice");
let busy = false;

for (const key of document.querySelectorAll("[data-paper]")) {
  key.addEventListener("click", () => make(key.dataset.paper));
}

async function make(paper) {
  if (busy) return;
  busy = true;
  told.textContent = "Making the sheet ...";
  told.classList.remove("bad");
  const query = new URLSearchParams({ ...bench.values, paper, practice: practice.checked ? 1 : 0 });
  try {
    const response = await fetch(`${bench.address}/sheet.pdf?${query}`, { headers: { accept: "application/pdf" } });
    if (!response.ok) {
      const answer = await response.json().catch(() => ({ error: `not made (${response.status})` }));
      told.textContent = answer.error;
      told.classList.add("bad");
      return;
    }
    const name = /filename="([^"]+)"/.exec(response.headers.get("content-disposition") ?? "")?.[1] ?? "sheet.pdf";
    const link = document.createElement("a");
    link.href = URL.createObjectURL(await response.blob());
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    told.textContent = `${name} is made.`;
  } catch {
    told.textContent = "The page's process does not answer. Start it again.";
    told.classList.add("bad");
  } finally {
    busy = false;
  }
}
