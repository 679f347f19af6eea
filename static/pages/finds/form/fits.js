// Answers meant for another kind of bottle step back as soon as what it held, or where it was sold, is said;
// what gives a copy away comes forward once something is ticked that was copied.
export function watchFits(form) {
  const contents = form.elements.contents;
  const region = form.elements.region;
  const wasCopied = (answer) => {
    if (!answer.dataset.copied) return true;
    return answer.dataset.copied
      .split(";")
      .some((copied) => form.querySelector(`input:checked[value="${CSS.escape(copied)}"]`));
  };
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
      answer.classList.toggle("unfit", !(fits && wasCopied(answer)));
    }
  };
  form.addEventListener("change", look);
  form.addEventListener("draft-restored", look);
  form.addEventListener("htmx:load", look);
}
