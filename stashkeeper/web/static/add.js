// Adding with comfort: thumbnails, sending in the background with progress, nothing lost on the way.
"use strict";

const form = document.getElementById("add");
const chosen = document.getElementById("chosen");
const sending = document.getElementById("sending");
const news = document.getElementById("news");
const inputs = [document.getElementById("camera"), document.getElementById("photos")];
const NEXT = ["camera", "photos", "name", "note", "lightness", "count"]; // empty for the next piece
let photos = [];

document.body.classList.add("scripted");

// Photos chosen, one after another or many at once.

for (const input of inputs) {
  input.addEventListener("change", () => {
    photos.push(...input.files);
    input.value = "";
    showChosen();
    form.querySelector(".trouble")?.remove();
    form.querySelector(".again")?.remove();
  });
}

for (const kind of ["dragover", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    photos.push(...event.dataTransfer.files);
    showChosen();
  });
}

function showChosen() {
  chosen.replaceChildren(...photos.map(chosenItem));
  chosen.hidden = photos.length === 0;
  document.body.classList.toggle("several", photos.length > 1);
}

function chosenItem(file) {
  const item = document.createElement("li");
  item.append(look(file));
  const off = button("✕", () => {
    photos = photos.filter((one) => one !== file);
    showChosen();
    inputs[1].focus();
  });
  off.setAttribute("aria-label", `Leave out ${file.name}`);
  item.append(off);
  return item;
}

// A picture of a photo, or its name where this browser cannot show it.
function look(file) {
  const name = document.createElement("span");
  name.className = "file";
  name.textContent = file.name;
  const image = new Image();
  image.alt = file.name;
  image.onload = () => {
    URL.revokeObjectURL(image.src);
    name.replaceWith(image);
  };
  image.onerror = () => URL.revokeObjectURL(image.src);
  image.src = URL.createObjectURL(file);
  return name;
}

function button(words, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  made.addEventListener("click", act);
  return made;
}

// A size is chosen or typed, not both.

form.elements.size.addEventListener("input", () => {
  for (const pick of form.querySelectorAll("[name=pick]")) pick.checked = false;
});
for (const pick of form.querySelectorAll("[name=pick]")) {
  pick.addEventListener("change", () => (form.elements.size.value = ""));
}

// Sending: a piece for each photo, or one with all of them.

form.addEventListener("submit", (event) => {
  event.preventDefault();
  const fields = [...new FormData(form)].filter(
    ([name, value]) => typeof value === "string" && name !== "once" && name !== "each",
  );
  const each = form.elements.each.value !== "no";
  const parts = each && photos.length > 1 ? photos.map((photo) => [photo]) : [photos];
  for (const files of parts) {
    const one = { once: number(), at: Date.now() + queue.length / 1000, fields, files, each };
    queue.push(one);
    keepAndSend(one);
  }
  clearForNext();
});

const queue = [];
let busy = false;

async function keepAndSend(one) {
  const item = itemOf(one);
  const kept = await waiting.keep(one);
  item.dataset.kept = kept ? "yes" : "no";
  sendNext();
}

// A number nobody else has; not crypto.randomUUID, which home networks without https lack.
function number() {
  const random = crypto.getRandomValues(new Uint8Array(16));
  return [...random].map((one) => one.toString(16).padStart(2, "0")).join("");
}

function clearForNext() {
  photos = [];
  showChosen();
  for (const name of NEXT) {
    const field = document.getElementById(name);
    if (field) field.value = name === "count" ? "1" : "";
  }
  form.querySelector(".trouble")?.remove();
  form.querySelector(".again")?.remove();
  document.querySelector(".told")?.remove();
  document.querySelector(".added")?.remove();
  const size = form.elements.size.value;
  if (size) form.elements.kept.value = size;
  window.scrollTo({ top: 0 });
  inputs.find((input) => input.offsetParent !== null)?.focus({ preventScroll: true });
}

function sendNext() {
  if (busy) return;
  const one = queue.shift();
  if (!one) return;
  busy = true;
  const item = itemOf(one);
  send(one, (part) => progress(item, part)).then(
    (answer) => done(one, item, answer),
    (failure) => failed(one, item, failure),
  ).finally(() => {
    busy = false;
    sendNext();
  });
}

function send(one, report) {
  const body = new FormData();
  for (const [name, value] of one.fields) body.append(name, value);
  body.append("once", one.once);
  body.append("each", "no");
  for (const file of one.files) body.append("photo", file, file.name);
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open("POST", form.action);
    request.setRequestHeader("Accept", "application/json");
    request.responseType = "json";
    request.upload.onprogress = (event) => report(event.total ? event.loaded / event.total : 0);
    request.onload = () => {
      if (request.status === 201 && request.response) resolve(request.response);
      else reject(request.response ?? { problem: "The answer could not be read." });
    };
    request.onerror = () => reject({ problem: "There is no connection.", again: true });
    request.ontimeout = request.onerror;
    request.send(body);
  });
}

