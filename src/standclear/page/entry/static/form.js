// The form: what is typed is sent as it is typed, kept as a draft, and what is wrong comes back
// beside each field. Rows and guesses are drawn by the process, never here.
import { send } from "/static/asking.js";

const page = document.getElementById("form-page");
const form = document.getElementById("form");
const address = `/job/${encodeURIComponent(page.dataset.job)}/form`;
const PAUSE = 350;
const QUIET = 500; // a second press within it may be the second half of a double one
const SAID = "standclear:said";

let draft = Number(page.dataset.draft);
let seen = JSON.parse(page.dataset.seen);
let now = JSON.parse(page.dataset.now);
let timer = 0;
let typed = 0; // counts changes, so that an answer to older entries is not shown
let waiting = Promise.resolve();
let open = [];
let askedToConfirm = false; // what is told speaks of guesses
let confirmed = -QUIET; // when a guess was last confirmed, or another took its place on the screen

function entries() {
  const found = {};
  for (const field of form.elements) {
    if (field.closest(".ghost")) continue;
    if (field.name && (field.value !== "" || field.name.endsWith("@"))) found[field.name] = field.value;
  }
  return found;
}

function tell(words, bad = false) {
  const told = document.getElementById("told");
  told.textContent = words;
  told.classList.toggle("bad", bad);
}

/** One request after the other: each needs the number of the draft that the one before has left. */
function asked(work) {
  waiting = waiting.then(work).catch((error) => tell(error.message, true));
  return waiting;
}

function table(more = {}) {
  return { entries: entries(), seen, draft, ...more };
}

function look() {
  clearTimeout(timer);
  return asked(async () => {
    const mine = typed;
    const answer = await send("POST", `${address}/entries`, table());
    draft = answer.draft;
    if (mine === typed) show(answer);
  });
}

function act(name, what, more = {}) {
  clearTimeout(timer);
  return asked(async () => {
    anew(await send("POST", `${address}/act`, table({ act: what, name, ...more })));
  });
}

function anew(answer) {
  const open = [...document.querySelectorAll("details[open]")].map((each) => placeOf(each));
  draft = answer.draft;
  document.getElementById("sections").innerHTML = answer.html;
  for (const each of document.querySelectorAll("details")) if (open.includes(placeOf(each))) each.open = true;
  if (answer.told) { tell(answer.told); askedToConfirm = true; }
  show(answer);
  if (confirmed > 0) confirmed = performance.now();
  go(answer.focus);
}

function placeOf(details) {
  return details.closest("[data-place]")?.dataset.place ?? details.previousElementSibling?.textContent ?? "";
}

/** Puts the keyboard on a field, a row or a group, and opens what hides it; the first field where
 *  no name is given. */
function go(name) {
  const entry = form.elements[name];
  const target = name === "" ? document.querySelector("#sections [data-group]")
    : entry && entry.type !== "hidden" ? entry : document.querySelector(`[data-place="${CSS.escape(name)}"]`);
  if (!target) return;
  for (let each = target.closest("details"); each; each = each.parentElement?.closest("details")) each.open = true;
  const field = target.matches("input, select, textarea") ? target
    : [...target.querySelectorAll("input:not([type=hidden]), select, [data-act]")].find((each) => !each.closest("[hidden]"));
  (field ?? target).focus({ preventScroll: true });
  // What is typed next takes the place of what stands there.
  if (field?.matches("input:not([type=hidden])")) field.select();
  (field ?? target).scrollIntoView({ block: "center" });
}

function show(answer) {
  // What is wrong at a place goes before what is only doubtful there.
  const doubts = answer.warnings.map((each) => [each.name, { ...each, warning: true }]);
  const places = new Map([...doubts, ...answer.problems.map((each) => [each.name, each])]);
  for (const slot of document.querySelectorAll("[data-problem]")) {
    const problem = places.get(slot.dataset.problem);
    const words = problem ? problem.words : "";
    if (slot.dataset.words !== words) {
      slot.dataset.words = words;
      slot.textContent = words;
      if (problem?.forget) slot.append(" ", forgetKey(problem.forget));
    }
    slot.classList.toggle("missing", Boolean(problem?.missing));
    slot.classList.toggle("warning", Boolean(problem?.warning));
    const field = form.elements[slot.dataset.problem];
    if (!field?.setAttribute) continue;
    if (problem && !problem.missing && !problem.warning) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
    if (problem?.missing) field.setAttribute("aria-required", "true");
    else field.removeAttribute("aria-required");
  }
  for (const picture of answer.pictures) {
    const place = document.querySelector(`[data-picture="${CSS.escape(picture.name)}"]`);
    const decoded = document.querySelector(`[data-decoded="${CSS.escape(picture.name)}"]`);
    if (decoded && decoded.textContent !== picture.words) decoded.textContent = picture.words;
    if (!place) continue;
    place.classList.toggle("drawing", Boolean(picture.svg));
    place.replaceChildren(...(picture.svg ? [drawn(picture.svg)] : []));
  }
  open = answer.problems;
  counts();
  units();
  conditions();
  document.getElementById("changed").hidden = !answer.changed.length;
  if (answer.now) now = answer.now;
  if (askedToConfirm && !answer.open_guesses && !answer.told) { tell(""); askedToConfirm = false; }
  state(answer);
}

