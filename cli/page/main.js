/* Puts the page together and keeps it in step with what is chosen. */
const $ = (id) => document.getElementById(id);
const parts = [];
let now = null;

function say(el, text) { if (el.textContent !== text) el.textContent = text; }

function buildPlane(p) {
  const host = $(`plane-${p}`), get = (kind) => host.querySelector("." + kind);
  host.classList.toggle("many", D.planes[p].pens.length > 12);
  const one = { host, zoom: 1, dirty: true, near: p < 1, map: null, cells: new Map() };
  const figure = get("drawing"), map = get("map");
  one.figure = figure;
  one.live = get("live");
  one.rule = get("rule");
  if (shapeOf(p).firsts.length > 1 || D.views.some((v) => D.planes[p].shapes[v.shapes[p]].firsts.length > 1)) {
    one.map = new StartMap(p, map, () => update());
  } else {
    host.querySelector(".mapping").hidden = true;
  }
  one.odd = get("kept");
  buildTable(one, p, get("pens"));
  host.querySelectorAll("[data-zoom]").forEach((button) => {
    button.addEventListener("click", () => {
      one.zoom = Number(button.dataset.zoom);
      host.querySelectorAll("[data-zoom]").forEach((b) => b.setAttribute("aria-pressed", b === button));
      one.dirty = true;
      drawIfNear(p);
    });
  });
  host.querySelectorAll("[data-step]").forEach((button) => {
    button.addEventListener("click", () => {
      const to = chosen.at[p] + Number(button.dataset.step);
      if (one.map && to >= 0 && to < shapeOf(p).firsts.length) one.map.moveTo(to);
    });
  });
  one.more = [[get("seam-list"), fillSeams], [get("map-list"), fillMap]];
  for (const [more] of one.more) more.addEventListener("toggle", () => fillOpen(p));
  parts[p] = one;
}

function buildTable(one, p, host) {
  const heads = ["", "Id", "What", "At", "Up the slope", "Move", "State", "Margin"];
  if (D.shifts) heads.push("After worst shift");
  const cut = D.planes[p].pens.some((i) => D.pens[i].kind === "curb");
  if (cut) heads.push("Seams cut");
  const body = html("tbody");
  const order = [...D.planes[p].pens].sort((a, b) => D.pens[a].x - D.pens[b].x || a - b);
  for (const i of order) body.append(penRow(one, i, cut));
  const table = html("table", {}, html("caption", {}, `Penetrations of plane ${D.planes[p].id}, `
    + `centres along the eave from the ${D.planes[p].low}`),
    html("thead", {}, html("tr", {}, ...heads.map((head, n) =>
      html("th", { scope: "col", ...(n === 3 || n === 4 || n > 6 ? { class: "n" } : {}) }, head)))), body);
  host.replaceChildren(order.length ? table : html("p", {}, "No penetrations on this plane."));
}

function penRow(one, i, cut) {
  const pen = D.pens[i], cells = {};
  const cell = (key, kind) => { cells[key] = html("td", { class: `${key} ${kind || ""}` }); return cells[key]; };
  const id = html("bdi", {}, pen.id);
  const what = [pen.what, pen.use].filter(Boolean).join(", ");
  const row = html("tr", { "data-pen": i }, cell("sign"), html("th", { scope: "row" }, id),
    html("td", { dir: "auto" }, what), cell("at", "n"), html("td", { class: "n" }, place(pen.y)),
    cell("move"), cell("state"), cell("margin", "n"));
  if (D.shifts) row.append(cell("worst", "n"));
  if (cut) row.append(cell("cut", "n"));
  one.cells.set(i, { row, ...cells, box: null });
  return row;
}

/* The tick box that takes a move back, where the layout chosen has one. */
function buildMoves() {
  for (const one of parts) {
    for (const [i, cells] of one.cells) {
      const pen = D.pens[i], move = chosen.moves.get(i);
      cells.move.replaceChildren();
      cells.box = null;
      if (!move) {
        say(cells.move, pen.kind === "pipe" && pen.status === "fixed" && pen.hold ? "held" : "");
        continue;
      }
      const box = html("input", { type: "checkbox" });
      box.checked = !chosen.off.has(i);
      box.addEventListener("change", () => {
        if (box.checked) chosen.off.delete(i); else chosen.off.add(i);
        redraw();
      });
      cells.box = box;
      cells.move.append(html("label", {}, box, ` ${near(Math.abs(move))} towards `,
        html("bdi", {}, towards(pen.plane, move))));
    }
  }
}

function update() {
  now = judge();
  showCost();
  parts.forEach((one, p) => {
    showPlane(one, p);
    one.dirty = true;
    if (one.map && one.map.wide) one.map.follow(now);
    fillOpen(p);
    drawIfNear(p);
  });
}

/* Another layout, or a move taken back: lanes change as well. */
function redraw() {
  now = judge();
  showCost();
  parts.forEach((one, p) => {
    showPlane(one, p);
    one.dirty = true;
    if (one.map) one.map.draw(now, printing);
    fillOpen(p);
    drawIfNear(p);
  });
}

