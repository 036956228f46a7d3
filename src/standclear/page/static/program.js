// The program: its blocks as a list, each with the motions it makes; and its text to be edited.
//
// What is typed is kept by the browser until it is saved, and every save keeps what was there.
import { send, Told } from "/static/asking.js";
import { make } from "/static/showing.js";

const LONG_LIST = 4000; // blocks

export function startProgram(bench) {
  const place = document.getElementById("program");
  if (!place || !place.dataset.name) return;
  const state = { bench, place, name: place.dataset.name, file: null, line: 0, lines: [] };
  build(state);
  document.getElementById("program-name")?.addEventListener("change", (event) => {
    state.name = event.target.value;
    state.loading = load(state);
  });
  document.addEventListener("job-changed", () => load(state));
  bench.onAnswer((answer) => {
    const setup = answer.setups[bench.setup];
    const line = setup?.program === state.name ? setup.line : null;
    if (line) mark(state, line, true);
    else if (bench.setup < 0) mark(state, 0, false);
    state.strikes = answer.findings?.filter((f) => f.line && f.open) ?? state.strikes;
    showStrikes(state);
  });
  state.loading = load(state);
}

function build(state) {
  const { place, bench } = state;
  state.list = make("ul", "blocks", { role: "listbox", tabindex: "0", "aria-label": "Blocks of the program" });
  state.list.addEventListener("keydown", (event) => keyed(state, event));
  state.list.addEventListener("click", (event) => {
    const row = event.target.closest("[data-line]");
    if (row) choose(state, Number(row.dataset.line));
  });
  place.append(state.list);
  if (bench.lookingOnly) return;
  const form = make("form", "edit-block");
  state.label = make("label", "", { for: "edit-block" }, "Block");
  state.input = make("input", "", { id: "edit-block", autocomplete: "off", spellcheck: "false", disabled: "" });
  form.append(state.label, state.input, make("button", "key", {}, "Set block"));
  form.addEventListener("submit", (event) => { event.preventDefault(); setBlock(state); });
  state.whole = make("button", "key", { type: "button", "aria-expanded": "false" }, "Edit as text");
  state.text = make("textarea", "whole", { spellcheck: "false", "aria-label": "The whole program as text", rows: "20", hidden: "" });
  state.save = make("button", "key strong", { type: "button", hidden: "" }, "Save and prove");
  state.drop = make("button", "key", { type: "button", hidden: "" }, "Leave as it was");
  state.told = make("p", "told", { role: "status" });
  // Not before the text has come: what is typed over nothing would take the program's place.
  state.whole.addEventListener("click", async () => { await state.loading; if (state.text.hidden) openText(state, true); });
  state.text.addEventListener("input", () => localStorage.setItem(kept(state), JSON.stringify({ seen: state.seen, text: state.text.value })));
  state.text.addEventListener("keydown", (event) => {
    if (event.key === "s" && (event.ctrlKey || event.metaKey)) { event.preventDefault(); saveText(state, state.text.value); }
  });
  state.save.addEventListener("click", () => saveText(state, state.text.value));
  state.drop.addEventListener("click", () => { localStorage.removeItem(kept(state)); openText(state, false); load(state); });
  const file = make("label", "key", {}, "From a file");
  const input = make("input", "unseen", { type: "file" });
  file.append(input);
  input.addEventListener("change", () => { fromFile(state, input.files[0]); input.value = ""; });
  place.addEventListener("dragover", (event) => event.preventDefault());
  place.addEventListener("drop", (event) => { event.preventDefault(); fromFile(state, event.dataTransfer.files[0]); });
  const row = make("p", "row");
  row.append(state.whole, file, state.save, state.drop);
  place.append(form, row, state.told, state.text);
}

// A file that is dropped here is looked at first: it takes the program's place when it is saved.
async function fromFile(state, file) {
  if (!file) return;
  if (file.size > 20_000_000) { state.told.textContent = `${file.name} is larger than 20 MB.`; return; }
  await state.loading;
  const text = new TextDecoder(await isUtf8(file) ? "utf-8" : "latin1").decode(await file.arrayBuffer());
  openText(state, true, text.replace(/\r\n?/g, "\n"));
  localStorage.setItem(kept(state), JSON.stringify({ seen: state.seen, text: state.text.value }));
  state.told.textContent = `${file.name} as it would stand in the place of ${state.name}; not saved yet.`;
}

async function isUtf8(file) {
  try {
    new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
    return true;
  } catch { return false; }
}

const kept = (state) => `standclear:${state.bench.ident}:${state.name}`;

async function load(state) {
  try {
    const file = await send("GET", `${state.bench.address}/file/${encodeURIComponent(state.name)}`);
    show(state, file);
    const draft = JSON.parse(localStorage.getItem(kept(state)) ?? "null");
    if (draft && draft.text !== file.text && state.text) {
      state.seen = draft.seen;
      openText(state, true, draft.text);
      state.told.textContent = draft.seen === file.revision
        ? "This text is not saved yet."
        : "The program was changed elsewhere while this text was not saved. Saving will show both.";
    }
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    state.bench.tell(error.message, true);
  }
}