/** A key of the file that no field has can only be taken out here. */
function forgetKey(name) {
  const key = document.createElement("button");
  key.type = "button";
  key.className = "key";
  key.dataset.act = "forget";
  key.dataset.name = name;
  key.textContent = "Take it out of the file";
  return key;
}

function drawn(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return document.importNode(parsed, true);
}

function slotOf(name) {
  return document.querySelector(`[data-problem="${CSS.escape(name)}"]`);
}

function counts() {
  for (const link of document.querySelectorAll("[data-count]")) {
    const section = document.getElementById(`step-${link.dataset.count}`);
    const here = open.filter((each) => section?.contains(slotOf(each.name)));
    const wrong = here.filter((each) => !each.missing).length;
    link.textContent = wrong ? `${wrong} to put right` : here.length ? `${here.length} open` : "";
    link.classList.toggle("bad", wrong > 0);
  }
}

function state(answer) {
  const parts = [];
  if (answer.wrong) parts.push(`${answer.wrong} to put right`);
  if (answer.missing) parts.push(`${answer.missing} still to fill in`);
  if (answer.open_guesses) parts.push(`${answer.open_guesses} ${answer.open_guesses === 1 ? "guess" : "guesses"} to confirm`);
  parts.push(draft ? "kept here, not yet in the job file" : "as in the job file");
  const words = parts.join(" · ");
  const node = document.getElementById("state");
  if (node.textContent !== words) node.textContent = words;
  document.getElementById("discard").hidden = !draft;
  document.getElementById("next-open").disabled = !answer.problems.length && !answer.open_guesses;
}

/** Shows what a choice asks for next; what holds something is never hidden. */
function conditions() {
  for (const place of form.querySelectorAll("[data-when]")) {
    const value = form.elements[place.dataset.when]?.value ?? "";
    const wanted = place.dataset.is.split(" ").includes(value);
    const own = place.hasAttribute("data-group");
    const held = [...place.querySelectorAll("input:not([type=hidden]), select")].some((each) => each.value);
    place.hidden = !wanted && (!held || (own ? /\.(kind|given)$/ : /\.given$/).test(place.dataset.when));
  }
  for (const more of form.querySelectorAll("details.more")) {
    const parts = [...more.querySelectorAll("[data-place]")];
    more.hidden = parts.length > 0 && parts.every((each) => each.closest("[hidden]:not(details)"));
  }
}

function units() {
  const unit = form.elements["units"]?.value ?? "";
  for (const slot of form.querySelectorAll("[data-unit=length], [data-unit=lengths]")) {
    if (["", "mm", "inch"].includes(slot.textContent)) slot.textContent = unit;
  }
}

/** The empty row at the end of a list becomes one of its rows, and another takes its place. */
function grow(line) {
  const list = line.parentElement.dataset.list;
  const name = line.dataset.place;
  const number = Number(name.slice(list.length + 1, -1));
  const copy = document.createElement("template");
  copy.innerHTML = line.outerHTML.replaceAll(name, `${list}[${number + 1}]`);
  const next = copy.content.firstElementChild;
  const shown = line.parentElement.children.length + 1;
  next.setAttribute("aria-label", next.getAttribute("aria-label").replace(/\d+$/, shown));
  next.classList.add("below");
  const key = next.querySelector("[data-act=remove]");
  key.setAttribute("aria-label", key.getAttribute("aria-label").replace(/\d+$/, shown));
  const head = next.querySelector(".line-number");
  if (head) head.textContent = shown;
  line.classList.remove("ghost");
  line.querySelector(".line-keys").hidden = false;
  line.after(next);
}

form.addEventListener("input", (event) => {
  if (!event.target.name) return;
  const ghost = event.target.closest(".ghost");
  if (ghost) grow(ghost);
  typed += 1;
  conditions();
  clearTimeout(timer);
  timer = setTimeout(look, event.target.tagName === "SELECT" ? 0 : PAUSE);
});
form.addEventListener("submit", (event) => event.preventDefault());

