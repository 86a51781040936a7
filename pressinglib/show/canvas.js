// A picture on a Bokeh canvas. Python sends it in metres as text; this page sizes it to its own room, moves what the
// hand holds at once and tells Python where. What is held stays with the hand whatever Python sends meanwhile.
const PAUSE_MS = 33 // between two messages of one drag: thirty pictures a second are enough
const REACH_M = 2.2, REACH_PX = 22 // how far from its middle the hand still takes a token: the larger of the two
const STILL_PX = 3 // a hand that moves less only points
const LEAST_PX = 280
const GAP_PX = 1 // the knob half-way along a gap, without its ring
const SCREEN = 0.8, LEAST_HIGH_PX = 440 // a picture is seen as a whole, unless the screen is very low (a zoomed page)
const PATIENCE_MS = 5_000 // longer than a slow rule takes
const LOST = "Not connected any more: menu Run, then Run All Cells.", SILENT = "No answer yet: wait, or run the cell again."
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }

// Bokeh's own script comes with the kernel, once a page: no page fetches it from elsewhere, no file stores it.
async function bokeh(carrier) {
  if (window.Bokeh?.version !== carrier.get("version")) {
    const script = document.createElement("script")
    script.textContent = carrier.get("code")
    document.head.append(script)
  }
  return JSON.parse(carrier.get("item"))
}

const VIEW = crypto.getRandomValues(new Uint32Array(1))[0] // turns of two pages are never taken for each other
let turns = 0

const scaled = (value, px) => Array.isArray(value) ? value.map(v => scaled(v, px)) : value * px

// Columns in metres (names in _m) become columns in pixels.
function inPixels(columns, px) {
  const out = {}
  for (const [name, values] of Object.entries(columns)) {
    if (name == "type_m") out.type = values.map(m => `${(m * px).toFixed(1)}px`)
    else if (name.endsWith("_m")) out[name.slice(0, -2)] = scaled(values, px)
    else out[name] = [...values] // a hand that moves what is drawn leaves what was sent
  }
  return out
}

class Picture {
  constructor(model, el, carrier, home, view) {
    Object.assign(this, { model, el, carrier, home })
    this.notice = document.createElement("p")
    this.notice.className = "pressing-notice"
    this.notice.setAttribute("role", "alert")
    el.prepend(this.notice)
    this.asked = this.answered = 0 // the last turn that Python owes an answer, and the last that it has answered
    this.fig = view.model
    this.sources = {}
    for (const m of this.fig.document._all_models.values()) if (m.type == "ColumnDataSource") this.sources[m.name] = m
    this.held = null // in the hand now
    this.kept = [] // let go of, and not yet answered: what was sent before that must not pull it back
    this.room = new ResizeObserver(() => this.fit())
    this.room.observe(el)
    this.showAll()
    this.connected()
  }

  // -- what Python sends ------------------------------------------------------------------------------------------

  showAll() {
    this.ground = JSON.parse(this.model.get("ground"))
    this.picture = JSON.parse(this.model.get("picture"))
    const answered = this.picture.answers[VIEW] ?? 0
    this.kept = this.kept.filter(held => held.turn > answered)
    this.fit(true)
    if (answered <= this.answered) return
    this.answered = answered
    this.wait(this.asked > answered)
    this.connected()
  }

  // A page that nobody answers must not look as if its picture had a plan: it says so, and nothing can be moved.
  owe(turn) {
    this.asked = turn
    if (!this.timer) this.wait(true)
  }

  wait(owed) {
    clearTimeout(this.timer)
    this.timer = owed ? setTimeout(() => this.halt(SILENT), PATIENCE_MS) : 0
  }

  connected() {
    this.halt(this.carrier.comm_live === false ? LOST : "")
  }

  halt(words) {
    if (words) {
      this.held = this.trail = null
      this.kept = []
      this.put({ ...this.picture.columns, trail: { xs: [], ys: [] } })
    }
    this.notice.textContent = words
    this.home.inert = Boolean(words)
    const home = this.el.closest(".pressing-task") ?? this.el.closest(".pressing-board") // a question's buttons rest as well
    home?.classList.toggle("pressing-lost", Boolean(words))
  }

  fit(always = false) {
    const [left, right, low, high] = this.picture.frame
    const most = [this.model.get("width_px"), Math.floor(this.el.clientWidth) || Infinity,
      Math.max(window.innerHeight * SCREEN, LEAST_HIGH_PX) / (high - low) * (right - left)]
    const width = Math.round(Math.max(LEAST_PX, Math.min(...most)))
    const height = Math.round((high - low) * width / (right - left))
    const { fig } = this, [x, y] = [fig.x_range, fig.y_range]
    if (fig.width != width || fig.height != height || x.start != left || x.end != right || y.start != low || y.end != high) {
      x.setv({ start: left, end: right })
      y.setv({ start: low, end: high })
      fig.setv({ width, height })
    } else if (!always) return
    this.px = width / (right - left)
    this.put({ ...this.ground, ...this.picture.columns })
  }

