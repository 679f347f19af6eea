// Rows of a Django formset that are added in the browser.
const NUMBERED = ["name", "id", "for", "aria-describedby"];

/** Gives a copied row of the set `prefix` its own number, in every attribute that says one. */
export function renumber(row, prefix, number) {
  for (const part of row.querySelectorAll(NUMBERED.map((attribute) => `[${attribute}]`).join())) {
    for (const attribute of NUMBERED) {
      const value = part.getAttribute(attribute);
      if (value) part.setAttribute(attribute, value.replace(new RegExp(`${prefix}-\\d+-`, "g"), `${prefix}-${number}-`));
    }
  }
}
