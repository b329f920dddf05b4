// Contrast of a few: judged with every tick, without leaving the place on the shelf.
"use strict";

const picking = document.getElementById("picking");
let asking = null;

picking.addEventListener("change", (event) => {
  if (event.target.type === "radio") judge();
});

async function judge() {
  asking?.abort();
  asking = new AbortController();
  const query = new URLSearchParams(new FormData(picking));
  if (!query.get("q")) query.delete("q");
  try {
    const answer = await fetch(`${picking.action}?${query}`, { signal: asking.signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const id of ["judged", "verdicts"]) {
      document.getElementById(id).replaceChildren(...page.getElementById(id).childNodes);
    }
    if (answer.ok) history.replaceState(null, "", answer.url);
  } catch (fault) {
    if (fault.name !== "AbortError") picking.requestSubmit();
  }
}