function drawIfNear(p) {
  const one = parts[p];
  if (!one.dirty || !(one.near || printing)) return;
  one.dirty = false;
  drawPlane(one.figure, p, now, one.figure.clientWidth || 600, printing ? 1 : one.zoom);
}

function showCost() {
  const { cost, count, breaks } = now, view = D.views[chosen.view];
  say($("cost-total"), money(cost.total));
  for (const key of ["flashing", "moves", "odd_panels", "look", "play", "stock"]) {
    say($("cost-" + key), money(cost[key]));
  }
  for (const name of D.countNames) say($("count-" + name), String(count[name]));
  const apart = cost.total - view.total;
  const changed = asListed() ? "as listed"
    : apart === 0 ? "changed by hand, costs the same"
      : `changed by hand, ${money(Math.abs(apart))} ${apart > 0 ? "more" : "less"} than listed`;
  say($("against"), `${view.title}: ${changed}`);
  document.body.classList.toggle("by-hand", !asListed());
  const list = $("breaks");
  list.hidden = !breaks.length;
  $("legal").hidden = Boolean(breaks.length);
  if (breaks.length) {
    const shown = breaks.slice(0, 6).map(([code, text]) => html("li", { "data-code": code, dir: "auto" }, text));
    if (breaks.length > 6) shown.push(html("li", {}, `and ${breaks.length - 6} more`));
    list.replaceChildren(html("p", {}, "Breaks the rules:"), html("ul", {}, ...shown));
  }
  list.dataset.codes = breaks.map(([code]) => code).sort().join(" ");
}

function showPlane(one, p) {
  const plane = D.planes[p], laid = now.planes[p], live = one.live;
  const start = plane.lay === "right-to-left" ? plane.high : plane.low;
  const finish = plane.lay === "right-to-left" ? plane.low : plane.high;
  const set = (key, text) => say(live.querySelector(`[data-live=${key}]`), text);
  set("first", near(laid.first));
  set("first-at", start);
  set("last", near(laid.last));
  set("last-at", finish);
  set("panels", plural(laid.seams.length + 1, "panel") + ", " + plural(laid.seams.length, "seam"));
  const [low, high] = windowOf(p);
  set("window", !laid.seams.length || plane.fromLine ? ""
    : low === high ? "The start must be exact."
      : `The start may be off: ${near(low)} to ${near(high)} leaves every state as it is.`);
  set("links", linkWords(p));
  const tops = shapeOf(p).tops;
  set("tops", tops ? `At the top the first is ${near(tops[0][chosen.at[p]])}, the last `
    + `${near(tops[1][chosen.at[p]])}.` : "");
  const odd = shapeOf(p).odds.length || shapeOf(p).changes.length;
  one.odd.hidden = !odd;
  if (odd) say(one.odd, oddWords(p));
  for (const i of plane.pens) {
    const pen = now.pens[i], cells = one.cells.get(i);
    const key = [pen.raw, pen.margin2, pen.worst2, pen.move, pen.cut, pen.unlanded].join();
    if (cells.key === key) continue;
    cells.key = key;
    cells.sign.replaceChildren(signIcon(D.pens[i].kind, pen.state));
    say(cells.at, place(pen.x));
    say(cells.state, word(pen) + (atRisk(pen) ? " (at risk)" : ""));
    say(cells.margin, marginText(pen.margin2));
    if (cells.worst) say(cells.worst, marginText(pen.worst2));
    if (cells.cut) {
      const walls = pen.unlanded ? `; ${plural(pen.unlanded, "wall")} without a seam` : "";
      say(cells.cut, D.pens[i].kind === "curb" ? pen.cut + walls : "");
    }
    cells.row.className = pen.margin2 !== null && pen.margin2 < 0 ? "short" : "";
  }
}

function linkWords(p) {
  const others = new Map();
  D.links.forEach((link, n) => {
    if (!link.planes.includes(p)) return;
    const other = D.planes[link.planes[0] === p ? link.planes[1] : link.planes[0]].id;
    const does = link.stagger ? (now.links[n] ? "stand half a cover off" : "do NOT stand half a cover off")
      : now.links[n] ? "meet" : "do NOT meet";
    others.set(does, [...(others.get(does) || []), other]);
  });
  return [...others].map(([does, ids]) => `Its seams ${does} those of ${ids.join(", ")}.`).concat(D.centres.map((one, n) => one.plane !== p ? ""
    : `${one.what}: ${now.centres[n] ? "met" : "missed"}.`)).filter(Boolean).join(" ");
}

function oddWords(p) {
  const shape = shapeOf(p);
  const odd = shape.odds.map(([n, width]) => `panel ${n} is ${near(width)}`);
  const changed = shape.changes.map(([n, ticks]) => `stretch ${n} is laid ${ticks > 0 ? "wider" : "narrower"}`);
  return `Kept at their numbers while the start moves: ${[...odd, ...changed].join("; ")}. Listed `
    + "starts are those that are legal with them.";
}

