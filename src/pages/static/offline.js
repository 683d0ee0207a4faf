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
  if (tapped?.form !== event.target) return;
  event.formData.append("said", (tapped.querySelector(":scope > span:not(.sub)") ?? tapped).textContent.trim().replace(/\s+/g, " "));
  const card = event.target.closest("[data-card]");
  if (card) event.formData.append("about", card.dataset.card);
});

const actionOf = (entry) => entry.address.split("/").at(-1);
const phaseOf = (entry) => entry.fields.find(([name]) => name === "phase")?.[1] ?? "";
const described = (entry) => [entry.said || actionOf(entry).replace("_", " "), entry.about, (entry.codes ?? []).join(" "), clockOf(entry.at)].filter(Boolean).join(", ");

const paintBand = async (waiting) => {
  const band = document.querySelector("[data-waiting-band]");
  if (!band) return;
  const since = await outbox.fact("gone_since");
  const signedOut = await outbox.fact("signed_out");
  const many = `${waiting.length} ${waiting.length === 1 ? "change" : "changes"} waiting`;
  const words = since ? `Working offline since ${clockOf(since)}` : signedOut && waiting.length ? "Sign in again to send what waits" : "Sending what waits";
  band.hidden = !since && waiting.length === 0;
  band.replaceChildren(make("strong", words), make("span", waiting.length ? `${many}: sent by ${waiting.length === 1 ? "itself, with its time" : "themselves, with their times"}.` : "You see the last state."));
  if (!since && signedOut && waiting.length) {
    const link = make("a", "Sign in");
    link.href = `/sign-in?next=${encodeURIComponent(location.pathname)}`;
    band.append(link);
  }
};

/** What stands of the changes that wait: a tap that was taken back here counts no more. */
const standing = (mine) => {
  const stands = [];
  for (const entry of mine) {
    const tap = stands.findLastIndex((one) => ["phase", "finish"].includes(actionOf(one)));
    if (actionOf(entry) === "undo_phase" && tap >= 0) stands.splice(tap, 1);
    else stands.push(entry);
  }
  return stands;
};

const phaseIn = (form) => form.querySelector("[name=phase]")?.value ?? "";

/** Where the work stands by them: the next main key, paused or not, strung or not. */
const reached = (box, ahead, stands) => {
  const at = { next: Number(box.dataset.next), paused: box.hasAttribute("data-paused"), begun: !box.querySelector(".not-here"), strung: false };
  for (const entry of stands) {
    const action = actionOf(entry);
    const place = ahead.findIndex((form) => form.getAttribute("action") === entry.address && phaseIn(form) === phaseOf(entry));
    if (action === "start") at.begun = true;
    if (action === "phase") at.next = Math.max(at.next, place + 1);
    if (action === "snapped") at.next = 0;
    if (action === "pause") at.paused = true;
    if (["resume", "snapped"].includes(action)) at.paused = false;
    if (action === "finish") at.strung = true;
  }
  return at;
};

/** What is said of a racket that was begun here and waits to be sent, and the way on. */
const wayOn = (stands, job) => {
  const done = stands.map(actionOf);
  const checked = done.includes("pass") ? "checked and passed" : done.includes("fail") ? "and it did not pass" : "";
  if (checked) return [make("p", `Strung here without network, ${checked}; it is sent on return. The next job comes from the desk then.`, "caution")];
  const strung = done.includes("finish");
  const link = make("a", strung ? "Go on with the check" : "Go on with the plan", "button primary phase");
  link.href = `/${strung ? "check" : "plan"}/${job}`;
  return [make("p", strung ? "Strung here without network; it is sent on return. The check waits." : "Started here without network.", "caution"), link];
};

