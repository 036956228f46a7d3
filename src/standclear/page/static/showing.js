// Putting an answer on the page. Every text goes in as text, never as markup.

const parser = new DOMParser();
const FINDINGS_SHOWN = 60;

export function showAnswer(bench, answer) {
  const verdict = document.getElementById("verdict");
  verdict.className = `cell verdict state-${answer.state}${answer.full ? "" : " quick"}`;
  put("verdict-word", answer.word);
  put("headline", answer.headline);
  put("blank", answer.blank);
  document.getElementById("verdict-mark").replaceChildren(markOf(answer.state));
  answer.setups.forEach((setup, index) => showEnd(setup, index, bench));
  if (!answer.full) return;
  showFindings(bench, answer.findings);
  showSizes(answer.sizes);
  showList("trusted", answer.trusted);
  showList("not-examined", answer.not_examined);
}

function showList(id, sentences) {
  document.getElementById(id).replaceChildren(...sentences.map((each) => make("li", "", {}, each)));
}

function put(id, words) {
  const node = document.getElementById(id);
  // The live region speaks only when its words change.
  if (node && node.textContent !== words) node.textContent = words;
}

function showEnd(setup, index, bench) {
  const end = document.querySelector(`[data-setup="${index}"]`);
  if (!end) return;
  const told = end.querySelector(".end-verdict");
  told.textContent = setup.word;
  told.className = `end-verdict state-${setup.state}`;
  const svg = parser.parseFromString(setup.svg, "image/svg+xml").documentElement;
  const place = end.querySelector("[data-drawing]");
  const picture = document.importNode(svg, true);
  // The ways of the program do not depend on the blank: while dragging those shown are kept.
  const ways = place.querySelector('[data-part="ways"]');
  if (ways) picture.querySelector('[data-part="ways-place"]')?.replaceWith(ways);
  for (const way of picture.querySelectorAll('[data-part="way"]')) {
    way.classList.toggle("picked", Boolean(setup.line) && way.dataset.line === String(setup.line));
  }
  place.replaceChildren(picture);
  end.querySelector("[data-at]").textContent = setup.at;
  end.removeAttribute("aria-busy");
  end.classList.toggle("stepped", bench.setup === index);
  end.querySelector('[data-step="whole"]').hidden = bench.setup !== index;
  end.querySelector('[data-step="reading"]').hidden = setup.readings < 2;
  const gaps = document.getElementById("gaps");
  const name = `gaps-${index}`;
  const list = gaps.querySelector(`#${name}`) ?? gaps.appendChild(make("div", "gaps", { id: name }));
  list.replaceChildren(make("h3", "", {}, setup.name), ...setup.gaps.map((gap) => {
    const row = make("button", "gap", { type: "button" });
    row.append(
      make("span", "gap-block", {}, gap.line ? `line ${gap.line}: ${gap.block}` : gap.block),
      make("span", "gap-words", {}, gap.words),
      make("span", "soft", {}, `stands at ${gap.stands}`),
    );
    row.addEventListener("click", () => bench.step(index, gap.motion));
    return row;
  }));
}

function showFindings(bench, findings) {
  const list = document.getElementById("findings");
  const open = document.activeElement?.closest?.("#findings li")?.dataset.key;
  list.replaceChildren(...findings.slice(0, FINDINGS_SHOWN).map((finding) => {
    const key = `${finding.code} ${finding.setup} ${finding.block}`;
    const row = make("li", `finding severity-${finding.severity}`, { "data-key": key });
    const head = finding.motion >= 0 && finding.setup_index >= 0
      ? make("button", "finding-head", { type: "button" })
      : make("div", "finding-head");
    head.append(
      make("strong", "severity", {}, finding.severity),
      make("span", "", {}, finding.setup ? `${finding.setup}` : "the job"),
      make("span", "finding-block", {}, finding.block),
    );
    row.append(head, make("p", "", {}, finding.sentence));
    if (finding.cure) row.append(make("p", "cure", {}, finding.cure));
    if (finding.only_if.length) row.append(make("p", "soft", {}, `When the control behaves so: ${finding.only_if.join("; ")}.`));
    if (finding.step && !bench.lookingOnly) row.append(make("a", "key to-form", { href: `${bench.address}/form/#step-${finding.step}` }, finding.doing));
    if (finding.allowed) row.append(make("p", "soft", {}, `Allowed by the job: ${finding.allowed}`));
    head.addEventListener("click", () => {
      if (finding.motion >= 0 && finding.setup_index >= 0) bench.step(finding.setup_index, finding.motion);
    });
    return row;
  }));
  const more = findings.length - FINDINGS_SHOWN;
  if (more > 0) list.append(make("li", "soft", {}, `and ${more} more`));
  if (!findings.length) list.append(make("li", "soft", {}, "Nothing found."));
  if (open) [...list.children].find((row) => row.dataset.key === open)?.querySelector("button")?.focus();
}

function showSizes(sizes) {
  document.getElementById("sizes").replaceChildren(...(sizes.length ? sizes.map((size) => {
    const row = make("li", size.right === false ? "off" : "");
    row.append(make("span", "size-name", {}, size.name), make("span", "", {}, size.words));
    return row;
  }) : [make("li", "soft", {}, "None: the job asks for none, or a strike comes first.")]));
}

/** An element with a class, attributes and text. */
export function make(tag, name = "", attributes = {}, words = undefined) {
  const node = document.createElement(tag);
  if (name) node.className = name;
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (words !== undefined) node.textContent = words;
  return node;
}

const MARKS = {
  contact: "M2 12 12 2M2 22 22 2M12 22 22 12M2 12 12 22M2 2 22 22M12 2 22 12",
  mend: "M2 12 12 2M2 22 22 2M12 22 22 12",
};

/** The square that says the verdict beside its colour. */
export function markOf(state) {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("class", "mark");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("aria-hidden", "true");
  const box = document.createElementNS(space, "rect");
  for (const [key, value] of Object.entries({ x: 2, y: 2, width: 20, height: 20 })) box.setAttribute(key, value);
  if (!["contact", "mend", "clear"].includes(state)) box.setAttribute("class", "broken");
  svg.append(box);
  if (MARKS[state]) {
    const hatch = document.createElementNS(space, "path");
    hatch.setAttribute("d", MARKS[state]);
    svg.append(hatch);
  }
  return svg;
}
