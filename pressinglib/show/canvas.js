// A picture as SVG. Python sends it in metres as text; this page sizes it to its own room, moves what the
// hand holds at once and tells Python where. What is held stays with the hand whatever Python sends meanwhile.
const PAUSE_MS = 33 // between two messages of one drag: thirty pictures a second are enough
const REACH_M = 2.2, REACH_PX = 22 // how far from its middle the hand still takes a token: the larger of the two
const STILL_PX = 3 // a hand that moves less only points
const LEAST_PX = 280
const GAP_PX = 1 // the knob half-way along a gap, without its ring
const GROUPS = ["grounds", "markings", "fills", "strokes", "gaps", "legend", "leaders", "tokens", "type", "trail", "rings"] // lowest first
const SCREEN = 0.8, LEAST_HIGH_PX = 440 // a picture is seen as a whole, unless the screen is very low (a zoomed page)
const PATIENCE_MS = 5_000 // longer than a slow rule takes
const LOST = "Not connected any more: menu Run, then Run All Cells.", SILENT = "No answer yet: wait, or run the cell again."
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }

const VIEW = crypto.getRandomValues(new Uint32Array(1))[0] // turns of two pages are never taken for each other
let turns = 0

// Keys are for the control that has them: the notebook would go to another cell with an arrow, and cut this one with x.
const keep = ({ target }) => target.setAttribute("data-lm-suppress-shortcuts", "true")

const way = (kind, line) => `<polyline class="${kind}" points="${line.map(([x, y]) => `${x},${-y}`).join(" ")}"/>`

class Picture {
  constructor(model, el, home) {
    Object.assign(this, { model, el, home, groups: {} })
    this.notice = document.createElement("p")
    this.notice.className = "pressing-notice"
    this.notice.setAttribute("role", "alert")
    el.prepend(this.notice)
    this.asked = this.answered = 0 // the last turn that Python owes an answer, and the last that it has answered
    home.innerHTML = `<svg aria-hidden="true">${GROUPS.map(name => `<g class="${name}"></g>`).join("")}</svg>`
    this.svg = home.firstChild
    for (const group of this.svg.children) this.groups[group.getAttribute("class")] = group
    this.held = null // in the hand now
    this.kept = [] // let go of, and not yet answered: what was sent before that must not pull it back
    this.room = new ResizeObserver(() => this.fit())
    this.room.observe(el)
    this.showAll()
    this.connected()
    this.watch = setInterval(() => model.widget_manager?.kernel === null && this.halt(LOST), PATIENCE_MS / 5) // it was shut down
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
    this.halt(this.model.get("layout").comm_live === false ? LOST : "") // its layout lives as long as it does
  }

  halt(words) {
    if (words) {
      this.held = this.trail = null
      this.kept = []
      this.put({ ...this.picture.groups, trail: "" })
    }
    this.notice.textContent = words
    this.home.inert = Boolean(words)
    this.around()?.classList.toggle("pressing-lost", Boolean(words)) // its buttons rest as well
  }

  around() {
    return this.el.closest(".pressing-task, .pressing-desk") ?? this.el.closest(".pressing-board")
  }

  fit(always = false) {
    this.around()?.addEventListener("focusin", keep)
    const [left, right, low, high] = this.picture.frame
    const most = [this.model.get("width_px"), Math.floor(this.el.clientWidth) || Infinity,
      Math.max(window.innerHeight * SCREEN, LEAST_HIGH_PX) / (high - low) * (right - left)]
    const width = Math.round(Math.max(LEAST_PX, Math.min(...most)))
    const height = Math.round((high - low) * width / (right - left))
    const frame = `${left} ${-high} ${right - left} ${high - low}`, size = { width, height, viewBox: frame }
    if (Object.entries(size).every(([key, value]) => this.svg.getAttribute(key) == value) && !always) return
    for (const [key, value] of Object.entries(size)) this.svg.setAttribute(key, value)
    this.px = width / (right - left)
    this.put({ ...this.ground, ...this.picture.groups })
  }

  put(groups) {
    for (const [name, drawn] of Object.entries(groups)) this.groups[name].innerHTML = drawn
    this.tokens = [...this.groups.tokens.children].map(token => {
      const { e: x, f } = token.transform.baseVal[0].matrix
      const shape = token.firstChild, wide = shape.getAttribute("width") ?? 2 * shape.getAttribute("r")
      return { token, team: token.dataset.team, number: token.dataset.number, x, y: -f, size: wide * this.px }
    })
    for (const held of [...this.kept, this.held]) this.lay(held)
    this.ring()
  }

