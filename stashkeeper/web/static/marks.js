// Marks on a photo are dragged by handles, or moved by the arrow keys; the fields follow, and lead.
"use strict";

const STEP = 0.5; // percent of the photo that an arrow key moves; ten times as much with Shift

for (const form of document.querySelectorAll(".looking")) {
  const frame = form.querySelector(".frame");
  for (const marks of frame ? form.querySelectorAll("[data-marks]") : []) {
    ({ quad, part, lines })[marks.dataset.marks](frame, marks);
  }
}

// Four corners, each with two fields of its own.
function quad(frame, marks) {
  const name = marks.dataset.name;
  const usual = pairs(marks.dataset.usual);
  const fields = usual.map((_, at) => ["x", "y"].map((axis) => marks.querySelector(`[name="${name}-${axis}${at + 1}"]`)));
  corners(frame, marks, {
    count: 4,
    label: (at) => `Corner ${at + 1} of the ${marks.dataset.what}`,
    read: () => (fields.flat().some((field) => field.value.trim()) ? fields.map((pair) => pair.map(value)) : null),
    usual: () => usual,
    write: (places) => places.forEach((place, at) => place.forEach((now, axis) => put(fields[at][axis], now))),
    moved: (places, at, to) => places.map((place, one) => (one === at ? to : place)),
    outline: (places) => around(places),
  });
}

// An upright part: two of its corners give its four edges.
function part(frame, marks) {
  const [left, top, right, bottom] = ["left", "top", "right", "bottom"].map((edge) => marks.querySelector(`[name="${marks.dataset.before}${edge}"]`));
  const fields = [left, top, right, bottom];
  corners(frame, marks, {
    count: 2,
    label: (at) => `${at ? "Lower right" : "Upper left"} corner of the ${marks.dataset.what}`,
    read: () => (fields.some((field) => field.value.trim()) ? [[value(left), value(top)], [value(right), value(bottom)]] : null),
    usual: () => pairs(marks.dataset.usual),
    write: (places) => fields.forEach((field, at) => put(field, places.flat()[at])),
    moved: (places, at, to) => {
      const [low, high] = places;
      return at ? [low, to.map((now, axis) => Math.max(now, low[axis] + 1))] : [to.map((now, axis) => Math.min(now, high[axis] - 1)), high];
    },
    outline: ([low, high]) => [low, [high[0], low[1]], high, [low[0], high[1]]],
  });
}

// Lines from edge to edge of the photo, each with a field for either end; they keep their order.
function lines(frame, marks) {
  const lying = marks.dataset.lying === "yes";
  const ends = [...marks.querySelectorAll("[data-line]")].map((line) => [...line.querySelectorAll("input")]);
  const across = lying ? 1 : 0;
  const place = (line, end) => (lying ? [end * 100, value(ends[line][end])] : [value(ends[line][end]), end * 100]);
  const inset = (end) => (end ? 96 : 4); // handles stay within reach at the edges of the photo
  const drawn = [...frame.querySelectorAll("line[data-line]")];
  const handles = ends.flatMap((_, line) => [0, 1].map((end) => ({ line, end })));
  for (const one of handles) {
    const words = lying ? ["left", "right"] : ["upper", "lower"];
    one.element = handle(frame, `Line ${one.line + 1}, ${words[one.end]} end`, {
      from: () => value(ends[one.line][one.end]),
      to: (now, by) => {
        const low = one.line ? value(ends[one.line - 1][one.end]) + 0.5 : -20;
        const high = one.line + 1 < ends.length ? value(ends[one.line + 1][one.end]) - 0.5 : 120;
        put(ends[one.line][one.end], Math.min(high, Math.max(low, now + by[across])));
        show();
      },
    });
    one.element.setAttribute("role", "slider");
    one.element.setAttribute("aria-orientation", lying ? "vertical" : "horizontal");
    one.element.setAttribute("aria-valuemin", "-20");
    one.element.setAttribute("aria-valuemax", "120");
  }
  marks.closest("details")?.addEventListener("toggle", show);
  begin(marks, show);

  function show() {
    for (const { line, end, element } of handles) {
      const spot = place(line, end);
      spot[1 - across] = inset(end);
      stand(element, spot, false);
      element.setAttribute("aria-valuenow", value(ends[line][end]).toFixed(1));
      element.hidden = marks.closest("details")?.open === false;
    }
    for (const one of frame.querySelectorAll("[data-strip]")) {
      const strip = Number(one.dataset.strip);
      const middle = (value(ends[strip][0]) + value(ends[strip + 1][0])) / 2;
      one.setAttribute(lying ? "y" : "x", `${middle}%`);
    }
    for (const one of drawn) {
      const line = Number(one.dataset.line);
      const [start, finish] = [place(line, 0), place(line, 1)];
      one.setAttribute("x1", start[0]);
      one.setAttribute("y1", start[1]);
      one.setAttribute("x2", finish[0]);
      one.setAttribute("y2", finish[1]);
    }
  }
}

