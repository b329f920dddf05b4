// The shelf: colour or grey by one key, kept when the page is turned.
"use strict";

const grey = document.getElementById("grey");

function keepTone() {
  const marked = (address) => {
    const url = new URL(address, location.href);
    if (grey.checked) url.searchParams.set("grey", "1");
    else url.searchParams.delete("grey");
    return url.pathname + url.search + url.hash;
  };
  history.replaceState(null, "", marked(location.href));
  for (const link of document.querySelectorAll(".turn a, .value-rule a")) {
    link.setAttribute("href", marked(link.getAttribute("href")));
  }
}

grey.addEventListener("change", keepTone);
document.addEventListener("keydown", (event) => {
  const typing = event.target.closest("input:not([type=checkbox]), select, textarea");
  if (event.key !== "g" || typing || event.ctrlKey || event.metaKey || event.altKey) return;
  grey.checked = !grey.checked;
  keepTone();
});
document.getElementById("by").addEventListener("change", (event) => event.target.form.requestSubmit());
