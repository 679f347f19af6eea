// Leave out of the address what says nothing, so that the link stays short and can be sent.
const form = document.querySelector("#date-form");
form?.addEventListener("htmx:configRequest", (event) => {
  const given = event.detail.parameters;
  for (const key of [...Object.keys(given)]) {
    const value = given[key];
    if (value === "" || (key === "mark_certainty" && value === "certain")) delete given[key];
  }
});