// What quad and part share: handles at corners, and an outline through them.
function corners(frame, marks, shape) {
  const outlines = frame.querySelectorAll(`[data-of="${marks.dataset.name}"]`);
  const details = marks.closest("details");
  const now = () => shape.read() ?? shape.usual();
  const handles = Array.from({ length: shape.count }, (_, at) =>
    handle(frame, shape.label(at), {
      from: () => now()[at],
      to: (from, by) => {
        shape.write(shape.moved(now(), at, from.map((part, axis) => within(part + by[axis]))));
        show();
      },
    }),
  );
  details?.addEventListener("toggle", show);
  begin(marks, show);

  function show() {
    const set = shape.read() !== null;
    now().forEach((place, at) => {
      stand(handles[at], place, !set);
      handles[at].hidden = details?.open === false;
    });
    if (set) for (const one of outlines) one.setAttribute("points", shape.outline(now()).join(" "));
  }
}

// A handle: dragged by a pointer, moved by the arrow keys, with a name for who cannot see it.
function handle(frame, label, moves) {
  const element = document.createElement("button");
  element.type = "button";
  element.className = "handle";
  element.setAttribute("aria-label", label);
  frame.append(element);
  let grip = null;
  element.addEventListener("pointerdown", (event) => {
    element.setPointerCapture(event.pointerId);
    grip = { x: event.clientX, y: event.clientY, from: moves.from() };
  });
  element.addEventListener("pointermove", (event) => {
    if (!grip) return;
    const box = frame.querySelector("img").getBoundingClientRect();
    moves.to(grip.from, [((event.clientX - grip.x) / box.width) * 100, ((event.clientY - grip.y) / box.height) * 100]);
  });
  for (const end of ["pointerup", "pointercancel"]) element.addEventListener(end, () => (grip = null));
  element.addEventListener("keydown", (event) => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!by) return;
    event.preventDefault();
    moves.to(moves.from(), by.map((one) => one * STEP * (event.shiftKey ? 10 : 1)));
  });
  return element;
}

function begin(marks, show) {
  for (const hint of marks.querySelectorAll(".drag")) hint.hidden = false;
  marks.addEventListener("input", show);
  show();
}

function stand(element, [x, y], unset) {
  element.style.left = `${within(x)}%`;
  element.style.top = `${within(y)}%`;
  element.classList.toggle("unset", unset);
}

// Four places in order around their middle, as the program orders them.
function around(places) {
  const middle = [0, 1].map((axis) => places.reduce((sum, place) => sum + place[axis], 0) / 4);
  const angle = ([x, y]) => Math.atan2(y - middle[1], x - middle[0]);
  return [...places].sort((one, other) => angle(one) - angle(other));
}

function pairs(text) {
  return text.split(" ").map((pair) => pair.split(",").map(Number));
}

function value(field) {
  return Number(field.value.replace(",", ".")) || 0;
}

function put(field, number) {
  field.value = String(Math.round(number * 100) / 100);
}

function within(part) {
  return Math.min(100, Math.max(0, part));
}
