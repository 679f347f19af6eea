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
    for (const answer of answers) {
      const held = answer.dataset.for.split(";");
      const sold = answer.dataset.in.split(";");
      // The finer kinds of one country double the choice while the country is not known.
      const anywhere = !("kind" in answer.dataset) && !region.value;
      const fits =
        (!contents.value || held.includes("any") || held.includes(contents.value)) &&
        (anywhere || sold.includes("any") || sold.includes(region.value));
      answer.classList.toggle("unfit", !(fits && wasCopied(answer)));
    }
  };
  form.addEventListener("change", look);
  form.addEventListener("draft-restored", look);
  form.addEventListener("htmx:load", look);
}
