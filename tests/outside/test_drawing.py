"""Drawings measured after independent programs have rendered them: is 50 mm 50 mm, and do both
formats show the same?"""

import io
import json
import re

import numpy
import pypdfium2
import pytest
import resvg_py
from PIL import Image

PX_PER_MM = 10


@pytest.fixture(scope="module")
def job(run, root, tmp_path_factory):
    folder = tmp_path_factory.mktemp("drawing")
    preset = root / "presets/jobs/coil-winder.toml"
    done = run("make", preset, "--out", folder, "--format", "drawing,picture,json")
    assert done.returncode == 0, done.stderr
    return folder


def bodies(report):
    """What has a drawing: the printed pieces, and then what is turned."""
    return report.get("pieces", []) + report.get("turned", [])


class Drawing:
    """A piece's drawing: its SVG, and its page of the part's PDF."""

    def __init__(self, report, folder, at):
        self.report = report
        piece = bodies(report)[at]["piece"]
        self.name = "-".join(filter(None, [report["name"], piece]))
        self.svg = folder / f"{self.name}-drawing.svg"
        self.pdf = folder / f"{report['name']}-drawing.pdf"
        self.page = at
        self.printed = at < len(report["pieces"])
        self.text = self.svg.read_text()


def drawings(job):
    reports = [json.loads(path.read_text()) for path in sorted(job.glob("*.json"))]
    found = [Drawing(r, job, at) for r in reports for at in range(len(bodies(r)))]
    assert len(found) == len(list(job.glob("*-drawing.svg"))) > 0
    return found


def grey(image):
    return numpy.asarray(image.convert("L"), dtype=float)


def render_svg(path, dpi):
    """The SVG at a resolution, by resvg."""
    text = path.read_text()
    png = resvg_py.svg_to_bytes(svg_string=text, dpi=dpi, background="#ffffff")
    return Image.open(io.BytesIO(bytes(png)))


def render_pdf(path, dpi, page=0):
    return pypdfium2.PdfDocument(path)[page].render(scale=dpi / 72).to_pil()


def bar_mm(pixels):
    """Length of the check bar, mm, between the middles of its end ticks: a dark level run in the lower
    left with ticks that rise from its ends and its four fifths, and nothing between them."""
    height, _ = pixels.shape
    dark = pixels < 128
    best = 0
    for y in range(height // 2, height):
        row = dark[y, : 100 * PX_PER_MM]
        edges = numpy.flatnonzero(numpy.diff(numpy.concatenate([[0], row.astype(int), [0]])))
        for start, end in zip(edges[::2], edges[1::2]):
            if not 40 * PX_PER_MM < end - start < 60 * PX_PER_MM:
                continue
            over = dark[y - int(0.8 * PX_PER_MM), start:end]
            fifths = numpy.linspace(2, end - start - 3, 6).round().astype(int)
            ticks = all(over[max(at - 3, 0) : at + 4].any() for at in fifths)
            clear = not any(over[a + 8 : b - 8].any() for a, b in zip(fifths, fifths[1:]))
            if ticks and clear:
                best = max(best, end - start)
    # The outer ticks are 0.5 mm wide and half of each stands out.
    return best / PX_PER_MM - 0.5


def test_the_bar_is_fifty_millimetres_in_svg_and_pdf(job):
    dpi = PX_PER_MM * 25.4
    for drawing in drawings(job):
        svg = bar_mm(grey(render_svg(drawing.svg, dpi)))
        assert svg == pytest.approx(50, abs=0.15), f"{drawing.name}: {svg}"
        pdf = bar_mm(grey(render_pdf(drawing.pdf, dpi, drawing.page)))
        assert pdf == pytest.approx(50, abs=0.15), f"{drawing.name} as PDF: {pdf}"


def test_pages_are_a4(job):
    for drawing in drawings(job):
        document = pypdfium2.PdfDocument(drawing.pdf)
        for page in document:
            sides = sorted(side / 72 * 25.4 for side in page.get_size())
            assert sides == pytest.approx([210, 297], abs=0.01)
        assert re.search(r'width="(210|297)mm" height="(210|297)mm"', drawing.text)


def test_svg_and_pdf_show_the_same(job):
    for drawing in drawings(job):
        svg = render_svg(drawing.svg, 100)
        pdf = render_pdf(drawing.pdf, 100, drawing.page).resize(svg.size)
        # Faces differ between the renderers (and one may have none), so compare what a squinting eye sees.
        a, b = (grey(image.resize((svg.width // 8, svg.height // 8), Image.BOX)) for image in (svg, pdf))
        assert numpy.abs(a - b).mean() < 4, drawing.name
        assert a.mean() < 254, "not a blank sheet"


def figures(text):
    return re.findall(r"<text[^>]*>\(?(?:\d+ × )?(Ø?)([0-9.]+)\)?</text>", text)


def test_every_diameter_drawn_is_one_the_report_knows(job):
    for drawing in drawings(job):
        report = drawing.report
        listed = [entry for value in report.values() if isinstance(value, list) for entry in value]
        own = bodies(report)[drawing.page]["figures"]
        known = [*report["dimensions"].values(), *(entry["diameter"] for entry in listed if "diameter" in entry)]
        known += [figure["mm"] for figure in own]
        drawn = {float(figure) for sign, figure in figures(drawing.text) if sign}
        assert drawn, drawing.name
        # Hundredths are drawn; a half may be rounded either way.
        strange = [figure for figure in drawn if all(abs(figure - value) > 0.0051 for value in known)]
        assert not strange, f"{drawing.name}: {strange}"


def test_the_pdf_holds_the_svgs_words(job):
    for drawing in drawings(job):
        page = pypdfium2.PdfDocument(drawing.pdf)[drawing.page]
        said = page.get_textpage().get_text_range()
        table = "Caliper readings on the print, mm" if drawing.printed else "Turned from metal, not printed"
        for word in (table, "First angle", "50 mm: measure this bar"):
            assert word in said, f"{drawing.name}: {word}"
        for sign, figure in figures(drawing.text):
            assert f"{sign}{figure}" in said, f"{drawing.name}: {sign}{figure}"


def test_the_readings_to_take_are_on_the_sheet(job):
    for drawing in filter(lambda drawing: drawing.printed, drawings(job)):
        report = drawing.report
        text = drawing.text
        piece = report["pieces"][drawing.page]["piece"]
        for reading in report["notes"]["print_readings"]:
            if "on" in reading and piece not in reading["on"]:
                continue
            for key in ("nominal", "wanted", "least", "most"):
                assert f">{reading[key]:.2f}</text>" in text, f"{drawing.name}: {reading}"


def test_the_picture_in_svg_looks_as_the_one_in_png(job):
    pictures = sorted(job.glob("*-picture.svg")) + sorted(job.glob("*-in-place.svg"))
    assert pictures
    for path in pictures:
        svg = render_svg(path, 96)
        png = Image.open(path.with_suffix(".png")).convert("RGB")
        assert svg.size == png.size
        small = (png.width // 10, png.height // 10)
        a, b = (numpy.asarray(image.convert("RGB").resize(small, Image.BOX), dtype=float) for image in (svg, png))
        # The PNG has a shadow on the bench and contact shading besides.
        part = a.min(axis=2) < 250
        assert part.mean() > 0.1, path.name
        assert numpy.abs(a - b)[part].mean() < 22, path.name