  put(columns) {
    for (const [name, table] of Object.entries(columns)) {
      const src = this.sources[name], drawn = inPixels(table, this.px)
      if (name == "tokens") for (const held of [...this.kept, this.held]) this.lay(held, drawn)
      Object.assign(src.data, drawn)
      src.change.emit()
    }
    this.ring()
  }

  // Rings: round whoever is chosen to be moved, or is under the keys; and round all that are picked.
  ring() {
    const { data } = this.sources.tokens, row = this.row(this.model.get("chosen"), data)
    const chosen = row < 0 ? [] : [{ x: data.x[row], y: data.y[row], size: data.size[row] }]
    const spots = this.spots(), picked = this.model.get("picked"), isGap = "gaps" in this.model.get("pick")
    const found = picked.map(id => spots.find(spot => spot.id == id))
    this.fill("chosen", this.picking ? spots.filter(spot => spot.id == this.at) : chosen)
    this.fill("picked", found.filter(spot => spot), found.map((spot, n) => this.model.get("pick").in_order ? n + 1 : ""))
    this.fill("handles", isGap ? spots : [])
    for (const [name, ids] of [["gaps", spots], ["picked gaps", found]]) {
      const lines = isGap ? ids.filter(spot => spot).map(spot => spot.line) : []
      Object.assign(this.sources[name].data, { xs: lines.map(line => line[0]), ys: lines.map(line => line[1]) })
      this.sources[name].change.emit()
    }
  }

  fill(name, spots, words = []) {
    const src = this.sources[name]
    Object.assign(src.data, { x: spots.map(s => s.x), y: spots.map(s => s.y), size: spots.map(s => s.size + 9) })
    src.data.words = spots.map((_, n) => `${words[n] ?? ""}`)
    src.change.emit()
  }

  // -- what can be picked where nothing is to be moved: players of one team, or gaps ----------------------------------

  get picking() {
    return Object.keys(this.model.get("pick")).length > 0
  }

  spots() {
    const { team, ids, gaps } = this.model.get("pick"), { data } = this.sources.tokens
    if (gaps) return Object.entries(gaps).map(([id, [[x0, y0], [x1, y1]]]) =>
      ({ id, x: (x0 + x1) / 2, y: (y0 + y1) / 2, size: GAP_PX, line: [[x0, x1], [y0, y1]] }))
    return (ids ?? []).map(id => [id, this.row({ team, number: id }, data)]).filter(([, row]) => row >= 0)
      .map(([id, row]) => ({ id, x: data.x[row], y: data.y[row], size: data.size[row] }))
  }

  spotAt([x, y]) {
    const away = spot => Math.hypot(spot.x - x, spot.y - y), near = spot => away(spot) < this.reach()
    return this.spots().filter(near).sort((a, b) => away(a) - away(b))[0]
  }

  reach() {
    return Math.max(REACH_M, REACH_PX / this.px)
  }

  pick(spot) {
    if (!spot) return
    this.at = spot.id
    this.ring()
    this.model.send({ kind: "pick", id: spot.id })
  }

  // The nearest that way, what lies aside counting double; the first key goes to the one nearest to the ball.
  go([wx, wy]) {
    const spots = this.spots(), here = spots.find(spot => spot.id == this.at), { data } = this.sources.tokens
    const ball = this.row({ team: "ball", number: "" }, data), from = here ?? { x: data.x[ball], y: data.y[ball] }
    const cost = spot => {
      const [dx, dy] = [spot.x - from.x, spot.y - from.y], along = dx * wx + dy * wy
      return here ? (along > 0.1 ? along + 2 * Math.abs(dx * wy - dy * wx) : Infinity) : Math.hypot(dx, dy)
    }
    const next = spots.filter(spot => cost(spot) < Infinity).sort((a, b) => cost(a) - cost(b))[0]
    this.at = next?.id ?? this.at
    this.ring()
  }

  lay(held, data) {
    const row = held?.moved ? this.row(held, data) : -1
    if (row >= 0) [data.x[row], data.y[row]] = held.shown
  }

  row(who, data) {
    return data.team.findIndex((team, i) => team == who.team && data.number[i] == who.number)
  }

  // -- the hand ---------------------------------------------------------------------------------------------------

  place(event) {
    const box = this.home.getBoundingClientRect(), [left, right, low, high] = this.picture.frame
    return [left + (event.clientX - box.left) / box.width * (right - left),
      high - (event.clientY - box.top) / box.height * (high - low)]
  }

  near([x, y]) {
    const { data } = this.sources.tokens
    let best = this.reach(), found = null
    for (let i = data.x.length - 1; i >= 0; i--) {
      if (data.team[i].startsWith("ghost")) continue
      const dx = data.x[i] - x, dy = data.y[i] - y, away = Math.hypot(dx, dy)
      if (away < best) [best, found] = [away, { team: data.team[i], number: data.number[i], dx, dy }]
    }
    return found
  }

