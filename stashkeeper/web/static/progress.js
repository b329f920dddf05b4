// How far work in the background is, asked once a second; the page comes anew when it is finished.
"use strict";

const shown = document.querySelector(".progress");
const bar = shown.querySelector("progress");
const far = shown.querySelector(".far");
const look = shown.dataset.look;

shown.querySelector(".look-again").hidden = true;

async function lookAgain() {
  let wait = 1_000;
  try {
    const answer = await fetch(`${look}?patience=0`, { headers: { Accept: "application/json" } });
    const told = await answer.json();
    if (told.finished || !answer.ok) {
      location.replace(look);
      return;
    }
    if (told.at && !told.of) far.textContent = told.at;
    if (told.of) {
      bar.max = told.of;
      bar.value = told.done;
      far.textContent = `${told.done} of ${told.of} ${shown.dataset.what}`;
    }
  } catch {
    wait = 5_000; // the network is away; the work goes on without it
  }
  setTimeout(lookAgain, wait);
}

setTimeout(lookAgain, 1_000);
