"""The reference leaves nothing out, links to what there is, and says what holds each formula."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

import planner
from planner import craft
from planner.cli import group
from planner.cli.reference import checks, rooms
from planner.kinds import Registry
from planner.model.place import Place
from planner.pages.catalogue import kind_text
from planner.pages.reference import (
    Room,
    checks_in,
    facts_html,
    facts_pages,
    formulas_html,
    formulas_in,
)
from planner.text.show_folder import file_schemas

if TYPE_CHECKING:
    from collections.abc import Iterator

KINDS = Registry()
IDS = re.compile(r'\bid="?([^" >]+)')
LINKS = re.compile(r'href="#([^"]+)"')
# What is drawn through another formula, or by name in a table, and so not called by its own.
HELD_BY_ANOTHER = {
    "demands.above_zero",
    "demands.not_negative",
    "demands.scale_denominator",
    "demands.worked_out_singly",
    "motion.half_cosine",
    "motion.minimum_jerk",
    "motion.smoothstep",
    "pert.drawn",
    "rod_removal.runs",
}


# A unit, or a word that says that there is none.
UNIT = re.compile(
    r"\b((milli|nano)?metres?|feet|foot|pixels?|degrees|seconds?|minutes|hours|years?|frames"
    r"|kilograms|newtons|gigapascals|lux|foot-candles|candela|bytes|line pairs|stops?|units?"
    r"|f-number|T-stop|N at|N of|1:N|counts?|counted|dimensionless|shares?|ratio|probability)\b",
    re.IGNORECASE,
)
NUMBER = re.compile(r"\b(float|int|Point|Pixel)\b")


def numbers_of(node: ast.stmt) -> Iterator[tuple[str, str]]:
    """Each number a function takes or gives, or a value holds, with what its docstring says."""
    if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
        said = ast.get_docstring(node) or ""
        yield from given(node.name, node)
        for each in (*node.args.args, *node.args.kwonlyargs):
            if NUMBER.search(ast.unparse(each.annotation)):
                yield f"{node.name}.{each.arg}", entry(said, each.arg)
    if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
        said = ast.get_docstring(node) or ""
        for each in node.body:
            if isinstance(each, ast.AnnAssign) and NUMBER.search(ast.unparse(each.annotation)):
                field = ast.unparse(each.target)
                # One unit for all of them may be said once, in the first sentence.
                yield f"{node.name}.{field}", entry(said, field) or said.partition("\n")[0]
            if isinstance(each, ast.FunctionDef) and not each.name.startswith("_"):
                yield from given(f"{node.name}.{each.name}", each)


def given(name: str, node: ast.FunctionDef) -> Iterator[tuple[str, str]]:
    """The number a function gives, with what its docstring says of no argument."""
    if NUMBER.search(ast.unparse(node.returns)):
        yield name, re.sub(r"(Args|Raises|Source):\n(.+\n?)+", "", ast.get_docstring(node) or "")


def entry(docstring: str, name: str) -> str:
    """What stands beside a name under a heading of a docstring."""
    found = re.search(rf"^    {name}: (.*(?:\n     .*)*)", docstring, re.MULTILINE)
    return found[1] if found else ""


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("reference")
    result = CliRunner().invoke(group, ["reference", "--to", str(target)])
    assert result.exit_code == 0, result.output
    return target


def names_in(schema: object) -> set[str]:
    """Every name that stands under `properties`, however deep, by a walk of its own."""
    if isinstance(schema, list):
        return set().union(*map(names_in, schema)) if schema else set()
    if not isinstance(schema, dict):
        return set()
    measured = "measure" in schema
    held = schema.get("properties", {})
    own = set() if measured or not isinstance(held, dict) else set(held)
    kept = {key: each for key, each in schema.items() if key not in ("$defs", "allOf")}
    return own.union(*(names_in(each) for each in kept.values() if not measured))


@pytest.mark.parametrize("file", sorted(set(file_schemas()) - {"facts.json"}))
def test_every_property_of_a_file_has_its_row(file: str) -> None:
    page = facts_pages(file_schemas(), {})
    tables = {table.id: table for table in (*page.files, page.every)}
    table = tables["every" if file == "element.json" else file.removesuffix(".json")]
    assert names_in(file_schemas()[file]) <= {row.name for row in table.rows}


@pytest.mark.parametrize("kind", KINDS.names)
def test_every_property_of_a_kind_has_its_row(kind: str, written: Path) -> None:
    schema = KINDS.schema(kind, Place(kind))
    assert isinstance(schema, dict)
    html = unescape((written / "facts.html").read_text(encoding="utf-8"))
    rows = set(re.findall(rf'id="kind-{kind}:([^"]+)"', html))
    assert names_in(schema) <= {row.rpartition(".")[2].removesuffix("[]") for row in rows}


def test_a_kind_nobody_here_wrote_appears_with_its_owner() -> None:
    kite = {
        "title": "A kite",
        "properties": {
            "line": {"$ref": "facts.json#/$defs/length", "description": "How <long> it is."}
        },
        "required": ["line"],
    }
    page = facts_pages(file_schemas(), {"kite": (kite, "kites-for-all")})
    (row,) = page.kinds[0].rows
    assert (row.path, row.sort, row.example, row.must) == ("line", "a length", "3.6 m", True)
    html = facts_html(page, ["the kind bad of nobody cannot be loaded"], "1")
    assert "From kites-for-all." in html
    assert "How &lt;long&gt; it is." in html
    assert "the kind bad of nobody" in html


@pytest.mark.parametrize("to", ["facts.json#/$defs/lenght", "sails.json#/$defs/length"])
def test_a_fact_of_a_sort_that_is_nowhere_is_listed_all_the_same(to: str) -> None:
    kite = {"title": "A kite", "properties": {"line": {"$ref": to, "description": "Let out."}}}
    (table,) = facts_pages(file_schemas(), {"kite": (kite, "kites-for-all")}).kinds
    assert [(row.path, row.says) for row in table.rows] == [("line", "Let out.")]
    assert "  line\n      Let out.\n" in kind_text("kite", kite, file_schemas())


def test_a_fact_deep_in_a_list_is_told_by_its_path() -> None:
    tables = {table.id: table for table in facts_pages(file_schemas(), {}).files}
    rows = {row.path: row for row in tables["rates"].rows}
    assert rows["rates.NAME.amounts[].is"].sort == "a sum of money"
    assert rows["rates.NAME.amounts[].is"].must
    assert not rows["rates.NAME.account"].must
    assert rows["rates.NAME.per"].sort.startswith("one of hour, day, frame")


def test_no_fact_and_no_sort_of_value_stands_there_unexplained() -> None:
    kinds = {name: (KINDS.schema(name, Place(name)), "here") for name in KINDS.names}
    page = facts_pages(file_schemas(), kinds)
    rows = [row for table in (*page.files, page.every, *page.kinds) for row in table.rows]
    unsaid = [row.id for row in (*rows, *page.sorts) if not (row.says.strip() and row.sort.strip())]
    assert unsaid == []


def words_of(folder: Path) -> set[str]:
    """Every word that stands as text in the code of a folder."""
    trees = (ast.parse(path.read_text(encoding="utf-8")) for path in folder.rglob("*.py"))
    texts = (each.value for tree in trees for each in ast.walk(tree) if is_text(each))
    return {text.replace(" ", "_") for text in texts}


def is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def test_every_fact_is_read_or_says_that_only_people_read_it() -> None:
    own = words_of(Path(planner.__path__[0]))
    kinds = {name: (KINDS.schema(name, Place(name)), "here") for name in KINDS.names}
    page = facts_pages(file_schemas(), kinds)
    read = {}
    for table in page.kinds:
        kind = KINDS.get(table.id.removeprefix("kind-"), Place(""))
        read[table.id] = own | words_of(Path(inspect.getfile(type(kind))).parent)
    # What every element may state, and what stands in files, is for any kind to read.
    read.update(
        dict.fromkeys((each.id for each in (*page.files, page.every)), set().union(*read.values()))
    )
    unread = [
        row.id
        for table in (*page.files, page.every, *page.kinds)
        for row in table.rows
        if row.name not in {"NAME", *read[table.id]} and "for people to read" not in row.says
    ]
    assert unread == []


def test_every_public_function_of_the_arithmetic_is_there(written: Path) -> None:
    ids = set(IDS.findall((written / "formulas.html").read_text(encoding="utf-8")))
    for module in pkgutil.iter_modules(craft.__path__):
        held = vars(importlib.import_module(f"planner.craft.{module.name}"))
        for name, each in held.items():
            own = getattr(each, "__module__", "") == f"planner.craft.{module.name}"
            if inspect.isfunction(each) and own and not name.startswith("_"):
                assert f"{module.name}.{name}" in ids


def test_every_formula_names_its_source() -> None:
    silent = [each.id for room in rooms() for each in room.formulas if "Source" not in each.parts]
    assert silent == []


def test_every_number_of_the_arithmetic_has_its_unit_beside_it() -> None:
    bare = [
        place
        for path in sorted(Path(craft.__path__[0]).glob("*.py"))
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        for place, said in numbers_of(node)
        if not UNIT.search(said)
    ]
    assert bare == []


def test_a_number_without_a_unit_is_found() -> None:
    text = """
