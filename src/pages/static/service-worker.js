// Keeps counter and bench going when the network is gone: the last pages are shown again,
// taps are kept in the outbox with the desk's time of the tap and sent in their order on return.
importScripts("/static/outbox.js");

const PAGES = "pages";
const FILES = "files";
// Screens that are kept; everything else needs the network.
const KEPT = /^\/(hand-in|hand-out|next-up|plan\/[^/]+|jobs\/[^/]+\/slip|check\/[^/]+|wall|snags)$/;
// Forms that may wait. Taking a job, moving it to another station or signing in can't: the desk decides those.
const MAY_WAIT = /^(\/hand-in|\/hand-out|\/jobs\/[^/]+\/do\/(start|phase|finish|undo_phase|pause|resume|snapped|problem|pass|fail))$/;
// The counter's own screens: a card is one player's, so another's must never stand in for it.
const COUNTER = /^\/(hand-in|hand-out)$/;
const NEXT_UP = /^\/next-up$/;
// A second touch of one button within this time is no second racket.
const SAME_TOUCH_MS = 5_000;
// A device keeps so many reserved codes, and asks for more when half of them are gone.
const CODES_KEPT = 20;
const PAGES_KEPT = 60;
const PATIENCE_MS = 6_000;
// A photo takes longer to send than words do.
const PHOTO_PATIENCE_MS = 60_000;
// What cannot wait here is waited for: giving up early would lose the form.
const LONG_PATIENCE_MS = 30_000;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(FILES).then((cache) => cache.addAll([...WEFTDESK_FILES, "/offline"])));
  self.skipWaiting();
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const tell = async (message) => {
  for (const client of await self.clients.matchAll({ includeUncontrolled: true })) client.postMessage(message);
};

/** The desk clock's time now, by what the desk said last and this device's running since. */
const deskTime = async () => {
  const clock = await outbox.fact("clock");
  const now = clock ? clock.desk_ms + (Date.now() - clock.here_ms) * clock.rate : Date.now();
  return new Date(now).toISOString();
};

const learnClock = async (answer) => {
  const desk_ms = Date.parse(answer.headers.get("Weftdesk-Desk-Time") ?? "");
  const rate = Number(answer.headers.get("Weftdesk-Desk-Rate") ?? "1");
  if (Number.isFinite(desk_ms)) await outbox.know("clock", { desk_ms, rate, here_ms: Date.now() });
};

const reached = async () => {
  if (!(await outbox.fact("gone_since"))) return;
  await outbox.know("gone_since", "");
  await tell({ outbox: "changed" });
};

const gone = async () => {
  if (await outbox.fact("gone_since")) return;
  await outbox.know("gone_since", await deskTime());
  await tell({ outbox: "changed" });
};

const fetched = async (request, { patience = PATIENCE_MS, ...options } = {}) => {
  try {
    const answer = await fetch(request, { ...options, signal: AbortSignal.timeout(patience) });
    await reached();
    return answer;
  } catch (fault) {
    // a desk that is slow with one form is not gone
    if (!(fault.name === "TimeoutError" && patience > PATIENCE_MS && navigator.onLine)) await gone();
    throw fault;
  }
};

const keep = async (url, answer) => {
  if (!answer.ok || !KEPT.test(url.pathname)) return;
  const atWork = NEXT_UP.test(url.pathname) && KEPT.test(new URL(answer.url).pathname);
  if (answer.redirected && !atWork) return;
  await learnClock(answer);
  const cache = await caches.open(PAGES);
  // a station with a racket on its machine shows its plan: what Next Up showed before holds no more
  const kept = () => (answer.redirected ? Response.redirect(answer.url) : answer.clone());
  await cache.put(url.href, kept());
  if (NEXT_UP.test(url.pathname)) await cache.put(withoutTold(url), kept());
  for (const old of (await cache.keys()).slice(0, -PAGES_KEPT)) await cache.delete(old);
};

// Cards of the counter are fetched ahead by the dozen, so not at every touch.
const FRESH_MS = 120_000;
const isFresh = async (address) => {
  const kept = await (await caches.open(PAGES)).match(new URL(address, location.origin).href);
  return kept !== undefined && Date.now() - Date.parse(kept.headers.get("Date") ?? "") < FRESH_MS;
};

/** The same screen without what an address only tells it: of Next Up, its station's. */
const withoutTold = (url) => {
  const station = url.searchParams.get("station");
  return url.origin + url.pathname + (station ? `?${new URLSearchParams({ station })}` : "");
};

const page = async (request) => {
  const url = new URL(request.url);
  try {
    const answer = await fetched(request);
    await keep(url, answer);
    return answer;
  } catch {
    const cache = await caches.open(PAGES);
    const whole = await cache.match(url.href);
    const other = COUNTER.test(url.pathname) ? cache.match(url.origin + url.pathname) : cache.match(url.href, { ignoreSearch: true });
    return whole ?? (await cache.match(withoutTold(url))) ?? (await other) ?? (await caches.match("/offline"));
  }
};

