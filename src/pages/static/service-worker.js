// Keeps counter and bench going when the network is gone: the last pages are shown again,
// taps are kept in the outbox with the desk's time of the tap and sent in their order on return.
importScripts("/static/outbox.js");

const PAGES = "pages";
const FILES = "files";
// Screens that are kept; everything else needs the network.
const KEPT = /^\/(hand-in|hand-out|next-up|plan\/[^/]+|check\/[^/]+|wall|snags)$/;
// Forms that may wait. Taking a job, moving it to another station or signing in can't: the desk decides those.
const MAY_WAIT = /^\/jobs\/[^/]+\/do\/(start|phase|finish|undo_phase|pause|resume|snapped|problem|pass|fail)$/;
const PAGES_KEPT = 60;
const PATIENCE_MS = 6_000;

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

const fetched = async (request, options = {}) => {
  try {
    const answer = await fetch(request, { ...options, signal: AbortSignal.timeout(PATIENCE_MS) });
    await reached();
    return answer;
  } catch (fault) {
    await gone();
    throw fault;
  }
};

const keep = async (url, answer) => {
  if (!answer.ok || answer.redirected || !KEPT.test(url.pathname)) return;
  await learnClock(answer);
  const copy = answer.clone();
  const cache = await caches.open(PAGES);
  await cache.put(url.href, copy);
  for (const old of (await cache.keys()).slice(0, -PAGES_KEPT)) await cache.delete(old);
};

const page = async (request) => {
  const url = new URL(request.url);
  try {
    const answer = await fetched(request);
    await keep(url, answer);
    return answer;
  } catch {
    const cache = await caches.open(PAGES);
    return (await cache.match(url.href)) ?? (await cache.match(url.href, { ignoreSearch: true })) ?? (await caches.match("/offline"));
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
  const [, job, action] = /^\/jobs\/([^/]+)\/do\/(\w+)$/.exec(address) ?? [];
  if (action === "finish") return `/check/${job}`;
  if (action === "pass" || action === "fail") return "/next-up";
  if (job) return `/plan/${job}`;
  return referrer ? new URL(referrer).pathname : "/";
};

const form = async (request) => {
  const address = new URL(request.url).pathname;
  const copy = request.clone();
  // what waits goes first, or the desk would see the taps in another order
  if ((await outbox.waiting()).length === 0 || (await flush())) {
    try {
      return await fetched(request);
    } catch {
      // the same key makes it harmless if the desk has seen it after all
    }
  }
  const fields = [...(await copy.formData()).entries()].map(([name, value]) => [name, String(value)]);
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

let flushing;
/** Sends what waits, oldest first; answers whether nothing waits any more. */
const flush = () => (flushing ??= sendAll().finally(() => (flushing = undefined)));

const sendAll = async () => {
  let left = 0;
  const stuck = new Set((await outbox.disputed()).map((entry) => outbox.jobOf(entry.address)));
  for (const entry of await outbox.waiting()) {
    if (stuck.has(outbox.jobOf(entry.address))) {
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
      stuck.add(outbox.jobOf(entry.address));
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
  } else if (request.method === "GET" && url.pathname.startsWith("/static/")) {
    event.respondWith(file(request));
  }
});

self.addEventListener("message", (event) => {
  const { probe, keep: addresses } = event.data ?? {};
  if (probe) {
    const ask = async () => {
      await fetched("/livez", { cache: "no-store" });
      await flush();
    };
    event.waitUntil(ask().catch(() => {}));
  }
  if (addresses) {
    const store = async (address) => keep(new URL(address, location.origin), await fetched(address));
    event.waitUntil(Promise.all(addresses.map((address) => store(address).catch(() => {}))));
  }
});
