// Another tab, or another person, at the same job: whoever looks on is told, and shown what is there now.

const EVERY = 2000;

export function startWatching(bench) {
  let away = false;
  setInterval(async () => {
    if (document.hidden) return;
    let state;
    try {
      const response = await fetch(`${bench.address}/state`, { headers: { accept: "application/json" } });
      state = await response.json();
      if (!response.ok) throw new Error(state.error);
    } catch {
      away = true;
      bench.tell("The page's process does not answer. Start it again: what you typed is kept here.", true);
      return;
    }
    if (away) { away = false; bench.tell("The page's process answers again."); await bench.refresh(); }
    if (state.revision === bench.revision || bench.saving) return;
    if (!bench.answer || state.faults) { location.reload(); return; }
    await bench.refresh();
    bench.tell("The job was changed elsewhere; this is what is there now.");
    document.dispatchEvent(new CustomEvent("job-changed"));
  }, EVERY);
}
