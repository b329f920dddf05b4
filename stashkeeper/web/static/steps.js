// Ticks at once, without loading the page anew; the server keeps them either way.
"use strict";

const sent = new WeakMap(); // what each step sent last: of one step the last tick counts

for (const form of document.querySelectorAll(".ticking")) {
  form.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (!button) return;
    event.preventDefault();
    const done = button.name === "step";
    const body = new URLSearchParams({ [button.name]: button.value });
    show(form, button, done);
    button.setAttribute("aria-busy", "true");
    const before = sent.get(button) ?? Promise.resolve();
    sent.set(button, before.then(() => tick(form, button, body, done)));
  });
}

async function tick(form, button, body, done) {
  try {
    const answer = await fetch(form.action, {
      method: "POST",
      body,
      headers: { Accept: "application/json" },
      keepalive: true, // it arrives although the page is left
    });
    if (!answer.ok) throw new Error(answer.statusText);
  } catch {
    show(form, button, !done); // not kept, so not shown
  }
  button.removeAttribute("aria-busy");
}

function show(form, button, done) {
  button.setAttribute("aria-pressed", String(done));
  button.name = done ? "untick" : "step";
  const ticked = form.querySelectorAll(".step[aria-pressed=true]").length;
  form.closest(".part").querySelector(".ticked").textContent = ticked;
}