def sag(load_n: float, free: int) -> float:
    '''Sag of the end, millimetres.

    Args:
        load_n: at the end,
            newtons.
        free: how many.
    '''
class Beam:
    '''A beam.

    Attributes:
        length: from end to end.
    '''

    length: float

    def mass(self) -> float:
        '''Its mass.'''
"""
    told = {
        place: bool(UNIT.search(said))
        for node in ast.parse(text).body
        for place, said in numbers_of(node)
    }
    assert told == {
        "sag": True,
        "sag.load_n": True,
        "sag.free": False,
        "Beam.length": False,
        "Beam.mass": False,
    }


def test_every_formula_is_called_by_a_check_or_stands_behind_one() -> None:
    held = checks()
    assert held is not None
    unheld = {each.id for room in rooms() for each in room.formulas if each.id not in held}
    assert unheld <= HELD_BY_ANOTHER


@pytest.mark.parametrize("name", ["facts.html", "formulas.html"])
def test_links_lead_to_what_there_is_and_ids_stand_once(name: str, written: Path) -> None:
    html = (written / name).read_text(encoding="utf-8")
    ids = IDS.findall(html)
    assert len(ids) == len(set(ids))
    assert set(LINKS.findall(html)) <= set(ids)
    assert "http://" not in html
    assert "https://" not in html


def test_a_docstring_falls_into_formula_units_and_source() -> None:
    text = '''
def sag_mm(load_n: float) -> float:
    """Sag, millimetres: ``F l^3``.

    Args:
        load_n: at the end,
            newtons.

    Source:
        A cantilever.
    """
def _own() -> None: ...
'''
    (formula,) = formulas_in("rods", text)
    assert formula.id == "rods.sag_mm"
    assert formula.gives == "Sag, millimetres: ``F l^3``."
    assert formula.formula == ("F l^3",)
    assert formula.parts == {"Args": "load_n: at the end,\n    newtons.", "Source": "A cantilever."}
    assert formula.call == "sag_mm(load_n: float) -> float"
    html = formulas_html([Room("rods", "Rods.", (formula,))], None, "1")
    assert "load_n: at the end, newtons." in html
    assert "The tests are not installed here" in html


def test_a_check_is_marked_by_its_comment_its_table_or_its_draws() -> None:
    text = """
