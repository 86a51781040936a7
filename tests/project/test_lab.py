"""The lessons in JupyterLab: which come to life by themselves, and what a saved one keeps."""

from __future__ import annotations

import json
from types import SimpleNamespace
from typing import Any

from pressinglib import lab

WIDGET = {lab.WIDGET: {"model_id": "1"}}


def notebook(*sources: Any) -> dict[str, Any]:
    code = [{"cell_type": "code", "source": source} for source in sources]
    return {"metadata": {"widgets": {}}, "cells": [{"cell_type": "markdown", "source": "# Who?"}, *code]}


def test_a_lesson_is_known_by_its_code_alone() -> None:
    one = notebook("pl.TryIt(lesson.who_goes)", "x = '\u2013 \\n'")
    assert lab.code_hash(one) == lab.code_hash(notebook(["pl.TryIt", "(lesson.who_goes)"], "x = '\u2013 \\n'"))
    assert len({lab.code_hash(one), lab.code_hash(notebook("pl.TryIt(lesson.who_goes)")),
                lab.code_hash(notebook("pl.TryIt(lesson.who_goes) ", "x = '\u2013 \\n'"))}) == 3


def test_the_server_knows_every_shipped_lesson() -> None:
    hooks: list[Any] = []
    server = SimpleNamespace(contents_manager=SimpleNamespace(register_pre_save_hook=hooks.append),
                             web_app=SimpleNamespace(settings={}))
    lab._load_jupyter_server_extension(server)
    assert hooks == [lab.without_widgets]
    known = server.web_app.settings["page_config_data"]["pressinglibLessons"]
    assert len(set(known)) == 13 == len(list(lab.shipped().glob("[0-9]*.ipynb")))


def test_what_is_saved_holds_pictures_and_words_and_no_widget() -> None:
    picture, words = {"image/png": "iVBO", "text/plain": "On the board"}, {"text/plain": "A form"}
    content = notebook("a", "b", "c")
    for cell, data in zip(content["cells"][1:], ({**WIDGET, **picture}, {**WIDGET, **words}, WIDGET), strict=True):
        cell["outputs"] = [{"data": dict(data)}, {"output_type": "stream", "text": "Ready"}]
    model = {"type": "notebook", "content": content}
    lab.without_widgets(model, path="00.ipynb", contents_manager=None)
    assert [cell["outputs"][0]["data"] for cell in content["cells"][1:]] == [picture, words, WIDGET]
    assert "widgets" not in content["metadata"]
    for other in ({"type": "file", "content": "text"}, {"type": "notebook", "content": None}):
        before = json.dumps(other)
        lab.without_widgets(other)
        assert json.dumps(other) == before
