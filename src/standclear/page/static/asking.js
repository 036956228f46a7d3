// Asking the process that serves the page, and what it says when something cannot be done.

export class Told extends Error {
  constructor(words, status, answer) {
    super(words);
    this.status = status;
    this.answer = answer;
  }
}

/** Sends `body` (a table goes as JSON) and gives the JSON answer. Throws Told with the words to show. */
export async function send(method, address, body) {
  const plain = body === undefined || body instanceof Blob || typeof body === "string";
  let response;
  try {
    response = await fetch(address, {
      method,
      body: plain ? body : JSON.stringify(body),
      headers: plain ? { accept: "application/json" }
        : { "content-type": "application/json", accept: "application/json" },
    });
  } catch {
    throw new Told("The page's process does not answer. Start it again; what you typed is kept here.", 0, {});
  }
  const text = await response.text();
  let answer = {};
  try { answer = JSON.parse(text); } catch { answer = { error: text }; }
  if (!response.ok) throw new Told(answer.error || `not done (${response.status})`, response.status, answer);
  return answer;
}