# published weakly: a page
TABLE = ((1, 2),)

def test_by_a_table() -> None:
    for one, two in TABLE:
        assert rods.sag(one) == two

def test_by_hand() -> None:
    # derived: 2 x 3,
    # and 1 more
    assert rods.sag(2) == 7

@given(NUMBERS)
def test_a_law(x: float) -> None:
    assert rods.sag(x) > 0

def test_plain() -> None:
    assert rods.sag(0) == 0
"""
    found = checks_in("test_rods.py", text)["rods.sag"]
    assert [(each.says, each.mark, each.words) for each in found] == [
        ("by a table", "published in a weak source", "a page"),
        ("by hand", "derived", "2 x 3, and 1 more"),
        ("a law", "a law, tried on drawn numbers", ""),
        ("plain", "arithmetic in the test", ""),
    ]


def test_a_folder_that_cannot_be_written_is_told_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    result = CliRunner().invoke(group, ["reference", "--to", str(tmp_path / "file" / "in")])
    assert result.exit_code == 1
    assert "cannot be written" in result.stderr


def test_a_measured_fact_shows_what_a_show_states_of_it_in_its_own_sort() -> None:
    shows = "camera: {focal_length: 28 mm, lens: prime_35, shutter: 3 m}\nstop: ?\n"
    tables = {table.id: table for table in facts_pages(file_schemas(), {}, shows).files}
    rows = {row.path: row.example for row in tables["camera"].rows}
    assert rows["focal_length"] == "28 mm"
    assert rows["lens"] == "prime_35"
    assert rows["shutter"] == "22 deg"  # a length is no angle: the sort's own example stays
    assert rows["stop"] == "f/8"


def test_what_may_be_a_list_of_names_shows_a_name_where_a_show_states_one() -> None:
    rig = {"properties": {"rig": {"$ref": "facts.json#/$defs/resources", "description": "Rigs."}}}
    shows = "rig: table_rig\n"
    for said, example in ((shows, "table_rig"), ("", "[north_stage, south_stage]")):
        (table,) = facts_pages(file_schemas(), {"kite": (rig, "kites")}, said).kinds
        assert table.rows[0].example == example
