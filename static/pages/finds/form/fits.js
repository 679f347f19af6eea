// Answers meant for another kind of bottle step back as soon as what it held, or where it was sold, is said.
export function watchFits(form) {
  const contents = form.elements.contents;
  const region = form.elements.region;
  const look = () => {
    const answers = [...form.querySelectorAll(".see[data-for]")];
    // A country without answers of its own is served by those of its neighbours: the service weighs them.
    const known = answers.some((answer) => answer.dataset.in === region.value);
    for (const answer of answers) {
      const held = answer.dataset.for.split(";");
      const sold = answer.dataset.in;
      const fits =
        (!contents.value || held.includes("any") || held.includes(contents.value)) &&
        (!region.value || !known || !sold || sold === "any" || sold === region.value);
      answer.classList.toggle("unfit", !fits);
    }
  };
  contents.addEventListener("change", look);
  region.addEventListener("change", look);
  form.addEventListener("draft-restored", look);
  form.addEventListener("htmx:load", look);
}