// The list of pieces on their way.

function itemOf(one) {
  const known = document.getElementById(`sending-${one.once}`);
  if (known) return known;
  const item = document.createElement("li");
  item.id = `sending-${one.once}`;
  const picture = document.createElement("span");
  picture.className = "sent-look";
  if (one.files[0]) picture.append(look(one.files[0]));
  const said = document.createElement("div");
  said.className = "said";
  item.append(picture, said);
  sending.prepend(item);
  sending.hidden = false;
  say(item, "Waits to be sent.");
  return item;
}

function say(item, ...sentences) {
  item.querySelector(".said").replaceChildren(
    ...sentences.filter(Boolean).map((sentence) => {
      const line = document.createElement("p");
      line.append(sentence);
      return line;
    }),
  );
}

function progress(item, part) {
  let bar = item.querySelector("progress");
  if (!bar) {
    say(item, "Being sent.");
    bar = document.createElement("progress");
    bar.max = 1;
    bar.setAttribute("aria-label", "Sent so far");
    item.querySelector(".said").append(bar);
  }
  bar.value = part;
  if (part === 1) item.querySelector("p").textContent = "Being measured.";
}

function done(one, item, answer) {
  waiting.forget(one.once);
  const link = document.createElement("a");
  const [piece] = answer.pieces;
  link.href = `/piece/${encodeURIComponent(piece.code)}`;
  link.textContent = answer.sentences[0];
  for (const earlier of sending.querySelectorAll(".finished")) putAway(earlier);
  item.classList.remove("failed");
  item.classList.add("finished");
  say(item, link, ...answer.sentences.slice(1));
  if (piece.swatch) {
    const swatch = new Image(64, 64);
    swatch.alt = "";
    swatch.src = piece.swatch;
    item.querySelector(".sent-look").replaceChildren(swatch);
  }
  news.textContent = answer.sentences[0];
}

// The newest piece is told above the form; those before it wait below, out of the way.
function putAway(item) {
  const sent = document.getElementById("sent");
  sent.hidden = false;
  sent.querySelector("ol").prepend(item);
  while (sent.querySelectorAll("li").length > 30) sent.querySelector("li:last-child").remove();
}

function failed(one, item, failure) {
  item.classList.add("failed");
  const kept = item.dataset.kept === "no" ? "It is kept while this page is open." : "It is kept.";
  say(item, `Not added. ${failure.problem ?? ""}`, failure.remedy, kept);
  const again = button("Send again", () => {
    item.classList.remove("failed");
    say(item, "Waits to be sent.");
    queue.push(one);
    sendNext();
  });
  again.className = "again-button";
  const drop = button("Leave it out", () => {
    waiting.forget(one.once);
    item.remove();
    sending.hidden = sending.children.length === 0;
  });
  const choices = document.createElement("div");
  choices.className = "choices";
  choices.append(again, button("Change it", () => change(one, item)), drop);
  item.querySelector(".said").append(choices);
  item.dataset.again = failure.again ? "yes" : "no";
  news.textContent = `Not added. ${failure.problem ?? ""}`;
}

// Put a sending back into the form, with its photos.
function change(one, item) {
  waiting.forget(one.once);
  item.remove();
  sending.hidden = sending.children.length === 0;
  for (const pick of form.querySelectorAll("[type=radio][name=pick], [type=checkbox]")) {
    pick.checked = one.fields.some(([name, value]) => name === pick.name && value === pick.value);
  }
  for (const [name, value] of one.fields) {
    const field = form.elements[name];
    if (field && !(field instanceof RadioNodeList) && field.type !== "checkbox") field.value = value;
  }
  photos = [...one.files];
  showChosen();
  form.elements.size.focus();
}

// What an earlier visit could not send, and what the network held up, is sent again by itself.

waiting.all().then((left) => {
  for (const one of left) {
    if (!queue.some((known) => known.once === one.once) && !document.getElementById(`sending-${one.once}`)) {
      itemOf(one);
      queue.push(one);
    }
  }
  sendNext();
});

function sendAgain() {
  for (const item of sending.querySelectorAll("[data-again=yes].failed")) {
    item.querySelector(".again-button")?.click();
  }
}

window.addEventListener("online", sendAgain);
setInterval(sendAgain, 20_000);
