// The bar of a sequence: a slider over its time, with marks for its events, to go to.
const ROOM = 0.08 // of the bar: events nearer to each other share a mark

export default {
  render({ model, el }) {
    el.classList.add("pressing-bar")
    const slider = document.createElement("input"), marks = document.createElement("div")
    Object.assign(slider, { type: "range", min: 0, step: 0.1 })
    slider.setAttribute("aria-label", "time of the sequence")
    marks.className = "pressing-bar-marks"
    el.append(slider, marks)
    let asked = 0
    const ask = time => { model.set("asked", [++asked, Number(time)]); model.save_changes() }
    slider.addEventListener("input", () => { at(slider.value); ask(slider.value) })
    const at = time => slider.setAttribute("aria-valuetext", `${Number(time).toFixed(1)} seconds`)
    const lay = () => {
      const lasts = Math.max(model.get("lasts_s"), 0.1), spots = []
      slider.max = lasts
      model.get("events").forEach(([time, words], n) => {
        const spot = spots.at(-1), told = `${time.toFixed(1)} s: ${words}`
        if (spot && time - spot.time < ROOM * lasts) Object.assign(spot, { last: n + 1, told: `${spot.told} ${told}` })
        else spots.push({ time, first: n + 1, last: n + 1, told })
      })
      marks.replaceChildren(...spots.map(({ time, first, last, told }) => {
        const mark = document.createElement("button"), share = time / lasts
        mark.textContent = first == last ? first : `${first}\u2013${last}`
        mark.title = told
        mark.setAttribute("aria-label", told)
        mark.addEventListener("click", () => ask(time))
        Object.assign(mark.style, { left: `${share * 100}%`, transform: `translateX(${-share * 100}%)` }) // never over an end
        return mark
      }))
      move()
    }
    const move = () => {
      if (!slider.matches(":active")) slider.value = model.get("time_s")
      at(model.get("time_s"))
    }
    const heard = { "change:time_s": move, "change:lasts_s": lay, "change:events": lay }
    for (const [name, answer] of Object.entries(heard)) model.on(name, answer)
    lay()
    return () => { for (const [name, answer] of Object.entries(heard)) model.off(name, answer) }
  },
}
