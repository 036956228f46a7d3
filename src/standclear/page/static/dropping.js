// A place where a file is dropped, and the key beside it that chooses one.

/** Calls `take(file)` with each file that is dropped on `drop` or chosen with `input`. */
export function onFile(drop, input, take) {
  input.addEventListener("change", () => {
    const [file] = input.files;
    input.value = ""; // the same file, changed, may be chosen again
    if (file) take(file);
  });
  for (const name of ["dragenter", "dragover"]) {
    drop.addEventListener(name, (event) => { event.preventDefault(); drop.classList.add("over"); });
  }
  drop.addEventListener("dragleave", () => drop.classList.remove("over"));
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    const file = event.dataTransfer.files[0];
    if (file) take(file);
  });
}
