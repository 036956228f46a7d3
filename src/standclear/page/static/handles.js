// Handles: a slider, large keys on either side, and a number pad for gloves.
import { askNumber } from "/static/pad.js";

const SETTLED = 250; // milliseconds
let settled = 0;

export function startHandles(bench) {
  for (const handle of document.querySelectorAll("[data-handle]")) {
    const slider = handle.querySelector("input");
    const key = handle.dataset.handle;
    setHandle(key, bench.values[key]);
    slider.addEventListener("input", () => {
      showValue(slider);
      bench.set({ [key]: Number(slider.value) }, true);
    });
    slider.addEventListener("change", () => bench.set({ [key]: Number(slider.value) }));
    handle.querySelector("[data-less]").addEventListener("click", () => nudge(bench, slider, key, -1));
    handle.querySelector("[data-more]").addEventListener("click", () => nudge(bench, slider, key, 1));
    handle.querySelector("[data-pad]").addEventListener("click", () => openPad(bench, handle, slider, key));
  }
  // On a stop the face allowance is what the blank's length makes it.
  let followed = [];
  bench.onAnswer((answer) => {
    for (const key of followed) if (!(key in bench.values)) setHandle(key, undefined);
    followed = Object.keys(answer.follows);
    for (const key of followed) if (!(key in bench.values)) setHandle(key, answer.follows[key]);
  });
  document.getElementById("as-job")?.addEventListener("click", () => {
    for (const key of Object.keys(bench.values)) setHandle(key, undefined);
    bench.values = {};
    bench.refresh();
  });
}

/** Shows another value of a handle; `undefined` shows the job's own. */
export function setHandle(key, value) {
  const slider = document.getElementById(`handle-${key}`);
  if (!slider) return;
  slider.value = value ?? slider.dataset.jobValue;
  showValue(slider, Number(value ?? slider.dataset.jobValue));
}

/** A value kept to the handle's steps and travel. */
export function fitted(slider, value) {
  const step = Number(slider.step);
  const kept = Math.min(Number(slider.max), Math.max(Number(slider.min), value));
  return Number((Math.round(kept / step) * step).toFixed(6));
}

function nudge(bench, slider, key, way) {
  const value = fitted(slider, Number(slider.value) + way * Number(slider.step));
  slider.value = value;
  showValue(slider);
  bench.set({ [key]: value }, true);
  // A key is pressed several times in a row: the full proof waits for the last one.
  clearTimeout(settled);
  settled = setTimeout(() => bench.refresh(), SETTLED);
}

// The value is shown as it was typed, though the slider itself only holds its steps.
function showValue(slider, value = Number(slider.value)) {
  const handle = slider.closest("[data-handle]");
  const steps = (slider.step.split(".")[1] ?? "").length;
  const typed = (String(value).split(".")[1] ?? "").length;
  const words = value.toFixed(Math.max(1, steps, typed));
  handle.querySelector("output").textContent = words;
  handle.classList.toggle("moved", value !== Number(slider.dataset.jobValue));
  slider.setAttribute("aria-valuetext", words);
}

function openPad(bench, handle, slider, key) {
  const least = Number(slider.min);
  const most = Number(slider.max);
  askNumber({
    label: `${handle.querySelector("label").textContent.trim()}, ${least} to ${most} ${bench.units}`,
    text: String(bench.values[key] ?? Number(slider.dataset.jobValue)),
    take(text) {
      const value = Number(text.replace(",", "."));
      if (text.trim() === "" || !Number.isFinite(value) || value < least || value > most) {
        return `Give a number from ${least} to ${most}.`;
      }
      setHandle(key, value);
      bench.set({ [key]: value });
      return "";
    },
  });
}
