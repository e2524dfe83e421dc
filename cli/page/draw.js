/* Drawings of planes, to scale, from what the model says. */
const SVG = "http://www.w3.org/2000/svg";
function svg(tag, attrs, ...inside) {
  const el = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attrs || {})) el.setAttribute(key, value);
  for (const one of inside) if (one !== null) el.append(one);
  return el;
}
function html(tag, attrs, ...inside) {
  const el = document.createElement(tag);
  for (const [key, value] of Object.entries(attrs || {})) el.setAttribute(key, value);
  for (const one of inside) if (one !== null) el.append(one);
  return el;
}
const num = (value) => String(Math.round(value * 100) / 100);

/* The sign of a state: shape first, colour only helps. */
function sign(kind, state, x, y, r) {
  const look = D.look.signs[kind][state] || D.look.signs[kind][0];
  const colour = D.look.colours[state];
  const g = svg("g", { class: "sign", fill: look.filled ? colour : "#fff", stroke: colour });
  g.append(look.ring ? svg("circle", { cx: num(x), cy: num(y), r: num(r) })
    : svg("rect", { x: num(x - r), y: num(y - r), width: num(2 * r), height: num(2 * r) }));
  for (const [x1, y1, x2, y2] of look.strokes) {
    g.append(svg("line", {
      x1: num(x + x1 * r), y1: num(y - y1 * r), x2: num(x + x2 * r), y2: num(y - y2 * r),
      ...(look.filled ? { stroke: "#fff" } : {}),
    }));
  }
  return g;
}
function signIcon(kind, state) {
  const el = svg("svg", { class: "icon", viewBox: "-10 -10 20 20", "aria-hidden": "true" });
  el.append(sign(kind, state, 0, 0, 6.2));
  return el;
}

const ring = (points, X, Y) =>
  "M" + points.map(([x, y]) => num(X(x)) + " " + num(Y(y))).join("L") + "Z";

/* Where a line at x lies on the roof: outline less holes, as pairs of y. */
function upTheSlope(plane, x) {
  if (plane.lean && !plane.lean.fan) {
    const { low, high } = plane.lean;
    let from = 0, to = plane.length;
    if (low > 0) to = Math.min(to, (x / low) * to); else if (x < 0) from = (x / low) * plane.length;
    if (high < 0 && x > plane.width + high) to = Math.min(to, ((x - plane.width) / high) * plane.length);
    return [[from, to]];
  }
  if (!plane.outline) return [[0, plane.length]];
  const found = [];
  for (const one of [plane.outline, ...plane.holes.map((hole) => hole.outline)]) {
    const pts = one.points;
    pts.forEach(([x1, y1], n) => {
      const [x2, y2] = pts[(n + 1) % pts.length];
      if ((x1 <= x) !== (x2 <= x)) found.push(y1 + ((y2 - y1) * (x - x1)) / (x2 - x1));
    });
  }
  found.sort((a, b) => a - b);
  const pairs = [];
  for (let n = 0; n + 1 < found.length; n += 2) pairs.push([found[n], found[n + 1]]);
  return pairs;
}

function textAt(x, y, text, attrs) {
  const el = svg("text", { x: num(x), y: num(y), ...attrs });
  el.textContent = text;
  return el;
}

function dimension(g, x1, x2, y, text, side) {
  g.append(svg("path", {
    class: "dim",
    d: `M${num(x1)} ${y - 4}v8M${num(x2)} ${y - 4}v8M${num(x1)} ${y}H${num(x2)}`,
  }));
  const at = side === "left" ? x1 : side === "right" ? x2 : (x1 + x2) / 2;
  const anchor = side === "left" ? "start" : side === "right" ? "end" : "middle";
  g.append(textAt(at, y + 14, text, { class: "dimtext", "text-anchor": anchor }));
}

/* A label beside a sign, where no other is; none where there is no room. */
class Labels {
  constructor(width, low) { this.boxes = []; this.width = width; this.low = low; }
  put(g, x, y, text, attrs) {
    const w = 6.4 * text.length + 2;
    const left = Math.min(Math.max(x - w / 2, 2), this.width - w - 2);
    for (const dy of [-10, 19, -22, 31, -34, 43]) {
      const box = [left, y + dy - 10, left + w, y + dy + 2];
      if (box[1] < 0 || box[3] > this.low) continue;
      if (!this.boxes.some((b) => b[0] < box[2] && box[0] < b[2] && b[1] < box[3] && box[1] < b[3])) {
        this.boxes.push(box);
        g.append(textAt(left + 1, y + dy, text, attrs));
        return true;
      }
    }
    return false;
  }
  keep(x, y, r) { this.boxes.push([x - r, y - r, x + r, y + r]); }
}

