// Shows what waits to be sent, paints taps that wait as done, and puts refused ones before a person.
// The service worker does the keeping and sending; without it every page works as before, online.
const ASK_AGAIN_MS = 5_000;

// The worker itself, not this page's controller: a page that was loading while the worker
// began is not controlled, though its forms and links go through the worker all the same.
let active = null;
const worker = () => active;
// Times are the venue's, wherever the device was set up.
const zone = document.body.dataset.zone || undefined;
const clockOf = (iso) => new Date(iso).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: zone });
const make = (tag, words = "", className = "") => {
  const node = document.createElement(tag);
  node.textContent = words;
  if (className) node.className = className;
  return node;
};

// What the tap said, so that a person can be shown it later.
let tapped = null;
addEventListener("submit", (event) => (tapped = event.submitter), true);
addEventListener("formdata", (event) => {
  if (tapped?.form === event.target) event.formData.append("said", tapped.textContent.trim().replace(/\s+/g, " "));
});

const actionOf = (entry) => entry.address.split("/").at(-1);
const phaseOf = (entry) => entry.fields.find(([name]) => name === "phase")?.[1] ?? "";
const described = (entry) => `${entry.said || actionOf(entry).replace("_", " ")}, ${clockOf(entry.at)}`;

const paintBand = async (waiting) => {
  const band = document.querySelector("[data-waiting-band]");
  if (!band) return;
  const since = await outbox.fact("gone_since");
  const signedOut = await outbox.fact("signed_out");
  const many = `${waiting.length} ${waiting.length === 1 ? "change" : "changes"} waiting`;
  const words = since ? `Working offline since ${clockOf(since)}` : signedOut && waiting.length ? "Sign in again to send what waits" : "Sending what waits";
  band.hidden = !since && waiting.length === 0;
  band.replaceChildren(make("strong", words), make("span", waiting.length ? `${many}. They keep their times and are sent by themselves.` : "You see the last state."));
  if (!since && signedOut && waiting.length) {
    const link = make("a", "Sign in");
    link.href = `/sign-in?next=${encodeURIComponent(location.pathname)}`;
    band.append(link);
  }
};

const paintPlan = (mine) => {
  const box = document.querySelector("#phases");
  const ahead = [...(document.querySelector("#phases-ahead")?.content.children ?? [])];
  if (!box || mine.length === 0) return;
  const marks = box.querySelector(".phase-marks");
  marks.querySelectorAll(".waits").forEach((mark) => mark.remove());
  for (const entry of mine) marks.append(make("span", `✓ ${described(entry)} (waits)`, "waits"));
  const place = (entry) => ahead.findIndex((form) => form.getAttribute("action") === entry.address && (form.querySelector("[name=phase]")?.value ?? "") === phaseOf(entry));
  const reached = Math.max(...mine.map(place));
  const next = ahead[reached + 1];
  // a racket started without network: the page was made when it was on no machine yet
  const primary = box.querySelector("form:has(> .button.primary)") ?? box.querySelector(".not-here");
  const finished = mine.some((entry) => actionOf(entry) === "finish");
  if (finished) primary?.replaceWith(make("p", "Strung. It is sent when the network is back.", "caution"));
  else if (next && primary && (reached >= 0 || mine.some((entry) => actionOf(entry) === "start"))) primary.replaceWith(document.importNode(next, true));
};

const paintNextUp = (waiting) => {
  const card = document.querySelector("[data-job]");
  if (!card) return;
  const mine = waiting.filter((entry) => outbox.jobOf(entry.address) === card.dataset.job);
  if (mine.length === 0) return;
  const strung = mine.some((entry) => ["finish", "pass"].includes(actionOf(entry)));
  const start = card.querySelector("form.start, form");
  const note = make("p", strung ? "Strung here without network; it is sent on return. The next job comes from the desk then." : "Started here without network.", "caution");
  const link = make("a", strung ? "Check" : "Go on with the plan", "button primary phase");
  link.href = `/${strung ? "check" : "plan"}/${card.dataset.job}`;
  start?.replaceWith(note, link);
};

