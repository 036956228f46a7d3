// The stock maps with the blank in hand as a cross, and the length budget: both are dragged.
import { bench } from "/static/bench.js";
import { send, Told } from "/static/asking.js";
import { fitted, setHandle } from "/static/handles.js";
import { make } from "/static/showing.js";

const place = document.getElementById("maps");
const strip = document.getElementById("budget");
const told = document.getElementById("maps-told");
const parser = new DOMParser();
const NAMESPACE = "http://www.w3.org/2000/svg";
const REACH = 30; // pixels: as near as a gloved finger comes
const words = told.textContent;
let known = null;
let drawnFor = "";
let budgetFor = "";
let busy = false;

const query = (values) => {
  const text = new URLSearchParams(Object.entries(values)).toString();
  return text ? `?${text}` : "";
};
// The maps themselves stay where they are while only the blank is dragged.
const jobValues = () => Object.fromEntries(
  Object.entries(bench.values).filter(([key]) => !["bar", "length", "face"].includes(key)),
);

bench.onAnswer((answer) => {
  moveCrosses();
  if (answer.full) draw();
});

async function draw() {
  if (busy) return;
  busy = true;
  try {
    const wanted = `${bench.revision}${query(jobValues())}`;
    if (wanted !== drawnFor) {
      place.setAttribute("aria-busy", "true");
      told.textContent = place.children.length
        ? "The maps are worked out anew; those below are of the job before." : `${words} Being worked out ...`;
      known = await send("GET", `${bench.address}/maps.json${query(bench.values)}`);
      drawnFor = wanted;
      place.replaceChildren(...known.maps.map(mapNode));
      place.removeAttribute("aria-busy");
      told.textContent = words;
      moveCrosses();
      if (known.rack) showRack(wanted);
      else told.textContent = `${words} A file rack.toml beside the job puts its bars on the map of the whole job.`;
    }
    const strips = `${bench.revision}${query(bench.values)}`;
    if (strips !== budgetFor) {
      const budget = await send("GET", `${bench.address}/budget.json${query(bench.values)}`);
      budgetFor = strips;
      strip.replaceChildren(svgOf(budget.svg));
      strip.grips = budget.grips;
      [...place.children].forEach((node, number) => { node.map.at = budget.at[number] ?? node.map.at; });
      moveCrosses();
    }
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    told.textContent = error.message;
    drawnFor = budgetFor = "";
    return;
  } finally {
    busy = false;
  }
  if (`${bench.revision}${query(bench.values)}` !== budgetFor) draw();
}

// Each bar is proved, some with edits: that takes its time, so the maps are there first.
async function showRack(wanted) {
  told.textContent = `${words} The bars of the rack are being proved ...`;
  try {
    const map = await send("GET", `${bench.address}/rack.json${query(bench.values)}`);
    if (wanted !== drawnFor) return;
    place.lastElementChild.replaceWith(mapNode(map));
    moveCrosses();
    told.textContent = words;
  } catch (error) {
    if (!(error instanceof Told)) throw error;
    told.textContent = `${words} ${error.message}`;
  }
}

const svgOf = (text) => document.importNode(parser.parseFromString(text, "image/svg+xml").documentElement, true);

function mapNode(map) {
  const node = make("figure", "drawing map", {});
  const svg = svgOf(map.svg);
  const cross = document.createElementNS(NAMESPACE, "path");
  cross.setAttribute("class", "map-cross");
  const label = document.createElementNS(NAMESPACE, "text");
  label.setAttribute("class", "map-dragged");
  svg.append(cross, label);
  node.append(svg);
  node.label = label;
  node.cross = cross;
  node.map = map;
  grab(node);
  return node;
}

function valueOf(key, otherwise) {
  return bench.values[key] ?? otherwise;
}

function moveCrosses() {
  for (const node of place.children) {
    const { map } = node;
    node.words ??= [...node.querySelectorAll('[data-words], [data-part="in-hand"] path')].map((each) => each.getBBox());
    const x = map.across ? valueOf(map.across, jobValue(map.across)) : map.at[0];
    const y = valueOf(map.up, jobValue(map.up));
    const [u, v] = onPaper(map, x, y);
    const [u0, v0, u1, v1] = map.paper;
    const top = map.height - v1;
    const bottom = map.height - v0;
    const inside = u >= u0 && u <= u1 && v >= top && v <= bottom;
    const moved = Math.abs(x - map.filed[0]) > 1e-6 || Math.abs(y - map.filed[1]) > 1e-6;
    node.cross.setAttribute("d", moved && inside ? `M${u - 4} ${v}H${u + 4}M${u} ${v - 4}V${v + 4}` : "");
    node.label.textContent = !moved ? "" : inside ? "as dragged" : "as dragged: outside this map";
    if (moved) placeLabel(node, [u, v], { left: u0, right: u1, top, bottom }, inside);
  }
}

