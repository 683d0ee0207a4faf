// A second tap within 300 ms is not sent again (of sheets that open beside the page, each counts for itself), and what was typed survives a reload without network.
// Without this module every form still works: the hidden key makes a repeat harmless.
const TOO_SOON_MS = 300;
let last = { form: null, at: -TOO_SOON_MS }; // a page just loaded has sent nothing

// One player's wish never comes back on another's card.
const keepName = (form) => `kept:${location.pathname}:${form.action}:${form.elements.player_id?.value ?? ""}`;

const typedFields = (form) =>
  [...form.elements].filter((field) => ["text", "search", "time", "textarea"].includes(field.type) && field.name);

for (const form of document.querySelectorAll("form[method=post]")) {
  if (form.hasAttribute("data-keep")) {
    const kept = JSON.parse(sessionStorage.getItem(keepName(form)) ?? "{}");
    for (const field of typedFields(form)) {
      if (field.value === "" && kept[field.name]) field.value = kept[field.name];
    }
    form.addEventListener("input", () => {
      const now = Object.fromEntries(typedFields(form).map((field) => [field.name, field.value]));
      sessionStorage.setItem(keepName(form), JSON.stringify({ ...kept, ...now }));
    });
  }
}

// A scan leads back to the same card: what was ticked and chosen there goes along, whichever came first.
for (const search of document.querySelectorAll("form[data-carries-card]")) {
  search.addEventListener("formdata", ({ formData }) => {
    const card = document.getElementById(search.dataset.carriesCard);
    if (!card) return;
    const filled = new FormData(card);
    formData.delete("hand");
    for (const job of filled.getAll("job_id")) formData.append("hand", job);
    for (const name of ["proof", "proof_value", "collector", "reason"]) {
      if (filled.get(name)) formData.set(name, filled.get(name));
      else formData.delete(name);
    }
  });
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  const now = performance.now();
  const anotherSheet = form.target === "_blank" && form !== last.form;
  if (now - last.at < TOO_SOON_MS && !anotherSheet) {
    event.preventDefault();
    return;
  }
  last = { form, at: now };
  // the service worker keeps what may wait; without it nothing can be sent now
  if (!navigator.onLine && !document.documentElement.dataset.keeps) {
    event.preventDefault();
    document.querySelector("[data-offline-band]")?.removeAttribute("hidden");
    return;
  }
  form.setAttribute("data-sent", "");
  // a form that is only shown another way is not done with
  if (event.submitter?.name !== "show") sessionStorage.removeItem(keepName(form));
});

// Enter in a field that has a button of its own is that button, not the form's first one.
document.addEventListener("keydown", (event) => {
  const box = event.key === "Enter" && !event.isComposing && event.target.matches("input[type=text]") && event.target.closest("[data-own-button]");
  if (!box) return;
  event.preventDefault();
  box.querySelector("button[type=submit]").click();
});

// Coming back to a page from the browser's memory: its buttons work again.
addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) form.removeAttribute("data-sent");
});

// A page that is meant for paper offers its own button where scripts run.
for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
