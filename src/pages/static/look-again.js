// A page whose answer is still being worked out looks again by itself, after as many seconds as its data-look-again
// says, until it says so no more. The main part is exchanged as a whole, and not under somebody who fills it in.
const asks = () => document.querySelector("main [data-look-again]");

const filledIn = (main) => main.contains(document.activeElement) && document.activeElement.matches("input, select, textarea");

async function fresh() {
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
    if (!answer.ok) return null;
    return new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("main");
  } catch {
    return null; // without network it is asked for again; the bands say that it is gone
  }
}

async function look() {
  const found = await fresh();
  const main = document.querySelector("main");
  if (found && !filledIn(main)) {
    const place = main.contains(document.activeElement) ? document.activeElement.id : "";
    main.replaceChildren(...found.childNodes);
    if (place) document.getElementById(place)?.focus();
  }
  later();
}

function later() {
  const seconds = Number(asks()?.dataset.lookAgain);
  if (seconds > 0) setTimeout(look, seconds * 1000);
}

later();
