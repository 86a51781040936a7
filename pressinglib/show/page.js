// A page that asks nobody: it unpacks drawings that were planned beforehand, draws their marks as SVG in metres, and lets
// a finger or a key go from one to the next. Lengths in the data are whole decimetres on the pitch.
"use strict"
const LOOK = JSON.parse(document.getElementById("look").textContent)
const LYING = matchMedia("(orientation: landscape)")
const SNAP_DM = 30, REACH_DM = 35 // how far from a place that was planned the finger still has it; from a player
const LEAST_PX = 12, THUMB_PX = 26 // height of type; what a thumb can take hold of, from its middle
const KEPT = "pressinglib-answers", MOST_TRIES = 2000
const LEVEL = { Area: 0, Line: 1, Arrow: 1, Spot: 1, Token: 2, Label: 3 } // what lies above what
const ALWAYS = ["pitch", "players", "body", "run", "ball"] // these layers are there without a plan
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }
const part = (root, name) => root.querySelector(`[data-part="${name}"]`)
const away = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1])
const least = (some, cost) => some.reduce((best, one) => cost(one) < cost(best) ? one : best, some[0])

// -- The data: inflated, and each drawing made of the one before it (see `Pack` in page.py).
async function unpacked(root) {
  const bytes = Uint8Array.from(atob(part(root, "packed").textContent), sign => sign.charCodeAt(0))
  const data = await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"))).json()
  const last = new Map()
  return { ...data, drawings: data.marks.map((row, at) => drawing(data, row, data.steps[at], data.says[at], last)) }
}

function drawing({ heads, texts }, row, steps, says, last) {
  const marks = [], seen = {}, none = [0, 0]
  for (let i = 0, k = 0; i < row.length;) {
    const head = row[i] >> 1, key = `${head} ${seen[head] = (seen[head] ?? 0) + 1}`
    if (row[i++] & 1) {
      const points = [], count = row[i++], old = last.get(key)?.points, known = old?.length == count ? old : []
      for (let n = 0; n < count; n++) {
        points.push([0, 1].map(axis => steps[k++] + (points[n - 1] ?? none)[axis] + (known[n] ?? none)[axis] - (known[n - 1] ?? none)[axis]))
      }
      const [kind, layer, style, words, number] = heads[head]
      last.set(key, { kind, layer, style, words, number, points })
    }
    marks.push(last.get(key))
  }
  const [title, words, ...rows] = says.map(n => texts[n])
  return { title, words, rows: rows.map(line => line.split("\n")), marks }
}

// -- A picture: marks as SVG, upright or lying; what has not changed keeps its nodes.
const node = (name, values, ...inside) => {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name)
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, value)
  made.append(...inside)
  return made
}

