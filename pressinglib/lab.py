"""The lessons in JupyterLab and Notebook: which of them come to life, and what is kept of one that is saved.

Loaded by `pressinglib-lessons` alone. A lesson whose code is as shipped runs by itself when it is opened:
`lessons.js` in `labextensions` sees to that. A saved notebook keeps the pictures and words of its widgets, not the
widgets, which would read as errors the next day.
"""

import json
import os
from hashlib import sha256
from pathlib import Path
from typing import Any

HOME = Path(__file__).parent
WIDGET = "application/vnd.jupyter.widget-view+json"


def shipped() -> Path:
    """The lessons as they come: packaged, or those of a clone."""
    packaged = HOME / "_notebooks"
    return packaged if packaged.is_dir() else HOME.parent / "notebooks"


def code_hash(notebook: dict[str, Any]) -> str:
    """What tells the code of a notebook from any other."""
    code = ["".join(cell["source"]) for cell in notebook["cells"] if cell["cell_type"] == "code"]
    return sha256(json.dumps(code, ensure_ascii=False, separators=(",", ":")).encode()).hexdigest()


def without_widgets(model: dict[str, Any], **_: Any) -> None:
    """A notebook as it is to be saved: of a widget its picture and its words are kept."""
    if model["type"] != "notebook" or not model["content"]:
        return
    for data in [output.get("data", {}) for cell in model["content"]["cells"] for output in cell.get("outputs", ())]:
        if len(data) > 1:
            data.pop(WIDGET, None)
    model["content"]["metadata"].pop("widgets", None)


def _load_jupyter_server_extension(server: Any) -> None:
    lessons = [json.loads(path.read_text("utf-8")) for path in shipped().glob("[0-9][0-9]_*.ipynb")]
    server.contents_manager.register_pre_save_hook(without_widgets)
    server.web_app.settings.setdefault("page_config_data", {})["pressinglibLessons"] = [*map(code_hash, lessons)]


def settings(lesson: Path, shown: str = "lab/tree") -> list[str]:
    """What JupyterLab is told: serve this machine alone, behind the fresh token it makes itself; open `lesson`."""
    # In a container everybody is root, and JupyterLab would refuse to start; it serves only this machine as it is.
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    ours = HOME / "labextensions"
    return [
        "--ServerApp.ip=127.0.0.1",
        f"--ServerApp.root_dir={lesson.parent}",
        f"--LabApp.default_url=/{shown}/{lesson.name}",
        f"--ServerApp.jpserver_extensions={{'{__name__}': True}}",
        f"--LabApp.extra_labextensions_path={ours}",
        "--LabApp.news_url=None",  # no question about news on a coach's first page
        f"--JupyterNotebookApp.extra_labextensions_path={ours}",
        *(["--ServerApp.allow_root=True"] if root else []),
    ]
