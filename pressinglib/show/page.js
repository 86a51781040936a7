// A page that asks nobody: it unpacks drawings that were planned beforehand, draws their marks as SVG, and lets a finger
// or a key go from one to the next. Lengths are whole decimetres on the pitch, in a picture metres.
"use strict"
const LOOK = JSON.parse(document.getElementById("look").textContent)
const LYING = matchMedia("(orientation: landscape)")
const SNAP_DM = 30, REACH_DM = 35 // how far from a planned place, and from a player, the finger still has it
const LEAST_PX = 12, THUMB_PX = 26 // height of type; what a thumb takes hold of, from its middle
const KEPT = "pressinglib-answers", MOST_TRIES = 2000, NOWHERE = [9e4, 9e4]
const LEVEL = { Area: 0, Line: 1, Arrow: 1, Spot: 1, Token: 2, Label: 3, Ring: 3 } // what lies above what
const UNPLANNED = ["pitch", "players", "body", "run", "ball"] // layers that are there without a plan
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }
const away = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1])
const least = (some, cost) => some.reduce((best, one) => cost(one) < cost(best) ? one : best, some[0])
const part = (root, name) => root.querySelector(`[data-part=${name}]`)

// -- The data: inflated, and each drawing made out of the one before it (`Pack` in page.py is the writer).
async function unpacked(root) {
  const bytes = Uint8Array.from(atob(part(root, "packed").textContent), sign => sign.charCodeAt(0)), last = []
  const data = await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"))).json()
  return { ...data, drawings: data.marks.map((row, at) => drawing(data, row, data.steps[at], data.says[at], last)) }
}

function drawing({ heads, texts }, row, steps, says, last) {
  const marks = []
  for (let i = 0, k = 0; i < row.length;) {
    const head = row[i] >> 1
    if (row[i++] & 1) {
      const points = [], count = row[i++], known = last[head]?.points, old = known?.length == count ? known : null
      for (let n = 0, x = 0, y = 0; n < count; n++) {
        x += steps[k++] + (old ? old[n][0] - (n && old[n - 1][0]) : 0)
        y += steps[k++] + (old ? old[n][1] - (n && old[n - 1][1]) : 0)
        points.push([x, y])
      }
      const [kind, layer, style, words, number] = heads[head]
      last[head] = { kind, layer, style, words, number, points }
    }
    marks.push(last[head])
  }
  const [title, words, ...rows] = says.map(n => texts[n])
  return { title, words, rows, marks }
}

// -- A picture: marks as SVG, upright or lying; what has not changed keeps its nodes.
const node = (name, values, ...inside) => {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name)
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, value)
  made.append(...inside)
  return made
}
const polygon = (points, fill, cover = 1) => node("polygon", { points: points.join(" "), fill, "fill-opacity": cover })
const line = (points, [stroke, width, dash]) => node("polyline", { points: points.join(" "), fill: "none", stroke,
  "stroke-width": width, "stroke-dasharray": dash.join(" ") })
const type = (words, x, y, size, fill, kind) => node("text", { x, y: y + .36 * size, "font-size": size, fill, class: kind }, words)
const DRAW = {
  Ring: (_, [[cx, cy]]) => node("circle", { class: "ring chosen", r: 2.6, cx, cy }),
  Area: ({ style }, points) => polygon(points, ...LOOK.fills[style]),
  Line: ({ style }, points) => line(points, LOOK.pens[style]),
  Arrow({ style }, points) {
    const tip = points.at(-1), back = points.findLast(xy => away(xy, tip) > 1e-6) ?? [tip[0], tip[1] + 1]
    const [ux, uy] = [0, 1].map(k => (tip[k] - back[k]) / away(tip, back) * LOOK.head), neck = [tip[0] - .8 * ux, tip[1] - .8 * uy]
    const barb = side => [tip[0] - ux - side * .42 * uy, tip[1] - uy + side * .42 * ux], pen = LOOK.pens[style]
    return node("g", {}, line([...points.slice(0, -1), neck], pen), polygon([tip, barb(1), neck, barb(-1)], pen[0]))
  },
  Spot({ style }, [[x, y]]) {
    const [stroke, width] = LOOK.pens[style], [lines, dash] = LOOK.forms[style.replace("other ", "")]
    return node("g", {}, ...lines.map(points => line(points.map(([dx, dy]) => [x + dx, y - dy]), [stroke, width, dash])))
  },
  Token({ style, words }, [[x, y]], size) {
    const [square, r, fill, stroke, colour, width] = LOOK.tokens[style], ink = { fill, stroke, "stroke-width": width }
    return node("g", {}, square ? node("rect", { x: x - r, y: y - r, width: 2 * r, height: 2 * r, ...ink })
      : node("circle", { cx: x, cy: y, r, ...ink }), type(words, x, y, LOOK.sizes[words.length] ?? size, colour, ""))
  },
  Label: ({ style, words }, [[x, y]], size) => type(words, x, y, style in LOOK.forms ? Math.max(LOOK.letter, size) : size, LOOK.pens[style][0], "halo") }

