// What is answered on a page; it goes on where `page.js` ends.
// -- An exercise: every answer was judged beforehand, in the words that the lesson would say.
function exercise(root, { form, verdicts, answers, hints, model, moved, solution, asks, lesson, name, drawings }, picture) {
  const start = drawings[0].marks, say = part(root, "verdict"), why = part(root, "why"), [slider, number] = ["slider", "number"].map(n => part(root, n))
  const placed = Object.entries(form?.placed ?? {}).map(([n, grid]) => [n, [...grid.entries()]]), put = placed.map(() => 0)
  let chosen = [], who = 0, wrong = 0, hint = 0
  const key = () => placed.length ? put.join() : slider ? number.value && `${+slider.value}` : chosen.join(", ")
  const where = k => placed[k][1][put[k]][1], token = n => start.find(mark => mark.kind == "Token" && mark.number == n && mark.style == form.team)
  const drawn = (n, xy) => mark => mark === token(n) ? { ...mark, points: [xy] } : mark
  const show = () => {
    const shown = placed.reduce((marks, [n], k) => marks.map(drawn(n, where(k))), drawings[moved?.[key()] ?? 0].marks)
    picture.show([...shown, ...chosen.map(token).filter(Boolean).map(mark => ({ ...mark, kind: "Ring" }))])
    if (placed.length) picture.put(picture.hold, where(who))
    for (const button of root.querySelectorAll("button[value]")) {
      const nth = placed.length ? placed[who][0] == button.value : chosen.indexOf(button.value) + 1
      button.setAttribute("aria-pressed", !!nth)
      button.dataset.nth = form.in_order && nth ? nth : ""
    }
  }
  const tell = (words = "", tone = "") => { say.textContent = words; say.dataset.tone = tone; show() }
  const set = value => { slider.value = value; number.value = slider.value; tell() }
  const acts = {
    choose(name) {
      if (placed.length) who = placed.findIndex(([n]) => n == name)
      else if (chosen.includes(name)) chosen = chosen.filter(one => one != name)
      else chosen = form.several && ![name, ...chosen].includes(form.none) ? [...chosen, name] : [name]
      if (!form.in_order) chosen.sort((a, b) => form.options.indexOf(a) - form.options.indexOf(b))
      tell()
    },
    check() {
      const [outcome, head, ...words] = verdicts[answers[key()]] ?? ["", "Not attempted", asks]
      tell(`${head}: ${words[Math.min(wrong, words.length - 1)]}`, outcome)
      if (!["right", "wrong"].includes(outcome)) return
      wrong += outcome == "wrong"
      if (why) [why.hidden, why.open] = [false, outcome == "right"]
      const answer = placed.length ? Object.fromEntries(placed.map(([n], k) => [n, where(k).map(dm => dm / 10)])) : key()
      if (lesson) keep({ lesson, exercise: name, answer, outcome })
    },
    hint() { hint = Math.min(hint + 1, hints.length); tell(`Hint ${hint} of ${hints.length}: ${hints[hint - 1]}`) },
    show() {
      if (slider) set(model)
      else if (placed.length) put.splice(0, put.length, ...model)
      else chosen = [...model]
      tell(`Solution: ${solution}`)
    } }
  slider?.addEventListener("input", () => set(slider.value))
  number?.addEventListener("change", () => set(number.value))
  const some = () => placed.length ? placed.map(([n], k) => [n, where(k)]) : (form?.options ?? []).map(n => [n, token(n)?.points[0] ?? NOWHERE])
  const touch = xy => { const [n, at] = nearest(some(), xy) ?? ["", NOWHERE]; if (away(at, xy) < REACH_DM) acts.choose(n) }
  const drop = at => { put[who] = at; tell() }
  picture.carried(xy => picture.show(start.map(drawn(placed[who][0], xy))), xy => drop(nearest(placed[who][1], xy)[0]), touch,
    { step: way => placed.length && drop(stepped(placed[who][1], [put[who], where(who)], way)) })
  return [show, acts]
}

// -- Tries: as the answer file that a tutor marks; all such pages that a browser opens share them.
// The sign keeps files of two learners of one name apart.
const box = { learner: "", tries: [], sign: Math.random().toString(16).slice(2, 10) }, desk = document.getElementById("answers")
function kept(change = () => 0) {
  let words
  try {
    Object.assign(box, JSON.parse(localStorage.getItem(KEPT) ?? "{}"))
    change()
    localStorage.setItem(KEPT, JSON.stringify(box))
  } catch { words = "This browser keeps nothing: save the file before you close the page." }
  if (desk) part(desk, "count").textContent = words ?? `Tries kept on this device: ${box.tries.length}.`
}
const keep = one => kept(() => {
  const before = box.tries.findLast(old => old.lesson == one.lesson && old.exercise == one.exercise)
  if (JSON.stringify(before?.answer) != JSON.stringify(one.answer)) box.tries = [...box.tries, one].slice(-MOST_TRIES)
})
const file = () => JSON.stringify({ version: 1, made_with: desk.dataset.version, learner: box.learner || "me", tries: box.tries }, null, 1)
const DESK = {
  save() {
    const href = URL.createObjectURL(new Blob([file()], { type: "application/json" }))
    const download = `${box.learner.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "_") || "me"}_${box.sign}.json`
    Object.assign(document.createElement("a"), { href, download }).click()
  },
  copy() {
    const text = part(desk, "text")
    Object.assign(text, { hidden: false, value: file() }).select()
    navigator.clipboard?.writeText(text.value).catch(() => 0) // else it stands there, marked
  } }
if (desk) {
  const learner = part(desk, "name")
  desk.hidden = false
  kept()
  learner.value = box.learner
  learner.addEventListener("change", () => kept(() => { box.learner = learner.value.replace(/[^\p{L}\p{N} .,'-]/gu, "").trim() }))
  answering(desk, DESK)
}
