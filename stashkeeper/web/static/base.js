// Comfort on every page; everything works without it.
"use strict";

// “More” closes when something else is wanted.
const more = document.querySelector(".more");
if (more) {
  document.addEventListener("click", (event) => {
    if (!more.contains(event.target)) more.open = false;
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && more.open) {
      more.open = false;
      more.querySelector("summary").focus();
    }
  });
}
