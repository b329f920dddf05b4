// A label is read as soon as its photo is taken.
"use strict";

document.getElementById("photo").addEventListener("change", (event) => {
  if (event.target.files.length) event.target.form.requestSubmit();
});
