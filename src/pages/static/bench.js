// The bench with gloves or a foot switch: four keys are enough, and a tap can be taken back for ten seconds.
// Enter: the main action. Plus and minus: a step on, a step back in the list. Escape: close, else go back.
// A scanner is a keyboard that ends with Enter: its Enter goes on to the next empty field.
// Without this module every button still works, and the tap can be taken back for a minute.
const UNDO_S = 10;
// A main key that has just taken another's place is no target yet: the finger meant the one before.
const SETTLE_MS = 1_200;
// A page that comes so soon after a form was sent came by that tap.
const BY_TAP_MS = 15_000;

const main = document.querySelector("#main");
const primary = () => document.querySelector(".notice .button.primary") ?? document.querySelector("main .button.phase");
const make = (tag, words = "", className = "") => {
  const node = document.createElement(tag);
  node.textContent = words;
  if (className) node.className = className;
  return node;
};

// The seconds in which a tap can be taken back; its place stays empty afterwards, so that nothing moves.
const shownAt = performance.now();
const countDown = () => {
  const undo = document.querySelector("[data-undo]");
  if (!undo) return;
  const left = UNDO_S - Math.floor((performance.now() - shownAt) / 1000);
  if (left < 0) return undo.remove();
  const words = undo.querySelector("[data-undo-left]");
  if (words.textContent !== `${left} s`) words.textContent = `${left} s`;
};
setInterval(countDown, 250);

const cameByTap = Date.now() - Number(sessionStorage.getItem("bench-tap") ?? 0) < BY_TAP_MS;
sessionStorage.removeItem("bench-tap");
addEventListener("submit", (event) => {
  if (event.target.method === "post" && !event.defaultPrevented) sessionStorage.setItem("bench-tap", String(Date.now()));
});
let shown = "";
let liveAt = 0;
const settle = () => {
  countDown();
  const key = primary();
  const words = key?.innerText.trim() ?? "";
  if (words !== shown && (shown || cameByTap)) liveAt = performance.now() + SETTLE_MS;
  shown = words;
  const left = liveAt - performance.now();
  if (left > 0) {
    key?.setAttribute("aria-disabled", "true");
    setTimeout(settle, left + 5);
  } else if (key?.hasAttribute("aria-disabled")) key.removeAttribute("aria-disabled");
};
settle();
new MutationObserver(settle).observe(main, { childList: true, subtree: true });
addEventListener(
  "click",
  (event) => {
    if (!event.target.closest?.(".button[aria-disabled=true]")) return;
    event.preventDefault();
    event.stopPropagation();
  },
  true,
);

/** What is wrong, as the desk itself would show it, with the field it is about; answers the box. */
const told = (words, field) => {
  document.querySelector(".problem")?.remove();
  const box = make("section", "", "problem");
  box.setAttribute("role", "alert");
  box.tabIndex = -1;
  const list = make("ul", "", "bare");
  const item = make("li");
  const link = make("a", words);
  link.href = `#${field.id}`;
  item.append(link);
  list.append(item);
  const title = make("h2", "There is a problem");
  title.id = "problem-title";
  box.setAttribute("aria-labelledby", title.id);
  box.append(title, list);
  main.before(box);
  document.title = `Problem: ${document.title.replace(/^Problem: /, "")}`;
  return box;
};

const check = document.querySelector("form.check");
check?.addEventListener("submit", (event) => {
  const open = [...check.querySelectorAll(".points input")].find((point) => !point.checked);
  if (!open || event.submitter?.hasAttribute("formaction")) return;
  event.preventDefault();
  event.stopPropagation();
  told("Look at all three things and tick them, or say what does not pass.", open).focus();
});

// What stands in the fields came back after a refusal: it counts as typed, so that no news wipes it out.
for (const field of document.querySelectorAll("form.start input.scan")) {
  const typed = field.value;
  field.value = typed;
  field.defaultValue = "";
}
const start = document.querySelector("form.start");
const back = new URLSearchParams(location.search);
if (start && back.has("wrong")) {
  for (const field of start.querySelectorAll("input.scan")) field.value = back.get(field.name) ?? "";
  if (start.elements.strings_by_name) start.elements.strings_by_name.checked = back.get("strings_by_name") === "yes";
  const scans = [...start.querySelectorAll("input.scan")];
  let field = start.elements.tag_code;
  if (back.get("wrong") === "tag")
    told(`The tag ${back.get("tag_code").toUpperCase()} is not this racket’s: this job is ${start.elements.job_code.value}. It was not started. Compare the marks and scan the right one.`, field);
  else {
    field = scans.find((one) => !one.value) ?? field;
    told("Scan both strings, or tick that you have read them on the packets. It was not started.", field);
  }
  field.focus();
  field.select();
}
const wrong = document.querySelector("form.start [aria-invalid]");
if (wrong) {
  wrong.focus();
  wrong.select();
}

addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || event.isComposing || !event.target.matches?.("form.start input.scan")) return;
  const { form } = event.target;
  const read = form.elements.strings_by_name?.checked;
  const next = [...form.querySelectorAll("input.scan")].find((field) => field.value.trim() === "" && (field.name === "tag_code" || !read));
  if (!next) return;
  event.preventDefault();
  next.focus();
});

const steps = [...document.querySelectorAll(".steps > li")];
let marked = steps.findIndex((step) => step.matches(".step-now"));
const moveTo = (place) => {
  if (!steps[place]) return;
  steps[marked]?.classList.remove("step-marked");
  marked = place;
  steps[marked].closest("details")?.setAttribute("open", "");
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
  } else if (event.key === "Enter" && !typing()) primary()?.click();
  else if (event.key === "+" && !typing()) moveTo(marked + 1);
  else if (event.key === "-" && !typing()) moveTo(marked - 1);
});
