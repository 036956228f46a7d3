// Lines of an answer, as the command line says them: text with a role and an indent.
import { make } from "/static/showing.js";

/** Paragraphs of `lines`, to be put in a `worked-lines` box. */
export function paragraphs(lines) {
  return lines.map((line) => make(
    "p", `worked-line role-${line.role} in-${Math.min(line.indent, 8)}`, {}, line.text,
  ));
}
