// Folder intake: photos are sent one after another, so that any number of them can be, and one that
// fails is told by its name and does not hold up the others.
"use strict";

const form = document.getElementById("sending");
const shown = document.getElementById("sent");
const words = document.getElementById("sent-words");
const bar = document.getElementById("sent-bar");
const notSent = document.getElementById("not-sent");
const endings = form.dataset.endings.split(",");
const TRIES = 4;

form.addEventListener("submit", (event) => {
  event.preventDefault();
  sendAll().catch((failure) => say(`${failure.problem ?? "There is no connection."} ${failure.remedy ?? ""}`));
});

async function sendAll() {
  const chosen = [...form.elements.photo.files, ...form.elements.folder.files];
  const [list] = form.elements.sizes.files;
  const files = chosen.filter((file) => ending(file) === ".csv" || endings.includes(ending(file)));
  if (list) files.push(list);
  if (!files.length) {
    form.elements.photo.focus();
    say("No photo was chosen. Choose photos, or a whole folder.");
    return;
  }
  for (const button of form.querySelectorAll("button")) button.disabled = true;
  notSent.replaceChildren();
  const address = form.dataset.address || (await begin());
  const here = await photosAt(address);
  let done = 0;
  for (const file of files) {
    say(`${done} of ${files.length} sent.`);
    if (file === list || here[path(file)] !== file.size) await sendOne(address, file, file === list, done, files.length);
    done += 1;
  }
  if (notSent.children.length) {
    say(`${files.length - notSent.children.length} of ${files.length} sent.`);
    for (const button of form.querySelectorAll("button")) button.disabled = false;
    notSent.append(goOn(address));
    return;
  }
  await start(address);
}

// The outermost folder is left away, as the program does.
function path(file) {
  return file.webkitRelativePath ? file.webkitRelativePath.split("/").slice(1).join("/") : file.name;
}

function ending(file) {
  return file.name.slice(file.name.lastIndexOf(".")).toLowerCase();
}

async function begin() {
  const body = new FormData();
  for (const name of ["size", "at", "tags"]) body.append(name, form.elements[name].value);
  const told = await ask(form.action, body);
  form.dataset.address = told.address;
  history.replaceState(null, "", told.address); // coming back to this page finds what was sent
  return told.address;
}

async function photosAt(address) {
  const answer = await fetch(`${address}?patience=0`, { headers: { Accept: "application/json" } });
  return answer.ok ? (await answer.json()).photos : {};
}

async function ask(address, body) {
  const answer = await fetch(address, { method: "POST", body, headers: { Accept: "application/json" } });
  const told = await answer.json();
  if (!answer.ok) throw told;
  return told;
}

async function sendOne(address, file, isList, done, of) {
  const body = new FormData();
  body.append(isList ? "sizes" : "folder", file, file.webkitRelativePath || file.name);
  for (let left = TRIES; ; left -= 1) {
    try {
      await upload(`${address}/photos`, body, (part) => {
        bar.max = of;
        bar.value = done + part;
      });
      return;
    } catch (failure) {
      if (failure.again && left > 1) {
        await new Promise((resolve) => setTimeout(resolve, 1_000 * (TRIES - left + 1)));
        continue;
      }
      const line = document.createElement("li");
      line.textContent = `Not sent: ${file.name}. ${failure.problem} ${failure.remedy ?? ""}`;
      notSent.append(line);
      return;
    }
  }
}

function upload(address, body, report) {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open("POST", address);
    request.setRequestHeader("Accept", "application/json");
    request.responseType = "json";
    request.upload.onprogress = (event) => report(event.total ? event.loaded / event.total : 0);
    request.onload = () =>
      request.status === 201 ? resolve() : reject(request.response ?? { problem: "The answer could not be read." });
    request.onerror = () => reject({ problem: "There is no connection.", again: true });
    request.send(body);
  });
}

// A redirection leads to how far it is.
async function start(address) {
  const answer = await fetch(`${address}/start`, { method: "POST", body: new FormData() });
  location.assign(answer.url);
}

function goOn(address) {
  const item = document.createElement("li");
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = "Go on without them";
  button.addEventListener("click", () => start(address));
  item.append(button);
  return item;
}

function say(sentence) {
  shown.hidden = false;
  words.textContent = sentence;
}
