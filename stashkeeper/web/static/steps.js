// Ticks at once, without loading the page anew; the server keeps them either way.
"use strict";

for (const form of document.querySelectorAll(".ticking")) {
  form.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (!button) return;
    event.preventDefault();
    tick(form, button);
  });
}

async function tick(form, button) {
  const done = button.name === "step";
  const body = new URLSearchParams({ [button.name]: button.value });
  show(button, done);
  try {
    const answer = await fetch(form.action, {
      method: "POST",
      body,
      headers: { Accept: "application/json" },
    });
    if (!answer.ok) throw new Error(answer.statusText);
    const told = await answer.json();
    form.closest(".part").querySelector(".ticked").textContent = told.ticked;
  } catch {
    show(button, !done); // not kept, so not shown
  }
}

function show(button, done) {
  button.setAttribute("aria-pressed", String(done));
  button.name = done ? "untick" : "step";
}
