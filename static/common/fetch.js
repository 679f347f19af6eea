// Asks the catalogue: the CSRF token, JSON or text, a line that broke, and an answer that leads elsewhere, in one place.

/** The connection broke; worth another try. */
export class Lost extends Error {}

/**
 * Answers `{ ok, status, led, data }`: `data` is an object where the catalogue said JSON, else text. `led` says that it
 * led to another page, as it does with a browser that was signed out; that is never `ok`.
 * `send` (FormData) makes it a POST; `leaving` lets it outlive the page; a `signal` calls it off.
 * Throws Lost where the line broke, AbortError where it was called off.
 */
export async function ask(address, { send, headers = {}, leaving = false, signal } = {}) {
  try {
    const answer = await fetch(address, {
      method: send ? "POST" : "GET",
      body: send,
      headers: { Accept: "application/json", ...(send ? token() : {}), ...headers },
      keepalive: leaving,
      signal,
    });
    const json = answer.headers.get("Content-Type")?.includes("json");
    const data = json ? await answer.json() : await answer.text();
    return { ok: answer.ok && !answer.redirected, status: answer.status, led: answer.redirected, data };
  } catch (error) {
    throw error.name === "AbortError" ? error : new Lost("The connection was lost before it was there.");
  }
}

/**
 * Sends a FormData with a file in it and tells `progress(part)`, 0 to 1, how far it has come, which `fetch` can't.
 * Answers and throws as `ask` does.
 */
export function upload(address, send, { progress, signal } = {}) {
  return new Promise((done, failed) => {
    const request = new XMLHttpRequest();
    const calledOff = () => failed(new DOMException("Taken back.", "AbortError"));
    if (signal?.aborted) return calledOff();
    request.open("POST", address);
    request.responseType = "json";
    for (const [name, value] of Object.entries(token())) request.setRequestHeader(name, value);
    request.upload.addEventListener("progress", (event) => event.lengthComputable && progress?.(event.loaded / event.total));
    request.addEventListener("load", () => {
      const { status, response } = request;
      done({ ok: status >= 200 && status < 300, status, led: false, data: response });
    });
    request.addEventListener("error", () => failed(new Lost("The connection was lost before it was there.")));
    request.addEventListener("abort", calledOff);
    signal?.addEventListener("abort", () => request.abort());
    request.send(send);
  });
}

// The token stands in every page, for the parts that are swapped in place.
function token() {
  const { "X-CSRFToken": said } = JSON.parse(document.body.getAttribute("hx-headers") ?? "{}");
  return said ? { "X-CSRFToken": said } : {};
}
