// A photo's measured part is dragged by its corners, edges and middle; the fields follow, and lead.
"use strict";

const EDGES = ["left", "top", "right", "bottom"];
const LEAST = 2; // percent that a part keeps of the photo, across and down
const HANDLES = [
  ["left", "top"], ["right", "top"], ["right", "bottom"], ["left", "bottom"],
  ["left"], ["top"], ["right"], ["bottom"], [],
];

for (const figure of document.querySelectorAll(".photo")) region(figure);

function region(figure) {
  const frame = figure.querySelector(".frame");
  const details = figure.querySelector(".region details");
  const fields = EDGES.map((edge) => figure.querySelector(`[name=${edge}]`));
  const handles = HANDLES.map((moved) => handle(moved));

  figure.querySelector(".drag").hidden = false;
  details.addEventListener("toggle", show);
  for (const field of fields) field.addEventListener("input", show);
  show();

  function now() {
    return fields.map((field) => Math.min(100, Math.max(0, Number(field.value) || 0)));
  }

  function show() {
    const [left, top, right, bottom] = now();
    const sound = right > left && bottom > top;
    figure.querySelector(".outside").setAttribute(
      "d", `M0 0H100V100H0Z${sound ? `M${left} ${top}V${bottom}H${right}V${top}Z` : ""}`,
    );
    for (const edge of figure.querySelectorAll(".edge")) {
      edge.setAttribute("x", left);
      edge.setAttribute("y", top);
      edge.setAttribute("width", Math.max(0, right - left));
      edge.setAttribute("height", Math.max(0, bottom - top));
    }
    for (const { element, moved } of handles) {
      const across = moved.includes("left") ? left : moved.includes("right") ? right : (left + right) / 2;
      const down = moved.includes("top") ? top : moved.includes("bottom") ? bottom : (top + bottom) / 2;
      element.hidden = !details.open;
      element.style.left = `${across}%`;
      element.style.top = `${down}%`;
    }
  }

  function handle(moved) {
    const element = document.createElement("span");
    element.className = moved.length ? "handle" : "handle middle";
    element.setAttribute("aria-hidden", "true");
    frame.append(element);
    let grip = null;
    element.addEventListener("pointerdown", (event) => {
      element.setPointerCapture(event.pointerId);
      grip = { x: event.clientX, y: event.clientY, from: now() };
      event.preventDefault();
    });
    element.addEventListener("pointermove", (event) => {
      if (!grip) return;
      const box = frame.querySelector("img").getBoundingClientRect();
      const across = ((event.clientX - grip.x) / box.width) * 100;
      const down = ((event.clientY - grip.y) / box.height) * 100;
      put(dragged(grip.from, moved, across, down));
    });
    for (const end of ["pointerup", "pointercancel"]) {
      element.addEventListener(end, () => (grip = null));
    }
    return { element, moved };
  }

  function put(part) {
    part.forEach((edge, index) => (fields[index].value = edge.toFixed(1)));
    show();
  }
}

// The part after its corner, edge or middle was dragged so many percent; it stays in the photo.
function dragged([left, top, right, bottom], moved, across, down) {
  const within = (edge, low, high) => Math.min(high, Math.max(low, edge));
  if (moved.length === 0) {
    const right_by = within(across, -left, 100 - right);
    const down_by = within(down, -top, 100 - bottom);
    return [left + right_by, top + down_by, right + right_by, bottom + down_by];
  }
  if (moved.includes("left")) left = within(left + across, 0, right - LEAST);
  if (moved.includes("right")) right = within(right + across, left + LEAST, 100);
  if (moved.includes("top")) top = within(top + down, 0, bottom - LEAST);
  if (moved.includes("bottom")) bottom = within(bottom + down, top + LEAST, 100);
  return [left, top, right, bottom];
}
