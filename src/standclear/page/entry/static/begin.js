// A job from nothing: its name makes its folder, and the form opens.
import { send } from "/static/asking.js";

const form = document.getElementById("begin-new");

form?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const told = document.getElementById("new-told");
  told.textContent = "";
  try {
    const answer = await send("POST", "/new", { name: document.getElementById("new-name").value });
    location.assign(`/job/${encodeURIComponent(answer.ident)}/form/`);
  } catch (error) {
    told.textContent = error.message;
    document.getElementById("new-name").focus();
  }
});

export function start() {}