class Picture {
  constructor(svg, half) {
    Object.assign(this, { svg, half, nodes: new Map(), live: node("g", {}), ring: node("circle", { class: "ring", r: 2.6 }) })
    this.hold = node("circle", { class: "hold" })
    this.put(this.ring, NOWHERE)
    this.put(this.hold, NOWHERE)
    svg.replaceChildren(this.live, this.ring, this.hold)
    svg.setAttribute("tabindex", 0)
  }
  turn() {
    this.lying = LYING.matches
    const [long, wide] = this.half.map(dm => dm / 5), [w, h] = this.lying ? [long, wide] : [wide, long]
    this.svg.setAttribute("viewBox", `${-w / 2} ${-h / 2} ${w} ${h}`)
    const px = this.svg.getBoundingClientRect().width / w || 5.3
    this.size = Math.max(LOOK.least, LEAST_PX / px)
    this.hold.setAttribute("r", Math.max(3, THUMB_PX / px))
    this.nodes.clear()
  }
  page([x, y]) { return this.lying ? [x / 10, -y / 10] : [-y / 10, -x / 10] }
  way([right, up]) { return this.lying ? [right, up] : [up, -right] }
  place(event) {
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse())
    return this.lying ? [x * 10, -y * 10] : [-y * 10, -x * 10]
  }
  put(circle, xy) { this.page(xy).forEach((value, k) => circle.setAttribute("cxcy".slice(2 * k, 2 * k + 2), value)) }
  show(marks) {
    const nodes = new Map(marks.map(mark => [mark, this.nodes.get(mark) ?? this.draw(mark)]))
    this.live.replaceChildren(...[...nodes].sort(([a], [b]) => LEVEL[a.kind] - LEVEL[b.kind]).map(([, drawn]) => drawn))
    this.nodes = nodes
  }
  draw(mark) {
    const drawn = DRAW[mark.kind](mark, mark.points.map(xy => this.page(xy)), this.size)
    if (!UNPLANNED.includes(mark.layer)) drawn.classList.add("plan")
    return drawn
  }
  // The hand takes hold of what lies under the thumb: beside it a finger scrolls the page, or touches somebody.
  carried(move, drop, touch, keys) {
    let held = false
    const { hold, svg } = this, end = event => { if (held) { held = false; this.put(this.ring, NOWHERE); drop(this.place(event)) } }
    hold.addEventListener("touchstart", event => event.preventDefault(), { passive: false }) // or a page may scroll all the same
    hold.addEventListener("pointerdown", event => { held = true; hold.setPointerCapture(event.pointerId) })
    hold.addEventListener("pointermove", event => { if (held) { this.put(this.ring, this.place(event)); move(this.place(event)) } })
    for (const name of ["pointerup", "pointercancel"]) hold.addEventListener(name, end)
    svg.addEventListener("click", event => { if (event.target != hold) touch(this.place(event)) })
    svg.addEventListener("keydown", event => {
      if (event.ctrlKey || event.metaKey || event.altKey || !(event.key in WAYS || event.key in keys)) return
      event.preventDefault()
      event.key in WAYS ? keys.step(this.way(WAYS[event.key])) : keys[event.key]()
    })
  }
}

