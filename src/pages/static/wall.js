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

// Nobody scrolls a wall: where longer words need more lines than there are, all rows become smaller, in small steps.
const SMALLEST = 0.4;
const STEP = 0.04;
const fit = () => {
  const board = document.querySelector("#room, #counter");
  if (!board) return;
  const root = document.documentElement;
  const nearby = matchMedia("(max-width: 900px)").matches;
  for (let scale = 1; scale >= SMALLEST; scale -= STEP) {
    board.style.setProperty("--fit", scale.toFixed(2));
    if (nearby || root.scrollHeight <= root.clientHeight) return;
  }
};
// the rows are exchanged as a whole when something happens; sizes that are set here are no reason to look again
new MutationObserver(fit).observe(document.body, { childList: true, characterData: true, subtree: true });
addEventListener("resize", fit);
fit();