class Picture {
  constructor(root, half) {
    Object.assign(this, { svg: part(root, "picture"), half, nodes: new Map(), live: node("g", {}) })
    this.ring = node("circle", { class: "ring", r: 2.6, cx: 999, cy: 0 })
    this.hold = node("circle", { class: "hold", cx: 999, cy: 0 })
    this.svg.replaceChildren(this.live, this.ring, this.hold)
    this.svg.setAttribute("tabindex", 0)
  }
  turn() {
    this.lying = LYING.matches
    const [long, wide] = this.half.map(dm => dm / 5), [w, h] = this.lying ? [long, wide] : [wide, long]
    this.svg.setAttribute("viewBox", `${-w / 2} ${-h / 2} ${w} ${h}`)
    const px = this.svg.getBoundingClientRect().width / w || 5.3
    this.least = Math.max(LOOK.least, LEAST_PX / px)
    this.hold.setAttribute("r", Math.max(3, THUMB_PX / px))
    this.nodes.clear()
  }
  page([x, y]) { return this.lying ? [x / 10, -y / 10] : [-y / 10, -x / 10] }
  way([right, up]) { return this.lying ? [right, up] : [up, -right] }
  place(event) {
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse())
    return this.lying ? [x * 10, -y * 10] : [-y * 10, -x * 10]
  }
  put(circle, xy) { const [cx, cy] = xy ? this.page(xy) : [999, 0]; circle.setAttribute("cx", cx); circle.setAttribute("cy", cy) }
  show(marks) {
    const nodes = new Map(marks.map(mark => [mark, this.nodes.get(mark) ?? this.draw(mark)]))
    this.live.replaceChildren(...[...nodes].sort(([a], [b]) => LEVEL[a.kind] - LEVEL[b.kind]).map(([, drawn]) => drawn))
    this.nodes = nodes
  }
  draw(mark) {
    const points = mark.points.map(xy => this.page(xy)), [x, y] = points[0], pen = LOOK.pens[mark.style]
    const drawn = { Area: () => this.area(points, ...Object.values(LOOK.fills[mark.style] ?? [])), Spot: () => this.form(mark.style, x, y),
      Line: () => this.line(points, pen), Arrow: () => this.arrow(points, pen), Token: () => this.token(mark, x, y),
      Label: () => this.type(mark.words, x, y, mark.style in LOOK.forms ? LOOK.letter : LOOK.least, pen[0], "halo") }[mark.kind]()
    if (!ALWAYS.includes(mark.layer)) drawn.classList.add("plan")
    return drawn
  }
  area(points, fill, cover) { return node("polygon", { points: points.join(" "), fill, "fill-opacity": cover }) }
  line(points, [stroke, width, dash]) {
    return node("polyline", { points: points.join(" "), fill: "none", stroke, "stroke-width": width, "stroke-dasharray": dash.join(" ") })
  }
  arrow(points, pen) {
    const tip = points.at(-1), back = points.findLast(xy => away(xy, tip) > 1e-6) ?? [tip[0], tip[1] + 1]
    const [ux, uy] = [0, 1].map(k => (tip[k] - back[k]) / away(tip, back) * LOOK.head)
    const neck = [tip[0] - .8 * ux, tip[1] - .8 * uy], barb = side => [tip[0] - ux - side * .42 * uy, tip[1] - uy + side * .42 * ux]
    return node("g", {}, this.line([...points.slice(0, -1), neck], pen), this.area([tip, barb(1), neck, barb(-1)], pen[0], 1))
  }
  form(style, x, y) {
    const [stroke, width] = LOOK.pens[style], [lines, dash] = LOOK.forms[style.replace("other ", "")]
    return node("g", {}, ...lines.map(line => this.line(line.map(([dx, dy]) => [x + dx, y - dy]), [stroke, width, dash])))
  }
  token({ style, words }, x, y) {
    const { square, radius_m: r, fill, edge, number, width_m } = LOOK.tokens[style], ink = { fill, stroke: edge, "stroke-width": width_m }
    const body = square ? node("rect", { x: x - r, y: y - r, width: 2 * r, height: 2 * r, ...ink }) : node("circle", { cx: x, cy: y, r, ...ink })
    const size = words.length > 2 ? LOOK.sizes[words.length] : this.least
    return node("g", {}, body, this.type(words, x, y, size, number, ""))
  }
  type(words, x, y, size, fill, kind) {
    size = kind ? Math.max(size, this.least) : size
    return node("text", { x, y: y + .36 * size, "font-size": size, fill, class: kind }, words)
  }
  // A hand takes hold of what lies under the thumb, and nothing else: beside it a finger scrolls the page.
  carried(move, drop, tap) {
    let held = false
    const end = event => { if (held) { held = false; this.put(this.ring); drop(this.place(event)) } }
    this.hold.addEventListener("pointerdown", event => { held = true; this.hold.setPointerCapture(event.pointerId) })
    this.hold.addEventListener("pointermove", event => { if (held) { const xy = this.place(event); this.put(this.ring, xy); move(xy) } })
    for (const name of ["pointerup", "pointercancel"]) this.hold.addEventListener(name, end)
    this.svg.addEventListener("click", event => { if (event.target != this.hold) tap(this.place(event)) })
  }
  keys(step, other = {}) {
    this.svg.addEventListener("keydown", event => {
      const act = WAYS[event.key] ? () => step(this.way(WAYS[event.key])) : other[event.key.toLowerCase()]
      if (act && !event.ctrlKey && !event.metaKey && !event.altKey) { event.preventDefault(); act() }
    })
  }
}

// The nearest of some numbered places that lie this way, more along it than across.
function stepped(places, from, way) {
  const ahead = places.map(([n, x, y]) => [n, (x - from[0]) * way[0] + (y - from[1]) * way[1], Math.abs((x - from[0]) * way[1] - (y - from[1]) * way[0])])
    .filter(([, along, across]) => along > 2 && across < along)
  return least(ahead, ([, along, across]) => along + 2 * across)?.[0]
}

