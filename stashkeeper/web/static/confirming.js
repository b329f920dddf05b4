// Typing beside a choice makes the choice.
"use strict";

for (const inner of document.querySelectorAll("[data-chooses]")) {
  const choice = inner.closest("fieldset").querySelector(`[value="${inner.dataset.chooses}"]`);
  inner.addEventListener("input", () => {
    choice.checked = true;
  });
}
