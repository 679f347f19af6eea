// Clocks of running baths. The server's times count; the script only counts between them by the server's own
// clock, asked anew by the watch of every page, so that a clock set wrong or changed on the phone moves nothing
// and a look-in on another screen shows here.
import { hoursAndMinutes } from "../../common/numbers.js";

const clocks = [...document.querySelectorAll("[data-clock]")].map((box) => ({
  box,
  ahead: Date.parse(box.dataset.now) - Date.now(),
  due: Date.parse(box.dataset.due),
  late: Date.parse(box.dataset.late),
}));

const words = (ms, round = Math.ceil) => hoursAndMinutes(Math.max(0, round(ms / 60000)));

function tick() {
  for (const clock of clocks) {
    const now = Date.now() + clock.ahead;
    const late = now >= clock.late;
    const due = !late && now >= clock.due;
    clock.box.classList.toggle("late", late);
    clock.box.classList.toggle("due", due);
    clock.box.closest(".run")?.classList.toggle("late", late);
    const say = clock.box.querySelector("[data-say]");
    const text = late ? "Overdue: take them out" : due ? "Look in now" : `Look in at ${clock.box.dataset.at}`;
    if (say.textContent !== text) say.textContent = text;
    clock.box.querySelector("[data-left]").textContent = late
      ? `${words(now - clock.late, Math.floor)} over`
      : due
        ? `${words(now - clock.due, Math.floor)} ago`
        : words(clock.due - now);
  }
}

if (clocks.length) {
  tick();
  setInterval(tick, 1000);
  document.addEventListener("baths-known", ({ detail }) => {
    for (const clock of clocks) {
      clock.ahead = detail.ahead;
      const bath = detail.baths.find((each) => each.url === clock.box.dataset.url);
      if (!bath) continue;
      [clock.due, clock.late] = [bath.due, bath.late];
      clock.box.dataset.at = bath.at;
    }
    tick();
  });
  // A laptop that slept shows the right time as soon as it wakes.
  document.addEventListener("visibilitychange", tick);
}