const paintPlan = (mine) => {
  const box = document.querySelector("#phases");
  const ahead = [...(document.querySelector("#phases-ahead")?.content.children ?? [])];
  if (!box || mine.length === 0) return;
  const stands = standing(mine);
  const marks = box.querySelector(".phase-marks");
  marks.querySelectorAll(".waits").forEach((mark) => mark.remove());
  const left = marks.querySelector("strong");
  for (const entry of stands) marks.insertBefore(make("span", `✓ ${described(entry)} (waits)`, "waits"), left);
  const at = reached(box, ahead, stands);
  // a racket started without network: the page was made when it was on no machine yet
  const primary = box.querySelector(":scope > form:has(> .button.primary)") ?? box.querySelector(".not-here");
  const stops = document.querySelector("#stops-ahead")?.content;
  if (!primary || !at.begun) return;
  if (at.strung) {
    primary.replaceWith(...wayOn(stands, location.pathname.split("/")[2]));
    box.querySelector(".side-acts")?.remove();
    left?.remove();
    return;
  }
  const next = at.paused ? stops?.querySelector("[data-resume]") : ahead[at.next];
  const same = next?.getAttribute("action") === primary.getAttribute("action") && phaseIn(next) === phaseIn(primary);
  if (next && !same) primary.replaceWith(document.importNode(next, true));
  if (!box.querySelector(".side-acts") && stops) box.append(document.importNode(stops.querySelector(".side-acts"), true));
  if (at.paused) box.querySelector("#pause")?.replaceWith(make("span", "Paused", "slot slot-pause"));
};

/** At the check of a racket whose "Strung" still waits, that can be taken back too. */
const paintCheck = (mine) => {
  const form = document.querySelector("[data-not-strung]");
  if (form && mine.length) form.hidden = !standing(mine).some((entry) => actionOf(entry) === "finish");
};

const paintNextUp = (waiting) => {
  const card = document.querySelector("[data-job]");
  if (!card) return;
  const mine = waiting.filter((entry) => outbox.jobOf(entry.address) === card.dataset.job);
  if (mine.length === 0) return;
  card.querySelector("form.start")?.replaceWith(...wayOn(standing(mine), card.dataset.job));
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
  for (const [, entries] of Map.groupBy(disputed, outbox.chainOf)) {
    const job = outbox.jobOf(entries[0].address);
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
    const player = entries[0].fields.find(([name]) => name === "player_id")?.[1];
    if (!job && player) {
      const link = make("a", "See the player's rackets now", "button");
      link.href = `${entries[0].address}?player=${player}`;
      row.append(link);
    }
    if (job) {
      const link = make("a", "See the racket now", "button");
      link.href = `/plan/${job}`;
      row.append(link);
    }
    box.append(list, row);
  }
  document.querySelector("#main").before(box);
};

const COUNTER = ["/hand-in", "/hand-out"];
const WHY = {
  photo_later: "The racket waits to be sent, its photo was not kept. Take it again from the racket's story when the network is back.",
  needs_network: "This needs the network: another wish, one racket more, a rule to insist on, somebody else who collects, or a second person's PIN. This device kept nothing of it.",
  no_answer: "The desk has not answered yet: it may have been kept. Look at the player's rackets and at what just went out before you send it again.",
  no_codes: "This device has no reserved code left. Take a code of the paper kit, write it under \"Tag written by hand\", and send again. Nothing was kept.",
};

/** Photos do not wait on a device: where one is chosen says so while the network is gone. */
const paintPhotosOff = (gone) => {
  for (const box of document.querySelectorAll("[data-photos]")) {
    for (const input of box.querySelectorAll("input[type=file]")) input.disabled = gone;
    const told = box.querySelector(":scope > .off-now");
    if (!gone) told?.remove();
    else if (!told) box.prepend(make("p", "Off without network: take the photo later, from the racket's story. The rest of the form waits.", "caution off-now"));
  }
};

