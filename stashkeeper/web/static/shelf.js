// The shelf: colour or grey by one key, on the spot, and kept when the page is turned.
"use strict";

const tone = document.getElementById("tone");
const search = document.querySelector(".search");

function isGrey() {
  return new URL(location.href).searchParams.has("grey");
}

function inTone(address, grey) {
  const url = new URL(address, location.href);
  if (grey) url.searchParams.set("grey", "1");
  else url.searchParams.delete("grey");
  return url.pathname + url.search + url.hash;
}

function show(grey) {
  const [from, to] = grey ? ["/colour-", "/grey-"] : ["/grey-", "/colour-"];
  for (const swatch of document.querySelectorAll("img.look")) {
    swatch.srcset = swatch.srcset.replaceAll(from, to);
    swatch.src = swatch.getAttribute("src").replace(from, to);
  }
  for (const link of document.querySelectorAll(".turn a, .value-rule a")) {
    link.setAttribute("href", inTone(link.getAttribute("href"), grey));
  }
  history.replaceState(null, "", inTone(location.href, grey));
  tone.textContent = grey ? "Colour" : "Grey";
  tone.href = inTone(location.href, !grey);
  search.querySelector("[name=grey]")?.remove();
  if (grey) {
    const kept = document.createElement("input");
    Object.assign(kept, { type: "hidden", name: "grey", value: "1" });
    search.append(kept);
  }
}

tone.addEventListener("click", (event) => {
  event.preventDefault();
  show(!isGrey());
});

document.addEventListener("keydown", (event) => {
  const typing = event.target.closest("input, select, textarea");
  if (event.key !== "g" || typing || event.ctrlKey || event.metaKey || event.altKey) return;
  show(!isGrey());
});

document.getElementById("by").addEventListener("change", () => search.requestSubmit());
