// A form that is filled in outlives what leads away from it: a scan goes along with it to the desk and back, and a
// photo that was chosen, which no page can give back, is asked about before it would be lost.
const form = document.querySelector("form[data-keep]#take-in");
const search = document.querySelector("form[data-carries=take-in]");

const isChanged = (field) => {
  if (field.type === "file") return field.files.length > 0;
  if (["radio", "checkbox"].includes(field.type)) return field.checked !== field.defaultChecked;
  if (field.tagName === "SELECT") return field.selectedIndex !== Math.max(0, [...field.options].findIndex((one) => one.defaultSelected));
  return ["text", "textarea"].includes(field.type) && field.value !== field.defaultValue;
};
const isFilledIn = () => form.hasAttribute("data-drafted") || [...form.elements].some(isChanged);
const hasPhoto = () => [...form.elements].some((field) => (field.type === "file" ? field.files.length > 0 : /_photo_again$/.test(field.name)));
// without network the desk can't show the form again, and the search goes to what this device keeps
const deskIsThere = () => !form.querySelector("[name=show]:disabled");

if (form && search) {
  // without this module the box for scans is a field of the form; with it a form that holds nothing yet is left for the scan
  search.querySelector("button[hidden]").remove();
  for (const part of search.querySelectorAll("[form=take-in]")) for (const name of ["form", "formnovalidate", "disabled"]) part.removeAttribute(name);
  search.querySelector("button").removeAttribute("name");

  const show = Object.assign(document.createElement("button"), { name: "show", value: "found", formNoValidate: true, hidden: true });
  const asked = Object.assign(document.createElement("input"), { type: "hidden", name: "q" });
  search.addEventListener("submit", (event) => {
    if (!isFilledIn() || !deskIsThere()) return;
    event.preventDefault();
    event.stopPropagation();
    asked.value = search.elements.q.value;
    form.append(asked, show);
    form.requestSubmit(show);
  });

  let isSent = false;
  form.addEventListener("submit", () => (isSent = true));
  addEventListener("pageshow", () => (isSent = false));
  addEventListener("beforeunload", (event) => {
    if (hasPhoto() && !isSent) event.preventDefault();
  });
}
