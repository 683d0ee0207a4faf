// The room's wall turns its pages by itself. It never scrolls, and it can be held.
const EACH_PAGE_MS = 12_000;
const hold = document.getElementById("hold");
let held = false;

const nextPage = () => document.querySelector("[data-next-page]")?.dataset.nextPage ?? "";

hold?.addEventListener("click", () => {
  held = !held;
  hold.setAttribute("aria-pressed", String(held));
  hold.textContent = held ? "Go on" : "Hold this page";
});

setInterval(() => {
  const next = nextPage();
  if (hold) hold.hidden = next === "" && !held;
  if (held || next === "") return;
  history.replaceState(null, "", next);
  document.dispatchEvent(new Event("show-again"));
}, EACH_PAGE_MS);
if (hold) hold.hidden = nextPage() === "";
