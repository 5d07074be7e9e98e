"""Each fault of a site file: one line with file, table, key, value and remedy."""

from __future__ import annotations

from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.services.site_file import read_site

DATA = Path(__file__).resolve().parents[1] / "data"
BOOTH = (DATA / "site_booth.toml").read_text(encoding="utf-8")

BOARD, STICK, ROLL = '[[item]] "wool board 50"', '[[item]] "edge track"', '[[item]] "cloth moss"'
WALL, ROOM, NORTH = '[[build_up]] "wall 50"', '[[room]] "booth"', '[[room.plane]] "north"'
SOUTH, LEFT, RIGHT = '[[room.plane]] "south"', '[[room.plane.bay]] "north/left"', '[[room.plane.bay]] "north/right"'
TARGET = "target = { t = [0.30, 0.25, 0.25, 0.25, 0.25, 0.25], tolerance = 0.05 }"
DESK = '{ name = "desk", area = [1, 2, 3, 4, 5, 6] }'
LAST = '[[phase]]\nname = "sides and lid"'


def task(text: str) -> str:
    return f"{LAST}\ntask = [ {text} ]"


# (what is in the file, what stands there instead, what the line must have in it)
FAULTS = {
    # keys and types
    "unknown key": ("density = 40", "densty = 40", [BOARD, "densty", "unknown key", "did you mean density"]),
    "unknown key of a bay": ("at = [0, 0]", "att = [0, 0]", ["room.plane.bay", "left", "att", "did you mean at"]),
    "unknown table": ('[[phase]]\nname = "back', '[[phases]]\nname = "back', ["phases", "did you mean phase"]),
    "unknown day": ("tue = 2", "tues = 2", ["[site", "hours", "tue"]),
    "missing key": ('currency = "EUR"\n', "", ["[site]", "currency", "missing"]),
    "missing name": ('name = "wool board 50"\n', "", ["[[item]]", "number 1", "name", "missing"]),
    "missing size": ("size = [1200, 600]\n", "", [BOARD, "size", "missing"]),
    "key of another form": ("face = 12", "face = 12\nwidth = 40", [STICK, "width"]),
    "wrong unit": ('unit = "mm"', 'unit = "cm"', ["[site]", "unit", "cm", "mm", "in"]),
    "wrong form": ('form = "board"', 'form = "plank"', ["[[item]]", "form", "plank", "board"]),
    "wrong kind": ('kind = "wall"', 'kind = "fence"', ["[[room.plane]]", "north", "kind", "fence", "wall"]),
    "wrong type": ("lead_days = 6", 'lead_days = "six"', [BOARD, "lead_days", "six", "whole number"]),
    "true for a number": ("pack = 6", "pack = true", [BOARD, "pack", "number"]),
    "number for text": ('name = "Barn booth"', "name = 5", ["[site]", "name", "5", "text"]),
    "one bracket": ("[[surface]]\nname = \"solid door\"", "[[surface]]\nname = 7", ["[[surface]]", "name", "7"]),
    "no date": ("start = 2026-04-06", 'start = "soon"', ["[site]", "start", "soon"]),
    "date and time": ("start = 2026-04-06", "start = 2026-04-06T10:00:00", ["[site]", "start"]),
    # figures
    "length text": ("size = [1500, 2300]", 'size = ["15x", 2300]', [LEFT, "size", '"15x"', "cannot read 'x'", "e.g."]),
    "negative": ("kerf = 3", "kerf = -3", [BOARD, "kerf", "-3", "negative"]),
    "zero size": ("depth = 50\ndensity", "depth = 0\ndensity", [BOARD, "depth", "can't be 0"]),
    "over 100 m": ("length = 3000", "length = 300000", [STICK, "length", "300000", "over 100 m"]),
    "not a number": ("width = 1680", "width = nan", [ROLL, "width", "nan", "number"]),
    "two figures": ("size = [1200, 600]", "size = [1200]", [BOARD, "size"]),
    "part of a board": ("on_hand = 9", "on_hand = 9.5", [BOARD, "on_hand", "9.5", "whole"]),
    "on hand of a roll": ('on_hand = "12 m"', 'on_hand = "2 packs"', [ROLL, "on_hand", "2 packs", "length"]),
    "five bands": ("alpha = [0.02, 0.04, 0.08, 0.20, 0.35, 0.40]", "alpha = [0.02, 0.04, 0.08, 0.20, 0.35]",
                   ['[[surface]] "thin carpet"', "alpha"]),
    "absurd alpha": ("0.86, 0.86, 0.86, 0.86]", "0.86, 0.86, 0.86, 8.6]", [WALL, "alpha", "8.6", "1.5"]),
    "negative alpha": ("alpha = [0.23", "alpha = [-0.23", [WALL, "alpha", "-0.23", "0"]),
    "humidity": ("humidity = 50", "humidity = 130", [ROOM, "humidity", "130", "100"]),
    "temperature": ("temperature = 20", "temperature = 200", [ROOM, "temperature", "200", "50"]),
    "hours": ("sat = 6", "sat = 60", ["[site", "sat", "60", "24"]),
    "volume": ("volume = 15.18", 'volume = "15 pints"', [ROOM, "volume", "15 pints", "e.g."]),
    "list for a length": ("depth = 50\ndensity", "depth = [50]\ndensity", [BOARD, "depth", "[50]", "number"]),
    "true for a length": ("depth = 50\ndensity", "depth = true\ndensity", [BOARD, "depth", "true", "number"]),
    "true for a volume": ("volume = 15.18", "volume = true", [ROOM, "volume", "true", "number"]),
    "number for a target": (TARGET, "target = 3", [ROOM, "target", "3", "text"]),
    "target of two bands": (TARGET, "target = { t = [0.3, 0.3] }", [ROOM, "target.t", "[0.3, 0.3]", "6"]),
    "unknown key of a target": (TARGET, TARGET.replace("tolerance", "tolerence"), [ROOM, "tolerence", "tolerance?"]),
    "half a pack": ("pack = 6", "pack = 6.5", [BOARD, "pack", "6.5", "whole"]),
    "pack of a roll": ("width = 1680", "width = 1680\npack = 3", [ROLL, "pack", "3", "leave it out"]),
    "unit of a piece": ('form = "each"', 'form = "each"\nunit = "kg"', ['[[item]] "track screw"', "unit", "kg"]),
    "absorber twice": ("humidity = 50", f"humidity = 50\nabsorbers = [ {DESK}, {DESK} ]", [ROOM, "absorbers", "desk",
                                                                                           "twice"]),
    "absorber of two bands": ("humidity = 50", f"humidity = 50\nabsorbers = [ {DESK.replace(', 3, 4, 5, 6', '')} ]",
                              [ROOM, 'absorbers "desk".area', "[1, 2]", "6"]),
    "empty name": ('name = "left"', 'name = ""', ["[[room.plane.bay]]", "number 1", "name", "empty"]),
    "misspelt name": ('name = "north"', 'nmae = "north"', ["[[room.plane]]", "number 1", "nmae", "did you mean name"]),
    "one corner figure": ("size = [3000, 2300]", "outline = [[0, 0], [1], [2, 3]]", [NORTH, "outline[2]", "[1]", "2"]),
    "corner text": ("size = [3000, 2300]", 'outline = [[0, 0], [100, 0], [2, "3x"]]', [NORTH, "outline", '"3x"']),
    "place before the corner": ("at = [0, 0]", "at = [-1, 0]", [LEFT, "at", "-1", "negative"]),
    "place of a plane": ("size = [3000, 2300]", "at = [1, 1]\nsize = [3000, 2300]", [NORTH, "at"]),
    "opening that is no table": ("opening = [ {", "opening = [ 3, {", [SOUTH, "opening", "3", "table"]),
    "opening's surface": ('surface = "solid door" }', "surface = 3 }", [SOUTH, 'opening "door".surface', "3", "text"]),
    "unknown key of a tape": ("size = [3000, 2300]", "tape = { bottom = 3000, top = 3000, left = 2300, right = 2300, "
                              "diagonal = 3780, chekc = 1 }", [NORTH, "tape.chekc", "did you mean check"]),
    "spacing": ('"track screw" = 150', '"track screw" = "q"', [WALL, "each", "track screw", '"q"']),
    "hours of a task": (LAST, task('{ name = "a", hours = "1x" }'), ["sides and lid", '"a".hours', '"1x"', "1:30"]),
    "infinite price": ("price = 51.00", "price = inf", [BOARD, "price", "inf", "number"]),
    "currency": ('currency = "EUR"', 'currency = "eu"', ["[site]", "currency", "eu", "EUR"]),
    "price": ("price = 51.00", "price = -1", [BOARD, "price", "-1"]),
    # names
    "item twice": ('name = "joint track"', 'name = "edge track"', ["[[item]]", "edge track", "twice"]),
    "surface twice": ('name = "thin carpet"', 'name = "solid door"', ["[[surface]]", "solid door", "twice"]),
    "plane twice": ('name = "south"', 'name = "north"', ["north", "twice"]),
    "bay twice": ('name = "right"', 'name = "left"', ["north", "left", "twice"]),
    "phase twice": (LAST, LAST.replace("sides and lid", "back and front"), ["[[phase]]", "back and front", "twice"]),
    "no such surface": ('surface = "solid door"', 'surface = "solid dor"', [SOUTH, "door", "surface", "solid dor",
                                                                            "did you mean"]),
    "no such infill": ('infill = "wool board 50"', 'infill = "wool bord 50"', [WALL, "infill", "wool bord 50",
                                                                               "did you mean wool board 50"]),
    "infill of the wrong form": ('infill = "wool board 50"', 'infill = "edge track"', [WALL, "infill", "edge track",
                                                                                       "stick", "board"]),
    "edge of the wrong form": ('edge = "edge track"', 'edge = "cloth moss"', [WALL, "edge", "cloth moss", "roll",
                                                                              "stick"]),
    "fabric of the wrong form": ('fabric = "cloth moss"', 'fabric = "track screw"', [WALL, "fabric", "track screw"]),
    "fixing of the wrong form": ('each = { "track screw" = 150 }', 'each = { "edge track" = 150 }',
                                 [WALL, "each", "edge track"]),
    "no such build-up": ('build_up = "wall 50"', 'build_up = "wall 5"', [LEFT, "build_up", "wall 5", "wall 50"]),
    "no such phase": ('phase = "back and front"', 'phase = "back"', [LEFT, "phase", "back"]),
    "no such target": (TARGET, 'target = "lisening"', [ROOM, "target", "lisening", "listening"]),
    "no such after": (LAST, task('{ name = "tidy", after = ["north/lft"] }'), ["sides and lid", "tidy", "after",
                                                                              "north/lft"]),
    "after a plane without bays": (LAST, task('{ name = "a", after = ["floor"] }'),
                                   ["sides and lid", "after", "floor"]),
    "circle": (LAST, task('{ name = "a", after = ["b"] }, { name = "b", after = ["a"] }'), [
        '[[phase]] "sides and lid" task', "after", "sides and lid: a waits on sides and lid: b"]),
    "bay in a circle": ("size = [1500, 2300]", 'size = [1500, 2300]\nafter = ["north/left"]', [LEFT, "after",
                                                                                             "waits on"]),
    "task that waits on itself": (LAST, task('{ name = "a", after = ["a"] }'), ["sides and lid: a"]),
    "no such need": (LAST, task('{ name = "a", needs = { "eye bolt" = 4 } }'), ["sides and lid", "needs", "eye bolt"]),
    "half a need": (LAST, task('{ name = "a", needs = { "track screw" = 4.5 } }'), ["sides and lid", "track screw",
                                                                                   "4.5", "whole"]),
    "task twice": (LAST, task('{ name = "a" }, { name = "a" }'), ["sides and lid", "a", "twice"]),
    "equals in an item's name": ('name = "track screw"', 'name = "screw=4"', ["[[item]]", "screw=4", "name", "="]),
    "slash in a bay's name": ('name = "left"', 'name = "le/ft"', ["[[room.plane.bay]]", "le/ft", "name"]),
    # shapes
    "no shape": ("size = [1500, 2300]\n", "", [LEFT, "outline", "size", "tape"]),
    "two shapes": ("size = [1500, 2300]", "size = [1500, 2300]\nwhole = true", [LEFT, "size", "whole"]),
    "opening without a place": ("at = [2100, 0], ", "", [SOUTH, "door", "at"]),
    "outline and at": ("size = [1500, 2300]", "outline = [[0, 0], [9, 0], [9, 9]]", [LEFT, "at", "outline"]),
    "crossing outline": ("size = [3000, 2300]", "outline = [[0, 0], [3000, 2300], [3000, 0], [0, 2300]]",
                         [NORTH, "cross"]),
    "two corners": ("size = [3000, 2300]", "outline = [[0, 0], [3000, 2300]]", [NORTH, "outline"]),
    "tape without a diagonal": ("size = [3000, 2300]",
                                "tape = { bottom = 3000, top = 3000, left = 2300, right = 2300 }",
                                [NORTH, "tape", "diagonal"]),
    "impossible tape": ("size = [3000, 2300]",
                        "tape = { bottom = 3000, top = 3000, left = 2300, right = 2300, diagonal = 9000 }",
                        [NORTH, "tape", "diagonal"]),
    "bay outside": ("at = [1500, 0]", "at = [1600, 0]", [NORTH, "right", "outside"]),
    "bay over another": ("at = [1500, 0]", "at = [1400, 0]", [NORTH, "left", "right", "overlap"]),
    "opening outside": ("at = [2100, 0]", "at = [2300, 0]", [SOUTH, "door", "outside"]),
    "no joint track": ('joint = "joint track"\n', "", [WALL, "joint", "left", "right"]),
    "wall along z": ('kind = "wall"', 'kind = "wall"\naxis = "z"', [NORTH, "axis", "z", "x or y"]),
    "lid along x": ('kind = "ceiling"', 'kind = "ceiling"\naxis = "x"', ['[[room.plane]] "lid"', "axis", "x", "z"]),
}


