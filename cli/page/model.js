/* What a layout is worth, from tables: looked up, added and formatted, never guessed.
   Lengths are ticks (half ticks where a name ends in 2), money is whole cents. */
let printing = false; // whether the page is laid out for paper just now
const D = JSON.parse(document.getElementById("data").textContent);
const STATES = ["clear", "tight", "crosses", "on-seam", "crowded", "spans"];
const AT_END = 6; // on a seam by the rules, but what it meets is an end of the roof

const mod = (a, b) => ((a % b) + b) % b;
const floorDiv = (a, b) => (a - mod(a, b)) / b;

function unpack(row) {
  const out = [];
  for (let at = 0; at < row.length; at += 3) {
    for (let n = 0; n < row[at]; n++) {
      out.push(row[at + 1] === null ? null : row[at + 1] + n * row[at + 2]);
    }
  }
  return out;
}

/* --- lengths and money as the reports write them --- */

function partsOf(mark) {
  if (D.units === "in") {
    for (const parts of [16, 32, 64]) if ((mark * parts) % D.per === 0) return [parts, null];
    return [1000, 3];
  }
  for (const digits of [0, 1, 2]) {
    if ((mark * 10 ** digits) % D.per === 0) return [10 ** digits, digits];
  }
  return [100, 2];
}
const decimal = (count, parts, digits) => {
  const whole = Math.floor(count / parts);
  return digits ? whole + "." + String(count % parts).padStart(digits, "0") : String(whole);
};
function inchesText(count, parts, digits) {
  if (digits !== null) {
    return decimal(count, parts, digits).replace(/0+$/, "").replace(/\.$/, "") + '"';
  }
  const whole = Math.floor(count / parts);
  let over = count % parts;
  if (!over) return whole + '"';
  while (over % 2 === 0 && parts % 2 === 0) { over /= 2; parts /= 2; }
  return (whole ? whole + " " : "") + over + "/" + parts + '"';
}
function formatLength(halves, how, feet) {
  const [parts, digits] = partsOf(D.mark);
  const num = halves * parts, den = 2 * D.per;
  let count = how === "down" ? floorDiv(num, den)
    : Math.sign(num) * floorDiv(2 * Math.abs(num) + den, 2 * den);
  const sign = count < 0 ? "-" : "";
  count = Math.abs(count);
  if (D.units === "mm") return sign + decimal(count, parts, digits) + " mm";
  if (feet && count >= 12 * parts) {
    const whole = Math.floor(count / (12 * parts)), rest = count % (12 * parts);
    const zero = rest > 0 && rest < parts && digits === null ? "0 " : "";
    return sign + whole + "' " + zero + inchesText(rest, parts, digits);
  }
  return sign + inchesText(count, parts, digits);
}
const near = (ticks) => formatLength(2 * ticks, "nearest", false);
const place = (ticks) => formatLength(2 * ticks, "nearest", true);
const marginText = (m2) => (m2 === null ? "no seam" : formatLength(m2, "down", false));
function money(cents) {
  const size = Math.abs(cents);
  const whole = String(Math.floor(size / 100)).replace(/\B(?=(\d{3})+$)/g, ",");
  return (cents < 0 ? "-" : "") + whole + "." + String(size % 100).padStart(2, "0");
}
const plural = (n, one, many) => n + " " + (n === 1 ? one : many || one + "s");

/* --- tables --- */

for (const plane of D.planes) {
  for (const shape of plane.shapes) {
    shape.firsts = unpack(shape.firsts);
    shape.stock = shape.stock && unpack(shape.stock);
    shape.hits = shape.hits.map(([centre, row]) => [centre, unpack(row)]);
    shape.tops = shape.tops && shape.tops.map(unpack);
    shape.odd = new Map(shape.odds);
    shape.change = new Map(shape.changes);
    shape.by = new Map(shape.tracks.map((track) => [track[0] + ":" + track[1], track]));
  }
}
/* Rows of one track, unpacked when they are first asked for. */
function rows(track) {
  if (!track.rows) {
    track.rows = {
      raw: unpack(track[2]), margin2: unpack(track[3]), worst2: track[4] && unpack(track[4]),
      cut: track[5] && unpack(track[5]), unlanded: track[6] && unpack(track[6]),
    };
    track.rows.state = track.rows.raw.map((code) => (code === AT_END ? 3 : code));
  }
  return track.rows;
}

/* --- what is chosen: a view, and by hand the first widths and which moves are left out --- */

const chosen = { view: 0, at: [], moves: new Map(), off: new Set() };
const shapeOf = (p) => D.planes[p].shapes[D.views[chosen.view].shapes[p]];
const firstOf = (p) => shapeOf(p).firsts[chosen.at[p]];
const moveOf = (i) => (chosen.off.has(i) ? 0 : chosen.moves.get(i) || 0);
const trackOf = (i) => rows(shapeOf(D.pens[i].plane).by.get(i + ":" + moveOf(i)));

