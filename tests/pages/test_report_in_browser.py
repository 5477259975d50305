"""The report as a browser shows it: measured, searched, read aloud and printed.

Needs Debian's ``chromium``; `.ci/test` installs it.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from planner.pages.report import report_html, report_pages
from planner.pages.report.section import source as looks
from tests.pages import report_shows

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="chromium is not installed")

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
MEASURED = Path(__file__).with_name("report_measured.js").read_text(encoding="utf-8")
# Width of the window, and whether it shows what would be printed: A4 less margins of 13 mm is
# 184 mm, 695 px.
SIZES = {
    "desktop": (1280, "screen"),
    "tablet": (800, "screen"),
    "phone": (390, "screen"),
    "small phone": (360, "screen"),
    "print": (695, "print"),
}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def pages(tmp_path_factory) -> dict[str, Path]:
    """Reports on disk: of the example, on one page and on several, and of the hostile show."""
    folder = tmp_path_factory.mktemp("reports")
    report_shows.write_hostile(folder / "show")
    report_shows.follow(folder / "show", "HL000", "body")
    example = report_shows.followed_matter(report_shows.EXAMPLE, "2027-04-02")
    hostile = report_shows.followed_matter(folder / "show", "2027-03-05")
    texts = {"example.html": report_html(example), "hostile.html": report_html(hostile)}
    texts |= {f"split/{name}": text for name, text in report_pages(example)}
    (folder / "split").mkdir()
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    return {name: folder / name for name in texts}


@pytest.fixture(scope="module")
def printed(browser, pages, tmp_path_factory) -> list[list[str]]:
    """The example's report as printed: lines of each page, runs of spaces as one."""
    page = opened(browser, pages["example.html"], "print")
    target = tmp_path_factory.mktemp("printed") / "report.pdf"
    page.pdf(path=target, prefer_css_page_size=True, print_background=True)
    page.close()
    text = subprocess.run(
        ["pdftotext", "-layout", target, "-"], capture_output=True, text=True, check=True
    ).stdout
    sheets = text.removesuffix("\f").split("\f")
    return [
        [" ".join(line.split()) for line in sheet.splitlines() if line.strip()] for sheet in sheets
    ]


def opened(browser: Browser, path: Path, size: str = "desktop", scheme: str = "light") -> Page:
    width, media = SIZES[size]
    page = browser.new_page(viewport={"width": width, "height": 1000}, color_scheme=scheme)
    page.emulate_media(media=media, color_scheme=scheme)
    page.goto(path.as_uri())
    return page


TOLD = ("example.html", "hostile.html", "split/index.html", "split/sequence_heron_walks.html")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", [*TOLD, "split/order_2027_03.html"])
def test_no_label_is_cut_or_lies_upon_another_and_links_lead_somewhere(
    name, size, browser, pages
) -> None:
    page = opened(browser, pages[name], size)
    assert page.evaluate(MEASURED) == []
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", TOLD)
def test_every_rule_of_axe_holds_contrast_among_them(name, scheme, browser, pages) -> None:
    page = opened(browser, pages[name], scheme=scheme)
    found = Axe().run(page)
    assert [(each["id"], each["nodes"][0]["html"]) for each in found.response["violations"]] == []
    assert "color-contrast" in {each["id"] for each in found.response["passes"]}
    page.close()


@pytest.mark.parametrize("name", TOLD)
def test_a_page_asks_for_nothing_and_complains_of_nothing(name, browser, pages) -> None:
    page = browser.new_page()
    said: list[str] = []
    asked: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(pages[name].as_uri())
    page.mouse.wheel(0, 5000)
    page.wait_for_load_state("networkidle")
    assert said == []
    assert asked == [pages[name].as_uri()]
    page.close()