def refused(tmp_path: Path, content: bytes) -> str:
    file = tmp_path / "booth.toml"
    file.write_bytes(content)
    with pytest.raises(Refused) as error:
        read_site(file)
    line = str(error.value)
    assert "\n" not in line and len(line) < 400, line
    assert "booth.toml" in line
    return line


@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_is_said_with_its_place(tmp_path: Path, fault: str) -> None:
    before, after, parts = FAULTS[fault]
    assert before in BOOTH
    line = refused(tmp_path, BOOTH.replace(before, after, 1).encode())
    assert " more)" not in line  # one mistake, one line: nothing is told of what only follows from it
    missing = [part for part in parts if part not in line]
    assert not missing, f"{missing} not in: {line}"


def test_layers_no_coefficient_fits_are_refused(tmp_path: Path) -> None:
    """A build-up whose coefficients can be neither read nor worked out would stop every later figure."""
    text = BOOTH.replace("alpha = [0.23, 0.59, 0.86, 0.86, 0.86, 0.86]\n", "").replace("density = 40\n", "")
    line = refused(tmp_path, text.replace("depth = 50\nkerf", "depth = 333\nkerf", 1).encode())
    assert all(part in line for part in (WALL, "wool board 50", "density", "flow_resistivity", "alpha")), line


