"""Site files are read whole."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from tracker.domain.geometry.outline import area_m2
from tracker.domain.site import Absorber, Fixing, Site, TapeSet, Target
from tracker.domain.sound.catalogue import bare_surfaces
from tracker.services.site_file import read_site

DATA = Path(__file__).resolve().parents[1] / "data"
BOOTH = (DATA / "site_booth.toml").read_text(encoding="utf-8")


def read(tmp_path: Path, text: str) -> Site:
    file = tmp_path / "site.toml"
    file.write_text(text, encoding="utf-8")
    return read_site(file)


def test_the_booth_is_read_whole() -> None:
    site = read_site(DATA / "site_booth.toml")
    assert (site.name, site.unit, site.currency, site.start) == ("Barn booth", "mm", "EUR", date(2026, 4, 6))
    assert site.hours == (("tue", 2), ("sat", 6)) and site.cap is True
    board = site.item["wool board 50"]
    assert (board.form, board.length_m, board.width_m, board.depth_m) == ("board", 1.2, 0.6, 0.05)
    assert (board.density_kg_m3, board.kerf_m, board.pack, board.price) == (40, 0.003, 6, 51)
    assert (board.lead_days, board.on_hand, board.waste_below_m, board.unit) == (6, 9, 0.08, "board")
    stick = site.item["edge track"]
    assert (stick.length_m, stick.depth_m, stick.face_m, stick.kerf_m, stick.unit) == (3, 0.05, 0.012, 0.003, "stick")
    roll = site.item["cloth moss"]
    assert (roll.width_m, roll.tuck_m, roll.turnable, roll.on_hand, roll.unit) == (1.68, 0.06, True, 12, "m")
    assert site.item["track screw"].unit == "piece"
    build_up = site.build_up["wall 50"]
    assert (build_up.infill, build_up.fabric, build_up.edge, build_up.joint, build_up.gap_m) == (
        "wool board 50", "cloth moss", "edge track", "joint track", 0)
    assert build_up.each == (Fixing("track screw", 0.15),) and build_up.alpha == (0.23, 0.59, 0.86, 0.86, 0.86, 0.86)
    assert [surface.name for surface in site.surfaces] == ["lined stud wall", "thin carpet", "solid door"]
    (room,) = site.rooms
    assert (room.volume_m3, room.temperature_c, room.humidity_pct) == (15.18, 20, 50)
    assert room.target is not None
    assert (room.target.t_s, room.target.tolerance_s) == ((0.3, 0.25, 0.25, 0.25, 0.25, 0.25), 0.05)
    south = site.planes["booth/south"]
    (door,) = south.openings
    assert (door.name, door.surface) == ("door", "solid door")
    assert sorted(door.outline) == [pytest.approx(corner) for corner in ((2.1, 0), (2.1, 2), (2.9, 0), (2.9, 2))]
    assert list(site.bays) == ["booth/north/left", "booth/north/right", "booth/south/beside door",
                               "booth/east/middle", "booth/west/middle", "booth/lid/centre"]
    assert [phase.name for phase in site.phases] == ["back and front", "sides and lid"]


def test_the_loft_is_read_whole() -> None:
    """Feet and inches: 1 in = 25.4 mm exactly (UCUM); figures worked out by hand."""
    site = read_site(DATA / "site_loft.toml")
    board = site.item["glass board 2 in"]
    assert (board.length_m, board.width_m, board.depth_m) == pytest.approx((1.2192, 0.6096, 0.0508))
    assert board.kerf_m == pytest.approx(0.003175)
    assert site.item["cloth fog"].on_hand == pytest.approx(17.78)
    assert site.item["cloth slate"].on_hand == 0
    (room,) = site.rooms
    assert room.target == Target("listening")
    assert room.absorbers == (Absorber("player and chair", (0.2, 0.35, 0.45, 0.5, 0.5, 0.45), 2),)
    knee = site.planes["loft/left knee"]
    assert knee.tape is not None and knee.tape.check_m == pytest.approx(197 * 0.0254)
    run = site.bays["loft/right knee/run"]
    assert isinstance(run.tape, TapeSet)
    assert min(x for x, _ in run.outline) == pytest.approx(0) and min(y for _, y in run.outline) == pytest.approx(0)
    assert site.bays["loft/cloud/main"].outline == site.planes["loft/cloud"].outline
    (task,) = site.tasks.values()
    assert (task.key, task.after, task.hours_h, task.needs) == (
        "cloud: hang cloud", ("loft/cloud/main",), 1.5, (("eye bolt", 4),))


@pytest.mark.parametrize(("case", "key"), [("booth", "site_booth"), ("loft", "site_loft")])
def test_bay_areas_are_the_cases_own(case: str, key: str) -> None:
    """The shared cases' expected areas, from an independent calculation; bays without an opening in them."""
    expected = json.loads((DATA / f"geometry_{case}.expected.json").read_text(encoding="utf-8"))["bays"]
    site = read_site(DATA / f"{key}.toml")
    for name, row in expected.items():
        if name != "gable/whole":
            bay = next(bay for bay in site.bays.values() if site.short(bay.key) == name)
            assert area_m2(bay.outline) == pytest.approx(row["area_m2"], rel=0.005), name