function show(state, file) {
  state.file = file;
  state.seen = file.revision;
  state.lines = file.text.split("\n");
  if (state.lines.at(-1) === "") state.lines.pop();
  const rows = state.lines.slice(0, LONG_LIST).map((text, i) => {
    const row = make("li", "block", { role: "option", id: `block-${i + 1}`, "data-line": i + 1, "aria-selected": "false" });
    if (!state.file.motions.some((setup) => setup.lines[i + 1])) row.classList.add("still");
    row.append(make("span", "number", { "aria-hidden": "true" }, String(i + 1)), make("span", "words", {}, text || " "));
    return row;
  });
  state.list.replaceChildren(...rows);
  if (state.line) mark(state, Math.min(state.line, rows.length), true);
  showStrikes(state);
}

function showStrikes(state) {
  for (const row of state.list.querySelectorAll("[data-told]")) { delete row.dataset.told; row.querySelector(".flag")?.remove(); }
  const own = (state.bench.answer?.setups ?? []).map((setup) => setup.program === state.name);
  for (const finding of state.strikes ?? []) {
    if (finding.setup_index >= 0 && !own[finding.setup_index]) continue;
    const row = state.list.children[finding.line - 1];
    if (!row || row.dataset.told === "stop") continue;
    row.dataset.told = finding.severity;
    row.querySelector(".flag")?.remove();
    row.append(make("span", "flag", {}, finding.severity));
  }
}

function mark(state, line, follow) {
  state.list.querySelector('[aria-selected="true"]')?.setAttribute("aria-selected", "false");
  state.line = line;
  const row = state.list.children[line - 1];
  if (row) {
    row.setAttribute("aria-selected", "true");
    state.list.setAttribute("aria-activedescendant", row.id);
    if (follow) scrollTo(state.list, row);
  } else state.list.removeAttribute("aria-activedescendant");
  if (!state.input) return;
  state.input.disabled = !row;
  state.label.textContent = row ? `Block, line ${line}` : "Block: choose one above";
  if (document.activeElement !== state.input) state.input.value = row ? state.lines[line - 1] : "";
}

// Scrolls the list alone, never the page under a finger.
function scrollTo(list, row) {
  const top = row.offsetTop - list.offsetTop;
  if (top < list.scrollTop || top + row.offsetHeight > list.scrollTop + list.clientHeight) {
    list.scrollTop = top - list.clientHeight / 2;
  }
}

function choose(state, line) {
  mark(state, line, true);
  const own = state.file.motions.filter((setup) => setup.lines[line]);
  const here = own.find((setup) => setup.setup === state.bench.setup) ?? own[0];
  if (here) state.bench.step(here.setup, here.lines[line][0]);
}

function keyed(state, event) {
  const step = { ArrowDown: 1, ArrowUp: -1, PageDown: 15, PageUp: -15, Home: -Infinity, End: Infinity }[event.key];
  if (step !== undefined) {
    event.preventDefault();
    choose(state, Math.max(1, Math.min(state.lines.length, state.line + step)));
  } else if (event.key === "Enter" && state.input && !state.input.disabled) {
    event.preventDefault();
    state.input.focus();
  }
}

async function setBlock(state) {
  if (!state.line) return;
  const lines = [...state.lines];
  lines[state.line - 1] = state.input.value;
  const ends = state.file.text.endsWith("\n") ? "\n" : "";
  await saveText(state, lines.join("\n") + ends);
}

function openText(state, open, text = state.file?.text ?? "") {
  state.text.hidden = !open;
  state.save.hidden = !open;
  state.drop.hidden = !open;
  state.whole.hidden = open;
  state.whole.setAttribute("aria-expanded", String(open));
  if (open) { state.text.value = text; state.text.focus(); }
  else state.told.textContent = "";
}

async function saveText(state, text) {
  const { bench } = state;
  bench.saving = true;
  const began = performance.now();
  try {
    const saved = await send("PUT", `${bench.address}/file/${encodeURIComponent(state.name)}`, { text, seen: state.seen });
    localStorage.removeItem(kept(state));
    state.seen = saved.revision;
    await bench.refresh();
    bench.root.dataset.savedMs = (performance.now() - began).toFixed(0);
    openText(state, false);
    await load(state);
    state.told.textContent = "Saved and proved again; the text before is kept in earlier/.";
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    if (error.status === 409) showBoth(state, text, error.answer);
    else { state.told.textContent = error.message; state.told.classList.add("bad"); }
  } finally { bench.saving = false; }
}

// Two people have changed the same program: both texts are on the disk, and one of them is chosen here.
function showBoth(state, mine, answer) {
  openText(state, true, mine);
  state.told.classList.add("bad");
  state.told.replaceChildren(
    `The program was changed elsewhere meanwhile. Yours is also kept as earlier/${answer.kept_as}. `,
  );
  const take = make("button", "key", { type: "button" }, "Show what is there now");
  const put = make("button", "key", { type: "button" }, "Put mine in its place");
  take.addEventListener("click", () => { localStorage.removeItem(kept(state)); openText(state, false); load(state); });
  put.addEventListener("click", () => { state.seen = answer.revision; saveText(state, state.text.value); });
  state.told.append(take, put);
}
