// Stepping: motion by motion and block by block, forward and back; and picking a way in the picture.

const NEAR = 14; // pixels between a finger and the way it means

export function startSteps(bench) {
  for (const end of document.querySelectorAll("[data-setup]")) {
    const index = Number(end.dataset.setup);
    for (const key of end.querySelectorAll("[data-step]")) {
      key.addEventListener("click", () => stepped(bench, index, key.dataset.step));
    }
    end.addEventListener("click", (event) => {
      if (!event.target.closest("[data-drawing]")) return;
      const number = markAt(end, event.clientX, event.clientY);
      const mark = bench.answer?.setups[index].marks.find((each) => each.number === number);
      if (mark) { showFinding(mark.finding); return; }
      const motion = wayAt(end, event.clientX, event.clientY);
      if (motion !== null) bench.step(index, motion);
    });
  }
}

function stepped(bench, index, how) {
  if (!bench.answer) return;
  if (how === "whole") { bench.step(-1, -1); return; }
  bench.walk(index, how);
}

// The number of the strike whose mark is at a place on the screen.
function markAt(end, x, y) {
  for (const mark of end.querySelectorAll('[data-part="mark"]')) {
    const box = mark.getBoundingClientRect();
    const far = Math.hypot(x - (box.left + box.right) / 2, y - (box.top + box.bottom) / 2);
    if (far < NEAR) return Number(mark.dataset.number);
  }
  return null;
}

function showFinding(number) {
  const row = document.getElementById("findings").children[number];
  if (!row) return;
  row.scrollIntoView({ block: "center" });
  (row.querySelector("button") ?? row).focus({ preventScroll: true });
}

/** The number of the motion whose way is drawn nearest to a place on the screen. */
export function wayAt(end, x, y) {
  const svg = end.querySelector("svg");
  if (!svg) return null;
  const turn = svg.getScreenCTM().inverse();
  const at = new DOMPoint(x, y).matrixTransform(turn);
  const near = NEAR * turn.a;
  let best = null;
  let least = near;
  for (const way of svg.querySelectorAll('[data-part="way"]')) {
    for (const path of way.querySelectorAll("path")) {
      const far = distance(path.getAttribute("d"), at);
      if (far < least) { least = far; best = Number(way.dataset.motion); }
    }
  }
  return best;
}

function distance(path, at) {
  // One stretch after another: between them the pen is up.
  return Math.min(...path.split("M").slice(1).map((stretch) => distanceOf(stretch, at)));
}

function distanceOf(stretch, at) {
  const numbers = stretch.match(/-?[\d.]+/g).map(Number);
  let least = Infinity;
  for (let i = 0; i + 3 < numbers.length; i += 2) {
    const [ax, ay, bx, by] = numbers.slice(i, i + 4);
    const length = (bx - ax) ** 2 + (by - ay) ** 2;
    const share = length ? Math.min(1, Math.max(0, ((at.x - ax) * (bx - ax) + (at.y - ay) * (by - ay)) / length)) : 0;
    least = Math.min(least, Math.hypot(at.x - ax - share * (bx - ax), at.y - ay - share * (by - ay)));
  }
  return least;
}