def test_a_room_that_is_no_box_must_give_its_volume(tmp_path: Path) -> None:
    for before, after in (("size = [2200, 2300]", "size = [2300, 2300]"), ('kind = "ceiling"', 'kind = "slope"')):
        text = BOOTH.replace("volume = 15.18\n", "").replace(before, after, 1)
        line = refused(tmp_path, text.encode())
        assert all(part in line for part in (ROOM, "volume is missing", "box")), line


def test_a_room_is_named_where_there_are_two(tmp_path: Path) -> None:
    second = BOOTH[BOOTH.index("[[room]]"):BOOTH.index("[[phase]]")].replace('"booth"', '"store"')
    text = BOOTH.replace("[[phase]]", second.replace("size = [1500, 2300]", "size = [15, -1]", 1) + "[[phase]]", 1)
    assert "store/north/left" in refused(tmp_path, text.encode())


@pytest.mark.parametrize(("before", "after", "column", "says"), [
    ('name = "Barn booth"', "name = Barn booth", 8, 'write text in quotes, "Barn booth"'),
    ("price = 51.00", "price = 38,50", 11, "write a point, 38.50"),
    ("price = 51.00", "price = 38,5 # each", 11, "write a point, 38.5"),
    ("price = 51.00", "price = 1,250.50", 10, "leave the commas out, 1250.50"),
    ("price = 51.00", "price = 1,250", 10, "write a point, 1.250, or leave the comma out, 1250"),
    ("price = 51.00", "price = .5", 9, "write 0.5"),
    ('each = { "track screw" = 150 }', 'each = { "track screw" = 12,5 }', None, "write a point, 12.5"),
    ("size = [1200, 600]", "size = 1200 x 600", 13, "write [1200, 600]"),
    ("size = [1200, 600]", "size = [1200 x 600]", None, "write [1200, 600]"),
    ("size = [1200, 600]", "size = 4' x 2'", None, """write ["4'", "2'"]"""),
    ("size = [1200, 600]", "size = 1200 x 600 x 50", None, "write [1200, 600] and depth = 50"),
    ("size = [1200, 600]", "size = 1200, 600", None, "write [1200, 600]"),
    ("depth = 50\ndensity", "depth = 50 mm\ndensity", None, '"50 mm"'),
    ("start = 2026-04-06", "start = 6.4.2026", None, "2026-03-02"),
    ("turnable = true", "turnable = Yes", None, "true or false"),
    ('[[phase]]\nname = "back and front"\n[[phase]]', '[phase]\nname = "back and front"\n[phase]', None,
     "write [[phase]]"),
    ('currency = "EUR"', 'currency = “EUR”', None, "straight quotes"),
    ('name = "left"', "name: left", None, "mend that line"),
])
def test_not_toml_says_the_line_and_what_to_write(tmp_path: Path, before: str, after: str, column: int | None,
                                                  says: str) -> None:
    assert before in BOOTH
    number = BOOTH[:BOOTH.index(before)].count("\n") + 1 + 2 * (after[:7] == "[phase]")  # of two tables the second
    place = f"(at line {number}, column " + ("" if column is None else f"{column})")
    line = refused(tmp_path, BOOTH.replace(before, after, 1).encode())
    assert "not TOML" in line and place in line and says in line, line


