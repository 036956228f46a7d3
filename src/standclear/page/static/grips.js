// Dragging in the picture itself: the edges of bar and jaws that the answer names as grips.
import { fitted, setHandle } from "/static/handles.js";

const REACH = 26; // pixels: as near as a gloved finger comes

export function startGrips(bench) {
  for (const end of document.querySelectorAll("[data-setup]")) {
    const index = Number(end.dataset.setup);
    const place = end.querySelector("[data-drawing]");
    let held = null;
    place.addEventListener("pointermove", (event) => {
      if (held) { drag(bench, held, event); event.preventDefault(); return; }
      place.dataset.over = gripAt(bench, index, place, event)?.axis ?? "";
    });
    place.addEventListener("pointerdown", (event) => {
      delete place.dataset.dragged;
      const grip = gripAt(bench, index, place, event);
      const slider = grip && document.getElementById(`handle-${grip.key}`);
      if (!slider) return;
      held = { grip, slider, from: at(place, event), value: Number(slider.value), place, moved: false };
      // A click that comes of it takes hold of the grip and picks no way, whether it was moved or not.
      place.dataset.dragged = "yes";
      place.setPointerCapture(event.pointerId);
      event.preventDefault();
    });
    const leave = () => {
      if (held?.moved) bench.set({ [held.grip.key]: held.last });
      held = null;
    };
    place.addEventListener("pointerup", leave);
    place.addEventListener("pointercancel", leave);
    place.addEventListener("click", (event) => {
      if (place.dataset.dragged) { event.stopPropagation(); delete place.dataset.dragged; }
    }, true);
  }
}

function drag(bench, held, event) {
  const now = at(held.place, event);
  const way = held.grip.axis === "x" ? now.x - held.from.x : held.from.y - now.y;
  const value = fitted(held.slider, held.value + way * held.grip.per);
  if (value === held.last || (!held.moved && Math.abs(way) < 0.5)) return;
  held.moved = true;
  held.last = value;
  setHandle(held.grip.key, value);
  bench.set({ [held.grip.key]: value }, true);
}

function at(place, event) {
  const svg = place.querySelector("svg");
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
}

function gripAt(bench, index, place, event) {
  const svg = place.querySelector("svg");
  const grips = bench.answer?.setups[index]?.grips ?? [];
  if (!svg) return null;
  const point = at(place, event);
  const reach = REACH * svg.getScreenCTM().inverse().a;
  let best = null;
  let least = reach;
  for (const grip of grips) {
    const far = Math.hypot(point.x - grip.x, point.y - grip.y);
    if (far < least) { least = far; best = grip; }
  }
  return best;
}
