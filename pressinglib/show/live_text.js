// Lines that screen readers read out when they change; plain text, so that no name can be markup.
const NAMES = { alert: "pressing-complaint", log: "pressing-events" }

export default { render({ model, el }) {
  const home = document.createElement("p"), role = model.get("role")
  home.className = NAMES[role] ?? "pressing-words"
  home.setAttribute("role", role)
  if (role == "alert") el.classList.add("pressing-complaint-line")
  const say = () => { // what stays is not touched: it would be read out again
    const text = model.get("text"), lines = (role == "log" ? text.split("\n") : [text]).filter(words => words)
    while (home.childElementCount > lines.length) home.lastChild.remove()
    lines.forEach((words, n) => {
      const line = home.children[n] ?? home.appendChild(document.createElement("span"))
      if (line.textContent != words) line.textContent = words
    })
    el.scrollTop = el.scrollHeight
  }
  const live = () => home.setAttribute("aria-live", !model.get("live") ? "off" : role == "alert" ? "assertive" : "polite")
  const tone = () => { home.dataset.tone = model.get("tone") }
  const heard = { "change:text": say, "change:live": live, "change:tone": tone }
  for (const [name, answer] of Object.entries(heard)) { model.on(name, answer); answer() }
  el.append(home)
  return () => { for (const [name, answer] of Object.entries(heard)) model.off(name, answer) }
} }
