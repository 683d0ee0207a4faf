// What is typed or ticked chooses the tile it belongs to, so that two answers do not stand side by side. Where no
// script runs the desk asks which of them is meant.
const UNIT = /\d\s*(kg|lb|n)|\b(kgs?|kilos?|kilograms?|lbs?|pounds?|newtons?)\b/i;
const form = document.querySelector("form[data-keep]");
const all = (name) => [...(form?.querySelectorAll(`[name="${name}"]`) ?? [])];
const choose = (name, value) => all(name).forEach((one) => (one.checked = one.value === value));

/** The words of a wish may carry the unit; where they do not, a new one needs the tile. */
const askForUnit = () => {
  if (form?.elements.wish?.value !== "new") return;
  for (const said of form.querySelectorAll("[name$=_as_said]")) for (const unit of all(said.name.replace("as_said", "unit"))) unit.required = !UNIT.test(said.value);
};

const answers = {
  ready_by: (line) => {
    if (all(`${line}due`).find((one) => one.checked)?.value !== "until_match") choose(`${line}due`, "time");
  },
  day: (line) => answers.ready_by(line),
  due: (line, { value }) => {
    if (["time", "until_match"].includes(value)) return;
    for (const one of [...all(`${line}ready_by`), ...all(`${line}day`)]) one.value = "";
  },
  damage: (line) => choose(`${line}condition`, "marked"),
  damage_note: (line) => choose(`${line}condition`, "marked"),
  condition: (line, { value }) => {
    for (const one of all(`${line}damage`)) if (value === "ok") one.checked = false;
    const where = document.getElementById(`${line}damage`);
    if (where && value === "marked") where.open = true;
  },
  as_said: (line) => {
    choose(`${line}step`, "");
    askForUnit();
  },
};

form?.addEventListener("input", ({ target }) => {
  const [, line, field] = /^(line_\d+_|)(.+)$/.exec(target.name) ?? [];
  const isSaid = target.type === "checkbox" ? target.checked : target.value !== "";
  if (isSaid || field === "as_said") answers[field]?.(line, target);
});
askForUnit();
