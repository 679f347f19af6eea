// Beside the method of a treatment stands its caution alone; without script all of them can be opened.
const begun = new WeakSet();

function begin() {
  for (const list of document.querySelectorAll("[data-cautions]")) {
    const method = list.closest("form")?.elements.method;
    if (!method || begun.has(list)) continue;
    begun.add(list);
    const rows = [...list.querySelectorAll("[data-method]")];
    const show = () => {
      for (const row of rows) row.hidden = row.dataset.method !== method.value;
      list.open = rows.some((row) => !row.hidden);
    };
    method.addEventListener("change", show);
    show();
  }
}
begin();
document.addEventListener("htmx:afterSettle", begin);
