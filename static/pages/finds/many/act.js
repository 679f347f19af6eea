// An act on many finds goes on: the page that waits says how far it has come, and the ticks are no longer wanted.
import { ask } from "../../../common/fetch.js";
import { forget } from "../../../common/many.js";

const EVERY_MS = 350;

async function watch(form) {
  const line = form.querySelector(".many-progress");
  line.hidden = false;
  const [bar, words] = line.children;
  words.textContent = "Begun";
  for (;;) {
    await new Promise((done) => setTimeout(done, EVERY_MS));
    const { data } = await ask(form.dataset.progress).catch(() => ({ data: {} }));
    if (!data?.total) continue;
    bar.max = data.total;
    bar.value = data.done;
    words.textContent = `${Math.floor((100 * data.done) / data.total)} %`;
  }
}

for (const form of document.querySelectorAll("[data-progress]")) {
  form.addEventListener("submit", () => {
    forget();
    watch(form);
  });
}