  // Rings: round whoever is chosen to be moved, or is under the keys; and round all that are picked.
  ring() {
    const chosen = this.of(this.model.get("chosen")), spots = this.spots(), { gaps, in_order: inOrder } = this.model.get("pick")
    const found = this.model.get("picked").map(id => spots.find(spot => spot.id == id))
    const picked = found.map((spot, n) => spot && this.circle("picked", spot, inOrder ? n + 1 : ""))
    const under = this.picking ? spots.filter(spot => spot.id == this.at) : chosen ? [chosen] : []
    this.groups.rings.innerHTML = [...(gaps ? spots.map(spot => this.circle("handle", spot)) : []), ...picked,
      ...under.map(spot => this.circle(`chosen ${spot.team}`, spot))].join("")
    this.groups.gaps.innerHTML = gaps ? [...spots.map(spot => way("gap", spot.line)),
      ...found.filter(spot => spot).map(spot => way("picked", spot.line))].join("") : ""
  }

  circle(kind, { x, y, size }, words = "") {
    const [px, r] = [this.px, (size + 9) / 2 / this.px]
    return `<circle class="${kind}" cx="${x}" cy="${-y}" r="${r}"/>` + (words && `<text x="${x + 16 / px}"
      y="${-y - 9 / px}" font-size="${15 / px}">${words}</text>`)
  }

  // -- what can be picked where nothing is to be moved: players of one team, or gaps ----------------------------------

  get picking() {
    return Object.keys(this.model.get("pick")).length > 0
  }

  spots() {
    const { team, ids, gaps } = this.model.get("pick")
    if (gaps) return Object.entries(gaps).map(([id, line]) => {
      const [[x0, y0], [x1, y1]] = line
      return { id, x: (x0 + x1) / 2, y: (y0 + y1) / 2, size: GAP_PX, line }
    })
    return (ids ?? []).map(id => this.of({ team, number: id })).filter(token => token).map(token => ({ ...token, id: token.number }))
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
    const spots = this.spots(), here = spots.find(spot => spot.id == this.at), from = here ?? this.of({ team: "ball", number: "" })
    const cost = spot => {
      const [dx, dy] = [spot.x - from.x, spot.y - from.y], along = dx * wx + dy * wy
      return here ? (along > 0.1 ? along + 2 * Math.abs(dx * wy - dy * wx) : Infinity) : Math.hypot(dx, dy)
    }
    const next = spots.filter(spot => cost(spot) < Infinity).sort((a, b) => cost(a) - cost(b))[0]
    this.at = next?.id ?? this.at
    this.ring()
  }

  lay(held) {
    const one = held?.moved && this.of(held)
    if (!one) return
    ;[one.x, one.y] = held.shown
    one.token.setAttribute("transform", `translate(${one.x} ${-one.y})`)
  }

  of(who) {
    return this.tokens.find(one => one.team == who.team && one.number == who.number)
  }

  // -- the hand ---------------------------------------------------------------------------------------------------

  place(event) {
    const box = this.home.getBoundingClientRect(), [left, right, low, high] = this.picture.frame
    return [left + (event.clientX - box.left) / box.width * (right - left),
      high - (event.clientY - box.top) / box.height * (high - low)]
  }

  near([x, y]) {
    let best = this.reach(), found = null
    for (const one of [...this.tokens].reverse()) {
      if (one.team.startsWith("ghost")) continue
      const dx = one.x - x, dy = one.y - y, away = Math.hypot(dx, dy)
      if (away < best) [best, found] = [away, { team: one.team, number: one.number, dx, dy }]
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
    const { held } = this, [left, right, low, high] = this.picture.frame
    const [x, y] = [px + held.dx, py + held.dy]
    held.shown = [Math.min(right, Math.max(left, x)), Math.min(high, Math.max(low, y))]
    held.turn = ++turns
    this.lay(held)
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
    this.groups.trail.innerHTML = done ? "" : way("trail", this.trail)
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
    clearInterval(picture.watch)
  }
}

function home(model, el) {
  const figure = document.createElement("div")
  figure.className = "pressing-figure" // as wide as the picture, where `el` is as wide as its room
  figure.tabIndex = 0
  figure.setAttribute("role", "application")
  figure.setAttribute("aria-label", model.get("label"))
  el.append(figure)
  return figure
}

export default {
  render({ model, el }) {
    return listen(new Picture(model, el, home(model, el)), model)
  },
}
