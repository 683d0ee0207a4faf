// A ticket is as long as what stands on it: the roll is cut behind its last line, whatever the number of rackets and
// the length of names. Sizes in CSS cannot follow the content (css-page-3 has no such length), so it is measured here;
// without scripts the sizes of ticket.css hold.
const MARGIN_MM = 4;
const MM_PER_PX = 25.4 / 96;
// Chromium rounds a page to whole points, and the last line must not fall off it
const ROOM_MM = 1;

addEventListener("load", () => {
  const sheet = [...document.styleSheets].find((one) => one.href?.endsWith("/static/ticket.css"));
  const high = document.querySelector(".ticket")?.getBoundingClientRect().height;
  if (!sheet || !high) return;
  const page = `{ size: 80mm ${Math.ceil(high * MM_PER_PX) + ROOM_MM + 2 * MARGIN_MM}mm; margin: ${MARGIN_MM}mm; }`;
  for (const name of ["@page", "@page strip"]) sheet.insertRule(`${name} ${page}`, sheet.cssRules.length);
});
