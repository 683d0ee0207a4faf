// The bench with gloves or a foot switch: four keys are enough, and a tap can be taken back for ten seconds.
// Enter: the main action. Plus and minus: a step on, a step back in the list. Escape: close, else go back.
// Without this module every button still works, and the tap can be taken back for a minute.
const UNDO_S = 10;

const undo = document.querySelector("[data-undo]");
if (undo) {
  let left = UNDO_S;
  const words = undo.querySelector("[data-undo-left]");
  const tick = () => {
    words.textContent = `${left} s`;
    if (left === 0) undo.remove();
    left -= 1;
  };
  tick();
  const clock = setInterval(() => (left < 0 ? clearInterval(clock) : tick()), 1000);
}

const steps = [...document.querySelectorAll(".steps > li")];
let marked = steps.findIndex((step) => step.matches(".step-now"));
const moveTo = (place) => {
  if (!steps[place]) return;
  steps[marked]?.classList.remove("step-marked");
  marked = place;
  steps[marked].classList.add("step-marked");
  steps[marked].scrollIntoView({ block: "center" });
};

const typing = () => document.activeElement.matches("input, select, textarea, summary, a, button");

addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.repeat) return;
  const opened = document.querySelector(".side-acts details[open], main details[open]");
  if (event.key === "Escape") {
    if (opened) {
      opened.removeAttribute("open");
      opened.querySelector("summary")?.focus();
    } else history.back();
  } else if (event.key === "Enter" && !typing()) {
    document.querySelector(".notice .button.primary, .button.phase")?.click();
  } else if (event.key === "+" && !typing()) moveTo(marked + 1);
  else if (event.key === "-" && !typing()) moveTo(marked - 1);
});