/** Screens that only the desk itself can show say so without it, and where to go on. */
const notKept = async (request) => {
  try {
    const answer = await fetch(request);
    await reached();
    return answer;
  } catch (fault) {
    // whoever stops waiting for a page has not lost the network
    if (fault.name === "AbortError") throw fault;
    await gone();
    const words = await caches.match("/offline");
    if (words) return words;
    throw fault;
  }
};

const file = async (request) => {
  try {
    const answer = await fetch(request);
    if (answer.ok) await (await caches.open(FILES)).put(request, answer.clone());
    return answer;
  } catch (fault) {
    const kept = await caches.match(request);
    if (kept) return kept;
    throw fault;
  }
};

/** Where the person goes on after a tap that waits. */
const afterwards = (address, referrer) => {
  if (COUNTER.test(address)) return `${address}?waits=yes`;
  const [, job, action] = /^\/jobs\/([^/]+)\/do\/(\w+)$/.exec(address) ?? [];
  if (action === "finish") return `/check/${job}`;
  if (action === "pass" || action === "fail") return "/next-up";
  if (job) return `/plan/${job}`;
  return referrer ? new URL(referrer).pathname : "/";
};

/** Where a start goes back to that the desk would refuse for sure: told while the racket is still in the hand. */
const wrongStart = (address, fields, referrer) => {
  if (!/\/do\/start$/.test(address)) return "";
  const value = (name) => (fields.find(([field]) => field === name)?.[1] ?? "").trim();
  const code = (typed) => typed.toUpperCase().replaceAll(/[\s-]/g, "").replaceAll("O", "0");
  const scans = ["tag_code", "mains_scan", "crosses_scan", "strings_by_name"].map((name) => [name, value(name)]);
  const asked = fields.some(([name]) => name === "mains_scan") && value("strings_by_name") !== "yes";
  const wrong = value("job_code") && code(value("tag_code")) !== code(value("job_code")) ? "tag" : asked && !(value("mains_scan") && value("crosses_scan")) ? "strings" : "";
  // back to the very station's page: another may be kept too
  const station = referrer ? new URL(referrer).searchParams.get("station") : null;
  return wrong && `/next-up?${new URLSearchParams([...(station ? [["station", station]] : []), ["wrong", wrong], ...scans])}`;
};

const form = async (request) => {
  const address = new URL(request.url).pathname;
  const sent = [...(await request.clone().formData()).entries()];
  // fields where no file was chosen come along as empty files
  const photo = sent.some(([name, value]) => (value instanceof File ? value.size > 0 : /_photo_again$/.test(name)));
  // what waits goes first, or the desk would see the taps in another order
  // words wait, photos do not: they would fill the device, and are taken as well later
  const fields = sent.filter(([name, value]) => typeof value === "string" && !/_photo_again$/.test(name));
  const now = COUNTER.test(address) && needsNetwork(fields) && navigator.onLine;
  if ((await outbox.waiting()).length === 0 || (await flush())) {
    try {
      return await fetched(request, { patience: photo ? PHOTO_PATIENCE_MS : now ? LONG_PATIENCE_MS : PATIENCE_MS });
    } catch (fault) {
      // the same key makes it harmless if the desk has seen it after all; what can't wait may be there or not
      if (now && fault.name === "TimeoutError") return Response.redirect(noAnswer(address, fields), 303);
    }
  }
  if (COUNTER.test(address)) return counterForm(address, fields, photo);
  const wrong = wrongStart(address, fields, request.referrer);
  if (wrong) return Response.redirect(wrong, 303);
  const said = fields.find(([name]) => name === "said")?.[1] ?? "";
  const once = fields.find(([name]) => name === "once");
  const waiting = await outbox.waiting();
  const same = (entry) => entry.fields.some(([name, value]) => name === "once" && value === once?.[1]);
  if (once && waiting.some(same)) {
    // a second tap of one button; but after an undo the same button of the same kept page is meant anew
    const last = waiting.findLast((entry) => outbox.jobOf(entry.address) === outbox.jobOf(address));
    if (last && same(last)) return Response.redirect(afterwards(address, request.referrer), 303);
    once[1] = crypto.randomUUID();
  }
  await outbox.put({ address, fields, said, at: await deskTime() });
  await tell({ outbox: "changed" });
  return Response.redirect(afterwards(address, request.referrer), 303);
};

const filled = (fields, name) => fields.find(([field]) => field === name)?.[1] ?? "";

/** Another way to fill the form in is the desk's to lay out, and a second person's PIN is not kept on a device. */
const needsNetwork = (fields) => {
  const value = (name) => filled(fields, name);
  return Boolean(value("show") || value("delegate_name") || /^(name_delegate$|withdraw:)/.test(value("how")) || value("override") || value("proof") === "override");
};

