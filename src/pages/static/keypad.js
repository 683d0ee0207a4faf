// Keys for a number, for gloves: where fingers point they stand on the page, and no keyboard of the device comes
// over it. A real keyboard and a scanner write into the field as ever. Without this module the field has the
// device's own number keys.
// <div class="keypad" data-keys="id of the field" data-set="decimal or digits" role="group" aria-label="…"></div>
const BACK = "⌫";
const CLEAR = "Clear";
const NAMES = { [BACK]: "Delete the last digit", ".": "Decimal point" };
const COLUMNS = 4;
const STEPS = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -COLUMNS, ArrowDown: COLUMNS };
const fingers = matchMedia("(any-pointer: coarse)");

const keyFor = (sign) => {
  const key = document.createElement("button");
  Object.assign(key, { type: "button", className: "button", value: sign, textContent: sign, tabIndex: -1 });
  if (NAMES[sign]) key.setAttribute("aria-label", NAMES[sign]);
  return key;
};

/** Writes where the cursor stands; where another part has the focus, behind what is there. */
const write = (field, sign) => {
  const end = field.value.length;
  let [from, to] = document.activeElement === field ? [field.selectionStart, field.selectionEnd] : [end, end];
  if (sign === CLEAR) [from, to] = [0, end];
  else if (sign === BACK && from === to) from = Math.max(0, from - 1);
  field.setRangeText([BACK, CLEAR].includes(sign) ? "" : sign, from, to, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
};

for (const pad of document.querySelectorAll("[data-keys]")) {
  const field = document.getElementById(pad.dataset.keys);
  const device = field.inputMode;
  const follow = () => (field.inputMode = fingers.matches ? "none" : device);
  follow();
  fingers.addEventListener("change", follow);

  const keys = [..."123", BACK, ..."456", pad.dataset.set === "digits" ? CLEAR : ".", ..."7890"].map(keyFor);
  pad.append(...keys);
  field.form.classList.add("with-keys");
  // one stop of the tab key for all of them; the arrows go from key to key
  let stop = keys[0];
  stop.tabIndex = 0;
  const stopAt = (key) => {
    stop.tabIndex = -1;
    stop = key;
    stop.tabIndex = 0;
  };
  // the field keeps the focus, so that a scan goes where it went before
  pad.addEventListener("mousedown", (event) => event.preventDefault());
  pad.addEventListener("click", (event) => {
    const key = event.target.closest("button");
    if (!key) return;
    write(field, key.value);
    if (event.detail > 0) field.focus({ preventScroll: true });
    else stopAt(key);
  });
  pad.addEventListener("keydown", (event) => {
    const step = STEPS[event.key];
    const sign = event.key === "Backspace" ? BACK : event.key.replace(",", ".");
    const next = step ? keys[keys.indexOf(stop) + step] : undefined;
    if (next) {
      stopAt(next);
      next.focus();
    } else if (!step && keys.some((key) => key.value === sign)) write(field, sign);
    else return;
    event.preventDefault();
  });
}
