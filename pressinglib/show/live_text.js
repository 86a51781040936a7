// A line that screen readers read out when it changes; plain text, so that no name can be markup.
export default { render({ model, el }) {
  const line = document.createElement("p"), warns = model.get("role") == "alert"
  line.className = warns ? "pressing-complaint" : "pressing-words"
  line.setAttribute("role", model.get("role"))
  // Room for two lines, so that the picture keeps still while the words change.
  line.style.cssText = "margin: 0; font-size: 15px; line-height: 1.4; font-weight: 600"
  if (!warns) line.style.minHeight = "2.8em"
  if (warns) el.classList.add("pressing-complaint-line")
  const say = () => { line.textContent = model.get("text") }
  const live = () => line.setAttribute("aria-live", !model.get("live") ? "off" : warns ? "assertive" : "polite")
  model.on("change:text", say); model.on("change:live", live)
  live(); say()
  el.append(line)
  return () => { model.off("change:text", say); model.off("change:live", live) }
} }