function choose(number) {
  chosen.view = number;
  const view = D.views[number];
  chosen.moves = new Map(view.moves);
  chosen.off = new Set();
  chosen.at = view.firsts.map((first, p) => shapeOf(p).firsts.indexOf(first));
}
function asListed() {
  const view = D.views[chosen.view];
  return !chosen.off.size && view.firsts.every((first, p) => firstOf(p) === first);
}

/* Panels from the starting end: widths, all that is odd kept at its number. */
function layPlane(p, first) {
  const plane = D.planes[p], shape = shapeOf(p), cover = D.cover;
  if (plane.width <= cover) return { seams: [], first: plane.width, last: plane.width };
  if (shape.seams) {
    const seams = shape.seams;
    return { seams, first: seams[0], last: plane.width - seams[seams.length - 1] };
  }
  const seams = [];
  let at = first, number = 2;
  for (;;) {
    seams.push(at);
    const room = plane.width - at;
    if (room <= cover && !shape.odd.has(number)) break;
    const stretch = Math.floor((number - 2) / D.remeasure) + 1;
    const wide = shape.odd.has(number) ? shape.odd.get(number)
      : cover + (shape.change.get(stretch) || 0);
    if (wide >= room) break;
    at += wide;
    number++;
  }
  const last = plane.width - at;
  if (plane.lay === "right-to-left") {
    return { seams: seams.map((u) => plane.width - u).reverse(), first, last };
  }
  return { seams, first, last };
}
const unevenOf = (one) =>
  floorDiv(Math.max(0, Math.abs(one.first - one.last) - D.unevenFree), D.unevenUnit);

function firstSeam(p, first) {
  const plane = D.planes[p];
  if (plane.fromLine) return plane.start;
  return plane.lay === "right-to-left" ? plane.width - first : first;
}
function meets(link, one, other) {
  const [a, b] = link.planes, cover = D.cover;
  if (D.planes[a].width <= cover || D.planes[b].width <= cover) return true;
  const here = firstSeam(a, one), there = firstSeam(b, other);
  const mapped = (link.mirror ? D.planes[a].width - here : here) + link.offset;
  const apart2 = 2 * mod(mapped - there, cover);
  const off2 = Math.abs(apart2 - (link.stagger ? cover : 0));
  return Math.min(off2, 2 * cover - off2) <= 2 * D.meetTol;
}

/* --- the whole layout --- */

const RATE_OF = [null, "tight", "crosses", "on_seam"];
function flashingOf(track, k) {
  const rate = D.rates;
  const state = track.state[k];
  let cents = RATE_OF[state] ? rate[RATE_OF[state]] : 0;
  if (state === 4) cents += rate.crowded;
  if (track.cut) cents += track.cut[k] * rate.seam_cut;
  if (track.unlanded) cents += track.unlanded[k] * rate.unlanded;
  return cents;
}
const movedRate = (i) =>
  D.pens[i].status === "planned" ? D.rates.move_planned
    : D.pens[i].status === "stubbed" ? D.rates.move_stubbed : 0;

function judge() {
  const count = Object.fromEntries(D.countNames.map((one) => [one, 0]));
  const cost = { flashing: 0, moves: 0, odd_panels: 0, look: 0, play: 0, stock: 0 };
  const pens = D.pens.map((pen, i) => {
    const track = trackOf(i), k = chosen.at[pen.plane], move = moveOf(i);
    const one = {
      raw: track.raw[k], state: track.state[k], margin2: track.margin2[k],
      worst2: track.worst2 ? track.worst2[k] : null, cut: track.cut ? track.cut[k] : 0,
      unlanded: track.unlanded ? track.unlanded[k] : 0, move, x: pen.x + move,
    };
    if (one.state >= 1 && one.state <= 4) count[STATES[one.state]]++;
    count.seams_cut += one.cut;
    count.unlanded += one.unlanded;
    if (move) { count.moved++; cost.moves += movedRate(i); }
    cost.flashing += flashingOf(track, k);
    return one;
  });
  const centres = new Array(D.centres.length).fill(true);
  const planes = D.planes.map((plane, p) => {
    const shape = shapeOf(p), laid = layPlane(p, firstOf(p));
    count.uneven += unevenOf(laid);
    count.odd_panels += shape.odds.length;
    cost.play += shape.changes.length * D.rates.play;
    if (shape.stock) count.stock += shape.stock[chosen.at[p]];
    for (const [centre, row] of shape.hits) {
      centres[centre] = Boolean(row[chosen.at[p]]);
      if (!centres[centre]) count.off_centre++;
    }
    return laid;
  });
  const links = D.links.map((link) => meets(link, firstOf(link.planes[0]), firstOf(link.planes[1])));
  count.links_missed = links.filter((meet) => !meet).length;
  cost.odd_panels = count.odd_panels * D.rates.odd_panel;
  cost.look = count.uneven * D.rates.uneven + count.links_missed * D.rates.misaligned
    + count.off_centre * D.rates.off_centre;
  if (D.stockCharged) cost.stock = count.stock * D.rates.area;
  cost.total = cost.flashing + cost.moves + cost.odd_panels + cost.look + cost.play + cost.stock;
  const found = { count, cost, pens, planes, links, centres };
  found.breaks = breaksOf(found);
  return found;
}

