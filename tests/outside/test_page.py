"""The live sheet in a real browser: from readings to files, by mouse and by keys, with the command line's numbers."""

import io
import json
import os
import re
import shutil
import signal
import statistics
import subprocess
import time
from pathlib import Path

import PIL.Image
import pytest
from playwright.sync_api import sync_playwright

JOB = 'title = "Trial"\n\n# By caliper.\n[[sleeve]]\nname = "front"\nbearing = "6204"\nreach = 60 # read twice\n\n[[pulley]]\nname = "belt"\nprofile = "T5"\nteeth = 20\nbore = 8\n'

# One other value for every answer of two kinds, as typed.
SLEEVE = {
    "bearing": "6205", "ring": "outer", "drive": "rod", "end": "open", "reach": "2.5in", "shaft": "17x35", "shaft-reach": "20",
    "rod-holds": "housing", "through": "120", "far-opening": "30", "thread-depth": "18", "seat-length": "10", "room": "200",
    "ram": "15", "shop": "15", "warm": "80", "chill": "-18", "inner-land": "26", "outer-land": "40",
    "shaft-class": "j5", "shaft-measured": "20,004", "housing-class": "M7", "housing-measured": "47.01", "measured-by": "caliper",
    "shaft-bore": "8", "housing-outside": "80", "shaft-material": "stainless-steel", "housing-material": "aluminium",
    "crush-reading": "58", "rod": "M12", "rod-class": "8.8", "play": "0.3", "nose-diameter": "25.4", "nose-length": "5",
    "body-diameter": "32", "body-bore": "30", "end-thickness": "9", "steel-nose": True, "infill": "80", "name": "other",
    "printer": "fine-180", "material": "petg", "tolerance": "0.05", "units": "inch", "mark": "A1", "slice": "nose",
    "accept": "contact-crushing",
}
PULLEY = {
    "profile": "T10", "teeth": "24", "bore": "10", "width": "10", "tension": "30", "tooth-clearance": "0.1", "flanges": "one",
    "key-width": "3", "key-depth": "1.4", "flat": "7", "set-screws": "1", "hub": "30", "run-out": "0.1", "trial": True, "clamp": True,
    "name": "other", "printer": "bed-180", "material": "petg", "tolerance": "0.05", "units": "inch", "mark": "A1", "slice": "teeth",
    "accept": "wall",
}


# What stands in the fields, asked once more beside the page.
ASKED_AGAIN = """async () => {
    const [kind, answers] = JSON.parse(document.body.dataset.answered);
    const body = JSON.stringify({ kind, answers, window: "beside", number: 1 });
    const response = await fetch("answer", { method: "POST", headers: { "Content-Type": "application/json" }, body });
    const bytes = await response.arrayBuffer();
    return JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, new DataView(bytes).getUint32(0, true))));
}"""


@pytest.fixture(scope="module")
def browser():
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    assert chromium, "no Chromium: install Debian's package 'chromium', or set CHROMIUM to its path"
    flags = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist",
             "--disable-background-networking", "--disable-component-update", "--disable-sync"]
    with sync_playwright() as playwright:
        instance = playwright.chromium.launch(executable_path=chromium, args=flags)
        yield instance
        instance.close()


@pytest.fixture
def served(tmp_path):
    """A job that lies open: its file and its address. The program must end cleanly when it is interrupted."""
    (tmp_path / "job.toml").write_text(JOB)
    words = [os.environ["FIXWRIGHT"], "page", "job.toml", "--no-open", "--out", "parts"]
    program = subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        yield tmp_path, re.search(r"http\S+", program.stdout.readline()).group()
        program.send_signal(signal.SIGINT)
        assert program.wait(10) == 0
        assert "The page is closed." in program.stderr.read()
    finally:
        program.kill()


@pytest.fixture
def wrong():
    """What a page complains of: nothing, in the end."""
    complaints = []
    yield complaints
    assert complaints == []


def opened(browser, address, wrong, **how):
    page = browser.new_page(viewport={"width": 1024, "height": 900}, **how)
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.set_default_timeout(10000)
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(address)
    page.wait_for_selector("body[data-answered]")
    return page, asked


