"""A page on a phone: from a file, the net off, a finger, a slow processor, upright and lying."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from pressinglib import save_page, scene
from pressinglib.show.page import ball_places, drawings_of
from pressinglib.teach.answer_file import load_answers
from pressinglib.teach.class_results import read_class
from pressinglib.teach.course import TEAM, Course
from pressinglib.teach.lessons import lesson_00, lesson_01, lesson_02
from tests.browser.open_board import SOON_MS, steady, wait_until
from tests.show.drawn_text import drawn_text
from tests.show.test_page import FEW

pytestmark = pytest.mark.browser

UPRIGHT, LYING = {"width": 390, "height": 844}, {"width": 844, "height": 390}
SLOWER = 4
PX = 12 - 0.01  # a browser rounds widths to 1/64 of a dot
SCENES = {name: scene(name) for name in ("worked scene", "full-back on the ball", "low block")}
# The marks that the script has read, written as `Drawing.text` writes them.
TEXTS = """root => root.drawings.map(({ title, words, marks }) => [title, words, ...marks.map(mark => [
  `${mark.layer}: ${mark.kind.toLowerCase()} ${mark.style}`,
  ...(/Label|Token/.test(mark.kind) ? [`'${mark.words}'`] : []),
  ...mark.points.map(xy => xy.map(dm => (dm / 10).toFixed(1)).join())].join(" "))].join("\\n"))"""
PX_OF_TYPE = """root => Math.min(...[...root.querySelectorAll("svg text")].filter(text => text.textContent)
  .map(text => text.getAttribute("font-size") * root.querySelector("svg").getScreenCTM().a))"""


held_both_ways = pytest.mark.parametrize("phone", [
    pytest.param(UPRIGHT, id="upright"), pytest.param(LYING, id="lying", marks=pytest.mark.full)], indirect=True)


@pytest.fixture
def phone(chromium: Any, request: pytest.FixtureRequest) -> Iterator[Any]:
    """A slow phone without a net, held as the test asks; it collects what goes wrong and whom it asks."""
    held = getattr(request, "param", UPRIGHT)
    context = chromium.new_context(viewport=held, has_touch=True, is_mobile=True, device_scale_factor=2, offline=True)
    page = context.new_page()
    page.set_default_timeout(SOON_MS)
    page.fingers, page.failures, page.asked = context.new_cdp_session(page), [], []
    page.fingers.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.on("pageerror", lambda error: page.failures.append(str(error)))
    page.on("console", lambda said: said.type in ("error", "warning") and page.failures.append(said.text))
    page.on("request", lambda request: page.asked.append(request.url))
    yield page
    assert page.failures == []
    assert {url.partition(":")[0] for url in page.asked} <= {"file", "blob"} and len(page.asked) <= 2
    context.close()


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pages")
    save_page(scene("worked scene"), folder / "scene.html")
    save_page([lesson_00.who_goes, lesson_02.in_order, lesson_01.how_far, lesson_00.place_the_cover],
              folder / "exercises.html", "Tuesday's questions")
    return folder


def opened(page: Any, path: Path) -> Any:
    """The first part of a page, once its drawings are read."""
    page.goto(path.as_uri())
    page.locator("section.begun").first.wait_for()  # a wait for a function would be run as text, which the page forbids
    return page.locator("section").first


def words(root: Any) -> str:
    return str(root.locator("[data-part=words]").text_content())


def middle(thing: Any) -> dict[str, float]:
    box = thing.bounding_box()
    return {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}


def finger(page: Any, *places: dict[str, float], lift: bool = True) -> None:
    """A finger that goes from place to place."""
    for step, place in enumerate(places):
        touch(page, "touchMove" if step else "touchStart", place)
    if lift:
        touch(page, "touchEnd")


def touch(page: Any, what: str, *places: dict[str, float]) -> None:
    page.fingers.send("Input.dispatchTouchEvent", {"type": what, "touchPoints": [*places]})


def places_between(start: dict[str, float], end: dict[str, float], steps: int = 8) -> list[dict[str, float]]:
    return [{axis: start[axis] + (end[axis] - start[axis]) * n / steps for axis in "xy"} for n in range(steps + 1)]


@pytest.mark.parametrize("name", ["few", *(pytest.param(name, marks=pytest.mark.full) for name in SCENES)])
def test_the_page_holds_what_was_planned_for_every_place(chromium: Any, name: str, tmp_path: Path) -> None:
    page, picture = chromium.new_page(), SCENES.get(name, FEW)
    root = opened(page, save_page(picture, tmp_path / "scene.html"))
    planned = [drawn_text(drawing) for drawing, _ in drawings_of([s for _, s in ball_places(picture)])]
    assert len(planned) > (200 if name == "few" else 600) and root.evaluate(TEXTS) == planned
    page.close()


@held_both_ways
def test_a_finger_takes_the_ball_from_man_to_man(phone: Any, pages: Path, screenshots: Path) -> None:
    root = opened(phone, pages / "scene.html")
    assert root.evaluate(PX_OF_TYPE) >= PX
    root.locator("svg").evaluate("svg => svg.scrollIntoView()")
    first, hold, four = words(root), root.locator(".hold"), root.locator("svg rect + text", has_text="4")
    ways = places_between(middle(hold), middle(four))
    finger(phone, *ways[:5], lift=False)
    phone.locator("section.between").wait_for()
    phone.screenshot(path=screenshots / f"page_between_{phone.viewport_size['width']}.png")
    assert words(root).startswith("Between two men nothing was worked out. 9 presses")
    for place in ways[5:]:
        touch(phone, "touchMove", place)
    phone.locator("section.between").wait_for(state="detached")
    assert root.locator("[data-part=said]").text_content() == ""  # said once, when the finger is lifted
    touch(phone, "touchEnd")
    expect(root.locator("[data-part=said]")).to_contain_text("Ball at 4.")
    assert words(root) != first and root.locator("select").input_value() == "4"
    phone.screenshot(path=screenshots / f"page_scene_{phone.viewport_size['width']}.png")
    before = words(root)
    phone.set_viewport_size({"width": phone.viewport_size["height"], "height": phone.viewport_size["width"]})
    wait_until(phone, lambda: root.evaluate(PX_OF_TYPE) >= PX)
    assert words(root) == before  # turning keeps the plan


def test_a_finger_beside_the_ball_scrolls_the_page(phone: Any, pages: Path) -> None:
    root = opened(phone, pages / "scene.html")
    first, beside = words(root), middle(root.locator(".hold")) | {"x": 330.0}
    finger(phone, *places_between(beside, beside | {"y": beside["y"] - 200.0}))
    wait_until(phone, lambda: phone.evaluate("scrollY") > 100)
    assert words(root) == first


def test_every_place_is_reached_by_keys_and_from_the_list(phone: Any, pages: Path) -> None:
    root = opened(phone, pages / "scene.html")
    titles, said = root.locator("[data-part=title]"), root.locator("[data-part=said]")
    root.locator("svg").focus()
    seen = []
    for key in ("n", "ArrowUp", "ArrowUp", "ArrowLeft", "l", "ArrowDown", "l", "n"):
        phone.keyboard.press(key)
        seen.append(said.text_content())
    assert seen[0].startswith("Ball at 6.") and seen[4].startswith("Loose ball.") and seen[7] == seen[0]
    assert len(set(seen[:6])) >= 5
    root.locator("select").select_option("11")
    assert titles.text_content().startswith("Their 11 on the ball")
    assert root.locator("tbody tr", has_text="pressure").count() == 1


def test_without_script_the_first_picture_and_words_are_there(chromium: Any, pages: Path, screenshots: Path) -> None:
    context = chromium.new_context(viewport=UPRIGHT, java_script_enabled=False)
    page = context.new_page()
    page.goto((pages / "scene.html").as_uri())
    assert page.locator("svg circle").count() >= 12
    assert page.get_by_text("9 presses from the right").first.is_visible()
    assert not page.locator(".buttons").first.is_visible()
    page.screenshot(path=screenshots / "page_no_script.png")
    context.close()


@held_both_ways
def test_exercises_are_answered_and_handed_in(phone: Any, pages: Path, tmp_path: Path, screenshots: Path) -> None:
    opened(phone, pages / "exercises.html")
    roots = [phone.locator("section.exercise").nth(n) for n in range(4)]
    who, order, far, cover = roots
    told = [root.locator("[data-part=verdict]") for root in roots]

    def press(root: Any, *names: str) -> None:
        for name in names:
            root.get_by_role("button", name=name, exact=False).locator("visible=true").first.tap()

    press(who, "Check")
    expect(told[0]).to_contain_text("Not attempted")
    who.locator("button[value='3']").tap()
    press(who, "Check", "Hint")
    expect(told[0]).to_have_text(f"Hint 1 of 3: {lesson_00.who_goes.hint(1).words}")
    eleven = who.locator("svg circle + text", has_text="11").first  # touched in the picture
    eleven.scroll_into_view_if_needed()
    finger(phone, middle(eleven))
    expect(who.locator("button[value='11']")).to_have_attribute("aria-pressed", "true")
    press(who, "Check")
    expect(told[0]).to_have_text(f"Right: {lesson_00.who_goes.check('11').words}")
    phone.screenshot(path=screenshots / f"page_exercise_{phone.viewport_size['width']}.png")
    order.scroll_into_view_if_needed()
    for number in lesson_02.in_order.solution().answer:
        order.locator(f"button[value='{number}']").tap()
    press(order, "Check")
    expect(told[1]).to_contain_text("Right")
    far.scroll_into_view_if_needed()
    far.locator("[data-part=number]").fill("1")
    far.locator("[data-part=number]").blur()
    press(far, "Check")
    expect(told[2]).to_have_text(f"Not yet: {lesson_01.how_far.taught('1')[0].words}")
    phone.locator("section.exercise.begun").nth(3).wait_for()  # what begins above moves the page
    hold = steady(phone, lambda: cover.locator("svg").scroll_into_view_if_needed() or middle(cover.locator(".hold")))
    finger(phone, *places_between(hold, {"x": hold["x"] + 60.0, "y": hold["y"] - 30.0}))
    press(cover, "Check")
    expect(told[3]).to_contain_text("Not yet")
    desk = phone.locator("#answers")
    desk.locator("[data-part=name]").fill("Kim")
    desk.locator("[data-part=name]").blur()
    with phone.expect_download() as saved:
        press(desk, "Save")
    saved.value.save_as(tmp_path / saved.value.suggested_filename)
    [kims] = tmp_path.glob("kim_????????.json")
    kept = load_answers(kims)
    assert kept.learner == "Kim"
    assert [one.outcome for one in kept.tries] == ["wrong", "right", "right", "wrong", "wrong"]
    asked = [lesson_00.who_goes, lesson_02.in_order, lesson_01.how_far, lesson_00.place_the_cover]
    marks = [[one.outcome for one in tries] for tries in read_class(tmp_path, Course(TEAM, asked)).tries.values()]
    assert marks == [["wrong", "right"], ["right"], ["wrong"], ["wrong"]]
    press(desk, "Copy")
    assert json.loads(desk.locator("textarea").input_value()) == json.loads(kims.read_text())
    phone.reload()
    assert desk.locator("[data-part=name]").input_value() == "Kim"
    assert "5" in desk.locator("[data-part=count]").text_content()  # kept on the device