function drawPlane(host, p, found, room, zoom) {
  const plane = D.planes[p], laid = found.planes[p];
  const edge = 16, top = plane.grid.length ? 36 : 14, foot = 66;
  const lean = plane.lean || { low: 0, high: 0, fan: false };
  const least = Math.min(0, lean.low), most = plane.width + Math.max(0, lean.high);
  let scale = ((room - 2 * edge) / (most - least)) * zoom;
  const tall = (printing ? 270 : 560) * zoom;
  if (plane.length * scale > tall) scale = tall / plane.length;
  const W = (most - least) * scale, H = plane.length * scale;
  const X = (x) => edge + (x - least) * scale, Y = (y) => top + H - y * scale;
  const width = Math.max(W + 2 * edge, Math.min(room, 300)), height = top + H + foot;
  const root = svg("svg", {
    class: "roof", width: num(width), height: num(height), viewBox: `0 0 ${num(width)} ${num(height)}`,
    role: "img", "aria-labelledby": `roof-t-${p}`, "aria-describedby": `roof-d-${p}`,
  });
  root.append(textEl("title", `roof-t-${p}`, `Plane ${plane.id}, drawn to scale`),
    textEl("desc", `roof-d-${p}`, describe(p, found)));

  const shapePath = plane.outline ? ring(plane.outline.points, X, Y)
    : plane.lean ? ring([[0, 0], [plane.width, 0], [plane.width + lean.high, plane.length],
      [lean.low, plane.length]], X, Y) : `M${X(0)} ${Y(0)}H${num(X(plane.width))}V${num(Y(plane.length))}H${X(0)}Z`;
  const holes = plane.holes.map((hole) => ring(hole.outline.points, X, Y)).join("");
  root.append(svg("path", { class: "deck", d: shapePath + holes, "fill-rule": "evenodd" }));
  for (const k of plane.keepouts) {
    const y = k.y || [0, plane.length];
    const el = svg("rect", {
      class: "keepout", x: num(X(k.x[0])), y: num(Y(y[1])),
      width: num(Math.max((k.x[1] - k.x[0]) * scale, 1)), height: num((y[1] - y[0]) * scale),
    });
    el.append(textEl("title", "", "keep-out: " + k.what));
    root.append(el);
  }
  const odd = oddBands(p, laid);
  for (const [low, high] of odd) {
    root.append(svg("rect", {
      class: "odd", x: num(X(low)), y: num(Y(plane.length)), width: num((high - low) * scale),
      height: num(H),
    }));
  }
  // Fanned seams lean with the rakes; all others run square to the eave.
  const last = Math.max(laid.seams.length - 1, 1);
  const seamLines = (seams) => seams.map((x) => {
    const alone = laid.seams.length < 2 && plane.lay === "right-to-left";
    const lot = alone ? 1 : laid.seams.indexOf(x) / last;
    const over = lean.fan ? lean.low + (lean.high - lean.low) * lot : 0;
    return upTheSlope(plane, x).map(([a, b]) =>
      `M${num(X(x))} ${num(Y(a))}L${num(X(x + over))} ${num(Y(b))}`).join("");
  }).join("");
  const lines = seamLines(laid.seams);
  root.append(svg("path", { class: "seams", d: lines }));
  const view = D.views[chosen.view];
  if (view.control && asListed()) {
    const control = seamLines(view.control[p]);
    root.append(svg("path", { class: "control", d: control }));
  }
  root.append(svg("path", { class: "edge", d: shapePath + holes }));
  for (const line of plane.grid) {
    root.append(svg("path", { class: "grid", d: `M${num(X(line.x))} 24V${num(Y(0) + 6)}` }),
      svg("circle", { class: "bubble", cx: num(X(line.x)), cy: 13, r: 10 }),
      textAt(X(line.x), 17, line.id.length > 4 ? line.id.slice(0, 3) + "…" : line.id,
        { class: "gridtext", "text-anchor": "middle" }));
  }
  drawPens(root, p, found, X, Y, scale, width);
  drawFoot(root, p, laid, X, Y);
  host.replaceChildren(root);
}

function textEl(tag, id, text) {
  const el = svg(tag, id ? { id } : {});
  el.textContent = text;
  return el;
}

