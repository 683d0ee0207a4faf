// A job is dragged to another lane: what that would cost is shown, as by the button "Move…", and nothing is done yet.
// Fingers scroll the drawing and use the button. Ids are kept, not elements: the page may be exchanged meanwhile.
const FAR_PX = 8;
let drag = null;

const laneAt = (x, y) => document.elementsFromPoint(x, y).find((one) => one.matches(".floor [data-station]"));

const leave = () => {
  for (const one of document.querySelectorAll(".floor .drop")) one.classList.remove("drop");
  document.querySelector(".floor .carried")?.removeAttribute("transform");
  document.querySelector(".floor .carried")?.classList.remove("carried");
  drag = null;
};

addEventListener("dragstart", (event) => {
  if (event.target.closest?.(".floor a")) event.preventDefault();
});

addEventListener("pointerdown", (event) => {
  const block = event.target.closest?.(".floor a[data-job]");
  if (!block || event.button !== 0 || event.pointerType === "touch") return;
  drag = { job: block.dataset.job, from: laneAt(event.clientX, event.clientY)?.dataset.station, x: event.clientX, y: event.clientY, far: false };
});

addEventListener("pointermove", (event) => {
  if (!drag) return;
  const [right, down] = [event.clientX - drag.x, event.clientY - drag.y];
  drag.far ||= Math.hypot(right, down) > FAR_PX;
  if (!drag.far) return;
  const block = document.querySelector(`.floor a[data-job="${CSS.escape(drag.job)}"]`);
  block?.classList.add("carried");
  block?.setAttribute("transform", `translate(${right} ${down})`);
  const lane = laneAt(event.clientX, event.clientY);
  for (const one of document.querySelectorAll(".floor [data-station]")) one.classList.toggle("drop", one === lane && one.dataset.station !== drag.from);
});

addEventListener("pointerup", (event) => {
  if (!drag) return;
  const { job, from, far } = drag;
  const station = laneAt(event.clientX, event.clientY)?.dataset.station;
  leave();
  if (!far) return;
  // letting go is not a click on the block
  const swallow = (click) => click.preventDefault();
  addEventListener("click", swallow, { capture: true, once: true });
  setTimeout(() => removeEventListener("click", swallow, { capture: true }));
  if (station && station !== from) location.assign(`/floor?${new URLSearchParams({ job, station, do: "move" })}`);
});

addEventListener("pointercancel", leave);
addEventListener("keydown", (event) => {
  if (event.key === "Escape" && drag) leave();
});
