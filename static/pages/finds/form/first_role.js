// What pictures of a new find show, as long as nobody said: as found where it comes from a dive, else a detail.
export function followDive(form) {
  const touched = new WeakSet();
  const selects = () => [...form.querySelectorAll("#pictures-role, [data-list] select")];
  const template = form.querySelector("[data-row]").content.querySelector("[data-role]");
  let first = template.value;
  form.addEventListener("change", ({ target }) => {
    if (selects().includes(target)) touched.add(target);
    if (target.name !== "pick") return;
    const now = target.value === "unknown" ? "detail" : "as-found";
    for (const select of selects()) if (!touched.has(select) && select.value === first) select.value = now;
    for (const option of template.options) option.toggleAttribute("selected", option.value === now);
    first = now;
  });
}
