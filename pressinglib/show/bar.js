// The bar of a sequence: a slider over its time, with a mark for every event that can be gone to.
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
    const place = (mark, time) => {
      // The knob of a slider never leaves its ends: so much of the room is not time.
      const share = time / Math.max(model.get("lasts_s"), 0.1)
      mark.style.left = `calc(8px + ${share} * (100% - 16px))`
    }
    const lay = () => {
      slider.max = model.get("lasts_s")
      marks.replaceChildren(...model.get("events").map(([time, words], n) => {
        const mark = document.createElement("button")
        mark.textContent = n + 1
        mark.title = `${time.toFixed(1)} s: ${words}`
        mark.setAttribute("aria-label", mark.title)
        mark.addEventListener("click", () => ask(time))
        place(mark, time)
        mark.style.top = `${(n % 2) * 24}px`
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