// -- A scene: the ball from man to man, and what is planned for each place.
function scene(root, data, picture) {
  const places = data.places.map(([who, x, y], n) => [n, x, y, who])
  const men = [...new Set(data.places.map(place => place[0]))].filter(who => who && who != data.loose)
  const list = part(root, "list"), first = who => places.find(place => place[3] == who)[0]
  const name = who => who == data.loose ? "Loose ball" : who ? `Ball at ${who}` : "As it stands"
  let at = 0
  const show = (place, between) => {
    const shown = data.drawings[at = place]
    root.classList.toggle("between", !!between)
    picture.show(shown.marks)
    picture.put(picture.hold, shown.marks.find(mark => mark.style == "ball").points[0])
    part(root, "title").textContent = data.name || shown.title
    part(root, "words").textContent = (between ? "Between two men nothing was worked out. " : "") + shown.words
  }
  const say = place => {
    show(place)
    const shown = data.drawings[at], who = list.value = places[at][3]
    picture.svg.setAttribute("aria-label", `${shown.title}: ${shown.words}`)
    part(root, "said").textContent = `${name(who)}. ${shown.words}`
    part(root, "rows").replaceChildren(...shown.rows.map(row => rowOf(row)))
    root.querySelector("[data-act=loose]").setAttribute("aria-pressed", who == data.loose)
  }
  const mode = () => places.filter(place => (place[3] == data.loose) == (places[at][3] == data.loose))
  const nearest = (xy, some = mode()) => least(some, ([, x, y]) => away([x, y], xy))
  const move = xy => {
    const [n, x, y] = nearest(xy), near = places[at][3] == data.loose || away([x, y], xy) < SNAP_DM
    show(near ? n : at, !near)
  }
  const next = way => say(first(men[(men.indexOf(man()) + way + men.length) % men.length]))
  const man = () => places[at][3] || nearest(places[at].slice(1), places.slice(1))[3] // as it stands: whoever is nearest
  const step = way => say(stepped(places.filter(place => place[3] == man()), places[at].slice(1), way) ?? at)
  const acts = { next: () => next(1), before: () => next(-1),
    loose: () => say(places[at][3] == data.loose ? 0 : nearest(places[at].slice(1), places.filter(place => place[3] == data.loose))[0]) }
  list.append(...["", ...men, data.loose].map(who => new Option(name(who), who)))
  list.addEventListener("change", () => say(first(list.value)))
  for (const [act, run] of Object.entries(acts)) root.querySelector(`[data-act=${act}]`).addEventListener("click", run)
  picture.carried(move, () => say(at), xy => { const [n, x, y] = nearest(xy); if (away([x, y], xy) < REACH_DM) say(n) })
  picture.keys(step, { n: acts.next, l: acts.loose })
  return () => show(at)
}

function rowOf(cells) {
  const row = document.createElement("tr")
  row.append(...cells.map(words => Object.assign(document.createElement("td"), { textContent: words })))
  return row
}

// -- An exercise: every answer was judged beforehand, in the words that the lesson would say.
function exercise(root, data, picture) {
  const { form, verdicts, answers, hints } = data, grids = Object.entries(form.placed ?? {}), start = data.drawings[0]
  const field = part(root, "number"), buttons = [...root.querySelectorAll("[data-option]")], verdict = part(root, "verdict")
  let chosen = [], put = grids.map(() => 0), who = 0, wrong = 0, hint = 0
  const key = () => grids.length ? put.join() : field ? `${+field.value}` : chosen.join(", ")
  const value = () => grids.length ? Object.fromEntries(grids.map(([n, places], k) => [n, places[put[k]].map(dm => dm / 10)])) : key()
  const token = n => start.marks.find(mark => mark.kind == "Token" && mark.number == n && (!form.team || mark.style == form.team))
  const tell = (head, words, tone = "") => { verdict.textContent = head && `${head}: ${words}`; verdict.dataset.tone = tone }
  const show = () => {
    const places = new Map(grids.map(([n, grid], k) => [token(n), grid[put[k]]]))
    const shown = data.drawings[data.moved?.[key()] ?? 0].marks.map(mark => places.has(mark) ? { ...mark, points: [places.get(mark)] } : mark)
    const rings = chosen.map(token).filter(Boolean).map(mark => ({ ...mark, kind: "Spot", style: "cover", layer: "players" }))
    picture.show([...shown, ...rings])
    if (grids.length) picture.put(picture.hold, grids[who][1][put[who]])
    for (const button of buttons) {
      const nth = chosen.indexOf(button.dataset.option) + 1
      button.setAttribute("aria-pressed", nth > 0)
      button.dataset.nth = nth && form.in_order ? nth : ""
    }
    for (const [k, button] of [...root.querySelectorAll("[data-placed]")].entries()) button.setAttribute("aria-pressed", k == who)
  }
  const change = act => { act(); tell("", ""); show() }
  const choose = name => change(() => {
    const alone = !form.several || [name, ...chosen].includes(form.none)
    chosen = chosen.includes(name) ? chosen.filter(one => one != name) : alone ? [name] : [...chosen, name]
    if (!form.in_order) chosen.sort((a, b) => form.options.indexOf(a) - form.options.indexOf(b))
  })
  const place = xy => change(() => { put[who] = least([...grids[who][1].entries()], ([, at]) => away(at, xy))[0] })
  const take = xy => {
    const near = least([...(grids.length ? grids.map(([n, grid], k) => [k, grid[put[k]]]) : form.team ? form.options.map(n => [n, token(n)?.points[0] ?? [9e9, 0]]) : [["", [9e9, 0]]])], ([, at]) => away(at, xy))
    if (away(near[1], xy) < REACH_DM) grids.length ? change(() => { who = near[0] }) : choose(near[0])
  }
  const acts = {
    check() {
      const [outcome, head, ...words] = verdicts[answers[key()]] ?? ["not attempted", "Not attempted", data.asks]
      tell(head, words[Math.min(wrong, words.length - 1)], outcome)
      if (outcome == "not attempted") return
      wrong += outcome == "wrong"
      part(root, "why")?.removeAttribute("hidden")
      if (outcome == "right") part(root, "why")?.setAttribute("open", "")
      keep({ lesson: data.lesson, exercise: data.name, answer: value(), outcome })
    },
    hint() { hint = Math.min(hint + 1, hints.length); tell(`Hint ${hint} of ${hints.length}`, hints[hint - 1]) },
    show() { change(() => { if (grids.length) put = [...data.model]; else if (field) field.value = part(root, "slider").value = data.model; else chosen = [...data.model] }); tell("Solution", data.solution) } }
  for (const button of buttons) button.addEventListener("click", () => choose(button.dataset.option))
  for (const [k, button] of [...root.querySelectorAll("[data-placed]")].entries()) button.addEventListener("click", () => change(() => { who = k }))
  for (const [act, run] of Object.entries(acts)) root.querySelector(`[data-act=${act}]`)?.addEventListener("click", run)
  for (const one of ["number", "slider"]) part(root, one)?.addEventListener("input", event => change(() => { field.value = part(root, "slider").value = event.target.value }))
  if (grids.length) {
    picture.carried(xy => picture.show(start.marks.map(mark => mark === token(grids[who][0]) ? { ...mark, points: [xy] } : mark)), place, take)
    picture.keys(way => change(() => { put[who] = stepped([...grids[who][1].entries()].map(([n, at]) => [n, ...at]), grids[who][1][put[who]], way) ?? put[who] }))
  } else picture.carried(() => 0, () => 0, take)
  return show
}