def test_a_key_twice_says_the_line(tmp_path: Path) -> None:
    line = refused(tmp_path, BOOTH.replace("kerf = 3\n", "kerf = 3\nkerf = 4\n", 1).encode())
    assert "line" in line


def test_not_utf8_is_refused(tmp_path: Path) -> None:
    assert "UTF-8" in refused(tmp_path, BOOTH.encode() + b'# \xff\n')


def test_an_empty_file_says_what_is_missing(tmp_path: Path) -> None:
    assert "site" in refused(tmp_path, b"")


@pytest.mark.parametrize("content", [b"site = 3", b"[[site]]\nname = 'a'", b"item = 4\n[site]\nunit = 'in'",
                                     b"[site]\nunit = 'in'\n[item]\nname = 'a'", b"room = [[1]]",
                                     pytest.param(b"a = " + b"9" * 5000, id="long")])
def test_tables_of_the_wrong_shape_are_refused(tmp_path: Path, content: bytes) -> None:
    refused(tmp_path, content)


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(Refused) as error:
            read_site(path)
        assert str(path) in str(error.value) and "\n" not in str(error.value)


def test_several_faults_say_how_many_more(tmp_path: Path) -> None:
    text = BOOTH.replace("humidity = 50", "humidity = 130").replace("temperature = 20", "temperature = 99")
    assert "(and 1 more)" in refused(tmp_path, text.encode())