def until(page, expression, arg=None, seconds=30):
    """Waits until an expression holds. The page's policy forbids what the browser driver does for that."""
    end = time.monotonic() + seconds
    while not page.evaluate(expression, arg):
        assert time.monotonic() < end, f"still not: {expression} {arg}"
        time.sleep(0.005)


def settled(page, answers, seconds=30):
    """Waits until the answer to what stands in the fields is shown."""
    until(
        page,
        "part => { const [, shown] = JSON.parse(document.body.dataset.answered);"
        " return Object.entries(part).every(([key, value]) => JSON.stringify(shown[key]) === JSON.stringify(value)); }",
        answers,
        seconds,
    )


def test_a_sleeve_goes_from_reading_to_files_by_mouse(browser, served, wrong):
    folder, address = served
    page, asked = opened(browser, address, wrong)
    assert "contact-crushing" in page.locator("#findings").inner_text(), "plastic alone is little at this fit"
    drawn = page.locator("canvas").get_attribute("data-triangles")
    page.get_by_role("button", name="Set Steel nose", exact=True).click()
    settled(page, {"steel-nose": True})
    assert "contact-crushing" not in page.locator("#findings").inner_text()
    assert page.get_by_label("Steel nose", exact=True).is_checked()
    page.get_by_label("Reach", exact=True).fill("70")
    settled(page, {"reach": 70})
    assert page.locator("canvas").get_attribute("data-triangles") != drawn
    page.click("#save")
    until(page, "document.querySelector('#file').textContent.endsWith(', saved')")
    text = (folder / "job.toml").read_text()
    assert text == JOB.replace("60 # read twice\n", "70 # read twice\nsteel-nose = true\n")
    page.click("#make")
    until(page, "document.querySelector('#notice').textContent.includes('Written to')")
    assert (folder / "parts/front.stl").stat().st_size > 1000
    assert (folder / "parts/trial.html").exists()
    page.click("#undo")
    until(page, "document.querySelector('#answer-reach').value === '60'")
    assert all(url.startswith(address.split("/?")[0]) or url.startswith("data:") for url in asked)


def test_the_same_by_keys_alone(browser, served, wrong):
    folder, address = served
    page, _ = opened(browser, address, wrong)

    def to(selector):
        for _ in range(120):
            if page.evaluate("selector => document.activeElement.matches(selector)", selector):
                return
            page.keyboard.press("Tab")
        pytest.fail(f"no key leads to {selector}")

    to("#kind")
    page.keyboard.type("sleeve")
    to("#add")
    page.keyboard.press("Enter")
    until(page, "document.querySelectorAll('#parts li').length === 3")
    until(page, "document.activeElement.id === 'answer-name'")
    page.keyboard.type("rear")
    for selector, words in [("#answer-bearing", "6004"), ("#answer-reach", "40")]:
        to(selector)
        page.keyboard.type(words)
    to("summary")
    page.keyboard.press("Enter")
    to("#answer-steel-nose")
    page.keyboard.press("Space")
    settled(page, {"name": "rear", "bearing": "6004", "reach": 40, "steel-nose": True})
    page.keyboard.press("Control+s")
    until(page, "document.querySelector('#file').textContent.endsWith(', saved')")
    assert 'name = "rear"\nbearing = "6004"\nreach = 40\nsteel-nose = true\n' in (folder / "job.toml").read_text()


def give(field, value):
    """A value given to a field of any sort."""
    if isinstance(value, bool):
        field.set_checked(value)
    elif field.evaluate("e => e.tagName") == "SELECT":
        field.select_option(value)
    else:
        field.fill(value)