/** The next guess takes the place of the one confirmed: it must be read before it is pressed. */
function tooSoon(key) {
  if (key.dataset.act !== "confirm") return false;
  const soon = performance.now() - confirmed < QUIET;
  if (!soon) confirmed = performance.now();
  return soon;
}

form.addEventListener("click", (event) => {
  const key = event.target.closest("[data-act]");
  if (key && !tooSoon(key)) act(key.dataset.name, key.dataset.act);
  const take = event.target.closest("[data-take]")?.dataset.take;
  if (take) act(take, "take", { from: document.getElementById(`take-${take}`).value });
  const to = event.target.closest("[data-go]");
  if (to) go(to.dataset.go);
});

// Enter goes to the next row of a list; the last one is always empty. The keys that take a row out
// stand outside the way of Tab, which goes from row to row: Alt and Delete does the same.
form.addEventListener("keydown", (event) => {
  const line = event.target.closest(".in-line [data-line]");
  if (!line) return;
  if (event.key === "Delete" && event.altKey) {
    event.preventDefault();
    if (!line.classList.contains("ghost")) act(line.dataset.place, "remove");
    return;
  }
  if (event.key !== "Enter" || event.target.tagName !== "INPUT") return;
  event.preventDefault();
  line.nextElementSibling?.querySelector("input:not([type=hidden])")?.focus();
});

document.getElementById("next-open").addEventListener("click", () => {
  const order = [...document.querySelectorAll("[data-problem]")].filter((each) => each.textContent && !each.closest("[hidden]"));
  const at = document.activeElement?.closest?.("[data-place]");
  const after = order.find((each) => at && at.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING && !at.contains(each));
  const next = last && order.includes(last) ? order[order.indexOf(last) + 1] ?? order[0] : after ?? order[0];
  last = next ?? null;
  if (next) go(next.dataset.problem);
  else go("guesses");
});
let last = null;

document.getElementById("save").addEventListener("click", () => {
  clearTimeout(timer);
  asked(async () => {
    const { open: left } = await send("POST", `${address}/save`, table());
    if (!left) { location.assign(`/job/${encodeURIComponent(page.dataset.job)}/`); return; }
    const places = left === 1 ? "1 place is" : `${left} places are`;
    sessionStorage.setItem(SAID, `Saved. It can be proved once ${places} filled in or put right.`);
    location.reload();
  });
});

document.getElementById("discard").addEventListener("click", async () => {
  if (!confirm("Drop what is typed and not saved?")) return;
  await asked(() => send("POST", `${address}/discard`, {}));
  location.reload();
});
document.getElementById("drop-mine").addEventListener("click", async () => {
  await asked(() => send("POST", `${address}/discard`, {}));
  location.reload();
});
document.getElementById("go-on").addEventListener("click", () => {
  seen = now;
  look();
});

function dropped(file, name) {
  if (!file) return;
  const front = document.getElementById("dxf-left")?.checked ? "&front=left" : "";
  tell(`Reading ${name} ...`);
  look();
  asked(async () => {
    anew(await send("POST", `${address}/drop?name=${encodeURIComponent(name)}&draft=${draft}${front}`, file));
  });
}

form.addEventListener("change", (event) => {
  if (event.target.type === "file") {
    const file = event.target.files[0];
    if (file) dropped(file, file.name);
  }
});
form.addEventListener("click", (event) => {
  if (event.target.id !== "typed-keep") return;
  const name = document.getElementById("typed-name").value.trim();
  const text = document.getElementById("typed-text").value;
  if (!name) { tell("Give the program's file a name, such as part.nc.", true); document.getElementById("typed-name").focus(); return; }
  dropped(new Blob([text]), name);
});
for (const name of ["dragenter", "dragover"]) {
  form.addEventListener(name, (event) => {
    const drop = event.target.closest("[data-drop]");
    if (drop) { event.preventDefault(); drop.classList.add("over"); }
  });
}
form.addEventListener("dragleave", (event) => event.target.closest("[data-drop]")?.classList.remove("over"));
form.addEventListener("drop", (event) => {
  const drop = event.target.closest("[data-drop]");
  if (!drop) return;
  event.preventDefault();
  drop.classList.remove("over");
  const file = event.dataTransfer.files[0];
  if (file) dropped(file, file.name);
});

// What is pressed before the script is there would be lost: these keys come dead.
document.getElementById("save").disabled = false;
if (page.hasAttribute("data-looking")) {
  for (const each of [...form.elements, ...page.querySelectorAll(".foot-bar button")]) each.disabled = true;
}
show(JSON.parse(document.getElementById("told-first").textContent));
tell(sessionStorage.getItem(SAID) ?? "");
sessionStorage.removeItem(SAID);
