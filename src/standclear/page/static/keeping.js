// Writing what is on the bench into the job file, and keeping a dated proof.
import { send, Told } from "/static/asking.js";

export function startKeeping(bench) {
  press("keep", async () => {
    const answer = await send("POST", `${bench.address}/keep`, { values: bench.values });
    bench.tell(`Kept as ${answer.kept}.`);
  });
  press("take", async () => {
    bench.saving = true;
    try {
      await send("POST", `${bench.address}/take`, { values: bench.values, revision: bench.revision });
    } finally { bench.saving = false; }
    location.assign(location.pathname);
  });

  function press(id, work) {
    document.getElementById(id)?.addEventListener("click", async () => {
      try {
        await work();
      } catch (error) {
        if (!(error instanceof Told)) throw error;
        bench.tell(error.message, true);
      }
    });
  }
}