@pytest.mark.parametrize("kind, part, others", [("sleeve", 1, SLEEVE), ("pulley", 2, PULLEY)])
def test_every_field_changed_once_gives_what_the_command_line_gives(browser, served, wrong, run, kind, part, others):
    folder, address = served
    page, _ = opened(browser, address, wrong)
    page.click(f"#parts li:nth-child({part}) .open")
    until(page, "kind => JSON.parse(document.body.dataset.answered)[0] === kind", kind)
    page.evaluate("document.querySelectorAll('#answers details').forEach(part => { part.open = true; })")
    keys = page.evaluate("[...document.querySelectorAll('#answers .field')].map(field => field.dataset.key)")
    assert sorted(keys) == sorted(others), "every field has another value to try"
    base = {"sleeve": ["--name", "front", "--bearing", "6204", "--reach", "60"],
            "pulley": ["--name", "belt", "--profile", "T5", "--teeth", "20", "--bore", "8"]}[kind]
    drawn = 0
    for key, value in others.items():
        field = page.locator(f"#answer-{key}")
        before = field.input_value() if value is not True else False
        given = page.evaluate("key => (JSON.stringify(JSON.parse(document.body.dataset.answered)[1][key]) ?? null)", key)
        give(field, value)
        changed = "([key, before]) => (JSON.stringify(JSON.parse(document.body.dataset.answered)[1][key]) ?? null) !== before"
        until(page, changed, [key, given])
        shown = page.evaluate(ASKED_AGAIN)
        typed = [] if value is True else [value.replace(",", ".")]
        words = [word for at in range(0, len(base), 2) if base[at] != "--" + key for word in base[at:at + 2]]
        done = run(kind, *words, "--" + key, *typed, "--format", "json", "--json", "--out", folder / "told")
        told = json.loads(done.stdout)
        if "report" in shown:
            drawn += 1
            for differs in ("files", "written", "left", "error"):
                told.pop(differs, None)
                shown["report"].pop(differs, None)
            # With inches the page shows its sentences in both systems, and the same numbers.
            same = ("dimensions", "part", "name", "pieces") if key == "units" else told.keys() | shown["report"].keys()
            assert all(shown["report"][part] == told[part] for part in same), key
            sizes = page.locator("#rest table").filter(has_text="From").locator("tbody tr").count()
            assert page.locator("#name").inner_text() == told["name"] and sizes > 5, key
        else:
            assert "part" not in told, f"{key}: {shown}"
        give(field, before)
        field.dispatch_event("change")
        until(page, "([key, before]) => (JSON.stringify(JSON.parse(document.body.dataset.answered)[1][key]) ?? null) === before", [key, given])
    assert drawn > len(others) / 2, "most of these values make a part"


def test_a_job_changed_on_disk_is_told_before_it_is_saved_over(browser, served, wrong):
    folder, address = served
    page, _ = opened(browser, address, wrong)
    page.get_by_label("Reach", exact=True).fill("61")
    page.keyboard.press("Enter")
    until(page, "document.querySelector('#file').textContent.includes('not saved')")
    assert "61" in (folder / "job.toml.unsaved").read_text()
    (folder / "job.toml").write_text(JOB.replace("60 #", "65 #"))
    page.evaluate("dispatchEvent(new Event('focus'))")
    page.get_by_role("button", name="Load it as it is on disk").click()
    until(page, "document.querySelector('#answer-reach').value === '65'")
    assert not (folder / "job.toml.unsaved").exists()


@pytest.mark.parametrize("width", [390, 1024, 1600])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_sticks_out_and_words_stand_out(browser, served, wrong, width, scheme):
    _, address = served
    page, _ = opened(browser, address, wrong, color_scheme=scheme)
    page.set_viewport_size({"width": width, "height": 900})
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    unnamed = page.evaluate("[...document.querySelectorAll('input, select')].filter(e => !e.labels?.length && !e.ariaLabel).map(e => e.id)")
    assert unnamed == []
    # Contrast of at least 4.5 to 1 as in WCAG 2.2, success criterion 1.4.3.
    weak = page.evaluate(
        """() => {
            const light = c => { const [r, g, b] = c.match(/[\\d.]+/g).map(Number).map(v => v / 255)
                .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
            const ground = e => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor;
                if (!c.endsWith(', 0)')) return c; } return 'rgb(255, 255, 255)'; };
            return [...document.querySelectorAll('body *')].filter(e => !e.closest('option, datalist, button:disabled'))
                .filter(e => [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
                .filter(e => { const a = light(getComputedStyle(e).color), b = light(ground(e));
                    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) < 4.5; }).map(e => e.tagName + ' ' + e.textContent.slice(0, 40));
        }"""
    )
    assert weak == []


def small(picture):
    return PIL.Image.open(io.BytesIO(picture)).convert("L").resize((48, 36)).tobytes()