  take(event) {
    if (event.button || this.held || this.trail) return
    const at = this.place(event)
    if (this.picking) {
      this.home.focus({ preventScroll: true })
      return this.pick(this.spotAt(at))
    }
    if (this.model.get("tool")) this.trail = [at]
    else this.held = this.near(at)
    if (!this.held && !this.trail) return
    event.preventDefault()
    this.home.focus({ preventScroll: true })
    this.home.setPointerCapture(event.pointerId)
    this.start = [event.clientX, event.clientY]
    if (this.held) Object.assign(this.held, { shown: [at[0] + this.held.dx, at[1] + this.held.dy], moved: false })
  }

  move(event, done = false) {
    if (this.trail) return this.draw(event, done)
    const { held } = this
    if (!held) return
    held.moved ||= Math.hypot(event.clientX - this.start[0], event.clientY - this.start[1]) > STILL_PX
    if (held.moved) this.carry(this.place(event), done)
    else if (done) this.model.send({ kind: "choose", team: held.team, number: held.number })
    if (done && held.moved) this.kept.push({ ...held })
    if (done) this.held = null
  }

  // The token stays in the frame, Python hears the true place: off the pitch is for the rules to refuse.
  carry([px, py], done) {
    const { held } = this, [left, right, low, high] = this.picture.frame, { data } = this.sources.tokens
    const [x, y] = [px + held.dx, py + held.dy]
    held.shown = [Math.min(right, Math.max(left, x)), Math.min(high, Math.max(low, y))]
    held.turn = ++turns
    this.lay(held, data)
    this.sources.tokens.change.emit()
    this.ring()
    this.say({ kind: "carry", team: held.team, number: held.number, x, y, done, turn: [VIEW, held.turn] })
    if (done) this.owe(held.turn)
  }

  say(word) {
    clearTimeout(this.later)
    const now = () => { this.said = Date.now(); this.model.send(word) }
    const wait = PAUSE_MS - (Date.now() - (this.said ?? 0))
    if (word.done || wait <= 0) now()
    else this.later = setTimeout(now, wait)
  }

  draw(event, done) {
    this.trail.push(this.place(event))
    const [xs, ys] = [0, 1].map(axis => [this.trail.map(xy => xy[axis])])
    Object.assign(this.sources.trail.data, done ? { xs: [], ys: [] } : { xs, ys })
    this.sources.trail.change.emit()
    if (!done) return
    this.model.send({ kind: "drawn", points: this.trail })
    this.trail = null
  }

  key(event) {
    const way = WAYS[event.key], takes = this.picking && (event.key == "Enter" || event.key == " ")
    if (!(way || takes) || event.ctrlKey || event.altKey || event.metaKey) return
    event.preventDefault()
    event.stopPropagation()
    if (takes) return this.pick(this.spots().find(spot => spot.id == this.at))
    if (this.picking) return this.go(way)
    if (event.repeat && this.timer) return // a key that is held down waits for the answer to its last step
    this.model.send({ kind: "step", way, far: event.shiftKey, held: event.repeat, turn: [VIEW, ++turns] })
    this.owe(turns)
  }
}

function listen(picture, model) {
  const on = {
    pointerdown: e => picture.take(e), pointermove: e => picture.move(e), pointerup: e => picture.move(e, true),
    pointercancel: e => picture.move(e, true), keydown: e => picture.key(e),
    // Only a finger on a token drags; elsewhere it scrolls the page.
    touchstart: e => !picture.picking && (model.get("tool") || picture.near(picture.place(e.touches[0]))) && e.preventDefault(),
  }
  for (const [name, answer] of Object.entries(on)) picture.home.addEventListener(name, answer, { passive: false })
  const heard = {
    "change:picture": () => picture.showAll(), "change:ground": () => picture.showAll(), "change:width_px": () => picture.fit(),
    "change:chosen": () => picture.ring(), "change:pick": () => picture.ring(), "change:picked": () => picture.ring(),
    comm_live_update: () => picture.connected(), "msg:custom": said => said.tokens && picture.put(said),
  }
  for (const [name, answer] of Object.entries(heard)) model.on(name, answer)
  return () => {
    for (const [name, answer] of Object.entries(heard)) model.off(name, answer)
    picture.room.disconnect()
  }
}

function home(model, el) {
  const figure = document.createElement("div")
  figure.className = "pressing-figure" // as wide as the picture, where `el` is as wide as its room
  figure.tabIndex = 0
  figure.setAttribute("role", "application")
  figure.setAttribute("aria-label", model.get("label"))
  figure.setAttribute("data-lm-suppress-shortcuts", "true") // or the notebook takes the arrow keys
  el.append(figure)
  return figure
}

export default {
  async render({ model, el }) {
    const carrier = await model.widget_manager.get_model(model.get("script").slice("IPY_MODEL_".length))
    const item = await bokeh(carrier)
    const place = home(model, el), [view] = await window.Bokeh.embed.embed_item(item, place)
    const doc = view.model.document, still = listen(new Picture(model, el, carrier, place, view), model)
    return () => {
      still()
      doc.clear()
      const { documents } = window.Bokeh
      if (documents.includes(doc)) documents.splice(documents.indexOf(doc), 1)
    }
  },
}