/* --- tables that say what the pictures say --- */

function fillOpen(p) {
  for (const [more, fill] of parts[p].more) if (more.open) fill(p, more);
}

function fillSeams(p, more) {
  const laid = now.planes[p], plane = D.planes[p];
  const back = plane.lay === "right-to-left";
  const seams = back ? [...laid.seams].reverse() : laid.seams;
  const line = plane.fromLine ? laid.seams.indexOf(plane.start) : -1;
  const body = seams.map((x, n) => html("tr", {}, html("th", { scope: "row" },
    String(plane.fromLine ? n - line : n + 1)), html("td", { class: "n" }, place(x)),
    html("td", { class: "n" }, place(plane.width - x))));
  more.querySelector("div").replaceChildren(html("table", {}, html("caption", {},
    `Seams of plane ${plane.id}${plane.lean ? " at the eave" : ""}, numbered from where laying starts`), html("thead", {}, html("tr", {},
    html("th", { scope: "col" }, "Seam"), html("th", { scope: "col", class: "n" }, `From the ${plane.low}`),
    html("th", { scope: "col", class: "n" }, `From the ${plane.high}`))), html("tbody", {}, ...body)));
}

function fillMap(p, more) {
  const one = parts[p];
  if (!one.map) return;
  const rows_ = [...D.planes[p].pens].sort((a, b) => D.pens[a].x - D.pens[b].x || a - b).map((i) => {
    const runs = one.map.runs(trackOf(i).state).map(([state, , , from, to]) =>
      `${D.look.words[state]} ${from === to ? "at " + near(from) : near(from) + " to " + near(to)}`);
    return html("tr", {}, html("th", { scope: "row" }, html("bdi", {}, D.pens[i].id)),
      html("td", {}, runs.join("; ")));
  });
  more.querySelector("div").replaceChildren(html("table", {}, html("caption", {},
    `What every legal first width of plane ${D.planes[p].id} does`), html("thead", {}, html("tr", {},
    html("th", { scope: "col" }, "Id"), html("th", { scope: "col" }, "First panel"))),
  html("tbody", {}, ...rows_)));
}

/* --- layouts, printing, size --- */

function pick(number) {
  choose(number);
  document.querySelectorAll("[name=view]").forEach((box) => { box.checked = Number(box.value) === number; });
  const listed = D.views[number].name;
  const own = document.querySelector(`[data-view="${listed}"]`) ? listed : "1";
  document.querySelectorAll("[data-view]").forEach((el) => { el.hidden = el.dataset.view !== own; });
  buildMoves();
  parts.forEach((one) => { for (const cells of one.cells.values()) cells.key = ""; });
  redraw();
}

function paper(on) {
  printing = on;
  document.body.classList.toggle("printing", on);
  document.querySelectorAll("details.in-print").forEach((el) => { el.open = on || el.dataset.was === "open"; });
  $("for-paper").media = on ? "all" : "print";
  parts.forEach((one) => { one.dirty = true; one.host.style.zoom = ""; });
  redraw();
  if (on) parts.forEach((one) => fitSheet(one.host));
}

/* A plane's sheet that is a little too long for a page is made smaller; a longer one runs on. */
const PAGE_HIGH = 920; // px: the shorter of letter and A4 less margins, and a little for rounding
function fitSheet(host) {
  const by = PAGE_HIGH / host.offsetHeight;
  if (by < 1 && by > 0.74) host.style.zoom = String(Math.floor(by * 1000) / 1000);
}

function begin() {
  choose(0);
  D.planes.forEach((_, p) => buildPlane(p));
  document.querySelectorAll("[name=view]").forEach((box) =>
    box.addEventListener("change", () => pick(Number(box.value))));
  $("back").addEventListener("click", () => pick(chosen.view));
  $("moves-off").addEventListener("click", () => { chosen.off = new Set(chosen.moves.keys()); buildMoves(); redraw(); });
  $("moves-on").addEventListener("click", () => { chosen.off = new Set(); buildMoves(); redraw(); });
  $("print").addEventListener("click", () => window.print());
  pick(0);
  if ("IntersectionObserver" in window) {
    const eye = new IntersectionObserver((entries) => {
      for (const entry of entries) {
        const p = Number(entry.target.dataset.plane);
        parts[p].near = entry.isIntersecting;
        if (entry.isIntersecting) drawIfNear(p);
      }
    }, { rootMargin: "400px" });
    parts.forEach((one) => eye.observe(one.figure));
  } else parts.forEach((one, p) => { one.near = true; drawIfNear(p); });
  let wide = window.innerWidth;
  window.addEventListener("resize", () => {
    if (printing || window.innerWidth === wide) return;
    wide = window.innerWidth;
    parts.forEach((one) => { one.dirty = true; });
    redraw();
  });
  window.addEventListener("beforeprint", () => paper(true));
  window.addEventListener("afterprint", () => paper(false));
  document.body.classList.add("ready");
}
if (D.views.length) begin();