@pytest.mark.parametrize(("name", "planes", "bays"), [("gable", 7, 28), ("hip", 7, 25), ("stairs", 5, 10)])
def test_other_rooms_are_read(name: str, planes: int, bays: int) -> None:
    site = read_site(DATA / f"site_{name}.toml")
    assert (len(site.planes), len(site.bays)) == (planes, bays)


def test_a_box_works_out_its_volume(tmp_path: Path) -> None:
    """3.0 x 2.2 x 2.3 m = 15.18 m3, as the case itself states."""
    site = read(tmp_path, BOOTH.replace("volume = 15.18\n", ""))
    assert site.rooms[0].volume_m3 == pytest.approx(15.18)


def test_a_clouds_size_does_not_stop_a_box_from_being_one(tmp_path: Path) -> None:
    cloud = '[[room.plane]]\nname = "raft"\nkind = "cloud"\nsize = [1800, 1200]\nsurface = "thin carpet"\n\n[[phase]]\n'
    site = read(tmp_path, BOOTH.replace("volume = 15.18\n", "").replace("[[phase]]\n", cloud, 1))
    assert site.rooms[0].volume_m3 == pytest.approx(15.18)


def test_lengths_may_be_text_anywhere(tmp_path: Path) -> None:
    text = (BOOTH.replace("size = [3000, 2300]", 'size = ["3 m", "7\' 6-9/16\\""]', 1)
            .replace("kerf = 3\n", 'kerf = "3 mm"\n').replace("at = [1500, 0]", 'at = ["1.5 m", 0]')
            .replace('"track screw" = 150', '"track screw" = "15 cm"').replace("volume = 15.18", 'volume = "536 ft^3"'))
    site = read(tmp_path, text)
    assert site.planes["booth/north"].outline[2] == pytest.approx((3, 90.5625 * 0.0254))
    assert site.build_ups[0].each[0].spacing_m == 0.15
    assert site.rooms[0].volume_m3 == pytest.approx(536 * 0.028316846592)  # 1 ft3, UCUM


def test_a_site_may_use_figures_as_published_and_catalogue_surfaces(tmp_path: Path) -> None:
    name = next(iter(bare_surfaces()))
    site = read(tmp_path, BOOTH.replace("start =", "cap = false\nstart =").replace(
        'kind = "floor"\nsize = [3000, 2200]\nsurface = "thin carpet"', f'kind = "floor"\nsize = [3000, 2200]\n'
        f'surface = "{name}"'))
    assert site.cap is False and site.planes["booth/floor"].surface == name


@pytest.mark.parametrize(("after", "keys"), [
    ("north/left", ("booth/north/left",)), ("booth/north/left", ("booth/north/left",)),
    ("north", ("booth/north/left", "booth/north/right")), ("sweep", ("sides and lid: sweep",)),
    ("sides and lid: sweep", ("sides and lid: sweep",)),
])
def test_after_is_kept_as_keys(tmp_path: Path, after: str, keys: tuple[str, ...]) -> None:
    site = read(tmp_path, f'{BOOTH}task = [ {{ name = "sweep" }}, {{ name = "tidy", after = ["{after}"] }} ]\n')
    assert site.tasks["sides and lid: tidy"].after == keys


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    file = tmp_path / "site.toml"
    file.write_bytes(b"\xef\xbb\xbf" + BOOTH.encode())
    assert read_site(file).name == "Barn booth"


def test_a_slash_in_an_items_or_a_surfaces_name_is_no_fault(tmp_path: Path) -> None:
    site = read(tmp_path, BOOTH.replace('"edge track"', '"track 1/2 in"').replace('"thin carpet"', '"carpet 1/4 in"'))
    assert site.build_ups[0].edge == "track 1/2 in" and site.planes["booth/floor"].surface == "carpet 1/4 in"


def test_hours_may_be_written_as_on_a_clock(tmp_path: Path) -> None:
    site = read(tmp_path, BOOTH.replace("tue = 2,", 'tue = "1:30",') + 'task = [ { name = "tidy", hours = "0:45" } ]\n')
    assert site.hours == (("tue", 1.5), ("sat", 6))
    assert site.tasks["sides and lid: tidy"].hours_h == 0.75


def test_bulk_is_counted_in_its_own_unit_and_may_be_part_of_one(tmp_path: Path) -> None:
    text = BOOTH.replace('form = "each"\npack = 200', 'form = "bulk"\nunit = "kg"\npack = 2.5').replace(
        "on_hand = 150", 'on_hand = "1,5 kg"')
    item = read(tmp_path, text).item["track screw"]
    assert (item.unit, item.pack, item.on_hand) == ("kg", 2.5, 1.5)


def test_a_bay_may_be_fitted_and_an_axis_named(tmp_path: Path) -> None:
    tape = "{ bottom = 1484, top = 1480, left = 2276, right = 2276, diagonal = 2717 }"
    text = BOOTH.replace("size = [1500, 2300]", f"size = [1500, 2300]\nfitted = {tape}", 1)
    site = read(tmp_path, text.replace('kind = "wall"', 'kind = "wall"\naxis = "y"', 1))
    fitted = site.bays["booth/north/left"].fitted
    assert fitted is not None and (fitted.bottom_m, fitted.top_m, fitted.diagonal_m) == (1.484, 1.48, 2.717)
    assert site.planes["booth/north"].axis == "y" and site.planes["booth/south"].axis is None
    assert site.planes["booth/lid"].axis == "z"
