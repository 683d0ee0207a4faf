// Listens to the event stream and fetches this page again when something it shows has changed.
// Only the parts marked data-live="topic topic" are exchanged; a part somebody has begun to fill in is left alone.

// Data older than this is said to be old.
const STALE_AFTER_MS = 15_000;
// An open stream beats every 15 s: a beat that is still on its way is not silence.
const BEAT_ON_ITS_WAY_MS = 4_000;
// A change is fetched at once. What follows it (new promises, the plan made anew) is fetched soon after, and a
// rush of changes is gathered: no more than three looks in this time, however many screens hang on the desk.
const SOON_MS = 20;
const GATHER_MS = 300;
const LISTEN_AGAIN_MS = 3_000;
// Spare minutes run down without any event.
const AGAIN_AFTER_MS = 60_000;

const root = document.documentElement;
const topics = document.body.dataset.topics ?? "";
const staleBand = document.querySelector("[data-stale-band]");
const offlineBand = document.querySelector("[data-offline-band]");
const changed = new Set();
let heardAt = Date.now();
let open = false;
// what happened while the page was on its way is told first
let lastId = document.body.dataset.since ?? "";
let gathering = 0;
let looks = [0, 0, 0];
let fetching = false;
let wantsAll = false;
let closing = new AbortController();

const topicOf = (kind) => {
  const name = kind.split(".")[0];
  return { match: "matches", schedule: "schedule", stock: "stock", system: "system" }[name] ?? `${name}s`;
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

// An opened list stays as the person left it.
const carryOver = (from, to) => {
  for (const one of from.querySelectorAll("details[open][id]")) to.querySelector(`#${CSS.escape(one.id)}`)?.setAttribute("open", "");
};

// Such a part follows what others do even where somebody has begun: ticks go along to what is still offered.
const ticksAlong = (from, to) => {
  for (const box of from.querySelectorAll("[type=checkbox]")) {
    const same = to.querySelector(`[type=checkbox][value="${CSS.escape(box.value)}"]`);
    if (same) same.checked = box.checked;
  }
};

const exchange = (fresh, all, changed) => {
  for (const part of document.querySelectorAll("[data-live][id]")) {
    const wanted = all || part.dataset.live.split(" ").some((topic) => changed.has(topic));
    const next = fresh.getElementById(part.id);
    const follows = "follows" in part.dataset;
    if (!wanted || !next || (inUse(part) && !follows) || part.isEqualNode(next)) continue;
    carryOver(part, next);
    if (follows) ticksAlong(part, next);
    const focused = part.contains(document.activeElement) ? document.activeElement : null;
    const come = document.importNode(next, true);
    part.replaceWith(come);
    if (focused) twin(come, focused)?.focus({ preventScroll: true });
  }
  const time = fresh.querySelector("[data-live-time]")?.textContent;
  for (const place of document.querySelectorAll("[data-live-time], [data-stale-time]")) if (time) place.textContent = time;
};

const fetchAgain = async () => {
  if (fetching) return schedule();
  fetching = true;
  looks = [Date.now(), looks[0], looks[1]];
  const all = wantsAll;
  wantsAll = false;
  // what changes while this is on its way is fetched again afterwards
  const wanted = new Set(changed);
  changed.clear();
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" }, cache: "no-store" });
    if (answer.redirected && new URL(answer.url).pathname === "/sign-in") return location.assign(answer.url);
    if (answer.ok) exchange(new DOMParser().parseFromString(await answer.text(), "text/html"), all, wanted);
  } catch {
    for (const topic of wanted) changed.add(topic);
    // Without network the band comes by itself; when the stream is back everything is fetched.
  } finally {
    fetching = false;
  }
};

const schedule = (all = false) => {
  wantsAll ||= all;
  if (gathering) return;
  const next = Math.max(looks[0] + SOON_MS, looks[2] + GATHER_MS) - Date.now();
  gathering = setTimeout(() => {
    gathering = 0;
    fetchAgain();
  }, Math.max(fetching ? SOON_MS : 0, next));
};

// One block of the stream (WHATWG HTML, 9.2.6); a comment or a heartbeat only shows that it lives.
const onBlock = (block) => {
  let kind = "";
  for (const line of block.split("\n")) {
    if (line.startsWith("id: ")) lastId = line.slice(4);
    if (line.startsWith("event: ")) kind = line.slice(7);
  }
  if (kind === "" || kind === "heartbeat") return;
  if (kind === "resync") return schedule(true);
  changed.add(topicOf(kind));
  schedule();
};

const listen = async () => {
  const headers = { Accept: "text/event-stream" };
  if (lastId) headers["Last-Event-ID"] = lastId;
  const address = `/v1/stream?topics=${encodeURIComponent(topics)}`;
  const answer = await fetch(address, { headers, cache: "no-store", signal: closing.signal });
  if (!answer.ok) throw new Error(`the stream answered ${answer.status}`);
  open = true;
  heard();
  let text = "";
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    heard();
    text += value;
    const blocks = text.split("\n\n");
    text = blocks.pop();
    blocks.forEach(onBlock);
  }
};

const listenAlways = async () => {
  const { signal } = closing;
  while (!signal.aborted) {
    await listen().catch(() => {});
    open = false;
    root.dataset.live = "off";
    if (signal.aborted) return;
    await new Promise((again) => setTimeout(again, LISTEN_AGAIN_MS));
    // the page renews a session that has run out; then the stream opens again
    wantsAll = true;
    await fetchAgain();
  }
};

if (topics) {
  listenAlways();
  // A page in the browser's memory holds no connection open.
  addEventListener("pagehide", () => closing.abort());
  addEventListener("pageshow", (event) => {
    if (!event.persisted) return;
    closing = new AbortController();
    schedule(true);
    listenAlways();
  });
  setInterval(() => {
    const silentAfter = STALE_AFTER_MS + (open ? BEAT_ON_ITS_WAY_MS : 0);
    if (Date.now() - heardAt <= silentAfter || !staleBand) return;
    staleBand.hidden = false;
    root.dataset.live = "off";
  }, 1000);
  setInterval(() => {
    if (!document.hidden) schedule(true);
  }, AGAIN_AFTER_MS);
  document.addEventListener("show-again", () => schedule(true));
}

addEventListener("offline", () => {
  if (!offlineBand) return;
  offlineBand.querySelector("[data-offline-time]").textContent = new Date().toTimeString().slice(0, 5);
  offlineBand.hidden = false;
});
addEventListener("online", () => schedule(true));

// The list of what is wrong takes the focus, so that a reader starts there.
document.querySelector(".problem")?.focus();
