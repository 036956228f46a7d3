// Light or dark ground: the device's, unless somebody has chosen here.
const KEPT = "standclear:ground";

function show(ground) {
  if (ground) document.documentElement.dataset.ground = ground;
  else delete document.documentElement.dataset.ground;
  for (const key of document.querySelectorAll("[data-ground-to]")) {
    key.setAttribute("aria-pressed", String(key.dataset.groundTo === (ground ?? "")));
  }
}

show(localStorage.getItem(KEPT) ?? "");
for (const key of document.querySelectorAll("[data-ground-to]")) {
  key.addEventListener("click", () => {
    localStorage.setItem(KEPT, key.dataset.groundTo);
    show(key.dataset.groundTo);
  });
}