def test_the_picture_in_the_readme_is_of_this_page(browser, root, tmp_path, wrong):
    """Near enough, since letters differ from machine to machine. `REFRESH=1` takes it anew."""
    shutil.copy(root / "presets/jobs/coil-winder.toml", tmp_path / "coil-winder.toml")
    words = [os.environ["FIXWRIGHT"], "page", "coil-winder.toml", "--no-open"]
    program = subprocess.Popen(words, cwd=tmp_path, stdout=subprocess.PIPE, text=True)
    try:
        page, _ = opened(browser, re.search(r"http\S+", program.stdout.readline()).group(), wrong)
        page.click("#parts li:nth-child(2) .open")
        until(page, "document.querySelector('#name').textContent === 'front-inner'")
        page.get_by_label("cut open").check()
        page.get_by_label("in its place").check()
        until(page, "Number(document.querySelector('canvas').dataset.triangles) > 1856")
        page.set_viewport_size({"width": 1024, "height": 768})
        page.evaluate("document.querySelector('#part').scrollIntoView()")
        time.sleep(0.5)
        now = page.screenshot()
    finally:
        program.kill()
    kept = root / "src/page/live-sheet.png"
    if os.environ.get("REFRESH"):
        kept.write_bytes(now)
    differ = [abs(a - b) for a, b in zip(small(now), small(kept.read_bytes()))]
    assert statistics.mean(differ) < 10, "take it anew: REFRESH=1"


def test_a_size_is_lit_in_the_view_and_a_click_on_its_line_leads_back(browser, served, wrong):
    _, address = served
    page, _ = opened(browser, address, wrong)
    page.get_by_role("button", name="show: overall length", exact=True).click()
    until(page, "document.querySelector('canvas').dataset.lit === 'length'")
    # The line of the length stands upright: half way up it lies what is clicked, wherever it is drawn.
    box = page.locator("canvas").bounding_box()
    for across in range(2, 98, 2):
        page.locator("canvas").click(position={"x": box["width"] * across / 100, "y": box["height"] * 0.5})
        if page.evaluate("document.querySelector('tr.lit')?.dataset.size") == "length":
            break
    else:
        pytest.fail("no click leads back")
    until(page, "document.querySelector('canvas').dataset.lit === 'length'")


def test_faces_are_measured_from_their_exact_surfaces(browser, served, wrong, run, tmp_path):
    _, address = served
    page, _ = opened(browser, address, wrong)
    sizes = json.loads(run("sleeve", "6204", "--reach", "60", "--json", "--out", tmp_path).stdout)["dimensions"]
    page.get_by_label("measure", exact=True).check()
    box = page.locator("canvas").bounding_box()
    touch = lambda x, y: page.locator("canvas").click(position={"x": box["width"] * x, "y": box["height"] * y})
    said = lambda: page.locator(".measured").inner_text()
    touch(0.02, 0.02)
    assert said() == "No face is there."
    touch(0.5, 0.6)
    assert said().startswith(f"A round face, Ø {sizes['body_outer_diameter']:g} mm."), said()
    for _ in range(5):
        page.get_by_role("button", name="From higher up").click()
    page.get_by_label("measure", exact=True).uncheck()
    page.get_by_label("measure", exact=True).check()
    # From straight above: the face of the nose, and the outside beside it turned into sight again.
    for x in range(20, 50):
        touch(x / 100, 0.5)
        if "A flat face" in said():
            break
    assert f"{sizes['length']:g} mm above the bed" in said(), said()
    for _ in range(14):
        page.get_by_role("button", name="From lower down").click()
    touch(0.5, 0.5)
    assert f"{sizes['length']:g} mm between the two flat faces" in said(), said()


def test_one_file_is_given_to_the_browser_as_it_would_be_written(browser, served, wrong, run, tmp_path):
    _, address = served
    page, _ = opened(browser, address, wrong, accept_downloads=True)
    assert run("sleeve", "6204", "--reach", "60", "--name", "front", "--format", "step,stl", "--out", tmp_path).returncode == 0
    for format, name in [("stl", "front.stl"), ("step", "front.step")]:
        page.select_option("#format", format)
        with page.expect_download() as download:
            page.click("#take")
        assert download.value.suggested_filename == name
        assert Path(download.value.path()).read_bytes() == (tmp_path / name).read_bytes()
    page.select_option("#format", "flat")
    page.click("#take")
    until(page, "document.querySelector('#notice').textContent.includes('no file of the format flat')")
    wrong.clear()  # The browser itself complains of the refusal.
