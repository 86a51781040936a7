// A line that screen readers read out when it changes; plain text, so that no name can be markup.
export default { render({ model, el }) {
  const line = document.createElement("p"), warns = model.get("role") == "alert"
  line.className = warns ? "pressing-complaint" : "pressing-words"
  line.setAttribute("role", model.get("role"))
  if (warns) el.classList.add("pressing-complaint-line")
  const say = () => { line.textContent = model.get("text") }
  const live = () => line.setAttribute("aria-live", !model.get("live") ? "off" : warns ? "assertive" : "polite")
  const tone = () => { line.dataset.tone = model.get("tone") }
  const heard = { "change:text": say, "change:live": live, "change:tone": tone }
  for (const [name, answer] of Object.entries(heard)) { model.on(name, answer); answer() }
  el.append(line)
  return () => { for (const [name, answer] of Object.entries(heard)) model.off(name, answer) }
} }