/** The card that was sent, as the desk has it by then: it shows whether the form arrived. */
const noAnswer = (address, fields) => {
  const asked = new URLSearchParams({ no_answer: "yes" });
  if (filled(fields, "player_id")) asked.set("player", filled(fields, "player_id"));
  for (const [name, value] of fields) {
    if (name === "job_id") asked.append("hand", value);
    if (["proof", "collector", "reason"].includes(name) && value) asked.append(name, value);
  }
  return `${address}?${asked}`;
};

/** A racket over the counter: a new one gets a code that is kept for this device. */
const counterForm = async (address, fields, photo) => {
  const value = (name) => filled(fields, name);
  const back = (why) => Response.redirect(`${address}?${why}=yes`, 303);
  if (needsNetwork(fields)) return back("needs_network");
  const page_once = value("once");
  const now = Date.now();
  const touched = (entry) => entry.page_once === page_once && now - entry.here_ms < SAME_TOUCH_MS;
  if ((await outbox.waiting()).some(touched)) return back("waits");
  const codes = [];
  if (address === "/hand-in") {
    const lines = Number(value("lines")) || 1;
    const bare = Array.from({ length: lines }, (_, at) => `line_${at + 1}_code`).filter((name) => !value(name).trim());
    const taken = bare.length ? await outbox.takeCodes(bare.length) : [];
    if (!taken) return back("no_codes");
    fields = fields.filter(([name]) => !bare.includes(name));
    bare.forEach((name, at) => fields.push([name, taken[at]]));
    codes.push(...fields.filter(([name]) => /^line_\d+_code$/.test(name)).map(([, code]) => code));
  }
  // a kept page may be used for the next racket too, so its own key can't tell the two apart
  fields = fields.map(([name, old]) => [name, name === "once" ? crypto.randomUUID() : old]);
  await outbox.put({ address, fields, said: value("said"), about: value("about"), codes, page_once, here_ms: now, at: await deskTime() });
  await tell({ outbox: "changed" });
  return back(photo ? "photo_later" : "waits");
};

/** Sees to it that this device has codes for rackets that come while the network is gone. */
const keepCodes = async () => {
  const kept = (await outbox.fact("codes")) ?? [];
  if (kept.length >= CODES_KEPT / 2) return;
  const answer = await fetched("/v1/codes/reserve", {
    method: "POST",
    headers: { "Content-Type": "application/json", "Idempotency-Key": `"${crypto.randomUUID()}"` },
    body: JSON.stringify({ count: CODES_KEPT }),
  });
  if (answer.ok) await outbox.addCodes((await answer.json()).codes);
};

let flushing;
/** Sends what waits, oldest first; answers whether nothing waits any more. */
const flush = () => (flushing ??= sendAll().finally(() => (flushing = undefined)));

const sendAll = async () => {
  let left = 0;
  const stuck = new Set((await outbox.disputed()).map(outbox.chainOf));
  for (const entry of await outbox.waiting()) {
    if (stuck.has(outbox.chainOf(entry))) {
      await outbox.dispute(entry, { held_back: true });
      left += 1;
      continue;
    }
    let answer;
    try {
      answer = await fetched(entry.address, {
        method: "POST",
        body: new URLSearchParams(entry.fields),
        headers: { "Weftdesk-Device-Time": entry.at },
      });
    } catch {
      break;
    }
    const signedOut = new URL(answer.url).pathname === "/sign-in";
    await outbox.know("signed_out", signedOut ? "yes" : "");
    if (signedOut || answer.status >= 500 || answer.status === 429) break;
    left += 1;
    if (answer.ok) {
      await outbox.sent(entry.n);
    } else {
      stuck.add(outbox.chainOf(entry));
      await outbox.dispute(entry, { status: answer.status, html: await answer.text() });
    }
  }
  await tell({ outbox: "changed", left });
  return (await outbox.waiting()).length === 0;
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.method === "POST" && request.mode === "navigate") {
    if (MAY_WAIT.test(url.pathname)) event.respondWith(form(request));
    if (url.pathname === "/sign-out") event.waitUntil(outbox.forgetPages());
  } else if (request.method === "GET" && request.mode === "navigate" && KEPT.test(url.pathname)) {
    event.respondWith(page(request));
  } else if (request.method === "GET" && request.mode === "navigate") {
    event.respondWith(notKept(request));
  } else if (request.method === "GET" && url.pathname.startsWith("/static/")) {
    event.respondWith(file(request));
  }
});

self.addEventListener("message", (event) => {
  const { probe, codes, keep: addresses } = event.data ?? {};
  if (codes) event.waitUntil(keepCodes().catch(() => {}));
  if (probe) {
    const ask = async () => {
      await fetched("/livez", { cache: "no-store" });
      await flush();
    };
    event.waitUntil(ask().catch(() => {}));
  }
  if (addresses) {
    const store = async (address) => {
      if (COUNTER.test(new URL(address, location.origin).pathname) && (await isFresh(address))) return;
      await keep(new URL(address, location.origin), await fetched(address));
    };
    event.waitUntil(Promise.all(addresses.map((address) => store(address).catch(() => {}))));
  }
});