// What the desk must decide at once is off without network, and says so.
const paintNeedsNetwork = (since) => {
  for (const form of document.querySelectorAll("form[data-needs-network]")) {
    for (const button of form.querySelectorAll("button")) button.disabled = Boolean(since);
    const told = form.querySelector(":scope > .off-now");
    if (!since) told?.remove();
    else if (!told) form.append(make("p", "Off without network: the desk must know at once who strings what.", "caution off-now"));
  }
};

const answerOf = (entry) => {
  if (entry.answer.held_back) return "Not sent: it hangs on the one above.";
  const fresh = new DOMParser().parseFromString(entry.answer.html, "text/html");
  const words = fresh.querySelector(".problem ul") ?? fresh.querySelector("main .fault p:not(.door-name)") ?? fresh.querySelector("h1");
  return words?.textContent.trim().replace(/\s+/g, " ") ?? `Refused (${entry.answer.status}).`;
};

const paintDisputed = async () => {
  const disputed = await outbox.disputed();
  document.querySelector("#disputed")?.remove();
  if (disputed.length === 0) return;
  const box = make("section", "", "problem");
  box.id = "disputed";
  box.setAttribute("role", "alert");
  box.append(make("h2", "Done here without network, and the desk has it otherwise"));
  for (const [job, entries] of Map.groupBy(disputed, (entry) => outbox.jobOf(entry.address))) {
    const list = make("dl", "", "facts");
    for (const entry of entries) list.append(make("dt", `Here: ${described(entry)}`), make("dd", `The desk: ${answerOf(entry)}`));
    const row = make("p", "", "row");
    const act = (words, work) => {
      const button = make("button", words, "button");
      button.type = "button";
      button.addEventListener("click", async () => {
        await work(entries);
        await paint();
        ask();
      });
      row.append(button);
    };
    act("Leave it as the desk has it", outbox.drop);
    act("Send mine again", outbox.again);
    if (job) {
      const link = make("a", "See the racket now", "button");
      link.href = `/plan/${job}`;
      row.append(link);
    }
    box.append(list, row);
  }
  document.querySelector("#main").before(box);
};

const paintNow = async () => {
  const waiting = await outbox.waiting();
  const job = location.pathname.split("/")[2] ?? "";
  await paintBand(waiting);
  paintNeedsNetwork(await outbox.fact("gone_since"));
  paintPlan(waiting.filter((entry) => job && outbox.jobOf(entry.address) === job));
  paintNextUp(waiting);
  await paintDisputed();
};

// One after the other: two at once would paint every mark twice.
let painting = Promise.resolve();
const paint = () => (painting = painting.then(paintNow));

const ask = () => worker()?.postMessage({ probe: true });

const keepAhead = () => {
  const addresses = [...document.querySelectorAll("[data-keep-pages]")].flatMap((part) => part.dataset.keepPages.split(" ").filter(Boolean));
  if (addresses.length) worker()?.postMessage({ keep: addresses });
};

if (navigator.serviceWorker) {
  await navigator.serviceWorker.register("/service-worker.js", { scope: "/" });
  active = (await navigator.serviceWorker.ready).active;
  document.documentElement.dataset.keeps = "taps";
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    // what was painted as waiting is now the desk's to show
    if (data?.left) location.replace(location.href);
    else if (data?.outbox) paint();
  });
  // this very page was fetched before the worker was there
  worker()?.postMessage({ keep: [location.pathname + location.search] });
  keepAhead();
  await paint();
  addEventListener("online", ask);
  setInterval(async () => {
    if ((await outbox.fact("gone_since")) || (await outbox.waiting()).length) ask();
  }, ASK_AGAIN_MS);
  ask();
}