def test_what_files_say_stays_text(browser, pages) -> None:
    page = opened(browser, pages["hostile.html"])
    assert page.title() == f"{report_shows.MARKUP}: plan"
    assert page.locator("h1").inner_text() == report_shows.MARKUP
    assert page.locator("img").count() == 0
    assert page.locator("script").count() == 1  # the page's own, which its policy names by digest
    says = [each.inner_text() for each in page.locator(".says").all()]
    assert says[0] == report_shows.MARKUP
    assert says[1] == report_shows.QUOTES
    assert "<U+202E>" in says[2]
    assert says[3] == report_shows.LONG
    page.close()


def test_a_script_of_anybody_elses_would_not_run(browser, pages) -> None:
    page = browser.new_page()
    text = pages["example.html"].read_text(encoding="utf-8")
    broken = pages["example.html"].with_name("broken.html")
    alien = "<script>document.title = 'broken'</script></main>"
    broken.write_text(text.replace("</main>", alien), encoding="utf-8")
    page.goto(broken.as_uri())
    assert page.title() == "Nine Bells Under: plan"
    page.close()


def test_without_script_everything_is_there(browser, pages) -> None:
    with_script = opened(browser, pages["example.html"])
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(pages["example.html"].as_uri())
    # The field to search with is all that the script adds.
    assert page.locator("input").count() == 0
    assert page.locator("main").inner_text() == with_script.locator("main").inner_text()
    context.close()
    with_script.close()


def test_the_first_key_skips_the_list_of_parts_and_the_second_follows(browser, pages) -> None:
    page = opened(browser, pages["example.html"])
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")
    page.close()


def test_searching_leaves_only_the_shots_that_hold_the_words(browser, pages) -> None:
    page = opened(browser, pages["example.html"])
    page.locator("nav input").fill("raft drift")
    shown = [each.inner_text() for each in page.locator("article:visible h4").all()]
    assert shown == ["NB080"]  # Five people on a raft drift in between the gables.
    page.locator("nav input").fill("")
    assert page.locator("article:visible").count() == 24  # shots of the show
    page.close()


def test_pointing_at_a_box_lights_its_row_and_pointing_away_darkens_it(browser, pages) -> None:
    page = opened(browser, pages["example.html"])
    page.locator("svg a[href='#NB150.mud']").first.hover()
    assert "lit" in (page.locator("tr[id='NB150.mud']").get_attribute("class") or "")
    page.locator("h1").hover()
    assert "lit" not in (page.locator("tr[id='NB150.mud']").get_attribute("class") or "")
    page.close()


def test_links_between_pages_lead_to_a_file_and_a_place_in_it(pages) -> None:
    split = {path.name: path for name, path in pages.items() if name.startswith("split/")}
    ids = {
        name: set(re.findall(r'\bid="?([^\s">]+)', path.read_text(encoding="utf-8")))
        for name, path in split.items()
    }
    asked = {
        (name, *link.partition("#")[::2])
        for name, path in split.items()
        for link in re.findall(r'href="?([^\s">]+)', path.read_text(encoding="utf-8"))
    }
    assert len({target for _, target, _ in asked}) == len(split) + 1  # and within a page
    lost = [each for each in asked if each[2] and each[2] not in ids[each[1] or each[0]]]
    assert lost == []


def test_rows_and_boxes_are_read_out_as_what_they_are(browser, pages) -> None:
    page = opened(browser, pages["example.html"])
    tree = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")
    read = [
        (each["role"]["value"], each["name"]["value"]) for each in tree["nodes"] if "name" in each
    ]
    # Each row of a table's body is named by its first cell.
    rows = page.locator("tbody tr").count()
    assert sum(role == "rowheader" for role, _ in read) == rows > 0
    # The words of a box are words, though each line of them stands by itself.
    name = page.locator("svg a[href='#heron_quarter'] text").nth(1).text_content()
    assert name == "build"
    boxes = [said for role, said in read if role == "link" and said.startswith("heron_quarter ")]
    assert boxes
    assert all(each.startswith("heron_quarter build ") for each in boxes)
    page.close()