// Of places [name, [x, y]] the nearest that lies this way, more along it than across; else the one it started from.
function stepped(places, [name, from], way) {
  const ahead = places.map(([other, [x, y]]) => [other, (x - from[0]) * way[0] + (y - from[1]) * way[1],
    Math.abs((x - from[0]) * way[1] - (y - from[1]) * way[0])]).filter(([, along, across]) => along > 2 && across < along)
  return ahead.length ? least(ahead, ([, along, across]) => along + 2 * across)[0] : name
}
const nearest = (places, xy) => least(places, ([, at]) => away(at, xy))

// -- A scene: the ball from man to man, and what is planned for each place.
function scene(root, { places: found, loose, name, drawings }, picture) {
  const places = found.map(([who, x, y], n) => [n, [x, y], who]), list = part(root, "list")
  const men = [...new Set(found.map(place => place[0]))].filter(who => who && who != loose)
    .sort((a, b) => a.localeCompare(b, "en", { numeric: true }))
  const first = who => places.find(place => place[2] == who)[0], of = test => places.filter(place => test(place[2]))
  const called = who => who == loose ? "Loose ball" : who ? `Ball at ${who}` : "As it stands"
  let at = 0
  const isLoose = () => places[at][2] == loose, mode = () => of(who => (who == loose) == isLoose())
  const man = () => places[at][2] || nearest(places.slice(1), places[at][1])[2] // as it stands: the nearest
  const show = (place = at, between = false) => {
    const { marks, title, words } = drawings[at = place]
    root.classList.toggle("between", between)
    picture.show(marks)
    picture.put(picture.hold, marks.find(mark => mark.style == "ball").points[0])
    part(root, "title").textContent = name || title
    part(root, "words").textContent = (between ? "Between two men nothing was worked out. " : "") + words
  }
  const say = place => {
    show(place)
    const { title, words, rows } = drawings[at], who = list.value = places[at][2]
    picture.svg.setAttribute("aria-label", `${title}: ${words}`)
    part(root, "said").textContent = `${called(who)}. ${words}`
    part(root, "rows").replaceChildren(...rows.map(cells => {
      const row = document.createElement("tr")
      row.append(...cells.split("\n").map(textContent => Object.assign(document.createElement("td"), { textContent })))
      return row
    }))
    root.querySelector("[data-act=loose]").setAttribute("aria-pressed", isLoose())
  }
  const next = way => say(first(men[(men.indexOf(man()) + way + men.length) % men.length]))
  const move = xy => { const [n, there] = nearest(mode(), xy), near = isLoose() || away(there, xy) < SNAP_DM; show(near ? n : at, !near) }
  const touch = xy => { const [n, there] = nearest(mode(), xy); if (isLoose() || away(there, xy) < REACH_DM) say(n) }
  const acts = { next: () => next(1), before: () => next(-1),
    loose: () => say(isLoose() ? 0 : nearest(of(who => who == loose), places[at][1])[0]) }
  list.append(...["", ...men, loose].map(who => new Option(called(who), who)))
  list.addEventListener("change", () => say(first(list.value)))
  picture.carried(move, () => say(at), touch, { n: acts.next, l: acts.loose,
    step: way => say(stepped(of(who => who == man()), places[at], way)) })
  return [show, acts]
}

// -- Each part of the page begins as it comes near the window.
const KINDS = { scene, exercise }, shows = []
const near = new IntersectionObserver(entries => entries.filter(entry => entry.isIntersecting)
  .forEach(({ target }) => { near.unobserve(target); begin(target) }), { rootMargin: "600px" })
async function begin(root) {
  const data = await unpacked(root), picture = new Picture(part(root, "picture"), data.half)
  const [show, acts] = KINDS[root.dataset.kind](root, data, picture), again = () => { picture.turn(); show() }
  answering(root, acts)
  shows.push(again)
  again()
  root.querySelector(".plain")?.remove()
  root.drawings = data.drawings
  root.classList.add("begun")
  for (const hidden of root.querySelectorAll(".buttons, .how")) hidden.hidden = false
}
function answering(root, acts) {
  root.addEventListener("click", ({ target }) => { if (target.dataset.act) acts[target.dataset.act](target.value) })
}
if ("DecompressionStream" in window) for (const root of document.querySelectorAll("[data-kind]")) near.observe(root)
addEventListener("resize", () => shows.forEach(again => again()))
