// What was done here without network, kept in this browser until it is sent.
// Shared by the pages and the service worker, which is why it is no module.
(() => {
  const stores = ["waiting", "disputed", "facts"];
  let base;

  const opened = () =>
    (base ??= new Promise((done, failed) => {
      const request = indexedDB.open("weftdesk", 1);
      request.onupgradeneeded = () => {
        request.result.createObjectStore("waiting", { keyPath: "n", autoIncrement: true });
        request.result.createObjectStore("disputed", { keyPath: "n" });
        request.result.createObjectStore("facts");
      };
      request.onsuccess = () => done(request.result);
      request.onerror = () => failed(request.error);
    }));

  const within = async (names, mode, work) => {
    const transaction = (await opened()).transaction(names, mode);
    const answer = work(...[names].flat().map((name) => transaction.objectStore(name)));
    return new Promise((done, failed) => {
      transaction.oncomplete = () => done(answer?.result);
      transaction.onerror = transaction.onabort = () => failed(transaction.error);
    });
  };

  /** The racket's job a form belongs to; changes of one job depend on one another. */
  const jobOf = (address) => /^\/jobs\/([^/]+)\/do\//.exec(address)?.[1] ?? "";

  /** What must wait when this entry is refused: the changes of one job; a hand-in or hand-out hangs on none. */
  const chainOf = (entry) => jobOf(entry.address) || `${entry.address} ${entry.n}`;

  self.outbox = {
    jobOf,
    chainOf,
    /** Takes so many of the codes that are kept for this device; nothing when there are fewer. */
    takeCodes: (count) =>
      within("facts", "readwrite", (facts) => {
        const taken = {};
        const kept = facts.get("codes");
        kept.onsuccess = () => {
          const all = kept.result ?? [];
          if (all.length < count) return;
          taken.result = all.slice(0, count);
          facts.put(all.slice(count), "codes");
        };
        return taken;
      }),
    addCodes: (codes) =>
      within("facts", "readwrite", (facts) => {
        const kept = facts.get("codes");
        kept.onsuccess = () => facts.put([...(kept.result ?? []), ...codes], "codes");
      }),
    /** Keeps one form: { address, fields, at, said }. Taps keep their order by `n`. */
    put: (entry) => within("waiting", "readwrite", (waiting) => waiting.add(entry)),
    waiting: () => within("waiting", "readonly", (waiting) => waiting.getAll()),
    sent: (n) => within("waiting", "readwrite", (waiting) => waiting.delete(n)),
    disputed: () => within("disputed", "readonly", (disputed) => disputed.getAll()),
    /** The desk has refused it, or it hangs on one that was refused: a person decides. */
    dispute: (entry, answer) =>
      within(["waiting", "disputed"], "readwrite", (waiting, disputed) => {
        waiting.delete(entry.n);
        disputed.put({ ...entry, answer });
      }),
    /** Sends disputed ones again, in their old order. */
    again: (entries) =>
      within(["waiting", "disputed"], "readwrite", (waiting, disputed) => {
        for (const { answer, ...entry } of entries) {
          disputed.delete(entry.n);
          waiting.put(entry);
        }
      }),
    drop: (entries) =>
      within("disputed", "readwrite", (disputed) => {
        for (const entry of entries) disputed.delete(entry.n);
      }),
    fact: (name) => within("facts", "readonly", (facts) => facts.get(name)),
    know: (name, value) => within("facts", "readwrite", (facts) => facts.put(value, name)),
    /** Another account signs in: nothing of the one before stays readable. Unsent work stays. */
    forgetPages: () => caches.delete("pages"),
    /** For tests and the sign-out: everything gone. */
    empty: () =>
      within(stores, "readwrite", (...all) => {
        for (const store of all) store.clear();
      }),
  };
})();
