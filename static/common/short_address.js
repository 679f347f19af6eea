// Leave out of the address what says nothing, so that the link stays short and can be sent.
for (const form of document.querySelectorAll("#date-form, #reading-form")) {
  form.addEventListener("htmx:configRequest", (event) => {
    const given = event.detail.parameters;
    for (const key of [...Object.keys(given)]) {
      const value = given[key];
      if (value === "" || (key === "mark_certainty" && value === "certain")) delete given[key];
    }
  });
}