// Beside the cross where none of the map's own words stand; outside the frame a word at its edge.
function placeLabel(node, [u, v], frame, inside) {
  const { label } = node;
  const wide = label.getComputedTextLength();
  const right = inside ? u + 5 : frame.right - 2 - wide;
  const left = inside ? u - 5 - wide : frame.left + 2;
  const near = Math.min(Math.max(v, frame.top + 4), frame.bottom - 2);
  const heights = [-1.5, 3, -5.5, 7, -9.5, 11, -14, 15.5].map((step) => (inside ? v : near) + step);
  const spots = heights.flatMap((y) => (u > (frame.left + frame.right) / 2 ? [left, right] : [right, left]).map((x) => [x, y]))
    .filter(([x, y]) => x >= frame.left + 1 && x + wide <= frame.right - 1 && y >= frame.top + 4 && y <= frame.bottom - 1);
  const free = spots.find(([x, y]) => !node.words.some((box) => (
    x < box.x + box.width + 1 && box.x < x + wide + 1 && y - 3 < box.y + box.height && box.y < y + 1
  )));
  const [x, y] = free ?? spots[0] ?? [frame.left + 2, near];
  label.setAttribute("x", x);
  label.setAttribute("y", y);
}

const jobValue = (key) => Number(document.getElementById(`handle-${key}`)?.dataset.jobValue);

function onPaper(map, x, y) {
  const [x0, y0, x1, y1] = map.values;
  const [u0, v0, u1, v1] = map.paper;
  return [u0 + (x - x0) / (x1 - x0) * (u1 - u0), map.height - (v0 + (y - y0) / (y1 - y0) * (v1 - v0))];
}

function fromPaper(map, u, v) {
  const [x0, y0, x1, y1] = map.values;
  const [u0, v0, u1, v1] = map.paper;
  return [x0 + (u - u0) / (u1 - u0) * (x1 - x0), y0 + (map.height - v - v0) / (v1 - v0) * (y1 - y0)];
}

function pointIn(svg, event) {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
}

function grab(node) {
  const svg = node.querySelector("svg");
  let held = false;
  const move = (event, quick) => {
    const { map } = node;
    const point = pointIn(svg, event);
    const [x, y] = fromPaper(map, point.x, point.y);
    const values = {};
    for (const [key, value] of [[map.across, x], [map.up, y]]) {
      const slider = key && document.getElementById(`handle-${key}`);
      if (!slider) continue;
      values[key] = fitted(slider, value);
      setHandle(key, values[key]);
    }
    bench.set(values, quick);
  };
  svg.addEventListener("pointerdown", (event) => {
    const point = pointIn(svg, event);
    const [u0, v0, u1, v1] = node.map.paper;
    const v = node.map.height - point.y;
    if (point.x < u0 || point.x > u1 || v < v0 || v > v1) return;
    held = true;
    svg.setPointerCapture(event.pointerId);
    event.preventDefault();
    move(event, true);
  });
  svg.addEventListener("pointermove", (event) => { if (held) move(event, true); });
  svg.addEventListener("pointerup", (event) => { if (held) { held = false; move(event, false); } });
  svg.addEventListener("pointercancel", () => { if (held) { held = false; bench.refresh(); } });
}

let hold = null;
strip.addEventListener("pointerdown", (event) => {
  const svg = strip.querySelector("svg");
  if (!svg) return;
  const point = pointIn(svg, event);
  const reach = REACH * svg.getScreenCTM().inverse().a;
  const grip = (strip.grips ?? []).filter((each) => Math.abs(each.x - point.x) < reach)
    .sort((a, b) => Math.abs(a.x - point.x) - Math.abs(b.x - point.x))[0];
  const slider = grip && document.getElementById(`handle-${grip.key}`);
  if (!slider) return;
  hold = { grip, slider, from: point.x, value: valueOf(grip.key, jobValue(grip.key)), last: undefined };
  strip.setPointerCapture(event.pointerId);
  event.preventDefault();
});
strip.addEventListener("pointermove", (event) => {
  if (!hold) return;
  const way = pointIn(strip.querySelector("svg"), event).x - hold.from;
  hold.last = fitted(hold.slider, hold.value + way * hold.grip.per);
  setHandle(hold.grip.key, hold.last);
  bench.set({ [hold.grip.key]: hold.last }, true);
});
for (const name of ["pointerup", "pointercancel"]) {
  strip.addEventListener(name, () => {
    if (hold && hold.last !== undefined) bench.set({ [hold.grip.key]: hold.last });
    hold = null;
  });
}