/* Rules that hang on what can be chosen here; all others hold for whatever is legal to choose. */
function breaksOf(found) {
  const out = [];
  for (const [p, width] of D.frozenFirsts) {
    if (firstOf(p) !== width) {
      out.push(["frozen", `${D.planes[p].id}: a first panel of ${near(width)} is agreed.`]);
    }
  }
  const agreed = new Map(D.frozenMoves);
  D.pens.forEach((pen, i) => {
    const one = found.pens[i];
    if (one.move && pen.kind === "pipe" && one.state !== 0) {
      out.push(["not-clear", `${pen.id} would not be clear after its move.`]);
    }
    if (agreed.has(i) && agreed.get(i) !== one.move) {
      out.push(["frozen", `${pen.id}: where it stands is agreed.`]);
    }
    if (pen.forbid.includes(STATES[one.state])) {
      out.push(["forbidden", `${pen.id}: the case forbids "${word(one, pen)}" for it.`]);
    }
    if (pen.mustLand && one.unlanded) {
      out.push(["must-land", `${pen.id} must have a seam at both of its walls.`]);
    }
  });
  for (const [i, a, j, b] of D.near) {
    if (found.pens[i].move === a && found.pens[j].move === b) {
      out.push(["near-pair", `${D.pens[i].id} and ${D.pens[j].id} would stand too near each other.`]);
    }
  }
  D.links.forEach((link, n) => {
    if (link.must && !found.links[n]) {
      const [a, b] = link.planes.map((p) => D.planes[p].id);
      out.push(["must-link", `The seams of ${a} and ${b} must meet as their link asks.`]);
    }
  });
  D.centres.forEach((one, n) => {
    if (one.must && !found.centres[n]) {
      out.push(["must-centre", `${D.planes[one.plane].id}: ${one.what} must be met.`]);
    }
  });
  return out;
}

/* The run of legal first widths around the chosen one in which every state stays (ticks). */
function windowOf(p) {
  const shape = shapeOf(p), at = chosen.at[p], firsts = shape.firsts;
  if (shape.seams) return [firsts[at], firsts[at]];
  const tracks = D.planes[p].pens.map(trackOf);
  const same = (k) => tracks.every((t) =>
    t.state[k] === t.state[at] && (!t.unlanded || t.unlanded[k] === t.unlanded[at]));
  let low = at, high = at;
  while (low > 0 && firsts[low] - firsts[low - 1] <= D.mark && same(low - 1)) low--;
  while (high < firsts.length - 1 && firsts[high + 1] - firsts[high] <= D.mark && same(high + 1)) {
    high++;
  }
  return [firsts[low], firsts[high]];
}

/* What the whole roof would cost at every first width of one plane, all else as chosen. */
function costsOf(p, found) {
  const shape = shapeOf(p), k0 = chosen.at[p], rate = D.rates;
  const own = (k) => {
    let cents = unevenOf(layPlane(p, shape.firsts[k])) * rate.uneven;
    if (shape.stock) cents += shape.stock[k] * rate.area;
    for (const [, row] of shape.hits) if (!row[k]) cents += rate.off_centre;
    for (const link of D.links) {
      if (link.planes.includes(p)) {
        const [one, other] = link.planes.map((q) => (q === p ? shape.firsts[k] : firstOf(q)));
        if (!meets(link, one, other)) cents += rate.misaligned;
      }
    }
    return cents;
  };
  const costs = shape.firsts.map((_, k) => own(k));
  for (const i of D.planes[p].pens) {
    const track = trackOf(i);
    for (let k = 0; k < costs.length; k++) costs[k] += flashingOf(track, k);
  }
  const apart = found.cost.total - costs[k0];
  return costs.map((cents) => cents + apart);
}

/* --- words --- */

function word(one) {
  if (one.raw === AT_END) return "meets the end";
  return D.look.words[one.state];
}
const atRisk = (one) => one.state === 0 && one.worst2 !== null && one.worst2 < 0;
function towards(p, move) {
  return move > 0 ? D.planes[p].high : D.planes[p].low;
}
