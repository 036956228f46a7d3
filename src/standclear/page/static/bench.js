// The bench: what is dragged, what is stepped to, and the answer that follows the finger.
//
// Panels import `bench` from here: `bench.values`, `bench.answer`, `bench.set(values)`,
// `bench.refresh()`, and `bench.onAnswer(show)`, called with every answer.
import { send, Told } from "/static/asking.js";
import { startHandles } from "/static/handles.js";
import { showAnswer } from "/static/showing.js";
import { startSteps } from "/static/steps.js";
import { startProgram } from "/static/program.js";
import { startWatching } from "/static/watching.js";
import { startGrips } from "/static/grips.js";
import { startKeeping } from "/static/keeping.js";

const root = document.getElementById("bench");
const listeners = [];

export const bench = {
  root,
  ident: root.dataset.job,
  units: root.dataset.units,
  lookingOnly: "looking" in root.dataset,
  address: `/job/${encodeURIComponent(root.dataset.job)}`,
  revision: root.dataset.revision,
  values: {},
  setup: -1,
  motion: -1,
  steps: [],
  answer: null,

  onAnswer(show) {
    listeners.push(show);
    if (this.answer) show(this.answer);
  },

  /** Puts handles elsewhere; `undefined` or the job's own value puts one back. */
  set(values, quick = false) {
    for (const [key, value] of Object.entries(values)) {
      const own = document.getElementById(`handle-${key}`)?.dataset.jobValue;
      if (value === undefined || Number(own) === value) delete this.values[key];
      else this.values[key] = value;
    }
    ask(quick);
  },

  step(setup, motion) {
    this.setup = motion < 0 ? -1 : setup;
    this.motion = motion;
    this.steps = [];
    jumps += 1;
    ask(false);
  },

  /** Goes on from where the stepping stands. Steps asked for while an answer is on its way are
   *  counted and made with the next question. */
  walk(setup, how) {
    if (setup !== this.setup) { this.setup = setup; this.motion = -1; this.steps = []; jumps += 1; }
    this.steps.push(how);
    showAwaited(setup);
    ask(false);
  },

  refresh() {
    return ask(false);
  },

  tell(words, bad = false) {
    const told = document.getElementById("told");
    told.textContent = words;
    told.hidden = !words;
    told.classList.toggle("bad", bad);
  },
};

// One question at a time: while one is on its way only the newest other one waits.
let running = null;
let waiting = null;
// Counts the places that were gone to by name: an answer on its way to an earlier one is not taken.
let jumps = 0;
const MOST_STEPS = 500; // in one question

function ask(quick) {
  waiting = { quick: quick && waiting?.quick !== false };
  running ??= work().finally(() => { running = null; });
  return running;
}

async function work() {
  while (waiting) {
    const { quick } = waiting;
    waiting = null;
    const steps = bench.steps.splice(0, MOST_STEPS);
    const asked = { values: { ...bench.values }, setup: bench.setup, motion: bench.motion, steps, quick };
    const jump = jumps;
    const began = performance.now();
    try {
      const answer = await send("POST", `${bench.address}/look`, asked);
      bench.answer = answer;
      bench.revision = answer.revision;
      if (jump === jumps) bench.motion = answer.motion;
      showAnswer(bench, answer);
      for (const show of listeners) show(answer);
      remember();
      requestAnimationFrame(() => {
        root.dataset.ms = (performance.now() - began).toFixed(1);
        root.dataset.answered = String(Number(root.dataset.answered ?? 0) + 1);
      });
    } catch (error) {
      if (!(error instanceof Told)) throw error;
      bench.tell(error.message, true);
      if (bench.answer) showAnswer(bench, bench.answer);
    } finally {
      if (bench.steps.length) { waiting ??= { quick: false }; showAwaited(bench.setup); }
    }
  }
}

// Says beside the picture that a step is on its way.
function showAwaited(setup) {
  const end = document.querySelector(`[data-setup="${setup}"]`);
  if (!end) return;
  end.setAttribute("aria-busy", "true");
  const count = bench.steps.length;
  end.querySelector("[data-at]").textContent = count > 1 ? `${count} steps on their way ...` : "stepping ...";
}

// The address holds what is dragged and stepped to: a reload, or another browser, shows the same.
function remember() {
  const query = new URLSearchParams();
  for (const [key, value] of Object.entries(bench.answer.values)) query.set(key, value);
  const { setup, motion } = bench.answer;
  if (motion >= 0) { query.set("setup", setup); query.set("motion", motion); }
  const text = query.toString();
  history.replaceState(null, "", text ? `?${text}` : location.pathname);
}

function recall() {
  for (const [key, value] of new URLSearchParams(location.search)) {
    if (key === "setup") bench.setup = Number(value);
    else if (key === "motion") bench.motion = Number(value);
    else if (Number.isFinite(Number(value))) bench.values[key] = Number(value);
  }
}

recall();
startHandles(bench);
startSteps(bench);
startGrips(bench);
startProgram(bench);
startKeeping(bench);
startWatching(bench);
if (document.querySelector(".ends")) bench.refresh();
// What was done before the page was opened anew.
const SAID = "standclear:said";
if (sessionStorage.getItem(SAID)) bench.tell(sessionStorage.getItem(SAID));
sessionStorage.removeItem(SAID);