/* Panels of odd width, as they lie. */
function oddBands(p, laid) {
  const plane = D.planes[p], shape = shapeOf(p), ends = [0, ...laid.seams, plane.width];
  const line = plane.fromLine ? ends.indexOf(plane.start) : 0;
  return shape.odds.map(([number]) => {
    let n = number - 1;
    if (plane.fromLine) n = line + number - (number > 0 ? 1 : 0);
    else if (plane.lay === "right-to-left") n = ends.length - 1 - number;
    return [ends[n], ends[n + 1]];
  });
}

function drawPens(root, p, found, X, Y, scale, width) {
  const labels = new Labels(width, Y(0) + 4), texts = svg("g", {});
  const order = [...D.planes[p].pens].sort((a, b) => found.pens[a].x - found.pens[b].x);
  for (const i of order) labels.keep(X(found.pens[i].x), Y(D.pens[i].y), 7);
  for (const i of order) {
    const pen = D.pens[i], one = found.pens[i], x = X(one.x), y = Y(pen.y);
    const g = svg("g", { class: "pen", "data-pen": i });
    if (pen.kind === "pipe") {
      g.append(svg("circle", { class: "base", cx: num(x), cy: num(y), r: num((pen.base * scale) / 2) }),
        svg("circle", { class: "body", cx: num(x), cy: num(y), r: num((pen.outside * scale) / 2) }));
    } else {
      const w = pen.across * scale, h = pen.along * scale;
      g.append(svg("rect", { class: "body", x: num(x - w / 2), y: num(y - h / 2), width: num(w), height: num(h) }));
    }
    if (one.move) {
      const was = X(pen.x), way = Math.sign(one.move);
      g.append(svg("circle", { class: "was", cx: num(was), cy: num(y), r: 5 }));
      const from = Math.abs(x - was) < 16 ? x - way * 24 : was;
      const tip = x - way * 7;
      g.append(svg("path", {
        class: "arrow",
        d: `M${num(from)} ${num(y)}H${num(tip)}m${-5 * way} -4l${5 * way} 4l${-5 * way} 4`,
      }));
    }
    g.append(sign(pen.kind, one.state, x, y, 5.5),
      textEl("title", "", `${pen.id}, ${pen.what}: ${word(one)}`));
    const arrow = one.move ? (one.move > 0 ? " → " : " ← ") + near(Math.abs(one.move)) : "";
    labels.put(texts, x, y, (pen.id.length > 14 ? pen.id.slice(0, 13) + "…" : pen.id) + arrow,
      { class: one.move ? "tag moved" : "tag" });
    root.append(g);
  }
  root.append(texts);
}

function drawFoot(root, p, laid, X, Y) {
  const plane = D.planes[p], y = Y(0) + 14, low = X(0), high = X(plane.width);
  const back = plane.lay === "right-to-left";
  if (laid.seams.length) {
    const [left, right] = back ? [laid.last, laid.first] : [laid.first, laid.last];
    const [l, r] = plane.fromLine ? ["", ""] : back ? ["last ", "first "] : ["first ", "last "];
    dimension(root, low, X(laid.seams[0]), y, l + near(left), "left");
    dimension(root, X(laid.seams[laid.seams.length - 1]), high, y, r + near(right), "right");
  }
  dimension(root, low, high, y + 24, place(plane.width), "middle");
  root.append(textAt(low, y + 48, plane.low, { class: "end", "text-anchor": "start" }),
    textAt(high, y + 48, plane.high, { class: "end", "text-anchor": "end" }));
  const at = plane.fromLine ? X(plane.start) : back ? high : low;
  root.append(svg("path", { class: "start", d: `M${num(at)} ${num(Y(0) + 1)}l-5 9h10z` }));
}

function describe(p, found) {
  const plane = D.planes[p], laid = found.planes[p];
  const count = [0, 0, 0, 0, 0, 0];
  for (const i of plane.pens) count[found.pens[i].state]++;
  const states = count.map((n, s) => (n ? `${n} ${D.look.words[s]}` : "")).filter(Boolean);
  return `${place(plane.width)} along the eave, ${place(plane.length)} up the slope, ${plane.laid}; `
    + `first panel ${near(laid.first)}, last panel ${near(laid.last)}, `
    + `${plural(laid.seams.length, "seam")}. ${plural(plane.pens.length, "penetration")}`
    + (states.length ? `: ${states.join(", ")}.` : ".") + " The tables below say the same.";
}
