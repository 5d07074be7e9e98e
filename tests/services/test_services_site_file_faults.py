"""All that is wrong with a site file is told in one run: a line each, in the file's order, and nothing that only
follows from another fault."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tracker.domain.errors import Refused
from tracker.services.site_file import FileFaults, read_site

DATA = Path(__file__).resolve().parents[1] / "data"
BOOTH = (DATA / "site_booth.toml").read_text(encoding="utf-8")
LOFT = (DATA / "site_loft.toml").read_text(encoding="utf-8")

# Mistakes apart from one another: (what is in the file, what stands there instead, what its line must have in it).
APART = (
    ('currency = "EUR"', 'currency = "eu"', "[site]: currency"),
    ("tue = 2", "tues = 2", "hours.tues"),
    ("alpha = [0.02, 0.04, 0.08, 0.20, 0.35, 0.40]", "alpha = [0.02, 0.04, 0.08]", '[[surface]] "thin carpet"'),
    ("size = [1200, 600]", 'size = "1200 x 600"', "must be a list; write [1200, 600]"),
    ("kerf = 3\npack = 6", "kerf = -3\npack = 6", '"wool board 50": kerf'),
    ("lead_days = 6", 'lead_days = "six"', "lead_days"),
    ("face = 12", "faec = 12", "unknown key faec; did you mean face?"),
    ("width = 1680", "width = nan", '"cloth moss": width'),
    ('form = "each"', 'form = "each"\nunit = "kg"', "only bulk has a unit"),
    ('infill = "wool board 50"', 'infill = "wool bord 50"', "did you mean wool board 50?"),
    ('edge = "edge track"', 'edge = "cloth moss"', "is a roll; it takes a stick"),
    ('"track screw" = 150', '"track screw" = "q"', "each track screw"),
    ("volume = 15.18", "size = [3000, 2300]", "a room takes its volume in m3"),
    ("temperature = 20", "temperature = 200", "temperature"),
    ('kind = "wall"', 'kind = "fence"', '[[room.plane]] "north": kind'),
    ("at = [0, 0]", "at = [-1, 0]", '[[room.plane.bay]] "north/left": at'),
    ('surface = "solid door"', 'surface = "solid dor"', "solid dor"),
    ("at = [100, 300]", "at = [2000, 300]", "bay beside door reaches outside its plane, 400 mm past the right side"),
    ('size = [2200, 2300]', "tape = { bottom = 2200, top = 2200, left = 2300, right = 2300, diagonal = 9000 }",
     '[[room.plane]] "east": tape: diagonal'),
    ('build_up = "wall 50"\nat = [600, 500]', 'build_up = "wall 5"\nat = [600, 500]', "did you mean wall 50?"),
    ('kind = "floor"', 'kind = "floor"\naxis = "x"', '[[room.plane]] "floor": axis'),
    ('[[phase]]\nname = "sides and lid"', '[[phase]]\nname = "sides and lid"\ntask = [ { name = "a", after = '
     '["nort/left"] }, { name = "b", needs = { "track screw" = 4.5 } } ]', 'after = "nort/left" matches nothing'),
)


def told(tmp_path: Path, text: str) -> FileFaults:
    file = tmp_path / "booth.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(FileFaults) as faults:
        read_site(file)
    return faults.value


def spoiled(mistakes: list[tuple[str, str, str]]) -> str:
    text = BOOTH
    for before, after, _ in mistakes:
        assert before in BOOTH, before
        text = text.replace(before, after, 1)
    return text


def test_seven_different_mistakes_are_told_in_one_run(tmp_path: Path) -> None:
    text = (BOOTH.replace("density = 40", "densty = 40").replace("depth = 50\nface = 14", 'depth = "50x"\nface = 14')
            .replace('infill = "wool board 50"', 'infill = "wool bord 50"')
            .replace("at = [1500, 0]", "at = [1450, 50]")
            .replace("diagonal", "").replace("at = [2100, 0], size", "size")
            .replace('name = "floor"', 'name = "lid"').replace("size = [3000, 2200]\nsurface = \"thin",
                                                               'size = "3000 x 2200"\nsurface = "thin'))
    assert told(tmp_path, text).lines == (
        'booth.toml: [[item]] "wool board 50": unknown key densty; did you mean density?',
        'booth.toml: [[item]] "joint track": depth "50x": cannot read \'x\' (character 3); write e.g. 2215 mm',
        'booth.toml: [[build_up]] "wall 50": infill = "wool bord 50" matches nothing; did you mean wool board 50?',
        'booth.toml: [[room.plane]] "north": bay right reaches outside its plane, 50 mm past the top: move it or make '
        'it smaller',
        'booth.toml: [[room.plane]] "north": bays left and right overlap by 50 mm x 2250 mm: move one or make it '
        'smaller',
        'booth.toml: [[room.plane]] "south" opening "door": at is missing; say where its lower left corner is, '
        'write e.g. [1500, 900]',
        'booth.toml: [[room]] "booth" plane: name = "lid" is given twice; give each its own name',
        'booth.toml: [[room.plane]] "lid": size = "3000 x 2200": must be a list; write [3000, 2200]',
    )


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(APART), min_size=1, max_size=12, unique=True))
def test_each_of_several_mistakes_is_told_and_none_besides(tmp_path: Path, mistakes) -> None:
    in_file = sorted(mistakes, key=lambda one: BOOTH.index(one[0]))
    lines = told(tmp_path, spoiled(mistakes)).faults
    # The last one is two mistakes, and is the last in the file.
    assert len(lines) == len(mistakes) + (APART[-1] in mistakes), lines
    for (_, _, says), line in zip(in_file, lines, strict=False):
        assert says in line, lines


def test_of_very_many_twenty_are_told_and_how_many_more(tmp_path: Path) -> None:
    faults = told(tmp_path, spoiled(list(APART)))
    assert len(faults.faults) == 23
    assert len(faults.lines) == 21 and faults.lines[-1] == "booth.toml: and 3 more"
    assert str(faults) == f"{faults.lines[0]} (and 22 more)"


@given(st.sampled_from(["left", "right", "bottom", "top"]), st.integers(6, 900))
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_bay_pushed_out_is_told_with_its_side_and_by_how_much(tmp_path: Path, side: str, by: int) -> None:
    """The lid is 3000 by 2200 mm; its bay 1800 by 1200 mm. To the left and below, it is the plane that is moved in."""
    at = {"left": (600, 500), "right": (1200 + by, 500), "bottom": (600, 500), "top": (600, 1000 + by)}[side]
    corner = {"left": (600 + by, 0), "bottom": (0, 500 + by)}.get(side, (0, 0))
    outline = [list(corner), [3000, corner[1]], [3000, 2200], [corner[0], 2200]]
    text = BOOTH.replace("at = [600, 500]", f"at = {list(at)}").replace(
        'kind = "ceiling"\nsize = [3000, 2200]', f'kind = "ceiling"\noutline = {outline}')
    name = side if side in ("top", "bottom") else f"{side} side"
    assert told(tmp_path, text).faults == (f'[[room.plane]] "lid": bay centre reaches outside its plane, {by} mm past '
                                           f"the {name}: move it or make it smaller",)


def test_an_inch_site_is_told_in_inches(tmp_path: Path) -> None:
    text = LOFT
    assert '[[room.plane]]\nname = "cloud"' in text
    text = text.replace("[[item]]", '[[item]]\nname = "odd board"\nform = "board"\nsize = [48]\ndepth = "thick"\n\n'
                        "[[item]]", 1)
    lines = " | ".join(told(tmp_path, text).faults)
    assert "write e.g. [165, 102]" in lines and "7' 3-1/2\"" in lines
    assert "mm" not in lines and "4200" not in lines


@pytest.mark.parametrize("depth", ["fifty", '"50', "1 7/8", "40-50", "2in thick"])
def test_a_metric_site_is_told_in_mm(tmp_path: Path, depth: str) -> None:
    (line,) = told(tmp_path, BOOTH.replace("depth = 50\ndensity", f"depth = '{depth}'\ndensity")).faults
    assert line.endswith("write e.g. 2215 mm"), line


# --- what follows from another fault is not told

@pytest.mark.parametrize(("before", "after"), [
    ('unit = "mm"', 'unit = "cm"'),                        # no bare length can be read
    ("[site]", "[sight]"),                                 # nor without the table that says the unit
    ("[[room]]", "[[rooms]]"),                             # which takes its planes with it
    ('name = "wall 50"\n', ""),                            # it may be the one that the bays name
    ("[[build_up]]", "[[built_up]]"),
    ("[[phase]]\nname = \"back and front\"", "[[phase]]\nname = \"sides and lid\""),
])
def test_what_can_not_be_judged_for_it_is_left_out(tmp_path: Path, before: str, after: str) -> None:
    text = BOOTH.replace(before, after)
    if after in ("[sight]", "[[rooms]]"):  # its parts stand under its name
        text = text.replace("[[room.", "[[rooms.") if after == "[[rooms]]" else text
    assert len(told(tmp_path, text).faults) == 1


def test_a_name_that_matches_nothing_is_told_once(tmp_path: Path) -> None:
    text = BOOTH.replace('phase = "back and front"', 'phase = "back"')
    (line,) = told(tmp_path, text).faults
    assert line.startswith('[[room.plane.bay]] "north/left": phase = "back"')
    assert line.endswith("(and at 2 more places)")


def test_planes_and_bays_at_the_top_of_the_file_are_told_where_they_belong(tmp_path: Path) -> None:
    text = BOOTH.replace("[[room.plane.bay]]", "[[bay]]").replace("[[room.plane]]", "[[plane]]")
    assert told(tmp_path, text).faults == ("the file: unknown key plane; write [[room.plane]]",
                                           "the file: unknown key bay; write [[room.plane.bay]]")


def test_one_bracket_too_few_hides_nothing_of_the_table(tmp_path: Path) -> None:
    item = '[item]\nname = "board"\nform = "board"\nsize = [1200, 600]\npack = -1\n'
    lines = told(tmp_path, BOOTH[:BOOTH.index("[[item]]")] + item + BOOTH[BOOTH.index("[[phase]]"):]).faults
    assert any("write [[item]]" in line for line in lines) and any("pack" in line for line in lines)


def test_the_lines_follow_the_file_where_its_tables_are_mixed(tmp_path: Path) -> None:
    moved = BOOTH[BOOTH.index("[[item]]\nname = \"track screw\""):BOOTH.index("[[build_up]]")]
    text = BOOTH.replace(moved, "").replace("humidity = 50", "humidity = 130") + moved.replace("200", "-200")
    first, second = told(tmp_path, text).faults
    assert "humidity" in first and "track screw" in second


# --- unknown keys and slips of form

@pytest.mark.parametrize(("before", "after", "says"), [
    ("depth = 50\ndensity", "thickness = 50\ndensity", "did you mean depth?"),
    ("price = 51.00", "cost = 51.00", "did you mean price?"),
    ("humidity = 50", "humidity = 50\nqqq = 1",
     "it takes name, volume, temperature, humidity, target, absorbers, plane"),
    ("size = [1200, 600]", "length = 1200\nwidth = 600", "write size = [1200, 600]"),
    ("size = [1500, 2300]", 'dimensions = [1500, 2300]', "did you mean size?"),
    ("size = [1500, 2300]", 'size = ["1.5 m x 2.3 m"]', 'write ["1.5 m", "2.3 m"]'),
    ("size = [1500, 2300]", "size = [1500, 2300]\nfitted = { bottom = 1484, top = 1480, left = 2276, right = 2276 }",
     "fitted: four sides do not fix a shape"),
    ('phase = "back and front"', 'phase = "back and front"\nafter = ["north/right"]\n', None),
    ("volume = 15.18", "height = 2300",
     "a room takes its volume in m3, e.g. volume = 43.2; sizes belong to its planes"),
])
def test_what_was_likely_meant_is_said(tmp_path: Path, before: str, after: str, says: str | None) -> None:
    text = BOOTH.replace(before, after, 1)
    if says is None:
        (tmp_path / "booth.toml").write_text(text, encoding="utf-8")
        assert read_site(tmp_path / "booth.toml").bays["booth/north/left"].after == ("booth/north/right",)
        return
    (line,) = told(tmp_path, text).faults
    assert says in line, line


def test_two_circles_are_two_lines(tmp_path: Path) -> None:
    tasks = ", ".join(f'{{ name = "{one}", after = ["{other}"] }}' for one, other in ("ab", "ba", "cd", "dc"))
    lines = told(tmp_path, f"{BOOTH}task = [ {tasks} ]\n").faults
    assert len(lines) == 2 and all("waits on" in line for line in lines)


def test_a_file_that_is_no_toml_is_one_line(tmp_path: Path) -> None:
    file = tmp_path / "booth.toml"
    file.write_text(BOOTH.replace("price = 51.00", "price = 51,00").replace("pack = 6", "pack = -6"), encoding="utf-8")
    with pytest.raises(Refused, match="line 32, column 11") as refused:
        read_site(file)
    assert not isinstance(refused.value, FileFaults)


JUNK = ("3", "-1", '"x"', "[]", "{}", "true", "[[1]]", "nan", "[1, 2]", '""', "2026-01-01", "{ a = 1 }",
        '[{ name = 3 }]', '["", "north"]', "[[0, 0], [1, 0], [0, 1]]", "{ bottom = 1, top = 1, left = 1, right = 1 }")
CHANGES = st.lists(st.tuples(st.integers(0, BOOTH.count("\n") - 1), st.sampled_from(("", "twice", "key", *JUNK))),
                   min_size=1, max_size=8)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(CHANGES)
def test_whatever_stands_in_the_file_is_read_or_told(tmp_path: Path, changes) -> None:
    """No spoiled line brings anything but lines that name the file, one of them at the least."""
    lines = BOOTH.splitlines()
    for number, change in changes:
        key, equals, value = lines[number].partition("=")
        if change == "twice":
            lines[number] += f"\n{lines[number]}"
        elif change == "key":
            lines[number] = f"{key.rstrip()[:-1]}q ={value}" if equals else ""
        else:
            lines[number] = f"{key}= {change}" if equals and change else ""
    file = tmp_path / "booth.toml"
    file.write_text("\n".join(lines), encoding="utf-8")
    try:
        read_site(file)
    except FileFaults as faults:
        assert faults.faults and all(line.startswith("booth.toml: ") and "\n" not in line for line in faults.lines)
        assert "UNREAD" not in str(faults.faults) and "object at" not in str(faults.faults)
    except Refused as refused:
        assert "not TOML" in str(refused)
