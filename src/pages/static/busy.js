// While a page or an answer is on its way: nothing at once, the shape of what comes after 0.3 s, words after 1 s,
// and after 10 s since when, with a way out. Nothing on the page moves meanwhile.
// (Nielsen 1993, Usability Engineering, ch. 5: 0.1 s feels instant, 1 s keeps the thought, 10 s the attention.)
const SHAPE_MS = 300;
const WORDS_MS = 1_000;
const WAY_OUT_MS = 10_000;

const root = document.documentElement;
const box = document.createElement("div");
box.className = "busy";
box.setAttribute("role", "status");
document.body.append(box);
let clocks = [];

const clockNow = () => new Date().toLocaleTimeString("en-GB", { timeZone: document.body.dataset.zone || undefined });

const end = () => {
  clocks.forEach(clearTimeout);
  clocks = [];
  delete root.dataset.busy;
  document.querySelector("main")?.removeAttribute("aria-busy");
  box.replaceChildren();
};

const say = (words, ...more) => {
  const told = document.createElement("span");
  told.textContent = words;
  box.replaceChildren(told, ...more);
};

const stopButton = () => {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "button";
  button.textContent = "Stop waiting";
  button.addEventListener("click", () => {
    window.stop();
    end();
    // what was sent bears its own key: sent again, it is done once
    for (const form of document.querySelectorAll("form[data-sent]")) form.removeAttribute("data-sent");
    say("Stopped. Send it again when the network is better; it is done only once.");
  });
  return button;
};

/** `sent`: something typed is on its way, and stays to be seen; else a page is fetched. */
const begin = (sent) => {
  end();
  const since = clockNow();
  const after = (ms, work) => clocks.push(setTimeout(work, ms));
  after(SHAPE_MS, () => {
    root.dataset.busy = sent ? "sending" : "fetching";
    document.querySelector("main")?.setAttribute("aria-busy", "true");
  });
  after(WORDS_MS, () => say(sent ? "Sending. What you typed stays." : "Fetching the page."));
  after(WAY_OUT_MS, () => say(`${sent ? "Sending" : "Fetching"} since ${since}, longer than usual.`, stopButton()));
};

const elsewhere = (target) => target !== "" && target !== "_self";

document.addEventListener("submit", (event) => {
  const form = event.target;
  const target = event.submitter?.formTarget || form.target;
  if (event.defaultPrevented || elsewhere(target)) return;
  begin(form.method === "post");
});

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href]");
  if (!link || event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  // a link of a drawing bears its address otherwise
  const address = new URL(link.getAttribute("href"), location.href);
  const samePage = address.hash !== "" && address.pathname === location.pathname && address.search === location.search;
  if (elsewhere(link.getAttribute("target") ?? "") || link.hasAttribute("download") || samePage || address.origin !== location.origin) return;
  begin(false);
});

addEventListener("pagehide", end);
