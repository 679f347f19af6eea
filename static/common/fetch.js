// Asks the catalogue: the CSRF token, JSON or text, a line that broke, and an answer that leads elsewhere, in one place.

/** The connection broke, or the catalogue has no room; worth another try. */
export class Lost extends Error {}

/** The catalogue no longer knows this browser; worth another try after signing in. */
export class SignedOut extends Lost {}

/** Where one signs in and comes back to this page. */
export const signInAddress = () => `/enter/?next=${encodeURIComponent(location.pathname + location.search)}`;

/** What a broken line is called. */
export const LOST = "The connection was lost.";

/**
 * Answers `{ ok, status, led, data }`: `data` is an object where the catalogue said JSON, else text. `led` is the address
 * that it led to, as it does with a browser that was signed out, else empty; an answer that leads on is never `ok`.
 * `send` (FormData) makes it a POST; `leaving` lets it outlive the page; `stay` doesn't follow where it leads, so that what the catalogue has to say there
 * is heard by whoever goes there; a `signal` calls it off.
 * Throws Lost where the line broke, AbortError where it was called off.
 */
export async function ask(address, { send, headers = {}, leaving = false, stay = false, signal } = {}) {
  try {
    const answer = await fetch(address, {
      method: send ? "POST" : "GET",
      body: send,
      headers: { Accept: "application/json", ...(send ? token() : {}), ...(stay ? { "X-Stay": "yes" } : {}), ...headers },
      keepalive: leaving,
      signal,
    });
    const json = answer.headers.get("Content-Type")?.includes("json");
    const data = json ? await answer.json() : await answer.text();
    const led = answer.headers.get("X-Leads-To") ?? (answer.redirected ? answer.url : "");
    return { ok: answer.ok && !led, status: answer.status, led, data };
  } catch (error) {
    throw error.name === "AbortError" ? error : new Lost(LOST);
  }
}

/**
 * How this browser stands with the catalogue: `{ kept }`, the address that a form with the idempotency key `once` led to,
 * empty where none was kept. Every form of the page gets a CSRF token that holds now. Throws Lost and SignedOut.
 */
export async function standing(once = "") {
  const { ok, data } = await ask(`/enter/standing/?once=${encodeURIComponent(once)}`);
  if (!ok) throw new Lost(LOST);
  document.body.setAttribute("hx-headers", JSON.stringify({ "X-CSRFToken": data.token }));
  for (const field of document.getElementsByName("csrfmiddlewaretoken")) field.value = data.token;
  if (!data.in) throw new SignedOut("This browser was signed out.");
  return data;
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
    request.addEventListener("error", () => failed(new Lost(LOST)));
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
