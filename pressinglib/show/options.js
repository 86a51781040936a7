// Buttons to choose from by mouse, finger or key. What is chosen is said by form and word too, not by colour alone.
export default { render({ model, el }) {
  el.classList.add("pressing-options")
  el.setAttribute("role", "group")
  el.setAttribute("aria-label", "answers to choose from")
  const lay = () => {
    el.replaceChildren(...model.get("options").map(name => {
      const button = document.createElement("button")
      button.textContent = name
      button.addEventListener("click", () => model.send({ pressed: name }))
      return button
    }))
    mark()
  }
  const mark = () => {
    const chosen = model.get("chosen")
    for (const button of el.children) {
      const place = chosen.indexOf(button.textContent)
      button.setAttribute("aria-pressed", place >= 0)
      button.dataset.place = place >= 0 && model.get("in_order") ? place + 1 : ""
    }
  }
  model.on("change:options", lay); model.on("change:chosen", mark)
  lay()
  return () => { model.off("change:options", lay); model.off("change:chosen", mark) }
} }
