// Listens to the event stream and fetches this page again when something it shows has changed.
// Only the parts marked data-live="topic topic" are exchanged; a part somebody has begun to fill in is left alone.
// The stream beats every 15 s; one second is left for the way.
const STALE_AFTER_MS = 16_000;
const GATHER_MS = 150;
// Spare minutes run down without any event.
const AGAIN_AFTER_MS = 60_000;
const KINDS = `job.announced job.received job.assigned job.unassigned job.started job.phase job.paused job.resumed
  job.handed_over job.restarted job.strung job.ready job.failed_check job.amended job.held job.released job.rushed
  job.unrushed job.due_changed job.promise_changed job.acknowledged job.cancelled job.out job.back job.corrected job.recalled job.phase_undone
  pickup.made pickup.undone stock.changed stock.written_off snag.raised snag.decided racket.moved racket.added
  station.opened station.closed station.changed machine.cleared machine.failed reading.taken stringer.changed`;

const root = document.documentElement;
const topics = document.body.dataset.topics ?? "";
const staleBand = document.querySelector("[data-stale-band]");
const offlineBand = document.querySelector("[data-offline-band]");
const changed = new Set();
let heardAt = Date.now();
let gathering = 0;
let fetching = false;

const topicOf = (kind) => {
  const name = kind.replace(/^weftdesk\./, "").split(".")[0];
  return { match: "matches", stock: "stock", system: "system" }[name] ?? `${name}s`;
};

const heard = () => {
  heardAt = Date.now();
  root.dataset.live = "on";
  if (staleBand) staleBand.hidden = true;
  if (offlineBand) offlineBand.hidden = true;
};

// Something begun: typed, ticked or chosen otherwise than the page came. A focus alone is not; it is carried over.
const begun = (field) => {
  if (field.matches("select")) return [...field.options].some((option) => option.selected !== option.defaultSelected) && field.matches(":focus");
  if (field.matches("[type=checkbox], [type=radio]")) return field.checked !== field.defaultChecked;
  return field.value !== field.defaultValue;
};
const inUse = (part) => [...part.querySelectorAll("input, select, textarea")].some(begun);

// The same control in the part that comes: by its id, else by what it reads.
const twin = (part, control) =>
  control.id
    ? part.querySelector(`#${CSS.escape(control.id)}`)
    : [...part.querySelectorAll(control.tagName)].find((one) => one.textContent === control.textContent);

// A chosen box or an opened list stays as the person left it.
const carryOver = (from, to) => {
  for (const open of from.querySelectorAll("details[open][id]")) to.querySelector(`#${CSS.escape(open.id)}`)?.setAttribute("open", "");
};

const exchange = (fresh, all) => {
  for (const part of document.querySelectorAll("[data-live][id]")) {
    const wanted = all || part.dataset.live.split(" ").some((topic) => changed.has(topic));
    const next = fresh.getElementById(part.id);
    if (!wanted || !next || inUse(part) || part.isEqualNode(next)) continue;
    carryOver(part, next);
    const focused = part.contains(document.activeElement) ? document.activeElement : null;
    const come = document.importNode(next, true);
    part.replaceWith(come);
    if (focused) twin(come, focused)?.focus({ preventScroll: true });
  }
  const time = fresh.querySelector("[data-live-time]")?.textContent;
  for (const place of document.querySelectorAll("[data-live-time], [data-stale-time]")) if (time) place.textContent = time;
};

const fetchAgain = async (all) => {
  if (fetching) return schedule();
  fetching = true;
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" }, cache: "no-store" });
    if (answer.redirected && new URL(answer.url).pathname === "/sign-in") return location.assign(answer.url);
    if (answer.ok) exchange(new DOMParser().parseFromString(await answer.text(), "text/html"), all);
    changed.clear();
  } catch {
    // The stream's own error shows the band; the next event or reconnection fetches again.
  } finally {
    fetching = false;
  }
};

const schedule = (all = false) => {
  clearTimeout(gathering);
  gathering = setTimeout(() => fetchAgain(all), GATHER_MS);
};

if (topics) {
  let opened = false;
  const stream = new EventSource(`/v1/stream?topics=${encodeURIComponent(topics)}`);
  stream.onopen = () => {
    heard();
    if (opened) schedule(true);
    opened = true;
  };
  stream.onerror = () => {
    root.dataset.live = "off";
  };
  stream.addEventListener("heartbeat", heard);
  stream.addEventListener("resync", () => {
    heard();
    schedule(true);
  });
  for (const kind of KINDS.split(/\s+/).flatMap((name) => [name, `weftdesk.${name}`])) {
    stream.addEventListener(kind, () => {
      heard();
      changed.add(topicOf(kind));
      schedule();
    });
  }
  setInterval(() => {
    const silent = Date.now() - heardAt > STALE_AFTER_MS;
    if (silent && staleBand) {
      staleBand.hidden = false;
      root.dataset.live = "off";
    }
  }, 1000);
  setInterval(() => {
    if (!document.hidden) schedule(true);
  }, AGAIN_AFTER_MS);
}

addEventListener("offline", () => {
  if (!offlineBand) return;
  offlineBand.querySelector("[data-offline-time]").textContent = new Date().toTimeString().slice(0, 5);
  offlineBand.hidden = false;
});
addEventListener("online", () => schedule(true));

// The list of what is wrong takes the focus, so that a reader starts there.
document.querySelector(".problem")?.focus();
