/* The start map: for every legal first width a lane per penetration, and the start as a line. */
const laneHeight = (p) => (!printing ? 18 : D.planes[p].pens.length > 12 ? 9 : 14); // px
const PAD = 13; // px beside the lanes, so that the line's grip is never hidden
class StartMap {
  constructor(p, host, onChange) {
    this.p = p;
    this.onChange = onChange;
    this.host = host;
    this.lanes = new Map();
    this.build();
  }

  build() {
    const plane = D.planes[this.p];
    this.inner = html("div", { class: "map-inner" });
    this.axis = this.row("first panel", "axis");
    this.cost = this.row("total cost", "costlane");
    const order = [...plane.pens].sort((a, b) => D.pens[a].x - D.pens[b].x || a - b);
    for (const i of order) this.lanes.set(i, this.row(D.pens[i].id, "lane", i));
    this.needle = html("div", {
      class: "needle", role: "slider", tabindex: "0", "aria-orientation": "horizontal",
      "aria-label": `First panel of plane ${plane.id}`, "data-plane": this.p,
    }, html("span", { class: "grip", "aria-hidden": "true" }), html("output", { class: "flag" }));
    this.flag = this.needle.querySelector("output");
    this.band = html("div", { class: "band", "aria-hidden": "true" });
    this.inner.append(this.band, this.needle);
    this.host.append(this.inner);
    this.watch();
    this.listen();
  }

  row(label, kind, i) {
    const name = html("span", { class: "lane-name" });
    const sign = html("span", { class: "lane-sign" });
    const text = html("bdi", {});
    text.textContent = label;
    name.append(sign, text);
    if (i !== undefined) name.title = `${D.pens[i].id}, ${D.pens[i].what}`;
    const says = html("span", { class: "lane-says" });
    const field = html("span", { class: "lane-field" });
    const el = html("div", { class: "map-row " + kind }, name, field, says);
    this.inner.append(el);
    return { el, field, sign, says, drawn: "" };
  }

  watch() {
    this.seen = new Set();
    if (!("IntersectionObserver" in window)) { this.all = true; return; }
    const eye = new IntersectionObserver((entries) => {
      for (const entry of entries) {
        const i = Number(entry.target.dataset.pen);
        if (entry.isIntersecting) { this.seen.add(i); this.drawLane(i); }
      }
    }, { rootMargin: "500px 500px" });
    for (const [i, lane] of this.lanes) { lane.el.dataset.pen = i; eye.observe(lane.el); }
  }