/** The counter without network: what was done here, and the cards that are kept on this device. */
const paintCounter = async (waiting) => {
  document.querySelector("#counter-waits")?.remove();
  const path = location.pathname;
  if (!COUNTER.includes(path)) return;
  const mine = waiting.filter((entry) => entry.address === path);
  const gone = await outbox.fact("gone_since");
  const asked = new URLSearchParams(location.search);
  paintPhotosOff(Boolean(gone));
  for (const button of document.querySelectorAll("[name=show], input[name=proof][value=override]")) button.disabled = Boolean(gone);
  for (const entry of mine) {
    for (const [, job] of entry.fields.filter(([name]) => name === "job_id")) {
      const box = document.querySelector(`input[name=job_id][value="${CSS.escape(job)}"]`);
      if (box) Object.assign(box, { checked: false, disabled: true });
      box?.nextElementSibling?.replaceChildren("Given out here, waits");
    }
  }
  const why = Object.keys(WHY).find((name) => asked.has(name));
  if (mine.length === 0 && !gone && !why) return;
  // what was not done is no success
  const box = make("section", "", `panel taken${why && why !== "photo_later" ? " not-done" : ""}`);
  box.id = "counter-waits";
  box.setAttribute("aria-labelledby", "counter-waits-title");
  const alone = gone ? "Working without network" : why === "no_answer" ? "No answer yet" : "This was not sent";
  const title = make("h2", mine.length ? "Done here without network, waits to be sent" : alone);
  title.id = "counter-waits-title";
  box.append(title);
  if (why) box.append(make("p", WHY[why], "caution"));
  const list = make("ul", "", "bare taken-list");
  for (const entry of mine) {
    const item = make("li");
    const what = make("span");
    what.append(make("strong", entry.about || "New player"), make("br"), make("span", `${entry.said}, ${clockOf(entry.at)}. Waits.`, "quiet"));
    item.append(make("span", (entry.codes ?? []).join(" ") || "✓", "code tag-code"), what, make("span", entry.codes?.length ? "Write this code on the tag." : ""));
    list.append(item);
  }
  if (mine.length) box.append(list);
  const card = document.querySelector("#main [data-card]");
  if (gone && !card) await listCards(box, path, asked.get("q") ?? "");
  if (card && mine.length === 0 && !why) return;
  document.querySelector("#main .desk-head").after(box);
};

/** Cards kept on this device whose player, label or tag reads so. */
const listCards = async (box, path, query) => {
  const wanted = query.trim().toLowerCase();
  const cache = await caches.open("pages");
  const found = new Map();
  for (const request of await cache.keys()) {
    const url = new URL(request.url);
    if (url.pathname !== path || !url.search) continue;
    const page = new DOMParser().parseFromString(await (await cache.match(request)).text(), "text/html");
    const { card, codes } = page.querySelector("[data-card]")?.dataset ?? {};
    if (card && `${card} ${codes}`.toLowerCase().includes(wanted)) found.set(card + (url.searchParams.get("player") ?? ""), { card, href: url.pathname + url.search });
  }
  box.append(make("h3", wanted ? `Kept on this device for “${query}”` : "Players whose cards are kept on this device"));
  if (found.size === 0) box.append(make("p", "None. Write it on the paper kit.", "quiet"));
  const list = make("ul", "", "bare hits");
  for (const { card, href } of found.values()) {
    const link = make("a");
    link.href = href;
    link.append(make("span", "player", "quiet"), make("strong", card), make("span", "as last seen"));
    const item = make("li");
    item.append(link);
    list.append(item);
  }
  if (found.size) box.append(list);
};

const paintNow = async () => {
  const waiting = await outbox.waiting();
  const job = location.pathname.split("/")[2] ?? "";
  await paintBand(waiting);
  paintNeedsNetwork(await outbox.fact("gone_since"));
  const mine = waiting.filter((entry) => job && outbox.jobOf(entry.address) === job);
  paintPlan(mine);
  paintCheck(mine);
  paintNextUp(waiting);
  await paintCounter(waiting);
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
  if (COUNTER.includes(location.pathname)) worker()?.postMessage({ codes: "keep" });
  await paint();
  addEventListener("online", ask);
  setInterval(async () => {
    if ((await outbox.fact("gone_since")) || (await outbox.waiting()).length) ask();
  }, ASK_AGAIN_MS);
  ask();
}