// -- Tries: as the answer file that a tutor marks; all such pages of one browser share them.
const box = { learner: "", tries: [] }
const kept = () => {
  try { Object.assign(box, JSON.parse(localStorage.getItem(KEPT) ?? "{}")) } catch { /* a browser that keeps nothing */ }
  return box
}
function keep(one) {
  const before = kept().tries.filter(old => old.lesson == one.lesson && old.exercise == one.exercise).at(-1)
  if (JSON.stringify(before?.answer) != JSON.stringify(one.answer)) box.tries = [...box.tries, one].slice(-MOST_TRIES)
  store()
}
function store(words = "") {
  try { localStorage.setItem(KEPT, JSON.stringify(box)) } catch { words = "This browser keeps nothing: save the file before you close the page." }
  const home = document.getElementById("answers")
  if (home) part(home, "count").textContent = words || `Tries kept on this device: ${box.tries.length}.`
}
function answersDesk(home) {
  const name = part(home, "name"), copy = part(home, "text")
  const file = () => JSON.stringify({ version: 1, made_with: home.dataset.version, learner: (kept().learner || "me"), tries: box.tries }, null, 1)
  name.value = kept().learner
  name.addEventListener("change", () => { kept().learner = name.value.replace(/[^\p{L}\p{N} .,'-]/gu, " ").trim().slice(0, 80); store() })
  part(home, "save").addEventListener("click", () => {
    const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(new Blob([file()], { type: "application/json" })) })
    link.download = `${box.learner.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "_") || "me"}.json`
    link.click()
    store("Saved. Hand that file in.")
  })
  part(home, "copy").addEventListener("click", () => {
    copy.hidden = false
    copy.value = file()
    copy.select()
    navigator.clipboard?.writeText(copy.value).then(() => store("Copied."), () => store("Copy the marked text."))
  })
  store()
}

// -- Each part of the page begins as it comes near the window.
const KINDS = { scene, exercise }, shows = new Map()
const near = new IntersectionObserver(entries => {
  for (const { target } of entries.filter(entry => entry.isIntersecting)) { near.unobserve(target); begin(target) }
}, { rootMargin: "600px" })
async function begin(root) {
  const data = await unpacked(root), picture = new Picture(root, data.half)
  const show = KINDS[root.dataset.kind](root, data, picture)
  shows.set(root, () => { picture.turn(); show() })
  shows.get(root)()
  root.drawings = data.drawings
  for (const hidden of root.querySelectorAll(".buttons, .how")) hidden.hidden = false
}
if ("DecompressionStream" in window) for (const root of document.querySelectorAll("[data-kind]")) near.observe(root)
const desk = document.getElementById("answers")
if (desk) { desk.hidden = false; answersDesk(desk) }
addEventListener("resize", () => { for (const again of shows.values()) again() })