  listen() {
    const set = (event) => {
      const box = this.axis.field.getBoundingClientRect();
      this.moveTo(this.nearest(event.clientX - box.left));
    };
    let dragging = null, tap = null;
    const begin = (event) => {
      if (event.button) return;
      const onNeedle = this.needle.contains(event.target);
      if (!onNeedle && !event.target.closest(".lane-field")) return;
      if (!onNeedle && event.pointerType !== "mouse") {
        // A tap on a lane puts the start there; a finger that goes on scrolls the map.
        tap = { id: event.pointerId, x: event.clientX, y: event.clientY };
        return;
      }
      dragging = event.pointerId;
      this.inner.setPointerCapture(dragging);
      this.needle.focus({ preventScroll: true });
      this.host.classList.add("dragging");
      if (!onNeedle) set(event);
      event.preventDefault();
    };
    this.inner.addEventListener("pointerdown", begin);
    this.inner.addEventListener("pointermove", (event) => {
      if (event.pointerId === dragging) set(event);
    });
    const end = (event) => {
      if (tap && event.pointerId === tap.id) {
        const far = Math.hypot(event.clientX - tap.x, event.clientY - tap.y);
        if (event.type === "pointerup" && far < 10) set(event);
        tap = null;
      }
      if (event.pointerId === dragging) { dragging = null; this.host.classList.remove("dragging"); }
    };
    this.inner.addEventListener("pointerup", end);
    this.inner.addEventListener("pointercancel", end);
    this.needle.addEventListener("keydown", (event) => {
      const last = shapeOf(this.p).firsts.length - 1, at = chosen.at[this.p];
      const to = {
        ArrowRight: at + 1, ArrowUp: at + 1, ArrowLeft: at - 1, ArrowDown: at - 1,
        PageUp: at + 8, PageDown: at - 8, Home: 0, End: last,
      }[event.key];
      if (to === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
      event.preventDefault();
      this.moveTo(Math.min(Math.max(to, 0), last));
      this.reveal();
    });
  }

  moveTo(k) {
    if (k !== chosen.at[this.p]) { chosen.at[this.p] = k; this.onChange(this.p); }
  }

  /* --- where things stand --- */

  measure() {
    const firsts = shapeOf(this.p).firsts;
    this.wide = this.axis.field.clientWidth;
    this.low = firsts[0] - D.mark;
    this.span = Math.max(firsts[firsts.length - 1] + D.mark - this.low, 1);
  }
  at(first) { return PAD + ((first - this.low) / this.span) * (this.wide - 2 * PAD); }
  nearest(px) {
    const firsts = shapeOf(this.p).firsts, want = this.low + ((px - PAD) / (this.wide - 2 * PAD)) * this.span;
    let best = 0;
    for (let k = 1; k < firsts.length; k++) {
      if (Math.abs(firsts[k] - want) < Math.abs(firsts[best] - want)) best = k;
    }
    return best;
  }

  /* Consecutive first widths with the same value: [value, x from, x to]. */
  runs(values) {
    const firsts = shapeOf(this.p).firsts, half = D.mark / 2, out = [];
    for (let k = 0; k < firsts.length; k++) {
      const prev = out[out.length - 1];
      if (k && prev[0] === values[k] && firsts[k] - firsts[k - 1] <= D.mark) prev[2] = firsts[k] + half;
      else out.push([values[k], firsts[k] - half, firsts[k] + half, firsts[k]]);
      out[out.length - 1][4] = firsts[k];
    }
    return out;
  }

  /* --- drawing --- */

  draw(found, all) {
    this.measure();
    this.key = [printing, this.wide, chosen.view, ...[...chosen.off]].join(",");
    this.drawAxis();
    for (const i of this.lanes.keys()) if (all || this.all || this.seen.has(i)) this.drawLane(i);
    this.follow(found, true);
    if (!printing) this.reveal();
  }

  drawAxis() {
    const el = svg("svg", { width: this.wide, height: 24 });
    const inch = D.per, fine = (this.wide - 2 * PAD) / (this.span / inch);
    const steps = D.units === "in" ? [1, 2, 3, 6, 12] : [10, 20, 50, 100, 200];
    const step = steps.find((one) => one * fine > 54) || steps[steps.length - 1];
    for (let n = Math.ceil(this.low / (step * inch)); n * step * inch <= this.low + this.span; n++) {
      const x = this.at(n * step * inch);
      if (x < 14 || x > this.wide - 14) continue;
      el.append(svg("path", { class: "tick", d: `M${num(x)} 18v6` }),
        textAt(x, 14, near(n * step * inch), { class: "axistext", "text-anchor": "middle" }));
    }
    // Where no first panel is legal.
    const firsts = shapeOf(this.p).firsts, half = D.mark / 2;
    for (let k = 1; k < firsts.length; k++) {
      if (firsts[k] - firsts[k - 1] <= D.mark) continue;
      const from = this.at(firsts[k - 1] + half), to = this.at(firsts[k] - half);
      const gap = svg("rect", { class: "gap", x: num(from), y: 17, width: num(Math.max(to - from, 0)), height: 7 });
      gap.append(textEl("title", "", "no legal first panel"));
      el.append(gap);
    }
    this.axis.field.replaceChildren(el);
  }

  /* The line stays in sight where the map is wider than the screen. */
  reveal() {
    const x = this.needle.offsetLeft, from = this.host.scrollLeft, wide = this.host.clientWidth;
    const names = this.axis.field.offsetLeft;
    if (x + 50 > from + wide) this.host.scrollLeft = x + 50 - wide;
    else if (x - 10 < from + names) this.host.scrollLeft = Math.max(0, x - names - 10);
  }

  drawLane(i) {
    const lane = this.lanes.get(i);
    if (this.key === undefined || lane.drawn === this.key) return;
    lane.drawn = this.key;
    const tall = laneHeight(this.p), small = tall < 12;
    const el = svg("svg", { width: this.wide, height: tall, "aria-hidden": "true" });
    for (const [state, from, to] of this.runs(trackOf(i).state)) {
      const x = this.at(from), w = this.at(to) - x;
      el.append(svg("rect", {
        class: "seg", x: num(x), y: small ? 1 : 2, width: num(Math.max(w, 0.8)),
        height: tall - (small ? 2 : 4),
        fill: `url(#fill-${state})`,
      }));
      if (w > 11) {
        el.append(textAt(x + w / 2, small ? 7.5 : tall / 2 + 4, D.look.letters[state], {
          class: (small ? "small " : "") + "letter" + (state === 3 ? " on-dark" : ""), "text-anchor": "middle",
        }));
      }
    }
    lane.field.replaceChildren(el);
  }

  drawCost(found) {
    const costs = costsOf(this.p, found);
    let least = costs[0], most = costs[0];
    for (const cents of costs) { least = Math.min(least, cents); most = Math.max(most, cents); }
    const high = 34, y = (cents) => high - 3 - ((cents - least) / Math.max(most - least, 1)) * (high - 8);
    const el = svg("svg", { width: this.wide, height: high, "aria-hidden": "true" });
    let d = "";
    for (const [cents, from, to] of this.runs(costs)) {
      d += `M${num(this.at(from))} ${high}V${num(y(cents))}H${num(this.at(to))}V${high}Z`;
    }
    el.append(svg("path", { class: "costs", d }));
    this.cost.field.replaceChildren(el);
    this.cost.says.textContent = `${money(least)} to ${money(most)}`;
  }

  /* What changes while the line is dragged. */
  follow(found, again) {
    const p = this.p, at = chosen.at[p], firsts = shapeOf(p).firsts, first = firsts[at];
    const left = this.axis.field.offsetLeft;
    this.needle.style.left = num(left + this.at(first)) + "px";
    const [low, high] = windowOf(p), x = this.at(low - D.mark / 2);
    this.band.style.left = num(left + x) + "px";
    this.band.style.width = num(this.at(high + D.mark / 2) - x) + "px";
    this.flag.textContent = near(first);
    this.flag.className = "flag" + (this.at(first) > this.wide - 60 ? " to-left" : "");
    this.needle.setAttribute("aria-valuemin", "0");
    this.needle.setAttribute("aria-valuemax", String(firsts.length - 1));
    this.needle.setAttribute("aria-valuenow", String(at));
    this.needle.setAttribute("aria-valuetext",
      `${near(first)}; extra cost ${money(found.cost.total)}; ${this.counted(found)}`);
    for (const [i, lane] of this.lanes) {
      const one = found.pens[i], key = one.raw + "," + one.margin2;
      if (lane.key === key) continue;
      lane.key = key;
      lane.sign.replaceChildren(signIcon(D.pens[i].kind, one.state));
      lane.says.textContent = `${word(one)}, ${marginText(one.margin2)}`;
    }
    if (again || D.links.some((link) => link.planes.includes(p))) this.drawCost(found);
  }
  counted(found) {
    const count = [0, 0, 0, 0, 0, 0];
    for (const i of D.planes[this.p].pens) count[found.pens[i].state]++;
    return count.map((n, s) => (n ? `${n} ${D.look.words[s]}` : "")).filter(Boolean).join(", ")
      || "no penetrations";
  }
}