def test_it_prints_on_a4_with_tags_and_every_shot(browser, pages, tmp_path) -> None:
    page = opened(browser, pages["example.html"], "print")
    target = tmp_path / "report.pdf"
    page.pdf(path=target, prefer_css_page_size=True, print_background=True, tagged=True)
    page.close()
    about = subprocess.run(["pdfinfo", target], capture_output=True, text=True, check=True).stdout
    assert "(A4)" in about
    assert re.search(r"Tagged:\s+yes", about)
    text = subprocess.run(
        ["pdftotext", target, "-"], capture_output=True, text=True, check=True
    ).stdout
    shots = report_shows.matter_of_folder(report_shows.EXAMPLE).plan.show.shots
    assert [shot for shot in shots if shot not in text] == []


def test_every_printed_page_says_which_of_how_many_and_of_what(printed) -> None:
    count = len(printed)
    assert count > 20
    for number, page in enumerate(printed, start=1):
        foot = page[-1]
        assert foot.startswith("Nine Bells Under, as of 2 Apr 2027")
        assert foot.endswith(f"{number} of {count}")


def test_no_heads_of_a_table_stand_at_the_foot_of_a_page_without_a_row(
    browser, pages, printed
) -> None:
    page = opened(browser, pages["example.html"])
    heads = {" ".join(row.inner_text().split()) for row in page.locator("thead tr").all()}
    titles = {
        each.inner_text().strip().splitlines()[0]
        for each in page.locator("h2,h3,h4,caption,h2+p").all()
    }
    page.close()
    assert "Element Work When Waits for" in heads
    # The line above the foot is the last of what the page tells.
    assert [page[-2] for page in printed if page[-2] in heads | titles] == []


def test_a_table_that_does_not_fit_breaks_under_its_heading_and_never_by_one_row(
    browser, tmp_path
) -> None:
    # 297 mm less margins of 14 and 17 leave 266: some four of the eight rows fit under 220.
    rows = "".join(f"<tr><th>row {n}<td>made" for n in range(8))
    spoken = f"<table><thead><tr><th>Element<th>Work<tbody>{rows}</table>"
    source = tmp_path / "long.html"
    source.write_text(
        f"<!doctype html><style>{looks('look.css')}</style>"
        f"<div style='height:220mm'>full</div>{spoken}",
        encoding="utf-8",
    )
    page = opened(browser, source, "print")
    target = tmp_path / "long.pdf"
    page.pdf(path=target, prefer_css_page_size=True)
    page.close()
    text = subprocess.run(["pdftotext", target, "-"], capture_output=True, text=True, check=True)
    first, second, _ = text.stdout.split("\f")
    assert "Element" in first
    assert "Element" in second
    held = [sum(f"row {n}" in each for n in range(8)) for each in (first, second)]
    assert sum(held) == 8
    assert min(held) >= 2


def test_the_measure_finds_what_it_looks_for(browser, tmp_path) -> None:
    spoiled = tmp_path / "spoiled.html"
    spoiled.write_text(
        "<!doctype html><p id=a>first<p id=a style='margin-top:-30px'>upon it<p><a href='#b'>b</a>"
        "<div style='overflow:hidden;height:9px;margin-bottom:40px'>much too high for it</div>"
        "<table><thead><tr><th style='display:block;width:20px;overflow-wrap:anywhere'>Composites"
        "<tbody><tr><th style='width:20px;overflow-wrap:anywhere'><a>NB110.rods</a>"
        "<td style='display:block;width:20px;overflow-wrap:anywhere'>1,234.56</table>"
        "<svg width=40 height=20><text y=15>longer than its drawing</text></svg>"
        "<div style='width:3000px'>wide</div>",
        encoding="utf-8",
    )
    page = opened(browser, spoiled)
    assert sorted(page.evaluate(MEASURED)) == [
        "1,234.56: a sum broken in two",
        "Composites: a heading broken in two",
        "NB110.rods: a name broken in two",
        "a: an id twice",
        "b: a link to nothing",
        "first | upon it: one upon the other",
        "longer than its drawing: past the edge of its drawing",
        "much too high for it: cut off",
        "the page is wider than the window",
    ]
    page.close()
