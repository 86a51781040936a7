// A lesson comes to life when it is opened, if nobody has changed its code: an edited or unknown notebook never runs by
// itself. The page keeps its place and its height meanwhile. Written by hand: a module of the shape that JupyterLab and
// Notebook load without a build.
const HELD_MS = 20_000 // so long a cell keeps the height of what was kept in it, at most
const known = () => JSON.parse(document.getElementById("jupyter-config-data").textContent).pressinglibLessons ?? []
const hex = bytes => [...new Uint8Array(bytes)].map(byte => byte.toString(16).padStart(2, "0")).join("")
let shared

async function isLesson(model) {
  const code = [...model.cells].filter(cell => cell.type == "code").map(cell => cell.sharedModel.getSource())
  const bytes = new TextEncoder().encode(JSON.stringify(code))
  return known().includes(hex(await crypto.subtle.digest("SHA-256", bytes)))
}

function held(cells) {
  for (const { outputArea } of cells.filter(cell => cell.outputArea)) {
    outputArea.node.style.minHeight = `${outputArea.node.offsetHeight}px`
    setTimeout(() => { outputArea.node.style.minHeight = "" }, HELD_MS)
  }
}

async function wake(panel, actions) {
  await panel.context.ready
  await panel.sessionContext.ready
  if (!await isLesson(panel.content.model)) return
  const cells = [...panel.content.widgets]
  held(cells)
  await actions.runCells(panel.content, cells, panel.sessionContext)
}

(window._JUPYTERLAB ??= {})["pressinglib"] = {
  init(scope) { shared = scope },
  async get() {
    const [version] = Object.values(shared["@jupyterlab/notebook"])
    const { INotebookTracker, NotebookActions } = (await version.get())()
    const activate = (_, tracker) => tracker.widgetAdded.connect((_, panel) => void wake(panel, NotebookActions))
    return () => ({ __esModule: true, default: [{ id: "pressinglib:open", autoStart: true, requires: [INotebookTracker], activate }] })
  },
}
