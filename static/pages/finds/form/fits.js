// Answers meant for another kind of bottle step back as soon as what it held, or where it was sold, is said.
export function watchFits(form) {
  const contents = form.elements.contents;
  const region = form.elements.region;
  const look = () => {
    for (const answer of form.querySelectorAll(".see[data-for]")) {
      const held = answer.dataset.for.split(";");
      const sold = answer.dataset.in;
      const fits =
        (!contents.value || held.includes("any") || held.includes(contents.value)) &&
        (!region.value || !sold || sold === "any" || sold === region.value);
      answer.classList.toggle("unfit", !fits);
    }
  };
  contents.addEventListener("change", look);
  region.addEventListener("change", look);
  form.addEventListener("draft-restored", look);
  form.addEventListener("htmx:load", look);
}
